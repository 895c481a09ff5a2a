"""Water, rain, soil tests and minutes of work in a line."""

from __future__ import annotations

from typing import Any

from core.book.entry import Entry
from core.dialect import told_rain, told_water
from core.field.bed_words import take_many_beds
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, kept, short
from core.language.own_words import refuse_money
from core.language.tokens import Number, Token, with_parts
from core.language.words import FILLERS
from core.marked import size_word
from core.measures import LITERS_A_GALLON, MM_AN_INCH
from core.text import nearest

JOBS = {
    **dict.fromkeys(("weed", "weeded", "weeding"), "weeding"),
    **dict.fromkeys(("hoe", "hoed", "hoeing"), "hoeing"),
    **dict.fromkeys(("mulch", "mulched", "mulching"), "mulching"),
    **dict.fromkeys(("thin", "thinned", "thinning"), "thinning"),
    **dict.fromkeys(("stake", "staked", "staking"), "staking"),
    **dict.fromkeys(("till", "tilled", "tilling"), "tilling"),
    **dict.fromkeys(("disbud", "disbudded", "disbudding"), "disbudding"),
    **dict.fromkeys(("deadhead", "deadheaded", "deadheading"), "deadheading"),
    **dict.fromkeys(("prune", "pruned", "pruning"), "pruning"),
    **dict.fromkeys(("mow", "mowed", "mowing"), "mowing"),
    "scouted": "scouting",
    "scouting": "scouting",
    **{
        job: job
        for job in ("planning", "cleaning", "packing", "driving", "selling", "sweeping", "mending", "fencing")
    },
}
"""How a job is typed -> what it is called."""


CUBIC_METERS = {"m3", "m³", "cbm"}
LITERS_A_CUBIC_METER = 1000

# water, rain, soil


def water(line: Line) -> Reading:
    """ "water b3 1 in", "watered b1-b6 40 min", "drip all beds 30 gal": in all, over the beds named."""
    line.words = with_parts(line.words, ("in",))  # inches go before a day and before a place
    minutes = _minutes(line)
    inches, gallons = _inches(line), _gallons(line)
    take_day(line)
    if inches is None and gallons is None and minutes is None and line.way.metric:
        inches = _bare_rain(line)
    beds_named = take_many_beds(line)
    assert beds_named is not None
    many = len(beds_named.split())
    if gallons is not None and many > 1:
        line.remark(f"{told_water(gallons)} in all, {told_water(gallons / many, as_of=gallons)} a bed")
    return line.reading(
        line.draft("watered", beds=beds_named, inches=inches, gallons=gallons, minutes=minutes)
    )


def _minutes(line: Line) -> float | None:
    """Minutes of work or of water: "40 min", "1.5 hours"."""
    found = line.take_unit("min", "minutes")
    return _times_60(line) if found is None else float(found)


def _times_60(line: Line) -> float | None:
    hours = _measure(line, ("h", "hr", "hrs", "hour", "hours"), 60.0)
    return None if hours is None else round(hours, 1)


def _inches(line: Line) -> float | None:
    """Inches of water: "1 in", "0.4 inch", "12 mm"."""
    value = line.take_unit("in", size_word())
    if value is None:
        value = _measure(line, ("in", "inch", "inches"), 1.0)
    return value


def _gallons(line: Line) -> float | None:
    """Gallons of water: "30 gal", "200 litres", "2 m3"."""
    found = _measure(line, ("gal", "gallon", "gallons"), 1.0)
    if found is None:
        found = _measure(line, ("l", "liter", "liters", "litre", "litres"), 1 / LITERS_A_GALLON)
    if found is None and not line.farm.beds.keys() & CUBIC_METERS:
        found = _measure(line, (*CUBIC_METERS,), LITERS_A_CUBIC_METER / LITERS_A_GALLON)
    return found


def _measure(line: Line, forms: tuple[str, ...], factor: float) -> float | None:
    """The number written with one of these units, glued or not, times `factor`."""
    for token in line.free():
        if token.number is not None and not token.unit:
            after = line.after(token)
            if after is not None and after.is_word and after.low in forms:
                token.taken = after.taken = True
                return round(float(token.number) * factor, 4)
        for form in forms:
            digits = token.low.removesuffix(form)
            if token.is_word and digits != token.low and digits.replace(".", "", 1).isdigit():
                token.taken = True
                return round(float(digits) * factor, 4)
    return None


def _bare_rain(line: Line) -> float | None:
    """Inches of a number without its unit: of millimeters where the farm has its lengths in meters."""
    value = line.take_number("rain")
    return kept(value / MM_AN_INCH) if value is not None and line.way.metric else value


def rain(line: Line) -> Reading:
    """ "rain 0.4", "rained 12 mm": of the day, in inches unless said."""
    line.take_words(("rain", "rained"))
    inches = _inches(line)
    if inches is None:
        inches = _bare_rain(line)
    if inches is None:
        raise Refused(
            f"How much rain? Write what the gauge says: rain {told_rain(0.4)}, or rain 12 mm.",
            near=(told_rain(0.4),),
        )
    if inches < 0:
        raise Refused("Rain is 0 or more.", "impossible")
    return line.reading(line.draft("rain", inches=inches))


def change_rain(line: Line, _entry: Entry) -> dict[str, Any]:
    """What is changed of rain: its inches."""
    inches = _inches(line)
    inches = _bare_rain(line) if inches is None else inches
    line.refuse_leftovers()
    return {} if inches is None else {"inches": inches}


