"""How long the search takes to begin, and at each letter, and in all that was written: in a small book and in one of
200,000 entries.

Floor, measured in the same run: the same words looked for in the bytes of the logs, one pass over all of them.
Run: python -m tests.bench find
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from core.finding.finder import finder
from core.mending.rows import book_rows, rows_in_steps
from core.session import Session
from tests.bench.seasons import write_seasons

SIZES = (100, 200_000)
WORDS = ("zinnia b4", "statice dry", "florist", "slugs")
RECORD = ("florist", "slugs", "L041", "b4", "zinnia")
"""Words looked for in all that was written, some in none of it and some in very much."""
NOTES = 200
ROUNDS = 5


def main() -> None:
    """Print medians in milliseconds and ratios."""
    with tempfile.TemporaryDirectory() as temporary:
        for size in SIZES:
            folder = Path(temporary) / str(size)
            write_seasons(folder, size)
            session = Session.open(folder, by="ml", on=None)
            for n in range(NOTES):
                session.write(f"note slugs along the north edge, row {n}")
            _measure(session, size)
            session.close()


def _measure(session: Session, size: int) -> None:
    logs = b"".join(log.read_bytes() for log in (session.folder / "log").glob("*.log"))
    floor = _median(lambda: logs.lower().count(b"slugs"))
    begins = _median(partial(finder, session.look_back))
    letters = []
    for words in WORDS:
        searched = finder(session.look_back)
        for end in range(1, len(words) + 1):
            began = time.perf_counter()
            searched.find(words[:end])
            letters.append(time.perf_counter() - began)
    first = _took(lambda: book_rows(session.look_back, RECORD[0]))
    record = {words: _median(partial(book_rows, session.look_back, words)) for words in RECORD}
    steps = {words: max(_each(rows_in_steps(session.look_back, words))) for words in RECORD}
    print(f"search, {size:,} entries, {NOTES} notes")
    print(f"  one pass over the logs   {1000 * floor:8.1f} ms")
    for what, took in (
        ("begins", begins),
        ("a letter, median", statistics.median(letters)),
        ("a letter, longest", max(letters)),
        ("all entries, first time", first),
        *((f"all entries, {words}", took) for words, took in record.items()),
        *((f"longest step, {words}", took) for words, took in steps.items()),
    ):
        print(f"  {what:24} {1000 * took:8.1f} ms   x {took / floor:.2f}")


def _each(steps: Iterator[object]) -> Iterator[float]:
    """How long each step takes: so long a key may wait."""
    while True:
        began = time.perf_counter()
        if next(steps, None) is None:
            return
        yield time.perf_counter() - began


def _took(run: Callable[[], object]) -> float:
    began = time.perf_counter()
    run()
    return time.perf_counter() - began


def _median(run: Callable[[], object]) -> float:
    return statistics.median(_took(run) for _ in range(ROUNDS))


if __name__ == "__main__":
    main()
