"""The first cut by heat units: the warmth had so far, and the same weeks of the years on record."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.beds.rows import PlantingRow, bed_rows
from core.reckon.climate.heat_units import Scale, sum_units
from core.reckon.climate.record import Record, record_of, tenths_c
from core.session import Session, Written
from core.settings.sheets import farm_sheet
from core.weather.own import laid_over
from tests.farms import write
from tests.weather.stations import TODAY, farm, station, station_file
from tui.subjects.weather import import_record

OUT = date(2026, 5, 20)


def zinnia(session: Session) -> PlantingRow:
    return next(
        p
        for bed in bed_rows(session.farm, session.today, session.sight().by_warmth)
        for p in bed.plantings
        if p.crop == "zinnia"
    )


@pytest.fixture
def session(tmp_path: Path) -> Session:
    opened = farm(tmp_path / "farm")
    write(
        opened,
        "sheet zinnia heat_units_to_first_cut 900 own record",
        "sheet zinnia heat_base_f 50 own record",
    )
    return opened


def with_station(session: Session, folder: Path, years: int = 30) -> Session:
    assert isinstance(import_record(session, station_file(folder, station(years=years))), Written)
    return session


def test_a_planting_is_expected_in_a_range_of_days_with_its_reason(session: Session, tmp_path: Path) -> None:
    row = zinnia(with_station(session, tmp_path))
    assert row.first_cut_range is not None
    early, late = row.first_cut_range
    assert TODAY.isoformat() < early < late
    assert row.cut_from == early
    because = row.first_cut_because
    assert "First cut by warmth" in because and "own record" in because and "years on record" in because


def test_the_range_is_where_the_years_on_record_put_it(session: Session, tmp_path: Path) -> None:
    """Worked anew: the warmth had from 20 May to 22 June at the station, and for each year on record the days
    until 900 are full."""
    record = station()
    row = zinnia(with_station(session, tmp_path))
    scale = Scale(50)
    had = sum_units(record, OUT.toordinal(), TODAY.toordinal() - 1, scale)
    assert not hasattr(had, "sentence")
    waits = []
    for year in range(1997, 2026):
        start, total, days = TODAY.replace(year=year), had.units, 0  # type: ignore[union-attr]
        while True:
            day = (start + timedelta(days=days)).toordinal()
            low, high = record.low_f(day), record.high_f(day)
            assert low is not None and high is not None
            total += max(0.0, (low + high) / 2 - 50)
            if total >= 900:
                break
            days += 1
        waits.append(days)
    waits.sort()
    assert row.first_cut_range is not None
    early, late = (date.fromisoformat(text) for text in row.first_cut_range)
    assert waits[2] - 1 <= (early - TODAY).days <= waits[3] + 1  # one year in ten of 29: the third
    assert waits[25] - 1 <= (late - TODAY).days <= waits[27] + 1


def test_her_own_warmer_days_bring_it_forward(session: Session, tmp_path: Path) -> None:
    before = zinnia(with_station(session, tmp_path)).first_cut_range
    for back in range(30, 0, -1):
        write(session, f"low 66 high 92 on {TODAY - timedelta(days=back)}")
    after = zinnia(session).first_cut_range
    assert before is not None and after is not None and after < before


def test_own_days_stand_in_place_of_the_stations_where_both_ends_were_read() -> None:
    start = date(2026, 6, 1).toordinal()
    there = record_of({start + i: 100 for i in range(3)}, {start + i: 200 for i in range(3)})
    own = record_of({start: 50, start + 1: 60}, {start: 250})
    laid = laid_over(there, own)
    assert [laid.low(start + i) for i in range(3)] == [50, 100, 100]
    assert [laid.high(start + i) for i in range(3)] == [250, 200, 200]
    assert laid_over(there, None) is there


def test_under_ten_years_it_is_refused_and_the_calendar_stands(session: Session, tmp_path: Path) -> None:
    row = zinnia(with_station(session, tmp_path, years=6))
    assert row.first_cut_range is None and "Not by heat units: Not yet" in row.first_cut_because
    assert row.cut_from is not None  # by the calendar


def test_without_a_station_or_a_base_it_says_what_is_missing(session: Session, tmp_path: Path) -> None:
    assert "weather import" in zinnia(session).first_cut_because
    other = farm(tmp_path / "other")
    with_station(other, tmp_path)
    write(other, "sheet zinnia heat_units_to_first_cut 900")
    assert "heat_base_f" in zinnia(other).first_cut_because


def test_what_is_cut_is_awaited_no_more(session: Session, tmp_path: Path) -> None:
    with_station(session, tmp_path)
    write(session, "20 zinnia b1 fresh")
    row = zinnia(session)
    assert row.first_cut_range is None and row.cut_from == TODAY.isoformat()


def test_a_crop_without_the_figure_keeps_its_calendar(tmp_path: Path) -> None:
    plain = farm(tmp_path / "plain")
    before = zinnia(plain)
    with_station(plain, tmp_path)
    assert zinnia(plain) == before


def test_no_crop_of_the_library_has_the_figure() -> None:
    """No published sums were found for these crops: only her own record can give them."""
    from core.crops.library import crop_names, sheet
    from core.problems import Problem

    for name in crop_names():
        found = sheet(name)
        assert not isinstance(found, Problem) and found.heat_units_to_first_cut is None


def test_whole_degrees_come_back_whole() -> None:
    own = record_of({700_000: tenths_c(61)}, {700_000: tenths_c(92)})
    assert isinstance(own, Record) and (own.low_f(700_000), own.high_f(700_000)) == (61, 92)


def test_a_crop_counted_from_a_base_of_its_own_does_not_get_the_warmth_of_another(
    session: Session, tmp_path: Path
) -> None:
    write(session, "sheet zinnia heat_base_f 60 own record")
    records = with_station(session, tmp_path).records
    sheets = [farm_sheet(session.farm, crop) for crop in ("dahlia", "zinnia")]
    dahlias, zinnias = (records.warmth(sheet) for sheet in sheets if sheet is not None)
    assert dahlias is not None and zinnias is not None
    assert "above 50 F" in dahlias.source and "above 60 F" in zinnias.source
    assert zinnias.daily(date(2026, 7, 1)) < dahlias.daily(date(2026, 7, 1))
