"""What is to come: a plan made from a wish, a plan dropped, and the room there is for plans."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from core.codes import plan_called, plan_code
from core.crops.over_winter import SOONER_WEEKS
from core.farm import Farm, Recipe
from core.language.bed_names import take_bed
from core.language.crops import need_crop, take_crop, take_variety, take_way
from core.language.days import coming, iso_in, month_and_day, take_day, take_weeks
from core.language.line import NO_BOOK, Line, Reading, Refused, either, short, whole
from core.language.offers import beds, crops, varieties, words
from core.language.verb import Verb
from core.language.words import USE_OF
from core.marked import size_word
from core.orders.order_words import take_order
from core.pieces.recipes import recipe_named
from core.places import USES
from core.plans import SUBJECT
from core.plans.defaults import MOST_WEEKS
from core.plans.kinds import CAPACITIES
from core.plans.wish import Sort, Wanted, WantedPieces
from core.problems import Problem
from core.season.fall_sowing import fall_sowing
from core.text import LONGEST, clean
from core.units import plainly, plural, short_day

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.language.tokens import Token
    from core.plans.plan import Cheaper, Plan
    from core.plans.planned_pieces import PiecePlan
    from core.plans.preview import Preview

AND = ("and", "with", "of", "from")
EVERY_WEEK = ("week", "weekly", "every")
UNTIL = ("until", "till")
GERMINATION = ("germination", "germinating")
FAR = 0.5
"""Another way is told first of all where it takes less than so many of the plants (ours)."""
TO_FROST = ("first", "frost", "autumn")


def plan(line: Line) -> Reading:
    """A wish, kept as its plans; see `wanted`."""
    from core.plans import (
        cheaper,
        order_lines,
        preview,
        to_buy,
    )  # the planning is loaded only where something is planned

    if (kept := take_order(line, must=False)) is not None:
        return order_lines.plan_for(line, kept)
    wish = wanted(line)
    made = preview.reckon(line.farm, wish, line.today, mark=line.known.mark, warmth=line.known.warmth)
    if isinstance(made, Problem):
        fall = _in_fall(line, wish.crop, wish.variety, wish.by) if isinstance(wish, Wanted) else ""
        raise Refused(f"{made.sentence} {fall}".strip(), made.code, made.nearest)
    if made.pieces is not None:
        _remark_pieces(line, made, made.pieces)
    elif made.weeks:
        _remark_sowings(line, made)
    else:
        _remark_plan(line, made.plans[0], cheaper.cheaper_way(made.plans[0]))
    for told in to_buy.told(line.farm, line.today, made.drafts):
        line.remark(told)
    return line.reading(*made.drafts)


def _in_fall(line: Line, crop: str, variety: str | None, before: date | None) -> str:
    """That what is wanted next year may be sown this fall; "" where it may not, or that fall comes too late."""
    fall = fall_sowing(line.farm, crop, line.on, variety)
    if fall is None or before is None or before <= fall.last:
        return ""
    earlier = f"about {SOONER_WEEKS.text} weeks earlier"
    return f"Or sow it in the bed this fall, {fall.days}, to flower {earlier}: {fall.because}."


def change(line: Line, entry: Entry) -> dict[str, Any]:
    """What "N03 was 150" changes in the plan that was kept, all that is reckoned from it too."""
    from core.plans.changing import changes  # as in `plan`

    return changes(line, entry)


def read_wish(text: str, farm: Farm, day: date) -> Wanted | WantedPieces | Problem:
    """What a "plan ..." line wishes for; the verb may be left out."""
    if len(text) > LONGEST:
        return Problem(f"A line has at most {LONGEST} characters: write it as two.")
    line = Line.of(clean(text), farm, day, NO_BOOK)
    try:
        if not line.words:
            raise Refused("What is wished for? Write it, such as: 120 strawflower dry by 09-19.")
        if line.words[0].low in SUBJECT.verbs["plan"]:
            line.words[0].taken = True
        line.verb = "plan"
        return wanted(line)
    except Refused as refused:
        return refused.problem


def wanted(line: Line) -> Wanted | WantedPieces:
    """ "plan 120 strawflower apricot dry by 09-19", "plan 10 bunches zinnia fresh a week from 07-01 to first
    frost": stems, or bunches, in hand by that day, or in every week from one day to another. "60%" says how many
    of the seeds come up, "200s" how many cells its trays have."""
    if (recipe := take_recipe(line)) is not None:
        return _wanted_pieces(line, recipe)
    is_weekly, said = bool(line.take_words(EVERY_WEEK)), take_weeks(line, MOST_WEEKS)
    weeks = said[0] if said else None
    by, start, until = None, None, None
    if is_weekly or weeks:
        start, until = _take_span(line, weeks)
    else:
        by = _take_promised_day(line)
    uses = list(dict.fromkeys(USE_OF[t.low] for t in line.take_words(USE_OF)))
    bunches = line.take_unit("bunches", "bunches")
    size = line.take_unit("size", "cells to a tray")
    germination = _take_germination(line)
    bed = take_bed(line)
    crop = need_crop(line) if uses else _crop_or_no_recipe(line)
    if len(uses) != 1:
        raise Refused(f"Planned for which use? Write {either(USES)}.", near=USES)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    count = whole(bunches, "bunches") if bunches is not None else line.need_count("stems", "stems")
    line.refuse_leftovers()
    return Wanted(
        crop,
        count,
        bunches is not None,
        uses[0],
        by,
        start,
        until,
        variety,
        way,
        bed,
        None if size is None else whole(size, "cells to a tray"),
        germination,
    )


def _crop_or_no_recipe(line: Line) -> str:
    """The crop of a line that says no use: what is none may be a piece of which no recipe was written."""
    named = next((short(token.text) for token in line.free() if token.is_word and token.low != "by"), "")
    try:
        return need_crop(line)
    except Refused as refused:
        if refused.problem.code != "unknown":
            raise
        raise Refused(
            f"'{named}' is no crop, and no recipe is called so: write one first, such as: recipe {named} wreath 20min: "
            "10 dry strawflower.",
            "unknown",
            refused.problem.nearest,
        ) from None


def take_recipe(line: Line) -> Recipe | None:
    """A recipe of her own, or one of the library, by its name or its plural."""
    words = [token for token in line.free() if token.is_word]
    for count in (2, 1):
        for i in range(len(words) - count + 1):
            run = words[i : i + count]
            said = " ".join(token.low for token in run)
            for name in dict.fromkeys((said, said.removesuffix("s"), said.removesuffix("es"))):
                recipe = recipe_named(line.farm, name)
                if recipe is not None and name in (recipe.code, recipe.code.replace(" ", "-")):
                    for token in run:
                        token.taken = True
                    return recipe
    return None


def _wanted_pieces(line: Line, recipe: Recipe) -> WantedPieces:
    """ "plan 12 wreaths of 14 in by 12-01 of strawflower and statice": pieces, and of what where any crop will do."""
    by = _take_promised_day(line)
    size = line.take_unit("in", size_word())
    count = line.need_count("pieces", "pieces")
    of = tuple(_take_sorts(line))
    line.refuse_leftovers()
    return WantedPieces(recipe, count, by, size, of)


def _take_sorts(line: Line) -> Iterator[Sort]:
    """The crops that are said, each with its variety where one stands beside it."""
    run: list[Token] = []
    words = line.free()
    for i, token in enumerate(words):
        if not token.taken and token.low not in AND:
            run.append(token)
        token.taken = token.taken or token.low in AND
        following = words[i + 1].start if i + 1 < len(words) else len(line.text)
        if run and (token.low in AND or "," in line.text[token.start : following] or i + 1 == len(words)):
            part = Line(line.text, line.farm, line.today, line.known, run, line.on, verb=line.verb)
            if (crop := take_crop(part)) is not None:
                yield Sort(crop, take_variety(part, crop))
            run = []


def _take_germination(line: Line) -> float | None:
    """Of its seed, the share that comes up: "60%", "germination 60%"."""
    is_named = bool(line.take_words(GERMINATION))
    percent = line.take_unit("%", "percent")
    if percent is None:
        if is_named:
            raise Refused("How many of the seeds come up? Write it in percent, such as: 60%.", near=("60%",))
        return None
    if not 0 < percent <= 100:
        raise Refused(
            f"{plainly(percent)} % of the seeds cannot come up: write above 0, and 100 at most.", "impossible"
        )
    return percent / 100


def _remark_plan(line: Line, made: Plan, cheaper: Cheaper | None) -> None:
    dear = cheaper is not None and cheaper.plants < FAR * made.plants_out
    if dear and cheaper is not None:
        line.remark(
            f"{cheaper.how}, {plural(cheaper.plants, 'plant')} would do in place of {made.plants_out}"
        )
    line.remark(f"kept {round(100 * made.promise.chance)} times in 100")
    if not made.plants_out:
        line.remark(f"nothing is to be sown: {', '.join(made.stands)} stands already")
        return
    if made.steps and made.steps[0].name == "what stands":
        line.remark(f"what stands gives {made.steps[0].says}")
    if cheaper is not None and not dear:
        line.remark(f"{cheaper.how}, {plural(cheaper.plants, 'plant')} would do")
    if made.sow_on is not None and (fall := _in_fall(line, made.wish.crop, made.wish.variety, made.sow_on)):
        line.remark(fall[0].lower() + fall[1:].rstrip("."))


def _remark_pieces(line: Line, made: Preview, pieces: PiecePlan) -> None:
    if pieces.there:
        line.remark(f"{plural(pieces.there, 'stem')} of it there already")
    if not made.plans:
        line.remark("nothing is to be grown for it")
        return
    line.remark(f"all parts there {round(100 * pieces.chance)} times in 100")
    for plan in made.plans:
        begin = plan.sow_on or plan.in_bed_from
        what = "nothing to sow" if not plan.plants_out else f"begin {short_day(begin)}"
        line.remark(f"{plural(plan.wish.stems, 'stem')} of {plan.wish.crop}, {plan.wish.use}: {what}")


def _remark_sowings(line: Line, made: Preview) -> None:
    sowings = [plan for plan in made.plans if plan.plants_out]
    if stands := [code for plan in made.plans for code in plan.stands]:
        line.remark(f"{', '.join(stands)} stands already and counts first")
    days = ", ".join(short_day(plan.sow_on or plan.in_bed_from) for plan in sowings)
    spaced = f", spaced by {made.spaced}" if len(sowings) > 1 else ""
    line.remark(f"{plural(len(sowings), 'sowing')} ({days}){spaced}" if sowings else "nothing is to be sown")
    if short := [week for week in made.weeks if week.is_short]:
        line.remark(
            f"short in {len(short)} of {plural(len(made.weeks), 'week')}: {short[0].note.rstrip('.')}"
        )
    if made.weeks[-1].days < 7 and not made.weeks[-1].is_short:
        line.remark(f"the last is {made.weeks[-1].note}")


def _take_promised_day(line: Line) -> date:
    """The day wished for: of this year, or of the next where this year's has gone by."""
    found = _take_days(line)
    if len(found) != 1:
        raise Refused("By which day? Write one, such as: by 09-19.", near=("by 09-19",))
    return coming(found[0], line.today)


