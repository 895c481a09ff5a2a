"""What the promises ask of the morning: what to cut for them today, and what will be short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Asked, Part, Sight, late_text
from core.promising.claims import Claim
from core.promising.cut_list import CutList, CutRow, cut_list
from core.promising.open_claims import open_claims
from core.promising.shortages import Lacking, ShortOrder, by_order, shortages
from core.text import named
from core.units import day_text

AHEAD_DAYS = 21
"""What will be short is told so many days ahead (ours): there is time left to cut, to hang or to buy in."""
MOST = 2
"""Lines of it on the page: the nearest, and that there are more."""


def short_ones(sight: Sight) -> tuple[ShortOrder, ...]:
    """The orders that will be short within some weeks, in a usual season; what is due first stands first."""
    return tuple(one for one in by_order(sight.once(lacking_of)) if one.days <= AHEAD_DAYS)


def short_later(sight: Sight) -> tuple[ShortOrder, ...]:
    """The orders after those weeks that what is there, growing and planned will not serve in a usual season."""
    return tuple(one for one in by_order(sight.once(lacking_of)) if one.days > AHEAD_DAYS)


def lacking_of(sight: Sight) -> list[Lacking]:
    """The promises that fall short in a usual season."""
    return shortages(sight.farm, sight.day, sight.once(claims_of))


def claims_of(sight: Sight) -> tuple[Claim, ...]:
    """What is promised already."""
    return open_claims(sight.farm, sight.day)


def _asked(rows: Sequence[ShortOrder]) -> Iterator[Asked]:
    for row in rows[:MOST]:
        more = len(rows) - MOST
        others = f" and {more} more" if more > 0 and row is rows[MOST - 1] else ""
        again = f", {row.times} times" if row.times > 1 else ""
        do = f"{row.short} of {row.wanted} will be short{again}{others}"
        yield _of_order(row, do)._replace(when=late_text(row.days), zone="promised")


def _asked_later(rows: Sequence[ShortOrder]) -> Iterator[Asked]:
    for row in rows:
        again = f", {row.times} times from" if row.times > 1 else " for"
        do = f"plan or buy in {row.short}{again} {day_text(row.due)}"
        yield _of_order(row, do)._replace(kin="plan or buy in")


def _of_order(row: ShortOrder, do: str) -> Asked:
    about = ("promised", row.crop, row.form) if row.crop else ()
    return Asked(about, row, row.order, do, row.item, days=row.days)


def cut_for_orders(sight: Sight) -> tuple[CutRow, ...]:
    """What is still to be cut today for the orders, in the order in which the beds are walked."""
    found = sight.once(todays_cut_list)
    return tuple(row for row in found.rows if row.left)


def todays_cut_list(sight: Sight) -> CutList:
    """The cut list of the morning."""
    return cut_list(sight, sight.once(claims_of), sight.once(lacking_of))


def _asked_cuts(rows: Sequence[CutRow]) -> Iterator[Asked]:
    for row in rows:
        whose = ", ".join(dict.fromkeys(one.order for one in row.promised if one.order))
        yield Asked(
            ("asked cut", row.planting, row.use),
            row,
            row.bed,
            f"cut {row.left} {HANDED[row.use]} for {whose}",
            named(row.crop, row.variety),
            when=f"closed until {row.closed}" if row.closed else "today",
            days=0,
            zone="promised",
        )


HANDED = {"fresh": "fresh", "dry": "to hang", "wire": "to wire"}
PARTS = (
    Part("cut_list", "The cut list", 5, cut_for_orders, _asked_cuts),
    Part("short", "What will be short", 60, short_ones, _asked),
    Part("short_later", "What is short of orders later on", 65, short_later, _asked_later),
)
