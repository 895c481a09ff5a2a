"""Next season's first plan, drafted from this season's orders and sales: each line with its reason, none written by
itself. What she keeps of it she writes, line by line; what she leaves out is asked no more."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from typing import Literal, NamedTuple, TypeAlias

from core.crops.course import stays
from core.crops.sheet import Sheet
from core.farm import Farm, Lot, Piece
from core.happened import Sale
from core.learning.kinds import LeftOut
from core.learning.opened import Opening
from core.order_rows import Item, Order
from core.orders.takings import sellable
from core.places import USE_OF_FORM, Use
from core.plan_rows import Kept, KeptPieces
from core.problems import Problem
from core.settings.sheets import FarmYear, farm_sheet, farm_year, in_south, year_of
from core.text import natural
from core.units import monday_of, number, plural, short_day

A_YEAR = timedelta(weeks=52)
"""From a day to the same weekday a year on."""
LEAST_STEMS = 10
"""Fewer of a crop in a season are no plan (ours)."""
WEEKS_IN_A_ROW = 4
"""Fresh stems that were wanted in so many weeks are planned week by week (ours)."""
HARVEST_MONTH = 6
"""Up to June, in the south from July on, dried stems are those of the season before (ours)."""
FRESH_DAYS = 21
"""What is sold longer after its cut is sold dry (ours)."""
REST_YEARS = 3
"""Seasons between two crops of one kin in a bed: wilts and rots wait in the soil (common practice)."""
DraftUse: TypeAlias = Use | Literal["piece"]


class DraftRow(NamedTuple):
    """One line of the first plan: `stems` in all, or of each week from `start` to `until`. `line` is what she would
    write, "" where nothing is to be sown for it; `bed` where its kin has not stood lately. Pieces of which it cannot be
    said what they take are a line of their own: `crop` is their recipe then, `stems` how many of them."""

    crop: str
    use: DraftUse
    stems: int
    start: str | None
    until: str | None
    by: str | None
    bed: str | None
    line: str
    because: str


@dataclass(slots=True)
class _Wanted:
    """What was wanted of a crop for a use."""

    weeks: dict[date, float] = field(default_factory=lambda: defaultdict(float))
    days: set[date] = field(default_factory=set)
    ordered: int = 0
    orders: set[str] = field(default_factory=set)
    short: int = 0
    sold: int = 0
    cut: int = 0
    pieces: dict[str, list[float]] = field(default_factory=lambda: defaultdict(lambda: [0.0, 0.0]))
    """Recipe -> stems, and pieces that take them."""
    short_pieces: dict[str, int] = field(default_factory=dict)
    """Recipe -> pieces among them that could not be had."""

    def add(self, day: date, stems: float) -> None:
        self.weeks[monday_of(day)] += stems
        self.days.add(day)

    @property
    def stems(self) -> int:
        """All of them, whole."""
        return _whole(sum(self.weeks.values()))


def _again(day: date, use: Use, south: bool) -> date:
    """When the same will be wanted of next season's stems: a year on; of dried stems that were wanted before the
    harvest, and so came of the one before, two years on."""
    before_harvest = day.month > HARVEST_MONTH if south else day.month <= HARVEST_MONTH
    return day + (2 * A_YEAR if use != "fresh" and before_harvest else A_YEAR)


def first_plan(farm: Farm, year: int) -> list[DraftRow]:
    """The draft of the plan for the season after `year`, the most stems first; what is planned for it already, or was
    left out, is not in it."""
    lots, pieces = sellable(farm, year)
    wanted, south = _wanted(farm, year, lots), in_south(farm)
    unread = _open_pieces(farm, year, wanted, _Sellable(lots, pieces))
    kept = [plan for plan in farm.plans.values() if plan.is_live and plan.part_of is None]
    done: set[tuple[str, str]] = {(plan.crop, plan.use) for plan in kept if _is_of(farm, plan, year + 1)}
    done |= {(crop, use) for crop, use, season in farm.part(LeftOut).rows if season == year + 1}
    beds = _Beds(farm, year)
    for lot in lots:
        if farm_year(farm, year).has(lot.cut_on) and (one := wanted.get((lot.crop, lot.use))) is not None:
            one.cut += lot.cut
    rows = []
    for (crop, use), one in sorted(wanted.items(), key=lambda item: -item[1].stems):
        if one.stems >= LEAST_STEMS and (crop, use) not in done:
            rows.append(_row(crop, use, one, farm_sheet(farm, crop), beds, south))
    return rows + unread


def _is_of(farm: Farm, plan: Kept | KeptPieces, season: int) -> bool:
    """Whether a plan is of that season's stems: dried ones, and pieces, are wanted until the next summer."""
    span = farm_year(farm, season)
    is_fresh = isinstance(plan, Kept) and plan.use == "fresh"
    until = f"{season + 1:04d}-12-31" if in_south(farm) else f"{season + 1:04d}-06-30"
    return span.first <= plan.by <= (span.last if is_fresh else until)