def _take_span(line: Line, weeks: int | None) -> tuple[date, date | None]:
    """First and last day of a weekly wish; the last is None where it is the first autumn frost."""
    line.take_words(UNTIL)
    found = _take_days(line)
    if not found:
        raise Refused("From which day? Write it, such as: from 07-01.", near=("from 07-01",))
    if len(found) > 2:
        raise Refused("From when until when? Write two days: from 07-01 to 09-15.", "ambiguous")
    start = coming(found[0], line.today)
    if weeks is not None:
        if len(found) == 2:
            raise Refused(f"For {plural(weeks, 'week')}, or until a day? Write one of them.", "ambiguous")
        return start, start + timedelta(weeks=weeks, days=-1)
    if len(found) == 1:
        line.take_words(TO_FROST)
        return start, None
    return start, coming(found[1], start)


def _take_days(line: Line) -> list[str]:
    """Every day named, as "MM-DD", or "YYYY-MM-DD" where its year is written."""
    found = []
    for token in line.free():
        if token.taken or (text := month_and_day(line, token)) is None:
            continue
        token.taken = True
        found.append(iso_in(line, token) or text)
    return found


def drop(line: Line) -> Reading:
    """ "drop N01": the plan is given up; what was done of it stays."""
    known = [*_codes(line, line.farm)]
    for token in line.free():
        if not token.is_word:
            continue
        pieces = line.farm.piece_plans.get(plan_code(token.low))
        kept = pieces or plan_called(line.farm, token.low)
        if kept is not None:
            token.taken = True
            parts = [p for p in line.farm.plans.values() if pieces and p.is_live and p.part_of == kept.code]
            drafts = [line.draft("dropped", plan=plan.code, ref=plan.made_by) for plan in (kept, *parts)]
            return line.reading(*drafts)
    hint = f" There is {either(known[-6:], 'and')}." if known else " There is none."
    raise Refused(f"Which plan is dropped? Write its code.{hint}", "unknown", known[-6:])


