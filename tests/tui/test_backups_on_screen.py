"""The screen makes the day's backup after its first line; one that fails is said on the status line, and at the end."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from core.book.backup import read_backup
from core.door import Door
from tui.app import ShedApp

from .conftest import TODAY
from .terminal import Terminal
from .test_morning import shown, type_line

Open = Callable[[], ShedApp]


@pytest.fixture
def folder(folder: Path) -> Path:
    """A farm that was never backed up."""
    shutil.rmtree(folder / "backup")
    (folder / "backup").mkdir(mode=0o700)
    return folder


def ids_in(door: Door) -> set[str]:
    return set(read_backup(door.backups()[0])[0])


async def write(pilot: Pilot[int], line: str) -> None:
    await pilot.press("escape", "w")
    await type_line(pilot, line)
    await pilot.press("enter")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def test_the_first_line_of_a_day_is_followed_by_its_backup(
    opened: Open, door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert door.backups() == []
    async with opened().run_test() as pilot:
        await pilot.press("2", "1")
        assert door.backups() == []  # nothing was written here
        await write(pilot, "low 33")
        (made,) = door.backups()
        assert ids_in(door) == {entry.id for entry in door.entries()}
        before = made.stat().st_ino
        await write(pilot, "high 70")
        assert made.stat().st_ino == before  # once a day, not once a line
        assert "high 70" in shown(pilot.app)  # type: ignore[arg-type]
        monkeypatch.setattr(Door, "_machine_day", lambda _door: date(2099, 1, 1))  # left open for days
        await write(pilot, "wind 8")
        assert door.backups()[0].name[:10] == "2099-01-01"
        await write(pilot, "low 34")
    assert door.close() is None
    assert len(door.backups()) == 2 and ids_in(door) == {entry.id for entry in door.entries()}


async def test_a_backup_that_fails_is_said_and_the_line_is_written(
    opened: Open, door: Door, folder: Path
) -> None:
    (folder / "backup").rmdir()
    (folder / "backup").symlink_to(folder / "nowhere")
    async with opened().run_test() as pilot:
        await write(pilot, "low 33")
        text = " ".join(shown(pilot.app).split())  # type: ignore[arg-type]
        assert "No backup could be made today, though everything that was written is in the book" in text
        await write(pilot, "high 70")
        text = shown(pilot.app)  # type: ignore[arg-type]
        assert "written" in text and "high 70" in text  # not slowed, not told at every line
    problem = door.close()
    assert problem is not None and "is a link" in problem.sentence
    assert [entry.kind for entry in door.recent(2)] == ["high", "low"]
    assert Door.open(folder, by="jm").backup_trouble() == problem  # what the next start says
    (folder / "backup").unlink()
    door.write("wind 8")
    assert door.close() is None and Door.open(folder, by="jm").backup_trouble() is None


def test_it_is_said_when_the_screen_has_closed(folder: Path) -> None:
    (folder / "backup").rmdir()
    (folder / "backup").write_text("no folder")
    terminal = Terminal(folder, TODAY.isoformat())
    terminal.until("step 4 of 7")
    terminal.type("wlow 33\r")
    terminal.until("no backup")
    terminal.type("\x1bq")
    assert terminal.ended() == 0
    assert "No backup could be made today" in terminal.text
    assert Door.open(folder, by="jm", on=TODAY).recent(1)[0].kind == "low"


def test_a_screen_that_is_hung_up_on_makes_it_too(folder: Path) -> None:
    terminal = Terminal(folder, TODAY.isoformat())
    terminal.until("step 4 of 7")
    terminal.type("wlow 33\r")
    terminal.until("written")
    terminal.hang_up()
    door = Door.open(folder, by="jm", on=TODAY)
    assert ids_in(door) == {entry.id for entry in door.entries()}


def test_the_first_start_makes_it_too(tmp_path: Path) -> None:
    farm = tmp_path / "new"
    terminal = Terminal(farm, TODAY.isoformat(), XDG_STATE_HOME=str(tmp_path / "state"))
    for asked, answer in (
        ("initials", "jm"),
        ("farm called", "Meadow"),
        ("last frost", "14 may"),
        ("beds", "b1 50ft"),
    ):
        terminal.until(asked)
        terminal.type(answer + "\r")
    terminal.until("Sat 16 May 2026")
    terminal.type("\x1bq")
    assert terminal.ended() == 0
    door = Door.open(farm, by="jm")
    assert ids_in(door) == {entry.id for entry in door.entries()} and len(door.backups()) == 1
