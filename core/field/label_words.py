"""What is typed from a label, and of how it was put on: each word with its value, in any order."""

from __future__ import annotations

from typing import Any

from core.dialect import told_time, wind_unit
from core.field.bed_words import take_many_beds
from core.field.closed import Applied, Label
from core.language.clock import take_clocks
from core.language.line import Line, Refused, either, short
from core.language.tokens import Token
from core.language.words import AREAS, CAUSE_OF, FILLERS, HOUR_WORDS, MEASURES, is_keyword
from core.marked import typed_wind
from core.patterns import pattern
from core.text import clean, nearly
from core.units import number

REENTRY = ("reentry", "re-entry", "rei", "re-enter")
HARVEST = ("harvest", "phi", "pre-harvest", "preharvest")
REGISTERED = ("reg", "registration", "epa", "reg.")
ACTIVE = ("active", "ai", "ingredient")
TARGET = ("against", "for")
LICENSE = ("license", "licence", "cert", "certificate", "certification")
METHOD = ("backpack", "knapsack", "boom", "drench", "granules", "drip", "foliar", "broadcast", "sidedress")
WINDS = (
    "n",
    "ne",
    "e",
    "se",
    "s",
    "sw",
    "w",
    "nw",
    "nne",
    "ene",
    "ese",
    "sse",
    "ssw",
    "wsw",
    "wnw",
    "nnw",
    "calm",
)
_HOURS = pattern(r"([0-9]+(?:\.[0-9]+)?)(h|hr|hrs|hour|hours|d|day|days)")
_AMOUNT = pattern(rf"([0-9]+(?:\.[0-9]+)?)({'|'.join([*MEASURES, *AREAS])})")
DAY_WORDS = ("d", "day", "days")
GENERIC = ("compost", "manure", "fish", "kelp", "seaweed", "lime", "gypsum", "wood", "ash", "blood", "bone", "meal",
           "tea", "emulsion", "feather", "alfalfa", "potash")  # fmt: skip
"""Plain words of what is fed, which need no quotes."""


def label(line: Line, *, is_spray: bool) -> dict[str, Any]:
    """The fields of a spray or a feed that the line says; what the label of a product known says is taken from the last
    time, and remarked on. Refused where the product, a bed or the re-entry time of a spray is missing."""
    said: dict[str, Any] = {}
    said["reg_no"] = _after(line, REGISTERED, "registration number", plain=True)
    said["active"] = _after(line, ACTIVE, "active ingredient")
    said["license"] = _after(line, LICENSE, "number", plain=True)
    said["reentry_hours"] = _hours(line, REENTRY)
    said["harvest_hours"] = _hours(line, HARVEST)
    said["beds"] = take_many_beds(line)
    _take_times(line, said)
    _take_weather(line, said)
    _take_amounts(line, said)
    said["applicator"] = _after(line, ("applicator", "applied"), "name")
    product, known = _product(line, is_spray=is_spray)
    said["product"] = product
    said["target"] = _target(line)
    methods = line.take_words(METHOD)
    said["method"] = methods[0].low if methods else None
    if known is not None:
        _as_last_time(line, said, known)
    line.refuse_leftovers((*REENTRY, *HARVEST, *REGISTERED, *ACTIVE, *LICENSE, "wind", "in", "ended"))
    if is_spray and said["reentry_hours"] is None:
        raise Refused(
            f"What re-entry time does the label of {short(product)} say? Write it: reentry 12h; or reentry 0h where it "
            "says none.",
            near=("reentry",),
        )
    return said


def crops_in(line: Line, beds: str) -> str | None:
    """What stands in the beds and trays, as the record names the crop treated."""
    places = beds.split()
    stand = [p.crop for bed in places for p in line.farm.standing_in(bed)]
    stand += [tray.crop for code in places if (tray := line.farm.trays.get(code)) is not None]
    return "; ".join(dict.fromkeys(stand)) or None


