"""The field record in a line: sprays and feeds from the label, water, rain, soil tests, minutes of work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from core.book.entry import Entry
from core.cautions import cautions_at
from core.farm import Farm
from core.field.closed import Applied, local_text, span_of, told
from core.field.ground_lines import change_beds, change_rain, rain, soil, water, work
from core.field.kinds import application_of, check_hours
from core.field.label_words import crops_in, example_times, label
from core.language.days import take_day
from core.language.line import Line, Reading, Refused
from core.language.offers import beds, words
from core.language.own_words import take_by
from core.language.tokens import Token
from core.language.verb import LIKELY, NOT, Verb, leave_word
from core.settings.local_time import zone

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
    if problem := check_hours(drafted):
        raise Refused(problem.sentence, problem.code)
    if kind == "sprayed" or f.get("reentry_hours"):
        made = application_of(drafted)
        span, name = span_of(made, zone(line.farm)), zone(line.farm)
        line.remark(f"closed until {told(local_text(span.work, name))}")
        if span.harvest > span.work:
            line.remark(f"not cut until {told(local_text(span.harvest, name))}")
        if made.ended is None:
            line.remark(f"no end time: counted from the end of the day; write it, such as: {example_times()}")
    if kind == "sprayed":
        line.remark(cautions_at("spray")[0].says)
    return replace(line.reading(drafted), says=_in_short(line, kind, f))


def _in_short(line: Line, kind: str, f: Mapping[str, Any]) -> str:
    """What the line comes to, with what matters most first: until when nobody goes in."""
    closed = next((remark for remark in line.remarks if remark.startswith("closed until")), "")
    what = " ".join(filter(None, (kind, f["product"], f.get("amount"), "in", f["beds"])))
    decides = "; the label decides" if kind == "sprayed" else ""
    return ", ".join(filter(None, (what, closed))) + decides


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
                "from the label; a bed is closed until then; also from when to when",
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
        (("water b3-b5 {rain:1}", "or: water b3 40 min; water all beds 60 gal"),),
        (beds, words("in", "gal", "min")),
        own_day=True,
    ),
    Verb(
        "rain",
        rain,
        _JOB,
        (("rain {typed_rain:0.4}", "by the gauge; or: rain 12 mm"),),
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
    "rain": change_rain,
}
