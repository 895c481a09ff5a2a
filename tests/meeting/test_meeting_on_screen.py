"""The other machine is met from the screen, beside the work."""

from __future__ import annotations

import asyncio
import json
import shlex
import shutil
import sys
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.session import Session
from tests.farms import farm_in
from tui.app import ShedApp

pytestmark = pytest.mark.asyncio

DAY = "2026-06-23"
TRANSPORT = Path(__file__).with_name("transport.py")


@pytest.fixture
def app(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ShedApp:
    """The screen on the netbook, which has met the shed before."""
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    session = farm_in(tmp_path / "farm", {DAY: ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 25ft")})
    shutil.copytree(session.folder, tmp_path / "away")
    shed = Session(Book.open(tmp_path / "away", device="shed"), by="jo", on=date.fromisoformat(DAY))
    shed.write("30 zinnia b1 fresh")
    met = {
        "machine": "shed",
        "address": f"shed:{tmp_path / 'away'}",
        "via": shlex.join([sys.executable, str(TRANSPORT), "--gate", str(tmp_path / "open")]),
        "there": f"{shlex.quote(sys.executable)} -P -m tui",
        "on": DAY,
        "came": 0,
        "went": 0,
        "own": 0,
    }
    (session.folder / "netbook.met.json").write_text(json.dumps({"met": [met]}))
    return ShedApp(session, None, session.folder)


def status_of(app: ShedApp) -> str:
    return " ".join("".join(text for text, _ in line) for line in app.status.lines)


async def said(app: ShedApp, word: str) -> str:
    """The status line when `word` stands in it."""
    for _ in range(1200):
        if word in status_of(app):
            return status_of(app)
        await asyncio.sleep(0.05)
    raise AssertionError(status_of(app))


async def test_meet_typed_there_brings_the_other_machine_s_entries_while_keys_are_taken(app: ShedApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w", *"meet", "enter")
        assert "meeting" in status_of(app)
        await pilot.press("w", *"low 41")
        assert app.entry.value == "low 41"
        (app.session.folder.parent / "open").touch()
        assert "1 entry came here" in await said(app, "met  Met shed")
        assert app.entry.value == "low 41"
        assert [lot.code for lot in app.session.farm.lots.live()], (
            "the cut of the shed is in the farm that is open"
        )


async def test_what_goes_wrong_is_said_there_and_a_question_is_not_talked_over(app: ShedApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w", *"meet 'x", "enter")
        assert "has no end" in status_of(app)
        await pilot.press("e", "j")
        assert app.entry.value == "meet "
        app.entry.fill("meet ../away")
        await pilot.press("enter")
        assert "is a folder here" in await said(app, "not met")
