"""One number moved, and only what differs told."""

from __future__ import annotations

from datetime import date

import pytest

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.plans.what_if import NUMBERS, WEEKLY_NUMBERS, Compared, what_if, what_if_weekly
from core.plans.wish import Ask, Wish
from core.problems import Problem

# Deer Flat Dam, Idaho, freeze table reprinted from government normals [S64].
FROST = Frost(
    {
        (32, 90): date(2026, 3, 31),
        (32, 50): date(2026, 4, 28),
        (32, 10): date(2026, 5, 25),
        (36, 10): date(2026, 6, 9),
    },
    {(32, 50): date(2026, 10, 8)},
)


def asked(crop: str = "zinnia", use: str = "dry") -> Ask:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    return Ask(Wish(crop, 120, use, date(2026, 9, 19)), found, FROST)


def told(name: str, value: float | date) -> dict[str, tuple[str, str]]:
    compared = what_if(asked(), name, value)
    assert isinstance(compared, Compared), compared
    return {d.name: (d.old, d.new) for d in compared.differences}


def test_poorer_germination_moves_seeds_and_nothing_before_them() -> None:
    assert set(told("germination", 0.6)) <= {"seeds", "cells", "grams", "plants", "plants to set out", "feet"}
    assert "seeds" in told("germination", 0.6)


def test_moving_the_risk_moves_the_season() -> None:
    found = told("risk", 50)
    # At 50 % the window opens 28 Apr, 27 days before: the sooner, the surer that all stems come in time.
    assert found["set out"][0] == "2026-05-25" and "2026-04-28" <= found["set out"][1] < "2026-05-12"
    assert "sow" in found and "stems" not in found


def test_closer_plants_take_fewer_feet() -> None:
    assert set(told("spacing_in", 7)) == {"feet"}


def test_more_stems_a_greater_loss_another_day() -> None:
    assert told("stems", 200)["stems"] == ("120", "200")
    assert {"stems to cut", "plants", "seeds"} <= set(told("cull", 0.3))
    assert "by" in told("by", date(2026, 10, 1))
    assert told("set_out_on", date(2026, 6, 1))["set out"] == ("2026-05-25", "2026-06-01")


def test_nothing_moved_differs_in_nothing() -> None:
    assert told("stems", 120) == {}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("weather", 1.0),
        ("from", date(2026, 7, 1)),
        ("stems", 0.0),
        ("risk", 20.0),
        ("by", 7.0),
        ("stems", date(2026, 1, 1)),
        ("germination", 2.0),
    ],
)
def test_what_cannot_be_moved(name: str, value: float | date) -> None:
    assert isinstance(what_if(asked(), name, value), Problem)


def test_a_risk_not_known_names_those_that_are() -> None:
    refused = what_if(asked(), "risk", 20)
    assert isinstance(refused, Problem)
    assert "known are 10 %, 50 %, 90 %" in refused.sentence
    assert "weather risk" in refused.sentence and "20%" in refused.sentence


def test_every_number_can_be_moved() -> None:
    for name in NUMBERS:
        value: float | date = 1
        if name in ("by", "set_out_on"):
            value = date(2026, 6, 9) if name == "set_out_on" else date(2026, 9, 20)
        elif name in ("cull", "drying_loss", "storage_loss", "bed_loss", "rho", "sure"):
            value = 0.5
        elif name == "risk":
            value = 10
        assert isinstance(what_if(asked(), name, value), Compared), name


# By the week


def told_weekly(name: str, value: float | date, until: date | None = None) -> dict[str, tuple[str, str]]:
    compared = what_if_weekly(asked(use="fresh"), date(2026, 8, 5), until, name, value)
    assert isinstance(compared, Compared), compared
    return {d.name: (d.old, d.new) for d in compared.differences}


def test_fewer_stems_a_week_need_less_of_every_sowing_and_move_no_day() -> None:
    found = told_weekly("stems", 60)
    assert {"seeds in all", "feet in all", "sowing 1: seeds"} <= set(found)
    assert not any(name.split(": ")[-1] == "sow" or name.startswith("week of") for name in found)


def test_an_earlier_end_takes_away_a_sowing() -> None:
    found = told_weekly("until", date(2026, 9, 8), date(2026, 10, 8))
    assert found["until"] == ("8 Oct", "8 Sep")
    assert int(found["sowings"][0]) > int(found["sowings"][1])


def test_an_earlier_start_meets_weeks_that_fall_short() -> None:
    found = told_weekly("from", date(2026, 6, 24))
    old, new = (int(text.split(" of ")[0]) for text in found["weeks that fall short"])
    assert old < new


def test_every_number_can_be_moved_in_a_weekly_wish() -> None:
    for name in WEEKLY_NUMBERS:
        value: float | date = 1
        if name in ("from", "until"):
            value = date(2026, 8, 12) if name == "from" else date(2026, 9, 20)
        elif name in ("cull", "drying_loss", "storage_loss", "bed_loss", "rho", "sure"):
            value = 0.5
        elif name in ("risk", "days_to_first_cut"):
            value = 10
        made = what_if_weekly(asked(use="fresh"), date(2026, 8, 5), date(2026, 9, 15), name, value)
        assert isinstance(made, Compared), (name, made)


@pytest.mark.parametrize(
    ("name", "value"),
    [("by", date(2026, 9, 1)), ("weather", 1.0), ("stems", 0.0), ("until", 3.0), ("until", date(2026, 8, 6)),
     ("from", date(1, 1, 1)), ("from", date(9999, 12, 31))],
)  # fmt: skip
def test_what_cannot_be_moved_by_the_week(name: str, value: float | date) -> None:
    assert isinstance(what_if_weekly(asked(use="fresh"), date(2026, 8, 5), None, name, value), Problem)
