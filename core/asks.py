"""What the morning asks: the parts of its page, each of one subject, and the lines they are told in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypeAlias, TypeVar

from core.farm import Farm
from core.problems import Problem

if TYPE_CHECKING:
    from core.beds.rows import ByWarmth

T = TypeVar("T")

Key: TypeAlias = tuple[str, ...]
"""What a line is about: the sort of thing and what tells it apart, the same as the key of its row in its own view:
("tray", "S12"), ("fresh", "L041", "bucket")."""


class Sight:
    """What a morning is reckoned from; what several parts need is reckoned once.

    `clock` is the farm's time of day, None where the book is read as of a day; `by_warmth` how first cuts are reckoned
    from heat units, where a sheet has them; `clock_problem` what is plainly wrong with this machine's clock.
    """

    def __init__(
        self,
        farm: Farm,
        day: date,
        by_warmth: ByWarmth | None = None,
        clock: str | None = None,
        clock_problem: Problem | None = None,
    ) -> None:
        self.farm, self.day, self.by_warmth, self.clock = farm, day, by_warmth, clock
        self.clock_problem = clock_problem
        self._reckoned: dict[Callable[[Sight], Any], Any] = {}

    def once(self, reckon: Callable[[Sight], T]) -> T:
        """What `reckon` makes of this morning."""
        if reckon not in self._reckoned:
            self._reckoned[reckon] = reckon(self)
        found: T = self._reckoned[reckon]
        return found


Look: TypeAlias = Literal["title", "head", "item", "caution", "quiet"]
"""What a line of the page is, and so how it looks."""


class PageLine(NamedTuple):
    """One line of the page and what it is: "title", "head", "item", "caution" or "quiet".

    `about` is what an item speaks of, where that is one thing, and `row` its value; `write` a line to be typed;
    `opens` the view that shows what a line for several things speaks of.
    """

    what: Look
    text: str
    about: Key = ()
    row: Any = None
    write: str = ""
    opens: str = ""


class Part(NamedTuple):
    """One part of the morning page."""

    name: str
    """Its name as data: the key of its rows in JSON."""
    head: str
    """Its heading on the page."""
    place: int
    """Where it stands: what spoils before what waits, what is long last."""
    rows: Callable[[Sight], Sequence[Any]]
    """What it asks, as frozen rows; none where it asks nothing."""
    lines: Callable[[Sequence[Any]], Iterator[PageLine]]
    """The rows as lines of the page."""
    is_headed: bool = True
    """Whether the heading stands above the lines; a part of one line says itself what it is."""


def item(code: str, name: str, rest: str, about: Key, row: Any, *, wide: int = 25) -> PageLine:
    """ "  S12   strawflower       step 3 of 8: ..."; `wide` columns for the name."""
    return PageLine("item", f"  {code:5} {name:{wide}} {rest}", about, row)
