"""`shedbook reckon moisture`: what a weight comes to at another moisture, the two bases kept apart."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace

from core.problems import Problem
from core.reckon.drying.moisture import (
    WetBasis,
    dry_basis,
    dry_basis_from_wet,
    final_weight,
    wet_basis,
    wet_basis_from_dry,
)
from tui import out
from tui.arguments import number
from tui.calculation import calculation, tell
from tui.out import good

FORMULA = (
    "Wet basis: water / (water + dry matter); dry basis: water / dry matter = wet / (1 - wet). "
    "Weight then = weight x (1 - wet now) / (1 - wet then).",
    "75 % wet is 3.0 dry; 2 t at 75 % is 0.59 t at 15 % (wardlab.com).",
)


def _options(moisture: ArgumentParser) -> None:
    moisture.add_argument(
        "--weight", metavar="W", type=number, required=True, help="in any unit: the answer is in the same"
    )
    moisture.add_argument("--now", metavar="SHARE", type=share, required=True, help="such as 75%% or 0.75")
    moisture.add_argument(
        "--then",
        metavar="SHARE",
        type=share,
        default=0.12,
        help="12%% unless said: the most that keeps in a box",
    )
    moisture.add_argument(
        "--basis",
        choices=("wet", "dry"),
        default="wet",
        help="of both shares; of the whole weight unless said",
    )


def share(text: str) -> float:
    """ "75%" or "0.75"."""
    percent = text.endswith("%")
    value = number(text.removesuffix("%")) / (100 if percent else 1)
    if value < 0:
        raise ArgumentTypeError("moisture begins at 0")
    return value


def reckon_moisture(args: Namespace) -> int:
    """The weight then, and both moistures on both bases."""
    if args.weight <= 0:
        return out.refuse(Problem("A weight is above 0.", "impossible"))
    now, then = (_wet(value, args.basis) for value in (args.now, args.then))
    weight = final_weight(args.weight, now, then)
    value = {
        "then_weight": round(weight, 4),
        "water_lost": round(args.weight - weight, 4),
        "now_wet_basis": round(now, 4),
        "now_dry_basis": round(dry_basis_from_wet(now), 4),
        "then_wet_basis": round(then, 4),
        "then_dry_basis": round(dry_basis_from_wet(then), 4),
    }
    lines = (
        f"{args.weight:g} comes to {weight:.4g}",
        f"  now {100 * now:.3g} % of the whole weight is water ({dry_basis_from_wet(now):.3g} to 1 of dry matter), "
        f"then {100 * then:.3g} % ({dry_basis_from_wet(then):.3g} to 1)",
    )
    return tell(args, value, lines, FORMULA)


def _wet(value: float, basis: str) -> WetBasis:
    return good(wet_basis(value)) if basis == "wet" else wet_basis_from_dry(good(dry_basis(value)))


COMMANDS = {
    "moisture": calculation(reckon_moisture, _options, shared=False),
}
