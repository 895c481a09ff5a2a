"""The farm's ground and sky: beds, temperatures, wind, frost dates."""

from __future__ import annotations

from core.line.days import month_and_day
from core.line.line import Line, Reading, Refused
from core.line.names import new_bed_name
from core.line.words import FROST_SEASONS, LOOSE_VERBS

USUAL_WIDTH_IN = 36
USUAL_THRESHOLD_F = 32
USUAL_RISK_PCT = 50
"""What packets mean by "last frost": 32 F, one year in two (common practice)."""


def bed(line: Line) -> Reading:
    """ "bed b3 50ft", "bed b3 50ft 30in": a bed is made, or its size put right."""
    line.take_words(("bed",))
    feet = line.take_unit("ft", "feet")
    width = line.take_unit("in", "inches")
    name = new_bed_name(line)
    if feet is None:
        feet = line.take_number("feet")
    line.refuse_leftovers()
    if feet is None:
        raise Refused(f"How long is bed {name}? Write its feet: bed {name} 50ft.", near=("50ft",))
    if width is None:
        old = line.farm.beds.get(name)
        width = old.width_in if old else USUAL_WIDTH_IN
        line.remark(f"{width:g} in wide{'' if old else ', as none was said'}")
    return line.reading(line.draft("bed", bed=name, feet=feet, width_in=width))


def weather(line: Line) -> Reading:
    """ "low 34 high 61", "tonight 38", "wind 18": one draft for each."""
    drafts = []
    seen: set[str] = set()
    for word in [t for t in line.free() if t.is_word and t.low in LOOSE_VERBS["weather"]]:
        beside = next(
            (t for t in (line.after(word), line.after(word, -1)) if t is not None and t.number is not None),
            None,
        )
        wanted = "mph" if word.low == "wind" else "F"
        if beside is None:
            raise Refused(
                f"{word.low.capitalize()} how much? Write the number after it: "
                f"{word.low} {_example(word.low)}."
            )
        if beside.unit not in ("", wanted):
            raise Refused(
                f"{word.low.capitalize()} is written in {'mph' if wanted == 'mph' else 'degrees F'}."
            )
        if word.low in seen:
            raise Refused(f"{word.low} is there twice: write it once.", "ambiguous")
        seen.add(word.low)
        word.taken = beside.taken = True
        drafts.append(line.draft(word.low, **{"mph" if wanted == "mph" else "f": beside.number}))
    low, high = (next((d.fields["f"] for d in drafts if d.kind == kind), None) for kind in ("low", "high"))
    if low is not None and high is not None and low > high:
        raise Refused(f"A low of {low} is above a high of {high}: which is which?", "impossible")
    return line.reading(*drafts)


def _example(word: str) -> str:
    return {"wind": "18", "high": "61"}.get(word, "34")


def frost(line: Line) -> Reading:
    """ "last frost 05-14", "frost spring 28F 10% 04-28": 32 F and one year in two unless said."""
    line.take_words(("frost",))
    seasons = list(dict.fromkeys(FROST_SEASONS[t.low] for t in line.take_words(FROST_SEASONS)))
    if len(seasons) != 1:
        raise Refused(
            "Last frost or first frost? Write 'last frost 05-14' or 'first frost 10-01'.",
            near=("last", "first"),
        )
    threshold = line.take_unit("F", "degrees")
    risk = line.take_unit("%", "percent")
    days = []
    for token in line.free():
        if not token.taken and (found := month_and_day(line, token)):
            token.taken = True
            days.append(found)
    if len(days) != 1:
        raise Refused("On which day? Write it as 05-14 or 14 may.", near=("05-14",))
    return line.reading(
        line.draft(
            "frost",
            season=seasons[0],
            threshold_f=USUAL_THRESHOLD_F if threshold is None else threshold,
            risk_pct=USUAL_RISK_PCT if risk is None else risk,
            month_day=days[0],
        )
    )
