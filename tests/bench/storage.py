"""How fast and how big the record is, as ratios of one run: `python -m tests.bench.storage [FOLDER]`.

Nothing here fails: a shared machine is no judge. The folder given (else a temporary one) should lie on the
disk that the farm will lie on.
"""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tinydb import TinyDB

from core.book import ids
from core.book.book import Book
from core.book.entry import Draft
from core.book.lines import body_of, lines_of
from core.book.merge import merge
from core.book.tiny import BookDB

SMALL, BIG, STOCK, HALF = 100, 200_000, 50_000, 100_000
ROUNDS, EACH = 12, 60
FIRST_MS = 1_140_000_000_000  # 20 seasons before 2026

CUT = {
    "crop": "strawflower",
    "variety": "mixed",
    "bed": "b12",
    "use": "dry",
    "stems": 40,
    "minutes": 12,
    "lot": "L0417",
}


def make_book(folder: Path, count: int, device: str = "shed") -> Book:
    """A book of `count` entries spread over twenty seasons, written as its own lines at once."""
    Book.create(folder, device=device)
    gap = 20 * 365 * 86_400_000 // count
    with (folder / "log" / f"{device}.log").open("wb") as log:
        for n in range(count):
            at = ids.at_text(FIRST_MS + n * gap)
            head = {
                "id": ids.uuid7(FIRST_MS + n * gap, ids.chance()),
                "on": at[:10],
                "at": at,
                "by": "ml",
                "kind": "cut",
            }
            log.write(lines_of([body_of({**head, **CUT, "stems": n % 90})]))
        log.flush()
        os.fsync(log.fileno())
    return Book.open(folder, device=device)


def median_ms(act: Callable[[], object], times: int) -> float:
    """The median of `times` runs in ms."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        act()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def show(what: str, value: str, target: str = "") -> None:
    print(f"{what:58} {value:>16}  {target}", flush=True)


def writing(folder: Path) -> None:
    """One durable entry through each way of writing, turn and turn about, against the raw file."""
    draft = [Draft("cut", "2026-06-23", CUT)]
    small, big = make_book(folder / "small", SMALL), make_book(folder / "big", BIG)
    line = next(iter((folder / "small" / "log" / "shed.log").open("rb")))
    raw = os.open(folder / "raw", os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)

    def append_raw() -> None:
        os.write(raw, line)
        os.fsync(raw)

    tables = {
        size: BookDB(folder / name, by="ml", device="shed") for size, name in ((SMALL, "small"), (BIG, "big"))
    }
    ways: dict[str, Callable[[], object]] = {
        "raw": append_raw,
        "small": lambda: small.append(draft, by="ml", check=lambda news: None),
        "big": lambda: big.append(draft, by="ml", check=lambda news: None),
        "tiny small": lambda: tables[SMALL].insert({"kind": "cut", "on": "2026-06-23", **CUT}),
        "tiny big": lambda: tables[BIG].insert({"kind": "cut", "on": "2026-06-23", **CUT}),
    }
    for act in ways.values():
        act()
    time.sleep(5.5)  # the listing of the logs is kept from here on, as in a farm that was not made just now
    for act in ways.values():
        act()
    taken: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(ROUNDS):
        for name, act in ways.items():
            act()
            taken[name].append(median_ms(act, EACH))
    best = {name: statistics.median(values) for name, values in taken.items()}
    show("raw append + fsync", f"{best['raw']:.3f} ms")
    for name, what in (
        ("small", f"Book.append at {SMALL} entries"),
        ("big", f"Book.append at {BIG:,} entries"),
        ("tiny small", f"TinyDB insert at {SMALL} entries"),
        ("tiny big", f"TinyDB insert at {BIG:,} entries"),
    ):
        show(what, f"{best[name]:.3f} ms  x {best[name] / best['raw']:.2f}", "at most x 1.3")
    show(f"{BIG:,} against {SMALL} entries", f"x {best['big'] / best['small']:.2f}", "0.8 to 1.2")
    stock(folder, best["big"])


def stock(folder: Path, ours: float) -> None:
    """The same insert into TinyDB's own JSON file."""
    with TinyDB(folder / "stock.json") as db:
        db.insert_multiple([{"on": "2026-06-23", "kind": "cut", **CUT} for _ in range(STOCK)])
        taken = median_ms(lambda: db.insert({"on": "2026-06-23", "kind": "cut", **CUT}), 5)
    show(f"stock TinyDB insert at {STOCK:,} documents", f"{taken:.0f} ms")
    show("stock TinyDB against Book.append", f"x {taken / ours:,.0f}", "at least x 1,000")


