"""The windows of a crop as values: the first and last day to sow, harden, set out and cut."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

WINDOWS = ("sow", "direct_sow", "prick_out", "pot_on", "harden", "set_out", "first_cut", "last_cut")
"""The windows a calendar may have, in its order."""


class Window(NamedTuple):
    """First and last day, both included, and why.

    `anchor` is the frost date it is reckoned from, with its threshold and risk: "28 F at 10 %, 3 May";
    "" where it follows from what really happened.
    """

    start: date
    end: date
    because: str
    anchor: str = ""


class Calendar(NamedTuple):
    """The windows of one crop grown one way, by name, in the order of `WINDOWS`.

    A window is left out where there is nothing to reckon it from; `because` says so, and holds the reasons of
    all the others.
    """

    crop: str
    way: str | None
    windows: dict[str, Window]
    because: tuple[str, ...]


def calendar_json(calendar: Calendar) -> dict[str, Any]:
    """{"crop", "way", "windows": {name: {"from": "YYYY-MM-DD", "to": ...}}, "hangs_on": {name: which frost
    date}, "because": [...]}."""
    return {
        "crop": calendar.crop,
        "way": calendar.way,
        "windows": {
            name: {"from": window.start.isoformat(), "to": window.end.isoformat()}
            for name, window in calendar.windows.items()
        },
        "hangs_on": {name: window.anchor for name, window in calendar.windows.items() if window.anchor},
        "because": list(calendar.because),
    }
