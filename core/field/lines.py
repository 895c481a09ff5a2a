"""The field record in a line: sprays and feeds from the label, water, rain, soil tests, minutes of work."""

from __future__ import annotations

from typing import Any

from core.book.entry import Entry
from core.cautions import cautions_at
from core.farm import Farm
from core.field.bed_words import take_many_beds
from core.field.closed import Application, Applied, local_text, span_of, told
from core.field.label_words import crops_in, label
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, short
from core.language.offers import beds, words
from core.language.own_words import refuse_money, take_by
from core.language.tokens import Number, Token
from core.language.verb import LIKELY, NOT, Verb, leave_word
from core.language.words import FILLERS
from core.settings.kinds import zone
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
MM_AN_INCH = 25.4
LITERS_A_GALLON = 3.785411784
"""A US gallon, by definition."""


# sprays and feeds


def spray(line: Line) -> Reading:
    """ "spray b3-b5 'Quencher' 12 oz reg 9999-1 reentry 12h 17:30 to 18:30": as the label says."""
    return _put_on(line, "sprayed")


def feed(line: Line) -> Reading:
    """ "feed b3 b4 'Fish 2-4-1' 2 gal", "fed b1 compost 3 bags": where the label has a re-entry time, with it."""
    return _put_on(line, "fed")


def _put_on(line: Line, kind: str) -> Reading:
    said = _read_label(line, kind)
    drafted = line.draft(kind, **said)
    f = drafted.fields
    if kind == "sprayed" or f.get("reentry_hours"):
        made = Application(
            "",
            drafted.on,
            f.get("began"),
            f.get("ended"),
            tuple(f["beds"].split()),
            f["product"],
            f.get("reentry_hours", 0),
            f.get("harvest_hours", 0),
        )
        span, name = span_of(made, zone(line.farm)), zone(line.farm)
        line.remark(f"closed until {told(local_text(span.work, name))}")
        if span.harvest > span.work:
            line.remark(f"not cut until {told(local_text(span.harvest, name))}")
        if made.ended is None:
            line.remark("no end time: counted from the end of the day; write it, such as: 17:30 to 18:30")
    if kind == "sprayed":
        line.remark(cautions_at("spray")[0].says)
    return line.reading(drafted)


def _read_label(line: Line, kind: str) -> dict[str, Any]:
    """The day, whose line it is, and what the label and the work were."""
    said = label(_signed(line), is_spray=kind == "sprayed")
    said["crops"] = crops_in(line, str(said["beds"]))
    return said


def _signed(line: Line) -> Line:
    """The line, its day and its "by jo" taken; a registration number that looks like a day is none."""
    kept = [
        after
        for token in line.free()
        if token.low in ("reg", "reg.", "registration", "epa", "license", "licence", "cert")
        and (after := line.after(token)) is not None
    ]
    for token in kept:
        token.quoted = True
    take_by(line)
    take_day(line)
    for token in kept:
        token.quoted = False
    return line


def change_label(line: Line, entry: Entry) -> dict[str, Any]:
    """What is changed of a spray or a feed: each thing as it is typed when it is written."""
    kept = {name: entry.fields.get(name) for name in ("product", "beds", "reentry_hours")}
    said = label(_with(line, kept), is_spray=entry.kind == "sprayed")
    now = {
        name: value for name, value in said.items() if value is not None and value != entry.fields.get(name)
    }
    if "beds" in now and (crops := crops_in(line, now["beds"])):
        now["crops"] = crops
    return now


def _with(line: Line, kept: dict[str, Any]) -> Line:
    """The line with what it need not say again: the product, the beds, the re-entry time."""
    has_beds = any(t.is_word and t.low.split("-")[0] in line.farm.beds for t in line.free())
    text = " ".join(t.text if not t.quoted else f"'{t.text}'" for t in line.free())
    if not any(t.quoted for t in line.free()):
        text += f" '{kept['product']}'"
    if not has_beds:
        text += f" {kept['beds']}"
    if kept["reentry_hours"] is not None and not any(
        t.low in ("reentry", "re-entry", "rei") for t in line.free()
    ):
        text += f" reentry {kept['reentry_hours']:g}h"
    for token in line.free():
        token.taken = True
    return Line.of(text, line.farm, line.today, line.known)


# water, rain, soil


def water(line: Line) -> Reading:
    """ "water b3 1 in", "watered b1-b6 40 min", "drip all beds 30 gal": in all, over the beds named."""
    minutes = line.take_unit("min", "minutes") or _times_60(line)
    inches = _inches(line)
    gallons = _measure(line, ("gal", "gallon", "gallons"), 1.0)
    if gallons is None:
        gallons = _measure(line, ("l", "liter", "liters", "litre", "litres"), 1 / LITERS_A_GALLON)
    beds_named = take_many_beds(line)
    assert beds_named is not None
    many = len(beds_named.split())
    if gallons is not None and many > 1:
        line.remark(f"{gallons:g} gal in all, {gallons / many:.3g} a bed")
    return line.reading(
        line.draft("watered", beds=beds_named, inches=inches, gallons=gallons, minutes=minutes)
    )


