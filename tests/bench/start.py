"""How long a start takes, and how much memory: the printed brief, a line written, and the first paint of the screen.

Floors, measured in the same run: `python -c pass` for the brief and a line, in processor time (user and system), which
a busy machine changes less; a hello-world of the toolkit for the screen. The farms are read as of a day: by the clock,
what stands in the bucket ages from minute to minute, and is reckoned each time. Run: python -m tests.bench.start
"""

from __future__ import annotations

import os
import pty
import select
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from functools import partial
from itertools import count
from pathlib import Path

from demo_farm.open import DEMO_DAY, copy_to
from tests.bench.seasons import write_seasons

ROOT = Path(__file__).parents[2]
DAY = "2026-06-20"
SIZES = (100, 200_000)
ROUNDS = 15
HELLO = """
from textual.app import App
from textual.widgets import Static
class Hello(App):
    def compose(self):
        yield Static('READY')
Hello().run()
"""
ENV = {
    **{k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"},
    "PYTHONPATH": str(ROOT),
    "TERM": "xterm-256color",
    "LANG": "C.UTF-8",
}


def main() -> None:
    """Print medians and ratios."""
    subprocess.run([sys.executable, "-m", "compileall", "-q", "core", "tui"], cwd=ROOT, check=True)
    with tempfile.TemporaryDirectory() as temporary:
        farms = {}
        for size in SIZES:
            farms[size] = Path(temporary) / str(size)
            write_seasons(farms[size], size)
            _run(*_today(farms[size]))  # makes the cached fold
        demo = Path(temporary) / "demo"
        copy_to(demo)
        seasons = {f"{size:,} entries": (farm, DAY) for size, farm in farms.items()}
        _brief({"demo farm": (demo, DEMO_DAY.isoformat()), **seasons})
        _first_paint(farms)
        _rebuild(farms[SIZES[-1]])


_SHEDBOOK = "from tui.__main__ import program; program()"
"""As the script does that is installed."""


def _shedbook(farm: Path, *words: str, day: str = DAY) -> tuple[str, ...]:
    return (sys.executable, "-c", _SHEDBOOK, "--farm", str(farm), "--on", day, *words)


def _today(farm: Path, day: str = DAY) -> tuple[str, ...]:
    return _shedbook(farm, "today", day=day)


def _low(farm: Path, day: str, n: int) -> tuple[str, ...]:
    """A line that is another one every time."""
    return _shedbook(farm, "write", "low", str(40 + n % 9), "tonight", "52", day=day)


def _brief(farms: dict[str, tuple[Path, str]]) -> None:
    """The farms, each with the last day of its book, are written in."""
    rounds = count()
    runs: dict[str, Callable[[], tuple[float, int]]] = {
        PASS: lambda: _run(sys.executable, "-c", "pass"),
        LIBRARY: lambda: _run(sys.executable, "-c", f"import {OF_LIBRARY}"),
    }
    for name, (farm, day) in farms.items():
        runs |= {
            f"today, {name}, told again": partial(_again, farm, day),
            f"today, {name}, a low written since": partial(_after, farm, day, rounds),
            f"today, {name}, on a new day": partial(_on_a_new_day, farm, day),
            f"write, {name}": partial(_written, farm, day, rounds),
        }
    took = _in_turn(runs)
    print("the printed brief and a line written, in processor time (wanted: at most 5 x)")
    for name in took:
        print(f"  {name:46} {1000 * took[name]:7.1f} ms   x {took[name] / took[PASS]:5.2f}")
    print(
        "where it goes where the page itself is not told again, with what a morning asked kept and not kept: "
        "ms of loading modules, reading, reckoning, printing"
    )
    for name, (farm, day) in farms.items():
        print(f"  {name:20} {_split(farm, day)}   {_split(farm, day, forget=True)}")
    most = [_run(*_today(farm, day))[1] for farm, day in farms.values()]
    print(f"  memory, MB: {', '.join(f'{kb / 1024:.1f}' for kb in most)}   (wanted: at most twice the first)")


PASS = "python -c pass"
LIBRARY = "what Python itself loads for any other command"
OF_LIBRARY = (
    "argparse, contextlib, dataclasses, datetime, enum, functools, json, pathlib, re, threading, typing, zlib"
)
"""Modules of the standard library that are loaded where a page is not told again: a floor under everything else."""


def _again(farm: Path, day: str) -> tuple[float, int]:
    _run(*_today(farm, day))
    return _run(*_today(farm, day))


def _after(farm: Path, day: str, rounds: Iterator[int]) -> tuple[float, int]:
    _run(*_today(farm, day))
    _run(*_low(farm, day, next(rounds)))
    return _run(*_today(farm, day))


def _on_a_new_day(farm: Path, day: str) -> tuple[float, int]:
    _run(*_today(farm, day))
    return _run(*_today(farm, (date.fromisoformat(day) + timedelta(days=1)).isoformat()))


def _written(farm: Path, day: str, rounds: Iterator[int]) -> tuple[float, int]:
    return _run(*_low(farm, day, next(rounds)))


_PARTS = """
import sys
from time import process_time as now
from pathlib import Path
from datetime import date
begun = now()
import core.page, core.today, tui.cli, tui.today_verb
from core.session import Session
loaded = now()
session = Session.open(Path(sys.argv[1]), by="ml", on=date.fromisoformat(sys.argv[2]))
read = now()
found = core.today.morning(session.sight(), session.guard, as_told=True)
reckoned = now()
text = "".join(line.whole for line in core.page.page(found))
session.close()
print(loaded - begun, read - loaded, reckoned - read, now() - reckoned)
"""


def _split(farm: Path, day: str, *, forget: bool = False) -> str:
    """ "58 + 12 + 3 + 1": the medians of some starts; what a subject loads where it reckons counts as reckoning."""
    found = []
    for _ in range(ROUNDS):
        if forget:
            (farm / "fold" / "morning.kept").unlink(missing_ok=True)
        command = [sys.executable, "-c", _PARTS, str(farm), day]
        done = subprocess.run(command, env=ENV, cwd=ROOT, capture_output=True, text=True, check=True)
        found.append([*map(float, done.stdout.split())])
    return " + ".join(f"{1000 * statistics.median(part):.0f}" for part in zip(*found, strict=True))


def _first_paint(farms: dict[int, Path]) -> None:
    hello = (sys.executable, "-c", HELLO)
    commands = {"hello world": (hello, "READY")}
    for size, farm in farms.items():
        commands[f"screen, {size} entries"] = (_today(farm)[:-1], "Stock")
    took = _in_turn({name: lambda c=command: (_paint(*c), 0) for name, command in commands.items()})
    floor, small, large = took
    print("first paint on a terminal")
    for name in took:
        print(f"  {name:28} {1000 * took[name]:7.1f} ms")
    print(f"  screen large / hello         x {took[large] / took[floor]:.2f}   (wanted: at most 2)")
    print(f"  screen large / small         x {took[large] / took[small]:.2f}")


_FOLD_ALL = """
import gc, json, sys
from pathlib import Path
from time import process_time as now
from core.book.book import Book
from core.folded import Folded
gc.disable()
lines = [line[9:] for log in Path(sys.argv[1]).glob("log/*.log") for line in log.read_bytes().splitlines()]
begun = now()
for line in lines:
    json.loads(line)
read = now()
del lines
gc.enable()
folded = now()
Folded(Book.open(Path(sys.argv[1])))
print(read - begun, now() - folded)
"""
"""Prints what it takes to read the JSON of every line and nothing else, and to fold them all."""


def _rebuild(farm: Path) -> None:
    times = []
    for _ in range(5):
        for path in (farm / "fold").iterdir():
            path.unlink()
        command = [sys.executable, "-c", _FOLD_ALL, str(farm)]
        done = subprocess.run(command, env=ENV, cwd=ROOT, capture_output=True, text=True, check=True)
        times.append([*map(float, done.stdout.split())])
    floor, took = map(statistics.median, zip(*times, strict=True))
    print(f"everything folded from the logs alone, {SIZES[-1]} entries, in processor time")
    print(
        f"  {took:.2f} s   x {took / floor:.1f} of reading the JSON of its lines and nothing else, {floor:.2f} s"
    )


def _in_turn(runs: dict[str, Callable[[], tuple[float, int]]]) -> dict[str, float]:
    """Medians in seconds; the runs take turns, so that a busy machine is busy for all of them."""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(ROUNDS):
        for name, run in runs.items():
            times[name].append(run()[0])
    return {name: statistics.median(taken) for name, taken in times.items()}


_WATCH = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True)
took = resource.getrusage(resource.RUSAGE_CHILDREN)
print(took.ru_utime + took.ru_stime, took.ru_maxrss)
"""


def _run(*command: str) -> tuple[float, int]:
    """(processor seconds, peak memory in kB) of one run, started from a process smaller than itself."""
    watch = [sys.executable, "-S", "-c", _WATCH, *command]
    done = subprocess.run(watch, env=ENV, cwd=ROOT, capture_output=True, text=True, check=True)
    took, memory = done.stdout.split()
    return float(took), int(memory)


def _paint(command: Sequence[str], text: str) -> float:
    """Seconds until `text` is among what the program sends to its terminal."""
    start = time.perf_counter()
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.execve(command[0], list(command), {**ENV, "COLUMNS": "80", "LINES": "24"})
    sent = b""
    while text.encode() not in sent:
        assert select.select([terminal], [], [], 20)[0], f"{text} never came"
        sent += os.read(terminal, 1 << 16)
    took = time.perf_counter() - start
    os.kill(pid, 9)
    os.waitpid(pid, 0)
    os.close(terminal)
    return took


if __name__ == "__main__":
    main()
