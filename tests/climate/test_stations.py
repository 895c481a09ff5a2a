"""Weather files: every layout read alike, doubtful readings left out, bad files refused with their lines."""

from __future__ import annotations

import gzip
from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.daily_csv import Unit
from core.reckon.climate.record import MISSING, Record, record_of, tenths_c, whole_f
from core.reckon.climate.stations import LARGEST_BYTES, read_station
from core.text import is_clean
from tests.cases import cases
from tests.climate.made import TODAY, access_lines, by_station_lines, clemson, climate, days, dly_lines, made

SPRING = (date(1981, 1, 1), date(1984, 3, 31))


def three_years() -> Record:
    """Clemson's first three years and a leap day."""
    whole = clemson()
    wanted = range(SPRING[0].toordinal(), SPRING[1].toordinal() + 1)
    lows = {d: v for d in wanted if (v := whole.low(d)) is not None}
    highs = {d: v for d in wanted if (v := whole.high(d)) is not None}
    return record_of(lows, highs, station="USC00381770", latitude=34.66)


def read(
    folder: Path, lines: Iterable[str], name: str = "station.csv", unit: Unit | None = None
) -> Record | Problem:
    path = folder / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_station(path, today=TODAY, unit=unit)


def good(folder: Path, lines: Iterable[str], name: str = "station.csv", unit: Unit | None = None) -> Record:
    found = read(folder, lines, name, unit)
    assert isinstance(found, Record), found
    return found


def refused(folder: Path, lines: Iterable[str], name: str = "station.csv", unit: Unit | None = None) -> str:
    found = read(folder, lines, name, unit)
    assert isinstance(found, Problem), found
    assert is_clean(found.sentence)
    return found.sentence


def test_the_published_record_is_whole() -> None:
    record = clemson()
    assert (record.first_day, record.last_day) == (date(1981, 1, 1), date(2010, 12, 31))
    assert record.days == 10913
    assert record.whole_f
    assert record.low_f(date(1981, 1, 1).toordinal()) == 28
    assert record.high_f(date(1981, 1, 1).toordinal()) == 55


@pytest.mark.parametrize("name", ["dly", "by-station", "by-station with header", "access", "gzip"])
def test_every_layout_gives_the_same_days(tmp_path: Path, name: str) -> None:
    record = three_years()
    if name == "dly":
        read_back = good(tmp_path, dly_lines(record), "USC00381770.dly")
    elif name == "access":
        read_back = good(tmp_path, access_lines(record))
        assert read_back.latitude == 34.66
        assert read_back.name == "CLEMSON UNIV, SC US"
    elif name == "gzip":
        path = tmp_path / "USC00381770.csv.gz"
        path.write_bytes(gzip.compress("\n".join(by_station_lines(record)).encode()))
        found = read_station(path, today=TODAY)
        assert isinstance(found, Record)
        read_back = found
    else:
        head = ["ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"] if "header" in name else []
        read_back = good(tmp_path, [*head, *by_station_lines(record)])
    assert (read_back.station, read_back.start) == (record.station, record.start)
    assert read_back.lows == record.lows
    assert read_back.highs == record.highs


def test_readings_with_a_quality_flag_are_left_out_in_every_layout(tmp_path: Path) -> None:
    record = three_years()
    day = date(1982, 1, 11).toordinal()
    flagged = [
        good(tmp_path, dly_lines(record, {(day, "TMIN"): "I"}), "a.dly"),
        good(
            tmp_path,
            [x.replace(",,,7", ",,S,7") if "19820111,TMIN" in x else x for x in by_station_lines(record)],
        ),
        good(
            tmp_path,
            [x[:-4] + ',S,7"' if "1982-01-11" in x else x for x in access_lines(record)],
        ),
    ]
    for found in flagged:
        assert found.low(day) is None
        assert found.high(day) == record.high(day)
        assert found.low(day + 1) == record.low(day + 1)
        assert found.remarks == ("1 reading left out, flagged as doubtful by the archive.",)


