"""What was planned against what was done; which successions overlapped or left a gap; what was told short to buyers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from typing import Literal, NamedTuple, TypeAlias

from core.cutting.intervals import usual_days
from core.farm import Farm
from core.plan_rows import Kept
from core.settings.sheets import farm_year
from core.units import plural

GAP_TIMES = 2
"""So many of the crop's usual days between cuts without any is a gap (ours)."""
Follows: TypeAlias = Literal["overlap", "gap", "in turn"]


class PlannedRow(NamedTuple):
    """A kept plan beside what became of it: so many days late (below 0 early; None where either day is not known);
    `stems_cut` counts what was cut in its time."""

    plan: str
    crop: str
    variety: str | None
    use: str
    by: str
    stems: int
    stems_cut: int
    seeds: int | None
    seeds_sown: int | None
    sown_late: int | None
    set_out_late: int | None
    cut_late: int | None
    says: str


class TurnRow(NamedTuple):
    """A planting of a crop and the next of the season: `days` between the last cut of the one and the first of the
    next, below 0 where they overlap."""

    crop: str
    planting: str
    following: str
    last_cut: str
    next_first_cut: str
    days: int
    follows: Follows
    says: str


class ShortRow(NamedTuple):
    """Stems or pieces of one kind that were promised and told short."""

    of: str
    number: int
    orders: tuple[str, ...]


def planned_rows(farm: Farm, day: date, year: int | None = None) -> list[PlannedRow]:
    """Every plan whose day has come, of all years or of one, by its day."""
    span = None if year is None else farm_year(farm, year)
    rows = [
        _planned(farm, plan)
        for plan in farm.plans.values()
        if plan.is_live and plan.by <= day.isoformat() and (span is None or span.has(plan.by))
    ]
    return sorted(rows, key=lambda row: (row.by, row.plan))


def _planned(farm: Farm, plan: Kept) -> PlannedRow:
    trays = [tray for sown in plan.sown if (tray := farm.trays.get(sown.code)) is not None]
    sown = sum(tray.seeds for tray in trays) if trays else None
    late = (
        _late(plan.sow_on, min((one.on for one in plan.sown), default=None)),
        _late(plan.set_out_on, min((one.on for one in plan.out), default=None)),
        _late(plan.cut_from, plan.first_cut),
    )
    told = [
        f"{did} {_late_words(days)}"
        for did, days in zip(("sown", "set out", "first cut"), late, strict=True)
        if days is not None
    ]
    stems = f"{plan.stems_cut} stems cut for {plan.stems} wanted"
    return PlannedRow(
        plan.code,
        plan.crop,
        plan.variety,
        plan.use,
        plan.by,
        plan.stems,
        plan.stems_cut,
        plan.seeds,
        sown,
        *late,
        ", ".join((*told, stems)),
    )


def _late(planned: str | None, done: str | None) -> int | None:
    if planned is None or done is None:
        return None
    return (date.fromisoformat(done) - date.fromisoformat(planned)).days


def _late_words(days: int) -> str:
    if days == 0:
        return "on the day"
    return f"{plural(abs(days), 'day')} {'late' if days > 0 else 'early'}"


def turn_rows(farm: Farm, year: int) -> list[TurnRow]:
    """The plantings of each crop that were cut in a year, each with the next one."""
    cut: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    span = farm_year(farm, year)
    for lot in farm.lots.mentioning(*span.begins):
        if lot.planting and span.has(lot.cut_on):
            cut[lot.crop][lot.planting].append(lot.cut_on)
    return [row for crop in sorted(cut) for row in _turns(crop, cut[crop])]


def _turns(crop: str, cut: dict[str, list[str]]) -> Iterator[TurnRow]:
    spans = sorted((min(days), max(days), code) for code, days in cut.items())
    for (first, last, code), (next_first, _, following) in pairwise(spans):
        days = _late(last, next_first) or 0
        length = _late(first, last) or 0
        if days > GAP_TIMES * usual_days(crop):
            follows: Follows = "gap"
            says = f"{plural(days, 'day')} without a cut between {code} and {following}"
        elif -days > length / 2 and length > 0:
            follows, says = "overlap", f"{following} began {plural(-days, 'day')} before {code} was over"
        else:
            follows, says = "in turn", f"{following} followed {code}"
        yield TurnRow(crop, code, following, last, next_first, days, follows, says)


def short_rows(farm: Farm, year: int | None = None) -> list[ShortRow]:
    """What was told short to buyers for want of stems, most first."""
    span = None if year is None else farm_year(farm, year)
    short: dict[str, int] = defaultdict(int)
    orders: dict[str, list[str]] = defaultdict(list)
    for order in farm.orders.all():
        for told in order.shorts:
            item = order.item(told.item)
            if item is not None and (span is None or span.has(told.on)):
                short[item.name] += told.number
                orders[item.name].append(order.code)
    rows = [ShortRow(of, number, tuple(dict.fromkeys(orders[of]))) for of, number in short.items()]
    return sorted(rows, key=lambda row: (-row.number, row.of))
