"""A kept plan changed in place: what is wished for otherwise, and all that is reckoned from it anew."""

from __future__ import annotations

from copy import copy
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from core.book.entry import Entry
from core.farm import Farm
from core.language.bed_names import take_bed
from core.language.crops import take_crop, take_variety, take_way
from core.language.days import coming, is_of_a_day, iso_in, month_and_day, take_day
from core.language.line import Line, Refused, either, short, whole
from core.language.words import USE_OF
from core.places import USES
from core.plan_rows import Kept
from core.plans.backward_plan import plan_back
from core.plans.defaults import LONGEST_HOLD
from core.plans.kinds import FOR_ORDER
from core.plans.plan import Plan
from core.plans.preview import ask_of
from core.plans.save_plan import draft_of
from core.plans.seasons import TIMING
from core.plans.serving import served
from core.plans.wish import Ask, Wanted
from core.problems import Problem

LEFT_OUT = ("bed", "variety", "way")
"""Fields that a plan may do without."""
ONLY_PROMISED = {"stems", "bunches", "due_on", "on", "by"}
"""What may be said of a plan that is planted already, without anything to be planted anew."""


def changes(line: Line, entry: Entry) -> dict[str, Any]:
    """The fields of a kept plan that the rest of the line changes, and those reckoned from them, as they are to be;
    None for what is left out. Refused where the plan cannot be so, or a word is none of a plan."""
    now = _said(line, entry)
    if now.keys() <= {"on", "by"}:
        return now
    wished = {**entry.fields, **now}
    kept = line.farm.plans.get(entry.fields["plan"])
    if kept is not None and kept.out and now.keys() <= ONLY_PROMISED:
        return _promised_anew(line, entry, wished, now)
    day = date.fromisoformat(entry.on)
    is_begun = kept is not None and bool(kept.sown or kept.out)
    made = _reckoned(line, entry, wished, now.pop("bunches", None), day if is_begun else line.today)
    fresh = dict(draft_of(made, line.farm, day, bed=wished["bed"] if wished.get("bed") else None).fields)
    fresh |= {name: entry.fields[name] for name in ("plan", "part_of", *FOR_ORDER) if name in entry.fields}
    fresh |= _asked_now(line.farm, kept)
    line.remark(f"kept {round(100 * made.promise.chance)} times in 100")
    return {name: now[name] for name in ("on", "by") if name in now} | {
        name: fresh.get(name) for name in {**entry.fields, **fresh}
    }


def _promised_anew(line: Line, entry: Entry, wished: dict[str, Any], now: dict[str, Any]) -> dict[str, Any]:
    """Of a plan that is planted, another number or day: what is sown and planted for it stays, and counts on."""
    if (bunches := now.pop("bunches", None)) is not None:
        asked = _asked(line, entry, wished, bunches, date.fromisoformat(entry.on))
        now["stems"] = asked.wish.stems
    line.remark("what is sown and planted for it stays as it is")
    return now | _asked_now(line.farm, line.farm.plans.get(entry.fields["plan"]))


def _asked_now(farm: Farm, kept: Kept | None) -> dict[str, Any]:
    """How many the order that a plan is for asks for now: a plan that is changed is changed knowing it."""
    found = served(farm, kept) if kept is not None else None
    return {} if found is None or found.item is None else {"asked": found.item.number}


