"""The fold: entries in, the farm as it stands out. A pure function of the set of entries, whatever their order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import attrgetter

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.guard import raises
from core.kinds import CODE_LONGEST, problem_with
from core.problems import Problem
from core.sense import is_farm_day, is_newer, nonsense
from core.subject import hearers, kind_of, kinds_called


def check(farm: Farm, draft: Draft, today: str) -> Problem | None:
    """Why `draft` cannot be written on this farm today ("YYYY-MM-DD"), or None. Strikes are checked at the door."""
    from core.units import day_from_iso

    if problem := problem_with(draft.kind, draft.fields):
        return problem
    if day_from_iso(draft.on) is None:
        return Problem(f"'{draft.on}' is no day: write it as 2026-06-23.", "unreadable")
    if draft.on > today:
        return Problem(f"{draft.on} is still to come: today is {today}.", "impossible", (today,))
    # what the fold would leave out is not written either
    kind = kind_of(draft.kind, draft.fields)
    assert kind is not None  # else its shape was wrong
    return kind.check(farm, draft) or nonsense(draft)


def struck(strikes: Sequence[Entry]) -> tuple[set[str], list[str]]:
    """(ids that count no more, ids of strikes that strike each other in a ring and so do nothing).

    An entry is struck when a strike that is not itself struck names it; so a strike of a strike restores.
    """
    waiting = {s.id: 0 for s in strikes}
    target = {s.id: named_by(s) for s in strikes}
    for named in target.values():
        if named in waiting:
            waiting[named] += 1
    ready = [s for s, strikers in waiting.items() if strikers == 0]
    gone: set[str] = set()
    settled = 0
    while ready:
        striker = ready.pop()
        settled += 1
        named = target[striker]
        if striker not in gone and named:
            gone.add(named)
        if named in waiting:
            waiting[named] -= 1
            if waiting[named] == 0:
                ready.append(named)
    ring = [] if settled == len(waiting) else [s for s, strikers in waiting.items() if strikers > 0]
    return gone - set(ring), ring


def named_by(strike: Entry) -> str:
    """The id a strike names; "" where it names none."""
    named = strike.fields.get("entry")
    return named if isinstance(named, str) else ""


SENSELESS = (KeyError, TypeError, ValueError, AttributeError, ArithmeticError)
"""What fields that make no sense come to in a rule; anything else is a fault of ours, which shuts no book either."""

_ORDER = attrgetter("on", "at", "id")


def fold(entries: Iterable[Entry], onto: Farm | None = None, strikes: Iterable[Entry] | None = None) -> Farm:
    """The farm that `entries` make, on top of `onto` (changed in place) when that is given.

    With `onto`, every entry must come after those already in it. `strikes` are all the strikes that count; left
    out, those among `entries`.
    """
    farm = Farm() if onto is None else onto
    ordered = sorted(entries, key=_ORDER)
    counting = [e for e in ordered if e.kind == "strike"] if strikes is None else list(strikes)
    gone, ring = struck(counting) if counting else (set(), [])
    for entry_id in ring:
        farm.note_matter(
            "Strikes that strike each other in a ring do nothing: strike the entry anew.", entry_id
        )
    for entry in ordered:
        if entry.id not in gone:
            apply(farm, entry)
    farm.count += len(ordered)
    farm.last_on = max(farm.last_on, last_day(ordered))
    return farm


def last_day(ordered: Sequence[Entry]) -> str:
    """The day of the last of these entries; one whose day is none does not count, "" where all are so."""
    return next((entry.on for entry in reversed(ordered) if is_farm_day(entry.on)), "")


def apply(farm: Farm, entry: Entry) -> None:
    """Take one entry into the farm; one that makes no sense is a matter to settle, never an exception."""
    kind = kind_of(entry.kind, entry.fields)
    newer = is_newer(entry)
    if newer:
        farm.note_newer(entry.kind[:CODE_LONGEST], entry.id)
    if kind is None:
        if not newer:
            farm.note_matter("An entry says not what it is: strike it.", entry.id)
        return
    if wrong := nonsense(entry):
        if newer:
            return  # its fields mean something there that they do not mean here
        farm.note_matter(f"An entry could not be read: {wrong.sentence}", entry.id)
        return
    try:
        kind.apply(farm, entry)
        for hear in hearers(entry.kind):
            hear(farm, entry)
    except Exception as fault:
        if not isinstance(fault, SENSELESS) and raises():
            raise
        farm.note_matter("An entry could not be read: its fields make no sense.", entry.id)


def _describes(kind: str) -> bool:
    """Whether such an entry says how the farm is, not what happened on it."""
    return any(known.describes for known in kinds_called(kind))


def as_of(entries: Sequence[Entry], day: str) -> list[Entry]:
    """The entries that count when the book is read as of `day` ("YYYY-MM-DD").

    What happened later is left out. What describes the farm (its place, frost dates, beds and own figures) holds
    for any day, so that beds written in the autumn are there when the summer is written up.
    """
    lasting = {e.id for e in entries if _describes(e.kind)}
    strikes = [e for e in entries if e.kind == "strike"]
    while more := {e.id for e in strikes if named_by(e) in lasting} - lasting:
        lasting |= more  # a strike of such an entry, a strike of that strike, and so on
    return [e for e in entries if e.on <= day or e.id in lasting]
