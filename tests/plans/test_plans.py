"""Plans kept in the book: done work stands in their place as it happens."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cache import freeze, thaw
from core.codes import plan_called
from core.fold import fold
from core.kinds import sentence
from core.language.read import Reading, read_line
from core.plans.backward_plan import plan_back
from core.plans.kinds import next_plan_code
from core.plans.plan import Plan
from core.plans.rows import PlanRow, plan_rows
from core.plans.save_plan import ask_on, draft_of, season_frost
from core.plans.wish import Wish
from core.problems import Problem
from tests.cases import cases
from tests.farms import STRAW, Pencil, beds, frozen


def farm(start: str = "2026-03-01") -> Pencil:
    return beds("b1", "b2", start=start, last_frost="05-14", first_frost="09-28")


def reckoned(made: Plan) -> dict[str, Any]:
    """What of a kept plan's fields the reckoning gives."""
    cut_from, seeds = made.cut_from.isoformat(), made.seeds
    return {
        "cut_from": cut_from,
        "cells": seeds,
        "seeds": seeds,
        "plants": made.plants_out,
        "feet": made.feet,
    }


def row(pencil: Pencil, plan: str = "N01") -> PlanRow:
    return next(r for r in plan_rows(pencil.farm, pencil.today) if r.plan == plan)


def sow(
    pencil: Pencil, tray: str = "S01", variety: str | None = "apricot", cells: int = 78, **more: Any
) -> None:
    named = {"variety": variety} if variety else {}
    pencil.write("sown", tray=tray, crop="strawflower", cells=cells, seeds=cells, **named, **more)


def test_a_plan_is_filled_as_the_work_is_done() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    assert (row(pencil).next, row(pencil).next_on, row(pencil).says) == (
        "sow",
        "2026-03-19",
        "sow 19 Mar",
    )
    pencil.later(23)  # 24 March
    late = row(pencil)
    assert (late.behind, late.says) == (5, "behind by 5 days: sow")
    assert late.set_out is not None and late.set_out.due_on == "2026-05-19"
    assert late.cut.due_on == "2026-08-12"
    sow(pencil)
    sown = row(pencil)
    assert sown.sow is not None and sown.sow.says == "sown S01 on 24 Mar"
    assert (sown.next, sown.behind) == ("set out", 0)
    # 6 weeks in the tray [S01] end on 5 May, before the planned day: that stands.
    assert sown.next_on == "2026-05-14"
    pencil.later(60)  # 23 May
    assert row(pencil).says == "behind by 9 days: set out"
    pencil.write(
        "set out",
        planting="P01",
        tray="S01",
        crop="strawflower",
        variety="apricot",
        bed="b1",
        feet=14,
        plants=50,
    )
    out = row(pencil)
    assert out.set_out is not None and out.set_out.says == "set out P01 on 23 May"
    # 85 days at the longest from the real day
    assert (out.next, out.next_on) == ("cut", "2026-08-16")
    pencil.later(80)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=70)
    pencil.write("cut", lot="L002", crop="strawflower", bed="b1", planting="P01", use="fresh", stems=70)
    cut = row(pencil)
    assert (cut.stems_cut, cut.next) == (70, "cut")
    # 7 % of what is hung is lost in drying: 120 / 0.93 = 130 good stems are to be cut
    assert cut.says == "cut from 11 Aug, 70 of 130 stems to keep 120"
    pencil.later(3).write(
        "cut", lot="L003", crop="strawflower", bed="b1", planting="P01", use="dry", stems=50
    )
    assert (row(pencil).stems_cut, row(pencil).next) == (120, "cut")
    pencil.later(3).write(
        "cut", lot="L004", crop="strawflower", bed="b1", planting="P01", use="dry", stems=14
    )
    assert (row(pencil).stems_cut, row(pencil).next) == (134, "")


