"""What lies in the shed: fresh, drying, dry and wired, each with the days on which it can be handed over."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from datetime import date, timedelta
from functools import lru_cache, partial
from statistics import median
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.drying.rows import ShelfRow, shelf_rows
from core.drying.weighing import tests_of
from core.farm import Farm, Lot
from core.fresh.good_through import good_through
from core.fresh.rows import TOO_OLD, fresh_rows
from core.places import BENCH, Holding, Place, in_place
from core.plans.defaults import RANGES, USUAL, about_one
from core.plans.own_shares import range_of_share, usual_share
from core.plans.seasons import APART, DRYING, DRYING_LOSS, FIGURES, SEASONS
from core.promising.claims import Sort
from core.promising.source import Source, SourceKind, luck, place_of_crop
from core.reckon.promise import needs
from core.reckon.spreads import Span, draw, drawn, even, later_than
from core.settings.sheets import farm_sheet
from core.stems.rows import keeping
from core.units import short_day

FINISH_DAYS = round(USUAL["finish_days"].value)
KEEPS_DAYS = 365
"""How long wired heads are good, as what is dried and boxed at its prime (common practice)."""


def on_hand(farm: Farm, day: date, crops: Container[str] | None) -> list[Source]:
    """What lies in the shed of these crops (None: of all), as it may be promised; what is picked for an order is no
    longer there."""
    lots = [lot for lot in farm.lots.live() if crops is None or lot.crop in crops]
    return [*_fresh(farm, day, lots), *_hanging(farm, day, lots), *_kept(farm, day, lots)]


def _fresh(farm: Farm, day: date, lots: Sequence[Lot]) -> Iterator[Source]:
    for row in fresh_rows(farm, day, lots=lots):
        lot = farm.lots.get(row.lot)
        if lot is None or row.stems <= 0 or row.status in TOO_OLD:
            continue
        sheet = farm_sheet(farm, lot.crop, lot.way, lot.variety)
        if lot.use == "fresh":
            good = good_through(row, sheet, day)
            # what the buckets say can still be sold, and can be picked, is there for today
            says = f"good to {short_day(good)}" if good >= day else "has little left: for today"
            yield _source("on hand", lot, row.place, row.stems, "fresh", day, max(good, day), says)
        elif lot.use == "dry" and sheet is not None and sheet.drying_days is not None:
            dries = Dries(day, about_one(sheet.drying_days.value, "days"))
            yield _drying(farm, lot, row.place, row.stems, dries, "to be hung", day)
        elif lot.use == "wire":
            good = day + timedelta(days=KEEPS_DAYS)
            yield _source("on hand", lot, row.place, row.stems, "wired", day, good, "to be wired")


def _hanging(farm: Farm, day: date, lots: Sequence[Lot]) -> Iterator[Source]:
    for row in shelf_rows(farm, day, lots):
        lot = farm.lots.get(row.lot)
        if lot is None or row.stems <= 0:
            continue
        if row.status == "dry":
            good = day + timedelta(days=KEEPS_DAYS)
            yield _source("on hand", lot, row.line, row.stems, "dry", day, good, "dry, to be boxed")
        else:
            dries = Dries(date.fromisoformat(row.hung_on), row.days, _bent_on(lot, row.line, row.hung_on))
            yield _drying(farm, lot, row.line, row.stems, dries, _when(row, day), day)


def _bent_on(lot: Lot, place: Place, hung_on: str) -> date | None:
    """The last day on which a stem of what hangs there still bent."""
    bent = [test.on for test in tests_of(lot, place) if test.result == "bends" and test.on >= hung_on]
    return date.fromisoformat(max(bent)) if bent else None


def _when(row: ShelfRow, today: date) -> str:
    """When it can be boxed, in few words: tomorrow at the earliest."""
    first, last = (
        max(date.fromisoformat(on) + timedelta(days=FINISH_DAYS), today + timedelta(days=1))
        for on in (row.dry_from, row.dry_by)
    )
    return f"dry by {short_day(last)}" if first < last else f"dry from {short_day(first)}"


def _kept(farm: Farm, day: date, lots: Sequence[Lot]) -> Iterator[Source]:
    for lot in lots:
        for place, held in lot.holdings.items():
            if held.stems <= 0 or not (place.is_box or place == BENCH):
                continue
            if held.form == "wired":
                good = date.fromisoformat(held.since) + timedelta(days=KEEPS_DAYS)
                yield _source("on hand", lot, place, held.stems, "wired", day, good, "wired")
            else:
                yield _boxed(farm, lot, place, held, day)


def _boxed(farm: Farm, lot: Lot, place: str, held: Holding, day: date) -> Source:
    keeps = keeping(date.fromisoformat(held.since), farm_sheet(farm, lot.crop, lot.way, lot.variety))
    return _source("on hand", lot, place, held.stems, "dry", day, keeps.discount_after, "dry")


def _source(
    kind: SourceKind, lot: Lot, place: str, stems: int, form: str, ready: date, good: date, says: str
) -> Source:
    sort = Sort(lot.crop, lot.variety or "", form)
    there = (needs.Lot(ready, good, stems, sort.key, f"{lot.code} {place}", (), lot.planting or ""),)
    told = f"{stems} {in_place(place)}, {says}"
    return Source(
        kind, lot.code, place, sort.crop, sort.variety, stems, lambda _: told, (sort,), lambda _: there
    )


class Dries(NamedTuple):
    """When what hangs is dry: so many days after the one it was hung on, eight times in ten, and not yet on the day on
    which a stem still bent."""

    hung: date
    days: Span
    bent: date | None = None

    def usual(self) -> float:
        """The days of hanging after which it is dry, in a usual season."""
        return median(self.in_seasons()) if self.bent else even(self.days, 0.0)

    def in_seasons(self) -> tuple[float, ...]:
        """The same in each season of the sample: one shed dries all of it early or late together."""
        return _in_seasons(self.days, (self.bent - self.hung).days if self.bent else None)


@lru_cache(maxsize=64)
def _in_seasons(days: Span, bent: int | None) -> tuple[float, ...]:
    found = drawn("even", days, FIGURES.index(DRYING), len(FIGURES), SEASONS)
    return found if bent is None else tuple(max(at, bent) for at in later_than(bent, found))


def _drying(farm: Farm, lot: Lot, place: str, stems: int, dries: Dries, when: str, today: date) -> Source:
    """What is to dry yet: some is lost, and the day is not sure.

    What should be dry has still to be found so and boxed: it goes out tomorrow at the earliest.
    """
    sort = Sort(lot.crop, lot.variety or "", "dry")
    # by what it is, not by its code: which was written first makes no difference
    name = f"{lot.crop} {lot.variety} {lot.bed} {lot.cut_on} {place}"
    loss = _drying_loss(farm_sheet(farm, lot.crop, lot.way, lot.variety))
    left = round(stems * draw("left", loss, 0.0))
    told = f"{stems} {in_place(place)}, {when}, {stems - left} of them lost as usual"
    return Source(
        "drying",
        lot.code,
        place,
        sort.crop,
        sort.variety,
        left,
        lambda _: told,
        (sort,),
        partial(_dried, lot, sort, name, stems, loss, dries, today + timedelta(days=1)),
    )


def _drying_loss(sheet: Sheet | None) -> Span:
    """The share lost in drying: her own, where she took it from her record to the sheet."""
    name = "drying_loss"
    return RANGES[name] if sheet is None else range_of_share(sheet, usual_share(sheet, name), name)


def _dried(
    lot: Lot,
    sort: Sort,
    name: str,
    stems: int,
    loss: Span,
    dries: Dries,
    soonest: date,
    season: int | None,
) -> tuple[needs.Lot, ...]:
    if season is None:
        days, amount = dries.usual(), round(stems * draw("left", loss, 0.0))
    else:
        days = dries.in_seasons()[season]
        lost = drawn("left", loss, FIGURES.index(DRYING_LOSS), len(FIGURES), SEASONS)
        left = lost[(season + place_of_crop(lot.crop) * APART) % SEASONS]
        spread = (stems * left * (1 - left)) ** 0.5
        amount = min(round(stems * left + spread * luck(name, season, 0)), stems)
    # hung by the middle of its day
    ready = max(dries.hung + timedelta(days=int(max(days, 0.0) + 0.5) + FINISH_DAYS), soonest)
    good = ready + timedelta(days=KEEPS_DAYS)
    return (needs.Lot(ready, good, max(amount, 0), sort.key, name, (), lot.planting or ""),)
