"""Whether an entry makes sense by itself, whoever wrote it: its shape, its day, and numbers that can be.

What the farm as it stands allows is `core.fold.check`'s business. Here is what no farm allows: a log may have come
over by a file copier, or from a stranger, and nothing of it may reach the reckoning that would break it.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from core.book.entry import HEAD, Draft, Entry, Fields
from core.field_words import CODE_LONGEST
from core.kinds import COUNT_MOST, Field, Kind, beyond, problem_with, wrong_field, wrongly_held
from core.problems import Problem
from core.subject import kind_of, kinds_called, remembered
from core.text import clean
from core.units import YEARS, is_clock, is_farm_day


def invalid(entry: Entry | Draft) -> Problem | None:
    """Why an entry or draft cannot mean anything on any farm, or None. Fields its kind does not have are let be."""
    if not is_farm_day(entry.on):
        return Problem("Its day is none, or no day of a farm.", "unreadable")
    fields = entry.fields
    kind = kind_of(entry.kind, fields)
    if kind is None:
        return problem_with(entry.kind, fields)
    if is_plain(kind, entry):
        return None
    mine = {name: fields[name] for name in fields if name in kind.fields}
    return problem_with(kind.name, mine) or _out_of_span(kind, mine) or _miscorrected(kind, mine)


def is_newer(entry: Entry | Draft) -> bool:
    """Whether only a newer shedbook can have written it: it is of a kind, or has a field, that this one lacks."""
    if not kinds_called(entry.kind):
        return bool(entry.kind)
    return not entry.fields.keys() <= _fields_called(entry.kind)


@remembered
def _fields_called(name: str) -> frozenset[str]:
    """Every field that a kind of that name has, in whichever subject."""
    return frozenset(field for kind in kinds_called(name) for field in kind.fields)


def _out_of_span(kind: Kind, fields: Fields) -> Problem | None:
    for name, value in fields.items():
        if why := _beyond(name, kind.fields[name], value):
            return wrong_field(kind.name, name, why)
    return None


def _beyond(name: str, field: Field, value: Any) -> str:
    """Why a field cannot have such a day or number, "" where it can."""
    if field.holds == "day" and not is_farm_day(value):
        return f"is no day of a farm: those lie from {YEARS[0]} to {YEARS[1]}"
    return beyond(name, field, value)


def _miscorrected(kind: Kind, fields: Fields) -> Problem | None:
    """Why an entry cannot change the fields of another as it says, so that a good entry stays one."""
    for holding, field in kind.fields.items():
        if field.holds != "fields" or holding not in fields:
            continue
        kinds = kinds_called(str(fields.get("of")))
        for name, value in fields[holding].items():
            if why := _unfit(kinds, name, value):
                return wrong_field(str(fields["of"]), clean(name), why)
    return None


def _unfit(kinds: tuple[Kind, ...], name: str, value: Any) -> str:
    """Why a field of entries of these kinds cannot be changed to `value`; a field that none has is a newer
    shedbook's."""
    if name in HEAD:
        if name == "on":
            return "" if isinstance(value, str) and is_farm_day(value) else "is no day of a farm"
        return wrongly_held(value, "code") or "" if name == "by" else "is never changed"
    if any(name == kind.makes for kind in kinds):
        return "is never changed"
    why = ""
    for kind in kinds:
        if (field := kind.fields.get(name)) is None:
            continue
        if value is None:
            why = "is needed" if field.needed else ""
        else:
            why = wrongly_held(value, field.holds) or _beyond(name, field, value)
        if not why:
            return ""
    return why


class _Plain(NamedTuple):
    """How a kind is in nearly every entry: the fields it needs, its words, times and numbers."""

    needed: frozenset[str]
    words: frozenset[str]
    clocks: frozenset[str]
    counts: frozenset[str]
    spans: dict[str, tuple[float, float]]


def is_plain(kind: Kind, entry: Entry | Draft) -> bool:
    """Whether an entry of that kind is good at first sight: the fast way through a big book.

    What is not plain goes the slow way (`is_newer`, `invalid`), which says what is wrong with it, if anything: days,
    flags, letters other than ASCII, long words, fields that the kind does not have.
    """
    fields = entry.fields
    plain = _plain(kind.name, kind.when)
    if not plain.needed <= fields.keys() or not is_farm_day(entry.on):
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


@remembered
def _plain(name: str, when: str) -> _Plain:
    fields = next(kind.fields for kind in kinds_called(name) if kind.when == when)
    return _Plain(
        frozenset(name for name, field in fields.items() if field.needed),
        frozenset(name for name, field in fields.items() if field.holds in ("text", "code")),
        frozenset(name for name, field in fields.items() if field.holds == "clock"),
        frozenset(name for name, field in fields.items() if field.holds == "count"),
        {name: field.span for name, field in fields.items() if field.holds == "number"},
    )
