"""A planting of which every plant is lost stands nowhere any more, and a cut of it is asked about."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.asks import Sight
from core.beds.rows import bed_rows
from core.problems import Problem
from core.promising.asks import todays_cut_list
from core.session import Session
from tests.farms import farm_in, page_lines, write

DAY = date(2026, 7, 20)
LINES = {
    "2026-05-15": ("farm zone UTC", "last frost 10 may", "bed b1 50ft", "bed b2 50ft"),
    "2026-05-16": ("plant strawflower white b1 20ft 74 plants", "plant strawflower pink b2 20ft 74 plants"),
    "2026-07-18": (
        "40 strawflower b1 white dry",
        "40 strawflower b2 pink fresh",
        "order Ann 90 strawflower dry by 9-1",
    ),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    farm_in(tmp_path / "farm", LINES)
    session = Session.open(tmp_path / "farm", by="ml", on=DAY)
    write(session, "lost all strawflower b1 hail")
    return session


def test_it_is_gone_from_all_lists_and_what_was_cut_of_it_stays(farm: Session) -> None:
    later = Session.open(farm.folder, by="ml", on=date(2026, 7, 24))
    assert not [line for line in page_lines(later) if "b1" in line.text]
    assert [bed.bed for bed in bed_rows(later.farm, later.today) if bed.plantings] == ["b2"]
    found = todays_cut_list(Sight(later.farm, later.today))
    assert "b1" not in {row.bed for row in (*found.rows, *found.worth)}
    assert sum(lot.on_hand for lot in later.farm.lots.live()) == 80


@pytest.mark.parametrize(
    "line", ["40 strawflower P01 dry", "40 strawflower b1 dry", "40 strawflower b1 white dry"]
)
def test_a_cut_of_it_is_asked_about(farm: Session, line: str) -> None:
    found = farm.write(line)
    assert isinstance(found, Problem) and "anyway" in found.sentence and "lost" in found.sentence, found
    written = write(farm, f"{line} anyway")
    assert written.entries[0].fields["planting"] == "P01"


def test_a_cut_before_it_was_lost_is_not(farm: Session) -> None:
    write(farm, "40 strawflower P01 dry yesterday")


def test_fewer_lost_after_all_and_it_stands_again(farm: Session) -> None:
    (lost,) = [entry for entry in farm.entries() if entry.kind == "lost"]
    write(farm, f"{lost.id} was 70")
    assert [p.plants for bed in bed_rows(farm.farm, DAY) for p in bed.plantings] == [4, 74]
