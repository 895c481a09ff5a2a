"""A number ten times the usual is a figure too many: whatever it counts, it is asked about, and "anyway" is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from tests.farms import farm_in

SEASON = {
    "2026-03-01": (
        "farm zone UTC",
        "last frost 14 may",
        "bed b1 50ft",
        "bed b2 50ft",
        "bed b3 50ft",
        "sow 72 strawflower 144 seeds",
        "sow 128 statice",
        "bought 500 wire 22",
        "bought 4 tape",
        "room lights 24",
        "plan 120 strawflower dry by 9-19",
        "recipe sheaf wreath 20min: 10 dry strawflower",
        "plan 5 sheaf by 12-01",
    ),
    "2026-03-20": ("up 120 S01", "up 120 S02", "lost 3 damping S01"),
    "2026-05-10": ("plant zinnia b1 25ft 60 plants", "plant statice b2 25ft 60 plants"),
    "2026-06-10": ("400 statice b2 dry", "lost 2 slugs b1 zinnia"),
    "2026-06-12": ("30 zinnia b1 fresh", "sold 5 L002"),
    "2026-06-14": ("hang 400 L001 line 1", "lost 4 mold L001"),
    "2026-06-15": ("weigh L001 line 1 240g",),
    "2026-06-20": ("300 statice b2 fresh",),
}

SLIPS = (
    "sow 7200 strawflower",
    "sow 720 strawflower 1440 seeds",
    "sow 5000 zinnia",
    "plant zinnia b3 25ft 6000 plants",
    "lost 100 damping S01",
    "lost 100 mold L001",
    "sold 200 L003",
    "used 250 L003 for crown",
    "count 5000 wire 22",
    "bought 50000 wire 22",
    "bed b9 500ft",
    "weigh L001 line 1 2400g",
    "L002 was 3000",
    "S02 was 12800",
    "P01 was 6000",
    "plan 12000 strawflower dry by 2027-09-19",
    "plan 1300 bunches strawflower dry by 2027-09-19",
    "plan 1500 bunches zinnia fresh by 2027-08-20",
    "plan 500 sheaf by 2027-12-01",
    "N01 was 15000",
    "room lights 2400",
)
"""Each with a figure too many, by what was written of the same before."""
USUAL = (
    "sow 288 strawflower",
    "sow 200 zinnia",
    "plant zinnia b3 25ft 90 plants",
    "lost 30 damping S01",
    "lost all mold L001",
    "lost 396 mold L001",
    "sold 90 L003",
    "sold 300 L003",
    "count 480 wire 22",
    "bought 2000 wire 22",
    "bed b9 200ft",
    "weigh L001 line 1 180g",
    "L002 was 90",
    "S02 was 130",
    "P01 was 66",
    "plan 900 strawflower dry by 2027-09-19",
    "N01 was 150",
    "plan 9 sheaf by 2027-12-01",
    "room lights 48",
)
"""Numbers that may be: of the size of the others, or all that there is."""


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", SEASON)


def kept(session: Session) -> list[str]:
    return [note.text for note in session.farm.notes]


@pytest.mark.parametrize("line", SLIPS)
def test_ten_times_the_usual_is_asked_about_and_taken_with_anyway(line: str, farm: Session) -> None:
    before = farm.farm.count
    refused = farm.write(line)
    assert isinstance(refused, Problem), line
    assert refused.sentence.endswith("Add 'anyway' if it is so.")
    assert "times" in refused.sentence or "holds" in refused.sentence
    assert farm.farm.count == before

    taken = farm.write(f"{line} anyway")
    assert not isinstance(taken, Problem), taken
    assert [text for text in kept(farm) if text.startswith("anyway: ")], "why it was asked is remembered"


@pytest.mark.parametrize("line", USUAL)
def test_what_may_be_is_not_asked_about(line: str, farm: Session) -> None:
    taken = farm.write(line)
    assert not isinstance(taken, Problem), taken
    assert not kept(farm)


def test_what_was_taken_back_is_no_measure(farm: Session) -> None:
    assert not isinstance(farm.write("sow 7200 strawflower anyway"), Problem)
    assert not isinstance(farm.undo(sure=True), Problem)
    assert isinstance(farm.write("sow 7200 strawflower"), Problem)


def test_the_first_sowing_of_all_has_no_measure_but_an_acre(tmp_path: Path) -> None:
    new = farm_in(tmp_path / "new", {"2026-03-01": ("farm zone UTC",)})
    assert isinstance(new.write("sow 72000 zinnia"), Problem)
    assert not isinstance(new.write("sow 720 zinnia"), Problem)
    other = farm_in(
        tmp_path / "other", {"2026-03-01": ("last frost 05-14", *(f"bed b{n} 200ft" for n in range(9)))}
    )
    assert isinstance(other.write("sow 6000 zinnia"), Problem)
    assert not isinstance(other.write("plan 15000 zinnia fresh by 8-20"), Problem)
    seeds = other.farm.plans["N01"].seeds or 0
    assert seeds > 5000 and not isinstance(other.write(f"sow {seeds} zinnia"), Problem)


def test_what_a_plan_asks_for_is_no_slip_though_little_was_sown_before(tmp_path: Path) -> None:
    """40 seeds sown and 20 in a packet so far; the plan wants hundreds. Ten times of those is still asked about."""
    days = {
        "2026-02-03": (
            "farm zone UTC",
            "last frost 05-14",
            "first frost 10-01",
            *(f"bed b{n} 50ft" for n in (1, 2, 3)),
            "packet strawflower 20 seeds",
            "sow 40 zinnia",
        )
    }
    new = farm_in(tmp_path / "new", days)
    assert isinstance(new.write("sow 511 strawflower"), Problem)
    assert isinstance(new.write("packet strawflower 511 seeds"), Problem)
    assert not isinstance(new.write("plan 210 strawflower dry by 9-1"), Problem)
    seeds = new.farm.plans["N01"].seeds or 0
    assert seeds >= 400
    for line in (f"sow {10 * seeds} strawflower", f"packet strawflower {10 * seeds} seeds"):
        refused = new.write(line)
        assert isinstance(refused, Problem) and f"10 times what a plan asks for, {seeds}" in refused.sentence
    assert not isinstance(new.write(f"packet strawflower {seeds} seeds"), Problem)
    assert not isinstance(new.write(f"sow {seeds} strawflower"), Problem)
    assert not kept(new)


def test_a_plan_that_was_dropped_is_no_measure(tmp_path: Path) -> None:
    days = {"2026-02-03": ("last frost 05-14", "bed b1 50ft", "bed b2 50ft", "sow 40 zinnia")}
    new = farm_in(tmp_path / "new", days)
    assert not isinstance(new.write("plan 210 strawflower dry by 9-1"), Problem)
    assert not isinstance(new.write("drop N01"), Problem)
    assert isinstance(new.write("sow 511 strawflower"), Problem)


def test_the_first_plan_of_all_is_measured_by_the_beds(tmp_path: Path) -> None:
    new = farm_in(tmp_path / "new", {"2026-03-01": ("farm zone UTC", "last frost 14 may", "bed b1 50ft")})
    assert isinstance(new.write("plan 20000 strawflower dry by 9-19"), Problem)
    assert not isinstance(new.write("plan 200 strawflower dry by 9-19"), Problem)
