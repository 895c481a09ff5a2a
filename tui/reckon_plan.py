"""`shedbook reckon seeds` and `reckon plan`: how much to sow, and a wish reckoned back to the seed."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from core.problems import Problem
from core.text import wrapped
from core.units import long_day, plural, short_day
from core.units import number as plain
from tui import out
from tui.arguments import day, number
from tui.calculation import Parsers, add_calculation, tell
from tui.tables import table

if TYPE_CHECKING:
    from core.plans.plan import Plan
    from core.plans.weekly import Week, WeeklyPlan
    from core.plans.wish import Ask, Given


_SHARES = {
    "germination": "of the seed",
    "survival": "of the seedlings, in the tray",
    "doubles": "of the plants, those worth having, such as stock's doubles",
    "sure": "how sure to have enough",
    "cull": "of the stems cut",
    "drying_loss": "of the stems hung",
    "storage_loss": "of the dried stems, in a year",
    "bed_emergence": "of good seed drilled, that comes to plants",
    "bed_loss": "of the plants in the bed",
}
_FIGURES = {
    "rho": "how alike the seeds of one sowing fare: 0 not at all, 0.02 a little",
    "stems_per_plant": "stems a plant",
    "stems_sd": "their spread from plant to plant",
    "cut_weeks": "weeks of cutting",
    "days_to_first_cut": "from setting out, or from drilling",
    "spacing_in": "inches between plants",
    "bed_width_in": "inches",
    "cells_per_tray": "cells a tray",
    "hold_days": "days a fresh stem may wait",
    "finish_days": "days from dry to boxed",
}
SAID = "as said"


def add_parsers(what: Parsers) -> None:
    """`seeds` and `plan` under the verb `reckon`; --by is the day promised here, not somebody's initials."""
    _seeds_options(add_calculation(what, "seeds", "seeds to sow so that there are surely plants enough"))
    _plan_options(
        add_calculation(what, "plan", "from the stems promised back to the seed and the day to sow it")
    )


def _seeds_options(seeds: argparse.ArgumentParser) -> None:
    seeds.add_argument("--plants", metavar="N", type=_count, required=True, help="plants wanted")
    seeds.add_argument(
        "--germination", metavar="SHARE", type=_share, required=True, help="such as 0.8, or 80%%"
    )
    seeds.add_argument("--sure", metavar="SHARE", type=_share, default=0.95, help="0.95 unless said")
    seeds.add_argument("--survival", metavar="SHARE", type=_share, default=1.0, help="that live in the tray")
    seeds.add_argument(
        "--doubles", metavar="SHARE", type=_share, default=1.0, help="worth planting, such as stock's doubles"
    )
    seeds.add_argument(
        "--rho",
        metavar="RHO",
        type=number,
        default=0.0,
        help="how alike the seeds of one sowing fare: 0 not at all, 0.02 a little",
    )


def _plan_options(plan: argparse.ArgumentParser) -> None:
    plan.add_argument("crop", metavar="CROP", nargs="+")
    plan.add_argument("--stems", metavar="N", type=_count, help="good stems wanted")
    plan.add_argument("--bunches", metavar="N", type=_count, help="instead of --stems")
    plan.add_argument("--use", metavar="USE", default="fresh", help="fresh, dry or wire; fresh unless said")
    plan.add_argument("--by", metavar="YYYY-MM-DD", type=day, help="the day they are promised for")
    plan.add_argument(
        "--from", dest="start", metavar="YYYY-MM-DD", type=day, help="so many every week from then"
    )
    plan.add_argument(
        "--until", metavar="YYYY-MM-DD", type=day, help="with --from; the first frost unless said"
    )
    plan.add_argument(
        "--last-frost",
        metavar="YYYY-MM-DD",
        type=day,
        required=True,
        help="the average last frost: 32 F, one year in two",
    )
    plan.add_argument("--first-frost", metavar="YYYY-MM-DD", type=day, help="the average first in autumn")
    plan.add_argument("--way", metavar="WAY", help="another way of growing it, such as: early")
    plan.add_argument("--today", metavar="YYYY-MM-DD", type=day, help="nothing is sown before that day")
    plan.add_argument("--set-out", metavar="YYYY-MM-DD", type=day, help="the day of setting out or drilling")
    for name, says in _SHARES.items():
        plan.add_argument(
            f"--{name.replace('_', '-')}", metavar="SHARE", type=_share, help=says + _usual(name)
        )
    for name, says in _FIGURES.items():
        plan.add_argument(f"--{name.replace('_', '-')}", metavar="N", type=number, help=says + _usual(name))


def _usual(name: str) -> str:
    """What a plan rests on where the option is not given."""
    from core.plans.wish import USUAL

    return (
        f"; {plain(USUAL[name].value)} unless said" if name in USUAL else "; as the crop's sheet unless said"
    )


def _share(text: str) -> float:
    return number(text[:-1]) / 100 if text.endswith("%") else number(text)


def _count(text: str) -> int:
    value = number(text)
    if value != int(value) or value < 0:
        raise argparse.ArgumentTypeError(f"{value:g} is no whole number from 0")
    return int(value)


# what each prints


