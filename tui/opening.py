"""Opening the screen: on the farm, on the invented farm, or on the first questions; and making an empty farm."""

from __future__ import annotations

import os
import sys
import tempfile
from argparse import ArgumentParser, Namespace
from pathlib import Path

from core.book.layout import is_farm
from core.door import Door
from core.problems import Problem
from demo_farm.open import DEMO_DAY, copy_to
from tui import out
from tui.cli_session import open_door
from tui.command import Command


def screen(args: Namespace) -> int:
    """Open the screen on the farm, or on the first questions where there is none yet."""
    if problem := no_terminal():
        return out.refuse(problem)
    session = open_door(args) if is_farm(args.farm) else None

    def create(by: str) -> Door:
        return Door.create(args.farm, by=by or args.by, on=args.on)

    from tui.app import run  # only where there is a terminal to draw on

    return run(session, create, args.farm)


def no_terminal() -> Problem | None:
    """Why the screen cannot open here, or None."""
    if not sys.stdin.isatty() or not sys.stdout.isatty():
        return Problem(
            "The screen needs a terminal (over ssh: ssh -t HOST shedbook); 'shedbook today' needs none."
        )
    if not sys.stderr.isatty():
        return Problem(
            "The screen is drawn on standard error, which is sent elsewhere: leave it on the terminal."
        )
    if os.environ.get("TERM", "") in ("", "dumb"):
        return Problem(
            "TERM says that this terminal cannot move its cursor; 'shedbook today' prints without that."
        )
    return None


def demo(args: Namespace) -> int:
    """Open the invented farm on its own day, or write it to a folder."""
    if args.path:
        copy_to(args.path)
        print(args.path)
        print(f"Its day is {DEMO_DAY}: shedbook --farm {args.path} --on {DEMO_DAY}", file=sys.stderr)
        return out.DONE
    if problem := no_terminal():
        return out.refuse(problem)
    from tui.app import run  # only where there is a terminal to draw on

    with tempfile.TemporaryDirectory(prefix="shedbook-demo-") as folder:
        farm = Path(folder) / "farm"
        copy_to(farm)
        return run(Door.open(farm, by=args.by, on=args.on or DEMO_DAY), None, farm)


def _demo_options(demo: ArgumentParser) -> None:
    demo.add_argument(
        "--path",
        metavar="DIR",
        type=Path,
        default=None,
        help="write it there, print the folder and open nothing",
    )


def new(args: Namespace) -> int:
    """Make an empty farm."""
    session = Door.create(args.folder, by=args.by, on=args.on)
    session.close()
    if args.json:
        out.as_json({"farm": str(args.folder)})
        return out.DONE
    out.lines(
        [
            f"A new book lies in {args.folder}. To begin, write your last frost and a bed:",
            f"  shedbook --farm {args.folder} write last frost 14 may",
            f"  shedbook --farm {args.folder} write bed b1 50ft",
            "or open the screen, which asks:",
            f"  shedbook --farm {args.folder}",
        ]
    )
    return out.DONE


def _new_options(new: ArgumentParser) -> None:
    new.add_argument("folder", metavar="DIR", type=Path)


COMMANDS = {
    "": Command(screen),
    "demo": Command(demo, _demo_options, json=False),
    "new": Command(new, _new_options),
}
