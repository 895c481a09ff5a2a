"""A kept plan is changed in place: all that is reckoned from the wish moves with it, and the change is taken back."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from core.plans.rows import PlanRow, plan_rows
from core.problems import Problem
from core.session import Session, Written
from tests.farms import write

DAY = date(2026, 3, 1)
RECKONED = (
    "stems",
    "use",
    "by",
    "bed",
    "sow_on",
    "set_out_on",
    "cut_from",
    "cells",
    "seeds",
    "plants",
    "feet",
)


def opened(folder: Path, *lines: str) -> Session:
    session = Session.create(folder, by="ml", on=DAY)
    beds = ("bed b1 50ft", "bed b2 50ft", "bed b3 50ft")
    write(session, "farm zone UTC", "last frost 14 may", "first frost 28 sept", *beds, *lines)
    return session


def kept(session: Session, code: str = "N01") -> dict[str, Any]:
    plan = session.farm.plans[code]
    return {name: getattr(plan, name) for name in RECKONED}


def row(session: Session, code: str = "N01") -> PlanRow:
    return next(r for r in plan_rows(session.farm, session.today) if r.plan == code)


PLANNED = "plan 120 strawflower apricot dry by 09-19 b1"


@pytest.mark.parametrize(
    ("change", "as_if"),
    [
        ("N01 was 150", "plan 150 strawflower apricot dry by 09-19 b1"),
        ("n1 was by 9-12", "plan 120 strawflower apricot dry by 09-12 b1"),
        ("N01 was 15 bunches", "plan 15 bunches strawflower apricot dry by 09-19 b1"),
        ("N01 was fresh", "plan 120 strawflower apricot fresh by 09-19 b1"),
        ("N01 was 200 by 20 sept b2", "plan 200 strawflower apricot dry by 09-20 b2"),
        ("N01 was no bed", "plan 120 strawflower apricot dry by 09-19"),
        ("N01 was statice", "plan 120 statice dry by 09-19 b1"),
    ],
)
def test_a_changed_plan_is_as_if_it_had_been_planned_so(tmp_path: Path, change: str, as_if: str) -> None:
    changed, anew = opened(tmp_path / "a", PLANNED), opened(tmp_path / "b", as_if)
    before = kept(changed)
    write(changed, change)
    assert kept(changed) == kept(anew) != before
    assert changed.farm.plans["N01"].crop == anew.farm.plans["N01"].crop
    assert changed.check() == []
    taken_back = changed.undo()
    assert isinstance(taken_back, Written)
    assert kept(changed) == before


def test_the_change_is_seen_before_it_is_written_and_read_again_from_the_disk(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm", PLANNED)
    says = session.complete("N01 was 150").says
    assert "stems 150" in says and "plants" in says
    write(session, "N01 was 150")
    session.close()
    again = Session.open(tmp_path / "farm", by="ml", on=DAY)
    assert row(again).stems == 150


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ("N01 was by 4-1", "too late"),
        ("N01 was by monday", "write the day"),
        ("N01 was", "after 'was'"),
        ("N01 was 120", "already"),
        ("N01 was b9", "b9"),
        ("N01 was frobbed", "frobbed"),
        ("N09 was 150", "N09"),
        ("N01 was larkspur wire", "no wire use"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(tmp_path: Path, change: str, word: str) -> None:
    session = opened(tmp_path / "farm", PLANNED)
    before, count = kept(session), session.farm.count
    refused = session.write(change)
    assert isinstance(refused, Problem), refused
    assert word in refused.sentence
    assert (kept(session), session.farm.count) == (before, count)


def test_what_is_done_of_a_plan_stays_when_it_is_changed(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm", PLANNED)
    sown_on = kept(session)["sow_on"]
    write(session, f"sow 72 strawflower apricot on {DAY.isoformat()}")
    write(session, "N01 was 150")
    changed = session.farm.plans["N01"]
    assert [code for code, _, _ in changed.sown] == ["S01"]
    # its days stay those of the plan, though some of it is sown
    assert (changed.sow_on, changed.stems) == (sown_on, 150)
    later = opened(tmp_path / "later", PLANNED)
    write(later, "N01 was by jo")
    assert kept(later)["stems"] == 120


def test_one_sowing_of_a_weekly_wish_stays_one_of_its_weeks(tmp_path: Path) -> None:
    session = opened(tmp_path / "farm", "plan 60 zinnia fresh a week from 08-01 for 4 weeks")
    plan = session.farm.plans["N01"]
    before = kept(session)
    write(session, f"N01 was {2 * plan.stems}")
    after = kept(session)
    # twice the stems over the same weeks take about twice the plants, not what so many on one day would
    assert after["plants"] == pytest.approx(2 * before["plants"], rel=0.35)


def test_a_plan_that_is_planted_goes_on_counting_its_cuts_when_its_number_or_day_is_changed(
    tmp_path: Path,
) -> None:
    session = opened(tmp_path / "farm", PLANNED)
    session = Session.open(session.folder, by="ml", on=date(2026, 5, 20))
    write(
        session, "sow 72 strawflower apricot on 2026-04-01", "up 70 S01 on 2026-04-12", "set out S01 b1 20ft"
    )
    before = kept(session)
    session = Session.open(session.folder, by="ml", on=date(2026, 7, 24))
    written = write(session, "N01 was 90")
    assert "what is sown and planted for it stays as it is" in written.remarks
    assert kept(session) == {**before, "stems": 90}
    write(session, "60 strawflower apricot b1 dry", "N01 was by 9-12", "N01 was 8 bunches")
    session = Session.open(session.folder, by="ml", on=date(2026, 8, 4))
    write(session, "40 strawflower apricot b1 dry")
    assert session.farm.plans["N01"].stems_cut == 100
    assert row(session).outcome == "met"