@pytest.mark.parametrize(
    ("header", "line", "low_f"),
    [
        ("date,min_f,max_f", "2026-01-05,28,41", 28),
        ("date,temp_max_f,temp_min_f", "2026/01/05,41,28", 28),
        ("date,minimum temperature (F),maximum temperature (F)", "2026-01-05,28,41", 28),
        ("date,tmin_f,tmax_f", "20260105,28,41", 28),
        ("Date,Min (F),Max (F)", "2026-01-05,28,41", 28),
        ("date,high_f,low_f", "2026-01-05,41,28", 28),
        ("date,tmin_c,tmax_c", "2026-01-05,-2.2,5", 28),
        ("date,min °C,max °C", "2026-01-05,-2.2,5.0", 28),
        ("date,min,max,unit", "2026-01-05,28,41,F", 28),
        ("date,min,max", "2026-01-05,28F,41F", 28),
        ("date,low_f", "2026-01-05,28", 28),
    ],
)
def test_a_plain_list_is_read_in_the_unit_it_names(
    tmp_path: Path, header: str, line: str, low_f: float
) -> None:
    record = good(tmp_path, [header, line])
    assert record.low_f(date(2026, 1, 5).toordinal()) == low_f


def test_the_unit_of_an_archive_table_is_seen_or_asked_for(tmp_path: Path) -> None:
    record = three_years()
    tenths = access_lines(record)
    fahrenheit = ["STATION,DATE,TMAX,TMIN"] + [
        f"USC00381770,{date.fromordinal(d)},{record.high_f(d):.0f},{record.low_f(d):.0f}"
        for d in range(record.start, record.end)
        if record.low(d) is not None and record.high(d) is not None
    ]
    celsius = ["STATION,DATE,TMAX,TMIN", "USC00381770,2026-01-05,5.0,-2.2"]
    day = record.start + 400
    assert good(tmp_path, tenths).low(day) == good(tmp_path, fahrenheit).low(day) == record.low(day)
    assert good(tmp_path, celsius).low(date(2026, 1, 5).toordinal()) == -22
    cold_week = ["STATION,DATE,TMAX,TMIN", "USC00381770,2026-01-05,41,28"]
    assert "--unit" in refused(tmp_path, cold_week)
    assert good(tmp_path, cold_week, unit="f").low(date(2026, 1, 5).toordinal()) == -22
    assert good(tmp_path, cold_week, unit="tenths").low(date(2026, 1, 5).toordinal()) == 28


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (
            ["date,min_f,max_f", "2026-01-05,28,41", "2026-06-24,50,70"],
            "line 3: 2026-06-24 lies in the future",
        ),
        (["date,min_f,max_f", "2026-01-05,28,41", "2026-01-05,28,41"], "line 3: 2026-01-05 has two lows"),
        (["date,min_f,max_f", "2026-01-05,48,41"], "line 2: the low of 2026-01-05 is above its high"),
        (["date,min_f,max_c", "2026-01-05,28,5"], "one unit and its high in another"),
        (
            ["date,min_f,max_f", "2026-01-05,28,41", "2026-01-06,-2C,41"],
            "line 3: mixed units, 'C' in a file of",
        ),
        (["date,min,max,unit", "2026-01-05,28,41,F", "2026-01-06,2,4,C"], "line 3: mixed units"),
        (["date,min_c,max_c", "2026-01-05,28,41", "2026-01-06,52,75"], "line 3: a high of 75 C is no air"),
        (["date,min_f,max_f", "05/01/2026,28,41"], "line 2: '05/01/2026' is no day, write it as 2026-06-23"),
        (["date,min_f,max_f", "2026-02-30,28,41"], "line 2: '2026-02-30' is no day"),
        (["date,min_f,max_f", "2026-01-05,cold,41"], "line 2: 'cold' is no temperature"),
        (["date,min,max", "2026-01-05,28,41"], "in which unit"),
        (["2026-01-05,28,41"], "names its columns"),
        (["STATION,DATE,TMAX,TMIN", "A,2025-01-05,5.5,1.5", "B,2025-01-06,5.5,1.5"], "a second station, 'B'"),
        (["date,max_f,min_f", "2026-01-05,41,"], "holds no daily lows"),
        (["X,20260105,TMIN,28,,,7,", "X,20260105,TMIN,28,,,7,"], "line 2: 2026-01-05 has two lows"),
        (["X,20260105,TMIN,280,,,7,", "X,20260105,TMAX,28,,,7,"], "is above its high"),
        (["X,20260105,TMIN,2a,,,7,"], "line 1: '20260105' '2a' is no day and whole number"),
        (["   "], "is empty"),
    ],
)
def test_a_wrong_file_is_refused_with_its_line(tmp_path: Path, lines: list[str], says: str) -> None:
    assert says in refused(tmp_path, lines)


