"""`shedbook reckon seeds` and `reckon plan`: how much to sow, and a wish reckoned back to the seed."""

from __future__ import annotations

import argparse
from argparse import Namespace
from dataclasses import replace

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Figure
from core.plans.backward_plan import plan_back
from core.plans.plan import Plan, plan_json
from core.plans.weekly import WeeklyPlan, plan_weekly, weekly_json
from core.plans.wish import USUAL, Ask, Given, Wish
from core.problems import Problem
from core.reckon.counts import seeds_for
from core.text import wrapped
from core.units import number as plain
from core.units import plural
from tui.arguments import day, number
from tui.calculation import calculation, tell
from tui.out import good
from tui.plan_lines import plan_lines, weekly_lines

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
    plan.add_argument("--by", dest="promised", type=day, help="the day they are promised for")
    plan.add_argument("--from", dest="start", type=day, help="so many every week from then")
    plan.add_argument("--until", type=day, help="with --from; the first frost unless said")
    plan.add_argument(
        "--last-frost", type=day, required=True, help="the average last frost: 32 F, one year in two"
    )
    plan.add_argument("--first-frost", type=day, help="the average first frost in fall")
    plan.add_argument("--way", metavar="WAY", help="another way of growing it, such as: early")
    plan.add_argument("--today", type=day, help="nothing is sown before that day")
    plan.add_argument("--set-out", type=day, help="the day of setting out or drilling")
    for name, says in _SHARES.items():
        plan.add_argument(
            f"--{name.replace('_', '-')}", metavar="SHARE", type=_share, help=says + _usual(name)
        )
    for name, says in _FIGURES.items():
        plan.add_argument(f"--{name.replace('_', '-')}", metavar="N", type=number, help=says + _usual(name))


def _usual(name: str) -> str:
    """What a plan rests on where the option is not given."""
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
    found = good(
        seeds_for(
            args.plants,
            germination=args.germination,
            sure=args.sure,
            survival=args.survival,
            wanted_share=args.doubles,
            rho=args.rho,
        )
    )
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
    ask = good(_ask(args))
    if args.start is not None:
        return _say_weekly(args, good(plan_weekly(ask, args.start, args.until)))
    return _say_plan(args, good(plan_back(ask)))


def _ask(args: Namespace) -> Ask | Problem:
    found = good(sheet(" ".join(args.crop), args.way))
    if (args.stems is None) == (args.bunches is None):
        return Problem("Say how many: --stems 120, or --bunches 12.")
    if (args.promised is None) == (args.start is None):
        return Problem("Say when: --by DAY for one promise, or --from DAY for so many every week.")
    if args.first_frost and args.first_frost <= args.last_frost:
        return Problem("The first frost of fall comes after the last of spring: give both in one year.")
    stems = args.stems
    if stems is None:
        bunch = found.stems_per_fresh_bunch if args.use == "fresh" else found.stems_per_dried_bunch
        if bunch is None:
            return Problem(f"The sheet of {found.crop} has no stems a bunch: say --stems.")
        stems = args.bunches * round(bunch.value[0])
    return Ask(
        Wish(found.crop, stems, args.use, args.promised or args.start, way=found.way),
        found,
        Frost.average(args.last_frost, args.first_frost),
        _given(args),
        today=args.today,
        set_out_on=args.set_out,
    )


def _given(args: Namespace) -> Given:
    said = {
        name: Figure(getattr(args, name), SAID)
        for name in (*_SHARES, *_FIGURES)
        if getattr(args, name) is not None
    }
    return replace(Given(), **said)


def _say_plan(args: Namespace, plan: Plan) -> int:
    value = plan_json(plan)
    return tell(args, value, wrapped(plan_lines(plan)), value["because"])


def _say_weekly(args: Namespace, weekly: WeeklyPlan) -> int:
    value = {**weekly_json(weekly.plans, weekly.weeks), "until": weekly.until}
    because = [why for plan in weekly.plans for why in plan_json(plan)["because"]]
    return tell(args, value, weekly_lines(weekly.plans, weekly.weeks), list(dict.fromkeys(because)))


COMMANDS = {
    "seeds": calculation(reckon_seeds, _seeds_options, shared=False),
    "plan": calculation(reckon_plan, _plan_options, shared=False),
}
