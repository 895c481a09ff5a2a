"""A small farm in the middle of May, written line by line as she would, and the screen opened on it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in
from tui.app import ShedApp

TODAY = date(2026, 5, 16)

SEASON = {
    "2026-02-20": (
        'farm name "Long Meadow" zone UTC',
        "last frost 14 may",
        "first frost 1 october",
        "bed b1 50ft",
        "bed b2 50ft",
        "bed b3 40ft",
        "bed b4 30ft",
        "sow 72 strawflower early apricot 144 seeds",
    ),
    "2026-03-05": ("sow 128 snapdragon pink",),
    "2026-03-10": ("up 66 S01",),
    "2026-03-25": ("up 110 S02",),
    **{f"2026-04-{day:02}": ("step S01",) for day in range(2, 9)},
    "2026-04-10": ("set out S01 66 b3 30ft",),
    "2026-04-20": ("plant peony b1 20ft 12 plants", "drill larkspur b2 20ft"),
    "2026-04-26": ("sow 50 zinnia",),
    "2026-05-01": ("12 peony b1 dry", "hang L001 line 1"),
    "2026-05-04": ("up 44 S03",),
    "2026-05-12": ("step S02",),
    "2026-05-13": ("step S02",),
    "2026-05-14": ("hold S02 wind", "bought 500 wire 22"),
    "2026-05-15": ("step S02", "18 peony b1 fresh culls 2 brown 10min"),
    "2026-05-16": ("low 41 high 62 tonight 45", "20 peony b1 dry"),
}
"""S02 hardens (3 of 7), S03 grows; L001 hangs since 1 May, L002 and L003 stand in the bucket."""


@pytest.fixture(autouse=True)
def keys_that_follow_are_held(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key pressed several times in a row is one that is held down, on a slow machine as on a quick one."""
    monkeypatch.setattr("tui.held.HELD", 600)


@pytest.fixture
def session(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    """A copy of the farm for one test, opened on its day."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return farm_in(tmp_path / "farm", SEASON, by="jm")


@pytest.fixture
def folder(session: Session) -> Path:
    return session.folder


@pytest.fixture
def opened(session: Session, folder: Path) -> Callable[[], ShedApp]:
    """Makes the screen on the farm."""
    return lambda: ShedApp(session, None, folder)
