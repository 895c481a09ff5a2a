"""What lies in the shed: fresh, drying, dry and wired, each with the days on which it can be handed over."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from datetime import date, timedelta
from functools import partial

from core.crops.sheet import Sheet
from core.drying.rows import shelf_rows
from core.farm import Farm, Lot
from core.fresh.good_through import good_through
from core.fresh.rows import TOO_OLD, fresh_rows
from core.places import BENCH, Holding, in_place
from core.plans.defaults import RANGES, USUAL
from core.plans.own_shares import range_of_share, usual_share
from core.plans.seasons import APART, DRYING, DRYING_LOSS, FIGURES, SEASONS
from core.promising.claims import Sort
from core.promising.source import Source, SourceKind, luck, place_of_crop
from core.reckon.promise import needs
from core.reckon.spreads import Span, draw, drawn, even
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
            yield _drying(
                farm, lot, row.place, row.stems, _days_from(day, sheet.drying_days.value), "to be hung", day
            )
        elif lot.use == "wire":
            good = day + timedelta(days=KEEPS_DAYS)
            yield _source("on hand", lot, row.place, row.stems, "wired", day, good, "to be wired")


def _days_from(day: date, span: Span) -> tuple[date, date]:
    return day + timedelta(days=round(span[0])), day + timedelta(days=round(span[1]))


def _hanging(farm: Farm, day: date, lots: Sequence[Lot]) -> Iterator[Source]:
    for row in shelf_rows(farm, day, lots):
        lot = farm.lots.get(row.lot)
        if lot is None or row.stems <= 0:
            continue
        if row.status == "dry":
            good = day + timedelta(days=KEEPS_DAYS)
            yield _source("on hand", lot, row.line, row.stems, "dry", day, good, "dry, to be boxed")
        else:
            days = date.fromisoformat(row.dry_from), date.fromisoformat(row.dry_by)
            yield _drying(farm, lot, row.line, row.stems, days, "", day)


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


def _drying(
    farm: Farm, lot: Lot, place: str, stems: int, days: tuple[date, date], says: str, today: date
) -> Source:
    """What is to dry yet: some is lost, and the day is not sure; one shed dries all of it early or late together.

    What should be dry by its `days` has still to be found so and boxed: it goes out tomorrow at the earliest.
    """
    sort = Sort(lot.crop, lot.variety or "", "dry")
    # by what it is, not by its code: which was written first makes no difference
    name = f"{lot.crop} {lot.variety} {lot.bed} {lot.cut_on} {place}"
    soonest = today + timedelta(days=1)
    span = days[0] + timedelta(days=FINISH_DAYS), days[1] + timedelta(days=FINISH_DAYS)
    first, last = max(span[0], soonest), max(span[1], soonest)
    when = says or (f"dry by {short_day(last)}" if first < last else f"dry from {short_day(first)}")
    loss = _drying_loss(farm_sheet(farm, lot.crop, lot.way, lot.variety))
    usual = round(stems * draw("left", loss, 0.0))
    told = f"{stems} {in_place(place)}, {when}, {stems - usual} of them lost as usual"
    return Source(
        "drying",
        lot.code,
        place,
        sort.crop,
        sort.variety,
        usual,
        lambda _: told,
        (sort,),
        partial(_dried, lot, sort, name, stems, loss, span, soonest),
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
    days: tuple[date, date],
    soonest: date,
    season: int | None,
) -> tuple[needs.Lot, ...]:
    first, last = days
    span = float(first.toordinal()), float(last.toordinal())
    if season is None:
        day, left = even(span, 0.0), draw("left", loss, 0.0)
        amount = round(stems * left)
    else:
        day = drawn("even", span, FIGURES.index(DRYING), len(FIGURES), SEASONS)[season]
        lost = drawn("left", loss, FIGURES.index(DRYING_LOSS), len(FIGURES), SEASONS)
        left = lost[(season + place_of_crop(lot.crop) * APART) % SEASONS]
        spread = (stems * left * (1 - left)) ** 0.5
        amount = min(round(stems * left + spread * luck(name, season, 0)), stems)
    ready = max(date.fromordinal(max(round(day), first.toordinal() - 7)), soonest)
    good = ready + timedelta(days=KEEPS_DAYS)
    return (needs.Lot(ready, good, max(amount, 0), sort.key, name, (), lot.planting or ""),)
