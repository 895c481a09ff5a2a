"""What a kind of entry is: its fields, the sentence it makes, its check, and what it does to the farm."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal, NamedTuple, TypeAlias

from core.book.entry import Draft, Entry, Fields
from core.crops.figure_words import figure_label, figure_told
from core.dialect import (
    keep,
    told_degrees,
    told_feet,
    told_time,
)
from core.farm import Farm
from core.field_words import CODE_LONGEST, MEASURED, field_words, of_end, shortly, unit_beside
from core.problems import Problem
from core.spelling import FIELDS, SHOWN
from core.subject import kind_of
from core.text import LONGEST, clean, is_clean
from core.units import as_typed, dated_text, day_from_iso, is_clock, money, month_day, number, plainly

Holds = Literal["text", "code", "count", "number", "flag", "month_day", "day", "clock", "fields"]
"""What a field holds: clean text, a code or name of at most 40 characters, a whole number from 0, any number,
true or false, "MM-DD", "YYYY-MM-DD", the farm's time "HH:MM", or fields of another entry with their values."""

Check: TypeAlias = Callable[[Farm, Draft], Problem | None]
"""Why a draft cannot be so on this farm, or None."""

Slip: TypeAlias = Callable[[Farm, Draft], str | None]
"""Why a number of a draft looks like a slip of the finger, as the beginning of a sentence, or None."""

Apply: TypeAlias = Callable[[Farm, Entry], None]
"""Takes a written entry into the farm. It never refuses: what does not add up becomes a matter to settle."""

FIELDS_MOST = 40
"""Fields of another entry that one entry may speak of."""
COUNT_MOST = 10_000_000
NUMBER_MOST = 1e7


class Field(NamedTuple):
    """One field of a kind: what it holds, whether it must be there, and the least and most of a number in it."""

    holds: Holds
    needed: bool = True
    span: tuple[float, float] = (0, NUMBER_MOST)


_ABOVE_0 = 1e-6
_TEN_YEARS = 3660.0
LATITUDE = Field("number", span=(-90, 90))
LONGITUDE = Field("number", span=(-180, 180))
DEGREES_F = Field("number", span=(-150, 150))
PERCENT = Field("number", span=(_ABOVE_0, 100))
SIZE = Field("number", span=(_ABOVE_0, NUMBER_MOST))
DAYS = Field("number", span=(0, _TEN_YEARS))
HOURS = Field("number", span=(0, _TEN_YEARS * 24))
SIGNED = Field("number", span=(-NUMBER_MOST, NUMBER_MOST))


def needs(**fields: Holds | Field) -> dict[str, Field]:
    """Fields that must be there."""
    return {name: _field(holds) for name, holds in fields.items()}


def may(**fields: Holds | Field) -> dict[str, Field]:
    """Fields that may be left out."""
    return {name: _field(holds)._replace(needed=False) for name, holds in fields.items()}


def _field(holds: Holds | Field) -> Field:
    return holds if isinstance(holds, Field) else Field(holds)


REF = may(ref="code")
"""`ref`: the id of the entry that made the tray, planting or lot named beside it. Codes are for people and tags;
two machines apart may give the same code twice, and the id settles which was meant."""


def always(_farm: Farm, _draft: Draft) -> Problem | None:
    """Nothing about the farm can make this entry impossible."""
    return None


def never(_farm: Farm, _draft: Draft) -> str | None:
    """No number of it can be told for a slip."""
    return None


class Kind(NamedTuple):
    """One kind of entry. Two subjects may have a kind of one name ("lost"), told apart by `when`."""

    name: str
    says: str
    """A sentence with field names in braces; parts in square brackets fall away when a field in them is missing."""
    fields: Mapping[str, Field]
    apply: Apply
    check: Check = always
    slip: Slip = never
    """Asked where a line writes it: she says "anyway" where the number is so."""
    when: str = ""
    """The field that says that an entry of a shared kind is this one."""
    makes: str = ""
    """The field that holds the code of what such an entry brings into being."""
    describes: bool = False
    """Whether it says how the farm is, not what happened on it: it holds for any day the book is read as of."""
    as_a_whole: bool = False
    """Whether its fields are reckoned from one another: corrections of it by machines apart do not add up by field."""
    is_reading: bool = False
    """Whether it is a reading of the weather: nothing rests on it, and one line may make several."""


def problem_with(kind: str, fields: Fields) -> Problem | None:
    """What is wrong with the shape of an entry (unknown kind, missing or ill-made field), or None.

    The shape only: whether the lot exists or holds enough is the fold's business.
    """
    known = kind_of(kind, fields)
    if known is None:
        return Problem(f"There is no kind of entry called '{shortly(kind)}'.", "unreadable")
    for name, field in known.fields.items():
        if name not in fields:
            if field.needed:
                return Problem(f"'{kind}' needs its {field_words(name)}.", "unreadable")
            continue
        value, wrong = fields[name], wrongly_held(fields[name], field.holds)
        if not wrong and field.holds == "number" and abs(value) > NUMBER_MOST:
            wrong = beyond(name, field, value)
        if wrong:
            return wrong_field(kind, name, wrong)
    for name in fields:
        if name not in known.fields:
            return Problem(f"A '{kind}' entry has no field '{shortly(name)}'.", "unreadable")
    return None


def wrong_field(kind: str, name: str, why: str) -> Problem:
    """The refusal of what a field holds, in words: `why` it cannot."""
    return Problem(f"'{shortly(kind)}': the {field_words(name)} {why}.", "unreadable")


