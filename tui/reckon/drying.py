"""`shedbook reckon drying`: the end weight and the dry-by time of a hanging bunch, from its weighings."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterator

from core.crops.library import sheet
from core.reckon.drying.dryness import stop_hours
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import EARLY_CHANCE, LEVEL, USEFUL_CHANCE, DryingFit, fit
from core.reckon.drying.moisture import (
    STORE_DRY,
    WetBasis,
    dry_basis_from_wet,
    final_weight,
    moisture_left,
)
from core.reckon.drying.ratio import Prior, dry_ratio, prior_of
from tui.arguments import number
from tui.calculation import calculation, tell
from tui.out import good


def _options(drying: argparse.ArgumentParser) -> None:
    drying.add_argument(
        "--weights",
        metavar="H:G,...",
        type=_weighings,
        required=True,
        help="hours:grams of one bunch, such as 0:100,24:64,48:46",
    )
    drying.add_argument(
        "--hung-before",
        metavar="H",
        type=number,
        default=0.0,
        help="hours it had hung at hour 0; 0 unless said",
    )
    drying.add_argument(
        "--resolution", metavar="G", type=number, default=1.0, help="the scale's step in grams; 1 unless said"
    )
    drying.add_argument(
        "--dry-matter",
        metavar="G",
        type=number,
        help="grams of it with no water at all, where a bunch was dried in an oven: also says its moisture",
    )
    drying.add_argument("--crop", metavar="CROP", help="lean on what the library knows of this crop")
    drying.add_argument("--way", metavar="WAY", help="another way of growing it, such as: early")


def _weighings(text: str) -> tuple[Weighing, ...]:
    found = []
    for part in text.replace(" ", ",").split(","):
        hours, colon, grams = part.partition(":")
        if not colon and not part:
            continue
        if not colon:
            raise argparse.ArgumentTypeError(
                "weighings are hours:grams with commas between, such as 0:100,24:64,48:46"
            )
        found.append(Weighing(number(hours), number(grams)))
    return tuple(found)


def reckon_drying(args: Namespace) -> int:
    """End weight, rate, and when it is dry."""
    prior = _prior(args)
    found = good(fit(args.weights, prior=prior, resolution_g=args.resolution, hung_before=args.hung_before))
    if args.dry_matter is None:
        return tell(args, _value(found), _lines(found), _because(found))
    value, lines = _moisture(found, args.dry_matter)
    return tell(args, {**_value(found), **value}, (*_lines(found), *lines), _because(found))


def _moisture(found: DryingFit, dry_matter: float) -> tuple[dict[str, object], list[str]]:
    """The moisture at the last weighing, on both bases, and the weight from which the bunch keeps in a box."""
    last = found.weighings[-1]
    now = good(moisture_left(last.grams, dry_matter))
    keeps_g = final_weight(dry_matter, WetBasis(0.0), STORE_DRY)
    value: dict[str, object] = {
        "moisture_wet_basis": round(now, 4),
        "moisture_dry_basis": round(dry_basis_from_wet(now), 4),
        "keeps_from_g": round(keeps_g, 2),
        "dry_enough": now <= STORE_DRY,
    }
    line = (
        f"  at hour {last.hours:g}, {100 * now:.0f} % of the whole weight is water "
        f"({dry_basis_from_wet(now):.2f} to 1 of dry matter); it keeps in a box from {keeps_g:.0f} g down "
        f"({100 * STORE_DRY:.0f} %)"
    )
    return value, [line]


def _prior(args: Namespace) -> Prior | None:
    if args.crop is None:
        return None
    found = good(sheet(args.crop, args.way))
    return prior_of(found, dry_ratio(found.crop))


def _value(found: DryingFit) -> dict[str, object]:
    curve, at = found.curve, found.dry_at_hours
    return {
        "final_g": round(curve.final_g, 3),
        "rate_per_hour": round(curve.rate_per_hour, 4),
        "dry_at_hours": None if at is None else round(at, 1),
        "dry_at_low_hours": round(found.low_hours, 1),
        "dry_at_high_hours": round(found.high_hours, 1),
        "level": found.level,
        "steady_at_hours": None if at is None else round(stop_hours(found), 1),
        "enough": found.enough,
        "chance_within_a_day": round(found.chance, 2),
        "chance_if_plain": round(found.plain_chance, 2),
        "weigh_again_in_hours": found.weigh_again_hours,
        "form": found.form,
        "shape": round(curve.shape, 3),
        "half_life_hours": round(found.half_life_hours, 1),
        "now_moisture_ratio": round(found.now_moisture_ratio, 4),
        "final_share_of_first": round(curve.final_g / found.weighings[0].grams, 4),
        "points": found.points,
        "says": found.says,
    }


def _lines(found: DryingFit) -> Iterator[str]:
    first, final = found.weighings[0].grams, found.curve.final_g
    yield found.says
    yield (
        f"  {'ends' if found.enough else 'by this curve it ends'} at about {final:.0f} g, "
        f"{100 * final / first:.0f} % of the first {first:g} g; {100 * found.now_moisture_ratio:.0f} % of its water "
        f"is left to lose at hour {found.last_hours:g}"
    )
    yield (
        f"  nine times in ten it is dry between hours {found.low_hours:.0f} and {found.high_hours:.0f}: heads slower "
        "than stems, damp and weather counted"
    )
    yield "  dry is 5 % of its water left to lose; the stem must snap before it is boxed"
    if found.dry_at_hours is not None:
        yield f"  it loses under 1 % of its weight in a day from about hour {stop_hours(found):.0f}"


def _because(found: DryingFit) -> Iterator[str]:
    if found.form == "page":
        yield (
            "weight = final + water x exp(-(k t)^n), Page's form: these weighings bear its bend, "
            f"n = {found.curve.shape:.2f} (forms: Scientific Reports 2024, s41598-024-74751-4, table 1)."
        )
    elif found.form == "two parts":
        parts = found.curve.drying
        yield (
            "weight = final + water x two parts side by side, each its own exp(-k t): "
            f"{100 * parts.quick:.0f} % of the water goes {parts.times:g} times as fast as the rest, as stems before "
            "heads (two-term form: Information Processing in Agriculture 2018, leaves)."
        )
    else:
        yield (
            "weight = final + water x exp(-k t), Lewis's form (Scientific Reports 2024, s41598-024-74751-4, table 1). "
            "Three weighings at equal gaps: final = (W1 W3 - W2^2) / (W1 + W3 - 2 W2), "
            "k = ln((W1 - final) / (W2 - final)) / gap; otherwise least squares."
        )
    yield (
        f"A weighing is taken as good to {found.noise_g:.1f} g (0.7 of the scale's step and 0.3 % for handling, common "
        "practice), or as the weights themselves scatter."
    )
    yield (
        "No constants of drying were found published for flowers in the air of a shed: the interval allows Page's n "
        "from 0.7 to 1.5, two parts of which one dries up to 5 times as fast, damp that moves the weight by about 3 %, "
        "and a pace that changes with the weather by about a quarter (all weak, our own)."
    )
    yield (
        f"The interval holds the truth {100 * LEVEL:.0f} times in 100. A date is relied on from the fourth weighing, "
        f"where it is within a day in {100 * USEFUL_CHANCE:.0f} cases of 100 or more and takes two days longer in at "
        f"most {100 * EARLY_CHANCE:.0f}; this one is within a day in {100 * found.chance:.0f}, or "
        f"{100 * found.plain_chance:.0f} if the drying is plain and the air steady."
    )
    if found.leaned:
        yield "It leans weakly on the crop's drying days and on the share of the weight it usually keeps."


COMMANDS = {
    "drying": calculation(reckon_drying, _options, shared=False),
}
