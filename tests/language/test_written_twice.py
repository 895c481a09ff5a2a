"""The very same order, planting or sowing a second time within the hour is asked about, as other doubtful lines are."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.book import ids
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write

BEDS = {"2026-06-23": ("farm zone UTC", "bed b7 90ft", "bed b8 90ft", "sow 72 cosmos")}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", BEDS)


LINES = (
    "order Zed 40 zinnia fresh by 8-9 at 1",
    "order Zed 40 zinnia fresh, 20 statice dry by 8-9",
    "plant 14 dahlia b7 20ft",
    "drill larkspur b8 20ft",
    "sow 60 zinnia",
)


@pytest.mark.parametrize("line", LINES)
def test_the_same_again_is_asked_and_taken_where_she_insists(farm: Session, line: str) -> None:
    first = write(farm, line)
    again = farm.write(line)
    assert isinstance(again, Problem) and "anyway" in again.sentence and "same" in again.sentence, again
    second = write(farm, f"{line} anyway")
    assert [e.kind for e in second.entries if e.kind != "note"] == [e.kind for e in first.entries]


@pytest.mark.parametrize(
    ("line", "other"),
    [
        (LINES[0], "order Zed 40 zinnia fresh by 8-10 at 1"),
        (LINES[0], "order Zed 41 zinnia fresh by 8-9 at 1"),
        (LINES[0], "order Zoe 40 zinnia fresh by 8-9 at 1"),
        (LINES[1], LINES[0]),
        (LINES[2], "plant 14 dahlia b8 20ft"),
        (LINES[4], "sow 61 zinnia"),
        (LINES[4], "sow 60 zinnia yesterday"),
        (LINES[4], "sow 60 zinnia by jo"),
    ],
)
def test_what_differs_in_anything_is_not(farm: Session, line: str, other: str) -> None:
    write(farm, line, other)


def test_what_was_taken_back_may_be_written_again(farm: Session) -> None:
    write(farm, LINES[4])
    farm.undo(sure=True)
    write(farm, LINES[4])


def test_cuts_are_written_twice_without_a_word(farm: Session) -> None:
    write(farm, "plant strawflower b7 20ft 60 plants", "10 strawflower b7 dry", "10 strawflower b7 dry")


def test_an_hour_later_it_is_another(farm: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    write(farm, LINES[4])

    now = ids.now_ms() + 2 * 3_600_000
    monkeypatch.setattr(ids, "now_ms", lambda: now)
    write(farm, LINES[4])


ORDERS = {
    "2026-06-01": ("farm zone UTC", "bed b7 90ft", "plant zinnia b7 40ft 140 plants", "sow 72 cosmos"),
    "2026-06-22": (
        "80 zinnia b7 fresh",
        "order Fern Hollow 10 zinnia fresh at 1 weekly from 6-22 to 7-6",
        "order market 40 zinnia fresh at 1 by 6-23",
        "handed over O001",
        "pick O002",
    ),
    "2026-06-23": ("paid O001 4",),
}


@pytest.fixture
def orders(tmp_path: Path) -> Session:
    book = farm_in(tmp_path / "orders", ORDERS)
    book.undo(sure=True)
    return book


@pytest.mark.parametrize(
    "lines",
    [
        ("lost 12 zinnia b7 frost",),
        ("lost 5 wilted L001",),
        ("lost 3 damping S01",),
        ("paid O001 10",),
        ("paid O002 25",),
        ("paid O001 4", "refund O001 2"),
        ("back 10 zinnia O002",),
        ("back 2 zinnia O001",),
    ],
    ids=lambda lines: lines[-1],
)
def test_losses_money_and_what_comes_back_are_asked_the_second_time(
    orders: Session, lines: tuple[str, ...]
) -> None:
    write(orders, *lines)
    again = orders.write(lines[-1])
    assert isinstance(again, Problem) and "The same was written within the hour" in again.sentence, again
    write(orders, f"{lines[-1]} anyway")


def test_what_was_picked_again_goes_back_again(orders: Session) -> None:
    write(orders, "order Ann 10 zinnia fresh by 6-24", *("pick O003", "back O003") * 2)