def _after(line: Line, forms: tuple[str, ...], what: str, *, plain: bool = False) -> str | None:
    """The text after one of these words: in quotes, or one plain word or number."""
    word = next((t for t in line.free() if t.is_word and t.low in forms), None)
    if word is None:
        return None
    for small in ("no", "no.", "number", "by", "ingredient", "#"):
        after = line.after(word)
        if after is not None and after.low == small and not after.quoted:
            word.taken, word = True, after
    value = line.after(word)
    if value is None or (plain and value.quoted):
        raise Refused(f"Which {what}? Write it after '{word.text}', as it stands on the label.")
    word.taken = value.taken = True
    if not value.quoted and not plain and (is_keyword(value.low) or value.number is not None):
        raise Refused(f"Which {what}? Put it in quotes after '{word.text}'.")
    return clean(value.text)


def _hours(line: Line, forms: tuple[str, ...]) -> float | None:
    """Hours beside one of these words: "reentry 12h", "12 h re-entry", "harvest 1 day"."""
    word = next((t for t in line.free() if t.is_word and t.low in forms), None)
    if word is None:
        return None
    word.taken = True
    for step in (1, -1):
        token = line.after(word, step)
        if token is None:
            continue
        if token.is_word and (match := _HOURS.fullmatch(token.low)):
            token.taken = True
            return float(match[1]) * (24 if match[2] in DAY_WORDS else 1)
        unit, value = (line.after(word, 2), token) if step == 1 else (token, line.after(word, -2))
        if value is None or value.number is None or value.unit or unit is None or not unit.is_word:
            continue
        if unit.low in (*HOUR_WORDS, *DAY_WORDS):
            unit.taken = value.taken = True
            return float(value.number) * (24 if unit.low in DAY_WORDS else 1)
    raise Refused(
        f"How long is the {word.text}? Write hours or days after it as the label says: {word.text} 12h, {word.text} 1d."
    )


def example_times() -> str:
    """ "17:30 to 18:30": how she may write when a job began and ended."""
    return f"{told_time('17:30')} to {told_time('18:30')}"


def _take_times(line: Line, said: dict[str, Any]) -> None:
    """When it began and ended: "17:30 to 18:30", "ended 18:30"; a time alone is its end."""
    times = [clock for clock, _ in take_clocks(line, dotted=True)]
    if len(times) > 2:
        raise Refused(f"From when until when? Write two times: {example_times()}.", "ambiguous")
    line.take_words(("ended", "until", "began", "from", "to"))
    if times:
        said["ended"] = times[-1]
    if len(times) == 2:
        said["began"] = times[0]


def _take_weather(line: Line, said: dict[str, Any]) -> None:
    """ "wind 4 SW", "wind 4 mph from SW", "68F"."""
    line.read_metric("mph")
    word = next((t for t in line.free() if t.is_word and t.low == "wind"), None)
    if word is not None:
        value = line.after(word)
        if value is not None and value.low == "calm":
            word.taken = value.taken = True
            said["wind_from"] = "calm"
        elif value is None or value.number is None or value.unit not in ("", "mph"):
            raise Refused(
                f"How strong is the wind? Write {wind_unit()} after it, and from where: wind {typed_wind(4)} SW."
            )
        else:
            word.taken = value.taken = True
            if value.number:
                said["mph"] = line.mph(value)
            after = line.after(value)
            if after is not None and after.low == "from":
                after.taken, after = True, line.after(after)
            if after is not None and after.is_word and after.low in WINDS:
                after.taken = True
                said["wind_from"] = after.low.upper()
    if (degrees := line.take_degrees("degrees")) is not None:
        said["f"] = degrees


def _take_amounts(line: Line, said: dict[str, Any]) -> None:
    """ "12 oz", "in 3 gal", "0.1 acre": of the product itself, of the mix with water, of the ground treated."""
    found: list[tuple[str, str, bool]] = []
    for token in line.free():
        if token.taken:
            continue
        unit, value, tokens = _amount(line, token)
        if not tokens:
            continue
        before = line.after(tokens[0], -1)
        is_mix = before is not None and before.is_word and before.low == "in"
        after = line.after(tokens[-1])
        if after is not None and after.is_word and after.low in ("water", "mix"):
            after.taken, is_mix = True, True
        if value <= 0:
            raise Refused(
                f"{number(value)} {unit} is nothing: write how much it was, or leave it out.", "impossible"
            )
        for one in tokens:
            one.taken = True
        if is_mix and before is not None and before.low == "in":
            before.taken = True
        found.append((unit, f"{number(value)} {unit}", is_mix))
    for name in ("area", "mix", "amount"):
        mine = [text for unit, text, mix in found if _is_of(unit, mix=mix) == name]
        if len(mine) > 1:
            raise Refused(
                f"{either(mine, 'and')}: which is the {name}? Write one; of the mix: in 3 gal.", "ambiguous"
            )
        if mine:
            said[name] = mine[0]


