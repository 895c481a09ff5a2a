"""What every calculation of `shedbook reckon` shares: its options, and how its answer is told."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from core.text import wrapped
from tui import out

Parsers: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
"""Where calculations are added: under the verb `reckon`."""


def add_calculation(
    what: Parsers, name: str, says: str, *, why: str = "the formula and its source", **settings: Any
) -> argparse.ArgumentParser:
    """The parser of one calculation, run by the function `reckon_NAME`; `settings` are argparse's own."""
    made = what.add_parser(name, help=says, description=says[0].upper() + says[1:] + ".", **settings)
    made.set_defaults(verb="reckon_" + name.replace("-", "_"))
    made.add_argument("--json", action="store_true", help="print JSON")
    made.add_argument("--why", action="store_true", help=why)
    return made


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