def test_a_plan_stays_until_it_is_met_or_short_and_says_which() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    pencil.write("planned", plan="N02", **{**STRAW, "variety": "white"})
    pencil.later(18)
    sow(pencil)
    pencil.later(56).write("set out", planting="P01", tray="S01", **BED_OF_APRICOT)
    pencil.later(90).write(
        "cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=134
    )
    assert (row(pencil).outcome, row(pencil).next) == ("met", "")
    assert row(pencil).says == "met: 134 of 130 stems cut to keep 120"
    assert row(pencil, "N02").outcome == ""
    pencil.today = date(2026, 9, 19)
    assert row(pencil, "N02").outcome == ""
    pencil.today = date(2026, 9, 20)
    short = row(pencil, "N02")
    assert (short.outcome, short.next, short.behind) == ("short", "", 0)
    assert short.says == "short by 130: 0 of 130 stems cut by 19 Sep"
    pencil.today = date(2026, 10, 4)
    assert plan_rows(pencil.farm, pencil.today) == []


BED_OF_APRICOT = {"crop": "strawflower", "variety": "apricot", "bed": "b1", "feet": 14, "plants": 50}


def test_work_of_another_variety_way_or_season_is_not_the_plans() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    sow(pencil, "S01", variety="white")
    sow(pencil, "S02", way="early")
    pencil.write("sown", tray="S03", crop="statice", cells=78, seeds=78)
    pencil.later(60)
    sow(pencil, "S04")
    assert pencil.farm.plans["N01"].sown == []


def test_two_trays_may_fill_one_plan_and_the_third_goes_to_the_next() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    pencil.write("planned", plan="N02", **{**STRAW, "sow_on": "2026-04-02", "set_out_on": "2026-05-20"})
    pencil.later(18)
    for tray in ("S01", "S02", "S03"):
        sow(pencil, tray, cells=39)
    plans = pencil.farm.plans
    assert [code for code, _, _ in plans["N01"].sown] == ["S01", "S02"]
    assert [code for code, _, _ in plans["N02"].sown] == ["S03"]


def test_a_plan_written_after_the_sowing_takes_it() -> None:
    pencil = farm("2026-03-18")
    sow(pencil)
    pencil.write("planned", plan="N01", **STRAW)
    assert row(pencil).next == "set out"


def test_a_drilled_crop_is_sown_and_out_on_one_day() -> None:
    pencil = farm("2026-04-20")
    pencil.write("planned", plan="N01", crop="larkspur", use="dry", stems=80, due_on="2026-12-01", sow_on="2026-04-23",
                 cut_from="2026-08-20", feet=14.0)  # fmt: skip
    assert row(pencil).next == "drill"
    pencil.later(4).write("drilled", planting="P01", crop="larkspur", bed="b2", feet=14)
    drilled = row(pencil)
    assert drilled.set_out is None
    assert drilled.sow is not None and drilled.sow.says == "drilled P01 on 24 Apr"
    assert drilled.next == "cut"


def test_bought_plants_need_no_sowing() -> None:
    pencil = farm("2026-05-16")
    pencil.write("planned", plan="N01", **{**STRAW, "sow_on": "2026-05-16", "set_out_on": "2026-05-17"})
    pencil.write(
        "set out", planting="P01", crop="strawflower", variety="apricot", bed="b1", feet=14, plants=50
    )
    assert row(pencil).next == "cut"


def test_striking_the_work_brings_the_plan_back() -> None:
    pencil = farm("2026-03-19")
    pencil.write("planned", plan="N01", **STRAW)
    sow(pencil)
    assert row(pencil).next == "set out"
    pencil.write("strike", entry=pencil.entries[-1].id)
    assert row(pencil).next == "sow"


def test_a_dropped_plan_is_gone_from_the_page_and_takes_no_work() -> None:
    pencil = farm("2026-03-19")
    pencil.write("planned", plan="N01", **STRAW)
    pencil.write("dropped", plan="N01")
    assert plan_rows(pencil.farm, pencil.today) == []
    sow(pencil)
    assert pencil.farm.plans["N01"].sown == []
    again = pencil.refusal("dropped", plan="N01")
    assert again is not None and "was dropped on 19 Mar 2026" in again.sentence
    assert next_plan_code(pencil.farm) == "N02"


