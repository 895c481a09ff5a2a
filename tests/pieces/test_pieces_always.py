"""What must hold whatever is made, sold, lost, counted, struck and merged: no stem and no making is lost or made."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import fold
from core.kinds import problem_with
from core.language.complete import complete
from core.language.read import read_line
from core.pieces.bench import bench_rows
from core.pieces.lines import read_order
from core.pieces.making import drafts_of
from core.pieces.taking import needs, take_for
from core.places import BUCKET
from core.problems import Problem
from core.stems.rows import unbalanced
from core.text import is_clean
from tests.cases import cases
from tests.farms import TODAY, Pencil, frozen, guide_farm, small_farm
from tests.language.slipped import slipped

PARTS = (
    ("statice", "dry"),
    ("strawflower", "dry"),
    ("strawflower apricot", "dry"),
    ("any", "dry"),
    ("any filler", "dry"),
    ("strawflower", "wired"),
    ("any", "fresh"),
    ("wire 22", "making"),
    ("ring 12in", "making"),
    ("ribbon", "making"),
)


def _stocked(draw: st.DrawFn) -> Pencil:
    pencil = small_farm().later(40)
    pencil.write("bought", making="wire 22", count=draw(st.integers(1, 60)))
    pencil.write("bought", making="ring 12in", count=draw(st.integers(1, 6)))
    for n in range(1, draw(st.integers(4, 9))):
        crop, variety = draw(
            st.sampled_from((("statice", None), ("strawflower", "apricot"), ("strawflower", None)))
        )
        stems = draw(st.integers(10, 40))
        bed: dict[str, Any] = {"crop": crop, "bed": "b1", "stems": stems, "lot": f"L{n:03d}"}
        if variety:
            bed["variety"] = variety
        how = draw(st.sampled_from(("dry", "hanging", "wire", "fresh")))
        pencil.write("cut", use="dry" if how in ("dry", "hanging") else how, **bed)
        if how in ("dry", "hanging"):
            pencil.write("hung", lot=bed["lot"], source=BUCKET, line="line 1", stems=stems)
        if how == "dry":
            pencil.write("tested", lot=bed["lot"], result="snaps")
        if how == "wire" and pencil.farm.makings["wire 22"] >= stems:
            pencil.write("wired", lot=bed["lot"], source=BUCKET, heads=stems, gauge=22, wires=stems)
        pencil.later(draw(st.integers(0, 3)))
    return pencil


@st.composite
def benches(draw: st.DrawFn) -> Pencil:
    """A stocked shed, a recipe or two, and whatever hands may do with them; only what the book takes is in it."""
    pencil = _stocked(draw)
    for name in ("one", "two"):
        pencil.write("recipe", recipe=name, sort="wreath", size_in=12)
        for what, form in draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=3, unique=True)):
            pencil.write("part", recipe=name, what=what, count=draw(st.integers(1, 7)), form=form)
    for _ in range(draw(st.integers(4, 14))):
        act = draw(
            st.sampled_from(("make", "make", "make", "sell", "lose", "used", "spent", "stocktake", "bought"))
        )
        _do(pencil, act, draw)
        pencil.later(draw(st.integers(0, 2)))
    return pencil


def _do(pencil: Pencil, act: str, draw: st.DrawFn) -> None:
    farm, count = pencil.farm, draw(st.integers(1, 3))
    pieces = [p.code for p in farm.pieces.all()]
    making = draw(st.sampled_from(("wire 22", "ring 12in")))
    if act == "make":
        recipe = farm.recipes[draw(st.sampled_from(("one", "two")))]
        drafted = drafts_of(farm, recipe, count, pencil.today, insists=draw(st.booleans()))
        if not isinstance(drafted, Problem):
            for draft in drafted[0]:
                pencil.write(draft.kind, draft.on, **draft.fields)
        return
    tried: dict[str, tuple[str, dict[str, Any]]] = {
        "sell": ("piece sold", {"piece": draw(st.sampled_from(pieces or ["M001"])), "count": count}),
        "lose": (
            "piece lost",
            {"piece": draw(st.sampled_from(pieces or ["M001"])), "count": count, "cause": "moth"},
        ),
        "used": ("used", {"lot": "L001", "source": "line 1", "stems": count}),
        "spent": ("spent", {"making": making, "count": count}),
        "stocktake": ("stocktake", {"making": making, "count": count, "expected": farm.makings[making]}),
        "bought": ("bought", {"making": making, "count": count}),
    }
    kind, fields = tried[act]
    if pencil.refusal(kind, **fields) is None:
        pencil.write(kind, **fields)


def _in_pieces(farm: Farm) -> dict[str, int]:
    """Stems of each lot that its pieces hold."""
    held: dict[str, int] = {}
    for piece in farm.pieces.all():
        for lot, _, stems in piece.stems:
            held[lot] = held.get(lot, 0) + stems
    return held


GUIDE_FARM = guide_farm()
LINES = (
    "recipe posy bouquet 15min: 8 dry straw, 1 ribbon",
    "recipe crown-b: 3x10 dry strawflower apricot and 2 wire 20",
    "recipe wreath-12 as wreath 12in",
    "part crown-b 6 dry any filler",
    "make 2 crown-b 80min",
    "sold 1 M001 to corner florist",
    "lost 1 M001 broken",
    "reorder 200 wire 22",
)
WORDS = sorted(
    {w for line in LINES for w in line.split()} | {":", ",", "0", "-3", "1.5", "'x", "L035", "cooler", "all"}
)


@given(slipped(LINES, WORDS))
@cases(400)
def test_no_slip_in_a_line_of_pieces_raises_or_makes_an_ill_entry(text: str) -> None:
    result = read_line(text, GUIDE_FARM, TODAY)
    if isinstance(result, Problem):
        assert result.sentence and is_clean(result.sentence)
    else:
        assert all(problem_with(draft.kind, draft.fields) is None for draft in result.drafts)
    done = complete(text, GUIDE_FARM, TODAY)
    assert done.says and len(done.says) <= 76
    read_order(text, GUIDE_FARM, TODAY)


@given(benches())
@cases(80)
def test_no_order_of_making_loses_a_stem_or_takes_one_that_is_not_there(pencil: Pencil) -> None:
    farm = pencil.farm
    assert farm.matters == [] and unbalanced(farm) == []
    for lot in farm.lots.all():
        assert all(held.stems > 0 for held in lot.holdings.values())
        assert _in_pieces(farm).get(lot.code, 0) <= lot.used
    used = sum(e.fields["stems"] for e in pencil.entries if e.kind == "used" and "piece" in e.fields)
    assert sum(_in_pieces(farm).values()) == used
    for piece in farm.pieces.all():
        assert piece.on_hand >= 0
        recipe = farm.recipes[piece.recipe]
        stems = sum(count for _, count, form in recipe.parts if form != "making")
        assert sum(n for _, _, n in piece.stems) == stems * piece.count


@given(benches())
@cases(80)
def test_makings_are_what_was_bought_less_what_was_spent_since_they_were_last_counted(pencil: Pencil) -> None:
    expected: dict[str, float] = {}
    for entry in pencil.entries:
        f = entry.fields
        if entry.kind == "bought":
            expected[f["making"]] = expected.get(f["making"], 0) + f["count"]
        elif entry.kind == "stocktake":
            expected[f["making"]] = f["count"]
        elif entry.kind == "spent" and f["making"] in expected:
            expected[f["making"]] -= f["count"]
        elif entry.kind == "wired":
            expected["wire 22"] -= f["wires"]
    assert pencil.farm.makings == expected
    assert all(count >= 0 for count in expected.values())


@given(benches())
@cases(60)
def test_what_the_bench_says_can_be_made_can_be_made_and_no_more(pencil: Pencil) -> None:
    farm = pencil.farm
    for row in bench_rows(farm, pencil.today).recipes:
        if row.can_make is None:
            continue
        recipe = farm.recipes[row.recipe]
        more = drafts_of(farm, recipe, row.can_make + 1, pencil.today)
        assert isinstance(more, Problem)
        if row.can_make:
            assert not isinstance(drafts_of(farm, recipe, row.can_make, pencil.today), Problem)


@given(benches(), st.integers(1, 6))
@cases(60)
def test_what_is_taken_and_what_is_short_are_together_what_is_needed(pencil: Pencil, count: int) -> None:
    farm = pencil.farm
    for recipe in farm.recipes.values():
        wants = needs(recipe, count)
        assert not isinstance(wants, Problem)
        taking = take_for(farm, wants, pencil.today)
        for need in wants:
            if need.form == "making":
                continue
            got = sum(t.stems for t in taking.stems if (t.what, t.form) == (need.what, need.form))
            lacking = sum(s.short for s in taking.short if (s.what, s.form) == (need.what, need.form))
            assert got + lacking == need.count


@given(benches(), st.data())
@cases(60)
def test_after_a_merge_anything_may_be_struck_and_the_sums_hold(pencil: Pencil, data: st.DataObject) -> None:
    gone = data.draw(st.lists(st.sampled_from(pencil.entries), unique_by=lambda e: e.id, max_size=8))
    farm = fold([*pencil.entries, *(pencil.made("strike", entry=e.id) for e in gone)])
    assert unbalanced(farm) == []
    overdrawn = any(h.stems < 0 for lot in farm.lots.all() for h in lot.holdings.values())
    overdrawn = overdrawn or any(p.on_hand < 0 for p in farm.pieces.all())
    overdrawn = overdrawn or any(count < 0 for count in farm.makings.values())
    assert not overdrawn or farm.matters
    bench_rows(farm, pencil.today)


@given(benches(), st.randoms(use_true_random=False), st.integers(0, 40))
@cases(60)
def test_the_fold_of_pieces_is_blind_to_arrival_and_goes_on_from_a_cached_base(
    pencil: Pencil, chance: Any, cut: int
) -> None:
    ordered = sorted(pencil.entries, key=lambda e: e.key)
    shuffled = list(ordered)
    chance.shuffle(shuffled)
    whole = frozen(fold(ordered))
    assert frozen(fold(shuffled)) == whole
    cut = min(cut, len(ordered))
    assert frozen(fold(ordered[cut:], onto=thaw(*freeze(fold(ordered[:cut]))))) == whole
