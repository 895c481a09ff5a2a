"""Whether an entry makes sense by itself, whoever wrote it: its shape, its day, and numbers that can be.

What the farm as it stands allows is `core.fold.check`'s business. Here is what no farm allows: a log may have come
over by a file copier, or from a stranger, and nothing of it may reach the reckoning that would break it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from core.book.entry import Draft, Entry, Fields
from core.kinds import CODE_LONGEST, COUNT_MOST, KINDS, NUMBER_MOST, problem_with
from core.problems import Problem
from core.units import day_from_iso, is_clock

YEARS = (1700, 2299)
"""Years of a day in a book: from before any weather record to where no plan of a farm reaches."""

_ABOVE_0 = 1e-6
_DEGREES_F = (-150.0, 150.0)
_PERCENT = (_ABOVE_0, 100.0)
_AMOUNT = (0.0, NUMBER_MOST)
_SIZE = (_ABOVE_0, NUMBER_MOST)
_TEN_YEARS = 3660.0

SPANS: Mapping[str, tuple[float, float]] = {
    "latitude": (-90, 90),
    "longitude": (-180, 180),
    **dict.fromkeys(("f", "dew_f", "low_f", "high_f", "threshold_f"), _DEGREES_F),
    **dict.fromkeys(("rh_pct", "low_rh", "high_rh", "risk_pct"), _PERCENT),
    **dict.fromkeys(("grams", "feet", "width_in", "size_in"), _SIZE),
    "days": (0, _TEN_YEARS),
    "hours": (0, _TEN_YEARS * 24),
    "expected": (-NUMBER_MOST, NUMBER_MOST),
}
"""Field -> least and most of a number in it; other numbers run from 0 to `NUMBER_MOST`."""


def nonsense(entry: Entry | Draft) -> Problem | None:
    """Why an entry or draft cannot mean anything on any farm, or None. Fields its kind does not have are let be."""
    if not is_farm_day(entry.on):
        return Problem("Its day is none, or no day of a farm.", "unreadable")
    kind, fields = entry.kind, entry.fields
    if kind not in KINDS:
        return problem_with(kind, fields)
    if _is_plain(_plain(kind), fields):
        return None
    known = KINDS[kind].fields
    mine = {name: fields[name] for name in fields if name in known}
    return problem_with(kind, mine) or _out_of_span(kind, mine)


def is_newer(entry: Entry | Draft) -> bool:
    """Whether only a newer shedbook can have written it: it is of a kind, or has a field, that this one lacks."""
    known = KINDS.get(entry.kind)
    if known is None:
        return bool(entry.kind)
    return not entry.fields.keys() <= known.fields.keys()


_days_known: set[str] = set()
"""Days found to be good ones: a book has few, and many entries on each."""


def is_farm_day(text: str) -> bool:
    """Whether the text is a day "YYYY-MM-DD" that a farm may have seen or plan for."""
    if text in _days_known:
        return True
    day = day_from_iso(text)
    if day is None or not YEARS[0] <= day.year <= YEARS[1]:
        return False
    _days_known.add(text)
    return True


def _out_of_span(kind: str, fields: Fields) -> Problem | None:
    for name, value in fields.items():
        holds = KINDS[kind].fields[name].holds
        why = ""
        if holds == "day" and not is_farm_day(value):
            why = "is no day of a farm"
        elif holds == "number":
            least, most = SPANS.get(name, _AMOUNT)
            why = "" if least <= value <= most else f"cannot be {value:g}"
        if why:
            return Problem(f"The {name.replace('_', ' ')} of a '{kind}' entry {why}.", "unreadable")
    return None


class _Plain(NamedTuple):
    """How a kind is in nearly every entry: the fields it needs, its words, times and numbers."""

    needed: frozenset[str]
    words: frozenset[str]
    clocks: frozenset[str]
    counts: frozenset[str]
    spans: dict[str, tuple[float, float]]


def _is_plain(plain: _Plain, fields: Fields) -> bool:
    """The fast way through a big book; what is not plain goes the slow way, which says what is wrong with it, if
    anything: days, flags, letters other than ASCII, long words."""
    if not plain.needed <= fields.keys():
        return False
    words, counts, spans = plain.words, plain.counts, plain.spans
    for name, value in fields.items():
        of = type(value)
        if of is str:
            if name in words:
                if not value.isascii() or not value.isprintable() or not 0 < len(value) <= CODE_LONGEST:
                    return False
            elif name not in plain.clocks or not is_clock(value):
                return False
        elif of is int and name in counts:
            if not 0 <= value <= COUNT_MOST:
                return False
        elif (of is int or of is float) and name in spans:
            least, most = spans[name]
            if not least <= value <= most:
                return False
        else:
            return False
    return True


@cache
def _plain(kind: str) -> _Plain:
    fields = KINDS[kind].fields
    return _Plain(
        frozenset(name for name, field in fields.items() if field.needed),
        frozenset(name for name, field in fields.items() if field.holds in ("text", "code")),
        frozenset(name for name, field in fields.items() if field.holds == "clock"),
        frozenset(name for name, field in fields.items() if field.holds == "count"),
        {name: SPANS.get(name, _AMOUNT) for name, field in fields.items() if field.holds == "number"},
    )
