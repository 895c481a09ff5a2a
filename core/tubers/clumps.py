"""From which planting or purchase the tubers in store came: what came first goes out first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.units import day_text


@dataclass(slots=True)
class Clumps:
    """What came into store by one entry, and how many of it are there."""

    on: str
    planting: str | None
    """Code of the planting it was lifted from; None where it was bought, or turned up in a count."""
    bed: str | None
    is_bought: bool
    there: int


class Origin(NamedTuple):
    """So many tubers, and where they came from: lifted from a planting, bought, or (neither) found in a count."""

    number: int
    on: str
    planting: str | None
    bed: str | None
    is_bought: bool


def first(clumps: Iterable[Clumps], count: int) -> tuple[Origin, ...]:
    """Where the oldest so many came from; fewer where fewer are there."""
    found = []
    for one in clumps:
        if of_it := min(count, one.there):
            found.append(Origin(of_it, one.on, one.planting, one.bed, one.is_bought))
        count -= of_it
    return tuple(found)


def take(clumps: list[Clumps], count: int) -> tuple[Origin, ...]:
    """Take so many out, oldest first, and say where they came from; fewer where fewer are there."""
    taken = first(clumps, count)
    for one in clumps:
        went = min(count, one.there)
        one.there -= went
        count -= went
    clumps[:] = [one for one in clumps if one.there]
    return taken


def divide(clumps: list[Clumps], count: int, pieces: int) -> None:
    """Divide so many, oldest first: each gives as many pieces as the others, to one piece."""
    left_count, left_pieces = count, pieces
    for one in clumps:
        if left_count < 1:
            break
        of_it = min(left_count, one.there)
        made = -(-left_pieces * of_it // left_count)
        one.there += made - of_it
        left_count, left_pieces = left_count - of_it, left_pieces - made


def even(clumps: list[Clumps], there: int, on: str) -> None:
    """Make them as many as are there: what is too much went, what is too little was found on that day."""
    kept = sum(one.there for one in clumps)
    if kept > max(there, 0):
        take(clumps, kept - max(there, 0))
    elif kept < there:
        clumps.append(Clumps(on, None, None, False, there - kept))


def told_origins(found: Sequence[Origin]) -> str:
    """ "18 of P01 in b1, lifted 18 Oct; 10 bought 1 Apr"."""
    return "; ".join(map(_told_origin, found))


def _told_origin(origin: Origin) -> str:
    if origin.planting is not None:
        return f"{origin.number} of {origin.planting} in {origin.bed}, lifted {day_text(origin.on)}"
    return f"{origin.number} {'bought' if origin.is_bought else 'found'} {day_text(origin.on)}"
