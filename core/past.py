"""What was finished when a base of the cached fold was made: rows of JSON text, in parts, read when somebody asks.

    {"trays":1203,"plantings":0,"lots":88012,"pieces":0}
    "L001":[0,["L001","0197...",...]]
    "L002":[1,["L002","0197...",...]]

A part's first line says how many bytes each register takes; then comes a line for each item: its code, the number it
was made as, and its row. What a later part says of a code replaces what an earlier one said.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeAlias

from core.book.disk import read_file

LARGEST_BYTES = 256 * 1024 * 1024
"""Bytes a file of the cached fold may have: twenty seasons make a few."""

Row: TypeAlias = tuple[int, list[Any]]
"""The number an item was made as in its register, and its fields in order."""

REGISTERS = ("trays", "plantings", "lots", "pieces", "orders", "packets")
_LOOKED_UP_SINGLY = 6
"""Look-ups by searching the text; beyond that an index is made, which costs ten of them."""
_CODE = rb'\n("(?:[^"\\\n]|\\.)*"):'

encode = json.JSONEncoder(ensure_ascii=False, check_circular=False, separators=(",", ":")).encode


class Damaged(ValueError):  # noqa: N818  # what happened to a file, not a fault of ours
    """A file of the cached fold is gone or no longer what was written."""


class Text:
    """A text of the cached fold: at hand, or in a checked file that is read when it is needed."""

    def __init__(self, body: bytes | None = None, path: Path | None = None) -> None:
        self.path = path
        self._body = body

    @property
    def name(self) -> str:
        """What tells it from any other text, in a file or not; raises Damaged."""
        if self.path is not None:
            return self.path.stem.partition("-")[2]
        body = self.read()
        return f"{zlib.crc32(body):08x}-{len(body):x}"

    def read(self) -> bytes:
        """The text; raises Damaged."""
        if self._body is None:
            try:
                self._body = read_checked(self.path) if self.path is not None else b""
            except OSError as error:
                raise Damaged from error
        return self._body


def read_checked(path: Path) -> bytes:
    """What was written to a file of the cached fold; raises Damaged where it is something else now, and OSError."""
    head, _, body = read_file(path, LARGEST_BYTES).partition(b"\n")
    if head != b"%08x" % zlib.crc32(body):
        raise Damaged
    return body


class Part:
    """What was finished between one base and the next."""

    def __init__(self, text: Text) -> None:
        self.text = text
        self._sections: dict[str, bytes] = {}
        self._places: dict[str, dict[bytes, int]] = {}
        self._looked_up = 0

    def get(self, register: str, code: str) -> Row | None:
        """The row of one item."""
        section, name = self._section(register), encode(code).encode()
        self._looked_up += 1
        if self._looked_up <= _LOOKED_UP_SINGLY:
            begin = section.rfind(b"\n" + name + b":")
        else:
            begin = self._index(register).get(name, -1)
        if begin < 0:
            return None
        end = section.find(b"\n", begin + 1)
        number, row = json.loads(section[begin + len(name) + 2 : end if end >= 0 else None])
        return number, row

    def rows(self, register: str) -> dict[str, Row]:
        """Every item of a register, by code."""
        lines = self._section(register).split(b"\n")[1:]
        found = json.loads(b"{" + b",".join(lines) + b"}")
        return {code: (number, row) for code, (number, row) in found.items()}

    def mentioning(self, register: str, words: Sequence[bytes]) -> dict[str, Row]:
        """The items of a register in whose row one of the words stands, by code."""
        section = self._section(register)
        lines = {span for word in words for span in _lines_with(section, word)}
        found = json.loads(b"{" + b",".join([section[begin:end] for begin, end in sorted(lines)]) + b"}")
        return {code: (number, row) for code, (number, row) in found.items()}

    def holds(self, register: str, codes: Iterable[str]) -> list[str]:
        """Which of these codes this file has items of."""
        index = self._index(register)
        return [code for code in codes if encode(code).encode() in index]

    def sections(self) -> dict[str, bytes]:
        """The lines of every register, each with a newline before it."""
        return {name: self._section(name) for name in REGISTERS}

    def _section(self, register: str) -> bytes:
        if not self._sections:
            text = self.text.read()
            head = text.partition(b"\n")[0]
            begin = len(head)
            try:
                for name, size in json.loads(head).items():
                    self._sections[name] = text[begin : begin + size]
                    begin += size
            except (ValueError, AttributeError, TypeError) as error:
                raise Damaged from error
        return self._sections[register]

    def _index(self, register: str) -> Mapping[bytes, int]:
        if register not in self._places:
            found = re.finditer(_CODE, self._section(register))
            self._places[register] = {match[1]: match.start() for match in found}
        return self._places[register]


def _lines_with(section: bytes, word: bytes) -> Iterator[tuple[int, int]]:
    """Where each line in which the word stands begins and ends."""
    at = section.find(word)
    while at >= 0:
        begin, end = section.rfind(b"\n", 0, at) + 1, section.find(b"\n", at)
        end = end if end >= 0 else len(section)
        yield begin, end
        at = section.find(word, end)


def part_of(registers: Mapping[str, Mapping[str, Row]]) -> Part:
    """A part held in memory, of what is finished in each register."""
    return _part_of_sections(
        {
            name: b"".join([f"\n{encode(code)}:{encode(row)}".encode() for code, row in rows.items()])
            for name, rows in registers.items()
        }
    )


def joined(earlier: Part, later: Part) -> Part:
    """Two parts as one."""
    before, after = earlier.sections(), later.sections()
    return _part_of_sections({name: before[name] + after[name] for name in REGISTERS})


def _part_of_sections(sections: Mapping[str, bytes]) -> Part:
    head = encode({name: len(sections[name]) for name in REGISTERS}).encode()
    return Part(Text(head + b"".join([sections[name] for name in REGISTERS])))


class Past:
    """All that was finished by a base, in its parts, oldest first.

    Where a part cannot be read, `anew` makes one of everything from the entries.
    """

    def __init__(self, parts: Sequence[Part], anew: Callable[[], Part]) -> None:
        self.parts = tuple(parts)
        self._anew = anew

    def get(self, register: str, code: str) -> Row | None:
        """The row of one item."""
        try:
            for part in reversed(self.parts):
                if (row := part.get(register, code)) is not None:
                    return row
            return None
        except Damaged:
            self._mend()
            return self.parts[0].get(register, code)

    def rows(self, register: str) -> dict[str, Row]:
        """Every item of a register, by code."""
        try:
            found: dict[str, Row] = {}
            for part in self.parts:
                found.update(part.rows(register))
            return found
        except Damaged:
            self._mend()
            return self.parts[0].rows(register)

    def mentioning(self, register: str, words: Sequence[bytes]) -> dict[str, Row]:
        """The items of a register in whose row, as it is now, one of the words stands, by code."""
        found: dict[str, Row] = {}
        for rows in self.mentioned(register, words):
            found.update(rows)
        return found

    def mentioned(self, register: str, words: Sequence[bytes]) -> Iterator[dict[str, Row]]:
        """The same, those of one part after the other."""
        try:
            for n, part in enumerate(self.parts):
                found = part.mentioning(register, words)
                for later in self.parts[n + 1 :]:
                    for code in later.holds(register, [*found]) if found else ():
                        del found[code]
                yield found
        except Damaged:
            self._mend()
            yield self.parts[0].mentioning(register, words)

    def _mend(self) -> None:
        self.parts = (self._anew(),)
