"""`shedbook --plain`: the book without a screen, line after line, as it is read aloud."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from core.session import Session
from tests.shell import Shell
from tui.registry import views

DAY = "2026-06-23"
FARM = {
    "2026-05-20": ("farm zone UTC", "last frost 14 may", "bed b1 50ft", "bed b2 50ft", "sow 72 cosmos"),
    DAY: ("plant zinnia b1 25ft", "note slugs in b1", "low 51"),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, DAY).begin(FARM)


def typed(shell: Shell, monkeypatch: pytest.MonkeyPatch, *lines: bytes) -> tuple[int, str, str]:
    """What it answers to these lines, one after the other."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"".join(line + b"\n" for line in lines))))
    return shell("--plain")


def test_a_morning_is_told_lines_are_written_and_the_rest_of_the_book_is_within_reach(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    status, out, err = typed(
        shell, monkeypatch, b"40 zinnia b1 fresh", b"40 zinnia b9 fresh", b"show lot L001", b"undo", b"show trays",
        b"find slugs", b"help frost", b"?", b"quit", b"low 10",
    )  # fmt: skip
    assert status == 0
    assert out.index("Tue 23 Jun") < out.index("written") < out.index("taken back")
    assert "cut 40 zinnia" in out and "b9" in err and err.count("\n") == 1
    assert "tray S01, crop cosmos," in out and "1 in all." in out
    assert "L001" in out and "last frost 14 may" in out
    assert f"{DAY}, ml: note: slugs in b1" in out
    kept = Session.open(shell.farm, by="ml").entries()
    assert [entry.kind for entry in kept[-2:]] == ["cut", "strike"], "what stands after quit is not read"


def test_every_list_is_told_row_by_row_without_rules_or_columns(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, out, err = typed(shell, monkeypatch, b"show nonsense", b"show beds", b"show stock", b"show")
    assert err == "" and out.count("Show what?") == 2
    rows = [line for line in out.splitlines() if line.startswith("bed b1")]
    assert rows and all("  " not in row for row in rows)
    assert "The list is empty." in out


def test_a_line_that_is_no_text_or_a_farm_that_is_not_there_is_one_sentence(
    shell: Shell, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    status, _, err = typed(shell, monkeypatch, b"note caf\xe9", b"show 'x", b"low 41")
    assert status == 0 and "not UTF-8" in err
    assert Session.open(shell.farm, by="ml").entries()[-1].kind == "low"
    shell.farm = tmp_path / "none"
    status, out, err = typed(shell, monkeypatch, b"low 41")
    assert (status, out) == (1, "") and "There is no book" in err


def test_on_a_terminal_it_asks_and_sends_nothing_but_text(shell: Shell) -> None:
    """On a dumb one, on which no cursor moves."""
    ours, theirs = os.openpty()
    program = [
        sys.executable,
        "-P",
        "-m",
        "tui",
        "--plain",
        "--farm",
        str(shell.farm),
        "--on",
        DAY,
        "--by",
        "ml",
    ]
    running = subprocess.Popen(
        program, stdin=theirs, stdout=theirs, stderr=theirs, env={**os.environ, "TERM": "dumb", "LANG": "C"}
    )
    os.close(theirs)
    told = b""

    def until(word: bytes) -> None:
        nonlocal told
        end = time.monotonic() + 60
        while word not in told and time.monotonic() < end:
            told += os.read(ours, 4096)

    until(b"write: ")
    os.write(ours, b"low 44\n")
    until(b"low last night 44 F")
    os.write(ours, b"\x04")
    assert running.wait(60) == 0
    os.close(ours)
    assert b"\x1b" not in told and told.isascii()
    assert Session.open(shell.farm, by="ml").entries()[-1].kind == "low"


def test_a_metric_farm_is_read_aloud_in_its_units_and_what_is_no_table_as_it_is_printed(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    status, out, err = typed(
        shell, monkeypatch, b"farm lengths meters degrees C hours 12", b"show beds",
        b"show promise zinnia fresh 20 06-30", b"show takings --by bed",
    )  # fmt: skip
    assert (status, err) == (0, "")
    assert "bed b1, m 15.24, free 7.62, crop zinnia" in out and "feet" not in out.partition("written")[2]
    assert "20 zinnia fresh for Tue 30 Jun" in out and "20 zinnia fresh for Tue 30 Jun, " not in out
    assert "low" not in out.partition("written")[2]


def test_find_tells_the_things_first_and_then_what_was_written(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, out, err = typed(shell, monkeypatch, b"find cosmos", b"find qqqq")
    assert err == ""
    things, _, written = out.partition("written with these words")
    assert "tray S01 cosmos: sown 20 May 2026" in things and "sown tray S01: cosmos" in written
    assert "0 in all." in written


@pytest.mark.parametrize("view", views())
def test_what_every_view_of_the_screen_shows_has_a_line_of_its_own(
    view: str, shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each view by the verb that tells the same, named here once; a new view fails this until it can be read aloud."""
    line = {"today": "today all", "cut": "show cutlist", "promised": "show promise", "field": "show record"}
    status, out, err = typed(shell, monkeypatch, line.get(view, f"show {view}").encode())
    assert (status, err) == (0, "")
    told = out.partition("Type ? for what may be typed.")[2]
    assert told.strip() and "Show what?" not in told
