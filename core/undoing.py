"""What undo takes back: the last line that this person wrote on this machine, and whether that is asked about first."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from datetime import date, datetime
from typing import NamedTuple

from core.amend import STRIKE, Amendments, named_by
from core.book.entry import Entry
from core.kinds import sentence
from core.problems import Problem
from core.text import clean
from core.units import ID_SHOWN, dated_text, local_clock, local_day

SET_UP = ("farm", "frost", "risk", "bed", "sheet", "capacity", "line")
"""Kinds that the rest of the farm hangs on: a key pressed once too often does not take them away."""


TOGETHER = ("made", "correct", "ordered")
"""Kinds of which all that one line wrote is taken back together: pieces and their parts, an order and its items, a
correction and what follows from it."""
Find = Callable[..., Sequence[Entry]]
"""The entries whose id is or ends with a text."""


class LastLine(NamedTuple):
    """The last line that still counts, as undo would take it back."""

    entries: tuple[Entry, ...]
    says: tuple[str, ...]
    """Each entry as a sentence."""
    because: str
    """Why it is asked about before it is taken back ("ak has written since"); "" where it need not be."""
    whose: str
    """Who wrote it, and when: "jo wrote it at 07:12"."""
    is_newest: bool
    """Whether nobody wrote anything after it: nothing can rest on it."""


def last_line(
    writings: Iterable[Sequence[Entry]], by: str, gone: Container[str], signed: Container[str] = ()
) -> tuple[list[Entry], str] | None:
    """(the entries of `by`'s newest writing that still counts, the initials of who wrote after it or ""), or None.

    `writings` come newest first. A strike, and what is struck (`gone` by its id), is passed over. `signed` are ids of
    entries that `by` wrote just now and signed for somebody else: they are hers to take back.
    """
    since = ""
    for writing in writings:
        if writing[0].by != by and writing[0].id not in signed:
            since = since or writing[0].by
            continue
        left = [entry for entry in writing if entry.id not in gone]
        if any(entry.kind != STRIKE for entry in left):
            return left, since
    return None


class Now(NamedTuple):
    """When undo is asked for: the day the book is read and written on, the farm's day by the clock, its zone."""

    read_on: date
    today: date
    zone: str


def as_shown(entries: Sequence[Entry], since: str, latest: Iterable[Entry], find: Find, now: Now) -> LastLine:
    """A last line as it is shown before it is taken back; `since` as `last_line` gives it, `latest` what counts."""
    since = since or written_since(entries, latest)
    whose = written_by(entries[-1], now.today, now.zone)
    return LastLine(tuple(entries), said_of(entries, find), why_ask(entries, since, now), whose, not since)


def written_since(entries: Sequence[Entry], latest: Iterable[Entry]) -> str:
    """The initials of who wrote an entry that counts after these, on whatever machine; "" where nobody did.

    It may be her own: what another machine or a backup brought does not stand in this machine's log.
    """
    last = max(entry.at for entry in entries)
    return next((e.by for e in latest if e.at > last and e.kind != STRIKE), "")


def why_ask(entries: Sequence[Entry], since: str, now: Now) -> str:
    """Why undo asks before it takes these back, "" where it need not."""
    if since:
        return f"{since} has written since"
    written = _day_written(entries[-1], now.zone)
    if written is None:
        return "nobody knows when it was written"
    if written < now.today:
        return f"it was written on {dated_text(written.isoformat())}"
    if entries[-1].on > now.read_on.isoformat():
        return f"it is about {dated_text(entries[-1].on)}"
    if any(entry.kind in SET_UP for entry in entries):
        return "it is how the farm is set up"
    return ""


def written_by(entry: Entry, now: date, zone: str) -> str:
    """Who wrote an entry, and when; `now` is the farm's day by the clock."""
    day = _day_written(entry, zone)
    if day is None:
        return f"{entry.by} wrote it, nobody knows when"
    at = f"at {local_clock(datetime.fromisoformat(entry.at), zone)}"
    return f"{entry.by} wrote it {at if day == now else f'on {dated_text(day.isoformat())} {at}'}"


def _day_written(entry: Entry, zone: str) -> date | None:
    try:
        return local_day(datetime.fromisoformat(entry.at), zone)
    except (ValueError, TypeError, OverflowError):  # an instant that no shedbook wrote
        return None


def said_of(entries: Iterable[Entry], find: Find) -> tuple[str, ...]:
    """Each entry as a sentence; a strike as what it struck."""
    return tuple(
        f"taken back: {sentence(struck_by(entry, find))}" if entry.kind == "strike" else sentence(entry)
        for entry in entries
    )


def struck_said(targets: Iterable[Entry], find: Find, amended: Amendments) -> tuple[str, ...]:
    """What was done by striking each of these, as a sentence."""
    return tuple(
        f"restored: {sentence(struck_by(target, find))}"
        if target.kind == STRIKE
        else f"taken back: {sentence(amended.as_it_counts(target))}"
        for target in targets
    )


def how_restored(targets: Iterable[Entry], amended: Amendments) -> str:
    """How what was struck of these is restored: by a strike of the one strike of it that counts; "" for several."""
    struck = {target.id for target in targets} & amended.gone
    strikes = [row.id for row in amended.by_id.values() if row.now is None and row.names in struck]
    counts = [strike for strike in strikes if strike not in amended.gone]
    return f" To restore it: cancel {counts[0][-ID_SHOWN:]}." if len(counts) == 1 else ""


def struck_by(strike: Entry, find: Find) -> Entry:
    """What a strike struck."""
    return next(iter(find(named_by(strike))), strike)


def the_one(entry_id: str, found: Sequence[Entry]) -> Entry | Problem:
    """The entry that is meant by the end of its id, of those `found` by it; or why none is."""
    if len(found) == 1:
        return found[0]
    if not found:
        return Problem(
            f"There is no entry {clean(entry_id)}: 'entries' lists them with their ids.", "unknown"
        )
    near = tuple(entry.id for entry in found[:3])
    return Problem(
        f"{len(found)} entries end with {clean(entry_id)}: give more of the id.", "ambiguous", near
    )


def of_one_line(entry: Entry, entries: Iterable[Entry], gone: frozenset[str]) -> list[Entry]:
    """The entry (pieces made or a correction, or their strike), and what its line wrote with it and is not struck."""
    mine = sorted((e for e in entries if e.by == entry.by), key=lambda e: e.at)
    whole = [entry]
    for later in mine[mine.index(entry) + 1 :]:
        if not _together(whole[-1], later):
            break
        whole.append(later)
    return [e for e in whole if e is entry or e.id not in gone]


def _together(earlier: Entry, later: Entry) -> bool:
    """Whether two entries came from one line: only then do their instants follow each other by a millisecond."""
    try:
        gap = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    except (ValueError, TypeError):  # an instant that no shedbook wrote
        return False
    return gap.total_seconds() <= 0.0011