def beyond(name: str, field: Field, value: Any) -> str:
    """Why a number lies out of the bounds of its field, and what they are; "" where it does not, and for no number."""
    least, most = field.span
    if field.holds != "number" or least <= value <= most:
        return ""
    low = "above 0" if least == _ABOVE_0 else f"{_in_bounds(name, least)} at least"
    return f"cannot be {_in_bounds(name, value)}: {low}, {_in_bounds(name, most)} at most"


def _in_bounds(name: str, value: float) -> str:
    measured = of_end(name, MEASURED)
    return measured[1](value) if measured else f"{plainly(value)}{unit_beside(name)}"


def wrongly_held(value: Any, holds: Holds) -> str | None:
    """Why a field that holds such values cannot hold this one ("must be a number"), or None."""
    if holds == "fields":
        return None if _are_fields(value) else "must name fields and their values"
    if holds == "flag":
        return None if isinstance(value, bool) else "must be true or false"
    if holds in ("count", "number"):
        if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
            return "must be a number"
        if holds == "count":
            return (
                None
                if isinstance(value, int) and 0 <= value <= COUNT_MOST
                else f"must be a whole number from 0 to {COUNT_MOST:,}"
            )
        return None
    if not isinstance(value, str) or not value or not is_clean(value):
        return "must be plain text"
    if holds == "code":
        return None if len(value) <= CODE_LONGEST else f"may have {CODE_LONGEST} characters at most"
    if holds == "month_day":
        return None if month_day(value, 2024) else "must be a month and day such as 05-14"
    if holds == "day":
        return None if day_from_iso(value) else "must be a day such as 2026-06-23"
    if holds == "clock":
        return None if is_clock(value) else f"must be a time such as {told_time('06:40')}"
    return None if len(value) <= LONGEST else f"may have {LONGEST} characters at most"


def _are_fields(value: Any) -> bool:
    if not isinstance(value, Mapping) or not 0 < len(value) <= FIELDS_MOST:
        return False
    return all(
        wrongly_held(name, "code") is None
        and (held is None or isinstance(held, (int, float)) or wrongly_held(held, "text") is None)
        for name, held in value.items()
    )


def fields_text(fields: Fields) -> str:
    """Fields of an entry in words: "stems 20, bed b4", "no variety"."""
    told = []
    for field, value in fields.items():
        if field in ("ref", "order_ref", "item_ref"):  # it goes with the code beside it
            continue
        name = _AS_TOLD.get(field) or field_words(field)
        if field in HERS and isinstance(value, str):
            keep((value,))
        shown = f"{_shown(value, field)}{unit_beside(field)}"
        told.append(f"no {name}" if value is None else f"{name} {shown}")
    return clean(", ".join(told))


_AS_TOLD = {"on": "day", "by": "written by", "who": "to", "source": "from", "per": "a bunch of"}
"""Fields that are told before their value as a part of a sentence."""


def sentence(entry: Draft | Any) -> str:
    """The entry (or draft) as one plain sentence without its date; harmless on a terminal."""
    fields = entry.fields
    kind = kind_of(entry.kind, fields)
    if kind is None:
        return clean(f"{entry.kind}: " + ", ".join(f"{k} {v}" for k, v in fields.items()))
    out: list[str] = []
    for part in kind.says.replace("[", "\0[").replace("]", "\0").split("\0"):
        optional, text = part.startswith("["), part.removeprefix("[")
        filled = _fill(text, fields)
        if filled is None:
            out.append("" if optional else text)
        else:
            out.append(filled)
    return clean("".join(out))


_HERS = (
    "crop like variety text who buyer note purpose name where source making "
    "recipe value by seed_lot supplier product active target applicator lab job"
)
HERS = frozenset(_HERS.split())
"""The fields that hold her own words."""
_PLACES = {
    "bucket": "the bucket",
    "bench": "the bench",
    "cooler": "the cooler",
    "shed": "the shed",
    "room": "the room",
}


def _fill(text: str, fields: Fields) -> str | None:
    for piece in text.split("{")[1:]:
        name = piece.partition("}")[0]
        first, _, last = name.partition(" to ")
        if any(fields.get(one) is None for one in (first, last) if one):
            return None
        if last:
            ends = fields[first], fields[last]
            is_measured = all(isinstance(end, (int, float)) for end in ends)
            told = told_degrees(*ends) if is_measured else " to ".join(map(str, ends))
            text = text.replace("{" + name + "}", told)
            continue
        value = fields[name]
        if value == 1:
            text = text.replace(f"{{{name}}} {name}", f"{{{name}}} {name.removesuffix('s')}")
        word = SHOWN.get(value) if name in FIELDS and isinstance(value, str) else None
        if name == "figure" and isinstance(value, str):
            word = figure_label(value)
        if name == "value" and isinstance(value, str) and isinstance(fields.get("figure"), str):
            word = figure_told(fields["figure"], value)
        if name == "count" and fields.get("what") == "line":
            word = told_feet(value)
        if isinstance(value, str) and name in HERS:
            keep((value,))
        text = text.replace("{" + name + "}", word or _shown(value, name))
    return text


_SIDES = {"latitude": "NS", "longitude": "EW"}
"""The side of the equator, and of Greenwich, above and below 0."""


def _shown(value: Any, field: str = "") -> str:
    if field.endswith("cents") and isinstance(value, int):
        return money(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        if field not in HERS and (is_clock(value) or day_from_iso(value)):
            return told_time(value) if is_clock(value) else dated_text(value)
        return _PLACES.get(value, value)
    if isinstance(value, Mapping):
        return fields_text(value)
    if field in _SIDES and isinstance(value, (int, float)):
        return f"{number(abs(value))} {_SIDES[field][value < 0]}"
    if isinstance(value, (int, float)) and (measured := of_end(field, MEASURED)):
        return measured[1](value)
    return as_typed(value) if isinstance(value, float) else str(value)
