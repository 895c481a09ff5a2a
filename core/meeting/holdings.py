"""What a book holds, in sums that two machines compare, and the lines of it that the other one lacks.

Ids begin with the time at which they were made, so entries whose ids begin alike were made at about the same time: two
books that have the same sum for a beginning have the same entries of that time, and need not list them.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from zlib import crc32

from core.book import layout
from core.book.book import Book
from core.book.copied import Part
from core.book.device import NAME
from core.book.journal import print_of
from core.book.lines import BODY_ID, body_of, line_of
from core.book.reader import Reader
from core.book.stretches import open_log
from core.problems import ShedbookError

WIDTHS = 4, 6
"""Letters of an id's beginning: those made within 50 days, then those made within five hours."""
FIRST_ROOM, MOST_ROOM = 1 << 18, 1 << 23
"""Bytes of the first lot of lines that is sent and acknowledged in one, and of the largest: each has twice as many as
the one before, so that a line which is cut soon loses little, and much goes quickly on one that holds."""

Sum = tuple[int, str]
"""(how many entries, a digest of their ids and checksums)."""


class Holdings:
    """The entries of a book as they stand now: id -> CRC-32 of its JSON bytes. Raises ShedbookError as reading does."""

    def __init__(self, book: Book) -> None:
        self._book = book
        try:
            self._sizes = book.lasting_sizes()  # what a failing writing takes back must not have been sent
        except ShedbookError:  # a disk that is read-only: nobody writes there
            self._sizes = layout.log_sizes(book.folder / layout.LOGS)
        self.crcs: dict[str, int] = {}
        for name, size in self._sizes.items():
            with open_log(book.folder, name) as fd:
                for bodies, _ in Reader(fd, 0, size).blocks():
                    for body in bodies:
                        self.crcs.setdefault(body[BODY_ID].decode(), crc32(body))
        self._lost = {flat["id"]: body_of(flat) for flat in book.only_in_snapshot(self.crcs.keys())}
        self.crcs.update((lost, crc32(body)) for lost, body in self._lost.items())

    def sums(self, width: int, within: Iterable[str] | None = None) -> dict[str, Sum]:
        """Beginning of an id, so many letters of it -> the sum of its entries; of all, or only `within` others."""
        chosen = sorted(self.crcs if within is None else self.of(within))
        return {
            begins: (len(ids), self._digest(ids))
            for begins, ids in ((b, [*of]) for b, of in groupby(chosen, key=lambda one: one[:width]))
        }

    def of(self, beginnings: Iterable[str]) -> Iterator[str]:
        """The ids held that start with one of these beginnings, which are all of one length."""
        wanted = frozenset(beginnings)
        width = len(next(iter(wanted), ""))
        return (one for one in self.crcs if one[:width] in wanted)

    def _digest(self, ids: Iterable[str]) -> str:
        text = "".join([f"{one}{self.crcs[one]:08x}" for one in ids])
        return hashlib.blake2b(text.encode(), digest_size=10).hexdigest()

    def lots(self, ids: Collection[str]) -> Iterator[Lot]:
        """The lines of these entries, in lots to be sent one after the other."""
        wanted, room = set(ids), FIRST_ROOM
        lot = Lot()
        for piece in self._pieces(wanted):
            if lot.data and (not lot.goes_on(piece) or len(lot.data) + len(piece.data) > room):
                yield lot
                lot, room = Lot(), min(2 * room, MOST_ROOM)
            lot.add(piece)
        if lot.data:
            yield lot

    def _pieces(self, wanted: set[str]) -> Iterator[Lot]:
        """The same in small pieces; `wanted` is used up."""
        for name, size in self._sizes.items():
            if not wanted:
                return
            is_own = bool(NAME.fullmatch(name.removesuffix(layout.LOG_END)))
            with open_log(self._book.folder, name) as fd:
                reader = Reader(fd, 0, size)
                for bodies, flats in reader.blocks():
                    chosen = [n for n, flat in enumerate(flats) if flat["id"] in wanted]
                    if not chosen:
                        continue
                    wanted.difference_update(flats[n]["id"] for n in chosen)
                    first = chosen[0]
                    if is_own and reader.checksum() is not None and len(chosen) == len(bodies) - first:
                        at = reader.places()[first]
                        data = os.pread(fd, reader.end - at, at)
                        age = os.fstat(fd).st_mtime_ns // 1_000_000
                        yield Lot(data, len(chosen), Part(name, at, print_of(fd, at), age))
                    else:
                        lines = [line_of(bodies[n]) for n in chosen]
                        yield Lot(b"".join(lines), len(chosen))
        lost = [self._lost[one] for one in wanted if one in self._lost]
        if lost:
            yield Lot(b"".join(map(line_of, lost)), len(lost))


@dataclass(slots=True)
class Lot:
    """Lines of entries that are sent in one: `part` says where they stand, where they are all that follows in a log."""

    data: bytes = b""
    count: int = 0
    part: Part | None = None
    _end: int = field(default=0, init=False)

    def __post_init__(self) -> None:
        self._end = self.part.at + len(self.data) if self.part else 0

    def goes_on(self, piece: Lot) -> bool:
        """Whether `piece` stands in the log right after these lines, or both stand anywhere."""
        if self.part is None or piece.part is None:
            return self.part is piece.part
        return piece.part.log == self.part.log and piece.part.at == self._end

    def add(self, piece: Lot) -> None:
        """Adds a piece that goes on from these lines."""
        if not self.data:
            self.part = piece.part
        self.data += piece.data
        self.count += piece.count
        self._end = piece._end


def differing(mine: Mapping[str, Sum], theirs: Mapping[str, Sum]) -> list[str]:
    """The beginnings for which two books have not the same entries."""
    return sorted(one for one in mine.keys() | theirs.keys() if mine.get(one) != theirs.get(one))
