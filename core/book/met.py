"""When this machine met another last, and how it was reached: kept on this machine alone, in `DEVICE.met.json`.

It is no entry: another machine is reached from there by another name, and what was met when is true of one machine.
A farm folder that is copied to another machine is not taken for having met anybody there.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from core.book import layout
from core.book.disk import open_to_read, read_file, replace_file, trouble

_LONGEST = 1 << 16
_MOST = 20
"""Machines that are remembered."""
_MOST_READ = 1 << 24


class Met(NamedTuple):
    """A meeting with another machine, and how to meet it again."""

    machine: str
    """Its name as its logs have it."""
    address: str
    """As it was typed, such as shed:farm; "" where the other machine began."""
    via: str
    """What was run instead of ssh, "" where that was ssh."""
    there: str
    """What shedbook is called there, "" where that is just its name."""
    on: str
    """The day, as the farm has it: "2026-06-23"."""
    came: int
    went: int
    """How many entries came here, and went there."""
    own: int = 0
    """Bytes that this machine's own log had then."""

    @property
    def called(self) -> str:
        """The machine's name for people: the host of its address, else its own name without the six random letters."""
        host = self.address.rpartition("@")[2].partition(":")[0]
        name, _, mark = self.machine.rpartition("-")
        return host or (name if name and len(mark) == 6 else self.machine)


class Meetings:
    """The other machines that this one has met with the book in `folder`, by what its file says of them."""

    def __init__(self, folder: Path, device: str) -> None:
        self._path = folder / f"{device}.met.json"
        self._log = folder / layout.LOGS / f"{device}{layout.LOG_END}"

    def all(self) -> list[Met]:
        """Each machine that was met once, the one met last at the end; none where the file is no such thing."""
        try:
            told = json.loads(read_file(self._path, _LONGEST))
            found = [Met(**one) for one in told["met"]]
        except (OSError, ValueError, TypeError, KeyError, RecursionError):
            return []
        return [met for met in found if [type(value) for value in met] == _TYPES]

    def last_by_address(self) -> Met | None:
        """The one that was met last of those that can be met from here."""
        return next((met for met in reversed(self.all()) if met.address), None)

    def note(self, met: Met) -> None:
        """Remember a meeting, instead of the one before with that machine. Raises ShedbookError."""
        before = [one for one in self.all() if one.machine != met.machine]
        known = next((one for one in self.all() if one.machine == met.machine), met)
        if not met.address:  # it came to us: how to come to it stays known
            met = met._replace(address=known.address, via=known.via, there=known.there)
        met = met._replace(own=self._own_size())
        told = {"met": [one._asdict() for one in (*before, met)[-_MOST:]]}
        try:
            replace_file(self._path, [json.dumps(told).encode()])
        except OSError as error:
            raise trouble(error, "write", self._path) from error

    def written_since(self, met: Met) -> int:
        """How many entries this machine has written since then."""
        try:
            with open_to_read(self._log) as fd:
                return os.pread(fd, _MOST_READ, met.own).count(b"\n")
        except OSError:
            return 0

    def _own_size(self) -> int:
        try:
            return os.stat(self._log).st_size
        except OSError:
            return 0


_TYPES: Sequence[type] = [str, str, str, str, str, int, int, int]
