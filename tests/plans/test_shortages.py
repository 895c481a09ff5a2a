"""Room spoken for twice by kept plans: who takes it, and the first change that solves it, reckoned anew."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.language.read import Reading, read_line
from core.plans.room_use import Spoken
from core.plans.room_weeks import room_weeks
from core.plans.shortages import Shortage
from tests.cases import cases
from tests.farms import Pencil
from tests.plans.test_plans import farm

WEEKS = 40


def kept(*lines: str, today: str = "2026-03-01", **room: float) -> Pencil:
    """A farm of two beds of 50 ft on which those plans are kept."""
    pencil = farm(today)
    for what, count in room.items():
        pencil.write("capacity", what=what, count=count)
    for line in lines:
        read = read_line(line, pencil.farm, pencil.today)
        assert isinstance(read, Reading), read
        for draft in read.drafts:
            pencil.write(draft.kind, **draft.fields)
    return pencil


def short(pencil: Pencil) -> list[Shortage]:
    return list(room_weeks(pencil.farm, pencil.today, WEEKS).shortages)


def test_two_plans_in_one_bed_and_the_bed_that_has_room() -> None:
    pencil = kept("plan 300 strawflower dry by 09-19 b1", "plan 300 strawflower white dry by 09-19 b1")
    (found,) = short(pencil)
    feet = [pencil.farm.plans[code].feet or 0 for code in ("N01", "N02")]
    assert (found.what, found.bed, found.plans) == ("bed", "b1", ("N01", "N02"))
    assert found.short == pytest.approx(sum(feet) - 50)
    assert "short in bed b1 in the weeks of 11 May to" in found.sentence
    # the plan that was written last is moved
    assert found.change == "N02 in bed b2"
    made = pencil.farm
    made.plans["N02"] = replace(made.plans["N02"], bed="b2")
    assert room_weeks(made, pencil.today, WEEKS).shortages == ()


def test_a_plan_too_long_for_any_bed_is_split_between_two() -> None:
    pencil = kept("plan 700 strawflower dry by 09-19 b1")
    (found,) = short(pencil)
    feet = pencil.farm.plans["N01"].feet
    assert feet is not None and 50 < feet < 100
    assert found.change == f"50 ft of N01 in bed b2, {round(feet - 50, 1):g} ft in bed b1"


def test_a_tray_that_would_do_in_smaller_cells() -> None:
    pencil = kept("plan 225 strawflower dry by 09-19", lights=1)
    (found,) = short(pencil)
    assert found.change == "N01 in trays of 162 cells instead of 128"
    again = kept("plan 225 strawflower dry by 09-19 162s", lights=1)
    assert again.farm.plans["N01"].cell_size == 162 and short(again) == []


def test_sown_earlier_where_the_window_lets_it() -> None:
    # Zinnia for September may go out a fortnight earlier and still be cut then.
    pencil = kept("plan 5 zinnia fresh by 09-10", "plan 5 zinnia fresh by 09-10", hardening=1)
    (found,) = short(pencil)
    assert "N02 sown" in found.change and "days earlier" in found.change


def test_later_where_it_cannot_be_earlier() -> None:
    pencil = kept("plan 60 strawflower dry by 09-30", "plan 60 strawflower white dry by 09-30", hardening=1)
    found = next(s for s in short(pencil) if s.what == "hardening")
    assert found.change == "N02 set out 14 days later, 28 May"


def test_what_is_begun_is_not_moved_and_then_there_must_be_more_room() -> None:
    pencil = kept("plan 60 strawflower dry by 09-30", lights=0)
    (before,) = short(pencil)
    assert before.change == "1 more tray under lights, or N01 dropped"
    pencil.later(20).write("sown", tray="S01", crop="strawflower", cells=45, cell_size=128, seeds=45)
    (found,) = short(pencil)
    assert "strawflower (S01) 1" in found.sentence and found.plans == ()
    assert found.change == "1 more tray under lights"


def test_a_sowing_of_a_weekly_wish_is_reckoned_with_all_of_its_weeks() -> None:
    pencil = kept("plan 10 bunches zinnia fresh a week from 08-05 b1", "plan 250 strawflower dry by 09-19 b1")
    lines = [s for s in short(pencil) if s.bed == "b1"]
    assert lines and all(s.change.endswith("in bed b2") for s in lines)


def test_no_room_is_short_where_none_was_ever_said() -> None:
    assert short(kept("plan 60 strawflower dry by 09-30")) == []


@cases(4, least=2)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["strawflower dry", "zinnia fresh", "statice dry", "cosmos fresh"]),
            st.integers(20, 500),
            st.sampled_from(["08-20", "09-10", "09-25"]),
            st.sampled_from(["b1", "b2", ""]),
        ),
        min_size=1,
        max_size=3,
    ),
    st.integers(0, 4),
    st.integers(0, 4),
)
def test_the_change_that_is_named_is_true(
    wishes: list[tuple[str, int, str, str]], lights: int, hardening: int
) -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=lights)
    pencil.write("capacity", what="hardening", count=hardening)
    for what, stems, by, bed in wishes:
        read = read_line(f"plan {stems} {what} by {by} {bed}", pencil.farm, pencil.today)
        if isinstance(read, Reading):
            for draft in read.drafts:
                pencil.write(draft.kind, **draft.fields)
    made, day = pencil.farm, pencil.today
    seen = room_weeks(made, day, WEEKS)

    def is_left(found: Shortage) -> bool:
        return any(
            kind == (found.what, found.bed) and found.first_week <= monday <= found.last_week
            for kind, monday in Spoken.of(made, day, seen.mondays).short
        )

    for found in seen.shortages:
        assert found.short > 0 and is_left(found)
        words = found.change.split()
        if words[1:3] == ["stems", "of"]:
            code = words[3]
            n = int(code[1:]) - 1
            what, stems, by, bed = wishes[n] if len(made.plans) == len(wishes) else ("", 0, "", "")
            if stems:
                assert int(words[0]) < stems
                fewer = read_line(f"plan {words[0]} {what} by {by} {bed}", pencil.farm, pencil.today)
                assert isinstance(fewer, Reading)
                other = fewer.drafts[0].fields
                kept_plan = made.plans[code]
                names = ("stems", "sow_on", "set_out_on", "cut_from", "cells", "seeds", "plants", "feet")
                made.plans[code] = replace(
                    kept_plan, **{name: other[name] for name in names if name in other}
                )
                assert not is_left(found), found.change
                made.plans[code] = kept_plan
            continue
        if words[1:3] == ["in", "bed"]:
            code, other = words[0], {"bed": words[3]}
        elif words[1:3] == ["in", "trays"]:
            code, other = words[0], {"cell_size": int(words[4])}
        elif words[-1] == "dropped":
            code, other = words[-2], {"dropped_on": day.isoformat()}
        else:
            continue
        kept_plan = made.plans[code]
        made.plans[code] = replace(kept_plan, **other)
        assert not is_left(found)
        made.plans[code] = kept_plan
    if wanting := [s for s in seen.shortages if s.what == "lights"]:
        made.capacity["lights"] = lights + max(ceil(s.short) for s in wanting)
        assert not any(is_left(s) for s in wanting)