def _said(line: Line, entry: Entry) -> dict[str, Any]:
    """What is said of the plan: its day, use, bed, crop with its sort, trays, and how many stems or bunches."""
    now: dict[str, Any] = {}
    for token in line.free():
        before = line.after(token, -1) if token.is_word and token.low in LEFT_OUT else None
        if before is not None and before.low in ("no", "without"):
            before.taken = token.taken = True
            now[token.low] = None
    _take_days(line, now)
    uses = list(dict.fromkeys(USE_OF[token.low] for token in line.take_words(USE_OF)))
    if len(uses) > 1:
        raise Refused(f"Planned for which use? Write {either(USES)}.", near=USES)
    if uses:
        now["use"] = uses[0]
    for unit, field in (("bunches", "bunches"), ("size", "cell_size")):
        if (value := line.take_unit(unit, field)) is not None:
            now[field] = whole(value, field.replace("_", " "))
    if (bed := take_bed(line)) is not None:
        now["bed"] = bed
    crop = take_crop(line)
    if crop is not None and crop != entry.fields["crop"]:
        now |= {"crop": crop, "variety": None, "way": None}
    grown = crop or entry.fields["crop"]
    if (way := take_way(line, grown)) is not None:
        now["way"] = way
    if (variety := take_variety(line, grown)) is not None:
        now["variety"] = variety
    if (stems := line.take_number("stems")) is not None:
        now["stems"] = whole(stems, "stems")
    line.refuse_leftovers(["stems", "by", "use", "bed", "crop", "variety"])
    return now


def _take_days(line: Line, now: dict[str, Any]) -> None:
    """ "by 9-12": the day promised; "by jo": who wrote it. A day that has gone by is the day it was written."""
    by = next((t for t in line.free() if t.is_word and t.low == "by"), None)
    for token in line.free():
        if token.taken or (text := month_and_day(line, token)) is None:
            continue
        token.taken = True
        now["due_on"] = coming(iso_in(line, token) or text, line.today).isoformat()
    name = line.after(by) if by is not None else None
    if name is not None and "due_on" not in now and is_of_a_day(line, name):
        raise Refused(f"'by {short(name.text)}': write the day, such as by 9-12.")
    if by is not None and "due_on" not in now and name is not None and name.is_word:
        by.taken = name.taken = True
        now["by"] = name.text
    line.on, remarks = date.min, len(line.remarks)
    take_day(line)
    if line.on != date.min:
        now["on"] = line.on.isoformat()
    line.on = line.today
    del line.remarks[remarks:]


def _reckoned(line: Line, entry: Entry, wished: dict[str, Any], bunches: int | None, day: date) -> Plan:
    """The plan as wished for, as of that day: where it is begun, the day it was made."""
    ask = _asked(line, entry, wished, bunches, day)
    if (days := _days_of_weeks(entry)) is not None and entry.fields["use"] == wished["use"] == "fresh":
        # one sowing of a wish by the week: its stems are promised over all of its weeks
        ask = replace(ask, only_days=days, steady=TIMING)
    made = plan_back(ask)
    if isinstance(made, Problem):
        raise Refused(made.sentence, made.code, made.nearest)
    return made


def _asked(line: Line, entry: Entry, wished: dict[str, Any], bunches: int | None, day: date) -> Ask:
    """What is wanted of the plan, as asked on that day."""
    by = date.fromisoformat(wished["due_on"])
    wanted = Wanted(
        wished["crop"],
        wished["stems"] if bunches is None else bunches,
        bunches is not None,
        wished["use"],
        by,
        variety=wished.get("variety"),
        way=wished.get("way"),
        bed=wished.get("bed"),
        cell_size=wished.get("cell_size"),
    )
    ask = ask_of(_without(line.farm, entry.fields["plan"]), wanted, day)
    if isinstance(ask, Problem):
        raise Refused(ask.sentence, ask.code, ask.nearest)
    return ask


def _days_of_weeks(entry: Entry) -> int | None:
    """Days over which the stems of a kept plan are promised, where those are longer than any fresh stem waits."""
    first = entry.fields.get("cut_from")
    if first is None:
        return None
    days = (date.fromisoformat(entry.fields["due_on"]) - date.fromisoformat(first)) + timedelta(days=1)
    return days.days if days.days > LONGEST_HOLD + 1 else None


def _without(farm: Farm, code: str) -> Farm:
    """The farm as it would be without that plan."""
    others = copy(farm)
    others.plans = {name: plan for name, plan in farm.plans.items() if name != code}
    return others
