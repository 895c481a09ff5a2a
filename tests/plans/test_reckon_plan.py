"""`reckon seeds` and `reckon plan` as they are typed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from core.plans.what_if import FIGURES
from tests.cases import some_of
from tui.cli import main

FROSTS = ("--last-frost", "2026-05-14", "--first-frost", "2026-09-28")


def run(*words: str) -> int:
    return main(["reckon", *words])


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert run(*words, "--json") == 0
    value = json.loads(capsys.readouterr().out)
    assert isinstance(value, dict)
    return value


def test_seeds(capsys: pytest.CaptureFixture[str]) -> None:
    # scipy.stats.binom: 98 (sowing_binomial.csv); scipy.stats.betabinom at rho 0.02: 106
    asked = ("seeds", "--plants", "72", "--germination", "0.8", "--sure", "0.95")
    assert as_json(capsys, *asked)["seeds"] == 98
    assert as_json(capsys, *asked, "--rho", "0.02")["seeds"] == 106
    assert as_json(capsys, "seeds", "--plants", "72", "--germination", "80%")["seeds"] == 98
    assert "binomial" in " ".join(as_json(capsys, *asked, "--why")["because"])


def test_seeds_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("seeds", "--plants", "72", "--germination", "80") == 1
    assert "80 % as 0.8" in capsys.readouterr().err


def test_plan(capsys: pytest.CaptureFixture[str]) -> None:
    value = as_json(capsys, "plan", "straw", "--stems", "120", "--use", "dry", "--by", "2026-09-19", *FROSTS)
    assert (value["sow"], value["set_out"], value["chance"]) == ("2026-03-19", "2026-05-14", 0.95)
    assert value["seeds"] > value["plants_to_set_out"] > value["plants_one_year_in_two"]
    assert value["most_doubt"] == "stems a plant"
    assert value["because"]
    assert (
        run("plan", "straw", "--bunches", "12", "--use", "dry", "--by", "2026-09-19", *FROSTS, "--why") == 0
    )
    printed = capsys.readouterr().out
    assert "kept 95 times in 100" in printed and "because" in printed
    assert all(len(line) <= 80 for line in printed.splitlines())


def test_one_stem_is_one_stem(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("plan", "zinnia", "--stems", "1", "--by", "2026-08-10", *FROSTS) == 0
    assert capsys.readouterr().out.startswith("zinnia: 1 stem, fresh, by Mon 10 Aug 2026")


@pytest.mark.part
def test_every_figure_of_a_plan_can_be_said(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("plan", "stock", "--stems", "60", "--by", "2026-06-20", *FROSTS)
    usual = as_json(capsys, *asked)
    # Nine doubles in ten, as a bred series claims [S159], where ordinary strains have five [S98].
    assert as_json(capsys, *asked, "--doubles", "90%")["seeds"] < 0.63 * usual["seeds"]
    assert as_json(capsys, *asked, "--rho", "0.02")["seeds"] > usual["seeds"]
    odd = {"rho": "0.02", "cells_per_tray": "50", "days_to_first_cut": "60"}
    for name in some_of([*FIGURES], 0):
        assert as_json(capsys, *asked, f"--{name.replace('_', '-')}", odd.get(name, "0.9"))["seeds"] > 0


def test_plan_by_the_week(capsys: pytest.CaptureFixture[str]) -> None:
    value = as_json(capsys, "plan", "sunflower", "--bunches", "10", "--from", "2026-07-20", *FROSTS)
    # ten weeks and a last day, for which nothing is sown
    assert len(value["plans"]) == 10 and len(value["weeks"]) == 11
    assert (value["weeks"][-1]["wanted"], value["weeks"][-1]["to"]) == (7, "2026-09-28")
    assert run("plan", "sunflower", "--bunches", "10", "--from", "2026-07-20", *FROSTS) == 0
    assert "sowing" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("zinnia", "--stems", "9", "--by", "2026-06-01", *FROSTS), "would do"),
        (("zinnia", "--by", "2026-08-01", *FROSTS), "--stems 120"),
        (("zinnia", "--stems", "9", *FROSTS), "--by DAY"),
        (("zxnnia", "--stems", "9", "--by", "2026-08-01", *FROSTS), "zinnia"),
        (("zinnia", "--stems", "9", "--by", "2026-08-01", *FROSTS, "--germination", "8"), "share"),
        (
            ("zinnia", "--stems", "9", "--by", "2026-08-01", "--last-frost", "2026-05-14",
             "--first-frost", "2026-04-01"),
            "comes after",
        ),
    ],
)  # fmt: skip
def test_plans_refused(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str) -> None:
    assert run("plan", *words) == 1
    assert says in capsys.readouterr().err
