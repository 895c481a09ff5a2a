"""Parsers of the command line that cost nothing until they are used, and the options that every command has."""

from __future__ import annotations

import os
import sys
from argparse import (
    SUPPRESS,
    Action,
    ArgumentParser,
    ArgumentTypeError,
    HelpFormatter,
    _SubParsersAction,
)
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from tui import out
from tui.arguments import SHOWN, day, initials
from tui.registry import Listed, command

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

Commands: TypeAlias = "_SubParsersAction[LazyParser]"
"""Where commands are added."""


class Words(ArgumentParser):
    """Reads the words of a command; help that cannot be printed is told like any other answer."""

    def add_argument(self, *names: Any, **options: Any) -> Action:
        """As argparse's; what an option takes is shown by the sort of it, where nothing else is said."""
        if (shown := SHOWN.get(options.get("type"))) is not None:
            options.setdefault("metavar", shown)
        return super().add_argument(*names, **options)

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if file is None or file is sys.stdout:
            out.text(message)
        else:
            super()._print_message(message, file)


class LazyParser(Words):
    """A parser whose options are added when it is first needed: a command that is not run costs next to nothing."""

    fill: Callable[[], None] | None = None

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        fill, self.fill = self.fill, None
        if fill is not None:
            fill()
        return super().parse_known_args(args, namespace)


def add_shared(parser: ArgumentParser, *, by: bool = True) -> None:
    """The options that may stand before a command or after it; without `by` where that means something else."""
    parser.add_argument(
        "--farm", metavar="DIR", type=Path, default=SUPPRESS, help="the farm's folder (or SHEDBOOK_FARM)"
    )
    parser.add_argument("--on", type=day, default=SUPPRESS, help="read the book, and write, as of that day")
    if by:
        parser.add_argument(
            "--by",
            metavar="INITIALS",
            type=_initials,
            default=SUPPRESS,
            help="who is writing (or SHEDBOOK_BY)",
        )


def add_command(verbs: Commands, listed: Listed) -> None:
    """One command; its module is loaded, and its options added, when its own words are read."""
    says = listed.says
    made = verbs.add_parser(
        listed.name,
        help=says,
        description=says[0].upper() + says[1:] + ".",
        formatter_class=layout_of_help,
        add_help=False,
    )

    def fill() -> None:
        found = command(listed)
        made.add_argument(
            "-h", "--help", action="help", default=SUPPRESS, help="show this help message and exit"
        )
        if found.shared:
            add_shared(made)
        made.set_defaults(run=found.run)
        if found.json:
            made.add_argument("--json", action="store_true", help="print JSON")
        if found.why:
            made.add_argument("--why", action="store_true", help=found.why)
        if found.csv:
            made.add_argument("--csv", action="store_true", help="print a table for a spreadsheet (RFC 4180)")
        if found.options is not None:
            found.options(made)

    made.fill = fill


def layout_of_help(prog: str) -> HelpFormatter:
    """As wide as the terminal; left alone, argparse loads a module that knows every archive to find that out."""
    try:
        columns = int(os.environ.get("COLUMNS") or os.get_terminal_size(sys.stdout.fileno()).columns)
    except (AttributeError, ValueError, OSError):
        columns = 80
    return HelpFormatter(prog, width=columns - 2)


def _initials(text: str) -> str:
    found = initials(text)
    if not found:
        raise ArgumentTypeError("give initials, such as: ml")
    return found
