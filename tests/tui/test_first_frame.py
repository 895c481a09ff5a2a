"""What stands on the terminal before anything is loaded is what the screen would show first, or nothing.

The other hand is the same start on a copy of the farm in which nothing was kept.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import termios
import time
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from core import told_again
from core.session import Session
from tests.cases import cases
from tests.farm.test_told_again import HAPPENS, HARMS, LINES, Life, _signed, at_once, is_found_out, made
from tests.farms import TODAY, write
from tui.begun import Begun, begin, encoding
from tui.first_frame import FirstFrame
from tui.paint import CLEAR

from .terminal import Terminal

__all__ = ["at_once", "made"]


@pytest.fixture(autouse=True)
def surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in {"COLUMNS": "80", "LINES": "24", "TERM": "xterm", "LANG": "C.UTF-8"}.items():
        monkeypatch.setenv(name, value)
    for name in ("NO_COLOR", "SHEDBOOK_LOOK"):
        monkeypatch.delenv(name, raising=False)


def _words(farm: Path, on: date = TODAY) -> list[str]:
    return ["--farm", str(farm), "--on", on.isoformat()]


def _open(farm: Path, words: list[str], *lines: str) -> str:
    """What a start shows first; then it is left, after these lines, those taken that can be."""
    frame = FirstFrame(words, begun := Begun([], ""))
    assert begun.is_handed_on
    sent: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("tui.terminal.Taken.write", lambda _, text: sent.append(text))
        session = Session.open(farm, by="ml", on=date.fromisoformat(words[3]))
        today = frame.show(session)
        for line in lines:
            session.write(line)  # or it is refused, as "hang" where nothing is left to hang
            today.load(session)
            today.listing.move(1)
        session.close()
        frame.keep(session, today)
    return "".join(sent)


def _again(words: list[str]) -> str | None:
    return told_again.frame_for(words, int(os.environ["COLUMNS"]), int(os.environ["LINES"]), encoding())


class ScreenLife(Life):
    """What happens to a farm, and what each start of the screen shows first beside what would be drawn anew."""

    def differs(self) -> bool:
        words = _words(self.farm, self.day)
        copy = self.farm.with_name("farm-anew")
        shutil.copytree(self.farm, copy, ignore=shutil.ignore_patterns("fold"))
        anew = _open(copy, _words(copy, self.day))
        shutil.rmtree(copy)
        for _ in range(2):
            again = _again(words)
            self.is_told_again = again is not None
            if (_open(self.farm, words) if again is None else again) != anew:
                return True
        return False

    def happens(self, what: str, line: str, share: float) -> None:
        if what == "write" and share < 0.5:
            _open(self.farm, _words(self.farm, self.day), "note looked", line)
        elif what == "all":
            os.environ["COLUMNS"], os.environ["LINES"] = ("80", "24") if share < 0.5 else ("60", "20")
        else:
            super().happens(what, line, share)


@cases(12, least=4, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(happening=st.lists(HAPPENS, min_size=3, max_size=7))
def test_whatever_happens_what_stands_there_at_once_is_what_would_be_drawn(
    tmp_path_factory: pytest.TempPathFactory, made: Path, happening: list[tuple[str, str, float]]
) -> None:
    os.environ |= {"SHEDBOOK_DEVICE": "shed", "COLUMNS": "80", "LINES": "24"}
    life = ScreenLife(tmp_path_factory.mktemp("life"), made)
    assert not life.differs()
    assert life.is_told_again
    for what, line, share in happening:
        life.happens(what, line, share)
        assert not life.differs(), what


@pytest.mark.parametrize("left_out", ["book", "words"])
def test_a_frame_that_does_not_hang_on_something_would_be_found_out(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, left_out: str
) -> None:
    is_found_out(ScreenLife(tmp_path, made), monkeypatch, left_out)


@pytest.fixture
def farm(made: Path, tmp_path: Path) -> Path:
    shutil.copytree(made, tmp_path / "farm")
    return tmp_path / "farm"


CHANGES = {
    "NO_COLOR": "1",
    "TERM": "vt100",
    "LANG": "C",
    "LC_ALL": "C",
    "SHEDBOOK_LOOK": "sun",
    "COLUMNS": "81",
    "LINES": "25",
}


@pytest.mark.parametrize("name", CHANGES)
def test_on_another_terminal_it_is_drawn_anew(farm: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    shown = _open(farm, _words(farm))
    assert _again(_words(farm)) == shown
    with monkeypatch.context() as patch:
        patch.setenv(name, CHANGES[name])
        assert _again(_words(farm)) is None
        anew = _open(farm, _words(farm))
        assert _again(_words(farm)) == anew
    assert _again(_words(farm)) == shown


def test_after_lines_were_written_on_the_screen_the_next_start_shows_what_they_made_at_once(
    farm: Path,
) -> None:
    _open(farm, _words(farm), *(f"note {n} rows" for n in range(40)))
    before = _again(_words(farm))
    _open(farm, _words(farm), *LINES[:2])  # so few that the snapshot is not written anew
    again = _again(_words(farm))
    assert again not in (None, before)
    shutil.rmtree(farm / "fold")
    assert _open(farm, _words(farm)) == again


def test_what_another_program_wrote_while_the_screen_was_open_is_never_left_out(farm: Path) -> None:
    frame = FirstFrame(_words(farm), Begun([], ""))
    session = Session.open(farm, by="ml", on=TODAY)
    today = frame.show(session)
    other = Session.open(farm, by="jo", on=TODAY)
    write(other, "low 38 tonight 33")
    other.close()
    session.close()
    frame.keep(session, today)
    assert _again(_words(farm)) is None


def test_a_page_that_was_opened_or_read_before_a_line_is_not_kept(farm: Path) -> None:
    frame = FirstFrame(_words(farm), Begun([], ""))
    session = Session.open(farm, by="ml", on=TODAY)
    today = frame.show(session)
    write(session, "low 38 tonight 33")
    today.stale = True
    session.close()
    frame.keep(session, today)
    assert _again(_words(farm)) is None


def test_while_another_program_holds_the_book_nothing_stands_there_early(farm: Path) -> None:
    _open(farm, _words(farm))
    with (farm / "lock").open("r+b") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        assert _again(_words(farm)) is None
    assert _again(_words(farm)) is not None


OBEYED = {
    "a title": "\x1b]0;x\a",
    "a question that the terminal answers": "\x1b[6n",
    "a mode": "\x1b[?25h",
    "a bare Esc": "\x1b",
    "a bell": "\a",
}


@pytest.mark.parametrize("harm", [*HARMS, *OBEYED])
def test_a_damaged_frame_is_not_shown(farm: Path, harm: str) -> None:
    shown = _open(farm, _words(farm))
    (kept,) = (farm / "fold").glob("told-*.page")
    body = kept.read_bytes()
    kept.write_bytes(HARMS[harm](body) if harm in HARMS else _signed(body[8:] + OBEYED[harm].encode()))
    if harm == "with what a terminal obeys":
        return  # to clear it is to draw
    assert _again(_words(farm)) is None
    assert _open(farm, _words(farm)) == shown


def test_without_a_terminal_nothing_is_begun(farm: Path) -> None:
    _open(farm, _words(farm))
    assert begin(_words(farm)) is None


# on a terminal

HELD = """
import os, sys, time
go_on = sys.argv.pop(1)
class Held:
    def find_spec(self, name, *_):
        while name == "tui.cli" and not os.path.exists(go_on):
            time.sleep(0.01)
