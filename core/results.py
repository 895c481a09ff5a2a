"""Long reckonings kept from one start to the next, each beside all the figures that it hangs on.

A drying curve of many shapes takes fifty times as long to fit as to read, and hangs on nothing but the weighings of one
bunch. `fold/NAME.kept` holds, as the rest of that folder does, what may be deleted at any time: another program, other
code, or a damaged file is simply not used.
"""

from __future__ import annotations

import json
import os
import sys
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, Generic, Protocol, TypeVar

from core import __version__
from core.book.disk import make_folder, read_file, replace_file
from core.book.layout import FOLDS
from core.codec import Turns

T = TypeVar("T")

MOST = 256
"""Results kept of one sort, those wanted last."""
LARGEST_BYTES = 4_000_000


class Keeps(Protocol):
    """What keeps results of some sort."""

    def forget(self) -> None:
        """As at the start."""

    def save(self) -> None:
        """Keep what is new. Raises OSError."""


_all: list[Keeps] = []
_folder: Path | None = None


def known(keeps: Keeps) -> None:
    """From now on it is told which farm is open, and when to save."""
    _all.append(keeps)


def keep_in(folder: Path) -> None:
    """From now on what is reckoned is kept in the farm in `folder`."""
    global _folder  # one program shows one farm
    _folder = folder
    for keeps in _all:
        keeps.forget()


def save() -> None:
    """Keep what was reckoned since; losing it loses nothing but time."""
    for keeps in _all:
        with suppress(OSError):
            keeps.save()


class KeptFile:
    """`fold/NAME.kept` of the farm that is open: a JSON object, used while nothing in the folder `code` has changed."""

    def __init__(self, name: str, code: Path) -> None:
        self._name, self._code = name, code

    def read(self) -> dict[str, Any]:
        """What is kept; nothing where that is damaged, or was made by other code."""
        with suppress(OSError, ValueError, KeyError, TypeError):
            head, _, body = read_file(self._path(), LARGEST_BYTES).partition(b"\n")
            if head == self._stamp(body):
                return dict(json.loads(body))
        return {}

    def write(self, rows: dict[str, Any]) -> None:
        """Keep these in place of what was there. Raises OSError."""
        body = json.dumps(rows, separators=(",", ":")).encode()
        make_folder(self._path().parent)
        replace_file(self._path(), [self._stamp(body), b"\n", body], lasting=False)

    def _path(self) -> Path:
        if _folder is None:
            raise FileNotFoundError
        return _folder / FOLDS / f"{self._name}.kept"

    def _stamp(self, body: bytes) -> bytes:
        made_by = f"{__version__} {sys.hexversion} {_modules(self._code)}".encode()
        return b"%08x %08x" % (zlib.crc32(made_by), zlib.crc32(body))


@cache
def _modules(code: Path) -> str:
    """The modules and tables in a folder as they were when this program began."""
    return str(sorted(_files(code)))


def _files(folder: Path | str) -> Iterator[tuple[str, int, int]]:
    """The modules and tables in a folder, and when each was written."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name != "__pycache__":
                    yield from _files(entry.path)
            else:
                stat = entry.stat()
                yield entry.path, stat.st_size, stat.st_mtime_ns


class Results(Generic[T]):
    """The results of one sort of reckoning, by the text of what each was reckoned from.

    `turns` tells how one is written as JSON and read again, asked for when there is one; `code` is the folder of the
    modules that reckon it: should one of them change, nothing from before is used.
    """

    def __init__(self, name: str, turns: Callable[[], Turns], code: Path) -> None:
        self._file, self._turns = KeptFile(name, code), turns
        self.forget()
        known(self)

    def forget(self) -> None:
        """As at the start."""
        self._plain: dict[str, Any] | None = None
        self._found: dict[str, T] = {}
        self._is_new = False

    def of(self, figures: object, reckon: Callable[[], T]) -> T:
        """What `reckon` makes of the `figures`, whose `repr` has to hold all of them."""
        key = repr(figures)
        if key in self._found:
            found = self._found.pop(key)
        else:
            plain = self._kept().get(key)
            if plain is None:
                found, self._is_new = reckon(), True
            else:
                found = self._turns().read(plain)
        self._found[key] = found  # the last wanted stands last
        if len(self._found) > MOST:
            del self._found[next(iter(self._found))]
        return found

    def _kept(self) -> dict[str, Any]:
        if self._plain is None:
            self._plain = self._file.read()
        return self._plain

    def save(self) -> None:
        """Keep what is new, and what else was wanted last. Raises OSError."""
        if not self._is_new or _folder is None:
            return
        write = self._turns().write
        rows = {**self._kept(), **{key: write(found) for key, found in self._found.items()}}
        kept = {key: rows[key] for key in [*(rows.keys() - self._found.keys()), *self._found][-MOST:]}
        self._file.write(kept)
        self._is_new = False
