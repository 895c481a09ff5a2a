"""What every calculation of `shedbook reckon` shares: what it may be asked, and how its answer is told."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterable, Mapping
from typing import Any

from core.patterns import pattern
from core.text import wrapped
from tui import out
from tui.cli_session import speak_as_named
from tui.command import Command, Options, Run

_BELOW_ZERO = pattern(r"-(\d+(\.\d*)?|\.\d+)[CFcf]?$")


def calculation(
    run: Run, options: Options, *, shared: bool = True, why: str = "the formula and its source"
) -> Command:
    """A calculation as a command that can say why; `shared` whether it takes the options of every command.

    It needs no farm, and is told in the words and units of the one that is named, if there is one.
    """

    def told(args: Namespace) -> int:
        if not args.json:
            speak_as_named(args)
        return run(args)

    return Command(told, options, shared=shared, why=why)


def takes_degrees(parser: ArgumentParser) -> None:
    """Let "-2C" be a value: argparse takes it for an option, though it takes "-2" for a number."""
    parser._negative_number_matcher = _BELOW_ZERO


def tell(args: Namespace, value: Mapping[str, Any], lines: Iterable[str], because: Iterable[str]) -> int:
    """Print the value as JSON, or the lines; the reasons where they are asked for."""
    if args.json:
        out.as_json({**value, "because": list(because)} if args.why else value)
        return out.DONE
    printed = wrapped(lines)
    if args.why:
        printed += ["because", *wrapped(f"  {why}" for why in because)]
    out.lines(printed)
    return out.DONE
