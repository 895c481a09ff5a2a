"""A job she does not do is said once, for a crop or for a planting, and is not asked for again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.beds.rows import bed_rows
from core.problems import Problem
from core.session import Session, Written
from tests.farms import write

DAY = date(2026, 6, 20)


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    """Snapdragon in b3 and b4, which is netted when it has stood for some weeks."""
    session = Session.create(tmp_path / "farm", by="ml", on=DAY)
    write(session, "farm zone UTC", "bed b3 50ft", "bed b4 50ft")
    write(session, *(f"plant snapdragon b{n} 20ft on 2026-05-15" for n in (3, 4)))
    return session


def _asked(session: Session) -> dict[str, str]:
    return {p.planting: p.job for bed in bed_rows(session.farm, session.today) for p in bed.plantings}


@pytest.mark.parametrize("line", ["I don't net snapdragon", "never net snap", "no net snapdragon"])
def test_a_crop_that_is_not_netted_is_never_asked_about(farm: Session, line: str) -> None:
    assert _asked(farm) == {"P01": "net", "P02": "net"}
    write(farm, line)
    assert _asked(farm) == {"P01": "cut", "P02": "cut"}
    write(farm, "plant snapdragon b3 10ft on 2026-05-16")
    assert _asked(farm)["P03"] == "cut"
    assert farm.check() == []


def test_in_one_bed_only(farm: Session) -> None:
    write(farm, "no net b3")
    assert _asked(farm) == {"P01": "cut", "P02": "net"}
    farm.close()
    assert _asked(Session.open(farm.folder, by="ml", on=DAY)) == {"P01": "cut", "P02": "net"}


def test_taken_back_it_is_asked_for_again(farm: Session) -> None:
    write(farm, "no net b3")
    assert isinstance(farm.undo(), Written)
    assert _asked(farm) == {"P01": "net", "P02": "net"}


def test_which_crop_is_asked_where_none_is_said(farm: Session) -> None:
    refused = farm.write("I don't net")
    assert isinstance(refused, Problem) and "crop" in refused.sentence
