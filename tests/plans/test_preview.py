"""A wish seen before it is kept, weekly wishes in one line, and the room of the weeks to come."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.language.read import Reading, read_line
from core.plans.lines import read_wish
from core.plans.plan import Plan
from core.plans.preview import Preview, preview
from core.plans.room_weeks import room_weeks
from core.plans.rows import plan_rows
from core.plans.succession import Warmth, WarmthOf, units_between
from core.plans.typed_wish import moved_by, preview_of
from core.plans.warmth import FEWEST_YEARS, warmth_of_record
from core.plans.what_if import Compared
from core.plans.wish import Wanted
from core.problems import Problem
from core.session import Session, Written
from core.settings.sheets import farm_sheet
from core.subject import all_kinds
from tests.cases import cases
from tests.climate.made import clemson, made
from tests.farms import STRAW, Pencil, farm_in
from tests.plans.test_plans import farm, reckoned, sow

pytestmark = pytest.mark.usefixtures("reckoned_once")

ZINNIA = "plan 10 bunches zinnia fresh a week from 07-01 to first frost"
SUNFLOWER = "plan 60 sunflower fresh weekly from 07-20 to 09-06"


def seen(pencil: Pencil, line: str, warmth: WarmthOf | None = None) -> Preview:
    wish = read_wish(line, pencil.farm, pencil.today)
    assert isinstance(wish, Wanted), wish
    found = preview(pencil.farm, wish, pencil.today, warmth=warmth)
    assert isinstance(found, Preview), found
    return found


def sowed(view: Preview) -> list[date]:
    return [plan.sow_on or plan.in_bed_from for plan in view.plans]


# One day


def test_a_wish_is_seen_with_its_steps_its_clashes_and_what_would_be_kept() -> None:
    pencil = farm()
    view = seen(pencil, "plan 120 strawflower apricot dry by 09-19")
    (made,) = view.plans
    assert [dict(draft.fields) for draft in view.drafts] == [{**STRAW, **reckoned(made), "plan": "N01"}]
    assert view.clashes == () and view.weeks == ()
    assert {"promised", "seeds", "set out", "first cut"} <= {step.name for step in view.steps}
    assert all(step.because and step.source for step in view.steps)


def test_what_is_seen_is_what_the_line_writes() -> None:
    pencil = farm()
    for line in ("plan 12 bunches strawflower dry by 09-19 b2", ZINNIA, SUNFLOWER):
        read = read_line(line, pencil.farm, pencil.today)
        assert isinstance(read, Reading), read
        assert read.drafts == seen(pencil, line).drafts == seen(pencil, line.removeprefix("plan ")).drafts


def test_a_bed_that_is_too_short_is_a_clash_with_its_change() -> None:
    pencil = farm()
    pencil.write("bed", bed="b3", feet=10, width_in=36)
    (clash,) = seen(pencil, "plan 120 strawflower apricot dry by 09-19 b3").clashes
    assert clash.sentence.endswith("bed b3 has 10 free.")
    assert clash.change == "bed b1 has room"


def test_a_kept_plan_takes_room_from_the_next() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=1)
    assert not seen(pencil, "plan 120 strawflower apricot dry by 09-19").clashes
    pencil.write("planned", plan="N01", **STRAW)
    (clash,) = seen(pencil, "plan 120 strawflower white dry by 09-19").clashes
    assert clash.what == "lights" and "the farm has 0 free" in clash.sentence


# Every week


def test_a_weekly_wish_is_one_plan_a_sowing_with_codes_of_its_own() -> None:
    view = seen(farm(), ZINNIA)
    first, second = (draft.fields for draft in view.drafts)
    assert (first["plan"], second["plan"]) == ("N01", "N02")
    # 10 bunches of 10 a week; each plan has the stems of all of its weeks, by the end of the last: six days to
    # the first frost are 86 stems more
    assert second["stems"] == sum(w.expected for w in view.weeks if w.plan == 1)
    assert second["due_on"] == "2026-09-28" and "2026-08-19" <= second["cut_from"] <= "2026-09-09"
    assert view.weeks[-1].note == "a short week: 6 days, to the first frost, 28 Sep"
    assert "first flush only" in view.weeks[0].note and view.weeks[0].expected < 100
    assert view.weeks[0].chance is not None and view.weeks[0].chance < 0.95, (
        "and it says how sure that week is"
    )
    assert view.spaced == "the days of the crop's sheet"


@pytest.mark.parametrize(
    "line",
    [
        "plan 60 sunflower fresh weekly from 07-20 to 09-06",
        "plan 60 stems sunflower a week fresh from 20 july until 6 sept",
        "plan sunflower 60 fresh every week from 2026-07-20 till 2026-09-06",
    ],
)
def test_a_weekly_wish_may_be_said_in_several_ways(line: str) -> None:
    view = seen(farm(), line)
    assert (view.wanted.start, view.wanted.until) == (date(2026, 7, 20), date(2026, 9, 6))
    assert len(view.plans) == 7 and [w.expected for w in view.weeks] == [60] * 7


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("plan 60 sunflower fresh weekly", "From which day?"),
        ("plan 60 sunflower fresh weekly from 07-01 07-15 08-01", "From when until when?"),
        ("plan 60 sunflower fresh weekly from 2026-09-01 to 2026-07-01", "has gone by"),
        ("plan 60 sunflower fresh weekly from 07-01 to 07-03", "less than a week"),
        ("plan 60 sunflower fresh weekly from 9999-12-31 to 02-29", "no 02-29 after"),
        ("plan 60 sunflower weekly from 07-01 to 09-01", "which use"),
        ("plan 60 sunflower fresh weekly from 07-01 to 09-01 b9", "no bed b9"),
        ("plan 60 sunflower fresh weekly from 07-01 to the moon", "'moon' is no variety"),
        ("", "What is wished for?"),
    ],
)
def test_weekly_wishes_that_cannot_be_read(line: str, says: str) -> None:
    pencil = farm()
    wish = read_wish(line, pencil.farm, pencil.today)
    found = wish if isinstance(wish, Problem) else preview(pencil.farm, wish, pencil.today)
    assert isinstance(found, Problem) and says in found.sentence, found


def test_a_day_gone_by_this_year_is_next_years() -> None:
    pencil = farm("2026-10-05")
    assert seen(pencil, SUNFLOWER).wanted.start == date(2027, 7, 20)
    assert seen(pencil, "120 strawflower dry by 09-19").wanted.by == date(2027, 9, 19)


@cases(12)
@given(
    st.sampled_from(["zinnia", "sunflower", "snapdragon", "stock", "statice"]),
    st.integers(5, 400),
    st.dates(date(2026, 6, 1), date(2026, 8, 20)),
    st.integers(7, 80),
)
def test_every_sowing_of_a_weekly_wish_can_be_kept(crop: str, stems: int, start: date, days: int) -> None:
    pencil = farm()
    line = f"plan {stems} {crop} fresh weekly from {start} to {start + timedelta(days=days)}"
    wish = read_wish(line, pencil.farm, pencil.today)
    assert isinstance(wish, Wanted), wish
    view = preview(pencil.farm, wish, pencil.today)
    if isinstance(view, Problem):
        return
    for draft in view.drafts:
        pencil.write(draft.kind, **draft.fields)
    assert len(pencil.farm.plans) == len(view.plans)
    assert {w.plan for w in view.weeks} - {None} == set(range(len(view.plans)))
    sowing = [plan.in_bed_from for plan in view.plans]
    assert all(earlier < later for earlier, later in pairwise(sowing))


def test_a_wish_for_so_many_weeks() -> None:
    pencil = farm()
    for line in (
        "plan 60 sunflower fresh a week from 07-20 for 7 weeks",
        "plan 60 sunflower fresh for 7 weeks from 07-20",
    ):
        wish = read_wish(line, pencil.farm, pencil.today)
        assert isinstance(wish, Wanted), wish
        assert (wish.start, wish.until, wish.by) == (date(2026, 7, 20), date(2026, 9, 6), None)
    both = read_wish("plan 60 sunflower fresh for 7 weeks from 07-20 to 09-01", pencil.farm, pencil.today)
    assert isinstance(both, Problem) and "Write one of them" in both.sentence
    none = read_wish("plan 60 sunflower fresh for 0 weeks from 07-20", pencil.farm, pencil.today)
    assert isinstance(none, Problem) and "how many weeks" in none.sentence


# By the warmth on record


def warm(_sheet: Sheet) -> Warmth | None:
    return warmth_of_record(clemson(), _sheet)


def test_sowings_are_spaced_by_the_warmth_of_the_years_on_record() -> None:
    view = seen(farm(), SUNFLOWER, warm)
    assert view.spaced.startswith("heat units above 50 F, as in 30 years of ")
    # So far south every sowing is as quick as the sheet allows, so each may wait some days longer than by its middle.
    by_days = sowed(seen(farm(), SUNFLOWER))
    assert all(0 < (warmer - plain).days <= 5 for warmer, plain in zip(sowed(view), by_days, strict=True))
    cuts = [begins(plan) for plan in view.plans]
    assert all((later - earlier).days in (6, 7, 8) for earlier, later in pairwise(cuts))
    found = sheet("sunflower")
    assert isinstance(found, Sheet)
    usual = warm(found)
    assert usual is not None
    # 58 days, the middle of 55 to 60, from the opening of its window on 14 May: every sowing has as many units.
    need = units_between(date(2026, 5, 14), date(2026, 7, 11), usual.daily)
    for plan in view.plans:
        days = (begins(plan) - plan.in_bed_from).days
        had = units_between(plan.in_bed_from, begins(plan), usual.daily)
        # 55 to 60 days from sowing in the bed (the sheet): a promise counts on 55 at the least, in any heat.
        assert days >= 55 and had >= need - 30
        assert days <= 56 or had <= need + 60, "the least days of the sheet, but for half a day"
        assert any("heat units" in step.source for step in plan.steps)
    hot = [p for p in view.plans if any("in less than the 55 days" in step.source for step in p.steps)]
    assert all((begins(plan) - plan.in_bed_from).days in (55, 56) for plan in hot)


def begins(plan: Plan) -> date:
    """The day on which its cutting begins in a usual season: the middle of its range."""
    early, late = plan.first_cut
    return early + timedelta(days=round((late - early).days / 2))


def test_heat_units_of_her_own_go_before_the_days_of_the_sheet() -> None:
    pencil = farm()
    for figure, text in (("heat_units_to_first_cut", "1000 to 1200"), ("heat_base_f", "45")):
        pencil.write("sheet", crop="sunflower", figure=figure, value=text, source="own record")
    view = seen(pencil, SUNFLOWER, warm)
    assert view.spaced.startswith("heat units above 45 F")
    own = farm_sheet(pencil.farm, "sunflower", None)
    assert own is not None
    usual = warm(own)
    assert usual is not None
    for plan in view.plans:
        assert 1060 <= units_between(plan.in_bed_from, begins(plan), usual.daily) < 1160
    gaps = [(later - earlier).days for earlier, later in pairwise(sowed(view))]
    assert len(set(gaps)) > 1


def test_a_record_of_few_years_is_not_reckoned_from() -> None:
    found = sheet("zinnia")
    assert isinstance(found, Sheet)
    first = date(2015, 1, 1)
    few = made(lambda day: 40.0, first, date(first.year + FEWEST_YEARS - 1, 6, 1))
    enough = made(lambda day: 40.0, first, date(first.year + FEWEST_YEARS, 1, 1))
    assert warmth_of_record(few, found) is None
    steady = warmth_of_record(enough, found)
    # A low of 40 F and a high of 58 F: the high counted from 50, the low brought up to it; half of 8.
    assert steady is not None and round(steady.daily(date(2026, 2, 28)), 1) == 4.0


# The room of the weeks to come


def test_the_room_week_by_week() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=1)
    pencil.write("capacity", what="line", count=100)
    pencil.write("planned", plan="N01", **STRAW)
    room = room_weeks(pencil.farm, pencil.today, 32)
    rows = {row.what: row for row in room.rows}
    assert room.mondays[0] == date(2026, 2, 23) and len(room.mondays) == 32
    assert (rows["bed"].total, rows["lights"].total, rows["hardening"].total) == (100, 1, None)

    def taken(what: str, monday: str) -> float:
        return rows[what].taken[room.mondays.index(date.fromisoformat(monday))]  # type: ignore[index]

    # 78 cells are one tray from 19 March, on the hardening spaces from 6 May, 13.9 ft of bed from 14 May.
    assert [taken("lights", day) for day in ("2026-03-09", "2026-03-16", "2026-05-04")] == [0, 1, 1]
    assert [taken("hardening", day) for day in ("2026-04-27", "2026-05-04", "2026-05-11")] == [0, 1, 1]
    assert [taken("bed", day) for day in ("2026-05-04", "2026-05-11")] == [0, 13.9]
    # Bunches of 10 hang 6 in wide for their week and 14 days more, the longest they may dry; so they add up from the
    # first cut, on 2 August in a usual season, until no more is cut in time.
    hanging = [taken("line", day) for day in ("2026-07-20", "2026-08-03", "2026-08-10", "2026-08-31")]
    assert hanging[0] == 0 and hanging == sorted(hanging) and hanging[-1] > 4
    assert room.shortages == ()


def test_short_weeks_say_how_much_is_short_and_who_takes_it() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=1)
    pencil.write("planned", plan="N01", **STRAW)
    pencil.write("planned", plan="N02", **{**STRAW, "variety": "white", "cells": 200})
    (short,) = room_weeks(pencil.farm, pencil.today).shortages
    assert (short.what, short.first_week, short.last_week) == ("lights", date(2026, 3, 16), date(2026, 5, 4))
    assert short.sentence.startswith(
        "2 trays under lights short in the weeks of 16 Mar to 4 May; most is taken"
    )
    assert "strawflower (N02) 2, strawflower (N01) 1" in short.sentence
    # No size of cell that a strawflower bears makes one tray of 278 cells, and it cannot be sown so much later.
    assert short.change == "2 more trays under lights, or N02 dropped"
    row = room_weeks(pencil.farm, pencil.today).rows[1]
    assert row.free(3) == -2 and row.free(0) == 1


def test_what_is_sown_is_counted_once() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=9)
    pencil.write("planned", plan="N01", **STRAW)
    pencil.later(18)
    sow(pencil)
    lights = room_weeks(pencil.farm, pencil.today).rows[1]
    assert lights.taken[0] == 1


# Through the session


@pytest.fixture
def session(tmp_path: Path) -> Session:
    lines = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 50ft")
    return farm_in(tmp_path / "farm", {"2026-03-01": lines})


def test_the_door_previews_and_writes_nothing_then_keeps_all_of_it(session: Session) -> None:
    before = session.farm.count
    view = preview_of(ZINNIA, session.farm, session.today, mark=session.mark, warmth=session.records.warmth)
    assert (
        isinstance(view, Preview)
        and session.farm.count == before
        and plan_rows(session.farm, session.today) == []
    )
    written = session.write(ZINNIA)
    assert isinstance(written, Written) and len(written.entries) == 2
    assert any("2 sowings" in remark for remark in written.remarks)
    assert [row.plan for row in plan_rows(session.farm, session.today)] == ["N01", "N02"]
    assert max(room_weeks(session.farm, session.today, 30).rows[0].taken) == sum(
        plan.feet for plan in view.plans
    )


def test_no_kind_has_a_field_that_every_entry_has_already() -> None:
    for kind in all_kinds():
        assert not {"id", "on", "at", "by", "kind"} & set(kind.fields), kind.name


def test_a_weekly_wish_is_undone_as_one(session: Session) -> None:
    session.write("plan 120 strawflower dry by 09-19")
    session.write(ZINNIA)
    assert len(plan_rows(session.farm, session.today)) == 3
    undone = session.undo()
    assert isinstance(undone, Written) and len(undone.entries) == 2
    assert [row.crop for row in plan_rows(session.farm, session.today)] == ["strawflower"]


def test_the_door_moves_one_number(session: Session) -> None:
    moved = moved_by(
        "120 strawflower dry by 09-19",
        session.farm,
        session.today,
        "germination",
        0.5,
        warmth=session.records.warmth,
    )
    assert isinstance(moved, Compared)
    assert {d.name for d in moved.differences} >= {"seeds", "cells"}
    for line, name in ((ZINNIA, "by"), ("120 strawflower dry by 09-19", "luck"), ("strawflower", "sure")):
        assert isinstance(
            moved_by(line, session.farm, session.today, name, 0.9, warmth=session.records.warmth), Problem
        )
    assert plan_rows(session.farm, session.today) == []
