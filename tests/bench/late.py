"""What reaches into the past of a big book: entries written late, strikes, merges, everything anew, the check.

The floor, measured in the same run, is reading the lines of the logs and nothing else. Every act runs in a process of
its own; its seconds are those inside it, without the start of Python. Run: python -m tests.bench.late
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.seasons import write_seasons
from tests.bench.start import DAY, ENV, ROOT

ENTRIES = 200_000
ROUNDS = 3

_BEGIN = """
import resource, sys, time
from datetime import date
from pathlib import Path
from core.book.book import Book
from core.session import Session
from core.folded import Folded
from core.today import morning
farm, day = Path(sys.argv[1]), date.fromisoformat(sys.argv[2])
def opened():
    return Session(Book.open(farm, device=sys.argv[3]), by="ml", on=day)
def taken(answer):
    assert hasattr(answer, "entries"), answer
def old(since):
    with open(farm / "log" / "shed.log") as lines:
        return next(line[16:52] for line in lines if '"kind":"used"' in line and since <= dated(line))
def dated(line):
    return line.partition('"on":"')[2][:10]
"""
_END = """
took, cpu = time.perf_counter() - begun, time.process_time() - used
try:
    peak = Path("/proc/self/status").read_text().partition("VmHWM:")[2].split()[0]
except OSError:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(took, cpu, peak)
"""
_START = "begun, used = time.perf_counter(), time.process_time()\n"

FLOOR = ("the lines read and nothing else", "", "Book.open(farm).entries_raw()", "")
ACTS = (
    ("an entry of today", "session = opened()", 'taken(session.write("30 zinnia b1 fresh"))', ""),
    (
        "late: 3 days back",
        "session = opened()",
        'taken(session.write("31 zinnia b1 fresh on 2026-06-17"))',
        "0.3 s",
    ),
    (
        "late: 3 months back",
        "session = opened()",
        'taken(session.write("32 zinnia b1 fresh on 2026-03-17"))',
        "0.3 s",
    ),
    ("late: 2 years back", "session = opened()", 'taken(session.write("low 33 on 2024-03-17"))', ""),
    (
        "strike, 3 months old",
        'session, it = opened(), old("2026-03-20")',
        "taken(session.strike(it))",
        "0.3 s",
    ),
    ("strike, 10 years old", 'session, it = opened(), old("2016-03-20")', "taken(session.strike(it))", ""),
    ("opened, everything at hand", "", "morning(opened().sight())", ""),
    (
        "everything folded anew",
        'import shutil; shutil.rmtree(farm / "fold")',
        "Folded(Book.open(farm))",
        "1.5 s",
    ),
    ("check", "session = opened()", "assert session.check() == []", "8 s, 150 MB"),
)
AFTER_A_MERGE = ("first opening after a merge", "", "morning(opened().sight())", "")


def main(entries: int = ENTRIES, rounds: int = ROUNDS) -> None:
    """Print medians beside the floor."""
    with tempfile.TemporaryDirectory() as temporary:
        farm = Path(temporary) / "farm"
        write_seasons(farm, entries)
        _close(farm, "shed")
        floor = _told(farm, FLOOR, 0, rounds)
        for act in ACTS:
            _told(farm, act, floor, rounds)
        _told(farm, AFTER_A_MERGE, floor, rounds, merged=True)


def _told(
    farm: Path, act: tuple[str, str, str, str], floor: float, rounds: int, *, merged: bool = False
) -> float:
    what, before, measured, wanted = act
    runs = []
    for number in range(rounds):
        with tempfile.TemporaryDirectory() as temporary:
            copy = Path(temporary) / "farm"
            shutil.copytree(farm, copy)
            if merged:
                _carry_over(copy, Path(temporary) / "net", number)
            runs.append(_run(copy, "shed", f"{before}\n{_START}{measured}{_END}"))
    took, cpu, memory = (statistics.median(values) for values in zip(*runs, strict=True))
    beside = f"x {took / floor:.2f}" if floor else ""
    goal = f"  (wanted: under {wanted})" if wanted else ""
    spent = f"{took:6.2f} s  {cpu:6.2f} s of the processor  {memory / 1024:6.0f} MB"
    print(f"  {what:34} {spent}  {beside}{goal}", flush=True)
    return took


def _carry_over(farm: Path, net: Path, number: int) -> None:
    """A netbook writes some lines of the last months in its own copy; its log is copied back here."""
    shutil.copytree(farm, net)
    lines = [f"2{number} zinnia b1 fresh on 2026-0{month}-1{n}" for month in (3, 4, 5, 6) for n in range(5)]
    _run(net, "net", f"session = opened()\nfor line in {lines!r}: taken(session.write(line))\n{_START}{_END}")
    shutil.copy(net / "log" / "net.log", farm / "log" / "net.log")


def _close(farm: Path, device: str) -> None:
    _run(farm, device, f"session = opened()\n{_START}session.close(){_END}")


def _run(farm: Path, device: str, program: str) -> tuple[float, float, float]:
    """(seconds, seconds of the processor, peak memory in kB) of what the program does after its start."""
    done = subprocess.run(
        [sys.executable, "-c", _BEGIN + program, str(farm), DAY, device],
        env=ENV,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    took, cpu, memory = map(float, done.stdout.split())
    return took, cpu, memory


if __name__ == "__main__":
    main()
