"""What is promised and what there is for it, as the allocation sees them: needs and lots, each with its days."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple


class Window(NamedTuple):
    """As what a lot can be handed over, from which day on, and the last day on which it is still good."""

    sort: str
    ready: date
    good_through: date

    def is_good(self, due: date, life_left: int = 0) -> bool:
        """Whether it can be handed over on that day with so many days of its life left; its last day counts."""
        return self.ready <= due and due + timedelta(days=life_left) <= self.good_through


class Lot(NamedTuple):
    """So many of one sort, ready from a day on and good through another, both counted.

    `also`: what the same stems may become instead, such as dried, each with its own days; `of`: the code of what they
    are of, where they were grown for somebody.
    """

    ready: date
    good_through: date
    amount: int
    sort: str
    name: str = ""
    also: tuple[Window, ...] = ()
    of: str = ""

    @property
    def windows(self) -> tuple[Window, ...]:
        return (Window(self.sort, self.ready, self.good_through), *self.also)

    @property
    def expires_first(self) -> tuple[date, date, str, str]:
        """The order in which lots leave: the earliest to expire before the others, then what was there first."""
        return self.good_through, self.ready, self.sort, self.name


class Need(NamedTuple):
    """So many wanted on a day, of any of the sorts it accepts, with `life_left` days of life to go.

    The need with the smallest `rank` is served first; but what was grown for a need (the lots `of` one of its `own`)
    serves it before all others.
    """

    due: date
    rank: int
    wanted: int
    accepts: tuple[str, ...]
    life_left: int = 0
    name: str = ""
    own: tuple[str, ...] = ()

    def fits(self, lot: Lot) -> bool:
        """Whether the lot is ready and good on the day, and of a sort that is accepted."""
        return any(w.sort in self.accepts and w.is_good(self.due, self.life_left) for w in lot.windows)


class Part(NamedTuple):
    """So many for each piece, of any of these sorts."""

    each: float
    accepts: tuple[str, ...]


class PieceNeed(NamedTuple):
    """So many pieces wanted on a day, each of several parts: a piece counts only where all of its parts are there. Of
    its `own` its parts are served before all others, as far as they make whole pieces."""

    due: date
    rank: int
    wanted: int
    parts: tuple[Part, ...]
    life_left: int = 0
    name: str = ""
    own: tuple[str, ...] = ()


AnyNeed = Need | PieceNeed
