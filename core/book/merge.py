"""Bringing in what another machine wrote, from its farm folder, a log or a carried file; it is not trusted.

A merge is a union of entries by id: doing it twice, or in another order, gives the same book. What is no
good entry stays out, is told, and is recorded (`core.book.incoming`).
"""

from __future__ import annotations

import os
from collections.abc import Callable, Container, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from core.book import ids, layout
from core.book.book import Book
from core.book.copied import Part, add_part, copy_on, is_another_machines
from core.book.damage import line_numbers
from core.book.disk import open_to_read, trouble
from core.book.entry import Entry
from core.book.incoming import END, Aside, record
from core.book.lines import Flat, body_of, line_of
from core.book.reader import MOST_BAD, TEXT_KEPT, Reader
from core.collecting import no_collecting
from core.patterns import pattern
from core.problems import Problem, ShedbookError
from core.text import clean, is_clean
from core.units import day_from_iso

LARGEST = 1 << 28
"""Bytes a file may have to be merged: five times the log of twenty seasons."""

_MOST_TOLD = 200  # lines set aside that are told one by one; all are counted and recorded
_AT = pattern(r"\d{4}-[01]\d-[0-3]\dT[0-2]\d:[0-5]\d:[0-6]\d\.\d{3}Z")

_ODD = pattern(rb"[\\\x00-\x1f\x7f]")  # an escape, which may stand for anything, or a sign that is no letter

Schema = Callable[[Entry], Problem | None]
"""Says what is wrong with an entry's kind and fields, or None."""

Progress = Callable[[float], None]
"""Is told the share done."""

AnotherBook = Callable[[list[Flat]], Problem | None]
"""Is shown the first entries of a book none of which is known here; says why they are not brought in, or None."""

