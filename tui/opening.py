"""Opening the screen: on the farm, on the invented farm, or on the first questions; and making an empty farm."""

from __future__ import annotations

import os
import sys
import tempfile
from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from pathlib import Path

from core.book.daily import failed
from core.book.layout import is_farm
from core.marked import typed_feet
from core.problems import Problem
from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tui import out
from tui.cli_session import folder_of, open_session, writer
from tui.command import Command, tell_done
from tui.first_frame import FirstFrame

NO_CURSOR = Problem(
    "TERM says that this terminal cannot move its cursor; 'shedbook --plain' does without that."
)


def screen(args: Namespace) -> int:
    """Open the screen on the farm, or on the first questions where there is none yet; or the book in plain lines."""
    folder = folder_of(args)
    problem = no_terminal()
    if args.plain or (problem is NO_CURSOR and is_farm(folder)):
        from tui.plain import plain  # only where the screen is not wanted, or cannot be

        return plain(args)
    if problem:
        return out.refuse(problem)
    frame = FirstFrame(args.asked, args.begun)

    def create(by: str) -> Session:
        return Session.create(folder, by=by or writer(args), on=args.on)

    try:
        in_silence = frame.terminal.is_taken
        session = open_session(args, to_write=True, in_silence=in_silence) if is_farm(folder) else None
        trouble = failed(session.folder) if session else None
        return drawn(session, create, folder, said=trouble.sentence if trouble else "", frame=frame)
    finally:
        frame.give_back()


def drawn(
    session: Session | None,
    create: Callable[[str], Session] | None,
    folder: Path,
    said: str = "",
    frame: FirstFrame | None = None,
) -> int:
    """The screen on the farm, or the first questions: what it is to show is on the terminal before it is loaded."""
    frame = frame or FirstFrame()
    try:
        today = frame.show(session) if session and session.farm.count else None

        from tui.app import (
            run,  # only where there is a terminal to draw on; it takes longer than all the rest
        )

        return run(session, create, folder, said=said, frame=frame, today=today)
    finally:
        frame.give_back()  # where something went wrong before the screen was up


def no_terminal() -> Problem | None:
    """Why the screen cannot open here, or None."""
    if sys.stdin is None or not sys.stdin.isatty() or not sys.stdout.isatty():
        return Problem(
            "The screen needs a terminal (over ssh: ssh -t HOST shedbook); 'shedbook today' needs none."
        )
    if not sys.stderr.isatty():
        return Problem(
            "The screen is drawn on standard error, which is sent elsewhere: leave it on the terminal."
        )
    if os.environ.get("TERM", "") in ("", "dumb"):
        return NO_CURSOR
    return None


def demo(args: Namespace) -> int:
    """Open the invented farm on its own day, or write it to a folder."""
    if args.path:
        copy_to(args.path)
        status = out.tell_done(f"The demo farm lies in {args.path}.", lambda: out.lines([str(args.path)]))
        out.error(f"Its day is {DEMO_DAY}: shedbook --farm {args.path} --on {DEMO_DAY}")
        return status
    if problem := no_terminal():
        return out.refuse(problem)
    with tempfile.TemporaryDirectory(prefix="shedbook-demo-") as folder:
        farm = Path(folder) / "farm"
        copy_to(farm)
        return drawn(Session.open(farm, by=writer(args), on=args.on or DEMO_DAY), None, farm)


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
    session = Session.create(args.folder, by=writer(args), on=args.on)
    session.close()
    told = [
        f"A new book lies in {args.folder}. To begin, write your last frost and a bed:",
        f"  shedbook --farm {args.folder} write last frost 14 may",
        f"  shedbook --farm {args.folder} write bed b1 {typed_feet(50)}",
        "or open the screen, which asks:",
        f"  shedbook --farm {args.folder}",
    ]
    return tell_done(args, f"A new book lies in {args.folder}.", {"farm": str(args.folder)}, told)


def _new_options(new: ArgumentParser) -> None:
    new.add_argument("folder", metavar="DIR", type=Path)


COMMANDS = {
    "": Command(screen),
    "demo": Command(demo, _demo_options, json=False),
    "new": Command(new, _new_options),
}
