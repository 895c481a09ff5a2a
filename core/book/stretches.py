"""Stretches of the logs, read without the rest: between two marks, from a day on, or around single ids."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from operator import itemgetter
from pathlib import Path
from typing import TypeAlias

from core.book import layout
from core.book.disk import open_to_read, trouble
from core.book.journal import print_of
from core.book.lines import Flat, Reader
from core.book.seek import entries_ending

Mark: TypeAlias = dict[str, list[int]]
"""How far the logs were read: {log file name: [byte offset, checksum of the bytes before it]}; plain JSON."""

Days: TypeAlias = list[tuple[int, str]]
"""Of a log: where each block of its lines begins, and the latest day in it."""

NOWHERE = [0, 0]
_SOUGHT_SINGLY = 20  # entries; for more of them it is faster to read the logs
_ON_OF = itemgetter("on")


def latest_day(flats: list[Flat]) -> str:
    """The latest day of entries, "" where there are none."""
    return max(map(_ON_OF, flats), default="")


def between(folder: Path, names: Iterable[str], start: Mark, stop: Mark) -> list[Flat]:
    """The entries that stand from `start` to `stop` in these logs, each once, in no order."""
    once: dict[str, Flat] = {}
    for name in names:
        if name in stop:
            for _, flats in _blocks(folder, name, start.get(name, NOWHERE)[0], stop[name][0]):
                for flat in flats:
                    once.setdefault(flat["id"], flat)
    return [*once.values()]


def day_begins(folder: Path, names: Iterable[str], day: str, start: Mark, known: Mapping[str, Days]) -> Mark:
    """From where on these logs hold the entries dated `day` or later: nothing so late stands before it.

    It begins with a block of lines, so that older entries may stand after it too. `start` is such a place of an
    earlier day; logs whose blocks are not `known` are read from there on.
    """
    begins: Mark = {}
    for name in names:
        place = start.get(name, NOWHERE)[0]
        days = known.get(name) or [
            (begin, latest_day(flats)) for begin, flats in _blocks(folder, name, place, sys.maxsize)
        ]
        reached = next((begin for begin, latest in days if latest >= day), days[-1][0] if days else 0)
        place = max(place, reached)
        with _log(folder, name) as fd:
            begins[name] = [place, print_of(fd, place)]
    return begins


def ending(folder: Path, names: Iterable[str], end: str) -> list[Flat]:
    """The entries of these logs whose ids end so, each once."""
    once: dict[str, Flat] = {}
    for name in names:
        with _log(folder, name) as fd:
            for flat in entries_ending(fd, sys.maxsize, end):
                once.setdefault(flat["id"], flat)
    return [*once.values()]


def known_before(folder: Path, mark: Mark, news: Mapping[str, Flat]) -> Iterator[tuple[str, Flat]]:
    """(log, entry as it stands there) for those of `news`, by id, that stand before `mark` as well."""
    for name, (stop, _) in mark.items():
        if len(news) > _SOUGHT_SINGLY:
            for _, flats in _blocks(folder, name, 0, stop):
                yield from ((name, flat) for flat in flats if flat["id"] in news)
        else:
            with _log(folder, name) as fd:
                for known in news:
                    yield from ((name, flat) for flat in entries_ending(fd, stop, known))


def _blocks(folder: Path, name: str, start: int, stop: int) -> Iterator[tuple[int, list[Flat]]]:
    """(the byte where its first line begins, its entries) for each block of a log."""
    with _log(folder, name) as fd:
        reader = Reader(fd, start, stop)
        begin = start
        for _, flats in reader.blocks():
            yield begin, flats
            begin = reader.end


@contextmanager
def _log(folder: Path, name: str) -> Iterator[int]:
    """A log, open to be read; raises ShedbookError where the disk refuses."""
    path = folder / layout.LOGS / name
    try:
        with open_to_read(path) as fd:
            yield fd
    except OSError as error:
        raise trouble(error, "read", path) from error
