"""Losses: where, why, and as a share of what came to that hand-over; the stage at the cut against them; in store."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import fold
from core.places import BENCH, BUCKET
from core.stems.kinds import DRY
from core.stems.losses import (
    ENOUGH_LOTS,
    HAND_OVERS,
    LossRow,
    loss_rows,
    losses,
    shrink,
    stage_rows,
    stem_days,
)
from core.stems.rows import balance, unbalanced
from tests.cases import cases
from tests.farms import Pencil, beds, frozen, small_farm


def cut(pencil: Pencil, lot: str, stems: int = 100, **more: Any) -> None:
    said = {"crop": "strawflower", "bed": "b1", "use": "dry"} | more
    pencil.write("cut", lot=lot, stems=stems, **said)


def lost(pencil: Pencil, lot: str, source: str, count: int, cause: str) -> None:
    pencil.write("lost", lot=lot, source=source, count=count, cause=cause)


def a_lot_with_losses_everywhere() -> Pencil:
    """105 cut, 5 culled; 100 in the bucket, 4 wilted; 60 hung, 6 molded; 20 wired, 1 split; 50 boxed, 5 to moth."""
    pencil = small_farm().later(60)
    cut(pencil, "L001", culls=5, cull_cause="blown")
    lost(pencil, "L001", BUCKET, 4, "wilted")
    pencil.write("hung", lot="L001", source=BUCKET, line="line 1", stems=60, per=10)
    pencil.write("wired", lot="L001", source=BUCKET, heads=20, gauge=22, wires=20)
    lost(pencil, "L001", BENCH, 1, "split")
    pencil.later(10)
    lost(pencil, "L001", "line 1", 6, "mold")
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=5, per=10)
    pencil.later(100)
    lost(pencil, "L001", "box 1", 5, "moth")
    return pencil


def test_a_loss_is_a_share_of_what_came_to_that_hand_over() -> None:
    rows = loss_rows(a_lot_with_losses_everywhere().farm.lots.all())
    assert [(r.form, r.cause, r.stems, r.of, r.share_pct) for r in rows] == [
        ("cut", "blown", 5, 105, 4.8),
        ("fresh", "wilted", 4, 100, 4.0),
        ("hanging", "mold", 6, 60, 10.0),
        ("wired", "split", 1, 20, 5.0),
        ("dry", "moth", 5, 50, 10.0),
    ]
    assert all((r.crop, r.lots) == ("strawflower", 1) for r in rows)


def test_stems_moved_from_line_to_line_or_box_to_box_came_once() -> None:
    pencil = a_lot_with_losses_everywhere()
    before = loss_rows(pencil.farm.lots.all())
    pencil.write("moved", lot="L001", source="box 1", place="box 2", stems=40)
    pencil.write("moved", lot="L001", source="line 1", place="line 9", stems=4)
    assert loss_rows(pencil.farm.lots.all()) == before


def test_lots_that_are_finished_count_too_also_from_a_cached_fold() -> None:
    pencil = a_lot_with_losses_everywhere()
    for source, stems in (("box 1", 45), ("line 1", 4), (BENCH, 19), (BUCKET, 16)):
        pencil.write("sold", lot="L001", source=source, stems=stems)
    farm = pencil.farm
    assert not list(farm.lots.live())
    assert sum(r.stems for r in loss_rows(farm.lots.all())) == 21
    live, past = freeze(farm)
    assert loss_rows(thaw(live, past).lots.all()) == loss_rows(farm.lots.all())


def test_losses_are_told_apart_as_asked() -> None:
    pencil = a_lot_with_losses_everywhere()
    pencil.later(400)
    cut(pencil, "L002", 50, crop="zinnia", bed="b2", culls=50, cull_cause="blown")
    farm = pencil.farm
    by_cause = {r.cause: r for r in loss_rows(farm.lots.all(), ("cause",))}
    assert by_cause["blown"] == LossRow("", "", "blown", 55, 205, 26.8, 2)  # of all that was cut
    assert next((r.form, r.stems, r.of) for r in loss_rows(farm.lots.all(), ("form",))) == ("cut", 55, 205)
    assert [(r.crop, r.stems, r.of) for r in loss_rows(farm.lots.all(), ("crop",))] == [
        ("strawflower", 21, 105), ("zinnia", 50, 100),
    ]  # fmt: skip
    assert {r.crop for r in losses(farm, pencil.today, crop="zinnia").rows} == {"zinnia"}
    year = (pencil.today - timedelta(days=400)).year
    assert {r.crop for r in losses(farm, pencil.today, year=year).rows} == {"strawflower"}
    assert losses(farm, pencil.today, year=1999).rows == ()


def test_a_count_is_a_loss_under_its_own_name_and_a_find_takes_it_back() -> None:
    pencil = a_lot_with_losses_everywhere()
    pencil.write("counted", lot="L001", source="box 1", stems=40, expected=45)
    (row,) = (r for r in loss_rows(pencil.farm.lots.all()) if r.cause == "miscounted")
    assert (row.form, row.stems, row.of) == (DRY, 5, 50)
    pencil.write("counted", lot="L001", source="box 1", stems=45, expected=40)
    assert not [r for r in loss_rows(pencil.farm.lots.all()) if r.cause == "miscounted"]


def test_a_struck_loss_is_none() -> None:
    pencil = a_lot_with_losses_everywhere()
    moth = next(e for e in pencil.entries if e.fields.get("cause") == "moth")
    farm = fold([*pencil.entries, pencil.made("strike", entry=moth.id)])
    assert "moth" not in {r.cause for r in loss_rows(farm.lots.all())}


# by the stage at the cut


def _staged(pencil: Pencil, number: int, stage: str | None, blown: int, *, boxed: bool = True) -> None:
    lot = f"L{number:03d}"
    cut(pencil, lot, 50, **({"stage": stage} if stage else {}))
    pencil.write("hung", lot=lot, source=BUCKET, line="line 1", stems=50, per=10)
    if blown:
        lost(pencil, lot, "line 1", blown, "blown")
    if boxed:
        left = 50 - blown
        pencil.write("boxed", lot=lot, source="line 1", box="box 1", bunches=left // 5, per=5)


def test_pollen_showing_at_the_cut_is_held_against_blown_in_the_shed() -> None:
    pencil = small_farm().later(60)
    for n in range(1, ENOUGH_LOTS + 1):
        _staged(pencil, n, "pollen showing", 10)
        _staged(pencil, n + 20, "2 rows open", 0)
    (row,) = (r for r in stage_rows(pencil.farm.lots.all()) if r.stage == "pollen showing")
    assert (row.lots, row.stems, row.lost, row.share_pct) == (4, 200, 40, 20.0)
    assert (row.other_lots, row.other_stems, row.other_lost, row.other_share_pct) == (4, 200, 0, 0.0)
    assert row.says == (
        "of 4 lots cut at 'pollen showing' (200 stems) 20 % blown, against 0 % of 4 lots (200 stems) cut at "
        "other stages"
    )


def test_too_few_lots_say_nothing_about_a_stage() -> None:
    pencil = small_farm().later(60)
    for n in range(1, ENOUGH_LOTS):
        _staged(pencil, n, "pollen showing", 10)
        _staged(pencil, n + 20, "2 rows open", 0)
    _staged(pencil, 40, "2 rows open", 0)
    (row,) = (r for r in stage_rows(pencil.farm.lots.all()) if r.stage == "pollen showing")
    assert row.share_pct is None and row.other_share_pct is None
    assert row.says.startswith("not yet: 3 lots of strawflower cut at 'pollen showing' and 4 at other stages")


def test_only_lots_that_are_through_and_whose_stage_was_seen_are_held_against_each_other() -> None:
    pencil = small_farm().later(60)
    _staged(pencil, 1, "Pollen  Showing", 10)
    _staged(pencil, 2, "pollen showing", 10)
    _staged(pencil, 3, "pollen showing", 10, boxed=False)  # still hangs
    _staged(pencil, 4, None, 10)  # nobody wrote the stage
    (row,) = stage_rows(pencil.farm.lots.all())
    assert (row.lots, row.lost, row.other_lots) == (2, 20, 0)


def test_what_was_culled_at_the_cut_is_not_the_stages_doing() -> None:
    pencil = small_farm().later(60)
    cut(pencil, "L001", 0, culls=50, cull_cause="blown", stage="pollen showing")
    assert stage_rows(pencil.farm.lots.all()) == []


# in store


def _store(stems: int) -> Pencil:
    """So many stems boxed on 1 January."""
    pencil = beds("b1", start="2026-01-01")
    cut(pencil, "L001", stems)
    pencil.write("hung", lot="L001", source=BUCKET, line="line 1", stems=stems, per=10)
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=stems // 10, per=10)
    return pencil


def test_what_a_year_in_the_box_costs() -> None:
    """400 stems boxed on 1 January, 40 found eaten on 2 July, the rest there on the next 1 January:
    (360 x 365 + 40 x 182) / 365.25 = 379.7 stems for a year; 40 of them lost is 10.5 %."""
    pencil = _store(400)
    pencil.later(182)
    lost(pencil, "L001", "box 1", 40, "moth")
    pencil.later(183)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and stem_days(lot, pencil.today) == 360 * 365 + 40 * 182
    found = shrink("", pencil.farm.lots.all(), pencil.today)
    assert (found.boxed, found.lost, found.stem_years, found.per_year_pct) == (400, 40, 379.7, 10.5)
    assert "5 to 10 % a year is usual (common practice)" in found.says


def test_a_box_that_was_sold_early_lay_less_long() -> None:
    pencil = _store(400)
    pencil.later(30).write("sold", lot="L001", source="box 1", stems=200)
    pencil.write("moved", lot="L001", source="box 1", place="box 2", stems=200)
    pencil.later(30)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and stem_days(lot, pencil.today) == 200 * 30 + 200 * 60


def test_a_short_count_shrinks_the_store_and_silence_is_no_share() -> None:
    pencil = _store(400)
    pencil.later(365)
    found = shrink("", pencil.farm.lots.all(), pencil.today)
    assert found.per_year_pct is None and "a count of a box would tell" in found.says
    pencil.write("counted", lot="L001", source="box 1", stems=380, expected=400)
    assert shrink("", pencil.farm.lots.all(), pencil.today).per_year_pct == 5.0


def test_a_month_of_one_box_is_too_little_to_tell() -> None:
    pencil = _store(100)
    pencil.later(30)
    lost(pencil, "L001", "box 1", 10, "moth")
    found = shrink("", pencil.farm.lots.all(), pencil.today)
    assert found.per_year_pct is None and found.says.startswith("not yet: 8 stems for one year")


def test_all_about_losses_in_one_value() -> None:
    pencil = a_lot_with_losses_everywhere()
    found = losses(pencil.farm, pencil.today)
    assert [r.form for r in found.hand_overs] == list(HAND_OVERS)
    assert sum(r.stems for r in found.rows) == sum(r.stems for r in found.hand_overs) == 21
    assert [s.crop for s in found.shrink] == ["strawflower"]
    nothing = losses(Farm(), pencil.today)
    assert (nothing.hand_overs, nothing.rows, nothing.stages, nothing.shrink) == ((), (), (), ())


# what always holds

BEGUN = date(2026, 5, 20)
MOST_STEMS = 24 * 65
CAUSES = ("mold", "wilted", "split", "moth", "blown")
GRADES = ("", "first", "second")
GOES_ON = {
    "fresh": ("hung", "hung", "wired"),
    "hanging": ("boxed", "boxed", "moved"),
    "wired": ("boxed",),
    "dry": ("moved", "lost", "counted", "wired", "hung"),
}
"""What is done next with stems in a form."""


@st.composite
def years_of_work(draw: st.DrawFn) -> Pencil:
    """Whatever hands could write in the shed over some years, stems leaving from where they are; what is refused is
    not in it."""
    pencil = small_farm()
    for _ in range(draw(st.integers(1, 24))):
        pencil.later(draw(st.integers(0, 90)))
        kind, fields = draw(_act(pencil.farm))
        if pencil.refusal(kind, **fields) is None:
            pencil.write(kind, **fields)
    return pencil


@st.composite
def _act(draw: st.DrawFn, farm: Farm) -> tuple[str, dict[str, Any]]:
    lots = list(farm.lots.live())
    lot = draw(st.sampled_from(lots)) if lots else None
    source = draw(st.sampled_from(list(lot.holdings))) if lot else BUCKET
    form = lot.holdings[source].form if lot else "fresh"
    kind = draw(st.sampled_from((*GOES_ON[form], *GOES_ON[form], "cut", "lost", "sold", "counted", "looked")))
    if kind == "cut" or lot is None:
        return "cut", {
            "lot": f"L{farm.codes.get('L', 0) + 1:03d}",
            "crop": draw(st.sampled_from(("strawflower", "statice"))),
            "bed": "b1",
            "use": draw(st.sampled_from(("fresh", "dry", "wire"))),
            "stems": draw(st.integers(0, 60)),
            "culls": draw(st.integers(0, 5)),
            "cull_cause": "blown",
        }
    held = lot.holdings[source].stems
    stems = draw(st.integers(1, max(held, 1)))
    box = draw(st.sampled_from(("box 1", "box 2")))
    of = {"lot": lot.code, "source": source}
    match kind:
        case "hung":
            return kind, of | {"line": draw(st.sampled_from(("line 1", "line 2"))), "stems": stems}
        case "wired":
            return kind, of | {"heads": stems, "gauge": 22, "wires": stems, "insisted": "anyway"}
        case "boxed":
            per = 1 if source == BENCH else draw(st.sampled_from((1, 5)))
            grade = draw(st.sampled_from(GRADES))
            graded = {"grade": grade} if grade else {}
            return kind, of | {"box": box, "bunches": max(stems // per, 1), "per": per} | graded
        case "moved":
            return kind, of | {"place": draw(st.sampled_from((box, "line 1", "line 2"))), "stems": stems}
        case "lost":
            return kind, of | {"count": stems, "cause": draw(st.sampled_from(CAUSES))}
        case "sold":
            return draw(st.sampled_from(("sold", "used"))), of | {"stems": stems}
        case "counted":
            return kind, of | {"stems": draw(st.integers(0, held + 5)), "expected": held}
    return draw(
        st.sampled_from(
            (
                ("box checked", {"box": box, "result": "moth"}),
                ("box treated", {"box": box, "how": "frozen", "days": 7}),
                ("box", {"box": box, "light": True}),
            )
        )
    )


@given(years_of_work())
@cases(120)
def test_stems_are_conserved_with_losses_in_every_form(pencil: Pencil) -> None:
    farm = pencil.farm
    assert farm.matters == [] and unbalanced(farm) == []
    rows = loss_rows(farm.lots.all())
    assert sum(r.stems for r in rows) == sum(balance(lot).lost for lot in farm.lots.all())
    for lot in farm.lots.all():
        culled = sum(stems for _, form, _, stems in lot.losses if form == "cut")
        assert lot.entered["cut"] == lot.cut == lot.entered["fresh"] + culled
        # more was never lost in a form than came into it and was found there
        lost_in = Counter[str]()
        for _, form, cause, stems in lot.losses:
            lost_in[form] += stems if cause != "miscounted" else 0
        found = Counter[str]()
        for _, form, cause, stems in lot.losses:
            found[form] += max(-stems, 0) if cause == "miscounted" else 0
        assert all(lost_in[form] <= lot.entered.get(form, 0) + found[form] for form in lost_in)


@given(years_of_work())
@cases(150)
def test_days_in_store_are_those_of_every_stem_on_every_day(pencil: Pencil) -> None:
    """Reckoned from one number kept with the lot; here by folding the book as of every day on which it changed."""
    changes = sorted({e.on for e in pencil.entries})
    until = [*changes[1:], pencil.today.isoformat()]
    days: Counter[str] = Counter()
    for on, after in zip(changes, until, strict=True):
        span = (date.fromisoformat(after) - date.fromisoformat(on)).days
        for lot in fold([e for e in pencil.entries if e.on <= on]).lots.live():
            days[lot.code] += span * sum(h.stems for h in lot.holdings.values() if h.form == DRY)
    for lot in pencil.farm.lots.all():
        assert stem_days(lot, pencil.today) == days[lot.code]


@given(years_of_work(), st.randoms(use_true_random=False))
@cases(50)
def test_losses_are_blind_to_the_order_of_arrival(pencil: Pencil, chance: Any) -> None:
    shuffled = list(pencil.entries)
    chance.shuffle(shuffled)
    assert frozen(fold(shuffled)) == frozen(pencil.farm)
    assert losses(fold(shuffled), pencil.today) == losses(pencil.farm, pencil.today)


@given(years_of_work(), st.integers(0, 30))
@cases(50)
def test_losses_of_a_cached_fold_are_those_of_the_whole(pencil: Pencil, at: int) -> None:
    ordered = sorted(pencil.entries, key=lambda e: (e.on, e.at, e.id))
    at = min(at, len(ordered))
    live, past = freeze(fold(ordered[:at]))
    farm = fold(ordered[at:], onto=thaw(live, past))
    assert frozen(farm) == frozen(pencil.farm)
    assert losses(farm, pencil.today) == losses(pencil.farm, pencil.today)


@given(years_of_work(), st.data())
@cases(40)
def test_whatever_is_struck_losses_add_up_and_days_in_store_fit_what_is_there(
    pencil: Pencil, data: st.DataObject
) -> None:
    gone = data.draw(st.lists(st.sampled_from(pencil.entries), unique_by=lambda e: e.id))
    farm = fold([*pencil.entries, *(pencil.made("strike", entry=e.id) for e in gone)])
    assert unbalanced(farm) == []
    for lot in farm.lots.all():
        # a day on adds each stem in store once, and nothing else
        there = sum(h.stems for h in lot.holdings.values() if h.form == DRY)
        assert stem_days(lot, pencil.today + timedelta(days=1)) - stem_days(lot, pencil.today) == there
        # and no day that was put down twice leaves centuries behind
        assert abs(stem_days(lot, pencil.today)) <= MOST_STEMS * (pencil.today - BEGUN).days


@pytest.mark.parametrize("form", list(HAND_OVERS))
def test_every_hand_over_has_a_name_and_a_list_of_causes(form: str) -> None:
    from core.cutting.lines import CULL_CAUSES
    from core.language.words import CAUSE_OF
    from core.stems.lines import CAUSES_IN

    listed = CULL_CAUSES if form == "cut" else CAUSES_IN[form]
    assert 3 <= len(listed) <= 8 and all(cause in CAUSE_OF.values() for cause in listed)
