"""Stretches of the logs, read without the rest: between two marks, from a day on, or around single ids."""

from __future__ import annotations

import sys
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from heapq import merge
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from core.book.disk import open_to_read, trouble
from core.book.journal import print_of
from core.book.layout import LOGS, NOWHERE, Mark
from core.book.lines import Flat, latest_day
from core.book.reader import Reader
from core.book.seek import entries_ending, entries_of_kind

if TYPE_CHECKING:
    from core.book.sought import Clue

Days: TypeAlias = list[tuple[int, str]]
"""Of a log: where each block of its lines begins, and the latest day in it."""

_SOUGHT_SINGLY = 20  # entries; for more of them it is faster to read the logs


def between(
    folder: Path, names: Iterable[str], start: Mark, stop: Mark
) -> tuple[list[Flat], dict[str, Days]]:
    """(the entries that stand between the marks `start` and `stop` in these logs, each once and in no order; by log
    the latest day of each block of lines that was read for it)."""
    once: dict[str, Flat] = {}
    days: dict[str, Days] = {}
    for name in names:
        if name in stop:
            days[name] = []
            for begin, flats in _blocks(folder, name, start.get(name, NOWHERE)[0], stop[name][0]):
                days[name].append((begin, latest_day(flats)))
                for flat in flats:
                    once.setdefault(flat["id"], flat)
    return [*once.values()], days


def day_begins(folder: Path, names: Iterable[str], day: str, start: Mark, known: Mapping[str, Days]) -> Mark:
    """For each of these logs the byte to read from to get every entry dated `day` ("YYYY-MM-DD") or later.

    All entries before it are older; it is where a block of lines begins, so that older ones may stand after it too.
    `start` is such a place for an earlier day. A log of which the days of the blocks from there on are `known` is not
    read for it.
    """
    begins: Mark = {}
    for name in names:
        place = start.get(name, NOWHERE)[0]
        days = known.get(name, [])
        if days and days[0][0] <= place:
            reached = next((begin for begin, latest in days if latest >= day), days[-1][0])
        else:
            reached = _day_in(_blocks(folder, name, place, sys.maxsize), day, place)
        place = max(place, reached)
        with open_log(folder, name) as fd:
            begins[name] = [place, print_of(fd, place)]
    return begins


def _day_in(blocks: Iterable[tuple[int, list[Flat]]], day: str, place: int) -> int:
    for begin, flats in blocks:
        place = begin
        if latest_day(flats) >= day:
            break
    return place


def ending(folder: Path, names: Iterable[str], end: str) -> list[Flat]:
    """The entries of these logs whose ids end so, each once."""
    return _each_once(folder, names, lambda fd: entries_ending(fd, sys.maxsize, end))


def of_kind(folder: Path, names: Iterable[str], kind: str) -> list[Flat]:
    """The entries of that kind in these logs, each once."""
    return _each_once(folder, names, lambda fd: entries_of_kind(fd, sys.maxsize, kind))


def sought(
    folder: Path, names: Iterable[str], clues: Sequence[Clue], ids: Collection[bytes]
) -> Iterator[list[Flat]]:
    """The entries of these logs that may have all these clues, or have one of these ids, each once: some at a time,
    those written last before the others."""
    from core.book.sought import entries_with  # only where something is looked for in the whole record

    def of_log(name: str) -> Iterator[tuple[bytes, list[Flat]]]:
        with open_log(folder, name) as fd:
            yield from entries_with(fd, clues, ids)

    known: set[str] = set()
    for _, flats in merge(*map(of_log, names), key=itemgetter(0), reverse=True):
        once: dict[str, Flat] = {}
        for flat in flats:
            if flat["id"] not in known:
                once.setdefault(flat["id"], flat)
        known.update(once)
        yield [*once.values()]


def _each_once(folder: Path, names: Iterable[str], found_in: Callable[[int], Iterator[Flat]]) -> list[Flat]:
    once: dict[str, Flat] = {}
    for name in names:
        with open_log(folder, name) as fd:
            for flat in found_in(fd):
                once.setdefault(flat["id"], flat)
    return [*once.values()]


def known_before(folder: Path, mark: Mark, news: Mapping[str, Flat]) -> Iterator[tuple[str, Flat]]:
    """(log, entry as it stands there) for those entries that stand before `mark` as well; `news` has them by id."""
    for name, (stop, _) in mark.items():
        if len(news) > _SOUGHT_SINGLY:
            for _, flats in _blocks(folder, name, 0, stop):
                yield from ((name, flat) for flat in flats if flat["id"] in news)
        else:
            with open_log(folder, name) as fd:
                for known in news:
                    yield from ((name, flat) for flat in entries_ending(fd, stop, known))


def _blocks(folder: Path, name: str, start: int, stop: int) -> Iterator[tuple[int, list[Flat]]]:
    """(the byte where its first line begins, its entries) for each block of a log."""
    with open_log(folder, name) as fd:
        reader = Reader(fd, start, stop)
        begin = start
        for _, flats in reader.blocks():
            yield begin, flats
            begin = reader.end


@contextmanager
def open_log(folder: Path, name: str) -> Iterator[int]:
    """A log, open to be read; raises ShedbookError where the disk refuses."""
    path = folder / LOGS / name
    try:
        with open_to_read(path) as fd:
            yield fd
    except OSError as error:
        raise trouble(error, "read", path) from error