def test_one_crossed_day_in_years_of_an_archive_is_left_out_and_named(tmp_path: Path) -> None:
    """An archive has checked its readings: one slip in three years does not spoil the record, ten would."""
    lines = by_station_lines(three_years())
    day = date(1982, 1, 11).toordinal()

    def with_lows_of_30_c(where: str) -> list[str]:
        cells = [x.split(",") for x in lines]
        return [
            ",".join([*c[:3], "300", *c[4:]] if c[2] == "TMIN" and c[1].startswith(where) else c)
            for c in cells
        ]

    slipped = with_lows_of_30_c("19820111")
    record = good(tmp_path, slipped)
    assert record.low(day) is None and record.high(day) is None
    assert record.low(day + 1) is not None
    assert "1982-01-11 (line " in record.remarks[0]
    assert "the low of 1982-01-" in refused(tmp_path, with_lows_of_30_c("198201"))


def test_many_wrong_lines_are_counted_and_three_are_told(tmp_path: Path) -> None:
    lines = ["date,min_f,max_f", *(f"2026-01-{d:02d},50,40" for d in range(1, 21))]
    sentence = refused(tmp_path, lines)
    assert sentence.count("line ") == 3
    assert "and 17 more" in sentence


def test_a_few_years_in_the_other_unit_are_noticed(tmp_path: Path) -> None:
    record = climate(50, 22, 4, years=6)

    def line(day: date) -> str:
        low = record.low_f(day.toordinal()) or 0.0
        if day.year >= 1994:
            low = (low - 32) / 1.8
        return f"{day},{low:.0f}"

    lines = ["date,min_f", *(line(d) for d in days(record.first_day, record.last_day))]
    sentence = refused(tmp_path, lines)
    assert "mixed units" in sentence
    assert "199" in sentence


def test_a_dly_line_that_is_not_one_is_told(tmp_path: Path) -> None:
    lines = dly_lines(three_years())
    assert "line 3: not laid out as a .dly line" in refused(
        tmp_path, [*lines[:2], "hello", *lines[2:]], "a.dly"
    )
    assert "line 79: 1981-01-01 has two highs" in refused(tmp_path, [*lines, lines[0]], "a.dly")
    broken = lines[0][:21] + "  1x2" + lines[0][26:]
    assert "line 1: '1x2' is no number" in refused(tmp_path, [broken, *lines[1:]], "a.dly")


def test_a_hundred_years_report_how_far_they_are(tmp_path: Path) -> None:
    record = climate(50, 20, 6, years=100, first=date(1920, 8, 1))
    path = tmp_path / "long.dly"
    path.write_text("\n".join(dly_lines(record)))
    seen: list[tuple[int, int]] = []
    found = read_station(path, today=TODAY, progress=lambda done, size: seen.append((done, size)))
    assert isinstance(found, Record)
    assert found.lows == record.lows
    assert len(seen) > 1
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert seen[-1] == (path.stat().st_size, path.stat().st_size)


