"""What must always hold: stems conserved, the fold blind to the order of arrival, strikes that restore."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.amend import amendments
from core.book.entry import Entry
from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import fold
from core.matters import matters
from core.places import BENCH, BUCKET
from core.stems.rows import balance, unbalanced
from tests.cases import cases
from tests.farms import Pencil, frozen, small_farm

PLACES = (BUCKET, BENCH, "line 1", "line 2", "box 1", "box 2")
AMOUNTS = st.integers(0, 60)


def _cut(pencil: Pencil, lot: str = "L001", stems: int = 40, **more: Any) -> None:
    pencil.write("cut", lot=lot, crop="strawflower", bed="b1", planting="P01", use="dry", stems=stems, **more)


@st.composite
def histories(draw: st.DrawFn) -> Pencil:
    """Whatever a day of hands could write, sensible or not; only what the book takes is in it."""
    pencil = small_farm()
    for _ in range(draw(st.integers(1, 25))):
        pencil.later(draw(st.integers(0, 4)))
        kind, fields = draw(_acts(pencil.farm))
        if pencil.refusal(kind, **fields) is None:
            pencil.write(kind, **fields)
    return pencil


def _acts(farm: Farm) -> st.SearchStrategy[tuple[str, dict[str, Any]]]:
    lots = [lot.code for lot in farm.lots.all()] or ["L001"]
    number = farm.codes.get("L", 0) + 1
    lot = st.sampled_from(lots)
    place = st.sampled_from(PLACES)

    def act(kind: str, **fields: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[str, dict[str, Any]]]:
        return st.fixed_dictionaries(fields).map(lambda f: (kind, f))

    return st.one_of(
        act(
            "cut",
            lot=st.just(f"L{number:03d}"),
            crop=st.just("strawflower"),
            bed=st.just("b1"),
            stems=AMOUNTS,
            use=st.sampled_from(["fresh", "dry", "wire"]),
            culls=st.integers(0, 5),
        ),
        act("hung", lot=lot, source=place, line=place, stems=AMOUNTS, per=st.sampled_from([5, 10])),
        act(
            "wired", lot=lot, source=place, heads=AMOUNTS, gauge=st.sampled_from([20, 22, 24]), wires=AMOUNTS
        ),
        act("tested", lot=lot, result=st.sampled_from(["snaps", "bends"])),
        act(
            "boxed",
            lot=lot,
            source=place,
            box=place,
            bunches=st.integers(0, 6),
            per=st.sampled_from([1, 5, 10]),
        ),
        act("moved", lot=lot, source=place, place=place, stems=AMOUNTS),
        act("sold", lot=lot, source=place, stems=AMOUNTS),
        act("used", lot=lot, source=place, stems=AMOUNTS),
        act("lost", lot=lot, source=place, count=AMOUNTS, cause=st.sampled_from(["mold", "shatter"])),
        act("counted", lot=lot, source=place, stems=AMOUNTS, expected=AMOUNTS),
    )


@given(histories())
@cases(120)
def test_no_order_of_events_can_lose_a_stem_or_make_one(pencil: Pencil) -> None:
    farm = pencil.farm
    assert farm.matters == []
    assert unbalanced(farm) == []
    for lot in farm.lots.all():
        assert all(held.stems > 0 for held in lot.holdings.values())


@given(histories(), st.randoms(use_true_random=False))
@cases(60)
def test_the_fold_is_blind_to_the_order_of_arrival(pencil: Pencil, chance: Any) -> None:
    shuffled = list(pencil.entries)
    chance.shuffle(shuffled)
    assert frozen(fold(shuffled)) == frozen(fold(pencil.entries))


@given(histories(), st.data())
@cases(60)
def test_striking_and_striking_the_strike_leaves_the_farm_as_it_was(
    pencil: Pencil, data: st.DataObject
) -> None:
    before = pencil.farm
    named = data.draw(st.sampled_from(pencil.entries))
    strike = pencil.made("strike", entry=named.id)
    again = pencil.made("strike", entry=strike.id)
    after = fold([*pencil.entries, strike, again])
    after.count -= 2
    after.last_on = before.last_on
    assert frozen(after) == frozen(before)


@given(histories(), st.data())
@cases(60)
def test_stems_add_up_whatever_is_struck(pencil: Pencil, data: st.DataObject) -> None:
    """After a merge anything may have been struck: the sums hold, and what does not fit is a matter to settle."""
    gone = data.draw(st.lists(st.sampled_from(pencil.entries), unique_by=lambda e: e.id))
    farm = fold([*pencil.entries, *(pencil.made("strike", entry=e.id) for e in gone)])
    assert unbalanced(farm) == []
    overdrawn = any(h.stems < 0 for lot in farm.lots.all() for h in lot.holdings.values())
    assert not overdrawn or farm.matters


@given(histories(), st.integers(0, 30))
@cases(60)
def test_folding_on_from_a_cached_base_gives_the_same_farm(pencil: Pencil, cut: int) -> None:
    cut = min(cut, len(pencil.entries))
    ordered = sorted(pencil.entries, key=lambda e: e.key)
    live, past = freeze(fold(ordered[:cut]))
    assert frozen(fold(ordered[cut:], onto=thaw(live, past))) == frozen(fold(ordered))


def test_strikes_in_a_ring_strike_nothing() -> None:
    one = Entry("a", "2026-05-20", "2026-05-20T06:00:00.001Z", "ml", "strike", {"entry": "b"})
    two = Entry("b", "2026-05-20", "2026-05-20T06:00:00.002Z", "ml", "strike", {"entry": "a"})
    found = amendments([one, two])
    assert found.gone == set()
    assert found.ring == ("a", "b")
    assert len(fold([one, two]).matters) == 2


def test_a_cut_is_on_hand_then_hung_then_boxed_and_always_adds_up() -> None:
    pencil = small_farm()
    pencil.later(40)
    _cut(pencil, stems=42, culls=3, cull_cause="blown")
    pencil.write("hung", lot="L001", source=BUCKET, line="line 2", stems=42, per=10)
    pencil.later(12).write("tested", lot="L001", result="snaps")
    pencil.write("boxed", lot="L001", source="line 2", box="box 7", bunches=4, per=10)
    pencil.write("lost", lot="L001", source="line 2", count=2, cause="broken")
    pencil.write("sold", lot="L001", source="box 7", stems=10)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None
    assert lot.holdings == {"box 7": (30, 10, pencil.today.isoformat(), "dry", "")}
    b = balance(lot)
    assert (b.cut, b.on_hand, b.sold, b.used, b.lost) == (45, 30, 10, 0, 5)
    assert lot.lost == {"blown": 3, "broken": 2}


def test_more_than_there_is_cannot_leave() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    refused = pencil.refusal("lost", lot="L001", source=BUCKET, count=41, cause="mold")
    assert refused is not None and "40 stems in the bucket" in refused.sentence
    assert refused.nearest == ("40",)


def test_a_count_corrects_the_book_and_keeps_the_difference() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    pencil.write("counted", lot="L001", source=BUCKET, stems=37, expected=40)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and lot.on_hand == 37 and lot.lost == {"miscounted": 3}
    pencil.write("counted", lot="L001", source=BUCKET, stems=40, expected=37)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and lot.on_hand == 40 and lot.lost == {}


def test_heads_are_wired_only_while_fresh_unless_she_insists() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    wire = {"lot": "L001", "heads": 12, "source": BUCKET, "gauge": 22, "wires": 12}
    assert pencil.refusal("wired", **wire) is None
    pencil.later(4)
    refused = pencil.refusal("wired", **wire)
    assert refused is not None and "4 days ago" in refused.sentence and refused.nearest == ("anyway",)
    pencil.write("wired", **wire, insisted="anyway")
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and lot.insisted == "anyway" and lot.holdings[BENCH].unit == "heads"


def test_wire_and_tape_are_counted_down_and_do_not_go_below_nothing() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    pencil.write("bought", making="wire 22", count=20)
    pencil.write("bought", making="tape", count=1)
    pencil.write("wired", lot="L001", heads=12, source=BUCKET, gauge=22, wires=12, tape=0.171)
    assert pencil.farm.makings == {"wire 22": 8, "tape": 0.829}
    refused = pencil.refusal("wired", lot="L001", heads=9, source=BUCKET, gauge=22, wires=9)
    assert refused is not None and "8 of wire 22" in refused.sentence


def test_a_code_given_twice_by_machines_apart_stays_two_lots() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    ours = pencil.entries[-1]
    theirs = pencil.made("cut", lot="L001", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=25)
    sold = pencil.made("sold", lot="L001", ref=theirs.id, source=BUCKET, stems=20)
    farm = fold([*pencil.entries, theirs, sold])
    first, second = farm.lots.get("L001"), farm.lots.get("L001-2")
    assert first is not None and first.made_by == ours.id and first.on_hand == 40
    assert second is not None and second.crop == "zinnia" and second.on_hand == 5
    assert len(farm.matters) == 1 and "given twice" in farm.matters[0].sentence


def test_what_two_machines_sold_twice_is_a_matter_and_not_a_guess() -> None:
    pencil = small_farm().later(40)
    _cut(pencil)
    here = pencil.made("sold", lot="L001", source=BUCKET, stems=30)
    there = pencil.made("sold", lot="L001", source=BUCKET, stems=30)
    farm = fold([*pencil.entries, here, there])
    assert [m.entry for m in farm.matters] == [there.id]
    assert "20 more stems of L001" in farm.matters[0].sentence
    assert unbalanced(farm) == []


def test_a_date_to_come_is_refused() -> None:
    pencil = small_farm()
    tomorrow = (pencil.today + timedelta(days=1)).isoformat()
    refused = pencil.refusal("low", on=tomorrow, f=34)
    assert refused is not None and "still to come" in refused.sentence


def test_an_entry_of_a_kind_unknown_here_is_kept_and_said() -> None:
    pencil = small_farm()
    farm = fold([*pencil.entries, pencil.made("moonphase", phase="new")])
    assert farm.count == len(pencil.entries) + 1
    assert "newer shedbook" in matters(farm)[0].sentence


def test_an_entry_with_senseless_fields_is_a_matter_and_stops_nothing() -> None:
    pencil = small_farm().later(40)
    farm = fold([*pencil.entries, pencil.made("cut", lot=7, stems="many"), pencil.made("low", f=None)])
    assert farm.matters and farm.plantings.get("P01") is not None
