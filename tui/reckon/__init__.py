"""`shedbook reckon WHAT`: one calculation on its own, with no farm. Each is loaded when it is asked for."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace

from tui import out
from tui.command import Command
from tui.parsing import LazyParser, add_command
from tui.registry import Listed

CALCULATIONS = (
    Listed(
        "dates", "a crop's dates to sow, harden, set out and cut, from the last frost", "tui.reckon.dates"
    ),
    Listed("frost", "the odds of the last and first frost, from a weather file", "tui.reckon.frost"),
    Listed(
        "heat-units",
        "degree days of one day, of a span, or the day a sum is reached",
        "tui.reckon.heat_units",
    ),
    Listed("sun", "sunrise, sunset, day length and the cool hours to cut in", "tui.reckon.sun"),
    Listed("air", "dew point, wet bulb and drying power of the air", "tui.reckon.air"),
    Listed("heat", "the heat index of a hot morning, and its caution", "tui.reckon.air"),
    Listed("night-low", "tonight's low from dusk readings and your own clear nights", "tui.reckon.night_low"),
    Listed("seeds", "seeds to sow so that there are surely plants enough", "tui.reckon.plan"),
    Listed("plan", "from the stems promised back to the seed and the day to sow it", "tui.reckon.plan"),
    Listed("promise", "what may be promised by when, of what does not spoil", "tui.reckon.promise"),
    Listed("spare", "how many to have so that enough are left", "tui.reckon.promise"),
    Listed("vase", "days left in the vase, from hours at each temperature", "tui.reckon.vase"),
    Listed("drying", "when a hanging bunch is dry, from three or more weighings", "tui.reckon.drying"),
    Listed("moisture", "what a weight comes to at another moisture", "tui.reckon.moisture"),
    Listed("wire", "a gauge of wire in mm, by SWG and by AWG", "tui.reckon.pieces"),
    Listed("wreath", "pieces and bunches for a ring", "tui.reckon.pieces"),
    Listed("crown", "sprigs for a crown", "tui.reckon.pieces"),
)


def reckon(_args: Namespace) -> int:
    """Reckon was called without saying what."""
    print("Say what to reckon, such as: frost. See: shedbook reckon --help", file=sys.stderr)
    return out.USAGE


def _options(parser: ArgumentParser) -> None:
    what = parser.add_subparsers(title="what", metavar="WHAT", parser_class=LazyParser)
    for listed in CALCULATIONS:
        add_command(what, listed)


COMMANDS = {"reckon": Command(reckon, _options, json=False)}
