"""What the morning page says before anybody asks anything; loaded where that has changed since it was told last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Guarded, Head, Sight
from core.dialect import told_time
from core.farm import Farm
from core.marked import typed_feet
from core.matters import matters
from core.problems import Problem
from core.settings.local_time import example_zone, lacks_zone
from core.settings.sheets import in_south
from core.weather.asks import cold_ahead, cool_until, now_in_short, readings, season, sun_up
from core.weather.kinds import AVERAGE

SUMMER = 5, 9
"""Months in which it matters by when to have cut: heat comes with the day."""


def head(guarded: Guarded, sight: Sight) -> Head:
    """The head of the page; what of it cannot be reckoned is empty."""
    farm, day = sight.farm, sight.day

    def cool() -> str:
        """ "cool to 08:08", in the months in which heat comes with the day."""
        month = (day.month + 5) % 12 + 1 if in_south(farm) else day.month
        until = cool_until(farm, day) if SUMMER[0] <= month <= SUMMER[1] else ""
        return f"cool to {told_time(until)}" if until else ""

    long, short = guarded("The frost dates", lambda: season(farm, day), ("", ""))
    return Head(
        guarded("Weather", lambda: readings(farm, day), ""),
        guarded("Weather", lambda: now_in_short(farm, day), ""),
        long,
        short,
        guarded("Sunrise", lambda: sun_up(farm, day), ""),
        guarded("Sunrise", cool, ""),
        guarded("Weather", lambda: cold_ahead(farm, day), ""),
        guarded("What to begin with", lambda: tuple(_first_things(farm)), ()),
        guarded("To settle", lambda: _sentences(matters(farm)), _sentences(farm.matters)),
    )


def _sentences(problems: Sequence[Problem]) -> tuple[str, ...]:
    return tuple(problem.sentence for problem in problems)


def _first_things(farm: Farm) -> Iterator[tuple[str, str]]:
    """What a new book still needs, one line to write for each."""
    if not any(row.key == ("spring", *AVERAGE) for row in farm.frost):
        yield "your average last frost, all dates hang on it", "last frost 14 may"
    if lacks_zone(farm):
        yield "your time zone, for sunrise by your clock", f"farm zone {example_zone(farm)}"
    if not farm.beds:
        yield "your beds, one line for each", f"bed b1 {typed_feet(50)}"
    elif not list(farm.plantings.live()) and not list(farm.trays.live()):
        yield "what grows: a tray you sowed", "sow 72 strawflower"
        yield "            or what stands in a bed already", f"plant zinnia b1 {typed_feet(25)}"
        if not farm.plans:
            yield "            or what you want, reckoned back to seed", "plan 120 strawflower dry by 9-19"
