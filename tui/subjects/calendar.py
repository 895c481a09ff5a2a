"""The calendar as a file: written, or brought up to date."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from core.calendar.collected import dated, sorts
from core.libraries import module_with
from core.outgoing import read_old, replace, told
from core.problems import Problem, ShedbookError
from core.text import clean
from tui import out
from tui.cli_session import open_session
from tui.command import Command, tell_done

if TYPE_CHECKING:
    from core.session import Session

EPOCH = datetime(2000, 1, 1, tzinfo=UTC)
"""Of a book without an entry."""


def calendar(args: Namespace) -> int:
    """Write the calendar."""
    ical = module_with("icalendar", "calendar", "core.calendar.ical")
    session = open_session(args)
    if args.only and (unknown := [sort for sort in args.only if sort not in sorts()]):
        raise ShedbookError(
            Problem(f"There is nothing called '{clean(unknown[0])[:24]}': {', '.join(sorts())}.", "unknown")
        )
    path: Path = args.file
    old = read_old(path)
    found = [*dated(session.sight(), args.only or ())]
    name = session.farm.settings.name or "shedbook"
    made = ical.updated(old, found, args.only or sorts(), session.today, _stamp(session), name)
    if isinstance(made, Problem):
        return out.refuse(made._replace(sentence=f"{told(path)} {made.sentence}"))
    if made.data != old:
        replace(path, made.data)
    counts = f"{made.new} new, {made.changed} changed, {made.cancelled} cancelled, {made.same} as they were"
    says = f"{told(path)}: {counts}."
    return tell_done(
        args, says, {"file": path, **made._asdict(), "data": len(made.data), "rows": found}, [says]
    )


def _stamp(session: Session) -> datetime:
    """The instant of the newest entry: what is new or changed was so from then on."""
    newest = max((entry.at for entry in session.entries()), default="")
    return datetime.fromisoformat(newest).replace(microsecond=0) if newest else EPOCH


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help="such as farm.ics; made where there is none")
    parser.add_argument("--only", metavar="SORT", nargs="+", help=f"only these: {', '.join(sorts())}")


COMMANDS = {"calendar": Command(calendar, _options)}