@pytest.mark.parametrize(
    "wrong",
    [
        {"use": "eat"},
        {"stems": 0},
        {"due_on": "2025-09-19"},
        {"sow_on": "2026-06-01"},
        {"bed": "b9"},
        {"due_on": "soon"},
        {"due_on": "2026-09-31"},
    ],
)
def test_plans_that_cannot_be(wrong: dict[str, Any]) -> None:
    refused = farm().refusal("planned", plan="N01", **{**STRAW, **wrong})
    assert refused is not None and refused.sentence.endswith((".", "23"))


def test_two_machines_may_give_one_code_and_lose_no_plan() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    other = pencil.made("planned", plan="N01", **{**STRAW, "stems": 60})
    merged = fold([*pencil.entries, other])
    assert sorted(merged.plans) == ["N01", "N01-2"]
    assert "given twice" in merged.matters[0].sentence
    assert plan_called(merged, "n1") is merged.plans["N01"]


def test_room_is_kept_and_the_last_word_counts() -> None:
    pencil = farm()
    pencil.write("capacity", what="lights", count=24)
    pencil.write("capacity", what="lights", count=32)
    assert pencil.farm.capacity == {"lights": 32}
    assert pencil.refusal("capacity", what="cellar", count=1) is not None
    assert pencil.refusal("capacity", what="line", count=-1) is not None


@cases(40)
@given(st.integers(0, 12), st.randoms(use_true_random=False))
def test_the_fold_of_plans_is_blind_to_arrival_and_to_the_cache(cut: int, chance: Any) -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    pencil.write("capacity", what="line", count=80)
    pencil.later(18)
    sow(pencil)
    pencil.later(56).write(
        "set out",
        planting="P01",
        tray="S01",
        crop="strawflower",
        variety="apricot",
        bed="b1",
        feet=14,
        plants=50,
    )
    pencil.later(90).write(
        "cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=70
    )
    shuffled = list(pencil.entries)
    chance.shuffle(shuffled)
    whole = frozen(fold(pencil.entries))
    assert frozen(fold(shuffled)) == whole
    live, past = freeze(fold(pencil.entries[:cut]))
    assert frozen(fold(pencil.entries[cut:], onto=thaw(live, past))) == whole


# From a wish on the farm to the entry, and as one line


def test_a_wish_becomes_an_entry_the_book_takes() -> None:
    pencil = farm()
    ask = ask_on(
        pencil.farm, Wish("strawflower", 120, "dry", date(2026, 9, 19), "apricot"), pencil.today, bed="b1"
    )
    assert not isinstance(ask, Problem)
    made = plan_back(ask)
    assert not isinstance(made, Problem)
    draft = draft_of(made, pencil.farm, pencil.today, bed="b1")
    written = pencil.write(draft.kind, **draft.fields)
    assert written.fields == {**STRAW, **reckoned(made), "plan": "N01", "bed": "b1"}


def test_a_plan_in_one_line() -> None:
    pencil = farm()
    read = read_line("plan 120 strawflower 'apricot' dry by 09-19", pencil.farm, pencil.today)
    assert isinstance(read, Reading), read
    (draft,) = read.drafts
    dated = {
        name: STRAW[name] for name in ("crop", "variety", "use", "stems", "due_on", "sow_on", "set_out_on")
    }
    assert dated.items() <= dict(draft.fields).items()
    seeds = draft.fields["seeds"]
    says = sentence(draft)
    assert "sow 19 Mar 2026" in says and f"{seeds} seeds" in says
    assert not any("seeds" in remark for remark in read.remarks), "it is said once"
    assert any("kept 95 times in 100" in remark for remark in read.remarks)
    bunches = read_line("plan 12 bunches strawflower dry 19 sept b2", pencil.farm, pencil.today)
    assert isinstance(bunches, Reading), bunches
    assert (bunches.drafts[0].fields["stems"], bunches.drafts[0].fields["bed"]) == (120, "b2")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("plan 120 strawflower dry", "By which day?"),
        ("plan 120 strawflower by 09-19", "which use"),
        ("plan strawflower dry by 09-19", "How many stems"),
        ("plan 120 strawflower dry by 2020-09-19", "has gone by"),
        ("plan 120 strawflower dry by 08-01", "early way"),
        ("drop N07", "There is none"),
        ("room cellar 3", "Room for what?"),
        ("room lights", "How much room"),
    ],
)
def test_lines_that_cannot_be_read(line: str, says: str) -> None:
    pencil = farm()
    refused = read_line(line, pencil.farm, pencil.today)
    assert isinstance(refused, Problem)
    assert says in refused.sentence


