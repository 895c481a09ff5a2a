"""What she feels of the screen as a terminal program, each beside its floor in the same run.

Floors: a hello-world of the toolkit for first paint, quit and Esc; the least bytes that show the change for each key
(tests/bench/least.py); a list of 50 rows for one of 50,000. Run: python -m tests.bench screen [ROUNDS]
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

from demo_farm.open import DEMO_DAY, copy_to
from tests.bench.least import least_bytes, picture
from tests.tui.terminal import ROOT, Terminal
from tui.laid_out import laid_out
from tui.row_keys import RowSort
from tui.table import Column
from tui.views.view import Page

ROUNDS = 9
QUIET_SECONDS = 5.0
HELLO = """
from textual.app import App
from textual.widgets import Static
class Hello(App):
    BINDINGS = [("q", "quit", ""), ("escape", "told", "")]
    def compose(self):
        yield Static('READY')
    def action_told(self):
        self.query_one(Static).update("CLEARED")
Hello().run()
"""
SIZES = ((80, 24), (128, 37))
ESCAPE = "\x1b"


class Key(NamedTuple):
    """What is pressed before and what stands there then, not counted; the key; and what then stands on the screen."""

    what: str
    before: str
    there: str
    key: str
    seen: str


UP, DOWN, HOME, PAGE_DOWN, END = (f"{ESCAPE}[{which}" for which in ("A", "B", "H", "6~", "F"))
KEYS = (
    Key("a letter", "1wlow 3", "low 3", "4", "low 34"),
    Key("a letter that begins a name", "1w40 stra", "40 stra", "w", "40 straw"),
    Key("backspace", "1wlow 34", "low 34", "\x7f", "write:  low 3"),
    Key("Esc", "1wlow 34", "low 34", ESCAPE, "w, then a line"),
    Key("to the entry line", "1", "CHECK FOR", "w", "Enter writes"),
    Key("cursor down, Today", f"1{HOME}", "> ", DOWN, ">"),
    Key("cursor down, Stock", f"8{HOME}", "> L", DOWN, "> L"),
    Key("page down, Stock", f"8{HOME}", "> L", PAGE_DOWN, ">"),
    Key("page down, Entries", f"e{HOME}", "> MK", PAGE_DOWN, ">"),
    Key("end, Stock", f"8{HOME}", "> L", END, ">"),
    Key("Today to Trays", f"1{HOME}", "CHECK FOR", "2", "set out"),
    Key("Trays to Beds", f"2{HOME}", "S69", "3", "next"),
    Key("Beds to Stock", f"3{HOME}", "b1 ", "8", "on hand"),
    Key("help", "1", "CHECK FOR", "?", "Esc or ?"),
    Key("back from help", "1?", "Esc or ?", ESCAPE, "CHECK FOR"),
)


def main() -> None:
    """Print each figure, its floor, and the ratio."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    subprocess.run([sys.executable, "-m", "compileall", "-q", "core", "tui"], cwd=ROOT, check=True)
    with tempfile.TemporaryDirectory() as temporary:
        farm = Path(temporary) / "farm"
        copy_to(farm)
        os.environ["XDG_STATE_HOME"] = temporary
        _leave(_ready(_opened(farm)))  # the cached fold, and what a first opening makes
        _times(farm, rounds)
        _bytes(farm)
        _rest(farm)
    _lists()


def _opened(farm: Path, columns: int = 80, rows: int = 24, keys: str = "") -> Terminal:
    """The demo farm's screen, opened as she does."""
    words = ("-m", "tui", "--farm", str(farm), "--on", str(DEMO_DAY), "--by", "mk")
    terminal = Terminal(farm, "", columns=columns, rows=rows, command=words)
    if keys:
        terminal.type(keys)
    return terminal


def _hello() -> Terminal:
    return Terminal(Path(), "", command=("-c", HELLO))


def _ready(terminal: Terminal) -> Terminal:
    """Once it is there and still."""
    terminal.until(lambda text: "READY" in text or "Stock" in text)
    if "Stock" in terminal.text:
        terminal.answers()
    terminal.settle()
    return terminal


def _leave(terminal: Terminal) -> float:
    """Seconds from the key that quits to the end of the process."""
    begun = time.perf_counter()
    terminal.type("q")
    terminal.ended()
    return time.perf_counter() - begun


def _seen(open_it: Callable[[], Terminal], text: str) -> float:
    begun = time.perf_counter()
    terminal = open_it()
    while text.encode() not in terminal.sent:
        terminal.read(20)
    took = time.perf_counter() - begun
    terminal.settle()
    _leave(terminal)
    return took


def _esc(open_it: Callable[[], Terminal], before: str, gone: str) -> float:
    """Seconds from Esc to the first byte of its answer."""
    terminal = _ready(open_it())
    if before:
        terminal.type(before)
        terminal.settle()
    begun = time.perf_counter()
    terminal.type(ESCAPE)
    terminal.read(20)
    took = time.perf_counter() - begun
    terminal.until(lambda text: gone not in text)
    _leave(terminal)
    return took


