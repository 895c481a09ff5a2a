"""Pieces promised for a day: what is dried already, and plans back to the seed that are as sure together as asked."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from core.plans.plan import Plan
from core.plans.preview import Preview
from core.plans.rows import plan_rows
from core.plans.typed_wish import preview_of
from core.problems import Problem
from core.session import Session, Written
from tests.farms import write
from tests.plans.other_hand import WORLDS, met
from tests.plans.test_changed_in_place import opened

pytestmark = pytest.mark.usefixtures("reckoned_once")

SWAG = "recipe swag wreath 12in 40min: 20 dry strawflower, 15 dry statice, 1 ring 12in"


def asked(session: Session, line: str) -> Preview:
    seen = preview_of(line, session.farm, session.today)
    assert isinstance(seen, Preview), seen
    return seen


def kept_together(plans: tuple[Plan, ...], world: str) -> float:
    """The share of made-up seasons in which every one of the plans is met; they share its weather and no more."""
    each = [met(plan, world, 8000, seed=7 + i, weather=1) for i, plan in enumerate(plans)]
    return float(np.mean(np.logical_and.reduce(each)))


def test_twelve_pieces_are_reckoned_back_to_the_seed_of_each_part(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm", SWAG)
    seen = asked(session, "plan 12 swag by 12-01")
    wished = {plan.wish.crop: (plan.wish.stems, plan.wish.use) for plan in seen.plans}
    assert wished == {"strawflower": (240, "dry"), "statice": (180, "dry")}
    # 12 of 40 minutes are eight hours: the stems are there the day before
    assert {plan.wish.by for plan in seen.plans} == {date(2026, 11, 30)}
    assert all(plan.sow_on is not None for plan in seen.plans)
    assert seen.pieces is not None and seen.pieces.chance == pytest.approx(0.95, abs=0.006)
    # each part must be surer than all of them together
    assert all(plan.promise.chance > seen.pieces.chance for plan in seen.plans)
    simulated = [kept_together(seen.plans, world) for world in WORLDS]
    assert sum(simulated) / len(simulated) == pytest.approx(seen.pieces.chance, abs=0.02)


def test_what_is_dried_already_is_counted_first_and_once(tmp_path: Path) -> None:
    session = opened(
        tmp_path / "farm",
        SWAG,
        "plant statice b1 10ft on 2025-05-20",
        "200 statice b1 dry on 2025-08-01",
        "hang on 2025-08-01",
        "snap L001 on 2025-08-20",
        "box L001 20x10 box 1 on 2025-08-21",
    )
    seen = asked(session, "plan 12 swag by 12-01")
    # 200 less what is lost in store till then: enough for the 180
    assert [plan.wish.crop for plan in seen.plans] == ["strawflower"]
    write(session, "plan 12 swag by 12-01")
    again = {plan.wish.crop: plan.wish.stems for plan in asked(session, "plan 12 swag by 12-01").plans}
    assert again["strawflower"] == 240 and 160 <= again["statice"] < 180
    full = opened(
        tmp_path / "full",
        "recipe posy bouquet 10min: 10 dry statice",
        "plant statice b1 10ft on 2025-05-20",
        "200 statice b1 dry on 2025-08-01",
        "hang on 2025-08-01",
        "snap L001 on 2025-08-20",
        "box L001 20x10 box 1 on 2025-08-21",
    )
    there = full.write("plan 5 posy by 12-01")
    assert isinstance(there, Written) and "nothing is to be grown" in " ".join(there.remarks)
    assert [entry.kind for entry in there.entries] == ["planned pieces"]


def test_it_is_one_plan_with_its_parts_dropped_and_undone_as_one_and_met_by_making(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm", SWAG)
    done = session.write("plan 12 swag by 12-01")
    assert isinstance(done, Written)
    rows = {row.plan: row for row in plan_rows(session.farm, session.today)}
    # the parts stand under the whole, what is due first first
    assert next(iter(rows)) == "N01" and set(rows) == {"N01", "N02", "N03"}
    assert rows["N01"].parts == ("N02", "N03") and rows["N02"].part_of == "N01"
    assert "0 of 12 made" in rows["N01"].says
    refused = session.write("N01 was 15")
    assert isinstance(refused, Problem) and "part by part" in refused.sentence
    write(session, "N02 was 300")
    changed = {row.plan: row for row in plan_rows(session.farm, session.today)}
    assert (changed["N02"].stems, changed["N02"].part_of) == (300, "N01")
    assert isinstance(session.undo(), Written) and isinstance(session.undo(), Written)
    assert plan_rows(session.farm, session.today) == []
    write(session, "plan 12 swag by 12-01", "drop N01")
    assert plan_rows(session.farm, session.today) == []
    made = opened(
        tmp_path / "made",
        "recipe posy bouquet 10min: 10 dry statice",
        "plan 5 posy by 12-01",
        "plant statice b1 10ft",
        "60 statice b1 dry",
        "hang",
        "snap L001 anyway",
        "make 5 posy",
    )
    assert next(r for r in plan_rows(made.farm, made.today) if r.plan == "N01").outcome == "met"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("plan 12 wreaths by 12-01", ("any", "of strawflower")),
        ("plan 12 swags by 4-10", ("too late",)),
        ("plan 0 swag by 12-01", ("1",)),
        ("plan 12 swag by 12-01 of frobbed", ("frobbed",)),
    ],
)
def test_what_cannot_be_says_what_would_do(tmp_path: Path, line: str, words: tuple[str, ...]) -> None:
    session = opened(tmp_path / "farm", SWAG)
    refused = session.write(line)
    assert isinstance(refused, Problem), refused
    assert all(word in refused.sentence for word in words), refused.sentence


def test_a_recipe_of_the_library_is_made_of_the_crops_that_are_said(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm")
    seen = asked(session, "plan 3 wreaths by 12-01 of strawflower, statice and larkspur")
    # 100 main pieces on a 10 in ring [S74]
    assert {plan.wish.crop: plan.wish.stems for plan in seen.plans} == {
        "strawflower": 100,
        "statice": 100,
        "larkspur": 100,
    }


def test_a_part_of_any_crop_asks_which_to_grow_in_a_line_that_can_be_typed(tmp_path: Path) -> None:
    session = opened(
        tmp_path / "farm",
        "plant statice b1 10ft on 2025-05-20",
        "60 statice b1 dry on 2025-08-01",
        "hang on 2025-08-01",
    )
    refused = preview_of("plan 3 wreaths of 14 in by 12-01", session.farm, session.today)
    assert isinstance(refused, Problem)
    (line,) = refused.nearest
    # of what hangs here; the day and the size stay
    assert line == "plan 3 wreath of 14 in by 2026-12-01 of statice" and line in refused.sentence
    seen = asked(session, line)
    assert seen.pieces is not None and seen.pieces.wanted.size_in == 14
    assert {plan.wish.crop for plan in seen.plans} == {"statice"}


def test_a_part_of_a_crop_of_her_own_is_planned_for(tmp_path: Path) -> None:
    session = opened(
        tmp_path / "farm", "crop didiscus like ammi", "recipe nosegay bouquet 5min: 6 fresh didiscus"
    )
    seen = asked(session, "plan 10 nosegay by 8-1")
    assert [(plan.wish.crop, plan.wish.stems) for plan in seen.plans] == [("didiscus", 60)]
