"""The fold: entries in, the farm as it stands out. A pure function of the set of entries, whatever their order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import attrgetter

from core.amend import AMENDING, Amendments, amendments, followed, named_by, with_fields
from core.book.entry import Draft, Entry
from core.codes import use_up
from core.farm import Farm
from core.field_words import CODE_LONGEST
from core.guard import raises
from core.kinds import Kind, problem_with
from core.problems import Problem
from core.register import as_called
from core.subject import hearers, kind_of, kinds_called
from core.units import dated_text, day_from_iso, is_farm_day
from core.validity import invalid, is_newer, is_plain


def check(farm: Farm, draft: Draft, today: str) -> Problem | None:
    """Why `draft` cannot be written on this farm today ("YYYY-MM-DD"), or None. Strikes are checked at the session."""
    if problem := problem_with(draft.kind, draft.fields):
        return problem
    if day_from_iso(draft.on) is None:
        return Problem(f"'{draft.on}' is no day: write it as 2026-06-23.", "unreadable")
    if draft.on > today:
        return Problem(
            f"{dated_text(draft.on)} is still to come: today is {dated_text(today)}.", "impossible", (today,)
        )
    # what the fold would leave out is not written either
    kind = kind_of(draft.kind, draft.fields)
    assert kind is not None  # else its shape was wrong
    return kind.check(farm, draft) or invalid(draft)


SENSELESS = (KeyError, TypeError, ValueError, AttributeError, ArithmeticError)
"""What fields that make no sense come to in a rule; anything else is a fault of ours, which shuts no book either."""

UNREADABLE, NO_KIND = "unreadable", "no kind"
NOT_TAKEN_IN = (UNREADABLE, NO_KIND)
"""The sorts of matters that an entry of a shape that no farm can have is."""

CODES = ("tray", "planting", "lot", "piece", "plan", "order", "packet")
"""Fields that hold a code which machines apart may have given twice."""
_ORDER = attrgetter("on", "at", "id")


def fold(entries: Iterable[Entry], onto: Farm | None = None) -> Farm:
    """The farm that `entries` make, on top of `onto` (changed in place) when that is given.

    With `onto`, every entry must come after those already in it, and what they amend must be among them.
    """
    entries = list(entries)
    farm = Farm() if onto is None else onto
    amended = amendments(entries)
    take_in(farm, entries, amended)
    farm.count += len(entries)
    farm.matters = [*amended.matters(), *farm.matters]
    return farm


def take_in(farm: Farm, entries: Sequence[Entry], amended: Amendments) -> None:
    """Apply those of the entries that count, in their order; all come after what the farm holds.

    What is struck leaves its code behind: it may stand on a tag, and is never given again.
    """
    ordered = sorted(amended.counting(entries), key=_ORDER)
    for entry in ordered:
        apply(farm, entry)
    for entry in entries:
        if entry.id in amended.gone and entry.kind not in AMENDING:
            _use_up_code(farm, entry)
    farm.last_on = max(farm.last_on, last_day(ordered))


def _use_up_code(farm: Farm, struck: Entry) -> None:
    kind = kind_of(struck.kind, struck.fields)
    if kind is not None and kind.makes and invalid(struck) is None:
        use_up(farm, str(struck.fields[kind.makes]))


def last_day(ordered: Sequence[Entry]) -> str:
    """The day of the last of these entries; one whose day is none does not count, "" where all are so."""
    return next((entry.on for entry in reversed(ordered) if is_farm_day(entry.on)), "")


def apply(farm: Farm, entry: Entry) -> None:
    """Take one entry into the farm; one that makes no sense is a matter to settle, never an exception."""
    kind = kind_of(entry.kind, entry.fields)
    if (kind is None or not is_plain(kind, entry)) and not _may_be_applied(farm, entry, kind):
        return
    assert kind is not None
    if farm.given_twice:
        entry = _as_called_now(entry)
    try:
        kind.apply(farm, entry)
        for hear in hearers(entry.kind):
            hear(farm, entry)
    except Exception as fault:
        if not isinstance(fault, SENSELESS) and raises():
            raise
        farm.note_matter("An entry could not be read: its fields make no sense.", entry.id, UNREADABLE)


def _as_called_now(entry: Entry) -> Entry:
    """The entry with codes given twice as they are called now, whichever shedbook wrote it."""
    fields = {name: as_called(value) for name in CODES if isinstance(value := entry.fields.get(name), str)}
    if all(entry.fields[name] == called for name, called in fields.items()):
        return entry
    return with_fields(entry, fields)


def _may_be_applied(farm: Farm, entry: Entry, kind: Kind | None) -> bool:
    """Whether an entry that is not plain means something here; what it lacks, or is newer in, is noted."""
    newer = is_newer(entry)
    if newer:
        farm.note_newer(entry.kind[:CODE_LONGEST], entry.id)
    if kind is None:
        if not newer:
            farm.note_matter("An entry does not say what it is: take it back.", entry.id, NO_KIND)
        return False
    wrong = invalid(entry)
    if wrong and not newer:  # the fields of a newer one mean something there that they do not mean here
        farm.note_matter(f"An entry could not be read: {wrong.sentence}", entry.id, UNREADABLE)
    return wrong is None


def describes(kind: str) -> bool:
    """Whether such an entry says how the farm is, not what happened on it."""
    return any(known.describes for known in kinds_called(kind))


def is_there(entry: Entry, day: str) -> bool:
    """Whether an entry that counts is in the farm as of `day` ("YYYY-MM-DD").

    What happened later is left out. What describes the farm (its place, frost dates, beds and own figures) holds
    for any day, so that beds written in the autumn are there when the summer is written up.
    """
    return entry.on <= day or describes(entry.kind)


def as_of(entries: Sequence[Entry], day: str, amended: Amendments | None = None) -> list[Entry]:
    """The entries to be told when the book is read as of `day` ("YYYY-MM-DD"), struck ones too.

    An amendment comes with what it amends, whenever it was written: what is struck now was struck then. `amended` is
    all that amends in the book; None where all of it is among the entries.
    """
    amended = amendments(entries) if amended is None else amended
    told = {e.id for e in entries if e.kind not in AMENDING and is_there(amended.as_it_counts(e), day)}
    amending = [e for e in entries if e.kind in AMENDING]
    told |= {e.id for e in amending if is_there(e, day)}
    told |= followed({e.id: named_by(e) for e in amending}, told)
    return [e for e in entries if e.id in told]
