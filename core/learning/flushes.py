"""Stems a plant by flush: those of the first two weeks of cutting, of the two weeks after them, and of all that follow.

No table of stems by week was found in print. What is held beforehand is the sheet's range of stems a plant, shared out
as a plan shares it (core.plans.flushes), each part lighter or heavier by as much as a plan lets one flush be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from core.crops.sheet import Figure, Sheet, Span
from core.plans.defaults import FLUSHES
from core.plans.flushes import FLUSH_WEEKS, SOURCE, flushes, share_by
from core.reckon.spreads import usual

LENGTH = 7 * FLUSH_WEEKS


class Part(NamedTuple):
    """A part of the time of cutting, in days after the first cut: `start` counted, `end` not (None: to the last)."""

    start: int
    end: int | None


PARTS: Mapping[str, Part] = {
    "stems_first_flush": Part(0, LENGTH),
    "stems_second_flush": Part(LENGTH, 2 * LENGTH),
    "stems_later_flushes": Part(2 * LENGTH, None),
}
"""Figure -> which part of the time of cutting it is of."""


def share_of(part: Part, stems: Figure[Span], weeks: Figure[Span]) -> float:
    """The share of a plant's stems that the part usually has, 0 where the crop gives all at once."""
    course = flushes(usual(stems.value), usual(weeks.value))
    if len(course) == 1:
        return 0.0
    return (1.0 if part.end is None else share_by(course, part.end)) - share_by(course, part.start)


def range_of_part(name: str, stems: Figure[Span] | None, weeks: Figure[Span] | None) -> Figure[Span] | None:
    """What is known beforehand of the stems a plant of that part; None where the crop gives none then."""
    if stems is None or weeks is None:
        return None
    share = share_of(PARTS[name], stems, weeks)
    if share <= 0:
        return None
    low, high = (end * share * give for end, give in zip(stems.value, FLUSHES, strict=True))
    return Figure((_told(low), _told(high)), f"{stems.source}; {SOURCE}")


def _told(stems: float) -> float:
    """As far as what is shared out by a rule of thumb bears to be told."""
    return round(stems, 1 if stems >= 1 else 2)


def is_in_flushes(sheet: Sheet | None) -> bool:
    """Whether the crop comes in flushes by its sheet."""
    return (
        sheet is not None
        and range_of_part("stems_first_flush", sheet.stems_per_plant, sheet.cut_weeks) is not None
    )


def told_by_cuts(cuts: Sequence[tuple[int, int]], more: bool) -> Iterator[tuple[str, int, bool]]:
    """(figure, stems, whether more was to come) of each part that a planting's cuts speak to.

    `cuts` are (days since its first, stems); `more`: there was more to be cut after the last of them. A part is over
    once anything was cut after it; of one that was not reached, and might have been, nothing is known.
    """
    last = max(day for day, _ in cuts)
    for name, (start, end) in PARTS.items():
        stems = sum(n for day, n in cuts if day >= start and (end is None or day < end))
        is_open = more and (end is None or last < end)
        if stems or not is_open:
            yield name, stems, is_open
