"""`shedbook reckon vase`: what hours at each warmth leave of the days in the vase."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterator

from core.crops.library import sheet
from core.dialect import is_celsius, told_degrees
from core.problems import Problem
from core.reckon.climate.air import f_from_c
from core.reckon.vase_life import (
    LOOK,
    PUBLISHED_C,
    PUBLISHED_FOR,
    Q10,
    WATER_SAYS,
    VaseLife,
    read_spells,
    read_temp_c,
    vase_life,
)
from core.reckon.vase_trials import OWN, SPREAD, UNBORNE
from tui.arguments import number
from tui.calculation import calculation, tell
from tui.out import good


def _options(vase: argparse.ArgumentParser) -> None:
    vase.add_argument(
        "--life",
        metavar="DAYS",
        type=number,
        required=True,
        help="in the vase from the cut, at the reference",
    )
    vase.add_argument("--hours", metavar="H@T,...", required=True, help="such as 36@4C,6@24C or 36@39F")
    vase.add_argument("--q10", metavar="Q10", type=number, help="3 unless said")
    vase.add_argument("--reference", metavar="T", default="20C", help="20C (68F) unless said")
    vase.add_argument("--crop", metavar="CROP", help="by this crop's own trials, where it was tried")
    vase.add_argument(
        "--dry-hours", metavar="H", type=number, default=0, help="out of water before the bucket"
    )


def reckon_vase(args: Namespace) -> int:
    """Days left in the vase."""
    spells, reference = good(read_spells(args.hours)), good(read_temp_c(args.reference))
    found = good(
        vase_life(
            args.life,
            spells,
            q10=Q10 if args.q10 is None else args.q10,
            reference_c=reference,
            dry_hours=args.dry_hours,
            crop=_crop(args.crop),
        )
    )
    return tell(args, _value(found), _lines(found), _because(found))


def _crop(name: str | None) -> str | None:
    """As the trials or the library call it; a crop that neither knows has no trial of its own."""
    if name is None:
        return None
    tried = [crop for crop in (*OWN, *UNBORNE) if crop.lower() == name.strip().lower()]
    known = sheet(name, None)
    return tried[0] if tried else None if isinstance(known, Problem) else known.crop


def _value(found: VaseLife) -> dict[str, object]:
    return {
        "left_days": round(found.left_days, 3),
        "left_most_days": round(found.left_most_days, 3),
        "used_days": round(found.used_days, 3),
        "life_days": found.life_days,
        "degree_hours": round(found.degree_hours, 1),
        "q10": found.q10,
        "reference_c": round(found.reference_c, 2),
        "factors": [
            {"hours": s.hours, "temp_c": round(s.temp_c, 2), "factor": round(factor, 4)}
            for s, factor in zip(found.spells, found.factors, strict=True)
        ],
        "extrapolated_hours": found.extrapolated_hours,
        "water": found.water,
        "note": LOOK,
    }


def _lines(found: VaseLife) -> Iterator[str]:
    if found.left_most_days > 0:
        least, most = f"{max(found.left_days, 0.0):.1f}", f"{found.left_most_days:.1f}"
        span = least if least == most else f"{least} to {most}"
        yield f"about {span} days of {found.life_days:g} are left ({LOOK})"
    else:
        yield f"nothing of its {found.life_days:g} days is left ({LOOK})"
    for spell, factor in zip(found.spells, found.factors, strict=True):
        used = spell.hours / 24 * factor
        yield (
            f"  {spell.hours:g} h at {_both(spell.temp_c)}: ages {factor:.2f} times "
            f"as fast, {used:.2f} days used"
        )
    yield f"  {found.degree_hours:.0f} degree-hours C above 0"
    if found.water:
        yield f"  {WATER_SAYS[found.water]}"


def _both(degrees_c: float) -> str:
    """ "39 F (4 C)", or "4 C"."""
    return f"{degrees_c:.0f} C" if is_celsius() else f"{f_from_c(degrees_c):.0f} F ({degrees_c:.0f} C)"


def _because(found: VaseLife) -> Iterator[str]:
    yield (
        f"used = sum of hours / 24 x {found.q10:g}^((T - {found.reference_c:.0f}) / 10), T in C; left = life - used. "
        f"Vase life falls in a straight line with respiration, and that by Q10 = 3 from {PUBLISHED_C[0]:g} to "
        f"{PUBLISHED_C[1]:g} C: Celikel and Reid, Acta Horticulturae, for {' and '.join(PUBLISHED_FOR)}; "
        "HortScience 37:148-150, 2002."
    )
    yield (
        f"{found.extrapolated_hours:g} of the hours lie outside of that span: there, and for any other crop, the law "
        "is extrapolated."
    )
    if found.by:
        yield f"Both ends by its own trial: {found.by}; {100 * SPREAD:.0f} % either way is ours."
    else:
        yield (
            "That is the most. The least is the worst that trials of any crop saw: 0.3 days a day in the first week up "
            f"to {told_degrees(39)} (lupine, dahlia, narcissus), 0.85 at {told_degrees(46)} and 1 from "
            f"{told_degrees(54)} "
            "on (snapdragon, Scientia Horticulturae "
            "125:429, 2010)."
        )


COMMANDS = {
    "vase": calculation(reckon_vase, _options, shared=False),
}
