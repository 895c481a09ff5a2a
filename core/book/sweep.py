"""Going through a whole book while holding little of it: as its lines stand, then in the order of its entries."""

from __future__ import annotations

import os
from bisect import bisect_left
from collections.abc import Callable, Container, Iterator
from operator import itemgetter
from pathlib import Path
from zlib import crc32

from core.book.damage import Damage
from core.book.entry import Entry
from core.book.lines import Flat, body_of, entries_from, flats_of, order_key
from core.book.reader import Reader
from core.book.stretches import ending, open_log

_KEY = itemgetter(0)


class Sweep:
    """One passage through the logs `names` of a book, then through what `lost` finds in book.json alone.

    `sums` grows on the way: the id of every entry read so far -> CRC-32 of its JSON bytes. `damage` is told what is
    wrong with the lines.
    """

    def __init__(
        self,
        folder: Path,
        names: list[str],
        damage: Damage,
        lost: Callable[[Container[str]], list[Flat]],
    ) -> None:
        self.sums: dict[str, int] = {}
        self.is_done = False
        """Whether `blocks` came to its end."""
        self.repeats = False
        """Whether some id came again, in the same log or in another."""
        self._folder = folder
        self._names = names
        self._damage = damage
        self._lost = lost
        self._spans: list[tuple[str, str, int, int, int | None]] = []
        """Of each block: its earliest key, its log, where it begins and ends, its checksum where all of it is sound."""
        self._only_here: list[Flat] = []

    def blocks(self) -> Iterator[tuple[str, list[Flat]]]:
        """(log, entries) as they stand, some thousand at a time, each entry once; "" for those of no log.

        Raises ShedbookError where the disk refuses.
        """
        for name in self._names:
            with open_log(self._folder, name) as fd:
                reader, begin = Reader(fd), 0
                for bodies, flats in reader.blocks():
                    if flats:
                        span = (min(map(order_key, flats)), name, begin, reader.end, reader.checksum())
                        self._spans.append(span)
                        yield name, self._new(name, bodies, flats)
                    begin = reader.end
                self._damage.note(name, reader, anew=True)
        self._only_here = self._lost(self.sums.keys())
        if self._only_here:
            self.sums.update((flat["id"], crc32(body_of(flat))) for flat in self._only_here)
            yield "", self._only_here
        self.is_done = True

    def in_order(self) -> Iterator[list[Entry]]:
        """Every entry in key order, some thousand at a time, after `blocks` has come to its end.

        Blocks are held for as long as an earlier entry may come: one written years late makes its block wait.
        """
        if self._damage.disagreeing:  # the first of two lines counts, wherever the other is dated
            self._spans = [("", *span[1:]) for span in self._spans]
        waiting = sorted(((order_key(flat), flat) for flat in self._only_here), key=_KEY)
        spans = sorted(self._spans, key=_KEY)
        seen: set[str] = set()
        last = ""
        for number, (_, name, begin, end, checksum) in enumerate(spans):
            flats = self._read_again(name, begin, end, checksum)
            if self._damage.disagreeing:
                flats = [flat for flat in flats if flat["id"] not in seen]
                seen.update(flat["id"] for flat in flats)
            waiting += [(order_key(flat), flat) for flat in flats]
            waiting.sort(key=_KEY)
            if number + 1 < len(spans):
                cut = bisect_left(waiting, spans[number + 1][0], key=_KEY)
            else:
                cut = len(waiting)
            ready = []
            for key, flat in waiting[:cut]:
                if key != last:  # the same entry may stand in several logs
                    ready.append(flat)
                last = key
            del waiting[:cut]
            yield entries_from(ready)
        if not spans:
            yield entries_from([flat for _, flat in waiting])

    def _read_again(self, name: str, begin: int, end: int, checksum: int | None) -> list[Flat]:
        """The entries of a block; bytes that were found sound before are not looked at again."""
        with open_log(self._folder, name) as fd:
            if checksum is not None:
                data = os.pread(fd, end - begin, begin)
                if crc32(data) == checksum:
                    return flats_of(data)
            return [flat for _, block in Reader(fd, begin, end).blocks() for flat in block]

    def entry(self, entry_id: str) -> Flat | None:
        """The entry of that id as it counts."""
        here = [flat for flat in self._only_here if flat["id"] == entry_id]
        return next(iter([*ending(self._folder, self._names, entry_id), *here]), None)

    def _new(self, name: str, bodies: list[bytes], flats: list[Flat]) -> list[Flat]:
        new = []
        for body, flat in zip(bodies, flats, strict=True):
            known, found = self.sums.get(flat["id"]), crc32(body)
            if known is None:
                self.sums[flat["id"]] = found
                new.append(flat)
                continue
            self.repeats = True
            if known != found and self.entry(flat["id"]) != flat:
                self._damage.disagree(name, flat["id"])
        return new
