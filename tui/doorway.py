"""How a verb comes to the book and leaves it: opened as the command says, closed with its backup, the writing told."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from core.problems import Problem
from tui import out

if TYPE_CHECKING:
    from core.door import Door, Written


WRITE = ("", "write", "strike", "merge")
"""Verbs that say themselves why they cannot write; "" is the screen."""


def open_door(args: Namespace) -> Door:
    """The farm's book, on the day and in the hand that the command names.

    That nothing can be written in it now is told beside what is printed; a verb that writes says it itself.
    """
    from core.door import Door

    door = Door.open(args.farm, by=args.by, on=args.on, progress=out.progress())
    if args.verb not in WRITE and (problem := door.read_only()):
        out.refuse(problem)
    return door


def close_door(door: Door) -> None:
    """Close the book; what kept the day's backup from being made, where it was written in, is told."""
    if problem := door.close():
        out.refuse(problem)


def say_written(written: Written | Problem, args: Namespace) -> int:
    """Tell what was written, or why nothing was."""
    if isinstance(written, Problem):
        return out.refuse(written)
    if args.json:
        entries = [e.as_dict() for e in written.entries]
        out.as_json(
            {"entries": entries, "lot": written.lot, "says": written.says, "remarks": written.remarks}
        )
    else:
        out.lines(f"written {written.clock}  {said}" for said in written.says)
        out.lines(f"  {remark}" for remark in written.remarks)
    return out.DONE
