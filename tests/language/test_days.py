"""The day of a line: today unless said, never a day to come."""

from __future__ import annotations

from datetime import date

import pytest

from core.farm import Farm
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import TODAY, sample_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return sample_farm()


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("", "2026-06-23"),
        ("today", "2026-06-23"),
        ("yesterday", "2026-06-22"),
        ("mon", "2026-06-22"),
        ("on monday", "2026-06-22"),
        ("sun", "2026-06-21"),
        ("on 2026-06-20", "2026-06-20"),
        ("2026-06-20", "2026-06-20"),
        ("06-20", "2026-06-20"),
        ("on 06-20", "2026-06-20"),
        ("20 june", "2026-06-20"),
        ("june 20", "2026-06-20"),
        ("20 jun", "2026-06-20"),
        ("30 march", "2026-03-30"),
        ("02-29", "2026-02-28"),  # a common year
    ],
)
def test_a_line_is_dated(farm: Farm, said: str, day: str) -> None:
    for text in (f"low 34 {said}", f"{said} low 34"):
        reading = read_line(text, farm, TODAY)
        assert isinstance(reading, Reading), reading.sentence
        assert reading.drafts[0].on == day
        assert reading.drafts[0].fields == {"f": 34}


def test_the_day_understood_is_said(farm: Farm) -> None:
    reading = read_line("low 34 mon", farm, TODAY)
    assert isinstance(reading, Reading)
    assert reading.remarks == ("dated Mon 22 Jun 2026",)


def test_in_january_december_is_last_year(farm: Farm) -> None:
    reading = read_line("low 4 12-30", farm, date(2026, 1, 5))
    assert isinstance(reading, Reading)
    assert reading.drafts[0].on == "2025-12-30"


@pytest.mark.parametrize("said", ["2026-06-24", "06-24", "24 june", "on 2027-01-01"])
def test_a_day_to_come_is_refused_and_named(farm: Farm, said: str) -> None:
    problem = read_line(f"low 34 {said}", farm, TODAY)
    assert isinstance(problem, Problem)
    assert problem.code == "impossible"
    assert "is a day to come" in problem.sentence
    assert "today is Tue 23 Jun 2026" in problem.sentence


@pytest.mark.parametrize("said", ["06-31", "2026-13-01", "31 june", "2026-02-30", "on 1826-06-20"])
def test_no_real_day_is_refused(farm: Farm, said: str) -> None:
    problem = read_line(f"low 34 {said}", farm, TODAY)
    assert isinstance(problem, Problem)
    assert problem.code == "impossible"


def test_two_days_are_refused(farm: Farm) -> None:
    problem = read_line("low 34 mon yesterday", farm, TODAY)
    assert isinstance(problem, Problem)
    assert problem.code == "ambiguous"


def test_the_rest_of_a_sale_is_the_buyer_but_a_last_day_is_a_day(farm: Farm) -> None:
    reading = read_line("sold 20 L002 to mon repos inn yesterday", farm, TODAY)
    assert isinstance(reading, Reading)
    assert (reading.drafts[0].on, reading.drafts[0].fields["who"]) == ("2026-06-22", "mon repos inn")


def test_the_weekday_that_is_today_is_asked_about() -> None:
    """It is today's, or a week old: neither is taken for the other."""
    refused = read_line("40 strawflower b3 dry tuesday", sample_farm(), TODAY)
    assert isinstance(refused, Problem)
    assert (refused.code, refused.nearest) == ("ambiguous", ("16 june",))