def _is_of(unit: str, *, mix: bool) -> str:
    return "area" if unit in AREAS.values() else "mix" if mix else "amount"


def _amount(line: Line, token: Token) -> tuple[str, float, tuple[Token, ...]]:
    """(unit, number, the words) of an amount that begins with the word; no words where none does."""
    if token.is_word and (glued := _AMOUNT.fullmatch(token.low)):
        return {**MEASURES, **AREAS}[glued[2]], float(glued[1]), (token,)
    if token.number is None:
        return "", 0, ()
    if token.unit == "gauge" and token.low.endswith("g"):
        return "g", float(token.number), (token,)
    after = line.after(token)
    if token.unit or after is None or not after.is_word:
        return "", 0, ()
    second = line.after(after)
    if after.low in ("fl", "sq") and second is not None and second.low in ("oz", "ft", "feet"):
        return ("fl oz" if after.low == "fl" else "sq ft"), float(token.number), (token, after, second)
    unit = {**MEASURES, **AREAS}.get(after.low)
    return (unit, float(token.number), (token, after)) if unit else ("", 0, ())


def _product(line: Line, *, is_spray: bool) -> tuple[str, Label | None]:
    """The product, and what was written of its label before: in quotes, or one that is known by its plain name."""
    labels = line.farm.part(Applied).labels
    if (quoted := line.take_quoted()) is not None:
        return quoted, labels.get(quoted.lower())
    words = [t for t in line.free() if t.is_word]
    for length in range(min(4, len(words)), 0, -1):
        for start in range(len(words) - length + 1):
            run = words[start : start + length]
            name = " ".join(t.low for t in run)
            if name in labels:
                for token in run:
                    token.taken = True
                return labels[name].product, labels[name]
    generic = [t for t in words if t.low in GENERIC]
    if generic and not is_spray:
        for token in generic:
            token.taken = True
        return " ".join(t.low for t in generic), None
    unknown = next((t for t in words if t.low not in FILLERS and not is_keyword(t.low)), None)
    name = short(unknown.text) if unknown is not None else "the name"
    raise Refused(
        f"Which product? Write its name as it stands on the label, in quotes: '{name}'.", near=(f"'{name}'",)
    )


def _target(line: Line) -> str | None:
    """What it is put on against: the plain words after "for" or "against", or text in quotes."""
    word = next((t for t in line.free() if t.is_word and t.low in TARGET), None)
    if word is None:
        return None
    word.taken = True
    found: list[str] = []
    token = line.after(word)
    while token is not None and (token.is_word or token.quoted) and token.low not in METHOD:
        if not token.quoted and token.low not in CAUSE_OF and (meant := nearly(token.low, CAUSE_OF)):
            raise Refused(
                f"'{short(token.text)}' is new here. Did you mean {either(meant)}? A name so like it is written in "
                f"quotes: {word.low} '{short(token.text)}'.",
                "unknown",
                meant,
            )
        token.taken = True
        found.append(token.text)
        if token.quoted or len(found) == 3:
            break
        token = line.after(token)
    if not found:
        raise Refused(f"{word.text.capitalize()} what? Write the pest or the disease after it.")
    return clean(" ".join(found))


def _as_last_time(line: Line, said: dict[str, Any], known: Label) -> None:
    """What was not said of a label that was read before, as it was then; she is told to read it again."""
    kept = {
        name: value
        for name in ("reg_no", "active", "reentry_hours", "harvest_hours")
        if said.get(name) is None and (value := getattr(known, name)) is not None
    }
    said |= kept
    if hours := [f"{what} {number(kept[name])} h" for name, what in _HOURS_OF.items() if name in kept]:
        line.remark(f"{' and '.join(hours)} as the last time: does the label still say so?")


_HOURS_OF = {"reentry_hours": "re-entry", "harvest_hours": "harvest"}
