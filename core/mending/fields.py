"""What the words after "was" change in an entry: each is read as the field of its kind that such a word can be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from core.book.entry import Entry, Fields
from core.codes import LOT, PACKET, PIECE, PLANTING, TRAY
from core.farm import Planting
from core.field_words import field_words
from core.kinds import Field, wrong_field, wrongly_held
from core.language.bed_names import take_bed
from core.language.causes import take_cause
from core.language.clock import take_clock
from core.language.crops import take_crop, take_variety, take_way
from core.language.days import take_day
from core.language.line import Line, Refused, either, short, whole
from core.language.named_places import take_places
from core.language.own_words import refuse_money, take_own_words
from core.language.paid import take_paid
from core.language.tokens import Number, Token, times
from core.language.words import FILLERS, USE_OF
from core.places import USES, Place
from core.seed_rows import Packet
from core.settings.sheets import sheet_bunch
from core.stems.buyers import known_buyers
from core.subject import kind_of
from core.units import plainly

COUNTS = ("stems", "count", "heads", "bunches", "plants", "f", "grams", "feet", "minutes")
"""The fields that a bare number may be, the first that the entry has."""
UNITS: Mapping[str, str] = {
    "stems": "stems",
    "bunches": "bunches",
    "culls": "culls",
    "seeds": "seeds",
    "cells": "cells",
    "plants": "plants",
    "ft": "feet",
    "in": "width_in",
    "min": "minutes",
    "gauge": "gauge",
    "size": "cell_size",
    "%": "rh_pct",
}
"""The unit of a number -> the field that has it."""
PLACES: Mapping[str, Callable[[Place], bool]] = {
    "line": lambda place: place.is_line,
    "box": lambda place: place.is_box,
    "place": lambda place: place.is_known,
    "source": lambda place: place.is_known,
}
"""Fields that hold a place of the shed -> whether it may be that place; where it came from is the last to be meant."""
OF_CODE: Mapping[str, str] = {
    "lot": LOT,
    "tray": TRAY,
    "planting": PLANTING,
    "piece": PIECE,
    "packet": PACKET,
}
"""Fields that hold a code -> its letter."""


def changes(line: Line, entry: Entry) -> dict[str, Any]:
    """The fields that the rest of the line changes in `entry` -> what they are to be; None for what is left out.

    Refused where a word cannot be a field of such an entry.
    """
    kind = kind_of(entry.kind, entry.fields)
    fields = kind.fields if kind is not None else {}
    made = kind.makes if kind is not None else ""
    now: dict[str, Any] = {}
    if "text" in fields:
        return {"text": _rest(line)}
    _named_fields(line, fields, now)
    _take_names(line, fields, now)
    if (day := _taken_day(line)) is not None:
        now["on"] = day
    for read in (_take_codes, _take_shed, _take_numbers, _take_crop, _take_bunches, _take_words):
        read(line, entry, {name: field for name, field in fields.items() if name != made}, now)
    line.refuse_leftovers([*(name for name in fields if name != made), "by"])
    return now


def _rest(line: Line) -> str:
    words = line.free()
    for token in words:
        token.taken = True
    if not words:
        raise Refused("What should it say? Write it after 'was'.")
    return words[0].text if len(words) == 1 else line.text[words[0].start :].strip()


def _named_fields(line: Line, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """ "stage quarter-open", "no variety", "use dry": the field by its own name, before its value."""
    for token in line.free():
        if token.taken or not token.is_word:
            continue
        before = line.after(token, -1)
        name = _field_called(token.low, fields)
        if name and before is not None and before.low in ("no", "without"):
            if fields[name].needed:
                raise Refused(f"The {token.low} cannot be left out: write what it was.")
            before.taken = token.taken = True
            now[name] = None
        elif name and fields[name].holds in ("text", "code") and name in ("stage", "grade", "purpose"):
            token.taken = True
            value = line.after(token)
            if value is None:
                raise Refused(f"What {token.low}? Write it after the word.")
            value.taken = True
            now[name] = value.text


def _field_called(word: str, fields: Mapping[str, Field]) -> str:
    return next((name for name in fields if name.replace("_", "-") == word and name != "ref"), "")


def _take_names(line: Line, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """Who wrote it, and to whom or for what it went."""
    if "cents" in fields and (paid := take_paid(line)) is not None:
        if paid.of != "all":
            raise Refused("What did all of it come to? Write the whole amount: for 18.")
        now["cents"] = paid.cents
    refuse_money(line)
    by = next((t for t in line.free() if t.is_word and t.low == "by"), None)
    name = line.after(by) if by is not None else None
    if by is not None and name is not None and "by" not in fields:
        by.taken = name.taken = True
        now["by"] = name.text
    for word, field in (("to", "who"), ("for", "purpose")):
        known = known_buyers(line.farm) if field == "who" else ()
        if field in fields and (said := take_own_words(line, (word,), known)) is not None:
            now[field] = said


def _taken_day(line: Line) -> str | None:
    """The day that is named in the line, None where none is; the line itself stays of today."""
    line.on, remarks = date.min, len(line.remarks)
    take_day(line)
    said = None if line.on == date.min else line.on.isoformat()
    line.on = line.today
    del line.remarks[remarks:]
    return said


def _take_codes(line: Line, _entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """Another lot, tray, planting or piece; where one is the thing's own place, what grew there comes with it."""
    registers: dict[str, Callable[[str], Any]] = {
        "lot": line.farm.lots.get,
        "tray": line.farm.trays.get,
        "planting": line.farm.plantings.get,
        "piece": line.farm.pieces.get,
        "packet": line.farm.packets.get,
    }
    for field, letter in OF_CODE.items():
        if field not in fields or not (codes := line.take_codes(letter)):
            continue
        if len(codes) > 1:
            raise Refused(f"{codes[0]} and {codes[1]}: which was it?", "ambiguous", codes)
        item = registers[field](codes[0])
        if item is None:
            raise Refused(f"There is no {field} {codes[0]}.", "unknown")
        now[field] = item.code
        if "ref" in fields:
            now["ref"] = item.made_by
        if isinstance(item, Planting) and "bed" in fields:
            now |= {"bed": item.bed, "crop": item.crop, "variety": item.variety}
        if isinstance(item, Packet) and "crop" in fields:
            now |= {"crop": item.crop, "variety": item.variety}


