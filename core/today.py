"""The morning: what today asks, collected from the subjects, as data; `core.page` lays it out.

Each part is reckoned under a guard: one that fails is one line in its place, and all others stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any, TypeVar

from core.asks import Alert, Asked, Part, Sight
from core.cutting.asks import care
from core.farm import Farm
from core.guard import UNGUARDED, Guard
from core.matters import matters
from core.problems import Problem
from core.register import Register
from core.settings.sheets import in_south
from core.subject import Subject, part, subjects
from core.units import long_day
from core.weather.asks import cool_until, frost_alert, now_in_short, readings, season, sun_up
from core.weather.kinds import AVERAGE

T = TypeVar("T")

SUMMER = 5, 9
"""Months in which it matters by when to have cut: heat comes with the day."""


@dataclass(frozen=True, slots=True)
class Morning:
    """What today asks. Every list may be empty.

    `sun_up` is the farm's clock at sunrise, "" where its place is not known. `alerts` are what to mind in today's
    weather and shed; `care` is (crop, caution) for what may be cut today; `first_things` is (what, line to write) while
    the book still lacks its basics. `parts` are the rows of each part by its name, and `asked` the same as the page
    tells them; `failed` is (part, sentence) of what a fault of ours kept from being reckoned. `now` is the head of the
    page, its pieces from what is needed most.
    """

    day: str
    title: str
    sun_up: str
    season: str
    weather: str
    alerts: tuple[Alert, ...]
    care: tuple[tuple[str, str], ...]
    first_things: tuple[tuple[str, str], ...]
    parts: dict[str, tuple[Any, ...]]
    matters: tuple[str, ...]
    failed: tuple[tuple[str, str], ...] = ()
    asked: tuple[Asked, ...] = ()
    now: tuple[str, ...] = ()
    beds: int = 0

    @property
    def cautions(self) -> tuple[str, ...]:
        """The alerts in full."""
        return tuple(alert.says for alert in self.alerts)

    def as_dict(self) -> dict[str, Any]:
        """As JSON tells it: the parts beside the rest."""
        told = ("day", "title", "sun_up", "season", "weather", "cautions", "care", "matters", "failed")
        return {
            **{name: getattr(self, name) for name in told},
            "first_things": [f"{what}:  {line}" for what, line in self.first_things],
            **self.parts,
        }


def parts_of(farm: Farm) -> list[Part]:
    """The parts of the page that have anything to ask on this farm, from above; what has nothing is not loaded."""
    asking = [subject for subject in subjects() if subject.asks and not _has_none(subject, farm)]
    found = [one for subject in asking for one in getattr(part(subject, "asks"), "PARTS", ())]
    return sorted(found, key=lambda one: one.place)


def morning(sight: Sight, guard: Guard = UNGUARDED) -> Morning:
    """What this morning asks; a clock that is plainly wrong stands first among the cautions."""
    failed: list[tuple[str, str]] = []

    def guarded(name: str, reckon: Callable[[], T], none: T) -> T:
        def fail(why: Problem) -> T:
            failed.append((name, why.sentence))
            return none

        return guard(name, reckon, fail)

    farm, day = sight.farm, sight.day
    nothing: list[Alert] = []
    warning = sorted((one for one in subjects() if one.cautions), key=lambda one: one.cautions)
    parts: list[Part] = guarded("The parts of the page", lambda: parts_of(farm), [])
    rows = {one.name: guarded(one.head, partial(_rows, one, sight), ()) for one in parts}
    none: tuple[Asked, ...] = ()
    asked = tuple(
        asked for one in parts for asked in guarded(one.head, partial(_asked, one, rows[one.name]), none)
    )
    frost = guarded("Weather", lambda: frost_alert(farm, day, _of_the_night(asked)), None)
    long, short = guarded("The frost dates", lambda: season(farm, day), ("", ""))
    sun = guarded("Sunrise", lambda: sun_up(farm, day), "")
    return Morning(
        day=day.isoformat(),
        title=long_day(day),
        sun_up=sun,
        season=long,
        weather=guarded("Weather", lambda: readings(farm, day), ""),
        alerts=(
            *([Alert("the clock", sight.clock_problem.sentence, "first")] if sight.clock_problem else ()),
            *([frost] if frost else ()),
            *(said for one in warning for said in guarded(*_cautions(one, sight), nothing)),
        ),
        care=guarded("What wants care", lambda: care(sight), ()),
        first_things=guarded("What to begin with", lambda: tuple(_first_things(farm)), ()),
        parts=rows,
        matters=guarded("To settle", lambda: _sentences(matters(farm)), _sentences(farm.matters)),
        asked=asked,
        now=tuple(
            filter(
                None,
                (
                    guarded("Weather", lambda: now_in_short(farm, day), ""),
                    short,
                    guarded("Sunrise", lambda: _cool(farm, day), ""),
                    f"sun up {sun}" if sun else "",
                ),
            )
        ),
        beds=len(farm.beds),
        failed=tuple(dict(failed).items()),
    )


def _cool(farm: Farm, day: date) -> str:
    """ "cool to 08:08", in the months in which heat comes with the day."""
    month = (day.month + 5) % 12 + 1 if in_south(farm) else day.month
    until = cool_until(farm, day) if SUMMER[0] <= month <= SUMMER[1] else ""
    return f"cool to {until}" if until else ""


def _of_the_night(asked: Sequence[Asked]) -> str:
    """ "bring in S86, S87; cover b1": all that the night asks."""
    asks: dict[str, list[str]] = {}
    for one in asked:
        if one.zone == "tonight":
            asks.setdefault(one.do, []).append(one.code)
    return "; ".join(f"{do} {', '.join(dict.fromkeys(codes))}" for do, codes in asks.items())


def _asked(one: Part, rows: Sequence[Any]) -> tuple[Asked, ...]:
    return tuple(one.asked(rows))


def _rows(one: Part, sight: Sight) -> tuple[Any, ...]:
    return tuple(one.rows(sight))


def _cautions(subject: Subject, sight: Sight) -> tuple[str, Callable[[], list[Alert]]]:
    """What the subject tells the morning to take care of, by the name it has where that fails."""

    def told() -> list[Alert]:
        return [] if _has_none(subject, sight.farm) else [*part(subject, "asks").cautions(sight)]

    return f"Cautions ({subject.title})", told


def _has_none(subject: Subject, farm: Farm) -> bool:
    """Whether the farm has nothing of all that the subject keeps."""
    return bool(subject.keeps) and not any(_is_there(getattr(farm, name)) for name in subject.keeps)


def _is_there(kept: Any) -> bool:
    return next(kept.live(), None) is not None if isinstance(kept, Register) else bool(kept)


def _sentences(problems: Sequence[Problem]) -> tuple[str, ...]:
    return tuple(problem.sentence for problem in problems)


def _first_things(farm: Farm) -> Iterator[tuple[str, str]]:
    """What a new book still needs, one line to write for each."""
    if not any(row.key == ("spring", *AVERAGE) for row in farm.frost):
        yield "your average last frost, all dates hang on it", "last frost 14 may"
    if not farm.beds:
        yield "your beds, one line for each", "bed b1 50ft"
    elif not list(farm.plantings.live()) and not list(farm.trays.live()):
        yield "what grows: a tray you sowed", "sow 72 strawflower"
        yield "            or what stands in a bed already", "plant zinnia b1 25ft"
