"""What merges set aside: recorded beside the logs, told by check until it is filed.

`log/DEVICE.incoming.set-aside` has one JSON object a line: when, from which file and line, why, and the bytes
(the first 2,000 of them). A line {"filed": instant} says that she has seen to all that stands before it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zlib import crc32

from core.book import layout
from core.book.damage import REPAIR
from core.book.disk import add_lines, open_to_read, trouble
from core.book.lines import body_of
from core.problems import Problem
from core.text import clean

END = f".incoming{layout.SET_ASIDE_END}"
_MOST_TOLD = 50
_LONGEST_RECORD = 64 * 1024


@dataclass(frozen=True, slots=True)
class Aside:
    """A line of the other side that stays out: where it stands (lines counted from 1) and why.

    `lines` of them in a row are meant where it is more than one. `settle` is the id that both sides use for
    different entries, "" else.
    """

    source: str
    line: int
    reason: str
    text: bytes
    settle: str = ""
    lines: int = 1

    def sentence(self) -> str:
        """What is said of it when it was just merged."""
        if self.lines > 1:
            return f"{self.source} line {self.line} and {self.lines - 1} later lines: {self.reason}."
        return f"{self.source} line {self.line}: {self.reason}."


def record(folder: Path, device: str, asides: Sequence[Aside], at: str) -> None:
    """Records every one of `asides` that is not recorded yet; `at` is the instant. Raises ShedbookError."""
    path = folder / layout.LOGS / f"{device}{END}"
    try:
        known = {_key(found) for found in _records(path)}
        lines = []
        for aside in asides:
            made = {
                "found": at,
                "from": aside.source,
                "line": aside.line,
                "lines": aside.lines,
                "crc": f"{crc32(aside.text):08x}",
                "reason": aside.reason,
                "entry": aside.settle,
                "text": clean(aside.text.decode("utf-8", "backslashreplace")),
            }
            if _key(made) not in known:
                lines.append(body_of(made) + b"\n")
        if lines:
            add_lines(path, b"".join(lines))
    except OSError as error:
        raise trouble(error, "write", path) from error


def problems(folder: Path) -> list[Problem]:
    """One Problem for each line set aside by a merge that is not filed yet, the first of them singly."""
    told: list[Problem] = []
    more = 0
    for path in _reports(folder):
        try:
            first, lines = _waiting(path)
        except OSError as error:
            told.append(trouble(error, "read", path).problem)
            continue
        told += map(_told, first)
        more += lines - sum(map(_lines_in, first))
    if more:
        text = f"{more} more lines were set aside by merges; log/*{END} has them all. File them: {REPAIR}"
        told.append(Problem(text, code="damaged"))
    return told


def file_away(folder: Path, at: str) -> None:
    """Marks all that is recorded as seen to; `at` is the instant. Raises ShedbookError."""
    for path in _reports(folder):
        try:
            if _waiting(path)[1]:
                add_lines(path, body_of({"filed": at}) + b"\n")
        except OSError as error:
            raise trouble(error, "write", path) from error


def _reports(folder: Path) -> list[Path]:
    try:
        names = os.listdir(folder / layout.LOGS)
    except OSError:
        return []
    return [folder / layout.LOGS / name for name in sorted(names) if name.endswith(END)]


def _waiting(path: Path) -> tuple[list[dict[str, Any]], int]:
    """(the first records after the last filing, the lines that all of them speak of). Raises OSError."""
    first: list[dict[str, Any]] = []
    lines = 0
    for found in _records(path):
        if "filed" in found:
            first, lines = [], 0
            continue
        lines += _lines_in(found)
        if len(first) < _MOST_TOLD:
            first.append(found)
    return first, lines


def _records(path: Path) -> Iterator[dict[str, Any]]:
    """The objects of a report; what is none is passed over."""
    try:
        with open_to_read(path) as fd, open(fd, "rb", closefd=False) as file:
            while line := file.readline(_LONGEST_RECORD):
                try:
                    found = json.loads(line)
                except (ValueError, RecursionError):
                    continue
                if isinstance(found, dict):
                    yield found
    except FileNotFoundError:
        return


def _key(found: dict[str, Any]) -> tuple[object, ...]:
    return tuple(str(found.get(name)) for name in ("from", "line", "crc", "reason"))


def _lines_in(found: dict[str, Any]) -> int:
    lines = found.get("lines")
    return lines if type(lines) is int and lines > 0 else 1


def _told(found: dict[str, Any]) -> Problem:
    where, on, reason = (clean(str(found.get(name, "")))[:200] for name in ("from", "found", "reason"))
    line, lines = clean(str(found.get("line", "?")))[:20], _lines_in(found)
    which = f"line {line} was" if lines == 1 else f"line {line} and {lines - 1} later lines were"
    entry = clean(str(found.get("entry") or ""))[:36]
    text = f"{where} {which} set aside by the merge of {on[:10]}: {reason}."
    text += f" Mend it there and merge again, or file it: {REPAIR}"
    return Problem(text, code="settle" if entry else "damaged", entry=entry or None)
