"""The command that prints the brief: what this morning asks."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.page import ALL, page
from core.today import morning
from tui import out
from tui.cli_session import open_session
from tui.command import Command


def today(args: Namespace) -> int:
    """The morning page."""
    session = open_session(args)
    found = morning(session.sight(), session.guard, as_told=not args.json)
    if args.json:
        out.as_json(found.as_dict())
    else:
        opened = ALL if args.all else ()
        out.lines(line.whole for line in page(found, opened=opened, guard=session.guard, hint="today --all"))
    session.close()
    return out.DONE


def _today_options(today: ArgumentParser) -> None:
    today.add_argument(
        "--all", action="store_true", help="all of it, however long, with nothing told in short"
    )


COMMANDS = {"today": Command(today, _today_options)}