def reckon_seeds(args: Namespace) -> int:
    """Seeds for plants."""
    from core.reckon.counts import seeds_for

    found = seeds_for(
        args.plants,
        germination=args.germination,
        sure=args.sure,
        survival=args.survival,
        wanted_share=args.doubles,
        rho=args.rho,
    )
    if isinstance(found, Problem):
        return out.refuse(found)
    value = {
        "seeds": found.seeds,
        "plants": found.plants,
        "germination": args.germination,
        "survival": args.survival,
        "doubles": args.doubles,
        "rho": args.rho,
        "sure": found.sure,
        "chance": round(found.chance, 5),
        "naive": found.naive,
    }
    return tell(args, value, [plural(found.seeds, "seed")], (*found.because, f"Formula: {found.source}."))


def reckon_plan(args: Namespace) -> int:
    """A wish back to the seed."""
    from core.plans.backward_plan import plan_back
    from core.plans.weekly import plan_weekly

    ask = _ask(args)
    if isinstance(ask, Problem):
        return out.refuse(ask)
    if args.start is not None:
        weekly = plan_weekly(ask, args.start, args.until)
        return out.refuse(weekly) if isinstance(weekly, Problem) else _say_weekly(args, weekly)
    plan = plan_back(ask)
    return out.refuse(plan) if isinstance(plan, Problem) else _say_plan(args, plan)


def _ask(args: Namespace) -> Ask | Problem:
    from core.crops.calendar import Frost
    from core.crops.library import sheet
    from core.plans.wish import Ask, Wish

    found = sheet(" ".join(args.crop), args.way)
    if isinstance(found, Problem):
        return found
    if (args.stems is None) == (args.bunches is None):
        return Problem("Say how many: --stems 120, or --bunches 12.")
    if (args.by is None) == (args.start is None):
        return Problem("Say when: --by DAY for one promise, or --from DAY for so many every week.")
    if args.first_frost and args.first_frost <= args.last_frost:
        return Problem("The first frost of autumn comes after the last of spring: give both in one year.")
    stems = args.stems
    if stems is None:
        bunch = found.stems_per_fresh_bunch if args.use == "fresh" else found.stems_per_dried_bunch
        if bunch is None:
            return Problem(f"The sheet of {found.crop} has no stems a bunch: say --stems.")
        stems = args.bunches * round(bunch.value[0])
    return Ask(
        Wish(found.crop, stems, args.use, args.by or args.start, way=found.way),
        found,
        Frost.average(args.last_frost, args.first_frost),
        _given(args),
        today=args.today,
        set_out_on=args.set_out,
    )


def _given(args: Namespace) -> Given:
    from core.crops.sheet import Figure
    from core.plans.wish import Given

    said = {
        name: Figure(getattr(args, name), SAID)
        for name in (*_SHARES, *_FIGURES)
        if getattr(args, name) is not None
    }
    return replace(Given(), **said)


def _say_plan(args: Namespace, plan: Plan) -> int:
    from core.plans.plan import plan_json

    value = plan_json(plan)
    return tell(args, value, wrapped(plan_lines(plan)), value["because"])


def plan_lines(plan: Plan) -> list[str]:
    """The chain of one plan."""
    wish = plan.wish
    name = f"{wish.crop}, {wish.way}" if wish.way else wish.crop
    lines = [f"{name}: {plural(wish.stems, 'stem')}, {wish.use}, by {long_day(wish.by)}"]
    return lines + [f"  {step.name:18} {step.says}" for step in plan.steps]


def _say_weekly(args: Namespace, weekly: WeeklyPlan) -> int:
    from core.plans.plan import plan_json
    from core.plans.weekly import weekly_json

    value = {**weekly_json(weekly.plans, weekly.weeks), "until": weekly.until}
    because = [why for plan in weekly.plans for why in plan_json(plan)["because"]]
    return tell(args, value, weekly_lines(weekly.plans, weekly.weeks), list(dict.fromkeys(because)))


def weekly_lines(plans: Sequence[Plan], weeks: Sequence[Week]) -> list[str]:
    """Its sowings in a table, and its weeks in another."""
    from core.plans.plan import plan_json
    from core.plans.succession import usual_gap

    names = ("sow", "set_out", "cut_from", "cut_to", "seeds", "plants_to_set_out", "feet")
    values = [plan_json(plan) for plan in plans]
    sowings = [(i, *(value[name] for name in names)) for i, value in enumerate(values, start=1)]
    lines = table(("sowing", "sow", "set out", "cut from", "cut to", "seeds", "plants", "feet"), sowings)
    lines.append("")
    lines += table(
        ("week of", "to", "wanted", "expected", "sowing"),
        [
            (
                w.start.isoformat(),
                w.end.isoformat(),
                w.wanted,
                w.expected,
                "" if w.plan is None else w.plan + 1,
            )
            for w in weeks
        ],
    )
    return lines + wrapped([*_notes(weeks), *filter(None, (usual_gap(plan.ask.sheet) for plan in plans[:1]))])


def _notes(weeks: Sequence[Week]) -> Iterator[str]:
    """What is to be known of the weeks; once for weeks on end of which the same is to be known."""
    for note, run in groupby(weeks, key=lambda week: week.note if week.plan is not None else None):
        of = list(run)
        if note == "":
            continue
        first, last = short_day(of[0].start), short_day(of[-1].start)
        span = f"week of {first}" if len(of) == 1 else f"weeks of {first} to {last}"
        yield f"{span}: {note if note is not None else of[0].note}"
