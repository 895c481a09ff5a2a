"""The first questions: back and forth, and each answer is of the kind that was asked for."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from textual.pilot import Pilot

from core.session import Session
from tests.tui.conftest import TODAY
from tests.tui.test_morning import shown, type_line
from tui.app import ShedApp


@asynccontextmanager
async def _asked(folder: Path) -> AsyncIterator[tuple[ShedApp, Pilot[int]]]:
    app = ShedApp(None, lambda by: Session.create(folder, by=by or "me", on=TODAY), folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        yield app, pilot


async def _answer(pilot: Pilot[int], *answers: str) -> None:
    for answer in answers:
        await type_line(pilot, answer)
        await pilot.press("enter")
        await pilot.pause()


async def test_all_are_answered_and_thirty_beds_are_made_by_one_answer(tmp_path: Path) -> None:
    async with _asked(tmp_path / "farm") as (app, pilot):
        await _answer(pilot, "jm", "Low Barn", "14 may", "1 october", "b1-b30 50ft x 30in, n1 20ft")
        assert app.open_view == "today"
        farm = app.session.farm
        assert [*farm.beds] == [*(f"b{n}" for n in range(1, 31)), "n1"]
        assert {(bed.feet, bed.width_in) for bed in farm.beds.values()} == {(50, 30), (20, 36)}
        assert {(row[0], row[3]) for row in farm.frost} == {("spring", "05-14"), ("autumn", "10-01")}
        assert {e.by for e in app.session.entries()} == {"jm"}


async def test_up_goes_back_with_the_answer_and_another_takes_its_place(tmp_path: Path) -> None:
    async with _asked(tmp_path / "farm") as (app, pilot):
        await _answer(pilot, "jm", "Low Bran")
        await type_line(pilot, "14 m")
        await pilot.press("up")
        assert app.entry.value == "Low Bran" and "2 of 5  What is the farm called?" in shown(app)
        await pilot.press("ctrl+u")
        await _answer(pilot, "Low Barn")
        assert app.entry.value == "14 m" and "3 of 5" in shown(app)
        await pilot.press("up", "up")
        assert app.entry.value == "jm"
        await pilot.press("ctrl+u")
        await _answer(pilot, "ak")
        assert app.session.by == "ak" and app.session.farm.settings.name == "Low Barn"


async def test_an_answer_of_another_kind_is_refused_and_stays(tmp_path: Path) -> None:
    async with _asked(tmp_path / "farm") as (app, pilot):
        for good, *wrong in (
            ("jm", "14 may", "the boss", "007"),
            ("Low Barn", "14 may", "05-14", "b1 50ft", "12"),
            ("14 may", "Low Barn", "b1 50ft"),
            ("1 october", "1 april", "b1 50ft"),
        ):
            for answer in wrong:
                await _answer(pilot, answer)
                assert app.status.text.startswith("not written"), answer
                assert app.entry.value == answer
                await pilot.press("end", "ctrl+u")
            await _answer(pilot, good)
        await _answer(pilot, "14 may")
        assert app.status.text.startswith("not written")
