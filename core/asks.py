"""What the morning asks: the parts of its page, each of one subject, and the lines they are told in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, Protocol, TypeAlias, TypeVar

from core.dialect import told_time
from core.farm import Farm
from core.problems import Problem
from core.units import plural

if TYPE_CHECKING:
    from core.beds.rows import ByWarmth
    from core.book.met import Meetings

T = TypeVar("T")

Key: TypeAlias = tuple[str, ...]
"""What a line is about: the sort of thing and what tells it apart, the same as the key of its row in its own view:
("tray", "S12"), ("fresh", "L041", "bucket")."""


class Sight:
    """What a morning is reckoned from; what several parts need is reckoned once.

    `clock` is the farm's time of day, None where the book is read as of a day; `by_warmth` how first cuts are reckoned
    from heat units, where a sheet has them; `clock_problem` what is plainly wrong with this machine's clock; `met` the
    other machines that this one has met.
    """

    def __init__(
        self,
        farm: Farm,
        day: date,
        by_warmth: ByWarmth | None = None,
        clock: str | None = None,
        clock_problem: Problem | None = None,
        met: Meetings | None = None,
    ) -> None:
        self.farm, self.day, self.by_warmth, self.clock = farm, day, by_warmth, clock
        self.clock_problem, self.met = clock_problem, met
        self._reckoned: dict[Callable[[Sight], Any], Any] = {}

    def once(self, reckon: Callable[[Sight], T]) -> T:
        """What `reckon` makes of this morning."""
        if reckon not in self._reckoned:
            self._reckoned[reckon] = reckon(self)
        found: T = self._reckoned[reckon]
        return found


Look: TypeAlias = Literal["title", "head", "item", "caution", "quiet"]
"""What a line of the page is, and so how it looks."""

Zone: TypeAlias = Literal["tonight", "cut", "spoils", "promised", "also"]
"""Where on the page something is asked: what the night asks, what to look at for cutting, what is lost by waiting, what
is promised, and all else."""


class Asked(NamedTuple):
    """One thing the morning asks: `do` in few words, the same wherever it is told, with the thing's code and name.

    `about` is what it speaks of and `row` its value; `opens` the view that shows it, where it is several. `days` are
    those until it is lost or late, below 0 since then: what is least stands first. `place` is also what the same is
    told together by: "snap test line 1".
    """

    about: Key
    row: Any
    code: str
    do: str
    name: str = ""
    amount: str = ""
    place: str = ""
    when: str = ""
    days: float = 0.0
    zone: Zone = "also"
    opens: str = ""
    kin: str = ""
    """What several are told by in one piece, where that is not `do`: steps of hardening, whatever their number."""
    because: str = ""
    """Why, as `row` says it."""


class Alert(NamedTuple):
    """What to take care of: in a word or two, and in full. "first": comes before all else; "act": wants doing today;
    "care": while working; "told": the page says it in short already."""

    short: str
    says: str
    sort: Literal["first", "act", "care", "told"] = "care"


class Guarded(Protocol):
    """Reckons under the guard of the morning: what stands there where it fails is told."""

    def __call__(self, name: str, reckon: Callable[[], T], none: T) -> T:
        """What `reckon` makes, else `none`."""


Care: TypeAlias = tuple[tuple[str, str], ...]
"""(crop, caution) for each crop that wants care while it is cut."""


class Head(NamedTuple):
    """What the page says before anybody asks anything: the weather and season, in full and in short; the sun; how what
    the night asks is begun ("" where no low is known); what to begin with, and to settle."""

    weather: str
    weather_short: str
    season: str
    season_short: str
    sun_up: str
    cool: str
    cold: str
    first_things: tuple[tuple[str, str], ...]
    matters: tuple[str, ...]

    @property
    def in_short(self) -> tuple[str, ...]:
        """What stands beside the day in the page's first line, what is needed most first."""
        sun = f"sun up {told_time(self.sun_up)}" if self.sun_up else ""
        return tuple(filter(None, (self.weather_short, self.season_short, self.cool, sun)))


class PageLine(NamedTuple):
    """One line of the page and what it is: "title", "head", "item", "caution" or "quiet".

    `about` is what an item speaks of, where that is one thing, and `asked` what it asks; `write` a line to be typed;
    `opens` the view that shows what a line for several things speaks of; `folds` the part that Enter on it opens, or
    shuts again. `beside` is a second item on the same line, from column `at` on.
    """

    what: Look
    text: str
    about: Key = ()
    asked: Asked | None = None
    write: str = ""
    opens: str = ""
    folds: str = ""
    beside: PageLine | None = None
    at: int = 0
    is_late: bool = False
    """Whether it is lost, or dangerous, today."""

    @property
    def whole(self) -> str:
        """The line as it is printed."""
        return self.text if self.beside is None else f"{self.text:{self.at}}{self.beside.text}".rstrip()


class Part(NamedTuple):
    """One part of the morning page."""

    name: str
    """Its name as data: the key of its rows in JSON."""
    head: str
    """What it is called where it fails."""
    place: int
    """Where it stands among the others of its zone."""
    rows: Callable[[Sight], Sequence[Any]]
    """What it asks, as frozen rows; none where it asks nothing."""
    asked: Callable[[Sequence[Any]], Iterator[Asked]]
    """The rows as they are told on the page."""


BOX_IT = "box"
"""What is asked of what is dry: told together for all lines, however far apart they hang."""


def late_text(days: int) -> str:
    """ "today", "by tomorrow", "8 days late": how much time is left for what is due in so many days."""
    if days == 0:
        return "today"
    if days > 0:
        return "by tomorrow" if days == 1 else f"{days} days left"
    return f"{plural(-days, 'day')} late"