def _times_60(line: Line) -> float | None:
    hours = _measure(line, ("h", "hr", "hrs", "hour", "hours"), 60.0)
    return None if hours is None else round(hours, 1)


def _inches(line: Line) -> float | None:
    """Inches of water: "1 in", "0.4 inch", "12 mm"."""
    if (millimeters := _measure(line, ("mm", "millimeters", "millimetres"), 1 / MM_AN_INCH)) is not None:
        return round(millimeters, 3)
    value = line.take_unit("in", "inches")
    if value is None:
        value = _measure(line, ("in", "inch", "inches"), 1.0)
    return value


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


def rain(line: Line) -> Reading:
    """ "rain 0.4", "rained 12 mm": of the day, in inches unless said."""
    line.take_words(("rain", "rained"))
    inches = _inches(line)
    if inches is None:
        inches = line.take_number("inches of rain")
    if inches is None:
        raise Refused("How much rain? Write the inches of the gauge: rain 0.4; or rain 12 mm.", near=("0.4",))
    if inches < 0:
        raise Refused("Rain is 0 or more.", "impossible")
    return line.reading(line.draft("rain", inches=inches))


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
    beds_named = take_many_beds(line)
    if not any(value is not None for value in said.values()):
        raise Refused("What does the test say? Write it: soil b3 pH 6.4 organic 4% P 30 K 120.", near=("pH",))
    return line.reading(line.draft("soil tested", beds=beds_named, **said))


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
    minutes = line.take_unit("min", "minutes") or _times_60(line)
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
    if (
        minutes := line.take_unit("min", "minutes") or _times_60(line)
    ) is not None and entry.kind != "soil tested":
        now["minutes"] = minutes
    if entry.kind == "watered":
        for name, value in (("inches", _inches(line)), ("gallons", _measure(line, ("gal", "gallons"), 1.0))):
            if value is not None:
                now[name] = value
    if entry.kind == "soil tested" and (ph := _value_after(line, ("ph",), "pH")) is not None:
        now["ph"] = ph
    jobs = [t for t in line.free() if t.is_word and t.low in JOBS] if entry.kind == "worked" else []
    for token in jobs:
        token.taken = True
        now["job"] = JOBS[token.low]
    if (beds_named := take_many_beds(line, needed=False)) is not None:
        now["beds"] = beds_named
    line.on = line.today
    line.refuse_leftovers()
    return now


# what a line may be


def _claims_rain(line: Line, token: Token) -> int:
    """Rain is also a cause: a line that begins with it and has a number says how much fell."""
    return LIKELY if token is line.words[0] and any(t.number is not None for t in line.words) else NOT


def _products(line: Line, farm: Farm) -> list[str]:
    known = (label.product for label in farm.part(Applied).labels.values())
    return [f"'{name}'" if " " in name else name for name in known]


_JOB = "The field"

VERBS = (
    Verb(
        "spray",
        spray,
        _JOB,
        (
            (
                "spray b3 'Quencher' 12 oz reg 9999-1 reentry 12h",
                "from the label; a bed is closed until then; also: 17:30 to 18:30",
            ),
        ),
        (beds, _products, words("reentry", "harvest", "reg", "active", "against", "wind")),
        follow=("harvest", "reg", "active", "against", "wind"),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "feed",
        feed,
        _JOB,
        (("feed b3 b4 compost 3 bags", "what was fed and how much; a product by its name in quotes"),),
        (beds, _products),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "water",
        water,
        _JOB,
        (("water b3-b5 1 in", "or: water b3 40 min; water all beds 60 gal"),),
        (beds, words("in", "gal", "min")),
    ),
    Verb(
        "rain",
        rain,
        _JOB,
        (("rain 0.4", "inches in the gauge; or: rain 12 mm"),),
        take=leave_word,
        claims=_claims_rain,
    ),
    Verb(
        "soil",
        soil,
        _JOB,
        (("soil b3 pH 6.4 organic 4% P 30 K 120", "a soil test, in ppm; also: lab 'County lab'"),),
        (beds, words("pH", "organic", "P", "K", "lab")),
    ),
    Verb(
        "worked",
        work,
        _JOB,
        (
            ("40 min weeding b3-b5", "minutes of a job, over the beds named"),
            ("worked 90 min 'tool mending'", "a job of your own"),
        ),
        (beds, words("min")),
        take=leave_word,
    ),
)

CHANGES = {
    "sprayed": change_label,
    "fed": change_label,
    "watered": change_beds,
    "soil tested": change_beds,
    "worked": change_beds,
}
