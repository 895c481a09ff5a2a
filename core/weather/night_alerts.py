"""What the nights ask to take care of: tonight as it is reckoned from dusk, and those whose forecast is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.asks import Alert
from core.dialect import told_about
from core.farm import Farm
from core.units import plural
from core.weather.ahead import NightAhead, nights_ahead
from core.weather.night import FREEZING_F, GROUND_COLDER_F, night_name
from core.weather.tonight import line_for_brief, tonight

MOST_BEDS = 4
"""So many are named in short; more are counted."""


def night_alerts(farm: Farm, day: date) -> Iterator[Alert]:
    """Tonight, where readings were taken at dusk, and each later night that would hurt something."""
    if farm.weather_on(day).dusk is not None:
        found = tonight(farm, day)
        if found.low_f is not None and (line := line_for_brief(found)):
            yield Alert(f"tonight about {told_about(found.low_f)}", line)
    yield from _of_nights([one for one in nights_ahead(farm, day) if one.hurts])


def _of_nights(hurting: Sequence[NightAhead]) -> Iterator[Alert]:
    """Each night to come in full; in short the coldest of them, with how much it would hurt."""
    worst = min(hurting, key=lambda one: (one.low_f, one.night), default=None)
    for one in hurting:
        yield Alert(_short(one), f"{one.says}.", "act" if one is worst else "told")


def _short(ahead: NightAhead) -> str:
    """ "frost Sat night: b1 b2, 5 trays"."""
    word = "frost" if ahead.low_f <= FREEZING_F + GROUND_COLDER_F else "cold"
    many = len(ahead.beds) > MOST_BEDS
    beds = plural(len(ahead.beds), "bed") if many else " ".join(ahead.beds)
    trays = plural(len(ahead.trays), "tray") if len(ahead.trays) > MOST_BEDS else " ".join(ahead.trays)
    return f"{word} {night_name(date.fromisoformat(ahead.night))}: {', '.join(filter(None, (beds, trays)))}"
