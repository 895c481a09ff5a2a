"""`shedbook reckon wire`, `reckon wreath` and `reckon crown`: gauges of wire, and what a ring takes."""

from __future__ import annotations

import argparse
from argparse import Namespace

from core.dialect import told_size
from core.measures import CM_AN_INCH
from core.reckon.wire_gauges import STANDARDS, USES, gauge_text, wire_mm
from core.reckon.wreath import Crown, Wreath, crown, wreath
from core.text import wrapped
from tui.arguments import number as plain_number
from tui.calculation import calculation
from tui.command import tell
from tui.out import good

WHY = "the source, which is told without it too"


def _wire_options(wire: argparse.ArgumentParser) -> None:
    wire.add_argument("gauge", metavar="GAUGE", type=_gauge)


def _size_options(made: argparse.ArgumentParser) -> None:
    made.add_argument("inches", metavar="INCHES", type=_inches, help="across or long: 14, 14in or 35cm")


def _gauge(text: str) -> int:
    value = plain_number(text.lower().removesuffix("g"))
    if value != int(value):
        raise argparse.ArgumentTypeError("a gauge is a whole number, such as 22")
    return int(value)


def _inches(text: str) -> float:
    said = text.lower().strip()
    if said.endswith("cm"):
        return plain_number(said.removesuffix("cm").strip()) / CM_AN_INCH
    return plain_number(said.removesuffix("in").strip())


def reckon_wire(args: Namespace) -> int:
    """A gauge by both standards."""
    by: dict[str, float] = {}
    for standard in STANDARDS:
        mm = good(wire_mm(args.gauge, standard))
        by[standard] = round(mm, 3)
    use = USES.get(args.gauge)
    lines = [gauge_text(args.gauge, standard) for standard in STANDARDS]
    lines += [f"used for {use}"] if use else []
    lines += wrapped(["SWG: BS 3737; AWG: 0.127 x 92^((36 - n) / 39) mm (ASTM B258)"])
    value = {"gauge": args.gauge, "swg_mm": by["SWG"], "awg_mm": by["AWG"], "used_for": use}
    return tell(args, value, lines)


def reckon_wreath(args: Namespace) -> int:
    """What a ring takes."""
    found = good(wreath(args.inches))
    return _tell(
        args,
        found,
        f"ring of {told_size(found.ring_in)}, {told_size(found.circumference_in)} round: {found.pieces} main pieces",
        f"with clamps: {found.bunches} bunches of {found.pieces_per_bunch}",
    )


def reckon_crown(args: Namespace) -> int:
    """What a crown takes."""
    found = good(crown(args.inches))
    least, most = found.sprigs
    return _tell(args, found, f"crown of {told_size(found.length_in)}: {least} to {most} sprigs")


def _tell(args: Namespace, found: Wreath | Crown, *lines: str) -> int:
    """The value as JSON, or the lines and their source."""
    return tell(args, found, [*lines, *wrapped([f"because: {found.because} ({found.source})"])])


COMMANDS = {
    "wire": calculation(reckon_wire, _wire_options, shared=False, why=WHY),
    "wreath": calculation(reckon_wreath, _size_options, shared=False, why=WHY),
    "crown": calculation(reckon_crown, _size_options, shared=False, why=WHY),
}
