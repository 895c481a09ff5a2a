"""The room a plan takes, and clashes with the first change that solves each."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Figure, Sheet
from core.plans.backward_plan import plan_back
from core.plans.capacity import Room, Use, assumed, peak, room_of, uses_of_plan, weeks
from core.plans.clashes import beds_with_room, clashes
from core.plans.plan import Plan
from core.plans.plan_usage import uses_taken
from core.plans.wish import Ask, Wish
from core.units import short_day
from tests.cases import cases
from tests.farms import small_farm

pytestmark = pytest.mark.usefixtures("reckoned_once")

FROST = Frost.average(date(2026, 5, 14), date(2026, 9, 28))


def plan(crop: str, stems: int, use: str, by: date, **more: date) -> Plan:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    made = plan_back(replace(Ask(Wish(crop, stems, use, by), found, FROST), **more))
    assert isinstance(made, Plan), made
    return made


COSMOS = {
    "crop": "cosmos",
    "use": "fresh",
    "stems": 50,
    "due_on": "2026-08-01",
    "sow_on": "2026-04-10",
    "set_out_on": "2026-05-20",
    "cut_from": "2026-07-20",
    "cells": 60,
    "feet": 20.0,
}
STRAW = plan("strawflower", 120, "dry", date(2026, 9, 19))
"""Sown 19 Mar, hardened from 6 May, set out 14 May, cut 2 Aug to 7 Sep; 1 tray."""
FEET = STRAW.feet


def test_where_a_plan_stands_when() -> None:
    uses = {use.what: use for use in uses_of_plan(STRAW) if use.what != "line"}
    assert (uses["lights"].start, uses["lights"].end) == (date(2026, 3, 19), date(2026, 5, 5))
    assert (uses["hardening"].start, uses["hardening"].end) == (date(2026, 5, 6), date(2026, 5, 13))
    assert (uses["bed"].start, uses["bed"].end, uses["bed"].amount) == (
        date(2026, 5, 14),
        date(2026, 9, 7),
        FEET,
    )
    assert uses["lights"].amount == 1


def test_bunches_hang_six_inches_apart_while_they_dry() -> None:
    # [S105]: 6 in apart. A week's stems without the 15 % culled, in bunches of 10, for the week and 10 days of
    # drying.
    lines = [use for use in uses_of_plan(STRAW) if use.what == "line"]
    week = next(use for use in lines if use.start == date(2026, 8, 24))
    stems = next(each.stems for each in STRAW.by_week if each.monday == date(2026, 8, 24))
    assert week.amount == ceil(stems * 0.85 / 10) / 2
    assert week.end == date(2026, 8, 30) + timedelta(days=STRAW.drying_days or 0)
    # At the peak those of several weeks hang together.
    assert peak(lines, "line", date(2026, 8, 31)) == sum(
        use.amount for use in lines if use.start <= date(2026, 9, 6) and use.end >= date(2026, 8, 31)
    )


def test_room_never_said_cannot_clash_and_room_enough_does_not() -> None:
    assert clashes(STRAW, Room(), []) == []
    roomy = Room({"b1": (50, 36)}, lights=4, hardening=4, line=40)
    assert clashes(STRAW, roomy, []) == []
    assert {week.what for week in weeks(STRAW, roomy, [])} == {"bed", "lights", "hardening", "line"}


def test_too_few_trays_under_lights_and_what_would_solve_it() -> None:
    full = [Use("lights", date(2026, 3, 1), date(2026, 3, 25), 4, "snapdragon")]
    (clash,) = clashes(STRAW, Room(lights=4), full)
    assert (clash.what, clash.short) == ("lights", 1)
    assert "needs 1 tray under lights" in clash.sentence and "has 0 free" in clash.sentence
    # It cannot be sown earlier: the window opens on 14 May. Nor can a tray be halved. So: later.
    assert clash.change == "set out 7 days later, 21 May"


def test_another_bed_is_offered() -> None:
    room = Room({"b1": (20, 36), "b2": (50, 36)})
    stands = [Use("bed", date(2026, 5, 1), date(2026, 9, 30), 15, "zinnia", "b1")]
    (clash,) = clashes(STRAW, room, stands, "b1")
    assert clash.change == "bed b2 has room"
    assert "bed b1 has 5 free" in clash.sentence
    assert beds_with_room(STRAW, room, stands) == ["b2"]


def test_where_the_farm_has_no_room_no_bed_of_it_is_said_to_have_some() -> None:
    """Its free bed is counted on by plans that name no bed: to name it for this one would only take it from those."""
    room = Room(beds={"a1": (60, 36), "a9": (60, 36)})
    start, end = STRAW.in_bed_from, STRAW.occupied_to
    taken = [Use("bed", start, end, 60, "peony", "a1"), Use("bed", start, end, 60, "zinnia", None)]
    assert beds_with_room(STRAW, room, taken) == ["a9"]
    (clash,) = clashes(STRAW, room, taken)
    assert "the farm has 0 free" in clash.sentence and "has room" not in clash.change, clash
    assert clashes(STRAW, room, taken[:1]) == []


def test_a_bed_that_is_more_than_full_takes_nothing_of_the_others() -> None:
    room = Room(beds={"a1": (60, 36), "a9": (60, 36)})
    taken = [Use("bed", STRAW.in_bed_from, STRAW.occupied_to, 130, "peony", "a1")]
    assert clashes(STRAW, room, taken) == []
    (clash,) = clashes(STRAW, room, taken, "a1")
    assert clash.change == "bed a9 has room"


def test_smaller_cells_where_trays_are_short() -> None:
    # Some 140 cells: two trays of 128, one of 162, which is not closer than a strawflower may stand.
    big = plan("strawflower", 225, "dry", date(2026, 9, 19))
    assert big.cells is not None and 128 < big.cells <= 162 and big.trays == 2
    (clash,) = clashes(big, Room(lights=1), [])
    assert clash.change == "trays of 162 cells instead of 128"


def test_two_beds_where_neither_is_long_enough() -> None:
    (clash,) = clashes(STRAW, Room({"b1": (10, 36), "b2": (FEET - 9, 36), "b3": (2, 36)}), [])
    assert (clash.change, clash.short) == ("beds b1 and b2 have room together", round(FEET - 10, 1))


def test_more_room_where_nothing_in_the_plan_helps() -> None:
    full = [Use("lights", date(2026, 1, 1), date(2026, 9, 30), 4, "snapdragon")]
    (clash,) = clashes(STRAW, Room(lights=4), full)
    assert clash.change == "1 more tray under lights"
    (clash,) = clashes(STRAW, Room({"b1": (2, 36)}), [], "b1")
    assert clash.change == f"{round(FEET - 2, 1):g} ft more in bed b1"


def test_fewer_stems_where_there_is_no_other_bed() -> None:
    (clash,) = clashes(STRAW, Room({"b1": (12, 36)}), [])
    fewer = int(clash.change.split()[0])
    assert clash.change == f"{fewer} stems instead of 120"
    fits = plan("strawflower", fewer, "dry", date(2026, 9, 19))
    assert clashes(fits, Room({"b1": (12, 36)}), []) == []
    too_many = plan("strawflower", fewer + 1, "dry", date(2026, 9, 19))
    assert clashes(too_many, Room({"b1": (12, 36)}), [])


def test_sown_earlier_where_the_window_lets_it() -> None:
    zinnia = plan("zinnia", 100, "fresh", date(2026, 9, 10))
    late = [Use("hardening", zinnia.in_bed_from - timedelta(days=3), zinnia.in_bed_from, 9, "cosmos")]
    (clash,) = clashes(zinnia, Room(hardening=9), late)
    said = re.fullmatch(r"sow (\d+) days earlier, (.+)", clash.change)
    assert said is not None, clash.change
    out = zinnia.in_bed_from - timedelta(days=int(said[1]))
    earlier = plan("zinnia", 100, "fresh", date(2026, 9, 10), set_out_on=out)
    assert earlier.sow_on is not None and short_day(earlier.sow_on) == said[2]
    assert clashes(earlier, Room(hardening=9), late) == []


def test_a_plan_may_fit_in_all_beds_together_and_in_none_alone() -> None:
    room = Room({f"b{n}": (8, 36) for n in range(4)})
    (clash,) = clashes(STRAW, room, [])
    assert "no one bed has so much free" in clash.sentence


def test_a_bed_of_another_width_takes_other_feet() -> None:
    # 30 in bed, 10 in apart: 3 rows as well; 48 in: 4 rows: three quarters of the feet.
    assert beds_with_room(STRAW, Room({"wide": (FEET * 0.8, 48), "thin": (FEET * 0.8, 36)}), []) == ["wide"]


def test_what_the_farm_has_in_hand_takes_its_room() -> None:
    pencil = small_farm("2026-05-20")
    pencil.write("capacity", what="lights", count=2)
    pencil.write("sown", tray="S01", crop="cosmos", cells=72, cell_size=72, seeds=72)
    pencil.later(50).write(
        "cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=40
    )
    pencil.write("hung", lot="L001", source="bucket", line="line 1", stems=40, per=10)
    taken = uses_taken(pencil.farm, pencil.today)
    of = {use.who: use for use in taken}
    assert of["strawflower (L001)"].amount == 2.0  # 4 bunches, 6 in apart [S105]
    assert of["zinnia (P02)"].bed == "b2" and of["zinnia (P02)"].amount == 25
    assert any(use.what == "bed" and "S01" in use.who for use in taken)
    ask = Ask(Wish("sunflower", 400, "fresh", date(2026, 9, 15)), STRAW.ask.sheet, FROST)
    found = sheet("sunflower")
    assert isinstance(found, Sheet)
    big = plan_back(replace(ask, sheet=found, today=pencil.today))
    assert isinstance(big, Plan)
    (clash,) = clashes(big, room_of(pencil.farm), taken, "b2")
    assert clash.what == "bed" and clash.change


def test_a_tray_whose_size_of_cell_was_not_written_is_counted_at_the_size_that_suits_and_that_is_said() -> (
    None
):
    pencil = small_farm("2026-05-20")
    pencil.write("sown", tray="S01", crop="strawflower", cells=300, seeds=300)
    pencil.write("sown", tray="S02", crop="strawflower", cells=300, cell_size=200, seeds=300)
    trays = {use.who: use.amount for use in uses_taken(pencil.farm, pencil.today) if use.what == "lights"}
    # 300 cells in 128s are three trays, in 200s two.
    assert trays == {"strawflower (S01)": 3, "strawflower (S02)": 2}
    (said,) = assumed(pencil.farm)
    assert said == "S01: cells to a tray not written, counted as trays of 128. When sowing, write it: 128s."


def test_a_plan_that_should_have_been_sown_is_counted_as_sown_today() -> None:
    pencil = small_farm("2026-03-01")
    pencil.write("planned", plan="N01", **COSMOS | {"due_on": "2026-08-20"})
    pencil.later(50)  # 20 April, ten days late
    uses = {use.what: use for use in uses_taken(pencil.farm, pencil.today) if "N01" in use.who}
    assert uses["lights"].start == date(2026, 4, 20)
    assert (uses["bed"].start, uses["bed"].end) == (date(2026, 5, 30), date(2026, 8, 20))


def test_a_kept_plan_takes_its_room_until_it_is_begun() -> None:
    pencil = small_farm("2026-03-01")
    pencil.write("planned", plan="N01", **COSMOS)
    uses = [use for use in uses_taken(pencil.farm, pencil.today) if "N01" in use.who]
    assert {use.what for use in uses} == {"bed", "lights", "hardening"}
    pencil.later(40).write("sown", tray="S01", crop="cosmos", cells=60, cell_size=72, seeds=60)
    uses = [use for use in uses_taken(pencil.farm, pencil.today) if "N01" in use.who]
    assert uses == []


def test_a_tray_sown_for_a_plan_keeps_its_place_in_the_bed_of_the_plan() -> None:
    pencil = small_farm("2026-03-01")
    pencil.write("planned", plan="N01", bed="b2", **COSMOS)
    pencil.later(40).write("sown", tray="S01", crop="cosmos", cells=60, cell_size=72, seeds=60)
    (use,) = [u for u in uses_taken(pencil.farm, pencil.today) if u.what == "bed" and "S01" in u.who]
    assert use.bed == "b2"


@cases(12, least=2)
@given(st.integers(20, 800), st.integers(2, 40), st.integers(0, 3))
def test_a_change_that_is_named_solves(stems: int, feet: int, lights: int) -> None:
    made = plan("zinnia", stems, "fresh", date(2026, 9, 1))
    room = Room({"b1": (feet, 36)}, lights=lights)
    for clash in clashes(made, room, []):
        words = clash.change.split()
        assert words[1] in ("stems", "more", "ft") or words[0] in ("sow", "set", "trays")
        if words[0] in ("sow", "set"):
            shift = int(next(word for word in words if word.isdecimal())) * (-1 if "earlier" in words else 1)
            moved = plan_back(replace(made.ask, set_out_on=made.in_bed_from + timedelta(days=shift)))
            assert isinstance(moved, Plan) and clash.what not in {c.what for c in clashes(moved, room, [])}
        if words[1] == "ft":
            wider = Room({"b1": (feet + float(words[0]) + 0.1, 36)}, lights=lights)
            assert "bed" not in {c.what for c in clashes(made, wider, [])}
        if words[1] == "more":
            roomier = replace(room, lights=lights + int(words[0]))
            assert "lights" not in {c.what for c in clashes(made, roomier, [])}
            assert "lights" in {
                c.what for c in clashes(made, replace(roomier, lights=roomier.lights - 1), [])
            }
        if words[0] == "trays":
            closer = replace(made.ask.given, cells_per_tray=Figure(int(words[2]), "said"))
            fits = plan_back(replace(made.ask, given=closer, set_out_on=made.in_bed_from))
            assert isinstance(fits, Plan) and "lights" not in {c.what for c in clashes(fits, room, [])}
        if words[1] == "stems":
            fixed = replace(
                made.ask, wish=replace(made.wish, stems=int(words[0])), set_out_on=made.in_bed_from
            )
            fits = plan_back(fixed)
            assert isinstance(fits, Plan)
            assert clash.what not in {c.what for c in clashes(fits, room, [])}
