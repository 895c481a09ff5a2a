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
    found = told("germination", 0.6)
    assert set(found) <= {"seeds", "cells", "grams", "plants", "plants to set out", "feet", "trays"}
    # about as many more as fewer come up, and no wider bed for it
    old, new = map(int, found["seeds"])
    assert new / old == pytest.approx(0.8 / 0.6, rel=0.06)
    assert "feet" not in found or float(found["feet"][1]) == pytest.approx(float(found["feet"][0]), rel=0.03)


def test_moving_the_risk_moves_the_season() -> None:
    found = told("risk", 50)
    # At 50 % the window opens 28 Apr, 27 days before: the sooner, the surer that all stems come in time.
    assert found["set out"][0] == "2026-05-25" and "2026-04-28" <= found["set out"][1] < "2026-05-12"
    assert "sow" in found and "stems" not in found


def test_closer_plants_take_fewer_feet() -> None:
    found = told("spacing_in", 7)
    assert set(found) == {"feet"}
    # a bed of 36 in: at 9 in four rows of 12/9 plants a foot, at 7 in five rows of 12/7
    old, new = map(float, found["feet"])
    assert new == pytest.approx(old * (4 * 12 / 9) / (5 * 12 / 7), abs=0.1)


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


FIGURES_MOVED: dict[str, tuple[float, dict[str, int]]] = {
    "germination": (0.5, {"seeds": 1}),
    "survival": (0.6, {"seeds": 1}),
    "sure": (0.6, {"plants to set out": -1, "seeds": -1, "feet": -1}),
    "rho": (0.05, {"seeds": 1}),
    "doubles": (0.5, {"seeds": 1}),
    "bed_loss": (0.3, {"plants to set out": 1, "seeds": 1}),
    "cull": (0.4, {"stems to cut": 1, "plants to set out": 1}),
    "drying_loss": (0.3, {"stems to cut": 1, "plants to set out": 1}),
    "storage_loss": (0.5, {"stems to cut": 1}),
    "finish_days": (14, {"plants to set out": 1}),
    "bed_width_in": (60, {"feet": -1}),
    "cells_per_tray": (20, {"trays": 1}),
    "spacing_in": (18, {"feet": 1}),
    "stems_per_plant": (60, {"plants to set out": -1}),
    "stems_sd": (30, {"plants to set out": 1}),
    "days_to_first_cut": (30, {"plants to set out": -1}),
    "cut_weeks": (4, {"plants to set out": -1}),
}
"""name -> (a value far from the usual, which way that moves what): of 120 dried zinnias by 19 September. Cut for 4
weeks in place of 8 to 12, more of its stems come in time."""


@pytest.mark.parametrize("name", FIGURES_MOVED)
def test_a_figure_moves_what_hangs_on_it_and_the_right_way(name: str) -> None:
    value, ways = FIGURES_MOVED[name]
    found = told(name, value)
    moved = {what: float(new) - float(old) for what, (old, new) in found.items() if what in ways}
    assert {what: (1 if by > 0 else -1) for what, by in moved.items()} == ways, found


def test_what_does_not_hang_on_a_figure_is_not_moved_by_it() -> None:
    """Dried stems wait for nothing in the cooler, and what is raised in trays is not drilled."""
    assert told("hold_days", 1) == {} and told("bed_emergence", 0.3) == {}


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
    for what in ("seeds in all", "feet in all", "sowing 1: seeds"):
        old, new = map(float, found[what])
        assert new == pytest.approx(0.5 * old, rel=0.1), what
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
