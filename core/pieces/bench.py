"""The bench: heads to wire and wired, pieces and what could be made, makings and what is to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.cautions import cautions_at
from core.farm import Farm, Lot, Piece, Recipe
from core.patterns import pattern
from core.pieces.making import part_text
from core.pieces.parts import MAKING
from core.pieces.recipes import HEADS_AN_HOUR
from core.pieces.taking import LotHolding, Short, holdings_of, most_that_can_be_made
from core.pieces.wiring import FRESH_DAYS
from core.places import FRESH_PLACES, place_name
from core.problems import Problem
from core.reckon.wire_gauges import gauge_text

BUY, SHORT_OF = "buy", "none left"
"""What is to be done about a making: it is at its number to buy again, or there is none at all."""

WORN = ("boutonniere", "corsage", "crown")
"""Sorts that are worn against the skin."""

_WIRE = pattern(r"wire ([0-9]{1,2})\b.*")


@dataclass(frozen=True, slots=True)
class ToWireRow:
    """Fresh heads cut to be wired, still soft. `wire_by` is the last day for it; `minutes` least and most."""

    lot: str
    crop: str
    variety: str | None
    heads: int
    place: str
    cut_on: str
    wire_by: str
    days_left: int
    minutes: tuple[int, int]
    source: str


@dataclass(frozen=True, slots=True)
class HeadsRow:
    """Wired heads of one crop, color and gauge, the oldest cut of them, and where they are.

    `gauges` are all that its lots were wired with; where there are several, the book cannot tell the heads apart.
    """

    crop: str
    variety: str | None
    gauges: tuple[int, ...]
    gauge: str
    heads: int
    lots: tuple[str, ...]
    places: tuple[str, ...]
    cut_on: str
    age_days: int


@dataclass(frozen=True, slots=True)
class PieceRow:
    """Pieces on hand that were made together. `minutes_each` where the time was written."""

    piece: str
    recipe: str
    sort: str
    made_on: str
    age_days: int
    made: int
    on_hand: int
    sold: int
    lost: int
    stems: int
    lots: tuple[str, ...]
    minutes_each: float | None


@dataclass(frozen=True, slots=True)
class MakingRow:
    """A making. `says` tells a wire's thickness and standard; `status` is "buy", "none left" or ""."""

    making: str
    says: str
    count: float
    reorder_at: float | None
    status: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part of a recipe; `text` is all of it in words, `says` a wire's thickness and standard."""

    what: str
    form: str
    count: float
    text: str
    says: str


@dataclass(frozen=True, slots=True)
class RecipeRow:
    """A recipe, how many what is on hand will make, and the part that limits them.

    `can_make` is None where it has no parts, or nothing of it is counted. `minutes_own` is what a piece took on
    average, where that was written.
    """

    recipe: str
    sort: str
    size_in: float | None
    minutes: float | None
    minutes_own: float | None
    parts: tuple[PartRow, ...]
    can_make: int | None
    limited_by: str | None
    uncounted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """All of the bench on one day."""

    day: str
    to_wire: tuple[ToWireRow, ...]
    heads: tuple[HeadsRow, ...]
    pieces: tuple[PieceRow, ...]
    recipes: tuple[RecipeRow, ...]
    makings: tuple[MakingRow, ...]
    cautions: tuple[str, ...]


def bench_rows(farm: Farm, day: date) -> Bench:
    """Everything the bench has and lacks on `day`."""
    holdings = holdings_of(farm, day)
    pieces = [p for p in farm.pieces.live() if p.made_on <= day.isoformat()]
    return Bench(
        day.isoformat(),
        _to_wire(farm, day),
        _heads(farm, day),
        tuple(_piece_row(p, day) for p in sorted(pieces, key=lambda p: (p.made_on, p.code))),
        tuple(_recipe_row(farm, recipe, day, holdings) for recipe in farm.recipes.values() if recipe.parts),
        making_rows(farm),
        tuple(caution.told for caution in cautions_at("bench")),
    )


def _to_wire(farm: Farm, day: date) -> tuple[ToWireRow, ...]:
    rows = []
    slow, quick = HEADS_AN_HOUR
    each, source = (60 / quick, 60 / slow), f"{slow} to {quick} heads an hour (common practice)"
    own = next((r for r in farm.recipes.values() if r.sort == "wired head" and r.minutes and r.parts), None)
    if own is not None and own.minutes:
        each, source = (own.minutes, own.minutes), f"recipe {own.code}"
    for lot in farm.lots.live():
        by = date.fromisoformat(lot.cut_on) + timedelta(days=FRESH_DAYS)
        if lot.use != "wire" or day > by:
            continue
        for place in FRESH_PLACES:
            held = lot.holdings.get(place)
            if held is None or held.stems <= 0:
                continue
            minutes = round(held.stems * each[0]), round(held.stems * each[1])
            rows.append(
                ToWireRow(
                    lot.code,
                    lot.crop,
                    lot.variety,
                    held.stems,
                    place,
                    lot.cut_on,
                    by.isoformat(),
                    (by - day).days,
                    minutes,
                    source,
                )
            )
    return tuple(sorted(rows, key=lambda r: (r.cut_on, r.lot, r.place)))


