"""Which stems and makings a piece takes: the oldest first of what is fit, and what is short where there are too few."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from core.dialect import told_size
from core.drying.weighing import tests_of
from core.farm import Farm, Lot, Recipe
from core.fresh.rows import TOO_OLD, FreshRow, fresh_rows
from core.happened import PartOf
from core.patterns import pattern
from core.pieces.parts import MAKING, Wanted, wanted
from core.places import Holding, Place
from core.problems import Problem
from core.units import as_typed, tidy

SIZED = ("wreath", "crown")
"""Sorts whose parts grow with their size: a ring by its circumference, a crown by its length."""
MOST = 100_000
"""Pieces that may be asked for at once."""

_RING = pattern(r"(.*\D|)(\d+(?:\.\d+)?)in\b(.*)")


@dataclass(frozen=True, slots=True)
class Need:
    """What one part asks for in all: stems (whole) in a form, or so many of a making."""

    what: str
    form: str
    count: float


@dataclass(frozen=True, slots=True)
class Taken:
    """Stems of one lot taken from one place. `ref` is the id of the entry that made the lot.

    `unfit` says why they were taken only because she insists: "not snapped", "past its vase life"; else "".
    """

    lot: str
    ref: str
    source: Place
    stems: int
    what: str
    form: str
    crop: str
    variety: str | None
    cut_on: str
    unfit: str = ""


@dataclass(frozen=True, slots=True)
class Short:
    """A part of which there is too little. `unfit`: stems there that would do only if she insists."""

    what: str
    form: str
    needed: float
    there: float
    unfit: int = 0

    @property
    def short(self) -> float:
        """How many more are needed."""
        return round(self.needed - self.there, 3)


@dataclass(frozen=True, slots=True)
class Taking:
    """What making takes. Where anything is `short`, the rest is what could be taken.

    `uncounted`: makings of which the book keeps no count, and which therefore limit nothing.
    """

    stems: tuple[Taken, ...]
    makings: tuple[tuple[str, float], ...]
    short: tuple[Short, ...]
    uncounted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LotHolding:
    """Stems of one lot in one place that a piece could be made of. `fit`: dry, or young enough; else only if she
    insists. `left_days`: what is at least left of the vase life of fresh ones, which says what goes first; else 0."""

    lot: Lot
    source: Place
    held: Holding
    form: str
    fit: bool
    left_days: float


def needs(
    recipe: Recipe, count: int, *, size_in: float | None = None, spare_pct: float = 0
) -> tuple[Need, ...] | Problem:
    """What `count` pieces ask for, in another size where the sort has sizes, and with spare stems if asked.

    Stems are rounded up for each piece; makings are not made more by spare.
    """
    if not recipe.parts:
        return Problem(
            f"{recipe.code} has no parts yet: write one, such as 'part {recipe.code} 20 dry statice'.",
            "impossible",
        )
    if not 1 <= count <= MOST:
        return Problem(f"Say how many {recipe.code}, from 1 to {MOST}.", "impossible")
    ratio = 1.0
    if size_in is not None:
        if recipe.sort not in SIZED or not recipe.size_in:
            return Problem(
                f"{recipe.code} has no size to change: only {' and '.join(SIZED)} recipes with a size do.",
                "impossible",
            )
        if not 0.25 <= size_in / recipe.size_in <= 4:
            return Problem(
                f"{told_size(size_in)} is too far from the {told_size(recipe.size_in)} of {recipe.code}: write a "
                "recipe for it.",
                "impossible",
            )
        ratio = size_in / recipe.size_in
    return tuple(
        Need(what, form, tidy(each * count)) if form == MAKING else
        Need(what, form, up(each * count * (1 + spare_pct / 100)))
        for what, each, form in sized_parts(recipe.parts, ratio, recipe.size_in, size_in)
    )  # fmt: skip


def sized_parts(
    parts: Sequence[PartOf], ratio: float, size_in: float | None, new_in: float | None
) -> Iterator[PartOf]:
    """The parts of a recipe `ratio` times as large.

    Stems and whole makings (wire) are rounded up; what is bought by its size ("ring 12in") is taken in the new
    size and does not grow.
    """
    for part in parts:
        what, number, form = part
        if ratio == 1:
            yield part
        elif form != MAKING:
            yield part._replace(number=up(number * ratio))
        elif (found := _RING.fullmatch(what)) and size_in == float(found[2]) and new_in:
            yield part._replace(what=f"{found[1]}{as_typed(new_in)}in{found[3]}")
        elif number == int(number):
            yield part if number == 1 else part._replace(number=up(number * ratio))
        else:
            yield part._replace(number=round(number * ratio, 3))


def up(value: float) -> int:
    """Rounded up to a whole stem; a hair above a whole number is that number."""
    return math.ceil(round(value, 6))


def take_for(
    farm: Farm,
    wants: Sequence[Need],
    day: date,
    *,
    insists: bool = False,
    holdings: Sequence[LotHolding] | None = None,
) -> Taking:
    """What would be taken for these needs on that day, and what is short; `holdings` where they are known already.

    The earliest cut goes first, of fresh stems the earliest to expire; what is dry and boxed, or has snapped on its
    line, before what has not snapped, and that (like fresh stems past their vase life) only where she `insists`.
    The narrowest part takes first: colors before crops, crops before roles, roles before "any".
    """
    holdings = holdings_of(farm, day) if holdings is None else holdings
    left = {(h.lot.code, h.source): h.held.stems for h in holdings}
    taken: list[Taken] = []
    short: list[Short] = []
    stems = [n for n in wants if n.form != MAKING]
    own = farm.own_crops
    for need in sorted(stems, key=lambda need: _narrowest(need, own)):
        of = wanted(need.what, own)
        if isinstance(of, Problem):
            short.append(Short(need.what, need.form, need.count, 0))
            continue
        want = int(need.count)
        missing = want
        for holding in _fit(holdings, of, need.form):
            if not (holding.fit or insists) or missing == 0:
                continue
            key = holding.lot.code, holding.source
            some = min(missing, left[key])
            if some <= 0:
                continue
            left[key] -= some
            missing -= some
            taken.append(_taken(holding, some, need))
        if missing:
            unfit = sum(left[h.lot.code, h.source] for h in _fit(holdings, of, need.form) if not h.fit)
            short.append(Short(need.what, need.form, want, want - missing, 0 if insists else unfit))
    spent, lacking, uncounted = _makings(farm, wants)
    order = {(n.what, n.form): i for i, n in enumerate(wants)}
    short = sorted([*short, *lacking], key=lambda s: order[s.what, s.form])
    return Taking(tuple(taken), spent, tuple(short), uncounted)


def _narrowest(need: Need, own: tuple[str, ...]) -> int:
    of = wanted(need.what, own)
    return 0 if isinstance(of, Problem) else -of.narrowness


def _taken(holding: LotHolding, stems: int, need: Need) -> Taken:
    lot = holding.lot
    unfit = "" if holding.fit else "past its vase life" if holding.form == "fresh" else "not snapped"
    return Taken(
        lot.code,
        lot.made_by,
        holding.source,
        stems,
        need.what,
        need.form,
        lot.crop,
        lot.variety,
        lot.cut_on,
        unfit,
    )


def _fit(holdings: Sequence[LotHolding], of: Wanted, form: str) -> Iterator[LotHolding]:
    return (h for h in holdings if h.form == form and of.takes(h.lot))


def holdings_of(farm: Farm, day: date) -> list[LotHolding]:
    """All stems on hand that a piece could be made of, in the order in which they are taken."""
    fresh = {(row.lot, row.place): row for row in fresh_rows(farm, day)}
    holdings = [
        _holding(lot, place, held, fresh.get((lot.code, place)))
        for lot in farm.lots.live()
        for place, held in lot.holdings.items()
        if held.stems > 0 and lot.cut_on <= day.isoformat() and not place.is_set_aside
    ]
    return sorted(holdings, key=lambda h: (not h.fit, h.left_days, h.lot.cut_on, h.lot.code, h.source))


def _holding(lot: Lot, place: Place, held: Holding, fresh: FreshRow | None) -> LotHolding:
    if place.is_line:
        return LotHolding(lot, place, held, "dry", has_snapped(lot, place), 0)
    if fresh is None:
        return LotHolding(lot, place, held, held.form, True, 0)
    left = fresh.left_days[0] if fresh.left_days is not None else math.inf
    return LotHolding(lot, place, held, held.form, fresh.status not in TOO_OLD, left)


def has_snapped(lot: Lot, place: Place) -> bool:
    """Whether the last snap test of what hangs there said that it is dry."""
    tests = tests_of(lot, place)
    return bool(tests) and tests[-1].result == "snaps"


def _makings(
    farm: Farm, wants: Sequence[Need]
) -> tuple[tuple[tuple[str, float], ...], tuple[Short, ...], tuple[str, ...]]:
    """(what is spent, what is short, what is not counted) of the makings."""
    total: dict[str, float] = {}
    for need in wants:
        if need.form == MAKING:
            total[need.what] = tidy(total.get(need.what, 0) + need.count)
    short = tuple(
        Short(name, MAKING, count, max(farm.makings[name], 0))
        for name, count in total.items()
        if name in farm.makings and farm.makings[name] < count
    )
    return tuple(total.items()), short, tuple(name for name in total if name not in farm.makings)


def most_that_can_be_made(
    farm: Farm, recipe: Recipe, day: date, holdings: Sequence[LotHolding] | None = None
) -> tuple[int, Short | None] | Problem:
    """(how many pieces what is on hand will make, the part that limits them).

    The part is None where nothing limits the number: no part is counted.
    """
    holdings = holdings_of(farm, day) if holdings is None else holdings

    def shorts(count: int) -> tuple[Short, ...] | Problem:
        wants = needs(recipe, count)
        return wants if isinstance(wants, Problem) else take_for(farm, wants, day, holdings=holdings).short

    low, high = 0, 1
    while high <= MOST:
        lacking = shorts(high)
        if isinstance(lacking, Problem):
            return lacking
        if lacking:
            break
        low, high = high, high * 2
    if high > MOST:
        return low, None
    while high - low > 1:
        middle = (low + high) // 2
        if shorts(middle):
            high = middle
        else:
            low = middle
    lacking = shorts(low + 1)
    assert not isinstance(lacking, Problem) and lacking
    return low, lacking[0]
