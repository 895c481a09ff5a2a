"""What is to come: a plan made from a wish, a plan dropped, and the room there is for plans."""

from __future__ import annotations

from datetime import date

from core.kinds import ROOMS, USES
from core.line.crops import need_crop, take_variety, take_way
from core.line.days import month_and_day
from core.line.line import Line, Reading, Refused, either, whole
from core.line.names import take_bed
from core.line.words import USE_OF
from core.planning.chain import Plan, plan_back
from core.planning.keep import ask_on, draft_of
from core.planning.plans import plan_called
from core.planning.wish import Wish
from core.problems import Problem
from core.units import day_from_iso, long_day, month_day, number, plural, short_day


def plan(line: Line) -> Reading:
    """ "plan 120 strawflower apricot dry by 09-19": stems, or bunches, in hand by that day."""
    by = _take_promised_day(line)
    uses = list(dict.fromkeys(USE_OF[t.low] for t in line.take_words(USE_OF)))
    if len(uses) != 1:
        raise Refused(f"Planned for which use? Write {either(USES)}.", near=USES)
    bunches = line.take_unit("bunches", "bunches")
    bed = take_bed(line)
    crop = need_crop(line)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    stems = None if bunches is not None else line.need_count("stems", "stems")
    line.refuse_leftovers()
    wish = Wish(crop, stems or 1, uses[0], by, variety, way)
    made = _reckon(line, wish, bed)
    if bunches is not None:
        made = _reckon(
            line, Wish(crop, whole(bunches, "bunches") * made.per_bunch, uses[0], by, variety, way), bed
        )
    line.remark(f"{plural(made.plants_out, 'plant')}, {number(made.feet)} ft, for {short_day(by)}")
    if made.sow_on is not None and made.seeds is not None:
        verb = "sow" if made.set_out_on is not None else "drill"
        line.remark(f"{verb} {plural(made.seeds, 'seed')} on {long_day(made.sow_on)}")
    return line.reading(draft_of(made, line.farm, line.today, bed=bed, mark=line.mark))


def _reckon(line: Line, wish: Wish, bed: str | None) -> Plan:
    ask = ask_on(line.farm, wish, line.today, bed=bed)
    made = ask if isinstance(ask, Problem) else plan_back(ask)
    if isinstance(made, Problem):
        raise Refused(made.sentence, made.code, made.nearest)
    return made


def _take_promised_day(line: Line) -> date:
    """The day wished for: of this year, or of the next where this year's has gone by."""
    found: list[date] = []
    for token in line.free():
        if token.taken or (text := month_and_day(line, token)) is None:
            continue
        token.taken = True
        day = day_from_iso(token.low) or month_day(text, line.today.year)
        assert day is not None
        if day < line.today and day_from_iso(token.low) is None:
            day = month_day(text, line.today.year + 1) or day
        found.append(day)
    if len(found) != 1:
        raise Refused("By which day? Write one, such as: by 09-19.", near=("by 09-19",))
    if found[0] < line.today:
        raise Refused(f"{long_day(found[0])} has gone by: a plan is for a day to come.", "impossible")
    return found[0]


def drop(line: Line) -> Reading:
    """ "drop N01": the plan is given up; what was done of it stays."""
    known = [p.code for p in line.farm.plans.values() if p.is_live]
    for token in line.free():
        kept = plan_called(line.farm, token.low) if token.is_word else None
        if kept is not None:
            token.taken = True
            return line.reading(line.draft("dropped", plan=kept.code, ref=kept.made_by))
    hint = f" There is {either(known[-6:], 'and')}." if known else " There is none."
    raise Refused(f"Which plan is dropped? Write its code.{hint}", "unknown", known[-6:])


def room(line: Line) -> Reading:
    """ "room lights 24", "room hardening 12", "room line 120ft": how much there is."""
    named = line.take_words(ROOMS)
    if len(named) != 1:
        raise Refused(f"Room for what? Write {either(ROOMS)}, and how much.", near=ROOMS)
    count = line.take_unit("ft", "feet")
    if count is None:
        count = line.take_number("trays" if named[0].low != "line" else "feet")
    if count is None:
        raise Refused(f"How much room is there: room {named[0].low} 24.", near=("24",))
    return line.reading(line.draft("capacity", what=named[0].low, count=count))