def _orders(farm: Farm) -> Iterator[Order]:
    """What buyers ordered and did not take back; what goes to a market is not asked for by anybody."""
    return (order for order in farm.orders.all() if not order.cancelled_on and not order.is_market)


def _ordered(farm: Farm, span: FarmYear) -> Iterator[tuple[Order, Item, date]]:
    """Each item of these orders for each of its days in the season."""
    for order in _orders(farm):
        skipped = {one.delivery for one in order.skipped}
        for item in order.wanted_items:
            for delivery, day in order.deliveries():
                if delivery not in skipped and span.has(day.isoformat()):
                    yield order, item, day


def _sold(farm: Farm, span: FarmYear, sales: Sequence[Sale]) -> Iterator[tuple[date, int]]:
    """(day, number) of the sales of the season without an order, or at a market."""
    for sale in sales:
        order = farm.orders.get(sale.order) if sale.order else None
        if span.has(sale.on) and (not sale.order or (order is not None and order.is_market)):
            yield date.fromisoformat(sale.on), sale.number


def _wanted(farm: Farm, year: int, lots: Sequence[Lot]) -> dict[tuple[str, Use], _Wanted]:
    """What was ordered for the year, and what was sold in it without an order or at a market."""
    found: dict[tuple[str, Use], _Wanted] = defaultdict(_Wanted)
    span = farm_year(farm, year)
    for order, item, day in _ordered(farm, span):
        use = USE_OF_FORM.get(item.form)
        if item.crop and use is not None:
            one = found[item.crop, use]
            one.add(day, item.number)
            one.ordered += item.number
            one.orders.add(order.code)
    for order in _orders(farm):
        for told in order.shorts:
            short = order.item(told.item)
            if short is not None and short.crop and span.has(told.on) and short.form in USE_OF_FORM:
                found[short.crop, USE_OF_FORM[short.form]].short += told.number
    for lot in lots:
        for day, number_of in _sold(farm, span, lot.sales):
            is_late = (day - date.fromisoformat(lot.cut_on)).days > FRESH_DAYS
            one = found[lot.crop, "dry" if is_late and lot.use == "fresh" else lot.use]
            one.add(day, number_of)
            one.sold += number_of
    return found


class _Sellable(NamedTuple):
    lots: Sequence[Lot]
    pieces: Sequence[Piece]


def _open_pieces(
    farm: Farm, year: int, wanted: dict[tuple[str, Use], _Wanted], there: _Sellable
) -> list[DraftRow]:
    """Adds to what is wanted the stems of the pieces that were ordered or sold; those that cannot be opened are lines
    of their own. Pieces that are planned for the next season already are left to that plan."""
    planned = {p.recipe for p in farm.piece_plans.values() if p.is_live and _is_of(farm, p, year + 1)}
    opening, short = Opening(farm, *there), _short_pieces(farm, year)
    unread: dict[str, tuple[str, list[tuple[date, int]]]] = {}
    for recipe, day, count in _pieces(farm, year, there.pieces):
        if recipe in planned:
            continue
        stems = opening.stems(recipe, count)
        if isinstance(stems, Problem):
            unread.setdefault(recipe, (stems.sentence, []))[1].append((day, count))
            continue
        for (crop, use), number_of in stems.items():
            one = wanted[crop, use]
            one.add(day, number_of)
            one.pieces[recipe][0] += number_of
            one.pieces[recipe][1] += count
            if recipe in short:
                one.short_pieces[recipe] = short[recipe]
    rows = []
    for recipe, (sentence, told) in sorted(unread.items()):
        count = sum(count for _, count in told)
        by = min(day for day, _ in told) + A_YEAR
        because = f"{count} were ordered or sold; {sentence.rstrip('.')}"
        line = f"plan {count} {recipe} by {by}"
        rows.append(DraftRow(recipe, "piece", count, None, None, by.isoformat(), None, line, because))
    return rows


def _short_pieces(farm: Farm, year: int) -> dict[str, int]:
    """Recipe -> pieces that were told short in the year."""
    found: dict[str, int] = defaultdict(int)
    for order in farm.orders.all():
        for told in order.shorts:
            item = order.item(told.item)
            if item is not None and item.recipe and farm_year(farm, year).has(told.on):
                found[item.recipe] += told.number
    return found


