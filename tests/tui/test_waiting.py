"""Another program holds the book: the screen says so at once, stays alive, and writes as soon as it can, once."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.events import Paste

from core.book.lock import Lock
from tui.app import ShedApp

from .test_morning import until

Open = Callable[[], ShedApp]


@pytest.fixture(autouse=True)
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """No machine is so slow that the usual wait is over before a test says so."""
    monkeypatch.setattr("tui.waiting.PATIENCE", 600)


def _winds(app: ShedApp) -> list[int]:
    return [entry.fields["mph"] for entry in app.session.entries() if entry.kind == "wind"]


async def test_a_line_waits_for_the_other_program_and_is_written_once(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        with Lock(app.folder / "lock"):
            await pilot.press("w", *"wind", "space", "9", "enter")
            assert app.status.text.startswith("waiting  for the other program")
            assert app.entry.value == "wind 9"
            await pilot.press("enter", "escape", "2")  # alive, and no second line
            assert app.open_view == "trays" and _winds(app) == []
        await until(pilot, lambda: app.status.text.startswith("written"))
        assert _winds(app) == [9]


async def test_a_line_typed_faster_than_it_is_read_says_that_it_waits(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        with Lock(app.folder / "lock"):
            await pilot.press("w")
            app.entry.fill("wind 9")
            app.send("wind 9")  # before what the line means was looked at
            await pilot.pause()
            assert app.status.text.startswith("waiting")


async def test_what_was_typed_on_meanwhile_stays(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        with Lock(app.folder / "lock"):
            await pilot.press("w", *"wind", "space", "9", "enter")
            await pilot.press("ctrl+u", *"low", "space", "3")
        await until(pilot, lambda: _winds(app) == [9])
        assert app.entry.value == "low 3"


async def test_undo_and_pasted_lines_wait_too(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        lock = Lock(app.folder / "lock")
        app.post_message(Paste("wind 3 3 may\nsing\nwind 4 4 may"))
        await pilot.pause()
        await pilot.pause()
        with lock:
            await pilot.press("y")
            assert app.status.text.startswith("waiting")
        await until(pilot, lambda: "2 of 3 written" in app.status.text)
        assert _winds(app) == [3, 4] and app.entry.value == "sing"
        await pilot.press("escape", "u")
        with lock:
            await pilot.press("y")
            assert app.status.text.startswith("waiting")
        await until(pilot, lambda: app.status.text.startswith("written"))
        assert "taken back" in app.status.text


async def test_after_the_usual_wait_the_line_is_refused_and_stays_to_be_sent_again(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        with Lock(app.folder / "lock"):
            await pilot.press("w", *"wind", "space", "9", "enter")
            app.waiting._until = 0.0
            await until(pilot, lambda: app.status.text.startswith("not written"))
            assert app.entry.value == "wind 9"
        await pilot.press("enter")
        assert _winds(app) == [9]
