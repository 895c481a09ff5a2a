"""A small farm in the middle of May, written line by line as she would, and the screen opened on it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from core.door import Door
from tests.builders import write
from tui.app import ShedApp

TODAY = date(2026, 5, 16)

SEASON = """
2026-02-20 farm name "Long Meadow" zone UTC
2026-02-20 last frost 14 may
2026-02-20 first frost 1 october
2026-02-20 bed b1 50ft
2026-02-20 bed b2 50ft
2026-02-20 bed b3 40ft
2026-02-20 bed b4 30ft
2026-02-20 sow 72 strawflower early apricot 144 seeds
2026-03-05 sow 128 snapdragon pink
2026-03-10 up 66 S01
2026-03-25 up 110 S02
2026-04-02 step S01
2026-04-03 step S01
2026-04-04 step S01
2026-04-05 step S01
2026-04-06 step S01
2026-04-07 step S01
2026-04-08 step S01
2026-04-10 set out S01 66 b3 30ft
2026-04-20 plant peony b1 20ft 12 plants
2026-04-20 drill larkspur b2 20ft
2026-04-26 sow 50 zinnia
2026-05-01 12 peony b1 dry
2026-05-01 hang L001 line 1
2026-05-04 up 44 S03
2026-05-12 step S02
2026-05-13 step S02
2026-05-14 hold S02 wind
2026-05-14 bought 500 wire 22
2026-05-15 step S02
2026-05-15 18 peony b1 fresh culls 2 brown 10min
2026-05-16 low 41 high 62 tonight 45
2026-05-16 20 peony b1 dry
"""
"""S02 hardens (3 of 7), S03 grows; L001 hangs since 1 May, L002 and L003 stand in the bucket."""


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The farm's folder, written once."""
    folder = tmp_path_factory.mktemp("season") / "farm"
    door = Door.create(folder, by="jm")
    for line in SEASON.strip().splitlines():
        day, _, text = line.partition(" ")
        door.on = date.fromisoformat(day)
        write(door, text)
    door.close()
    return folder


@pytest.fixture
def folder(season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the farm for one test."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return Path(shutil.copytree(season, tmp_path / "farm"))


@pytest.fixture
def door(folder: Path) -> Door:
    """The farm opened on its day."""
    return Door.open(folder, by="jm", on=TODAY)


@pytest.fixture
def opened(door: Door, folder: Path) -> Callable[[], ShedApp]:
    """Makes the screen on the farm."""
    return lambda: ShedApp(door, None, folder)
