"""What is pasted into the screen: one line to be finished, several to be shown and written, none to be lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.events import Paste
from textual.pilot import Pilot

from core.problems import Problem, ShedbookError
from core.session import Session
from tui.app import ShedApp
from tui.escapes import Keystrokes

from .conftest import TODAY

Open = Callable[[], ShedApp]
LINES = ["wind 3 3 may", "wind 4 4 may", "wind 5 5 may"]


async def _paste(pilot: Pilot[int], text: str) -> None:
    pilot.app.post_message(Paste(text))
    await pilot.pause()
    await pilot.pause()


async def test_one_line_goes_to_the_cursor_and_waits_for_enter(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = app.session.farm.count
        await _paste(pilot, "low\t3\n")  # the keys were the list's
        assert app.focused is app.entry
        await pilot.press("4", "home")
        await _paste(pilot, "x ")
        assert app.entry.value == "x low 34" and app.session.farm.count == before


async def test_lines_that_are_not_wanted_are_forgotten(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = app.session.farm.count
        await _paste(pilot, "\n".join(LINES))
        assert "write 3 lines?" in app.status.text and (app.folder / "pasted.txt").exists()
        await pilot.press("n")
        assert app.status.asking is None and not (app.folder / "pasted.txt").exists()
        assert app.session.farm.count == before


async def test_lines_left_unanswered_are_kept_and_it_says_so(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await _paste(pilot, "\r\n".join(LINES))
        await pilot.press("escape")
        assert "asks again" in app.status.text
    assert (app.folder / "pasted.txt").read_text().splitlines() == LINES


async def test_a_second_paste_leaves_the_first_where_it_was(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await _paste(pilot, "\n".join(LINES))
        await pilot.press("escape")
        await _paste(pilot, "sing\ndance\nlow 34")
        assert "write 3 lines?" in app.status.text
        await pilot.press("y")
        await pilot.pause()
        assert "1 of 3 written" in app.status.text and app.entry.value == "sing"
        await _paste(pilot, "high 60\nhigh 61")
        await pilot.press("n", "enter")
        assert app.entry.value == "sing"
        kept = (app.folder / "pasted.txt").read_text().splitlines()
        assert kept == [*LINES, "dance"]  # what was left, and the one to be mended after this


async def test_two_pastes_before_the_answer_are_asked_about_together(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await _paste(pilot, "\n".join(LINES[:2]))
        await _paste(pilot, "\n".join([LINES[2], "low 34"]))
        assert "write 4 lines?" in app.status.text


async def test_refused_lines_that_she_leaves_come_back_by_up_and_get_into_nothing_else(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await _paste(pilot, "sing\ndance\nwind 3 3 may")
        await pilot.press("y")
        assert app.entry.value == "sing"
        await pilot.press("escape")
        assert "Up brings it back" in app.status.text
        await pilot.press("w", *"wind", "space", "9", "enter")
        await pilot.pause()
        assert "wind 9 mph" in app.status.text and app.entry.value == ""
        await _paste(pilot, "whistle\nwind 4 4 may")
        assert "write 2 lines?" in app.status.text
        await pilot.press("y", "enter")
        assert "1 of 2 written" in app.status.text and app.entry.value == "whistle"
        await pilot.press("ctrl+u", *"wind", "space", "8", "enter")
        await pilot.pause()
        assert app.entry.value == ""
        assert (app.folder / "pasted.txt").read_text().splitlines() == ["sing", "dance"]
        for _ in range(9):
            if app.entry.value != "dance":
                await pilot.press("up")
        await pilot.press("ctrl+u", *"wind", "space", "7", "enter")  # mended
        await pilot.pause()
        assert (app.folder / "pasted.txt").read_text().splitlines() == ["sing"]
    again = ShedApp(app.session, None, app.folder)
    async with again.run_test() as pilot:
        await pilot.pause()
        assert "write 1 line?" in again.status.text and "sing" in again.status.text


async def test_a_refused_line_that_is_emptied_is_given_up_and_the_next_comes(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await _paste(pilot, "sing\ndance")
        await pilot.press("y", "ctrl+u", "enter")
        assert app.entry.value == "dance"
        await pilot.press("ctrl+u", "enter")
        assert app.entry.value == "" and app.focused is not app.entry
    assert not (app.folder / "pasted.txt").exists()


async def test_a_disk_that_fills_up_in_the_middle_keeps_the_lines_that_are_left(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = opened()
    write = app.session.write

    def filling(line: str) -> object:
        if line == LINES[1]:
            raise ShedbookError(Problem("The disk is full: free some room.", "disk"))
        return write(line)

    monkeypatch.setattr(app.session, "write", filling)
    async with app.run_test() as pilot:
        await _paste(pilot, "\n".join(LINES))
        await pilot.press("y")
        await pilot.pause()
        assert "1 of 3 written" in app.status.text and "The disk is full" in app.status.text
        assert app.entry.value == LINES[1]
        assert (app.folder / "pasted.txt").read_text().splitlines() == LINES[2:]
        monkeypatch.undo()
        await pilot.press("enter")
        await pilot.pause()
        assert app.entry.value == LINES[2]
        await pilot.press("enter")
        await pilot.pause()
    assert not (app.folder / "pasted.txt").exists() and not (app.folder / "draft").exists()
    assert {day[-2:] for day, seen in app.session.farm.weather.items() if seen.wind is not None} == {
        "03",
        "04",
        "05",
    }


async def test_what_is_pasted_as_an_answer_answers_one_question(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    folder = tmp_path / "new"
    app = ShedApp(None, lambda by: Session.create(folder, by=by, on=TODAY), folder)
    async with app.run_test() as pilot:
        await _paste(pilot, "jm")
        assert app.entry.value == "jm"
        await _paste(pilot, "\n".join(LINES))
        assert "Answer first" in app.status.text and app.entry.value == "jm"
        await pilot.press("enter", "escape")
        await pilot.pause()
        await pilot.pause()
        assert "write 3 lines?" in app.status.text


_PIECES = st.lists(
    st.tuples(st.text("ab\x1b[20~1;\n", max_size=8).filter(lambda t: "\x1b[20" not in t), st.booleans()),
    max_size=6,
)


@given(_PIECES, st.data())
def test_what_was_pasted_is_told_from_what_was_typed_however_it_is_cut_up(
    pieces: list[tuple[str, bool]], data: st.DataObject
) -> None:
    sent = "".join(f"\x1b[200~{text}\x1b[201~" if pasted else text for text, pasted in pieces)
    keystrokes, got = Keystrokes(), list[tuple[str, bool]]()
    at = 0
    while at < len(sent):
        step = data.draw(st.integers(1, 9))
        while sent[at + step - 1 : at + step] == "\x1b":
            step += 1  # what is read up to a bare Esc and no further is the Esc key
        got += keystrokes.feed(sent[at : at + step])
        at += step
    got += keystrokes.waited()
    for kind in (True, False):
        told = "".join(text for text, pasted in got if pasted is kind)
        assert told == "".join(text for text, pasted in pieces if pasted is kind)