_FIRST, _FIRST_OF_ALL = 1 << 20, 1 << 24  # bytes looked at of each log, and of all, for whose book it is


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge did: entries new to this book, entries it had already, what was set aside, what stopped short."""

    added: int
    already: int
    set_aside: list[Problem]
    stopped: list[Problem] = field(default_factory=list)
    """Logs that could not be brought in, or not whole; merging again goes on with them."""


def merge(
    book: Book,
    other: Path,
    schema: Schema | None = None,
    progress: Progress = lambda _share: None,
    another: AnotherBook | None = None,
    part: Part | None = None,
) -> Merged:
    """Brings the entries of `other`, a farm folder or a file of log lines, into `book`.

    A machine's log that only goes on from our copy of it is copied on, byte for byte, and so is a file that is the
    next `part` of one; anything else goes into this machine's own merged log. A log that cannot be read or written
    stops no other. Raises ShedbookError where `other` cannot be read or is no such thing, where `another` says why it
    is not merged, and where nothing of it could be brought in; merging again then goes on where it stopped.
    """
    is_farm = other.is_dir()
    known, mark = book.digests()
    logs = sorted(_logs_of(other), key=lambda path: not is_another_machines(path.name, book))
    if another is not None and (problem := another(_first_of_another(logs, known))):
        raise ShedbookError(problem)
    incoming = _Incoming(book, known, schema, progress)
    at = ids.at_text(ids.now_ms())
    stopped: list[Problem] = []

    def bring(path: Path) -> None:
        with _open_untrusted(path) as fd, no_collecting():
            asides, end = incoming.take(_name_of(other, path), fd)
            if asides:
                with book.hold():  # of two that merge the same at once, the second finds it recorded
                    record(book.folder, book.device, asides, at)
            elif add_part(book, part, fd, end) if part else is_farm and copy_on(book, path.name, fd, end):
                incoming.written()

    for path in logs:
        try:
            bring(path)
        except ShedbookError as refused:
            stopped.append(refused.problem)
    if incoming.to_write:
        try:
            written = book.adopt(incoming.to_write, after=mark)
            incoming.brought_meanwhile(len(incoming.to_write) - written)
        except ShedbookError as refused:
            incoming.added -= len(incoming.to_write)
            stopped.append(refused.problem)
    progress(1)
    if stopped and not incoming.added:
        raise ShedbookError(stopped[0])
    return Merged(incoming.added, incoming.already, incoming.problems(), stopped)


def since(book: Book, start: str, stream: BinaryIO) -> int:
    """Writes to `stream` the entries made after that with id `start`, or made or dated from day `start` on.

    The file is log lines and is merged like any log. Returns how many; ShedbookError where `start` is
    neither an id of the book nor a day "YYYY-MM-DD".
    """
    flats = book.entries_raw()
    if day_from_iso(start) is not None:
        chosen = [flat for flat in flats if flat["on"] >= start or flat["at"][:10] >= start]
    elif any(flat["id"] == start for flat in flats):
        chosen = [flat for flat in flats if flat["id"] > start]
    else:
        raise ShedbookError(
            Problem(
                f"{clean(start)[:60]} is no entry of this book and no day; give an id or YYYY-MM-DD.",
                code="unknown",
            )
        )
    for flat in chosen:
        stream.write(line_of(body_of(flat)))
    return len(chosen)


def _first_of_another(logs: list[Path], known: Container[str]) -> list[Flat]:
    """The first entries of each log; none where one of them is `known` here, or speaks of one that is."""
    found: list[Flat] = []
    room = _FIRST_OF_ALL
    for path in logs:
        with (
            suppress(ShedbookError),
            _open_untrusted(path) as fd,
        ):  # what is wrong with it is told when it is merged
            reader = Reader(fd, 0, min(_FIRST, room))
            for _, flats in reader.blocks():
                if any(str(flat.get(name)) in known for flat in flats for name in ("id", "ref", "entry")):
                    return []
                found += flats
            room -= reader.end
    return found


class _Incoming:
    """What is new, known and unfit among the logs taken so far. `known` has each entry's digest by its id."""

    def __init__(self, book: Book, known: dict[str, int], schema: Schema | None, progress: Progress) -> None:
        self._progress = progress
        self.added = 0
        self.already = 0
        self.to_write: list[bytes] = []
        self._book = book
        self._known = known
        self._schema = schema
        self._new: dict[str, int] = {}
        self._own: dict[str, Flat] | None = None
        self._fresh = 0
        self._told: list[Aside] = []
        self._aside = 0

    def take(self, name: str, fd: int) -> tuple[list[Aside], int]:
        """Sorts the lines of an open log; (those set aside, in file order, the byte its good part ends at)."""
        self._fresh = 0
        reader, unfit, size = Reader(fd), _Unfit(), max(os.fstat(fd).st_size, 1)
        for bodies, flats in reader.blocks():
            self._progress(reader.end / size)
            found = [self._sort(body, flat) for body, flat in zip(bodies, flats, strict=True)]
            if any(found):
                for place, body, wrong in zip(reader.places(), bodies, found, strict=True):
                    if wrong is not None:
                        unfit.add(place, body, *wrong)
        for bad in reader.bad.values():
            unfit.add(bad.offset, bad.text, bad.reason)
        if reader.more_bad:
            unfit.add_more(reader.more_from, reader.more_bad)
        if reader.tail:
            unfit.add(reader.end, reader.tail, "the file ends in the middle of it")
        asides = unfit.asides(name, fd)
        self._aside += sum(aside.lines for aside in asides)
        self._told += asides[: _MOST_TOLD - len(self._told)]
        return asides, reader.end

    def _sort(self, body: bytes, flat: Flat) -> tuple[str, str] | None:
        """Takes an entry in; (why it stays out, the id where this book has another under it) where it does."""
        entry = flat["id"]
        digest = hash(body)
        known = self._known.get(entry, self._new.get(entry))
        if known is not None and (known == digest or self._is_known(flat)):
            self.already += 1
            return None
        if reason := _unfit(body, flat, self._schema):
            return reason, ""
        if known is not None:
            return "this book has something else under the same id; settle which is so", entry
        self._new[entry] = digest
        self.to_write.append(body)
        self._fresh += 1
        self.added += 1
        return None

    def _is_known(self, flat: Flat) -> bool:
        """Whether this book has the same entry, written in another way."""
        if flat["id"] in self._new:
            return False
        if self._own is None:
            self._own = {mine["id"]: mine for mine in self._book.entries_raw()}
        return self._own.get(flat["id"]) == flat

    def written(self) -> None:
        """The log taken last was copied on whole: its entries need no writing."""
        del self.to_write[len(self.to_write) - self._fresh :]

    def brought_meanwhile(self, count: int) -> None:
        """So many of those to write had been brought in by another process by then."""
        self.added -= count
        self.already += count

    def problems(self) -> list[Problem]:
        told = [
            Problem(
                aside.sentence(), code="settle" if aside.settle else "damaged", entry=aside.settle or None
            )
            for aside in self._told
        ]
        more = self._aside - sum(aside.lines for aside in self._told)
        if more:
            told.append(
                Problem(f"{more} more lines were set aside; log/*{END} has them all.", code="damaged")
            )
        return told