NUTRIENTS = {
    "n": "n_ppm",
    "nitrogen": "n_ppm",
    "nitrate": "n_ppm",
    "p": "p_ppm",
    "phosphorus": "p_ppm",
    "k": "k_ppm",
    "potassium": "k_ppm",
}


def soil(line: Line) -> Reading:
    """ "soil b3 pH 6.4 organic 4% P 30 K 120 lab 'County'": what the test says, in ppm."""
    line.take_words(("test", "tested", "sample"))
    said = _soil_values(line)
    beds_named = take_many_beds(line)
    if not any(value is not None for value in said.values()):
        raise Refused("What does the test say? Write it: soil b3 pH 6.4 organic 4% P 30 K 120.", near=("pH",))
    return line.reading(line.draft("soil tested", beds=beds_named, **said))


def _soil_values(line: Line) -> dict[str, Any]:
    """The fields of a soil test that the line says."""
    said: dict[str, Any] = {"ph": _value_after(line, ("ph",), "pH")}
    organic = next((t for t in line.free() if t.is_word and t.low in ("organic", "om")), None)
    if organic is not None:
        organic.taken = True
        line.take_words(("matter",))
        said["organic_pct"] = line.take_unit("%", "per cent of organic matter")
        if said["organic_pct"] is None:
            raise Refused("How much organic matter? Write it in per cent: organic 4%.", near=("4%",))
    for name, field in NUTRIENTS.items():
        if (value := _value_after(line, (name,), name.upper())) is not None:
            said[field] = value
    line.take_words(("ppm",))
    lab = next((t for t in line.free() if t.is_word and t.low == "lab"), None)
    if lab is not None:
        lab.taken = True
        said["lab"] = line.take_quoted() or _one_word(line, lab)
    return said


def _value_after(line: Line, forms: tuple[str, ...], what: str) -> Number | None:
    for token in line.free():
        if token.is_word and token.low in forms:
            value = line.after(token)
            if value is None or value.number is None:
                raise Refused(f"How much {what}? Write the number after it.")
            token.taken = value.taken = True
            return value.number
        for form in forms:
            digits = token.low.removeprefix(form)
            if (
                token.is_word
                and digits != token.low
                and digits.replace(".", "", 1).isdigit()
                and form == "ph"
            ):
                token.taken = True
                return float(digits)
    return None


def _one_word(line: Line, word: Token) -> str:
    after = line.after(word)
    if after is None:
        raise Refused("Which laboratory? Write its name after 'lab'.")
    after.taken = True
    return after.text


# minutes


def work(line: Line) -> Reading:
    """ "40 min weeding b1-b6", "hoed b3 20 min", "worked 90 min 'tool mending'": a job and its minutes."""
    minutes = _minutes(line)
    jobs = [t for t in line.free() if t.is_word and t.low in JOBS]
    for token in jobs:
        token.taken = True
    names = list(dict.fromkeys(JOBS[t.low] for t in jobs))
    line.take_words(("worked",))
    beds_named = take_many_beds(line, needed=False)
    job = names[0] if len(names) == 1 else line.take_quoted() if not names else None
    if len(names) > 1:
        raise Refused(f"{names[0]} and {names[1]}: write one line for each.", "ambiguous", names)
    if job is None:
        other = [t for t in line.free() if t.is_word and t.low.endswith("ing") and t.low not in FILLERS]
        if len(other) != 1:
            raise Refused(
                "What was the work? Write it: worked 40 min weeding b3; a job of your own in quotes.",
                near=("weeding",),
            )
        near = tuple(dict.fromkeys(JOBS[word] for word in nearest(other[0].low, JOBS, most=2)))
        hint = f"Did you mean {either(near)}? " if near else ""
        raise Refused(
            f"'{short(other[0].text)}' is no job known here. {hint}A job of your own is written in quotes: "
            f"'{short(other[0].low)}'.",
            "unknown",
            near,
        )
    if minutes is None and beds_named is None:
        raise Refused(f"How long, or in which beds? Write it: 40 min {short(job)} b1-b6.", near=("40 min",))
    if minutes is not None and minutes <= 0:
        raise Refused("Minutes of work are more than 0.", "impossible")
    return line.reading(line.draft("worked", job=job, beds=beds_named, minutes=minutes))


def change_beds(line: Line, entry: Entry) -> dict[str, Any]:
    """What is changed of water, a soil test or work: beds, minutes, inches, gallons."""
    now: dict[str, Any] = {}
    refuse_money(line)
    if entry.kind != "soil tested" and (minutes := _minutes(line)) is not None:
        now["minutes"] = minutes
    if entry.kind == "watered":
        for name, value in (("inches", _inches(line)), ("gallons", _gallons(line))):
            if value is not None:
                now[name] = value
    if entry.kind == "soil tested":
        now |= {name: value for name, value in _soil_values(line).items() if value is not None}
    jobs = [t for t in line.free() if t.is_word and t.low in JOBS] if entry.kind == "worked" else []
    for token in jobs:
        token.taken = True
        now["job"] = JOBS[token.low]
    if (beds_named := take_many_beds(line, needed=False)) is not None:
        now["beds"] = beds_named
    line.on = line.today
    line.refuse_leftovers()
    return now