def _times(farm: Path, rounds: int) -> None:
    def screen(keys: str = "") -> Callable[[], Terminal]:
        return lambda: _opened(farm, keys=keys)

    acts: dict[str, Callable[[], float]] = {
        "hello world: first paint": lambda: _seen(_hello, "READY"),
        "something to read": lambda: _seen(screen(), "bring in S71"),
        "a key pressed at once is answered": lambda: _seen(screen("2"), "set out"),
        "hello world: quit": lambda: _leave(_ready(_hello())),
        "quit": lambda: _leave(_ready(_opened(farm))),
        "hello world: Esc": lambda: _esc(_hello, "", "READY"),
        "Esc": lambda: _esc(screen(), "wlow 34", "low 34"),
    }
    took = _in_turn(acts, rounds)
    wanted = {
        "something to read": ("hello world: first paint", 1.25),
        "a key pressed at once is answered": ("hello world: first paint", 1.25),
        "quit": ("hello world: quit", 0.25),
        "Esc": ("hello world: Esc", 0.5),
    }
    print("milliseconds, medians in turn")
    for what, seconds in took.items():
        beside = ""
        if what in wanted:
            floor, most = wanted[what]
            beside = f"x {seconds / took[floor]:.2f}   (wanted: at most {most})"
        print(f"  {what:36} {1000 * seconds:7.1f}  {beside}")


def _in_turn(acts: dict[str, Callable[[], float]], rounds: int) -> dict[str, float]:
    """Medians; the acts take turns, so that a busy machine is busy for all of them."""
    times: dict[str, list[float]] = {what: [] for what in acts}
    for _ in range(rounds):
        for what, act in acts.items():
            times[what].append(act())
    return {what: statistics.median(taken) for what, taken in times.items()}


def _bytes(farm: Path) -> None:
    for columns, rows in SIZES:
        print(f"bytes of a key at {columns}x{rows} beside the least that show the change   (wanted: x 1.2)")
        terminal = _ready(_opened(farm, columns, rows))
        for key in KEYS:
            sent, least = _cost(terminal, key)
            print(f"  {key.what:36} {sent:7} {least:7}  x {sent / max(least, 1):.2f}")
        terminal.type("\x11")
        terminal.ended()


def _cost(terminal: Terminal, key: Key) -> tuple[int, int]:
    """(bytes sent, least bytes)."""
    for pressed in (ESCAPE, key.before):  # together they could be one sequence
        terminal.type(pressed)
        terminal.settle()
    terminal.until(key.there)
    before, sent = picture(terminal.screen), len(terminal.sent)
    terminal.type(key.key)
    terminal.until(key.seen)
    terminal.settle()
    return len(terminal.sent) - sent, least_bytes(before, picture(terminal.screen))


def _rest(farm: Path) -> None:
    terminal = _ready(_opened(farm))
    terminal.read(1.0)
    sent, before = len(terminal.sent), _wakes(terminal.pid)
    end = time.monotonic() + QUIET_SECONDS
    while time.monotonic() < end:
        terminal.read(0.5)
    wakes = (_wakes(terminal.pid) - before) / QUIET_SECONDS
    print("at rest")
    print(f"  wake-ups a second                    {wakes:7.1f}           (wanted: at most 1)")
    print(f"  bytes a second                       {(len(terminal.sent) - sent) / QUIET_SECONDS:7.1f}")
    terminal.type("q")
    terminal.ended()


def _wakes(pid: int) -> int:
    """How often any of its threads has waited and was woken."""
    found = 0
    for status in Path(f"/proc/{pid}/task").glob("*/status"):
        line = next(line for line in status.read_text().splitlines() if line.startswith("voluntary"))
        found += int(line.split()[1])
    return found


class _Named(NamedTuple):
    code: str
    name: str
    count: int


class _Long(Page):
    """A view of so many rows."""

    def __init__(self, count: int) -> None:
        super().__init__("-")
        self.values = [_Named(f"L{n}", f"strawflower {n % 97}", n) for n in range(count)]

    def show(self) -> None:
        """Read, and laid out once."""
        columns = (Column("code", "lot", 6), Column("name", "crop"), Column("count", "stems", 5, right=True))
        _, rows = self.table(columns, self.values, RowSort("long", "On a row"), lambda row: (row.code,))
        self.listing.put(rows)
        laid_out(self, 80, 20, has_keys=True)


def _lists() -> None:
    """A long list made into rows and laid out, in this process, beside a hello-world's first paint and a short one."""
    acts: dict[str, Callable[[], float]] = {"hello world: first paint": lambda: _seen(_hello, "READY")}
    acts |= {f"{count} rows": partial(_timed, _Long(count).show) for count in (50, 50_000)}
    took = _in_turn(acts, 3)
    hello, short, long = took.values()
    print("a list made and laid out, milliseconds")
    for what, seconds in took.items():
        print(f"  {what:36} {1000 * seconds:7.1f}")
    print(
        f"  first paint with the long list       x {(hello + long) / (hello + short):.2f}   (wanted: at most 1.5)"
    )


def _timed(act: Callable[[], None]) -> float:
    begun = time.perf_counter()
    act()
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
