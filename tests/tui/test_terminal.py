"""The real thing on a real terminal: started, written in, cut off, started again."""

from __future__ import annotations

import re
import signal
import stat
from pathlib import Path

from core.fresh.rows import fresh_rows
from core.session import Session, Written
from tui.paint import CLEAR

from .conftest import TODAY
from .terminal import Terminal

DAY = TODAY.isoformat()
ENTER, ESCAPE = "\r", "\x1b"
TRUECOLOUR = re.compile(rb"\x1b\[[0-9;]*[34]8;2;")
ANY_COLOUR = re.compile(rb"\x1b\[(?:[0-9;]*;)?(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9;]*)?m")


def test_a_line_cut_off_with_half_a_line_typed_loses_neither(folder: Path) -> None:
    terminal = Terminal(folder, DAY, XDG_STATE_HOME=str(folder.parent / "state"))
    terminal.until("step 4 of 7")
    terminal.type("4w40" + ENTER)
    terminal.until("written")
    terminal.type("12 straw b3")
    terminal.until("12 straw b3")
    terminal.kill(signal.SIGHUP)
    again = Session.open(folder, by="ak", on=TODAY)
    assert [r.stems for r in fresh_rows(again.farm, again.today)].count(40) == 1
    draft = folder / "draft"
    assert draft.read_text() == "12 straw b3"
    assert stat.S_IMODE(draft.stat().st_mode) == 0o600

    again = Terminal(folder, DAY, XDG_STATE_HOME=str(folder.parent / "state"))
    again.until("12 straw b3")
    again.until("the line you were typing")
    again.type("q")
    assert again.ended() == 0


def test_a_terminal_that_goes_away_ends_it_with_nothing_left_behind(folder: Path) -> None:
    terminal = Terminal(folder, DAY, XDG_STATE_HOME=str(folder.parent / "state"))
    terminal.until("step 4 of 7")
    terminal.type("wlow 3")
    terminal.until("write:  low 3")
    terminal.hang_up()
    assert (folder / "draft").read_text() == "low 3"
    assert not (folder.parent / "state" / "shedbook" / "error.log").exists()
    other = Session.open(folder, by="ak", on=TODAY)
    assert isinstance(other.write("low 33"), Written)  # no lock is left


def test_without_colour_none_is_sent_and_never_more_than_the_terminals_own(folder: Path) -> None:
    plain = Terminal(folder, DAY, NO_COLOR="1")
    plain.until("step 4 of 7")
    plain.type("2")
    plain.until("####") if "####" in plain.text else plain.until("###----")
    plain.type("q")
    assert plain.ended() == 0
    coloured = Terminal(folder, DAY, COLORTERM="truecolor")
    coloured.until("step 4 of 7")
    coloured.type("q")
    assert coloured.ended() == 0
    assert not TRUECOLOUR.search(plain.sent + coloured.sent)
    assert not ANY_COLOUR.search(plain.sent)


def test_a_terminal_without_utf_8_gets_plain_signs_and_keeps_its_columns(folder: Path) -> None:
    told = Session.open(folder, by="jm", on=TODAY).write('farm name "Ch\u00eane"')
    assert isinstance(told, Written), told
    terminal = Terminal(
        folder, DAY, LANG="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0", TERM="linux", columns=100
    )
    terminal.until("step 4 of 7")
    terminal.until("Ch?ne")
    terminal.until("-" * 40)
    terminal.type("q")
    assert terminal.ended() == 0
    assert terminal.sent.isascii() and b"\\u" not in terminal.sent and b"\\x" not in terminal.sent


def test_keys_that_come_in_one_burst_are_taken_in_order(folder: Path) -> None:
    """As over a line that stood still for a moment: a cut, the next line, then a view and its keys."""
    terminal = Terminal(folder, DAY)
    terminal.until("step 4 of 7")
    terminal.type("440" + ENTER + "tonight 39" + ENTER + "xz\x7f\x7f40 zinn\x7f\x7f")
    terminal.until("write:  40 zi")
    session = Session.open(folder, by="ak", on=TODAY)
    assert [e.kind for e in session.recent(2)] == ["tonight", "cut"]
    terminal.type(
        "\x15" + ESCAPE + "2hw2n"
    )  # hold S02 for wind; the step after it is refused, for the day has its line
    terminal.until("not written")
    assert Session.open(folder, by="ak", on=TODAY).recent(1)[0].kind == "held"
    terminal.type("q")
    assert terminal.ended() == 0


def test_leaving_in_the_same_breath_as_a_move_is_no_fault(folder: Path) -> None:
    for keys in ("\x1b[Bq", "3\x1b[B2q", "w40 zi\x11"):
        terminal = Terminal(folder, DAY, XDG_STATE_HOME=str(folder.parent / "state"))
        terminal.until("step 4 of 7")
        terminal.type(keys)
        assert terminal.ended() == 0
    assert not (folder.parent / "state" / "shedbook" / "error.log").exists()
    assert (folder / "draft").read_text() == "40 zi"


def test_a_fault_is_kept_in_a_file_and_told_in_a_sentence(folder: Path) -> None:
    terminal = Terminal(folder, DAY, BREAK="1", XDG_STATE_HOME=str(folder.parent / "state"))
    terminal.until("step 4 of 7")
    terminal.type("w" + "half a line")
    terminal.until("half a line")
    terminal.type(ESCAPE + "6")
    assert terminal.ended() == 1
    assert "Something went wrong in the program" in terminal.text
    assert "Traceback" not in terminal.text
    log = folder.parent / "state" / "shedbook" / "error.log"
    assert "ZeroDivisionError" in log.read_text()
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert not (folder / "draft").exists(), "Esc cleared it"


CTRL_L = "\x0c"
"""Draws everything anew."""


def test_what_stands_there_before_the_toolkit_is_up_is_not_drawn_again(folder: Path) -> None:
    terminal = Terminal(folder, DAY)
    terminal.until("q quit")
    first = len(terminal.sent)
    while terminal.read(1.5):
        pass
    terminal.type(CTRL_L)
    while (cleared := terminal.sent.find(CLEAR.encode(), first)) < 0:
        terminal.read()
    assert cleared - first < 40, terminal.sent[first:cleared]
    terminal.type("q")
    assert terminal.ended() == 0


def test_few_bytes_cross_the_line(folder: Path) -> None:
    """A budget for an uncompressed line: a letter, a row, a view; and nothing at all while nobody does anything."""
    terminal = Terminal(folder, DAY)
    terminal.until("step 4 of 7")
    terminal.settle()
    assert terminal.cost("2", "###----") < 2500
    assert terminal.cost("3", "larkspur") < 2500
    assert terminal.cost("\x1b[B", ">") < 900
    assert terminal.cost("w", "Enter writes") < 700
    assert terminal.cost("z", "write:  z") < 400
    assert terminal.cost("", "write:  z") == 0
    terminal.type("\x15" + ESCAPE + "q")
    assert terminal.ended() == 0
