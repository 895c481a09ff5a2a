"""A key held down or struck twice does what it does once, and a question is answered by what was meant for it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.events import Paste

from tui.app import ShedApp
from tui.subjects.boxes import RESULT_KEYS
from tui.subjects.trays import HOLD_KEYS

Open = Callable[[], ShedApp]
HELD = 12
"""Times that a held key comes."""


def _kinds(app: ShedApp) -> list[str]:
    return [entry.kind for entry in app.session.entries()]


async def test_a_held_key_that_asks_answers_nothing(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = _kinds(app)
        await pilot.press("2", *"h" * HELD)
        assert "why?" in app.status.text and _kinds(app) == before
        await pilot.press(*"t" * HELD)
        assert "heat" in app.status.text
        assert _kinds(app) == [*before, "held"]


def test_no_question_is_answered_by_the_key_that_asks_it() -> None:
    assert "h" not in HOLD_KEYS
    assert "c" not in RESULT_KEYS


@pytest.mark.parametrize(
    ("keys", "line"),
    [("2o", "set out S02 "), ("5h", "hang L002 line "), ("2c", "up S02 "), ("5l", "lost L002 bucket ")],
)
async def test_a_held_key_that_begins_a_line_writes_no_letters_into_it(
    opened: Open, keys: str, line: str
) -> None:
    app = opened()
    async with app.run_test() as pilot:
        view, key = keys
        await pilot.press(view, *key * HELD)
        assert app.entry.value == line and app.focused is app.entry
        await pilot.press("1", key)
        assert app.entry.value == f"{line}1{key}"  # the letter itself can be typed


async def test_a_held_key_that_writes_a_whole_line_writes_one(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = _kinds(app)
        await pilot.press("3", *"v" * HELD)
        assert len(_kinds(app)) == len(before) + 1


@pytest.mark.parametrize("keys", ["w", "ef"])
async def test_where_any_word_may_follow_its_first_letter_may_be_that_of_the_key(
    opened: Open, keys: str
) -> None:
    app = opened()
    key = keys[-1]
    async with app.run_test() as pilot:
        await pilot.press(*keys)
        begun = app.entry.value
        await pilot.press(key, "i", key, key, key)
        assert app.entry.value == f"{begun}{key}i{key * 3}"
        await pilot.press("escape", "1", *keys[:-1], *key * HELD)
        assert app.entry.value == begun and app.focused is app.entry


async def test_a_held_enter_writes_one_line_and_opens_no_other(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = _kinds(app)
        await pilot.press("w", *"wind", "space", "7", *["enter"] * HELD)
        assert len(_kinds(app)) == len(before) + 1
        assert app.focused is app.entry and app.entry.value == ""


async def test_a_line_begun_while_a_question_stands_open_answers_nothing(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = _kinds(app)
        await pilot.press("u")
        assert "take back" in app.status.text
        await pilot.press("w", *"yesterday", "space", *"wind", "space", "9", "enter")
        await pilot.pause()
        assert sorted(_kinds(app)) == sorted([*before, "wind"])


async def test_while_a_line_is_typed_the_answer_is_typed_too_and_the_line_comes_back(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        before = _kinds(app)
        await pilot.press("w", *"low", "space", "3", "ctrl+z")
        assert "y Enter takes it back" in app.status.text and app.entry.value == ""
        await pilot.press("y")
        assert "strike" not in _kinds(app) and "take back" in app.status.text
        await pilot.press("enter")
        assert _kinds(app) == [*before, "strike"]
        assert app.entry.value == "low 3" and app.focused is app.entry
        await pilot.press("ctrl+z", "escape")
        assert app.status.asking is None and app.entry.value == "low 3" and app.focused is app.entry


async def test_a_line_that_begins_with_the_letter_of_an_answer_is_a_line(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("w", *"low", "space", "3")
        app.post_message(Paste("wind 3 3 may\nwind 4 4 may"))
        await pilot.pause()
        await pilot.pause()
        assert "write 2 lines?" in app.status.text
        await pilot.press(*"yesterday", "space", *"wind", "space", "9", "enter")
        await pilot.pause()
        assert _kinds(app).count("wind") == 1 and "wind 9 mph" in app.status.text
        assert (app.folder / "pasted.txt").read_text().splitlines() == ["wind 3 3 may", "wind 4 4 may"]
        await pilot.press("up", "up")
        assert app.entry.value == "low 3"
