"""The forecast of the nights after this one: said in words, kept, and asked before anything is planted out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from core.today import Sight, morning
from core.trays.rows import tray_rows
from core.weather.night import nights_to_come
from tests.farms import farm_in
from tests.shell import Shell

SPRING = {
    "2026-03-20": ("farm zone UTC", "last frost 5 may", "bed b1 50ft", "sow 72 cosmos"),
    "2026-04-05": ("up 66 S01",),
    **{f"2026-05-{day:02}": ("step S01",) for day in range(4, 12)},
}
"""Cosmos that is hardened off on Tuesday 12 May."""
TUESDAY = "2026-05-12"


def told(tmp_path: Path, *lines: str, on: str = TUESDAY) -> Session:
    return farm_in(tmp_path / "farm", {**SPRING, on: ("low 52", *lines)})


@pytest.mark.parametrize(
    ("line", "nights"),
    [
        ("tonight 54 sat 31", {"2026-05-12": 54, "2026-05-16": 31}),
        (
            "tonight 54 tomorrow 50 thu 44 fri 39",
            {f"2026-05-{12 + n}": f for n, f in enumerate((54, 50, 44, 39))},
        ),
        ("tonight 54, sat 31, sunday 29", {"2026-05-12": 54, "2026-05-16": 31, "2026-05-17": 29}),
        ("sat night 31", {"2026-05-16": 31}),
        ("low sat night 31F", {"2026-05-16": 31}),
        ("forecast sat 31 sun 29", {"2026-05-16": 31, "2026-05-17": 29}),
        ("forecast 54 sat 31", {"2026-05-12": 54, "2026-05-16": 31}),
        ("tomorrow night 33", {"2026-05-13": 33}),
        ("low tonight 54", {"2026-05-12": 54}),
    ],
)
def test_the_low_of_a_night_to_come_is_said_by_its_day(
    line: str, nights: dict[str, int], tmp_path: Path
) -> None:
    session = told(tmp_path, line)
    found = {night.isoformat(): low.f for night, low in nights_to_come(session.farm, session.today)}
    assert found == nights


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("low sunday 31", "ambiguous"),  # last Sunday's, written late, or the next one's
        ("tonight 38 tue 31", "ambiguous"),  # today is Tuesday
        ("tonight 38 sat 31 sat 30", "ambiguous"),
        ("sat night", "unreadable"),
        ("forecast", "unreadable"),
        ("tonight 38 sat 310", "impossible"),
    ],
)
def test_what_may_be_another_night_is_asked(line: str, code: str, tmp_path: Path) -> None:
    found = told(tmp_path).write(line)
    assert isinstance(found, Problem) and found.code == code, found


def test_a_reading_written_late_is_still_a_reading(tmp_path: Path) -> None:
    session = told(tmp_path, "low 31 sunday")
    assert session.farm.weather["2026-05-10"].low == 31
    assert not list(nights_to_come(session.farm, session.today))


def test_nothing_is_planted_out_into_a_frost_of_a_night_that_is_known(tmp_path: Path) -> None:
    session = told(tmp_path, "tonight 54")
    (row,) = tray_rows(session.farm, session.today)
    assert row.ask == "plant out"
    session.write("tonight 54 sat 31")
    (row,) = tray_rows(session.farm, session.today)
    assert row.ask == "wait: Sat night 31 F"
    session.write("sat night 52")
    (row,) = tray_rows(session.farm, session.today)
    assert row.ask == "plant out", "the newest forecast of a night holds"


def test_a_night_that_has_come_is_tonight_until_another_forecast_is_written(tmp_path: Path) -> None:
    told(tmp_path, "tonight 54 sat 31")
    later = Session.open(tmp_path / "farm", by="ml", on=date(2026, 5, 16))
    assert [low.f for _, low in nights_to_come(later.farm, later.today)] == [31]
    (row,) = tray_rows(later.farm, later.today)
    assert (row.ask, row.tonight) == ("wait: tonight 31 F", "bring in")
    later.write("tonight 56")
    (row,) = tray_rows(later.farm, later.today)
    assert row.ask == "plant out"


def test_the_morning_page_and_tonight_say_which_night(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, TUESDAY)
    told(tmp_path, "plant zinnia b1 20ft", "tonight 54 thu 48 sat 31")
    page = shell.text("today")
    assert "Sat 31 F" in page
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 5, 12))
    found = morning(Sight(session.farm, session.today))
    said = next(text for text in found.cautions if "Sat night" in text)
    assert "31 F" in said and "b1" in said and "S01" in said
    night = shell.text("tonight")
    assert "Sat night 31 F" in night and "Thu night 48 F" in night
    ahead = shell.json("tonight")["ahead"]
    assert [(one["night"], one["low_f"]) for one in ahead] == [("2026-05-14", 48), ("2026-05-16", 31)]
