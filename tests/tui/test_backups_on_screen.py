"""The screen makes the day's backup after its first line; one that fails is said on the status line, and at the end."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from core.book.backup import read_backup
from core.book.daily import failed
from core.session import Session
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


def ids_in(session: Session) -> set[str]:
    return set(read_backup(session.upkeep.backups()[0])[0])


async def write(pilot: Pilot[int], line: str) -> None:
    await pilot.press("escape", "w")
    await type_line(pilot, line)
    await pilot.press("enter")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def test_the_first_line_of_a_day_is_followed_by_its_backup(
    opened: Open, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert session.upkeep.backups() == []
    async with opened().run_test() as pilot:
        await pilot.press("2", "1")
        assert session.upkeep.backups() == []  # nothing was written here
        await write(pilot, "low 33")
        (made,) = session.upkeep.backups()
        assert ids_in(session) == {entry.id for entry in session.entries()}
        before = made.stat().st_ino
        await write(pilot, "high 70")
        assert made.stat().st_ino == before  # once a day, not once a line
        assert "high 70" in shown(pilot.app)  # type: ignore[arg-type]
        monkeypatch.setattr("core.session.day_there", lambda _farm: date(2099, 1, 1))  # left open for days
        await write(pilot, "wind 8")
        assert session.upkeep.backups()[0].name[:10] == "2099-01-01"
        await write(pilot, "low 34")
    assert session.close() is None
    assert len(session.upkeep.backups()) == 2 and ids_in(session) == {entry.id for entry in session.entries()}


async def test_a_backup_that_fails_is_said_and_the_line_is_written(
    opened: Open, session: Session, folder: Path
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
    problem = session.close()
    assert problem is not None and "is a link" in problem.sentence
    assert [entry.kind for entry in session.recent(2)] == ["high", "low"]
    assert failed(folder) == problem  # what the next start says
    (folder / "backup").unlink()
    session.write("wind 8")
    assert session.close() is None and failed(folder) is None


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
    assert Session.open(folder, by="jm", on=TODAY).recent(1)[0].kind == "low"


def test_a_screen_that_is_hung_up_on_makes_it_too(folder: Path) -> None:
    terminal = Terminal(folder, TODAY.isoformat())
    terminal.until("step 4 of 7")
    terminal.type("wlow 33\r")
    terminal.until("written")
    terminal.hang_up()
    session = Session.open(folder, by="jm", on=TODAY)
    assert ids_in(session) == {entry.id for entry in session.entries()}


def test_the_first_start_makes_it_too(tmp_path: Path) -> None:
    farm = tmp_path / "new"
    terminal = Terminal(farm, TODAY.isoformat(), XDG_STATE_HOME=str(tmp_path / "state"))
    for asked, answer in (
        ("initials", "jm"),
        ("farm called", "Meadow"),
        ("last frost", "14 may"),
        ("first frost", "1 october"),
        ("beds", "b1 50ft"),
    ):
        terminal.until(asked)
        terminal.type(answer + "\r")
    terminal.until("Sat 16 May")
    terminal.type("\x1bq")
    assert terminal.ended() == 0
    session = Session.open(farm, by="jm")
    assert ids_in(session) == {entry.id for entry in session.entries()} and len(session.upkeep.backups()) == 1