sys.meta_path.insert(0, Held())
from tui.__main__ import program
program()
"""
"""The program, which loads nothing but its beginning until there is a file of that name."""


def _screen(farm: Path, columns: int, rows: int, program: str = HELD) -> Terminal:
    state = str(farm.parent)
    words = ("-c", program, str(farm.parent / "go on"), *_words(farm))
    return Terminal(
        farm, "", columns=columns, rows=rows, command=words, XDG_STATE_HOME=state, SHEDBOOK_DEVICE="shed"
    )


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (60, 20)])
def test_the_second_start_shows_today_before_anything_is_loaded_and_nothing_is_drawn_over_it(
    farm: Path, tmp_path: Path, columns: int, rows: int
) -> None:
    go_on = tmp_path / "go on"
    go_on.touch()
    time.sleep(0.1)  # what was made just now may change unseen
    first = _screen(farm, columns, rows)
    first.until("q quit")
    first.answers()
    whole = first.text
    first.type("q")
    assert first.ended() == 0
    go_on.unlink()
    again = _screen(farm, columns, rows)
    again.until("q quit")
    shown, sent = again.text, len(again.sent)
    assert shown == whole
    go_on.touch()
    again.type("w")
    again.until("Enter writes")
    assert CLEAR.encode() not in again.sent[sent:]
    again.type("\x1b")
    again.until("q quit")
    assert again.text == shown
    again.type("q")
    assert again.ended() == 0


FAILS = HELD.replace(
    "from tui.__main__",
    "import core.session\n"
    "from core.problems import Problem, ShedbookError\n"
    "def fails(*_, **__): raise ShedbookError(Problem('The disk has gone.'))\n"
    "core.session.Session.open = fails\n"
    "from tui.__main__",
)


def test_where_the_book_cannot_be_opened_after_all_the_terminal_is_given_back_and_it_is_said(
    farm: Path, tmp_path: Path
) -> None:
    (tmp_path / "go on").touch()
    time.sleep(0.1)
    first = _screen(farm, 80, 24)
    before = termios.tcgetattr(first.fd)
    first.until("q quit")
    first.answers()
    first.type("q")
    assert first.ended() == 0
    again = _screen(farm, 80, 24, FAILS)
    again.until("The disk has gone.")
    assert b"quit" in again.sent, "it was shown before"
    assert termios.tcgetattr(again.fd)[3] & termios.ECHO == before[3] & termios.ECHO != 0
    assert again.ended() == 1
