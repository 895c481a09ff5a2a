"""A subject of somebody's own is known everywhere by its manifest: as text, CSV, JSON, on the screen, in the help."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from core.subject import register, subjects, unregister
from tests.shell import Shell
from tui.app import ShedApp

from .test_morning import shown

Open = Callable[[], ShedApp]


@pytest.fixture(autouse=True)
def hives() -> Iterator[None]:
    register("tests.hives")
    yield
    unregister("tests.hives")
    assert "Hives" not in [subject.title for subject in subjects()]


@pytest.fixture
def shell(folder: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(folder, capsys, "2026-05-16")


def test_its_table_is_printed_for_people_for_programs_and_for_a_spreadsheet(shell: Shell) -> None:
    assert shell.text("hives").splitlines() == ["hive  honey", "h1    41.5 lb", "h2    none yet"]
    assert shell.json("hives") == {
        "rows": [{"hive": "h1", "pounds": 41.5}, {"hive": "h2", "pounds": None}],
    }
    status, out, _ = shell("hives", "--csv")
    assert (status, out) == (0, "hive,honey,pounds\r\nh1,41.5 lb,41.5\r\nh2,none yet,\r\n")


def test_its_command_stands_in_the_help(shell: Shell) -> None:
    status, out, _ = shell("--help")
    assert status == 0 and "hives, and how much honey each has given" in " ".join(out.split())


async def test_without_a_number_its_view_is_reached_from_the_list_of_views(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("8", "full_stop")
        assert "Hives" in shown(app) and "Trays" in shown(app)
        await pilot.press("escape")
        assert app.open_view == "stock", "the list goes back to what it was opened over"
        await pilot.press("full_stop", "end", "enter")
        assert app.open_view == "hives"
        text = shown(app)
        assert "h1       41.5 lb" in text and "e looked into" in text
        await pilot.press("e")
        assert "h1 looked into" in app.status.text
        await pilot.press("question_mark")
        assert "On a hive" in shown(app) and "Help for Hives" in shown(app)