class _Unfit:
    """Collects the lines of one log that stay out; beyond MOST_BAD they are only counted."""

    def __init__(self) -> None:
        self._places: list[tuple[int, bytes, str, str]] = []
        self._more_from, self._more = 0, 0

    def add(self, place: int, text: bytes, reason: str, settle: str = "") -> None:
        """A line at byte `place`."""
        if len(self._places) < 2 * MOST_BAD:
            self._places.append((place, text[:TEXT_KEPT], reason, settle))
        else:
            self.add_more(place, 1)

    def add_more(self, place: int, lines: int) -> None:
        """So many lines from byte `place` on."""
        self._more_from = min(place, self._more_from) if self._more else place
        self._more += lines

    def asides(self, name: str, fd: int) -> list[Aside]:
        """All of them in file order, with their line numbers in the file open as `fd`."""
        places = sorted(self._places)
        numbers = line_numbers(fd, [place for place, *_ in places])
        found = [
            Aside(name, number, reason, text, settle)
            for number, (_, text, reason, settle) in zip(numbers, places, strict=True)
        ]
        if self._more:
            (number,) = line_numbers(fd, [self._more_from])
            reason = "a file with so many damaged lines is no log, and the rest of them are only counted"
            found.append(
                Aside(name, number, reason, os.pread(fd, TEXT_KEPT, self._more_from), lines=self._more)
            )
        return found


def _unfit(body: bytes, flat: Flat, schema: Schema | None) -> str:
    """Why an entry of the other side, and its JSON bytes, may not come in, "" where it may."""
    if not ids.is_uuid7(flat["id"]):
        return "its id is none that a book makes"
    if None in (day_from_iso(flat["on"]), day_from_iso(flat["at"][:10])) or not _AT.fullmatch(flat["at"]):
        return "its date or instant is none"
    is_plain = body.isascii() and not _ODD.search(body)  # as nearly all are: its texts need no looking at
    if not is_plain and not _clean_all(flat):
        return "it holds characters that a book never writes"
    problem = schema(Entry.from_dict(flat)) if schema else None
    return clean(problem.sentence).rstrip(".") if problem else ""


def _clean_all(value: Any) -> bool:
    if isinstance(value, str):
        return is_clean(value)
    if isinstance(value, list):
        return all(map(_clean_all, value))
    if isinstance(value, dict):
        return all(_clean_all(key) and _clean_all(item) for key, item in value.items())
    return True


def _name_of(other: Path, log: Path) -> str:
    """What a log is called in what is told of it: short, and without what a terminal would obey."""
    return clean(log.name if other == log else f"{other.name}/{log.name}")[-100:]


def _logs_of(other: Path) -> list[Path]:
    if not other.is_dir():
        return [other]
    layout.about_farm(other)  # refuses a book from a newer version
    logs = other / layout.LOGS
    if logs.is_symlink() or not logs.is_dir():
        raise ShedbookError(
            Problem(
                f"There is no book in {clean(str(other))}; name its folder, or one of its log files.",
                code="unknown",
            )
        )
    return [logs / name for name in layout.log_sizes(logs)]


@contextmanager
def _open_untrusted(path: Path) -> Iterator[int]:
    """A plain file of a size we take; ShedbookError for a link, a pipe, a device, a giant, and bad reading."""
    try:
        with open_to_read(path, LARGEST) as fd:
            yield fd
    except FileNotFoundError as error:
        text = f"There is no {clean(str(path))}; name a farm folder or a log file."
        raise ShedbookError(Problem(text, code="unknown")) from error
    except OSError as error:
        raise trouble(error, "read", path) from error
