"""Commands that print entries: all of them or those asked for, and the story of one thing."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from typing import TYPE_CHECKING

from core.crops.library import one_crop
from core.marks import listed
from core.units import ID_SHOWN
from core.wanted import Wanted
from tui import out
from tui.arguments import day
from tui.cli_session import open_session
from tui.command import Command
from tui.out import good
from tui.parsing import add_shared

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.session import Session


def entries(args: Namespace) -> int:
    """The entries, or those that are asked for, oldest first."""
    session = open_session(args)
    crop = good(one_crop(args.crop, session.farm.own_crops)) if args.crop is not None else None
    wanted = Wanted(args.kind, crop, args.bed, args.of, args.word, args.since, args.until)
    _print_entries(args, session, session.entries(wanted))
    return out.DONE


def history(args: Namespace) -> int:
    """The story of one lot, tray, planting or bed."""
    session = open_session(args)
    story = good(session.look_back.history(args.code))
    _print_entries(args, session, story)
    return out.DONE


def _print_entries(args: Namespace, session: Session, found: Sequence[Entry]) -> None:
    marks = session.look_back.marks(found)
    if args.json:
        for entry in found:
            told = {"struck": entry.id in marks.struck, "corrected": entry.id in marks.corrected}
            out.as_json({**entry.as_dict(), **{mark: True for mark, holds in told.items() if holds}})
        return
    for entry in found:
        is_struck, is_corrected = entry.id in marks.struck, entry.id in marks.corrected
        mark = "  (taken back)" if is_struck else "  (corrected)" if is_corrected else ""
        out.lines([f"{entry.on}  {entry.by:3} {entry.id[-ID_SHOWN:]}  {listed(entry, marks)}{mark}"])


def _entries_options(entries: ArgumentParser) -> None:
    add_shared(entries, by=False)
    for name, what, says in (
        ("kind", "KIND", "only of this kind, such as: cut"),
        ("crop", "CROP", "only of this crop, and of its trays, plantings and lots"),
        ("bed", "BED", "only of this bed, and of what grew there"),
        ("word", "WORD", "only those in which this stands"),
    ):
        entries.add_argument(f"--{name}", metavar=what, default=None, help=says)
    entries.add_argument("--by", metavar="INITIALS", dest="of", default=None, help="only by this person")
    entries.add_argument("--since", type=day, default=None, help="only those dated from then on")
    entries.add_argument("--until", type=day, default=None, help="only those dated up to then")


def _history_options(history: ArgumentParser) -> None:
    history.add_argument("code", metavar="CODE", help="such as L041, S12 or b3")


COMMANDS = {
    "entries": Command(entries, _entries_options, shared=False),
    "history": Command(history, _history_options),
}