def _pieces(farm: Farm, year: int, made: Sequence[Piece]) -> Iterator[tuple[str, date, int]]:
    """(recipe, day, count) of the pieces that were ordered for the year, and of those sold in it without an order or at
    a market."""
    span = farm_year(farm, year)
    for _, item, day in _ordered(farm, span):
        if item.recipe:
            yield item.recipe, day, item.number
    for piece in made:
        for day, count in _sold(farm, span, piece.sales):
            yield piece.recipe, day, count


def _row(crop: str, use: Use, one: _Wanted, sheet: Sheet | None, beds: _Beds, south: bool) -> DraftRow:
    because = "; ".join(_reasons(one))
    weeks = sorted(week for week, stems in one.weeks.items() if stems > 0)
    if sheet is None or stays(sheet):
        why = "it stands for years" if sheet is not None else "its sheet is not known here"
        return DraftRow(crop, use, one.stems, None, None, None, None, "", f"{because}; nothing to sow: {why}")
    bed, rotation = beds.bed_for(crop, sheet)
    told = f"{because}; {rotation}"
    in_bed = f" {bed}" if bed else ""
    if use == "fresh" and len(weeks) >= WEEKS_IN_A_ROW:
        each = ceil(one.stems / len(weeks))
        start, until = weeks[0] + A_YEAR, weeks[-1] + A_YEAR + timedelta(days=6)
        line = f"plan {each} {crop} {use} weekly from {start} to {until}{in_bed}"
        told = f"{told}; {plural(len(weeks), 'week')} from {short_day(weeks[0])} on, {each} in each"
        return DraftRow(crop, use, each, start.isoformat(), until.isoformat(), None, bed, line, told)
    total = one.stems
    by = min(_again(day, use, south) for day in one.days)
    line = f"plan {total} {crop} {use} by {by}{in_bed}"
    first = "" if len(one.days) == 1 else "the first of them are "
    told = f"{told}; {first}wanted {short_day(by)} {by.year}"
    if by > min(one.days) + A_YEAR:
        told = f"{told}: what is dried next season is for the spring after it"
    return DraftRow(crop, use, total, None, None, by.isoformat(), bed, line, told)


def _reasons(one: _Wanted) -> Iterator[str]:
    if one.ordered:
        yield f"{number(one.ordered)} stems were ordered ({plural(len(one.orders), 'order')})"
    if one.sold:
        yield f"{number(one.sold)} sold without an order"
    for recipe, (stems, count) in one.pieces.items():
        short = one.short_pieces.get(recipe)
        told = f", {number(short)} of which could not be had" if short else ""
        yield f"{_whole(stems)} for {number(count)} {recipe}{told}"
    if one.cut:
        yield f"{number(one.cut)} were cut"
    if one.short:
        yield f"{number(one.short)} of them could not be had"


def _whole(stems: float) -> int:
    return ceil(stems - 1e-6)


class _Beds:
    """Which bed a crop may go into: one where nothing stands for years and its kin has not stood lately. Crops are
    spread over the beds; what is grown of one for several uses stands together."""

    def __init__(self, farm: Farm, year: int) -> None:
        self._farm = farm
        self._given: dict[str, int] = defaultdict(int)
        self._of_crop: dict[str, str] = {}
        self._kin: dict[str, set[str]] = defaultdict(set)
        self._taken: set[str] = set()
        for planting in farm.plantings.all():
            sheet = farm_sheet(farm, planting.crop, planting.way)
            if sheet is not None and stays(sheet) and planting.is_live:
                self._taken.add(planting.bed)
            last = planting.cleared_on or planting.last_cut or planting.out_on
            if year_of(farm, date.fromisoformat(last)) > year + 1 - REST_YEARS:
                self._kin[planting.bed].add(_kin(planting.crop, sheet))

    def bed_for(self, crop: str, sheet: Sheet) -> tuple[str | None, str]:
        """(the bed, None where none will do; why)."""
        kin = _kin(crop, sheet)
        fit = [
            bed.code
            for bed in self._farm.beds.values()
            if bed.code not in self._taken and kin not in self._kin[bed.code]
        ]
        if not fit:
            return (
                None,
                f"in every free bed its kin stood within {REST_YEARS} seasons: choose the longest ago",
            )
        bed = self._of_crop.get(crop) or min(fit, key=lambda code: (self._given[code], natural(code)))
        if crop not in self._of_crop:
            self._given[bed] += 1
            self._of_crop[crop] = bed
        return bed, f"no {kin} stood in {bed} within {REST_YEARS} seasons"


def _kin(crop: str, sheet: Sheet | None) -> str:
    """What shares wilts with it: plants of one genus, by the first word of the botanical name."""
    botanical = sheet.botanical.split() if sheet is not None else []
    return botanical[0] if botanical else crop
