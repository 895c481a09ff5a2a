"""Bulbs forced into flower: how long they lie in the cold, when they come out, and when they flower."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from core.crops.sheet import Figure, Sheet, Span

WEEKS_OF_COLD = 1, 52
"""The weeks of cold that can be written, the least and the most (ours)."""
COLD_F = 35, 50
"""Degrees F between which bulbs are chilled (Cornell Cooperative Extension of Oneida County; Missouri Botanical Garden
has 35 to 45)."""
CUT_DAYS = 14
"""Days after the last that they were to flower for which it is asked to cut them (ours)."""


@dataclass(slots=True)
class Chill:
    """Bulbs of one variety that went into the cold on one day; `weeks` as she said, None for the weeks of the sheet."""

    entry: str
    on: str
    count: int
    weeks: float | None = None
    cold_f: float | None = None


@dataclass(slots=True)
class Forced:
    """Bulbs that came out of the cold to flower."""

    entry: str
    on: str
    count: int


class Due(NamedTuple):
    """Until when it lasts, in ISO days, the first and the last of the span, and on whose word."""

    first: str
    last: str
    because: str


def take_out(cold: list[Chill], count: int, *, newest: bool = False) -> None:
    """Take so many out of the cold, the oldest first, or the newest."""
    order = sorted(cold, key=lambda one: (one.on, one.entry), reverse=newest)
    for one in order:
        taken = min(count, one.count)
        one.count -= taken
        count -= taken
    cold[:] = [one for one in cold if one.count > 0]


def chilled_until(chill: Chill, sheet: Sheet | None) -> Due | None:
    """The days on which the cold is enough, for the least and the most of its weeks; None where these are not known."""
    if chill.weeks is not None:
        return _after(chill.on, (chill.weeks, chill.weeks), f"{chill.weeks:g} weeks in the cold, as written")
    figure = sheet.chill_weeks if sheet is not None else None
    return None if figure is None else _after(chill.on, figure.value, _told("weeks in the cold", figure))


def flowers(out_on: str, sheet: Sheet | None) -> Due | None:
    """The days on which bulbs that came out of the cold then flower; None where the sheet has no weeks of forcing."""
    figure = sheet.forcing_weeks if sheet is not None else None
    return (
        None
        if figure is None
        else _after(out_on, figure.value, _told("weeks from the cold to flowers", figure))
    )


def _told(what: str, figure: Figure[Span]) -> str:
    return f"{figure.text} {what} [{figure.source}]"


def _after(on: str, span: Span, because: str) -> Due:
    first, last = (date.fromisoformat(on) + timedelta(weeks=weeks) for weeks in span)
    return Due(first.isoformat(), last.isoformat(), because)