def test_what_is_no_weather_file_is_refused(tmp_path: Path) -> None:
    assert "There is no weather file" in str(read_station(tmp_path / "none.dly", today=TODAY))
    assert "There is no weather file" in str(read_station(tmp_path, today=TODAY))
    endless = tmp_path / "endless.csv"
    endless.write_bytes(b"date,min_f\n" + b"1" * 20_000)
    assert "without end" in str(read_station(endless, today=TODAY))
    bomb = tmp_path / "bomb.csv.gz"
    bomb.write_bytes(gzip.compress((b" " * 7_999 + b"\n") * (LARGEST_BYTES // 8_000 + 1), 1))
    assert "larger than" in str(read_station(bomb, today=TODAY))
    cut = tmp_path / "cut.csv.gz"
    cut.write_bytes(gzip.compress("\n".join(by_station_lines(three_years())).encode())[:-2000])
    assert "broken" in str(read_station(cut, today=TODAY))


@pytest.mark.parametrize(
    ("head", "start", "day"),
    [
        ("", "EASTON,", "20010103"),
        ("", "", "20010103"),
        ("ID,YEAR/MONTH/DAY,ELEMENT,DATA VALUE,M-FLAG,Q-FLAG,S-FLAG,OBS-TIME\n", "EASTON,", "20010103"),
        ('"ID","DATE","ELEMENT","DATA_VALUE","M_FLAG","Q_FLAG","S_FLAG","OBS_TIME"\n', "EASTON,", "20010103"),
        ("station,date,element,value,mflag,qflag,sflag,obstime\n", "EASTON,", "2001-01-03"),
    ],
)
def test_a_by_station_file_is_known_by_its_lines_or_its_header(
    tmp_path: Path, head: str, start: str, day: str
) -> None:
    path = tmp_path / "EASTON.csv"
    path.write_text(f"{head}{start}{day},tmax, 20,,,7,0700\n{start}{day},TMIN,-171,,,W,2400\n")
    found = read_station(path, today=TODAY)
    assert isinstance(found, Record), found
    assert (found.station, found.first_day, found.days) == ("EASTON", date(2001, 1, 3), 1)
    assert (found.low(found.start), found.high(found.start)) == (-171, 20)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"PK\x03\x04rest", "a zip or a spreadsheet"),
        ("date,min_f\n2001-01-03,20\n".encode("utf-16"), "UTF-16"),
        (b"date;min_c;max_c\n2001-01-03;2;5\n", "semicolons between its columns"),
        (b"date\tmin_c\tmax_c\n2001-01-03\t2\t5\n", "tabs between its columns"),
    ],
)
def test_a_file_of_another_kind_is_told_what_to_do_with(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "station.csv"
    path.write_bytes(data)
    found = read_station(path, today=TODAY)
    assert isinstance(found, Problem) and says in found.sentence and "save it" in found.sentence


def test_an_escape_in_a_file_reaches_no_terminal(tmp_path: Path) -> None:
    evil = "\x1b]0;owned\x07"
    refused(tmp_path, ["date,min_f,max_f", f"{evil},28,41"])
    refused(tmp_path, ["date,min_f,max_f", f"2026-01-05,{evil},41"])
    record = good(tmp_path, ["STATION,DATE,LATITUDE,NAME,TMIN,TMAX", f"X{evil},2026-01-05,34,{evil},1.5,2.5"])
    assert is_clean(record.station) and is_clean(record.name)


@cases(60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=400))
def test_no_bytes_break_the_reader(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "any.bin"
    path.write_bytes(data)
    found = read_station(path, today=TODAY)
    assert isinstance(found, Record) or is_clean(found.sentence)


@given(st.integers(-100, 140))
def test_whole_degrees_f_come_back_from_the_archive(degrees_f: int) -> None:
    assert whole_f(tenths_c(degrees_f)) == degrees_f


def test_shifting_a_record_moves_lows_and_keeps_gaps() -> None:
    record = made(lambda d: None if d.day == 3 else 34.0, date(2024, 1, 1), date(2024, 1, 5))
    moved = record.shifted(-2.0)
    assert moved.low(date(2024, 1, 1).toordinal()) == 0  # 32 F
    assert moved.lows[2] == MISSING