def _heads(farm: Farm, day: date) -> tuple[HeadsRow, ...]:
    groups: dict[tuple[str, str | None, tuple[int, ...]], list[tuple[Lot, str, int]]] = {}
    for lot in farm.lots.live():
        for place, held in lot.holdings.items():
            if held.form == "wired" and held.stems > 0:
                key = lot.crop, lot.variety, tuple(sorted(lot.gauges))
                groups.setdefault(key, []).append((lot, place, held.stems))
    rows = []
    for (crop, variety, gauges), found in groups.items():
        oldest = min(lot.cut_on for lot, _, _ in found)
        rows.append(
            HeadsRow(
                crop,
                variety,
                gauges,
                _gauges_text(gauges, farm.settings.wire),
                sum(stems for _, _, stems in found),
                tuple(dict.fromkeys(lot.code for lot, _, _ in found)),
                tuple(dict.fromkeys(place_name(place) for _, place, _ in found)),
                oldest,
                (day - date.fromisoformat(oldest)).days,
            )
        )
    return tuple(sorted(rows, key=lambda r: (r.crop, r.variety or "", r.gauges)))


def _piece_row(piece: Piece, day: date) -> PieceRow:
    return PieceRow(
        piece.code,
        piece.recipe,
        piece.sort,
        piece.made_on,
        (day - date.fromisoformat(piece.made_on)).days,
        piece.count,
        piece.on_hand,
        piece.sold,
        sum(piece.lost.values()),
        sum(stems for _, _, stems in piece.stems),
        tuple(dict.fromkeys(lot for lot, _, _ in piece.stems)),
        round(piece.minutes / piece.count, 1) if piece.minutes else None,
    )


def _recipe_row(farm: Farm, recipe: Recipe, day: date, holdings: list[LotHolding]) -> RecipeRow:
    found = most_that_can_be_made(farm, recipe, day, holdings)
    count, limit = (None, None) if isinstance(found, Problem) else found
    return RecipeRow(
        recipe.code,
        recipe.sort,
        recipe.size_in,
        recipe.minutes,
        round(recipe.took / recipe.timed, 1) if recipe.timed else None,
        tuple(
            PartRow(
                what,
                form,
                count,
                part_text(what, form, count),
                wire_says(farm, what) if form == MAKING else "",
            )
            for what, count, form in recipe.parts
        ),
        None if limit is None else count,
        None if limit is None else _limit_text(limit),
        tuple(what for what, _, form in recipe.parts if form == MAKING and what not in farm.makings),
    )


def _limit_text(limit: Short) -> str:
    return limit.what if limit.form == MAKING else part_text(limit.what, limit.form, 0).removeprefix("0 ")


def making_rows(farm: Farm) -> tuple[MakingRow, ...]:
    """The makings, those to buy first. One that has a number to buy at but was never bought is listed too."""
    rows = []
    for name in dict.fromkeys((*farm.makings, *farm.reorder)):
        count, at = farm.makings.get(name, 0), farm.reorder.get(name)
        status = BUY if at is not None and count <= at else SHORT_OF if count <= 0 else ""
        rows.append(MakingRow(name, wire_says(farm, name), count, at, status))
    return tuple(sorted(rows, key=lambda r: (r.status == "", r.making)))


def _gauges_text(gauges: tuple[int, ...], standard: str | None) -> str:
    if len(gauges) == 1:
        return gauge_text(gauges[0], standard)
    return f"{' or '.join(map(str, gauges))} gauge" if gauges else "gauge not written"


def wire_says(farm: Farm, making: str) -> str:
    """A wire's thickness by the farm's standard, or by both; "" for what is no wire."""
    found = _WIRE.fullmatch(making)
    return gauge_text(int(found[1]), farm.settings.wire) if found else ""


def cautions_for(sort: str) -> tuple[str, ...]:
    """The usual cautions for making a sort of piece, and for those who buy it."""
    left_out = ("glue guns",) if sort in WORN else ()
    return tuple(caution.told for caution in cautions_at("bench") if caution.about not in left_out)
