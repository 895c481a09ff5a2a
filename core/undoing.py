"""What undo takes back: the last line that this person wrote on this machine, and whether that is asked about first."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from datetime import date, datetime
from typing import NamedTuple

from core.amend import STRIKE, Amendments, named_by
from core.book import ids
from core.book.entry import Entry
from core.dialect import told_time
from core.kinds import sentence
from core.problems import Problem
from core.text import clean
from core.units import ID_SHOWN, dated_text, local_clock, local_day

SET_UP = ("farm", "frost", "risk", "bed", "crop", "sheet", "variety sheet", "capacity", "line")
"""Kinds that the rest of the farm hangs on: a key pressed once too often does not take them away."""

BY_UNDO = "undo"
"""The flag of a strike by which undo took a line back: undo passes it over, else the next would only bring it again."""

TOGETHER = ("made", "correct", "ordered", "lifted", "divided")
"""Kinds of which all that one line wrote with or after it is taken back together: pieces and their parts, an order and
its items, a correction and what follows from it, clumps that were lifted, divided and set again."""
OF_A_TABLE = ("past cut", "past sale", "past sowing")
"""Kinds of which all that came in by one `table` is taken back together."""
Find = Callable[..., Sequence[Entry]]
"""The entries whose id is or ends with a text."""


class LastLine(NamedTuple):
    """The last line that still counts, as undo would take it back."""

    entries: tuple[Entry, ...]
    says: tuple[str, ...]
    """What is taken back, or restored, each as a sentence."""
    restores: bool
    """Whether the line took something back, which counts again without it."""
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

    `writings` come newest first. What undo did, and what is struck (`gone` by its id), is passed over. `signed` are
    ids of entries that `by` wrote just now and signed for somebody else: they are hers to take back.
    """
    since = ""
    for writing in writings:
        if writing[0].by != by and writing[0].id not in signed:
            since = since or writing[0].by
            continue
        left = [entry for entry in writing if entry.id not in gone]
        if not all(entry.kind == STRIKE and entry.fields.get(BY_UNDO) is True for entry in left):
            return left, since
    return None


class Now(NamedTuple):
    """When undo is asked for: the day the book is read and written on, the farm's day by the clock, its zone."""

    read_on: date
    today: date
    zone: str


def as_shown(entries: Sequence[Entry], since: str, latest: Iterable[Entry], find: Find, now: Now) -> LastLine:
    """A last line as it is shown before it is taken back; `since` as `last_line` gives it, `latest` what counts."""
    after = written_since(entries, latest)
    asked_of = since or next((entry.by for entry in after if _can_be(entry)), "")
    says, restores, did = said_of(entries, find), False, "wrote it"
    if all(entry.kind == STRIKE for entry in entries):
        says = tuple(sentence(struck_by(entry, find)) for entry in entries)
        restores = takes_back(entries[-1], find)
        did = "took it back" if restores else "restored it"
    whose = written_by(entries[-1], now.today, now.zone, did)
    is_newest = not since and not after
    return LastLine(tuple(entries), says, restores, why_ask(entries, asked_of, now), whose, is_newest)


def written_since(entries: Sequence[Entry], latest: Iterable[Entry]) -> list[Entry]:
    """What of `latest` was written after these entries, on whatever machine.

    It may be her own: what another machine or a backup brought does not stand in this machine's log.
    """
    last = max(entry.at for entry in entries)
    return [entry for entry in latest if entry.at > last]


def _can_be(entry: Entry) -> bool:
    """Whether an entry can have been written by now: a clock of a wrong year comes after all that is ever written."""
    return entry.at <= ids.at_text(ids.now_ms() + ids.AHEAD_MS)


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


def written_by(entry: Entry, now: date, zone: str, did: str = "wrote it") -> str:
    """Who wrote an entry, and when; `now` is the farm's day by the clock, `did` what its writer did by it."""
    day = _day_written(entry, zone)
    if day is None:
        return f"{entry.by} {did}, nobody knows when"
    at = f"at {told_time(local_clock(datetime.fromisoformat(entry.at), zone))}"
    return f"{entry.by} {did} {at if day == now else f'on {dated_text(day.isoformat())} {at}'}"


def _day_written(entry: Entry, zone: str) -> date | None:
    try:
        return local_day(datetime.fromisoformat(entry.at), zone)
    except (ValueError, TypeError, OverflowError):  # an instant that no shedbook wrote
        return None


def said_of(entries: Iterable[Entry], find: Find) -> tuple[str, ...]:
    """Each entry as a sentence; a strike as what it took back or restored."""
    return tuple(
        _done(struck_by(entry, find), restored=not takes_back(entry, find))
        if entry.kind == STRIKE
        else sentence(entry)
        for entry in entries
    )


def struck_said(targets: Iterable[Entry], find: Find, amended: Amendments) -> tuple[str, ...]:
    """A sentence for each entry struck: "taken back: ...", or "restored: ..." where it was itself a strike."""
    return tuple(
        _done(struck_by(target, find), restored=takes_back(target, find))
        if target.kind == STRIKE
        else _done(amended.as_it_counts(target), restored=False)
        for target in targets
    )


def _done(entry: Entry, *, restored: bool) -> str:
    return f"{'restored' if restored else 'taken back'}: {sentence(entry)}"


def how_restored(targets: Iterable[Entry], amended: Amendments) -> str:
    """How what was struck of these is restored: by a strike of the one strike of it that counts; "" for several."""
    struck = {target.id for target in targets} & amended.gone
    strikes = [row.id for row in amended.by_id.values() if row.now is None and row.names in struck]
    counts = [strike for strike in strikes if strike not in amended.gone]
    return f" To restore it: cancel {counts[0][-ID_SHOWN:]}." if len(counts) == 1 else ""


def struck_by(strike: Entry, find: Find) -> Entry:
    """What a strike is about at last: what it struck or, where that is a strike, what that one is about."""
    return _chain(strike, find)[-1]


def takes_back(strike: Entry, find: Find) -> bool:
    """Whether a strike that counts took something back; one of a strike restored it, and so on."""
    return len(_chain(strike, find)) % 2 == 0


def _chain(strike: Entry, find: Find) -> list[Entry]:
    """The strike, what it names, what that names, to the first that is no strike; strikes in a ring once."""
    chain = [strike]
    while chain[-1].kind == STRIKE:
        named = next(iter(find(named_by(chain[-1]))), None)
        if named is None or named in chain:
            break
        chain.append(named)
    return chain


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


def of_one_table(entry: Entry, entries: Iterable[Entry], gone: frozenset[str]) -> list[Entry]:
    """The entry, and what came in by the same table with it and is not struck."""
    table = entry.fields.get("table")
    return [
        e
        for e in entries
        if e.id == entry.id or (e.kind == entry.kind and e.fields.get("table") == table and e.id not in gone)
    ]


def _together(earlier: Entry, later: Entry) -> bool:
    """Whether two entries came from one line: only then do their instants follow each other by a millisecond."""
    try:
        gap = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    except (ValueError, TypeError):  # an instant that no shedbook wrote
        return False
    return gap.total_seconds() <= 0.0011
