"""Whether an entry can be corrected so: what it would say must be possible in its place, what rests on it must fit."""

from __future__ import annotations

from core.amend import AMENDING, with_fields
from core.book.entry import Draft, Entry
from core.folded import Folded
from core.kinds import sentence
from core.language.line import Find
from core.mending.fields import COUNTS, ID_SHOWN
from core.problems import Matter, Problem
from core.subject import kind_of
from core.units import day_from_iso, day_text
from core.validity import invalid


def why_not(draft: Draft, folded: Folded, today: str, others: tuple[Entry, ...] = ()) -> Problem | None:
    """Why what a correction names cannot be as it says; None where it can.

    It is checked as it would be written in its place. `others` are corrections that come with this one.
    """
    found = folded.find(str(draft.fields["entry"]))
    if not found or found[0].kind in AMENDING:
        return Problem("There is no entry to be corrected: 'entries' lists them with their ids.", "unknown")
    amended = folded.amended.and_of(others)
    if found[0].id in folded.amended.gone:
        return Problem(
            f"'{sentence(amended.as_it_counts(found[0]))}' was taken back: restore it before it is corrected.",
            "impossible",
        )
    then = with_fields(amended.as_it_counts(found[0]), draft.fields["now"])
    if day_from_iso(then.on) is None or then.on > today:
        return Problem(f"{then.on} is still to come: today is {today}.", "impossible", (today,))
    kind = kind_of(then.kind, then.fields)
    if kind is None:
        return Problem("A newer shedbook wrote that entry: update this one to correct it.", "newer")
    there = folded.before((then.on, then.at, then.id), found[0], amended)
    return invalid(then) or kind.check(there, Draft(then.kind, then.on, then.fields))


def no_longer_fits(matter: Matter, find: Find) -> Problem:
    """The refusal of a correction that would raise a matter, by the entry that would be at fault."""
    at_fault = next(iter(find(matter.entry or "")), None) if matter.entry else None
    if at_fault is None:
        return Problem(f"Not corrected, for then: {matter.sentence}", "impossible")
    named = at_fault.id[-ID_SHOWN:]
    field = next((name for name in COUNTS if name in at_fault.fields), "")
    left = at_fault.fields[field] - matter.amount if field else 0
    line = f"{named} was {left:g}" if left >= 1 and matter.amount else ""
    how = f"Correct that first: {line}." if line else "Correct that first, or take it back."
    return Problem(
        f"Not corrected: '{sentence(at_fault)}' ({day_text(at_fault.on)}, {named}) would no longer fit. {how}",
        "impossible",
        (line,) if line else (),
    )
