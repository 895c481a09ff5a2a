"""The command line: what there is, by the manifests; a command's own options and doings are loaded when it is run."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from core import __version__
from core.problems import Problem, ShedbookError
from tui import out
from tui.parsing import LazyParser, add_command, add_shared, layout_of_help
from tui.registry import Listed, command, commands

COLLECT_EVERY = 50_000
"""Values made between two looks for what is not needed any more: a command ends before there is much of it, and looking
as often as Python does takes a twentieth of its time."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; its exit status: 0 done, 1 refused, 2 usage."""
    gc.set_threshold(COLLECT_EVERY)
    out.ready()
    try:
        args = parser().parse_args(argv, _before_options())
    except SystemExit as stop:  # argparse has said why
        return stop.code if isinstance(stop.code, int) else out.USAGE
    try:
        return run(args)
    except ShedbookError as trouble:
        return out.refuse(trouble.problem)
    except BrokenPipeError:
        return out.pipe_closed()
    except KeyboardInterrupt:
        return out.refuse(Problem("Stopped. What was said to be written is written."))
    except Exception:
        return out.unexpected(args.farm)


def run(args: argparse.Namespace) -> int:
    """Carry out parsed arguments; without a command the screen opens."""
    does = args.run or command(SCREEN).run
    status: int = does(args)
    return status


SCREEN = Listed("", "", "tui.opening")


def _before_options() -> argparse.Namespace:
    """What stands where no option says otherwise; the options themselves may come before or after the command."""
    return argparse.Namespace(run=None, farm=_farm_of_environment(), on=None, by=_initials_of_environment())


def parser() -> argparse.ArgumentParser:
    """Every command with its line of help."""
    top = argparse.ArgumentParser(
        prog="shedbook",
        description="The working book of a small flower farm. Without a verb it opens the screen.",
        epilog='One-line entries: shedbook write "40 strawflower b3 dry". Press ? on the screen for more.',
        formatter_class=layout_of_help,
    )
    add_shared(top)
    top.add_argument("--version", action="version", version=f"shedbook {__version__}")
    verbs = top.add_subparsers(title="verbs", metavar="VERB", parser_class=LazyParser)
    for listed in commands().values():
        add_command(verbs, listed)
    return top


def _initials_of_environment() -> str:
    import getpass  # where nobody says who is writing

    said = os.environ.get("SHEDBOOK_BY")
    if not said:
        try:
            said = getpass.getuser()
        except (OSError, KeyError):
            said = "me"
    return "".join(c for c in said if c.isalnum())[:8].lower() or "me"


def _farm_of_environment() -> Path:
    said = os.environ.get("SHEDBOOK_FARM")
    return Path(said) if said else Path.home() / "shedbook"


if __name__ == "__main__":
    sys.exit(main())
