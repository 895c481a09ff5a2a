"""What can be promised: the question on the telephone."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.promising.cut_list import cut_list
from core.promising.open_claims import open_claims
from core.promising.telephone import ask
from core.promising.told import cut_list_lines, reply_json, reply_lines
from tui.cli_session import open_session
from tui.command import Command, tell
from tui.out import good


def promise(args: Namespace) -> int:
    """Whether so many can be promised for a day."""
    session = open_session(args)
    replies = good(ask(session.farm, session.today, " ".join(args.line)))
    return tell(args, reply_json(replies), reply_lines(replies))


def _options(parser: ArgumentParser) -> None:
    parser.add_argument(
        "line", metavar="LINE", nargs="+", help="what is asked for, such as: lavender dry 40bu 10-15"
    )


def cutlist(args: Namespace) -> int:
    """What to cut this morning, bed by bed."""
    session = open_session(args)
    found = cut_list(session.sight(), open_claims(session.farm, session.today))
    return tell(args, found, cut_list_lines(found))


COMMANDS = {"promise": Command(promise, _options), "cutlist": Command(cutlist)}
