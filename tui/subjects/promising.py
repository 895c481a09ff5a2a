"""What can be promised: the question on the telephone."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.promising.telephone import ask
from core.promising.told import reply_json, reply_lines
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


COMMANDS = {"promise": Command(promise, _options)}
