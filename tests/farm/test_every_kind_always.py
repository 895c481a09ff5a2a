"""What must always hold, whatever is written of shed, shelf, bench and boxes, struck, merged and written late."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.book.entry import Entry
from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import apply, as_of, fold
from core.pieces.making import drafts_of
from core.places import BENCH, BUCKET, COOLER
from core.problems import Problem
from core.stems.rows import unbalanced
from tests.cases import cases
from tests.farm.every_kind import views
from tests.farms import Pencil, frozen, small_farm

PLACES = (BUCKET, COOLER, BENCH, "line 1", "line 2", "box 1", "box 2")
CLOCKS = st.sampled_from(("00:00", "06:40", "07:00", "12:30", "23:59"))
CAUSES = st.sampled_from(("mold", "shatter"))


class _Quick(Pencil):
    """A pencil that applies what it wrote since, and folds nothing anew."""

    def __init__(self, begun: Pencil) -> None:
        super().__init__()
        self.entries, self.today, self._ids = list(begun.entries), begun.today, begun._ids
        self._farm, self._applied = Farm(), 0

    @property
    def farm(self) -> Farm:
        for entry in self.entries[self._applied :]:
            apply(self._farm, entry)
            self._farm.count += 1
            self._farm.last_on = entry.on
        self._applied = len(self.entries)
        return self._farm


def _shed() -> Pencil:
    pencil = _Quick(small_farm().later(40))
    pencil.write("bought", making="wire 22", count=80)
    pencil.write("bought", making="ring 12in", count=4)
    pencil.write("recipe", recipe="posy", sort="bouquet")
    pencil.write("part", recipe="posy", what="any", count=3, form="dry")
    pencil.write("part", recipe="posy", what="wire 22", count=2, form="making")
    return pencil


Act = Callable[[], st.SearchStrategy[tuple[str, dict[str, Any]]]]


def _acts(farm: Farm) -> list[Act]:
    lot = st.sampled_from([lot.code for lot in farm.lots.all()] or ["L001"])
    piece = st.sampled_from([p.code for p in farm.pieces.all()] or ["M001"])
    place, stems = st.sampled_from(PLACES), st.integers(0, 45)
    per, count = st.sampled_from((1, 5, 10)), st.integers(1, 4)
    new = st.just(f"L{farm.codes.get('L', 0) + 1:03d}")
    f, rh = st.integers(30, 100), st.integers(20, 99)

    def act(kind: str, *may: str, **fields: st.SearchStrategy[Any]) -> Act:
        needed = {name: of for name, of in fields.items() if name not in may}
        optional = {name: fields[name] for name in may}
        return lambda: st.fixed_dictionaries(needed, optional=optional).map(lambda found: (kind, found))

    crop = st.sampled_from(("strawflower", "zinnia"))
    cut = act("cut", "clock", "dry_hours", "culls", lot=new, crop=crop, bed=st.just("b1"), stems=stems,
              use=st.sampled_from(("fresh", "dry", "wire")), clock=CLOCKS, dry_hours=st.integers(0, 30),
              culls=st.integers(0, 3))  # fmt: skip
    from_lot: dict[str, Any] = {"lot": lot, "source": place}
    return [
        cut,
        cut,
        act("hung", "clock", **from_lot, line=st.sampled_from(("line 1", "line 2")), stems=stems, clock=CLOCKS),
        act("moved", "clock", **from_lot, place=place, stems=stems, clock=CLOCKS),
        act("moved", "clock", lot=lot, source=st.just(BUCKET), place=st.just(COOLER), stems=stems, clock=CLOCKS),
        act("wired", **from_lot, heads=stems, gauge=st.just(22), wires=stems, insisted=st.just("anyway")),
        act("weighed", "clock", lot=lot, source=st.sampled_from(("line 1", "line 2")), grams=st.integers(5, 400),
            clock=CLOCKS),
        act("tested", lot=lot, result=st.sampled_from(("snaps", "snaps", "bends"))),
        act("boxed", "grade", **from_lot, box=st.sampled_from(("box 1", "box 2")), bunches=st.integers(1, 5), per=per,
            grade=st.sampled_from(("first", "second"))),
        act("sold", **from_lot, stems=stems),
        act("used", **from_lot, stems=stems),
        act("lost", **from_lot, count=stems, cause=CAUSES),
        act("counted", **from_lot, stems=stems, expected=stems),
        act("air", "f", "clock", room=st.sampled_from(("shed", "cooler")), f=f, rh_pct=rh, clock=CLOCKS),
        act("air range", room=st.just("shed"), low_f=st.integers(30, 50), high_f=st.integers(60, 90)),
        act("box checked", box=st.just("box 1"), result=st.sampled_from(("sound", "moth", "damp", "mice"))),
        act("box treated", box=st.just("box 1"), how=st.just("frozen"), days=st.integers(1, 9)),
        act("line", line=st.just("line 1"), feet=st.integers(1, 60)),
        act("reorder", making=st.just("wire 22"), count=st.integers(0, 90)),
        act("make", count=count),
        act("make", count=count),
        act("piece sold", piece=piece, count=count),
        act("piece lost", piece=piece, count=count, cause=CAUSES),
        act("spent", making=st.just("ring 12in"), count=count),
        act("stocktake", making=st.just("wire 22"), count=stems, expected=stems),
    ]  # fmt: skip


@st.composite
def seasons(draw: st.DrawFn, least: int = 4, most: int = 30) -> Pencil:
    """Whatever hands could write of every kind, sensible or not; only what the book takes is in it."""
    pencil = _shed()
    for _ in range(draw(st.integers(least, most))):
        pencil.later(draw(st.sampled_from((0, 0, 1, 3))))
        kind, fields = draw(draw(st.sampled_from(_acts(pencil.farm)))())
        if kind == "make":
            _make(pencil, fields["count"])
        elif pencil.refusal(kind, **fields) is None:
            pencil.write(kind, **fields)
    return pencil


def _make(pencil: Pencil, count: int) -> None:
    farm = pencil.farm
    drafted = drafts_of(farm, farm.recipes["posy"], count, pencil.today, insists=True)
    if not isinstance(drafted, Problem):
        for draft in drafted[0]:
            pencil.write(draft.kind, draft.on, **draft.fields)


def _overdrawn(farm: Farm) -> bool:
    return (
        any(held.stems < 0 for lot in farm.lots.all() for held in lot.holdings.values())
        or any(piece.on_hand < 0 for piece in farm.pieces.all())
        or any(count < 0 for count in farm.makings.values())
    )


def _sound(farm: Farm, day: date) -> None:
    """Every stem is somewhere, nothing is below nothing without a matter to settle, and every view opens."""
    assert unbalanced(farm) == []
    assert not _overdrawn(farm) or farm.matters
    for lot in farm.lots.all():
        assert set(lot.stays) <= {BUCKET, COOLER}
        assert all(path and path[-1][0] == place for place, path in lot.stays.items())
    for _, shown in views(farm, day):
        shown()


@given(seasons())
@cases(30)
def test_no_mix_of_kinds_loses_a_stem_or_a_making(pencil: Pencil) -> None:
    farm = pencil.farm
    assert farm.matters == [] and not _overdrawn(farm)
    _sound(farm, pencil.today)
    in_pieces = sum(stems for piece in farm.pieces.all() for _, _, stems in piece.stems)
    assert in_pieces == sum(3 * piece.count for piece in farm.pieces.all())
    rings = sum(
        e.fields["count"] for e in pencil.entries if e.kind == "spent" and e.fields["making"] == "ring 12in"
    )
    assert farm.makings["ring 12in"] == 4 - rings


@given(seasons(), st.randoms(use_true_random=False), st.integers(0, 40))
@cases(30)
def test_the_fold_is_blind_to_arrival_and_the_cached_fold_is_the_full_one(
    pencil: Pencil, chance: Any, cut: int
) -> None:
    ordered = sorted(pencil.entries, key=lambda e: e.key)
    whole = frozen(fold(ordered))
    shuffled = list(ordered)
    chance.shuffle(shuffled)
    assert frozen(fold(shuffled)) == whole
    cut = min(cut, len(ordered))
    assert frozen(fold(ordered[cut:], onto=thaw(*freeze(fold(ordered[:cut]))))) == whole


@given(seasons(), st.data())
@cases(20)
def test_whatever_a_merge_strikes_the_sums_hold_and_restoring_brings_all_back(
    pencil: Pencil, data: st.DataObject
) -> None:
    gone = data.draw(st.lists(st.sampled_from(pencil.entries), unique_by=lambda e: e.id, max_size=8))
    strikes = [pencil.made("strike", entry=e.id) for e in gone]
    struck = fold([*pencil.entries, *strikes])
    _sound(struck, pencil.today)
    assert _but_count(
        fold([*pencil.entries, *strikes, *(pencil.made("strike", entry=s.id) for s in strikes)])
    ) == (_but_count(fold(pencil.entries)))


def _but_count(farm: Farm) -> tuple[str, str]:
    farm.count, farm.last_on = 0, ""
    return frozen(farm)


@given(seasons(least=10), st.integers(0, 40), st.booleans())
@cases(15)
def test_the_book_read_as_of_any_day_adds_up(pencil: Pencil, back: int, strike_the_recipe: bool) -> None:
    entries = list(pencil.entries)
    if strike_the_recipe:
        recipe = next(e for e in entries if e.kind == "recipe")
        strike = pencil.made("strike", entry=recipe.id)
        entries += [strike, pencil.made("strike", entry=strike.id)]
    day = date.fromordinal(max(pencil.today.toordinal() - back, date(2026, 6, 1).toordinal()))
    farm = fold(as_of(entries, day.isoformat()))
    assert farm.matters == [] and not _overdrawn(farm)
    assert "posy" in farm.recipes
    _sound(farm, day)


@given(seasons(most=20), seasons(most=20), st.data())
@cases(15)
def test_two_machines_apart_lose_nothing_of_either_and_merge_either_way(
    here: Pencil, there: Pencil, data: st.DataObject
) -> None:
    """Both begin with the same farm and recipe, then give the same codes to lots and pieces of their own."""
    other = [Entry(f"{e.id[:-1]}f", e.on, e.at, "zz", e.kind, _of(there, e)) for e in there.entries]
    both, swapped = fold([*here.entries, *other]), fold([*other, *here.entries])
    assert frozen(both) == frozen(swapped)
    _sound(both, max(here.today, there.today))
    cut = sum(
        e.fields["stems"] + e.fields.get("culls", 0) for e in [*here.entries, *other] if e.kind == "cut"
    )
    assert sum(lot.cut for lot in both.lots.all()) == cut
    made = sum(e.fields["count"] for e in [*here.entries, *other] if e.kind == "made")
    assert sum(piece.count for piece in both.pieces.all()) == made


def _of(pencil: Pencil, entry: Entry) -> dict[str, Any]:
    """The fields with the other machine's ids in them."""
    return {k: f"{v[:-1]}f" if k in ("ref", "entry") else v for k, v in entry.fields.items()}
