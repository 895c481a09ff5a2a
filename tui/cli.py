"""The command line: what there is, by the manifests; a command's own options and doings are loaded when it is run."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core import __version__
from core.dialect import to_program
from core.problems import Problem, ShedbookError
from tui import out
from tui.arguments import initials
from tui.parsing import LazyParser, Words, add_command, add_shared, layout_of_help
from tui.registry import Listed, command, commands

if TYPE_CHECKING:
    from tui.begun import Begun

COLLECT_EVERY = 50_000
"""Values made between two looks for what is not needed any more: a command ends before there is much of it, and looking
as often as Python does takes a twentieth of its time."""


def main(argv: Sequence[str] | None = None, begun: Begun | None = None) -> int:
    """Run one command; its exit status: 0 done, 1 refused, 2 usage. `begun` is the screen, where it stands already.

    Of the words of the program itself (`argv` None), which then ends: everything is left to the system as it is, for
    looking through it once more takes as long as `python -c pass`.
    """
    gc.set_threshold(COLLECT_EVERY)
    status = _main(argv, begun)
    if argv is None:
        gc.freeze()
    return status


def _main(argv: Sequence[str] | None, begun: Begun | None) -> int:
    out.ready()
    words = sys.argv[1:] if argv is None else list(argv)
    args = argparse.Namespace(**UNSAID, asked=tuple(words), begun=begun)
    try:
        status = _parse(words, args)
        if status is None:
            args.farm = args.farm or _farm_of_environment()
            args.by = args.by or initials(os.environ.get("SHEDBOOK_BY", ""))
            with to_program(is_on=bool(getattr(args, "json", False) or getattr(args, "csv", False))):
                status = run(args)
            out.flush()
        return status
    except ShedbookError as trouble:
        return out.refuse(trouble.problem)
    except out.Unprinted as lost:
        return out.unprinted(lost)
    except KeyboardInterrupt:
        return out.refuse(Problem("Stopped. What was said to be written is written."))
    except Exception as error:
        return out.unexpected(error)


def _parse(words: list[str], args: argparse.Namespace) -> int | None:
    """Put what the words say into `args`; the exit status where that was all there was to do, as with --help."""
    try:
        parser(command_in(words)).parse_args(words, args)
    except SystemExit as stop:  # argparse has said why
        status = stop.code if isinstance(stop.code, int) else out.USAGE
        out.flush()
        return status
    return None


def run(args: argparse.Namespace) -> int:
    """Carry out parsed arguments; without a command the screen opens."""
    does = args.run or command(SCREEN).run
    status: int = does(args)
    return status


PLAIN = "--plain"
SCREEN = Listed("", "", "tui.opening")
UNSAID = {"run": None, "farm": None, "on": None, "by": None, "plain": False}
"""What stands where no option says otherwise; the options themselves may come before or after the command."""


def command_in(words: Sequence[str]) -> str:
    """The command that these words call; "" where they call none, or ask for help first."""
    rest = iter(words)
    for word in rest:
        if not word.startswith("-"):
            return word
        if word[1:2] in ("h", "") or word[:3] in ("--h", "--v"):
            break
        if "=" not in word and word != PLAIN:
            next(rest, "")  # what the option says: none that may stand before a command is without
    return ""


def parser(called: str = "") -> argparse.ArgumentParser:
    """Every command with its line of help; of a command that is called, that one alone, for it is quicker."""
    top = Words(
        prog="shedbook",
        description="The working book of a small flower farm. Without a verb it opens the screen.",
        epilog='One-line entries: shedbook write "40 strawflower b3 dry". Press ? on the screen for more.',
        formatter_class=layout_of_help,
    )
    add_shared(top)
    top.add_argument(
        PLAIN,
        action="store_true",
        default=argparse.SUPPRESS,
        help="no screen: line after line, for a screen reader",
    )
    top.add_argument("--version", action="version", version=f"shedbook {__version__}")
    verbs = top.add_subparsers(title="verbs", metavar="VERB", parser_class=LazyParser)
    known = commands()
    for listed in [known[called]] if called in known else known.values():
        add_command(verbs, listed)
    return top


def _farm_of_environment() -> Path | None:
    """The farm where no option names it; None where nobody's home is known."""
    if said := os.environ.get("SHEDBOOK_FARM"):
        return Path(said)
    try:
        return Path.home() / "shedbook"
    except RuntimeError:
        return None


if __name__ == "__main__":
    sys.exit(main())