def room(line: Line) -> Reading:
    """ "room lights 24", "room hardening 12", "room line 120ft": how much there is."""
    take_day(line)
    named = line.take_words(CAPACITIES)
    if len(named) != 1:
        raise Refused(f"Room for what? Write {either(CAPACITIES)}, and how much.", near=CAPACITIES)
    count = line.take_length() if named[0].low == "line" else line.take_number("trays")
    if count is None:
        raise Refused(f"How much room is there: room {named[0].low} 24.", near=("24",))
    return line.reading(line.draft("capacity", what=named[0].low, count=count))


def _codes(line: Line, farm: Farm) -> Iterator[str]:
    yield from (plan.code for plan in farm.plans.values() if plan.is_live)
    yield from (plan.code for plan in farm.piece_plans.values() if plan.is_live)


_JOB = "What is to come"


def change_pieces(_line: Line, entry: Entry) -> dict[str, Any]:
    """Pieces are not changed as a whole: refused with what would do."""
    code = entry.fields["plan"]
    raise Refused(
        f"What {code} takes is planned part by part: change those ('shedbook plan {code}' names them), or write "
        f"'drop {code}' and plan it anew.",
        "impossible",
        (f"drop {code}",),
    )


CHANGES = {"planned": change, "planned pieces": change_pieces}

