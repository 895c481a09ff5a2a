"""How a verb comes to the book and leaves it: opened as the command says, closed with its backup, the writing told."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from core.book.device import first_writer, this_device
from core.dialect import told_time
from core.problems import Problem, ShedbookError
from core.session import Session
from tui import out
from tui.arguments import initials

if TYPE_CHECKING:
    from core.session import Written


def folder_of(args: Namespace) -> Path:
    """The farm's folder; ShedbookError where none is named and there is no home to look in."""
    if args.farm is None:
        raise ShedbookError(
            Problem("There is no home folder here: say where the farm is with --farm DIR.", "unknown")
        )
    return Path(args.farm)


def writer(args: Namespace) -> str:
    """Who is writing: as the command or SHEDBOOK_BY says, else who set the farm up on this machine, else its user."""
    return str(args.by) or first_writer(folder_of(args), this_device()) or _user()


def _user() -> str:
    import getpass  # where nobody says who is writing

    try:
        said = getpass.getuser()
    except (OSError, KeyError):
        said = ""
    return initials(said) or "me"


def open_session(args: Namespace, *, to_write: bool = False, in_silence: bool = False) -> Session:
    """The farm's book, on the day and in the hand that the command names.

    That nothing can be written in it now is told beside what is printed; a command that is `to_write` says it itself.
    `in_silence` nothing is told while a big book is read, for something stands where it would be told.
    """
    progress = None if in_silence else out.progress()
    session = Session.open(folder_of(args), by=writer(args), on=args.on, progress=progress)
    if not to_write and (problem := session.read_only()):
        out.refuse(problem)
    return session


def speak_as_named(args: Namespace) -> None:
    """Speak as the farm does that is named, where there is one that can be read."""
    if args.farm is not None:
        with suppress(ShedbookError, OSError):
            Session.open(folder_of(args), by="", on=args.on)


def close_session(session: Session) -> None:
    """Close the book; what kept the day's backup from being made, where it was written in, is told."""
    if problem := session.close():
        out.refuse(problem)


def say_written(written: Written | Problem, args: Namespace, *, more: Iterable[str] = ()) -> int:
    """Tell what was written and what `more` there is to say of it, or why nothing was."""
    if isinstance(written, Problem):
        return out.refuse(written)

    def tell() -> None:
        if args.json:
            entries = [e.as_dict() for e in written.entries]
            out.as_json(
                {"entries": entries, "lot": written.lot, "says": written.says, "remarks": written.remarks}
            )
        else:
            out.lines(f"written {told_time(written.clock)}  {said}" for said in written.says)
            out.lines(f"  {remark}" for remark in written.remarks)
            out.lines(more)

    return out.tell_done(f"Written: {'; '.join(written.says)}.", tell)