def reading(folder: Path) -> None:
    """Everything read from the logs, and looking whether there is anything new."""
    book = Book.open(folder / "big", device="shed")
    for what, act in (("entries_raw", book.entries_raw), ("entries", book.entries)):
        taken = min(median_ms(act, 1) for _ in range(3))
        show(f"{what}() of {BIG:,} entries", f"{taken:.0f} ms", "under 1,000")
    mark = book.position()
    show(
        "entries_after() with nothing new",
        f"{median_ms(lambda: book.entries_after(mark), 300) * 1000:.0f} us",
    )
    show("book.json, first time", f"{median_ms(lambda: book.snapshot(force=True), 1):.0f} ms")
    show("snapshot() when not due", f"{median_ms(book.snapshot, 100) * 1000:.0f} us")
    with BookDB(folder / "big", by="ml", device="shed") as db:
        db.get(doc_id=1)
        show(
            "get by number in TinyDB over the log",
            f"{median_ms(lambda: db.get(doc_id=1), 100) * 1000:.0f} us",
        )


def apart(folder: Path) -> None:
    """Time and greatest memory of a process that does one thing and ends."""
    for what, code in (
        ("a book opened", "pass"),
        ("one entry written", "b.append([Draft('cut', '2026-06-23', {'stems': 1})], by='ml')"),
        ("entries_raw()", "b.entries_raw()"),
        ("entries()", "b.entries()"),
    ):
        for size, name in ((SMALL, "small"), (BIG, "big")):
            program = _APART.format(code=code)
            said = _python(folder, program, str(folder / name)).split()
            show(f"apart: {what} at {size:,}", f"{said[0]} ms {said[1]} MB")


_APART = """
import sys, time
from pathlib import Path
from core.book.book import Book
from core.book.entry import Draft
begun = time.perf_counter()
b = Book.open(Path(sys.argv[1]), device="shed")
{code}
taken = (time.perf_counter() - begun) * 1000
try:
    peak = int(Path("/proc/self/status").read_text().partition("VmHWM:")[2].split()[0]) // 1024
except OSError:
    import resource
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024 // 1024
print(round(taken), peak)
"""


def _python(folder: Path, program: str, *args: str) -> str:
    """What a Python of its own prints, its modules compiled as an installed program's are."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
    done = subprocess.run(
        [sys.executable, "-c", program, *args], capture_output=True, text=True, check=True, env=env
    )
    return done.stdout


def merging(folder: Path) -> None:
    """Two books of half the size become one."""
    one, two = make_book(folder / "one", HALF), make_book(folder / "two", HALF, "net")
    show(f"merge of two books of {HALF:,}", f"{median_ms(lambda: merge(one, two.folder), 1):.0f} ms")
    show("the same again", f"{median_ms(lambda: merge(one, two.folder), 1):.0f} ms")


def starting(folder: Path) -> None:
    """What importing the book adds to the start of a program."""

    def start(code: str) -> float:
        _python(folder, code)
        return min(median_ms(lambda: _python(folder, code), 1) for _ in range(10))

    nothing = start("pass")
    for code in ("import dataclasses, json, pathlib, re", "import core.book.book", "import tinydb, pendulum"):
        show(code, f"{start(code) - nothing:.1f} ms")


def main() -> None:
    """Prints it all; takes about a minute and 300 MB of disk."""
    gc.collect()
    at = sys.argv[1] if len(sys.argv) > 1 else None
    with tempfile.TemporaryDirectory(dir=at, prefix="shedbook-bench-") as name:
        folder = Path(name)
        starting(folder)
        writing(folder)
        apart(folder)
        reading(folder)
        merging(folder)


if __name__ == "__main__":
    main()