def test_drop_and_room_in_one_line() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    drop = read_line("drop n1", pencil.farm, pencil.today)
    assert isinstance(drop, Reading) and drop.drafts[0].fields["plan"] == "N01"
    for line, fields in (
        ("room lights 24", {"what": "lights", "count": 24}),
        ("room line 120ft", {"what": "line", "count": 120}),
        ("room hardening 12", {"what": "hardening", "count": 12}),
    ):
        read = read_line(line, pencil.farm, pencil.today)
        assert isinstance(read, Reading), read
        assert dict(read.drafts[0].fields) == fields


def test_the_frost_of_the_season_the_stems_come_from() -> None:
    pencil = farm()
    # dried stems for February come of last summer
    assert season_frost(pencil.farm, date(2027, 2, 1)).last_frost == date(2026, 5, 14)
    assert season_frost(pencil.farm, date(2026, 9, 1)).last_frost == date(2026, 5, 14)
    # in the south spring comes in September and the autumn frost in the next calendar year
    south = Pencil("2026-07-01")
    south.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="09-20")
    south.write("frost", season="autumn", threshold_f=32, risk_pct=50, month_day="04-25")
    frost = season_frost(south.farm, date(2027, 2, 1))
    assert (frost.last_frost, frost.autumn[32, 50]) == (date(2026, 9, 20), date(2027, 4, 25))


def test_fresh_stems_meet_a_plan_only_where_they_keep_until_its_day() -> None:
    # Cut by the sheet from mid July on; promised for 25 August, for which what is cut a month before keeps no longer.
    pencil = farm("2026-05-14")
    asked = ask_on(pencil.farm, Wish("zinnia", 55, "fresh", date(2026, 8, 25)), pencil.today)
    assert not isinstance(asked, Problem)
    made = plan_back(asked)
    assert isinstance(made, Plan)
    pencil.write("planned", **draft_of(made, pencil.farm, pencil.today).fields)
    assert made.set_out_on is not None
    pencil.later((made.set_out_on - pencil.today).days)
    pencil.write("set out", planting="P01", crop="zinnia", bed="b1", feet=made.feet, plants=made.plants_out)
    for lot, day, stems in (
        ("L001", "2026-07-25", 80),
        ("L002", "2026-08-20", 40),
        ("L003", "2026-08-26", 50),
    ):
        pencil.today = date.fromisoformat(day)
        pencil.write("cut", lot=lot, crop="zinnia", planting="P01", bed="b1", use="fresh", stems=stems)
    assert row(pencil).says == "short by 15: 40 of 55 stems cut by 25 Aug"
    assert row(pencil).outcome == "short"


def test_a_plan_stays_listed_until_it_is_met_or_its_day_is_two_weeks_past() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **STRAW)
    pencil.today = date(2026, 9, 30)
    assert (row(pencil).outcome, row(pencil).says) == ("short", "short by 130: 0 of 130 stems cut by 19 Sep")
    pencil.today = date(2026, 10, 4)
    assert plan_rows(pencil.farm, pencil.today) == []


def test_a_plan_for_a_color_is_filled_by_what_is_of_it_unless_another_names_just_that() -> None:
    pencil = farm()
    pencil.write("planned", plan="N01", **{**STRAW, "variety": "red"})
    sow(pencil, tray="S01", variety="white")
    assert row(pencil).next == "sow"
    sow(pencil, tray="S02", variety="Dark Red")
    assert row(pencil).next == "set out"
    # and where one is kept for just that, it is its own
    pencil.write("planned", plan="N02", **{**STRAW, "variety": "pink"})
    pencil.write("planned", plan="N03", **{**STRAW, "variety": "soft pink"})
    sow(pencil, tray="S03", variety="soft pink")
    assert [row(pencil, plan).next for plan in ("N02", "N03")] == ["sow", "set out"]
