"""The command that prints the brief: what this morning asks."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.page import ALL, page
from core.settings.local_time import day_ends
from core.telling import Telling
from core.today import morning
from tui import out
from tui.cli_session import open_session
from tui.command import Command


def today(args: Namespace) -> int:
    """The morning page."""
    telling = Telling(args.asked)
    session = open_session(args)
    sight = session.sight()
    found = morning(sight, session.guard, as_told=not args.json)
    if args.json:
        out.as_json(found.as_dict())
        session.close()
        return out.DONE
    opened = ALL if args.all else ()
    told = out.told(
        line.whole for line in page(found, opened=opened, guard=session.guard, hint="today --all")
    )
    out.text(told)
    session.close()
    if sight.clock_problem is None and not session.guard.has_caught:
        ends = None if session.on else day_ends(session.farm, sight.day)
        telling.keep(told, session.folder, ends, by_clock=found.by_clock)
    return out.DONE


def _today_options(today: ArgumentParser) -> None:
    today.add_argument(
        "--all", action="store_true", help="all of it, however long, with nothing told in short"
    )


COMMANDS = {"today": Command(today, _today_options)}