VERBS = (
    Verb(
        "plan",
        plan,
        _JOB,
        (
            (
                "plan 120 strawflower apricot dry by 2027-09-19",
                "what is wanted, reckoned back to the seed and kept as a plan",
            ),
            ("plan 12 bunches sunflower fresh by 09-05 b4", "in bunches, and in that bed"),
            (
                "plan 3 wreath by 2027-12-01 of straw and statice",
                "pieces: what is dried is counted first, the rest is planned part by part",
            ),
            (
                "plan 10 bunches zinnia fresh a week from 07-01",
                "every week till the first frost, a plan a sowing; or: for 8 weeks",
            ),
            (
                "plan 120 strawflower dry by 2027-09-19 60% 162s",
                "60 % of its seed comes up; in trays of 162 cells",
            ),
            ("plan O014", "what is open of an order, a plan an item; or: plan O014 zinnia"),
        ),
        (crops, words("by", *USES, "bunches", "a week", "from"), varieties, beds),
        follow=(),
        own_day=True,
        own_words=True,
    ),
    Verb("drop", drop, _JOB, (("drop N01", "the plan is given up"),), (_codes,), follow=(), small=("plan",)),
    Verb(
        "room",
        room,
        _JOB,
        (("room lights 24", "trays under lights; also: room hardening 12, room line {typed_feet:120}"),),
        (words(*CAPACITIES),),
        follow=(),
        own_day=True,
    ),
)
