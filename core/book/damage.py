"""What reading found damaged: told until it is set aside, and never edited away from a log.

Setting aside is a record beside the log, `log/NAME.set-aside`: one JSON object a line with the place, the
reason and the bytes. Only check and repair write it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Container, Iterator, Sequence
from contextlib import suppress
from itertools import groupby
from pathlib import Path
from zlib import crc32

from core.book import layout
from core.book.disk import LARGEST, add_lines, open_to_read, read_file
from core.book.fit import read_fit
from core.book.lines import ENTRY_ID, LONGEST_LINE, OPENING, body_of, parts_of, why_bad
from core.book.reader import MOST_BAD, TEXT_KEPT, BadLine, Reader
from core.book.torn import bytes_unfinished
from core.problems import Problem
from core.text import clean

REPAIR = "shedbook check --repair"
"""The command that sets damage aside and writes back what was brought back."""

DIFFERS = "another line of its id counts, and says otherwise"

_MOST_TOLD = 50


class Damage:
    """Collects what readers of the logs could not use; `ours` are the logs this machine writes itself."""

    def __init__(self, ours: Collection[str]) -> None:
        self._ours = ours
        self._bad: dict[tuple[str, int], BadLine] = {}
        self._cut_off: dict[tuple[str, int], BadLine] = {}
        self._tails: dict[str, tuple[int, int, bool]] = {}
        self._disagreeing: dict[str, str] = {}
        self._more: dict[str, int] = {}
        self._brought_back = 0
        self._no_snapshot = False

    def note(self, log: str, reader: Reader, *, anew: bool) -> None:
        """Takes over what `reader` found in `log`; `anew` where it read the log from the beginning."""
        for known, found in ((self._bad, reader.bad), (self._cut_off, reader.cut_off)):
            if anew:
                for place in [place for place in known if place[0] == log]:
                    del known[place]
            known.update({(log, offset): bad for offset, bad in found.items()})
        self._more[log] = reader.more_bad + (0 if anew else self._more.get(log, 0))
        if reader.tail:
            torn = log in self._ours and bytes_unfinished(reader.tail) > 0
            self._tails[log] = (reader.end, len(reader.tail), torn)
        else:
            self._tails.pop(log, None)

    def add(self, log: str, lines: list[BadLine]) -> None:
        """Takes over lines that can be read and do not count: they repeat or contradict another of their id."""
        for bad in lines:
            self._bad[log, bad.offset] = bad

    def disagree(self, log: str, entry: str) -> None:
        """Two lines carry one id and differ, one of them in `log`; the one read first counts."""
        self._disagreeing[entry] = log

    def _find_differing(self, folder: Path) -> None:
        if self._disagreeing:
            for log, lines in differing(folder, self._disagreeing).items():
                self.add(log, lines)

    @property
    def disagreeing(self) -> bool:
        """Whether there are lines that carry one id and differ."""
        return bool(self._disagreeing)

    def brought_back(self, count: int, *, no_snapshot: bool = False) -> None:
        """So many entries came from book.json because no log holds them; or it could not be read for them."""
        self._brought_back = count
        self._no_snapshot = no_snapshot

    def before(self, mark: dict[str, list[int]], folder: Path) -> bool:
        """Whether damage that is not set aside stands before `mark`."""
        return any(bad.offset < mark.get(log, (0,))[0] for log, bad in _unsettled(self._bad, folder))

    def set_aside(self, folder: Path, at: str) -> int:
        """Records every line that is damaged or was cut off and is not yet; returns how many. Raises OSError.

        So is each line that says otherwise than the one of its id that counts.
        """
        records: dict[str, list[bytes]] = {}
        self._find_differing(folder)
        unsettled = [*_unsettled(self._bad | self._cut_off, folder)]
        numbers = _line_numbers(folder / layout.LOGS, unsettled)
        for log, bad in unsettled:
            record = {
                "found": at,
                "line": numbers[log, bad.offset],
                "offset": bad.offset,
                "length": bad.length,
                "crc": f"{crc32(bad.text):08x}",
                "reason": bad.reason,
                "text": clean(bad.text.decode("utf-8", "backslashreplace")),
                "hex": bad.text.hex(),
            }
            records.setdefault(log, []).append(body_of(record) + b"\n")
        for log, lines in records.items():
            add_lines(set_aside_file(folder, log), b"".join(lines))
        return sum(map(len, records.values()))

    def problems(self, folder: Path) -> list[Problem]:
        """One Problem for each damaged place that still stands in the logs, in file order."""
        logs = folder / layout.LOGS
        self._find_differing(folder)
        every = [*_unsettled(self._bad, folder)]
        unsettled = [(log, bad) for log, bad in every if bad.reason != DIFFERS]
        tails = self._tails_now(logs, torn=False)
        told = unsettled[:_MOST_TOLD]
        numbers = _line_numbers(logs, sorted([*told, *tails], key=lambda item: (item[0], item[1].offset)))
        found: list[Problem] = []
        for log, bad in told:
            where = f"log/{clean(log)} line {numbers[log, bad.offset]}"
            found.append(_damaged(f"{where} is damaged: {bad.reason}. It is left out; run: {REPAIR}"))
        more = len(unsettled) - len(told) + sum(self._more.values())
        if more:
            found.append(_damaged(f"{more} more lines are damaged; compare the logs with a backup."))
        for log, tail in tails:
            where = f"log/{clean(log)} line {numbers[log, tail.offset]}"
            if log in self._ours:
                found.append(
                    _damaged(f"{where} was cut off while it was written; enter it again if it is missing.")
                )
            else:
                found.append(
                    _damaged(f"{where} was cut off while it was copied here; copy or merge it again.")
                )
        if self._brought_back:
            count = "1 entry" if self._brought_back == 1 else f"{self._brought_back} entries"
            found.append(_damaged(f"The logs have lost {count}, brought back from book.json; run: {REPAIR}"))
        if self._no_snapshot:
            found.append(
                _damaged("The logs have lost lines and book.json is damaged as well; restore from a backup.")
            )
        return found + [_differ(log, bad) for log, bad in every if bad.reason == DIFFERS]

    def remarks(self, folder: Path) -> list[str]:
        """A sentence for each writing that was cut off before anybody was told that it is written: no damage."""
        logs = folder / layout.LOGS
        found = [*_unsettled(self._cut_off, folder), *self._tails_now(logs, torn=True)]
        told = sorted(found, key=lambda item: (item[0], item[1].offset))[:_MOST_TOLD]
        numbers = _line_numbers(logs, told)
        said = [
            f"log/{clean(log)} line {numbers[log, cut.offset]} was cut off before it was written: nothing of it "
            "was acknowledged, and nothing of it counts."
            for log, cut in told
        ]
        more = len(found) - len(told)
        return [*said, f"{more} more were cut off so."] if more else said

    def _tails_now(self, logs: Path, *, torn: bool) -> list[tuple[str, BadLine]]:
        """Where a log still ends unfinished: by a writer of ours that was stopped (`torn`), or otherwise."""
        return [
            (log, BadLine(offset, length, b"", ""))
            for log, (offset, length, was_torn) in sorted(self._tails.items())
            if was_torn == torn and _size(logs / log) == offset + length
        ]


def _unsettled(found: dict[tuple[str, int], BadLine], folder: Path) -> Iterator[tuple[str, BadLine]]:
    """The lines nobody has set aside, in file order."""
    known: dict[str, set[tuple[int, str]]] = {}
    for (log, offset), bad in sorted(found.items(), key=lambda item: item[0]):
        if log not in known:
            known[log] = _recorded(set_aside_file(folder, log))
        if (offset, f"{crc32(bad.text):08x}") not in known[log]:
            yield log, bad


def set_aside_file(folder: Path, log: str) -> Path:
    """Where the damaged lines of a log are recorded."""
    return folder / layout.LOGS / (log.removesuffix(layout.LOG_END) + layout.SET_ASIDE_END)


def _recorded(path: Path) -> set[tuple[int, str]]:
    try:
        lines = read_file(path, LARGEST).split(b"\n")
    except OSError:
        return set()
    found = set()
    for line in lines:
        try:
            record = json.loads(line)
            found.add((int(record["offset"]), str(record["crc"])))
        except (ValueError, KeyError, TypeError, RecursionError):
            continue  # a report that is damaged itself: its line is told again
    return found


def _damaged(sentence: str) -> Problem:
    return Problem(sentence, code="damaged")


def _differ(log: str, bad: BadLine) -> Problem:
    entry = clean(bad.text[ENTRY_ID].decode("ascii", "replace"))
    text = (
        f"Two lines of id {entry} differ, one in {clean(log)}; the first counts. Correct it, or take it back, if it is "
        f"the wrong one; then set the other aside: {REPAIR}"
    )
    return Problem(text, code="settle", entry=entry)


def _size(path: Path) -> int:
    try:
        return os.stat(path).st_size
    except OSError:
        return -1


def _line_numbers(logs: Path, places: list[tuple[str, BadLine]]) -> dict[tuple[str, int], int]:
    """Which line of its log each place is in, counted from 1, 0 where the log is gone; in file order."""
    numbers: dict[tuple[str, int], int] = {}
    for log, group in groupby(places, key=lambda item: item[0]):
        offsets = [bad.offset for _, bad in group]
        try:
            with open_to_read(logs / log) as fd:
                numbers |= {
                    (log, offset): n for offset, n in zip(offsets, line_numbers(fd, offsets), strict=True)
                }
        except OSError:
            numbers |= {(log, offset): 0 for offset in offsets}
    return numbers


def line_numbers(fd: int, offsets: Sequence[int]) -> list[int]:
    """The line, counted from 1, in which each of the bytes `offsets` of an open file stands; they ascend."""
    numbers = []
    line, place = 1, 0
    for offset in offsets:
        while place < offset and (block := os.pread(fd, min(1 << 20, offset - place), place)):
            line += block.count(b"\n")
            place += len(block)
        numbers.append(line)
    return numbers


def repeated(fd: int) -> list[BadLine]:
    """Good lines of an open log whose entry stands in it before: they count once and change nothing."""
    found: list[BadLine] = []
    seen: dict[bytes, int] = {}  # where the entry of each id stands
    place = 0
    with os.fdopen(os.dup(fd), "rb") as log:
        log.seek(0)
        for read in iter(lambda: log.readline(LONGEST_LINE + 1), b""):
            line = read.rstrip(b"\n")
            entry = line[ENTRY_ID]
            before = seen.setdefault(entry, place)
            if before != place and len(found) < MOST_BAD and not why_bad(line):
                if why_bad(os.pread(fd, LONGEST_LINE, before).split(b"\n")[0]):
                    seen[entry] = place  # what was cut off or damaged there is no entry
                else:
                    found.append(BadLine(place, len(line), line[:TEXT_KEPT], "it repeats an earlier line"))
            place += len(read)
    return found


def differing(folder: Path, ids: Container[str]) -> dict[str, list[BadLine]]:
    """By log, the good lines that carry one of these ids and say otherwise than the first of it, which counts."""
    counts: dict[str, object] = {}
    found: dict[str, list[BadLine]] = {}
    for log in layout.log_sizes(folder / layout.LOGS):
        place = 0
        for read in _lines_of(folder / layout.LOGS / log):
            line = read.rstrip(b"\n")
            ran_together = line.find(OPENING, len(OPENING) + 9) >= 0
            for offset, part, _ in parts_of(place, line) if ran_together else [(place, line, "")]:
                entry = part[ENTRY_ID].decode("ascii", "replace")
                if entry not in ids or why_bad(part):
                    continue
                says = read_fit(part[9:])
                if counts.setdefault(entry, says) != says:
                    bad = BadLine(offset, len(part), part[:TEXT_KEPT], DIFFERS)
                    found.setdefault(log, []).append(bad)
            place += len(read)
    return found


def _lines_of(path: Path) -> Iterator[bytes]:
    """The lines of a log, each with its newline; none where it cannot be read, as whoever read it before has told."""
    with suppress(OSError), open_to_read(path) as fd, open(fd, "rb", closefd=False) as log:
        yield from iter(lambda: log.readline(LONGEST_LINE + 1), b"")
