"""A promise that is near is on the morning page until it is met, and a few days more where it fell short."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in, morning_of, write

SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft")
SEASON = {
    "2026-03-20": (
        *SET_UP,
        "plan 120 strawflower apricot dry by 09-19 b1",
        "sow 72 strawflower apricot",
    ),
    "2026-04-02": ("up 70 S01",),
    "2026-05-20": ("set out S01 b1 20ft",),
    "2026-08-04": ("60 strawflower apricot b1 dry",),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", SEASON)


def _promised(farm: Session, day: date) -> list[str]:
    """What the page says of plans on that day."""
    morning = morning_of(Session.open(farm.folder, by="ml", on=day))
    return [f"{asked.do}: {asked.when}" for asked in morning.asked if asked.zone == "promised"]


def test_it_is_told_as_its_day_comes_near_and_when_it_fell_short(farm: Session) -> None:
    assert _promised(farm, date(2026, 9, 1)) == []
    assert _promised(farm, date(2026, 9, 12)) == ["60 of 120 cut: 7 days left"]
    assert _promised(farm, date(2026, 9, 19)) == ["60 of 120 cut: today"]
    assert _promised(farm, date(2026, 9, 21)) == ["60 of 120 cut: 2 days late"]
    assert _promised(farm, date(2026, 9, 30)) == []


def test_once_it_is_met_nothing_more_is_said(farm: Session) -> None:
    write(farm, "60 strawflower apricot b1 dry")
    assert _promised(farm, date(2026, 9, 12)) == []


def test_planned_pieces_are_told_by_what_is_made(tmp_path: Path) -> None:
    farm = farm_in(
        tmp_path / "farm",
        {
            "2026-03-19": (
                *SET_UP,
                "recipe posy bouquet 10min: 10 dry strawflower",
                "plan 4 posy by 09-19",
            ),
            **{day: [line for line in lines if line not in SET_UP] for day, lines in SEASON.items()},
            "2026-08-20": ("hang L001 line 1", "snap L001 anyway", "make 1 posy"),
        },
    )
    assert "1 of 4 made: 7 days left" in _promised(farm, date(2026, 9, 12))
