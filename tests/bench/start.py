"""How long a start takes, and how much memory: the printed brief and the first paint of the screen.

Floors, measured in the same run: `import tinydb, pendulum` for the brief, a hello-world of the toolkit for
the screen. Run: python -m tests.bench.start
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
from collections.abc import Callable, Sequence
from pathlib import Path

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
ENV = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "LANG": "C.UTF-8"}


def main() -> None:
    """Print medians and ratios."""
    subprocess.run([sys.executable, "-m", "compileall", "-q", "core", "tui"], cwd=ROOT, check=True)
    with tempfile.TemporaryDirectory() as temporary:
        farms = {}
        for size in SIZES:
            farms[size] = Path(temporary) / str(size)
            write_seasons(farms[size], size)
            _run(*_today(farms[size]))  # makes the cached fold
        _brief(farms)
        _first_paint(farms)
        _rebuild(farms[SIZES[-1]])


def _today(farm: Path) -> tuple[str, ...]:
    return (sys.executable, "-m", "tui", "--farm", str(farm), "--on", DAY, "today")


def _brief(farms: dict[int, Path]) -> None:
    commands: dict[str, Sequence[str]] = {
        "import tinydb, pendulum": (sys.executable, "-c", "import tinydb, pendulum"),
        **{f"today, {size} entries": _today(farm) for size, farm in farms.items()},
    }
    took = _in_turn({name: lambda c=command: _run(*c) for name, command in commands.items()})
    memory = {name: _run(*command)[1] for name, command in commands.items()}
    floor, small, large = took
    print("the printed brief")
    for name in took:
        print(f"  {name:28} {1000 * took[name]:7.1f} ms {memory[name] / 1024:7.1f} MB")
    print(f"  today large / small          x {took[large] / took[small]:.2f}   (wanted: at most 1.2)")
    print(f"  today large / imports        x {took[large] / took[floor]:.2f}   (wanted: at most 2)")
    print(f"  memory large / small         x {memory[large] / memory[small]:.2f}   (wanted: at most 2)")


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
import sys, time
from pathlib import Path
from core.book.book import Book
from core.folded import Folded
start = time.perf_counter()
Folded(Book.open(Path(sys.argv[1])))
print(time.perf_counter() - start)
"""


def _rebuild(farm: Path) -> None:
    for path in (farm / "fold").iterdir():
        path.unlink()
    times = []
    for _ in range(5):
        done = subprocess.run(
            [sys.executable, "-c", _FOLD_ALL, str(farm)], env=ENV, capture_output=True, text=True, check=True
        )
        times.append(float(done.stdout))
    print(f"everything folded from the logs alone, {SIZES[-1]} entries")
    print(f"  {statistics.median(times):.2f} s   (wanted: under 1)")


def _in_turn(runs: dict[str, Callable[[], tuple[float, int]]]) -> dict[str, float]:
    """Medians in seconds; the runs take turns, so that a busy machine is busy for all of them."""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(ROUNDS):
        for name, run in runs.items():
            times[name].append(run()[0])
    return {name: statistics.median(taken) for name, taken in times.items()}


_WATCH = """
import resource, subprocess, sys, time
start = time.perf_counter()
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True)
print(time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def _run(*command: str) -> tuple[float, int]:
    """(seconds, peak memory in kB) of one run, started from a process smaller than itself."""
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
