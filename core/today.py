"""The morning: what today asks, collected from the subjects, as data; `core.page` lays it out.

Each part is reckoned under a guard: one that fails is one line in its place, and all others stand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple, TypeVar

from core.asks import Alert, Asked, Care, Guarded, Head, Part, Sight
from core.farm import Farm
from core.guard import UNGUARDED, Guard
from core.kept import MORNING
from core.problems import Problem
from core.register import Register
from core.subject import Subject, part, subjects
from core.units import long_day
from core.watched import Watch

T = TypeVar("T")


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
    by_clock: bool = True
    """Whether anything of it hangs on the time of day."""

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


class Told(NamedTuple):
    """What a subject has for a morning: each of its parts where it stands, as the page tells it, and what to take care
    of."""

    parts: tuple[tuple[int, tuple[Asked, ...]], ...]
    alerts: tuple[Alert, ...]


def morning(sight: Sight, guard: Guard = UNGUARDED, *, as_told: bool = False) -> Morning:
    """What this morning asks; a clock that is plainly wrong stands first among the cautions.

    `as_told`: as far as the page tells it, without the rows themselves (`parts`); what has not changed since it was
    told last is not reckoned again, nor is the subject loaded.
    """
    failed: list[tuple[str, str]] = []

    def guarded(name: str, reckon: Callable[[], T], none: T) -> T:
        def fail(why: Problem) -> T:
            failed.append((name, why.sentence))
            return none

        return guard(name, reckon, fail)

    farm, day = sight.farm, sight.day
    rows: dict[str, tuple[Any, ...]] = {}
    watch = MORNING.watch(sight) if as_told else None
    if watch is not None:
        asked, alerts, cared, head = _kept(sight, watch, guarded, failed)
    else:
        parts: list[Part] = guarded("The parts of the page", lambda: parts_of(farm), [])
        rows = {one.name: guarded(one.head, partial(_rows, one, sight), ()) for one in parts}
        asked = tuple(each for one in parts for each in _guarded_asked(one, rows[one.name], guarded))
        alerts = tuple(said for one in _warning(subjects()) for said in _cautions(one, sight, guarded))
        cared = guarded("What wants care", partial(_care, sight), ())
        head = _head(guarded, sight)
    night = _of_the_night(asked)
    return Morning(
        day=day.isoformat(),
        title=long_day(day),
        sun_up=head.sun_up,
        season=head.season,
        weather=head.weather,
        alerts=(
            *([Alert("the clock", sight.clock_problem.sentence, "first")] if sight.clock_problem else ()),
            *([Alert("frost", f"{head.cold}: {night}.", "told")] if head.cold and night else ()),
            *alerts,
        ),
        care=cared,
        first_things=head.first_things,
        parts=rows,
        matters=head.matters,
        asked=asked,
        now=head.in_short,
        beds=len(farm.beds),
        by_clock=sight.clock is not None and (watch is None or watch.knows("clock")),
        failed=tuple(dict(failed).items()),
    )


def row_of(told: Asked, sight: Sight, guard: Guard = UNGUARDED) -> Any:
    """The row of something that was told without it, of the same morning; None where nothing asks for it now. Whose
    rows it is among is asked first."""
    none: tuple[Any, ...] = ()
    for subject in sorted(subjects(), key=lambda one: told.about[0] not in one.rows):
        if not subject.asks or _has_none(subject, sight.farm):
            continue
        for one in getattr(part(subject, "asks"), "PARTS", ()):
            rows: tuple[Any, ...] = guard(one.head, partial(_rows, one, sight), lambda _: none)
            for each in _guarded_asked(
                one, rows, lambda name, reckon, none: guard(name, reckon, lambda _: none)
            ):
                if each._replace(row=None) == told:
                    return each.row
    return None


def _of_the_night(asked: Sequence[Asked]) -> str:
    """ "bring in S86, S87; cover b1": all that the night asks."""
    asks: dict[str, list[str]] = {}
    for one in asked:
        if one.zone == "tonight":
            asks.setdefault(one.do, []).append(one.code)
    return "; ".join(f"{do} {', '.join(dict.fromkeys(codes))}" for do, codes in asks.items())


def _kept(
    sight: Sight, watch: Watch, guarded: Guarded, failed: Sequence[object]
) -> tuple[tuple[Asked, ...], tuple[Alert, ...], Care, Head]:
    """What is asked, what to take care of, the care for crops, the head: reckoned where it may have changed."""

    def sound(reckon: Callable[[Sight], T], seen: Sight) -> tuple[T, bool]:
        before = len(failed)
        return reckon(seen), len(failed) == before

    told = {
        one.home: MORNING.of(one.home, Told, watch, partial(sound, partial(_told, one, guarded)))
        for one in subjects()
        if (one.asks or one.cautions) and not _has_none(one, sight.farm)
    }
    parts = sorted((part for one in told.values() for part in one.parts), key=lambda part: part[0])
    warning = [one for one in _warning(subjects()) if one.home in told]

    def care(seen: Sight) -> Care:
        return guarded("What wants care", partial(_care, seen), ())

    return (
        tuple(each for _, asked in parts for each in asked),
        tuple(alert for one in warning for alert in told[one.home].alerts),
        MORNING.of("care", Care, watch, partial(sound, care)),
        MORNING.of("head", Head, watch, partial(sound, partial(_head, guarded))),
    )


def _told(subject: Subject, guarded: Guarded, sight: Sight) -> Told:
    none: tuple[Part, ...] = ()
    found = guarded(
        "The parts of the page",
        lambda: tuple(getattr(part(subject, "asks"), "PARTS", ())) if subject.asks else (),
        none,
    )
    parts = []
    for one in found:
        rows: tuple[Any, ...] = guarded(one.head, partial(_rows, one, sight), ())
        asked = _guarded_asked(one, rows, guarded)
        parts.append((one.place, tuple(each._replace(row=None) for each in asked)))
    return Told(tuple(parts), tuple(_cautions(subject, sight, guarded)) if subject.cautions else ())


def _warning(among: Sequence[Subject]) -> list[Subject]:
    """The subjects that may have something to take care of, in their order."""
    return sorted((one for one in among if one.cautions), key=lambda one: one.cautions)


def _care(sight: Sight) -> Care:
    return tuple(said for one in subjects() if one.cares for said in part(one, "asks").care(sight))


def _head(guarded: Guarded, sight: Sight) -> Head:
    from core.morning_head import head  # only where it is reckoned

    return head(guarded, sight)


def _guarded_asked(one: Part, rows: Sequence[Any], guarded: Guarded) -> tuple[Asked, ...]:
    none: tuple[Asked, ...] = ()
    return guarded(
        one.head,
        lambda: tuple(each._replace(because=getattr(each.row, "because", "")) for each in one.asked(rows)),
        none,
    )


def _rows(one: Part, sight: Sight) -> tuple[Any, ...]:
    return tuple(one.rows(sight))


def _cautions(subject: Subject, sight: Sight, guarded: Guarded) -> Sequence[Alert]:
    """What the subject tells the morning to take care of."""

    def told() -> list[Alert]:
        return [] if _has_none(subject, sight.farm) else [*part(subject, "asks").cautions(sight)]

    nothing: list[Alert] = []
    return guarded(f"Cautions ({subject.title})", told, nothing)


def _has_none(subject: Subject, farm: Farm) -> bool:
    """Whether the farm has nothing of all that the subject keeps."""
    return bool(subject.keeps) and not any(_is_there(getattr(farm, name)) for name in subject.keeps)


def _is_there(kept: Any) -> bool:
    return next(kept.live(), None) is not None if isinstance(kept, Register) else bool(kept)
