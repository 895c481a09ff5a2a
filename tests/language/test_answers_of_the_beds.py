"""What is said of beds in other words than the book's gets an answer that says which line is right."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.asks import Sight
from core.problems import Problem
from core.promising.asks import claims_of
from core.promising.cut_list import cut_list
from core.session import Session
from tests.farms import farm_in, write

DAY = date(2026, 7, 20)
LINES = {
    "2026-05-15": ("farm zone UTC", "last frost 10 may", "bed b1 50ft", "bed b3 50ft", "bed b8 50ft"),
    "2026-05-16": ("plant strawflower b1 20ft 60 plants", "plant scabiosa b3 20ft 36 plants"),
    "2026-07-18": ("40 strawflower b1 dry", "30 scabiosa b3 fresh", "recipe posy bouquet 15min: 8 dry straw"),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    farm_in(tmp_path / "farm", LINES)
    return Session.open(tmp_path / "farm", by="ml", on=DAY)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("peony 12 plants b8", "plant peony b8 10ft 12 plants"),
        ("40 peonies stand in b8", "plant peony b8 10ft 40 plants"),
        ("bed tunnel 30 by 3", "30ft by 3ft"),
        ("bed tunnel 30 by 36", "30ft by 36in"),
        ("sold 1 posy", "make 1 posy"),
        ("bring in S01", "hold S12 cold"),
        ("press L001", "used 10 L041 for pressing"),
        ("black frost", "low 27"),
        ("killing frost last night", "lost all b3 zinnia frost"),
        ("frost tonight", "tonight 27"),
        ("back 1 bu statice market", "back 1 bu statice O014"),
        ("hail b1-b3", "lost 40 % blooms b1-b3 hail"),
        ("lost blooms b1-b3 hail", "lost 40 % blooms b1-b3 hail"),
        ("lost blooms scabiosa b3 hail", "lost 40 blooms b1 hail"),
    ],
)
def test_it_says_which_line_is_right(farm: Session, line: str, says: str) -> None:
    found = farm.write(line)
    assert isinstance(found, Problem) and says in found.sentence, found


@pytest.mark.parametrize(
    "line",
    [
        *("plant peony b8 10ft 12 plants", "bed tunnel 30ft by 3ft"),
        *("lost 40 % blooms b1-b3 hail", "lost 40 blooms b1 hail"),
    ],
)
def test_the_line_that_is_named_is_taken(farm: Session, line: str) -> None:
    write(farm, line)


def test_half_of_what_stands_there_may_be_lost(farm: Session) -> None:
    (lost,) = write(farm, "lost half the scabiosa b3 hail").entries
    assert lost.fields["count"] == 18


def test_blooms_thrown_away_leave_fewer_to_cut(farm: Session) -> None:
    def standing() -> dict[str, int]:
        session = Session.open(farm.folder, by="ml", on=date(2026, 7, 21))
        sight = Sight(session.farm, session.today)
        return {row.bed: row.standing for row in cut_list(sight, claims_of(sight)).rows}

    write(farm, "order Ann 400 scabiosa fresh by 7-22 at 1", "order Ann 900 strawflower dry by 8-22 at 1")
    before = standing()
    write(farm, "0 scabiosa b3 culls 40 hail")
    after = standing()
    assert after["b3"] < before["b3"] and after["b1"] == before["b1"]


def test_many_beds_are_covered_in_one_line_and_those_that_are_covered_passed_over(farm: Session) -> None:
    write(farm, "cover b3")
    assert write(farm, "cover b1-b3 tonight").says == ("covered bed b1",)
    assert {code for code, bed in farm.farm.beds.items() if bed.covered_on} == {"b1", "b3"}
    assert isinstance(farm.write("cover b1 b3"), Problem)
    assert write(farm, "uncover b1 to b3").says == ("uncovered bed b1", "uncovered bed b3")


def test_beds_are_cleared_many_at_once_where_it_is_plain_what_stands_there(farm: Session) -> None:
    write(farm, "plant zinnia b3 10ft 20 plants", "plant zinnia b8 10ft 20 plants")
    doubt = farm.write("clear b3 b8")
    assert isinstance(doubt, Problem) and "Bed b3 has scabiosa and zinnia" in doubt.sentence
    assert len(write(farm, "clear b1 b8").entries) == 2
    assert len(write(farm, "clear all in b3").entries) == 2
    assert not [*farm.farm.plantings.live()]
