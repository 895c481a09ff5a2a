"""What two machines said of one entry, neither knowing of the other: two corrections of a field, a correction and a
strike. The rule of the book decides what counts; what was said is told until she has settled it.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from typing import TYPE_CHECKING, Any

from core.codes import code_in
from core.field_words import unit_of
from core.kinds import fields_text
from core.problems import Matter
from core.subject import kinds_called
from core.text import clean
from core.units import ID_SHOWN

if TYPE_CHECKING:
    from core.amend import Amendment
    from core.farm import Farm

APART = "corrected apart"
"""The sort of matter that two machines corrected the same, neither knowing of the other."""
GONE = "taken back apart"
"""The sort of matter that one machine took back what the other corrected, not knowing of it."""
_REFS = ("ref", "order_ref", "item_ref")
_BARE = ("stems", "count", "heads", "on", "bed", "crop", "use", "line", "box", "place", "source", "variety")
"""Fields that are said in a correction by their value alone."""
_WITH_WORD = ("culls", "seeds", "cells", "plants")
"""Fields that are said with their name after the number."""
_WITH_UNIT = ("feet", "f")
"""Fields that are said by their value with its unit."""


def is_apart(farm: Farm, entry: str) -> bool:
    """Whether the entry of that id was corrected on two machines apart, and nobody has said since which is right."""
    return any(matter.key[:2] == (APART, entry) for matter in farm.matters)


def at_odds(rows: Iterable[Amendment], gone: Container[str]) -> list[Matter]:
    """All that is to settle between these amendments; `gone` are the ids of what counts no more.

    Of corrections of what is reckoned as a whole only those that leave nothing standing of one another are told here.
    """
    corrections: dict[tuple[str, str], list[Amendment]] = {}
    strikes: dict[str, list[Amendment]] = {}
    for row in sorted(rows, key=lambda row: (row.at, row.id)):
        if row.now is None:
            strikes.setdefault(row.names, []).append(row)
        elif row.now:
            corrections.setdefault((row.names, row.of), []).append(row)
    found: list[Matter] = []
    for (entry, _), said in corrections.items():
        found += _one_against_another(said, gone)
        found += _against_strikes(
            [row for row in said if row.id not in gone], strikes.get(entry, []), strikes, gone
        )
    return found


def _one_against_another(said: list[Amendment], gone: Container[str]) -> Iterator[Matter]:
    """Corrections of one entry, in the order in which they were written, that name one field and knew not of it."""
    held: dict[str, Amendment] = {}
    apart: dict[str, list[Amendment]] = {}
    for n, row in enumerate(said):
        if row.id in gone or not row.now:
            continue
        for name, value in row.now.items():
            if name in _REFS or name == "by":
                continue
            before = held.get(name)
            held[name] = row
            if before is None or not before.now:
                continue
            if before.now[name] == value or _knew(row, before, name, said[:n]):
                apart.pop(name, None)
            else:
                apart.setdefault(name, [before]).append(row)
    if apart:
        yield _told(apart)


def _knew(row: Amendment, before: Amendment, name: str, earlier: list[Amendment]) -> bool:
    """Whether who wrote `row` had seen the correction `before`, or one after it that was taken back since."""
    found = (row.was or {}).get(name)
    since = earlier[earlier.index(before) :]
    return any(name in (one.now or {}) and (one.now or {})[name] == found for one in since)


def _told(apart: dict[str, list[Amendment]]) -> Matter:
    (name, rows), *others = sorted(apart.items(), key=lambda of: of[0] not in _BARE)
    last = rows[-1]
    entry = _name(last)
    said = ", ".join(f"{fields_text({name: (row.now or {})[name]})} by {clean(row.by)}" for row in rows)
    ways = dict.fromkeys(filter(None, (_way(last, name, (row.now or {})[name]) for row in rows[::-1])))
    how = " or ".join(f"'{way}'" for way in ways) or "say once more what it is to be"
    if rows[-1].as_a_whole:  # the rest is reckoned from it
        others = []
    more = (
        f"; so were {', '.join(fields_text({n: (r[-1].now or {})[n]}) for n, r in others)}" if others else ""
    )
    counts = fields_text({name: (last.now or {})[name]})
    return Matter(
        f"{entry} was corrected on two machines apart: {said}; {counts} counts{more}. Write which is right: {how}.",
        "settle",
        entry=last.names,
        key=(APART, last.names),
    )


def _name(row: Amendment) -> str:
    """The entry by the code of what it made, else by the end of its id."""
    code = clean(row.about)
    made = (
        code if code_in(code) and any(kind.makes or kind.as_a_whole for kind in kinds_called(row.of)) else ""
    )
    return made or row.names[-ID_SHOWN:]


def _way(row: Amendment, name: str, value: Any) -> str:
    """The line that says so of the entry; "" where no few words do."""
    if row.of.startswith("order"):
        return ""
    if value is None:
        words = f"no {name}"
    elif name in _BARE:
        words = str(value)
    elif name in _WITH_WORD:
        words = f"{value} {name}"
    elif name in _WITH_UNIT:
        words = f"{value}{unit_of(name)}"
    elif isinstance(value, str) or unit_of(name):
        return ""
    else:
        words = f"{name} {value}"
    return f"{_name(row)} was {words}"


def _against_strikes(
    said: list[Amendment],
    strikes: list[Amendment],
    of_strikes: Container[str],
    gone: Container[str],
) -> Iterator[Matter]:
    """A strike that counts of what the other machine corrected: before it and unknown to it, or after it."""
    for strike in strikes:
        if strike.id in gone or strike.id in of_strikes:
            continue
        place = strike.at, strike.id
        before = [row for row in said if (row.at, row.id) < place]
        unknown = [row for row in said if (row.at, row.id) > place]
        if strike.knew is not None and len(before) > strike.knew:
            others = [row for row in before if row.by != strike.by]
            unknown = [(others or before)[-1], *unknown]
        if unknown:
            row = unknown[-1]
            yield Matter(
                f"{_name(row)} was taken back by {clean(strike.by)}, and on another machine corrected to "
                f"{fields_text(row.now or {})} by {clean(row.by)}, neither knowing of the other: it is gone. "
                f"'cancel {strike.id[-ID_SHOWN:]}' brings it back as corrected, 'cancel {row.id[-ID_SHOWN:]}' leaves "
                "it gone.",
                "settle",
                entry=strike.names,
                key=(GONE, strike.names),
            )
            return