def _take_shed(line: Line, entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    held = [field for field in PLACES if field in fields]
    if not held:
        return
    for role, place in take_places(line):
        fit = [f for f in held if f not in now and PLACES[f](place)]
        if role == "from" and "source" in fit:
            fit = ["source"]
        if not fit:
            raise Refused(f"{place} is no place of such an entry: '{entry.kind}'.")
        now[fit[0]] = place


def _take_crop(line: Line, entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """The bed, the use, the crop with its variety; another crop lets go of the variety and way of the old one."""
    if "use" in fields and (uses := line.take_words(USE_OF)):
        now["use"] = USE_OF[uses[-1].low]
    if "bed" in fields and (bed := take_bed(line)):
        now["bed"] = bed
    if "cause" in fields or "cull_cause" in fields:
        field = "cause" if "cause" in fields else "cull_cause"
        if (cause := take_cause(line)) is not None:
            now[field] = cause
    if "crop" not in fields:
        return
    crop = take_crop(line)
    if crop is not None and crop != entry.fields.get("crop"):
        of_packet = ("packet", "packet_seeds", "ref") if "packet" in entry.fields else ()
        now |= {"crop": crop} | {old: None for old in ("variety", "way", *of_packet) if old in entry.fields}
    grown = crop or str(entry.fields.get("crop"))
    if "way" in fields and (way := take_way(line, grown)):
        now["way"] = way
    words = [t for t in line.free() if t.quoted or (t.is_word and t.low not in FILLERS)]
    is_variety = "variety" in fields and words and not any(_is_field_word(t, fields) for t in words)
    if is_variety and (variety := take_variety(line, grown)) is not None:
        now["variety"] = variety


def _is_field_word(token: Token, fields: Mapping[str, Field]) -> bool:
    return token.is_word and token.low.replace("-", "_") in fields


def _take_numbers(line: Line, entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    if "clock" in fields and (clock := take_clock(line)):
        now["clock"] = clock
    if "bunches" in fields and "per" in fields:
        for token in line.free():
            if token.is_word and (both := times(token.low)):
                token.taken = True
                now["bunches"], now["per"] = both
    for unit, field in UNITS.items():
        if field in fields and (value := line.take_unit(unit, field)) is not None:
            now[field] = _held(fields[field], value, field)
    if "f" in fields and (degrees := line.take_degrees("degrees")) is not None:
        now["f"] = degrees
    if "per" in fields and "stems" in fields and "bunches" in now:
        del now["bunches"]
    value = line.take_number(entry.kind)
    if value is None:
        return
    if {"cells", "seeds"} <= fields.keys():
        if entry.fields.get("cells") != entry.fields.get("seeds"):
            raise Refused(
                f"{plainly(value)} cells or {plainly(value)} seeds? Write the word after the number.",
                "ambiguous",
                ("cells", "seeds"),
            )
        now |= {"cells": whole(value, "cells"), "seeds": whole(value, "seeds")}
        return
    fit = [name for name in COUNTS if name in fields and name not in now]
    if not fit:
        raise Refused(f"What is {plainly(value)} here? A '{entry.kind}' entry has no number to correct.")
    now[fit[0]] = line.fahrenheit(value) if fit[0] == "f" else _held(fields[fit[0]], value, fit[0])


def _take_bunches(line: Line, entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """ "L009 was 6b": of stems of a lot the bunches, by the size of those that lie there, else as the crop's sheet has
    it."""
    field = next((name for name in ("stems", "count") if name in fields), "")
    if not field or field in now or "lot" not in entry.fields:
        return
    bunches = line.take_unit("bunches", "bunches")
    if bunches is None:
        return
    f = {**entry.fields, **now}
    lot = line.farm.lots.get(f["lot"])
    crop, use = f.get("crop") or (lot.crop if lot else ""), f.get("use") or (lot.use if lot else "")
    held = lot.holdings.get(f["source"]) if lot is not None and "source" in f else None
    form = "fresh" if use == "fresh" else "dried"
    per = held.per if held is not None and held.per > 1 else sheet_bunch(line.farm, crop, form)
    if per is None:
        raise Refused(f"How many stems of {crop} to a bunch? Write the number of stems.")
    now[field] = whole(bunches, "bunches") * per
    line.tell_amount(now[field], per)


def _held(field: Field, value: Number, name: str) -> Number:
    return whole(value, field_words(name)) if field.holds == "count" else value


def _take_words(line: Line, entry: Entry, fields: Mapping[str, Field], now: dict[str, Any]) -> None:
    """ "snaps", "moth": the one word that is left is what was found; another field is said by its name."""
    left = [t for t in line.free() if t.is_word and t.low not in FILLERS]
    if "result" in fields and len(left) == 1:
        left[0].taken = True
        now["result"] = left[0].low
        return
    for token in left:
        name = token.low.replace("-", "_")
        value = line.after(token)
        if token.taken or name not in fields or name == "ref" or value is None:
            continue
        held = value.number if value.number is not None else value.text
        if why := wrongly_held(held, fields[name].holds):
            raise Refused(wrong_field(entry.kind, name, why).sentence)
        token.taken = value.taken = True
        now[name] = held
    if "use" in now and now["use"] not in USES:
        raise Refused(f"Which use: {either(USES)}?", near=USES)


def unchanged(entry: Entry, now: Fields) -> dict[str, Any]:
    """Those of the changes that the entry says already."""
    return {name: value for name, value in now.items() if was(entry, name) == value}


def was(entry: Entry, name: str) -> Any:
    """What an entry has in a field, "on" (its day) and "by" (who wrote it) among them; None where it lacks the
    field."""
    return {"on": entry.on, "by": entry.by}.get(name, entry.fields.get(name))


def code_of(entry: Entry) -> str | None:
    """The code of what the entry speaks of, for her to know it by."""
    kind = kind_of(entry.kind, entry.fields)
    names = (
        kind.makes if kind is not None else "",
        "lot",
        "tray",
        "planting",
        "piece",
        "packet",
        "plan",
        "bed",
        "box",
    )
    found = next((entry.fields[name] for name in names if isinstance(entry.fields.get(name), str)), None)
    return None if found is None else short(found, 40)
