"""Keys pressed at random: no fault, nothing that stays stuck, and the terminal shows what a screen drawn anew shows."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pytest

from demo_farm.open import DEMO_DAY, copy_to
from tests.bench.least import picture

from .conftest import TODAY
from .terminal import Terminal

ESCAPE, REDRAW, QUIT = "\x1b", "\x0c", "\x11"
HOME = f"{ESCAPE}[H"
MOVES = [
    f"{ESCAPE}[{which}"
    for which in ("A", "B", "C", "D", "H", "F", "5~", "6~", "Z", "3~", "1;5C", "200~40 zi\x1b[201~")
]
ODD = [
    "\x1b",
    "\x1b",
    "\r",
    "\r",
    "\t",
    "\x7f",
    "\x15",
    "\x1a",
    "\x1bOP",
    "\x1bOQ",
    "\x1b[[A",
    "\x1b[99~",
    "\x1b[?1;2c",
]
WORDS = [
    "w40 strawflower b3 dry\r",
    "wlow 34\r",
    "w12 zin",
    "wfind zinnia\r",
    "whelp frost\r",
    "wch\u00eane \u754c",
    "y",
    "n",
]
LETTERS = [*"abcdefghijklmnoprstuvwxyz0123456789.?/ OPSTFRe"]


def _keys(count: int, seed: int) -> list[str]:
    """So many keys, none of which leaves."""
    chance = random.Random(seed)
    sorts = (MOVES, LETTERS, LETTERS, ODD, WORDS)
    return [chance.choice(chance.choice(sorts)) for _ in range(count)]


def _press(folder: Path, day: date, keys: list[str], *, columns: int, rows: int, look_every: int) -> None:
    """Press them, and now and then hold the screen against itself drawn anew; then leave."""
    state = folder.parent / "state"
    terminal = Terminal(folder, day.isoformat(), columns=columns, rows=rows, XDG_STATE_HOME=str(state))
    terminal.type("2")
    terminal.until("tray")
    for n, key in enumerate(keys, 1):
        terminal.type(key)
        terminal.read(0.005)
        if n % look_every == 0 or n == len(keys):
            terminal.settle()
            followed = picture(terminal.screen)
            assert not terminal.read(0.3), "traffic at rest"
            terminal.screen.reset()
            terminal.stream.feed(b"\x1b[?7l")
            terminal.type(REDRAW)
            terminal.until("1 Today")
            terminal.settle()
            assert picture(terminal.screen) == followed, f"after {n} keys: {keys[n - look_every : n]}"
    for _ in range(4):  # out of a question, a line, a page over a page
        terminal.type(ESCAPE)
        terminal.settle()
    terminal.type("1" + HOME)  # it may stand on Today already, at the foot of a long page, all of it opened
    terminal.until(f"{day:%a} {day.day} {day:%b}   ")
    terminal.type(QUIT)
    assert terminal.ended() == 0
    assert not (state / "shedbook" / "error.log").exists()


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (60, 20)])
def test_after_any_keys_the_terminal_shows_what_a_screen_drawn_anew_shows(
    folder: Path, columns: int, rows: int
) -> None:
    _press(
        folder,
        TODAY,
        _keys(120, columns),
        columns=columns,
        rows=rows,
        look_every=60,
    )


@pytest.mark.long
@pytest.mark.parametrize("seed", range(4))
def test_after_ten_thousand_keys_on_the_demo_farm_all_is_as_it_should_be(tmp_path: Path, seed: int) -> None:
    farm = tmp_path / "farm"
    copy_to(farm)
    columns, rows = ((80, 24), (60, 20), (128, 37), (100, 30))[seed]
    _press(
        farm,
        DEMO_DAY,
        _keys(2500, 10 + seed),
        columns=columns,
        rows=rows,
        look_every=100,
    )
