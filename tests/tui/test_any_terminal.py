"""A whole morning on every kind of terminal: what is sent it can show, and what she writes is in the book."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from core.session import Session
from tests.cases import first_of

from .conftest import TODAY
from .terminal import ROOT, Terminal

DAY = TODAY.isoformat()
ENTER, ESCAPE, QUIT, IN_SUN = "\r", "\x1b", "\x11", "\x1bOQ"
KINDS: dict[str, dict[str, str]] = {
    "linux": {"TERM": "linux"},
    "vt100 without colors": {"TERM": "vt100"},
    "LANG=C": {"LANG": "C", "TERM": "xterm-256color"},
    "NO_COLOR": {"NO_COLOR": "1", "TERM": "xterm-256color", "COLORTERM": "truecolor"},
    "in the sun": {"SHEDBOOK_LOOK": "sun"},
    "in the sun without colors": {"SHEDBOOK_LOOK": "sun", "NO_COLOR": "1"},
    "xterm": {"TERM": "xterm-256color", "COLORTERM": "truecolor"},
    "screen": {"TERM": "screen"},
    "ascii": {"TERM": "linux", "LANG": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
}
COLOR = re.compile(rb"\x1b\[(?:[0-9]*;)*(?:3[0-79]|4[0-79]|9[0-7]|10[0-7]|38|48)(?:;[0-9]*)*m")
GROUND = re.compile(rb"\x1b\[(?:[0-9]*;)*4[0-8](?:;[0-9]*)*m")
SEQUENCE = re.compile(rb"\x1b\[(?:[0-9;]*[HKJmC]|\?(?:1049|25|2004|7)[hl])")
"""What a terminal is sent: places, clearing, looks, and four switches."""


def _morning(folder: Path, columns: int, rows: int, **env: str) -> Terminal:
    """Read the page, write the low, step the tray, cut, mend a slip, look around, and leave."""
    state = str(folder.parent / "state")
    terminal = Terminal(folder, DAY, columns=columns, rows=rows, XDG_STATE_HOME=state, **env)
    terminal.until("SPOILS FIRST")
    terminal.type("wlow 44" + ENTER)
    terminal.until("written")
    terminal.type(ESCAPE)
    terminal.read(0.2)
    terminal.type("2")
    terminal.until("tray")
    terminal.type("n")
    terminal.until("step 4")
    terminal.type("w30 peony b1 frehs" + ENTER)
    terminal.until("not written")
    terminal.type("\x7f" * 3 + "esh" + ENTER)
    terminal.until("cut 30 peony")
    terminal.type(ESCAPE)
    terminal.read(0.2)
    for key, seen in (
        ("3", "larkspur"),
        ("5", "days left"),
        ("?", "Help for"),
        (ESCAPE, "days left"),
        ("1", "ALSO"),
    ):
        terminal.type(key)
        terminal.until(seen)
    terminal.type(QUIT)
    assert terminal.ended() == 0
    written = [entry.kind for entry in Session.open(folder, by="ak", on=TODAY).recent(3)]
    assert sorted(written) == ["cut", "low", "step"]
    assert not (folder.parent / "state" / "shedbook" / "error.log").exists()
    return terminal


CASES = [(kind, size) for size in ((80, 24), (60, 20)) for kind in KINDS]
ALWAYS = [
    ("vt100 without colors", (60, 20)),
    ("LANG=C", (80, 24)),
]


@pytest.mark.parametrize(
    "case", first_of([*ALWAYS, *(case for case in CASES if case not in ALWAYS)], len(ALWAYS))
)
def test_a_morning_on_a_terminal_of_any_kind(folder: Path, case: tuple[str, tuple[int, int]]) -> None:
    kind, (columns, rows) = case
    terminal = _morning(folder, columns, rows, **KINDS[kind])
    assert SEQUENCE.sub(b"", terminal.sent).count(b"\x1b") == 0
    if "without colors" in kind or kind == "NO_COLOR":
        assert not COLOR.search(terminal.sent)
    if "in the sun" not in kind:
        assert not GROUND.search(terminal.sent), "the ground is the terminal's own, light or dark"
    if kind in ("LANG=C", "ascii"):
        assert terminal.sent.isascii()


def test_what_is_said_by_color_is_there_to_be_found() -> None:
    assert COLOR.search(b"\x1b[0;1;31m") and COLOR.search(b"\x1b[38;5;9m") and GROUND.search(b"\x1b[0;30;47m")
    assert not COLOR.search(b"\x1b[0;1;7m\x1b[24;30H")


def test_f2_turns_the_screen_for_the_sun_and_back(folder: Path) -> None:
    terminal = Terminal(folder, DAY)
    terminal.type("2")
    terminal.until("tray")
    terminal.settle()
    text, before = terminal.text, len(terminal.sent)
    terminal.type(IN_SUN)
    terminal.settle()
    assert terminal.text == text and GROUND.search(terminal.sent[before:])
    assert {(c.fg, c.bg) for row in terminal.screen.buffer.values() for c in row.values()} == {
        ("black", "white")
    }
    terminal.type(IN_SUN)
    terminal.settle()
    assert terminal.text == text
    assert {c.bg for row in terminal.screen.buffer.values() for c in row.values()} == {"default"}
    terminal.type(QUIT)
    assert terminal.ended() == 0


def _program(folder: Path) -> list[str]:
    return ["-P", "-m", "tui", "--farm", str(folder), "--on", DAY, "--by", "jm"]


def test_a_terminal_that_cannot_move_its_cursor_gets_the_book_line_by_line(folder: Path) -> None:
    terminal = Terminal(folder, DAY, command=_program(folder), TERM="dumb", LANG="C")
    terminal.until("write:")
    terminal.type("low 44\n")
    terminal.until("low last night 44 F")
    terminal.type("quit\n")
    assert terminal.ended() == 0
    assert b"\x1b" not in terminal.sent and terminal.sent.isascii()


@pytest.mark.skipif(shutil.which("tmux") is None, reason="there is no tmux here")
def test_a_morning_inside_tmux(folder: Path, tmp_path: Path) -> None:
    tmux = ["tmux", "-S", str(tmp_path / "tmux"), "-f", "/dev/null"]

    def keys(*pressed: str) -> None:
        subprocess.run([*tmux, "send-keys", *pressed], check=True)

    def until(seen: str, *asked: str) -> str:
        end = time.monotonic() + 60
        while time.monotonic() < end:
            shown = subprocess.run(
                [*tmux, *(asked or ("capture-pane", "-p"))], capture_output=True, text=True, check=True
            ).stdout
            if seen in shown:
                return shown
            time.sleep(0.05)
        raise AssertionError(f"never saw {seen!r} on:\n{shown}")

    env = ["-e", f"PYTHONPATH={ROOT}", "-e", f"XDG_STATE_HOME={tmp_path / 'state'}"]
    begin = ["new-session", "-d", "-x", "80", "-y", "24", *env, sys.executable, *_program(folder)]
    subprocess.run([*tmux, *begin, ";", "set-option", "-g", "remain-on-exit", "on"], check=True)
    try:
        until("SPOILS FIRST")
        keys("w", "low 44", "Enter")
        until("written")
        keys("Escape")
        keys("2")
        assert "snapdragon pink" in until("tray")
        keys("Down", "?")
        until("Help for Trays")
        keys("C-q")
        until("1", "display-message", "-p", "#{pane_dead}")
    finally:
        subprocess.run([*tmux, "kill-server"], check=False)
    assert [entry.kind for entry in Session.open(folder, by="ak", on=TODAY).recent(1)] == ["low"]
