"""What each of two machines lacks, found over the line: sums of all entries, finer ones where they differ, then ids."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from core.meeting.holdings import WIDTHS, Holdings, differing
from core.meeting.line import Channel

MOST_ENTRIES = 2_000_000
"""Entries of which the other side may tell: ten times those of twenty seasons."""
_AT_ONCE = 500  # ids or sums said in one line


def compare(line: Channel, mine: Holdings) -> list[str]:
    """The beginner tells what it has, finer and finer; the ids that the other side lacks."""
    within: list[str] | None = None
    for width in WIDTHS:
        _say_all(line, "sums", [(begins, *of) for begins, of in mine.sums(width, within).items()])
        within = [one for (one,) in _hear_all(line, "differ", str)]
    _say_all(line, "ids", [(one, mine.crcs[one]) for one in mine.of(within or ())])
    return [one for (one,) in _hear_all(line, "want", str)]


def be_compared(line: Channel, mine: Holdings) -> tuple[list[str], list[str]]:
    """The answerer compares; (the ids that it lacks, those that the beginner lacks)."""
    within: list[str] | None = None
    for width in WIDTHS:
        sums = {begins: (count, of) for begins, count, of in _hear_all(line, "sums", str, int, str)}
        within = differing(mine.sums(width, within), sums)
        _say_all(line, "differ", [(one,) for one in within])
    theirs = dict(_hear_all(line, "ids", str, int))
    wanted = [one for one, crc in theirs.items() if mine.crcs.get(one) != crc]
    _say_all(line, "want", [(one,) for one in wanted])
    return wanted, [one for one in mine.of(within or ()) if theirs.get(one) != mine.crcs[one]]


def _say_all(line: Channel, what: str, rows: Iterable[tuple[Any, ...]]) -> None:
    """Say a list, some hundred rows of it in a line; an empty one ends it."""
    rest = iter(rows)
    while some := [*islice(rest, _AT_ONCE)]:
        line.say(what, of=some)
    line.say(what, of=[])


def _hear_all(line: Channel, what: str, *types: type) -> Iterator[Any]:
    """The rows of such a list, each of values of these types."""
    count = 0
    while some := line.hear(what).get("of"):
        if not isinstance(some, list) or (count := count + len(some)) > MOST_ENTRIES:
            raise line.garbled()
        line.at_work()  # on a slow line the other side has said all of it long before it is here
        for row in some:
            if not isinstance(row, list) or [type(value) for value in row] != [*types]:
                raise line.garbled()
            yield row
