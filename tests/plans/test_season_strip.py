"""The season on one line a plan: a letter a week."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.plans.season_strip import FEWEST_WEEKS, SeasonStrip, season_strip
from tests.cases import cases
from tests.farms import Pencil
from tests.plans.test_plans import STRAW, farm, sow


def strip(pencil: Pencil, weeks: int = 40) -> SeasonStrip:
    return season_strip(pencil.farm, pencil.today, weeks)


def cells(pencil: Pencil, weeks: int = 40) -> str:
    return strip(pencil, weeks).plans[0].cells.rstrip()


def test_a_plan_from_its_sowing_to_its_promise() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    season = strip(pencil)
    assert (season.mondays[0], season.this_week) == (date(2026, 2, 23), 0)
    # Sown in the week of 16 March (the 4th), hardened from 6 May (the week of 4 May, the 11th), out 14 May (the
    # 12th), cut from 7 August (the 24th) to 5 September, 14 days of drying before the promise in the 30th.
    assert season.plans[0].cells.rstrip() == "   S------HO===========CCCCC *"
    assert len(season.plans[0].cells) == len(season.mondays) == 40


def test_what_is_done_is_in_small_letters() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    pencil.later(18)
    sow(pencil)
    assert cells(pencil).lstrip().startswith("s------HO=")
    pencil.later(57).write(
        "set out", planting="P01", tray="S01", crop="strawflower", bed="b1", feet=14, plants=50
    )
    assert "s------ho=" in cells(pencil)
    pencil.later(90).write(
        "cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=70
    )
    assert "s------ho=" in cells(pencil) and "ccc" in cells(pencil)


def test_a_drilled_plan_has_no_tray() -> None:
    pencil = farm("2026-04-20")
    pencil.write("planned", plan="N01", crop="larkspur", use="dry", stems=80, due_on="2026-12-01",
                 sow_on="2026-04-23", cut_from="2026-08-20", feet=14.0)  # fmt: skip
    shown = cells(pencil)
    assert shown.startswith("S====") and "-" not in shown and "O" not in shown and shown.endswith("*")


def test_the_room_under_it_in_tenths_and_where_it_is_short() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=2)
    pencil.write("planned", plan="N01", **{**STRAW, "cells": 400})
    rooms = {row.row.what: row.cells for row in strip(pencil).rooms}
    # 400 cells of 128 are 4 trays for 2 places; 13.9 of 100 ft of bed leave eight tenths
    assert rooms["lights"].startswith("999!!!!!!!!9")
    assert rooms["bed"].startswith("9" * 11 + "8" * 12)
    assert set(rooms["line"]) == {"."}


@cases(60)
@given(st.integers(1, 70), st.integers(0, 260))
def test_this_week_is_always_shown_and_every_strip_is_as_long(weeks: int, later: int) -> None:
    pencil = farm("2026-01-10")
    pencil.write("planned", plan="N01", **STRAW)
    season = season_strip(pencil.farm, pencil.today + timedelta(days=later), weeks)
    today = pencil.today + timedelta(days=later)
    assert season.mondays[season.this_week] <= today < season.mondays[season.this_week] + timedelta(days=7)
    length = max(weeks, FEWEST_WEEKS)
    assert len(season.mondays) == length
    assert {len(row.cells) for row in (*season.plans, *season.rooms)} == {length}


def test_a_row_says_why_and_what_to_write() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **{**STRAW, "bed": "b1"})
    row = strip(pencil).plans[0].row
    assert row.line == "sow 78 strawflower 'apricot' 128s 78 seeds"
    assert row.because.startswith("it is to be cut from 7 Aug for 19 Sep; its window opens ")
    assert "weeks before setting out" in row.because
    pencil.later(18)
    sow(pencil)
    row = strip(pencil).plans[0].row
    assert row.line == "set out S01 b1 13.9ft" and "after the average last frost, 14 May" in row.because
