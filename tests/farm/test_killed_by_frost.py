"""What a black frost of fall has killed stays dead for the season, whatever is asked and on whatever day."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.asks import Sight
from core.beds.rows import PlantingRow, bed_rows
from core.cutting.asks import at_stage
from core.promising.field import not_counted
from core.session import Session
from tests.farms import farm_in, page_lines
from tests.shell import Shell

OUT, FROST = date(2026, 8, 3), date(2026, 10, 1)
"""59 days after it was set out: young still, where the frost is one of spring."""
LOWS = {0: 23, 3: 31, 9: 26, 20: 40, 33: 22, 47: 19}
"""Days after the frost -> the low that was read: a simulated fall, mild again and cold again."""


def grown(folder: Path, crop: str = "statice", *more: str) -> Session:
    bed = ("farm zone UTC", "last frost 10 may", "first frost 5 oct", "bed b2 50ft", "bed b3 50ft")
    return farm_in(
        folder,
        {
            "2026-06-01": bed,
            OUT.isoformat(): (f"plant {crop} b2 20ft 150 plants",),
            FROST.isoformat(): ("low 23", *more),
        },
    )


def row_of(session: Session, day: date) -> PlantingRow:
    return next(p for bed in bed_rows(session.farm, day) for p in bed.plantings)


def test_it_stays_dead_on_every_day_of_the_fall(tmp_path: Path) -> None:
    session = grown(tmp_path / "farm")
    for days in range(75):
        day = FROST + timedelta(days=days)
        session = Session.open(tmp_path / "farm", by="ml", on=day)
        if days and days in LOWS:
            session.write(f"low {LOWS[days]}")
        row = row_of(session, day)
        assert not row.at_stage and row.job in ("look", "clear"), (day, row)
        assert not at_stage(Sight(session.farm, day)), day
        (planting,) = session.farm.plantings.live()
        assert "low 23 F" in not_counted(session.farm, planting, day, date(2026, 12, 20)), day
        assert not [line for line in page_lines(session) if "cut" in line.text.lower() and "b2" in line.text]


@pytest.mark.parametrize("days", [4, 7, 8, 30, 50])
def test_nothing_of_it_is_promised(days: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    grown(tmp_path / "farm")
    day = FROST + timedelta(days=days)
    said = Shell(tmp_path / "farm", capsys, day.isoformat())("promise", "statice dry 50 12-20")[1]
    assert said.strip().lower().startswith("no"), said


def test_a_later_cut_of_it_says_that_it_lives(tmp_path: Path) -> None:
    grown(tmp_path / "farm")
    day = FROST + timedelta(days=9)
    session = Session.open(tmp_path / "farm", by="ml", on=day)
    session.write("40 statice b2 dry")
    assert row_of(session, day + timedelta(days=1)).job != "clear"


def test_a_young_planting_may_come_through_a_frost_of_spring(tmp_path: Path) -> None:
    farm_in(
        tmp_path / "farm",
        {
            "2026-05-01": (
                "farm zone UTC",
                "last frost 10 may",
                "bed b2 50ft",
                "plant statice b2 20ft 150 plants",
            ),
            "2026-05-09": ("low 23",),
        },
    )
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 5, 10))
    assert row_of(session, date(2026, 5, 10)).job == "look"
    assert row_of(session, date(2026, 5, 20)).job not in ("look", "clear")


def test_a_hardy_planting_of_fall_is_left_to_stand_the_winter(tmp_path: Path) -> None:
    farm_in(
        tmp_path / "farm",
        {
            "2026-09-15": (
                "farm zone UTC",
                "last frost 10 may",
                "bed b2 50ft",
                "plant larkspur b2 20ft 150 plants",
            ),
            "2026-11-01": ("low 5",),
        },
    )
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 11, 20))
    assert row_of(session, date(2026, 11, 20)).job != "clear"
