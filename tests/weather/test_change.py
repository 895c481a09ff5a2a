"""Odds become frost dates only when she keeps them, and she sees first how her season moves."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.beds.rows import bed_rows
from core.problems import Problem
from core.reckon.climate.frost import FrostOdds, frost_odds
from core.session import Session, Written
from core.trays.rows import tray_rows
from core.units import month_day
from core.weather.change import Change, change_json, kept_way, odds_change, risk_change
from tests.climate.made import DATA, made, rows
from tests.farms import Pencil, morning_of, write
from tests.weather.stations import TODAY, farm, own_lows, station, station_file
from tui.subjects.weather import import_record, weather_of


def changed(found: Change | Problem) -> Change:
    assert isinstance(found, Change), found
    return found


def windows(change: Change, crop: str, tray: str | None = None) -> dict[str, object]:
    (row,) = (row for row in change.crops if (row.crop, row.tray) == (crop, tray))
    return {move.window: (move.old, move.new) for move in row.windows}


def test_noaa_normals_come_out_as_the_dates_that_are_kept(tmp_path: Path) -> None:
    """Clemson, South Carolina: NOAA normals 1981-2010 of 32 F, filled and adjusted data where ours are raw; one
    year in two within four days, nine in ten within six."""
    session = farm(tmp_path / "farm")
    import_record(session, DATA / "USC00381770_1981-2010.csv")
    assert isinstance(session.record((changed(odds_change(session))).drafts), Written)
    dates = {(row[0], row[1], row[2]): row[3] for row in session.farm.frost}
    checked = 0
    for published in rows("freeze_published_tables"):
        season = {"last_spring": "spring", "first_autumn": "autumn"}.get(published["season"])
        if published["source_key"] == "noaa8110" and season is not None:
            percent = int(published["prob_pct"])
            ours, theirs = (
                month_day(text, 2001) for text in (dates[season, 32, percent], published["date_or_days"])
            )
            assert ours is not None and theirs is not None
            assert abs((ours - theirs).days) <= {50: 4, 90: 6}[percent]
            checked += 1
    assert checked == 4
    assert {row[4] for row in session.farm.frost} == {"USC00381770, 1981-2010, normal"}


def test_nothing_is_written_before_it_is_kept(session: Session) -> None:
    before = len(session.entries())
    change = changed(odds_change(session))
    assert len(session.entries()) == before
    assert len(change.drafts) == 24  # four colds, three risks, spring and autumn
    assert isinstance(session.record(change.drafts), Written)
    assert len(session.entries()) == before + 24
    again = odds_change(session)
    assert isinstance(again, Problem) and "already" in again.sentence


def test_the_season_that_is_shown_is_the_season_that_comes(session: Session) -> None:
    change = changed(odds_change(session))
    shown = windows(change, "cosmos", "S01")
    session.record(change.drafts)
    odds = weather_of(session).odds
    assert odds is not None
    autumn = next(row for row in odds.thresholds if row.threshold_f == 28).first_autumn[50]
    last = shown["last_cut"][1][1]  # type: ignore[index]
    assert last.strftime("%m-%d") == autumn  # cosmos is half-hardy: cutting ends with 28 F
    zinnia = windows(change, "zinnia")["set_out"][1][0]  # type: ignore[index]
    spring = next(row for row in odds.thresholds if row.threshold_f == 32).last_spring[10]
    assert zinnia.strftime("%m-%d") == spring  # tender: waits for 32 F at 10 %


def test_every_kept_date_says_where_it_comes_from(session: Session) -> None:
    session.record((changed(odds_change(session, "normal"))).drafts)
    page = weather_of(session)
    assert {one.source for one in page.kept} == {"EASTON, 1996-2026, normal"}
    write(session, "sow 72 zinnia on 2026-03-01")  # ready long before the last frost: its day hangs on that
    row = next(r for r in tray_rows(session.farm, session.today) if r.tray == "S02")
    assert any("(EASTON, 1996-2026, normal)" in why for why in row.because)
    hangs = {one.hardiness: one for one in page.hangs}
    assert (hangs["tender"].spring.threshold_f, hangs["tender"].spring.risk_pct) == (32, 10)  # type: ignore[union-attr]
    write(session, "last frost 12 may")  # her own hand goes before it again
    average = weather_of(session).average
    assert average is not None and (average.month_day, average.source) == ("05-12", "typed by hand")


def test_a_bolder_risk_moves_her_season_forward_and_is_shown_first(session: Session) -> None:
    session.record((changed(odds_change(session))).drafts)
    before = len(session.entries())
    bolder = changed(risk_change(session, "tender", 32, 50))
    assert [d.kind for d in bolder.drafts] == ["risk"]
    old, new = windows(bolder, "zinnia")["set_out"]  # type: ignore[misc]
    assert new < old
    assert "peony" in bolder.stay  # hardy: nothing of hers moves
    assert len(session.entries()) == before
    assert isinstance(session.record(bolder.drafts), Written)
    hangs = next(one for one in weather_of(session).hangs if one.hardiness == "tender")
    assert hangs.chosen and hangs.spring is not None and hangs.spring.risk_pct == 50


def test_a_risk_brings_the_date_it_needs_or_says_that_there_is_none(session: Session) -> None:
    needs = changed(risk_change(session, "tender", 36, 20))
    assert [(d.kind, d.fields.get("risk_pct")) for d in needs.drafts] == [("risk", 20), ("frost", 20)]
    nowhere = risk_change(session, "tender", 36, 2)
    assert isinstance(nowhere, Problem) and "30 springs tell chances from 4 to 96 %" in nowhere.sentence
    assert isinstance(risk_change(session, "tender", 72, 10), Problem)
    assert isinstance(risk_change(session, "frail", 32, 10), Problem)


def test_a_missing_date_is_reckoned_as_those_that_were_kept(session: Session) -> None:
    session.record((changed(odds_change(session, "normal"))).drafts)
    needs = changed(risk_change(session, "tender", 36, 20))
    assert needs.drafts[1].fields["source"] == "EASTON, 1996-2026, normal"


def test_dates_kept_before_the_method_had_its_field_are_told_by_their_source() -> None:
    pencil = Pencil()
    for risk, source in ((10, "EASTON, 1996-2026, normal, own ground -2.0 F"), (50, None)):
        date_of = {"season": "spring", "threshold_f": 32, "risk_pct": risk, "month_day": "05-20"}
        pencil.write("frost", **date_of, **({"source": source} if source else {}))
    kept, typed = pencil.farm.frost
    assert (kept.method, kept.own_ground) == ("normal", True)
    assert (typed.method, typed.own_ground) == ("", False)
    assert kept_way(pencil.farm) == ("normal", True)


def test_any_risk_has_a_date_between_those_of_its_neighbours(session: Session) -> None:
    session.record((changed(odds_change(session))).drafts)
    dates = [changed(risk_change(session, "tender", 36, risk)).drafts[1].fields for risk in (20, 17, 15, 12)]
    days = [fields["month_day"] for fields in dates]
    assert days == sorted(days) and days[0] < days[-1]
    assert {fields["source"] for fields in dates} == {"EASTON, 1996-2026, normal"}
    other = changed(risk_change(session, "hardy", 30, 15))  # another cold, too
    assert isinstance(session.record(other.drafts), Written)
    hardy = next(one for one in weather_of(session).hangs if one.hardiness == "hardy")
    assert hardy.spring is not None and (hardy.spring.threshold_f, hardy.spring.risk_pct) == (30, 15)
    assert isinstance(odds_change(session), Problem)  # her own risk is among what is kept already


def test_a_risk_written_in_a_line_gets_its_date_when_the_odds_are_kept(session: Session) -> None:
    write(session, "risk tender 34F 15%")
    wanted = next(one for one in weather_of(session).hangs if one.hardiness == "tender").wanted
    assert wanted == (34, 15)
    session.record((changed(odds_change(session))).drafts)
    tender = next(one for one in weather_of(session).hangs if one.hardiness == "tender")
    assert tender.wanted is None and tender.spring is not None
    assert (tender.spring.threshold_f, tender.spring.risk_pct) == (34, 15)


def test_where_it_never_freezes_there_is_nothing_to_keep(tmp_path: Path) -> None:
    session = farm(tmp_path / "farm")
    import_record(session, station_file(tmp_path, made(lambda _: 60.0, date(1990, 8, 1), TODAY)))
    refused = odds_change(session)
    assert isinstance(refused, Problem) and "no date at all" in refused.sentence


def mild(folder: Path) -> Path:
    """A station whose winters freeze every other year, and never hard."""
    return station_file(
        folder,
        made(lambda d: 31.0 if (d.month, d.day) == (1, 15) and d.year % 2 else 45.0, date(1990, 8, 1), TODAY),
    )


def test_a_kept_date_that_has_become_rare_is_struck_and_shown_first(session: Session, tmp_path: Path) -> None:
    write(session, "frost spring 24F 10% 04-20")  # typed by hand: hers
    session.record((changed(odds_change(session))).drafts)
    write(session, "frost spring 28F 10% 05-03")  # typed after it was kept: hers as well
    import_record(session, mild(tmp_path))
    before = len(session.entries())
    change = changed(odds_change(session))
    assert len(session.entries()) == before
    kept = next(row[3] for row in session.farm.frost if row.key == ("spring", 28, 50))
    assert f"28 F at 50 % in spring, {kept}: rare by this record" in change.struck
    strikes = sum(draft.kind == "strike" for draft in change.drafts)
    assert strikes == len(change.struck) == len(change_json(change, written=False)["struck"]) > 10
    assert not any(said.startswith("28 F at 10 % in spring") for said in change.struck)
    assert any("28 F at 10 % in spring: rare; your 05-03 stays" in said for said in change.left_out)
    assert isinstance(session.record(change.drafts), Written)
    rows = {row.key: (row.month_day, row.source) for row in session.farm.frost}
    assert ("spring", 28, 50) not in rows and ("autumn", 24, 90) not in rows
    assert rows["spring", 24, 10] == ("04-20", "")  # the kept one is struck, hers stands again
    assert rows["spring", 28, 10] == ("05-03", "")
    assert not any("EASTON" in row[1] and "1996" in row[1] for row in rows.values())
    again = odds_change(session)
    assert isinstance(again, Problem) and "already" in again.sentence
    assert session.check() == []


def test_a_risk_whose_kept_date_has_become_rare_is_refused(session: Session, tmp_path: Path) -> None:
    session.record((changed(odds_change(session))).drafts)
    import_record(session, mild(tmp_path))
    refused = risk_change(session, "hardy", 24, 50)
    assert isinstance(refused, Problem) and "rare" in refused.sentence and "weather keep" in refused.sentence


def test_the_risk_written_in_a_line_holds_for_the_trays(session: Session) -> None:
    session.record((changed(odds_change(session))).drafts)
    write(session, "sow 72 zinnia on 2026-03-10", "up 60 S02 on 2026-03-20")
    usual = next(r for r in tray_rows(session.farm, session.today) if r.tray == "S02")
    write(session, "risk tender 36F 10%")
    careful = next(r for r in tray_rows(session.farm, session.today) if r.tray == "S02")
    assert any("36 F" in why for why in careful.because) and not any("36 F" in why for why in usual.because)
    written = session.write("risk half hardy 28F 30%")
    assert isinstance(written, Written) and "no date of 28 F at 30 %" in written.remarks[0]


def test_her_own_ground_moves_the_odds_only_with_nights_enough(session: Session) -> None:
    few = odds_change(session, own=True)
    assert isinstance(few, Problem) and "30" in few.sentence
    own_lows(session, station(), 4, date(2026, 3, 2), date(2026, 6, 20))
    page = weather_of(session)
    assert page.ground is not None and page.ground.enough
    assert page.ground.frost_bias_f == pytest.approx(-4, abs=0.3)
    colder = changed(odds_change(session, own=True))
    assert all("own ground -" in d.fields["source"] for d in colder.drafts)
    hers = {tuple(list(d.fields.values())[:3]): d.fields["month_day"] for d in colder.drafts}
    theirs = {
        tuple(list(d.fields.values())[:3]): d.fields["month_day"]
        for d in changed(odds_change(session)).drafts
    }
    assert hers["spring", 32, 50] > theirs["spring", 32, 50]
    assert hers["autumn", 32, 50] < theirs["autumn", 32, 50]


def test_struck_readings_count_no_more(session: Session) -> None:
    write(session, "low 30 on 2026-04-02", "low -40 on 2026-04-03")
    assert weather_of(session).own_nights == 2
    session.undo()
    assert weather_of(session).own_nights == 1


def test_rare_and_any_month_are_never_kept_as_dates(tmp_path: Path) -> None:
    session = farm(tmp_path / "farm")
    mild = made(
        lambda d: 31.0 if (d.month, d.day) == (1, 15) and d.year % 2 else 45.0, date(1990, 8, 1), TODAY
    )
    import_record(session, station_file(tmp_path, mild))
    change = changed(odds_change(session))
    assert all("rare" not in str(d.fields) and "any" not in str(d.fields) for d in change.drafts)
    assert any("24 F at 50 % in spring: rare" in said for said in change.left_out)
    odds = frost_odds(mild)
    assert isinstance(odds, FrostOdds)
    assert change_json(change, written=False)["left_out"] == list(change.left_out)


def test_in_the_south_the_season_runs_over_new_year(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "south", by="ml", on=date(2026, 11, 20))
    write(
        session,
        "farm zone UTC latitude -34.6 longitude 149.1",
        "last frost 10 oct",
        "first frost 2 may",
        "bed b1 50ft",
    )
    write(session, "plant zinnia b1 20ft")
    row = bed_rows(session.farm, session.today, session.sight().by_warmth)[0].plantings[0]
    assert row.cut_from is not None and row.cut_to is not None
    assert "2026-12-01" < row.cut_from < row.cut_to <= "2027-05-02"
    assert "163 days to the average first frost, 2 May" in morning_of(session).season
