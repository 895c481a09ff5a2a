"""Two machines say two things of one line, neither knowing of the other: both are named until she has said which."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.session import Session
from tests.farms import farm_in, morning_of, write

ON = date(2026, 6, 23)


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Session, Session]:
    """The shed's machine, of ml, and the net book, of jo, with the same book."""
    shed = farm_in(
        tmp_path / "shed",
        {
            "2026-05-01": (
                "farm zone UTC",
                "bed b1 50ft",
                "bed b2 50ft",
                "sow 72 zinnia",
                "plant zinnia b2 20ft",
            ),
            "2026-06-23": ("40 zinnia b2 fresh", "30 zinnia b2 fresh"),
        },
    )
    folder = shutil.copytree(shed.folder, tmp_path / "net")
    return shed, Session(Book.open(folder, device="net"), by="jo", on=ON)


def meet(one: Session, other: Session) -> tuple[str, ...]:
    """What is to settle in both after each has all of the other; said alike by both."""
    one.merge(other.folder)
    other.merge(one.folder)
    said = [tuple(m.sentence for m in machine.check() if m.code == "settle") for machine in (one, other)]
    assert said[0] == said[1]
    assert tuple(morning_of(one).matters) == said[0]
    return said[0]


def stems(session: Session) -> dict[str, int]:
    return {lot.code: sum(held.stems for held in lot.holdings.values()) for lot in session.farm.lots.live()}


@pytest.mark.parametrize("right", [45, 38])
def test_two_counts_of_one_cut_are_both_named_and_settled_in_a_line(
    pair: tuple[Session, Session], right: int
) -> None:
    shed, net = pair
    write(shed, "L001 was 45")
    write(net, "L001 was 38")
    assert meet(shed, net) == (
        "L001 was corrected on two machines apart: stems 45 by ml, stems 38 by jo; stems 38 counts. Write which is "
        "right: 'L001 was 38' or 'L001 was 45'.",
    )
    assert stems(shed)["L001"] == 38
    write(shed, f"L001 was {right}")
    assert meet(shed, net) == ()
    assert stems(shed)["L001"] == stems(net)["L001"] == right


def test_a_merge_says_so_at_once(pair: tuple[Session, Session]) -> None:
    shed, net = pair
    write(shed, "L001 was 45")
    write(net, "L001 was 38")
    done = shed.merge(net.folder)
    assert "corrected on two machines apart" in str(done)


def test_three_machines_are_all_named(pair: tuple[Session, Session], tmp_path: Path) -> None:
    shed, net = pair
    third = Session(Book.open(shutil.copytree(shed.folder, tmp_path / "tab"), device="tab"), by="al", on=ON)
    write(shed, "L001 was 45")
    write(net, "L001 was 38")
    write(third, "L001 was 41")
    shed.merge(net.folder)
    (told,) = meet(shed, third)
    assert "stems 45 by ml, stems 38 by jo, stems 41 by al" in told


def test_what_one_machine_took_back_and_the_other_corrected(pair: tuple[Session, Session]) -> None:
    """Whichever was written first; the strike counts."""
    shed, net = pair
    write(shed, "L001 was 45")
    write(net, "strike L001")
    write(shed, "strike L002")
    write(net, "L002 was 90 anyway")
    first, second = meet(shed, net)
    for told, says in (
        (first, "L001 was taken back by jo, and on another machine corrected to stems 45 by ml"),
        (second, "L002 was taken back by ml, and on another machine corrected to stems 90 by jo"),
    ):
        assert told.startswith(says) and "it is gone" in told
    assert stems(shed) == {}
    back, _ = [part for part in first.split("'") if part.startswith("cancel ")]
    _, leave = [part for part in second.split("'") if part.startswith("cancel ")]
    write(shed, back, leave)
    assert meet(shed, net) == ()
    assert stems(shed) == stems(net) == {"L001": 45}


def test_of_one_machine_or_after_seeing_the_other_it_is_no_matter(pair: tuple[Session, Session]) -> None:
    shed, net = pair
    write(shed, "L001 was 45", "L001 was 38", "undo", "L001 was 37", "L001 was 45")
    assert meet(shed, net) == ()
    write(net, "L001 was 44", "strike L001", "L002 was 20", "L002 was dry")
    assert meet(shed, net) == ()
    write(shed, "strike L002", "undo", "L002 was 21", "strike L002")
    assert meet(shed, net) == ()


def test_the_same_said_twice_or_of_two_fields_is_no_matter(pair: tuple[Session, Session]) -> None:
    shed, net = pair
    write(shed, "L001 was 45", "L002 was 31", "S01 was 80 cells")
    write(net, "L001 was 45", "L002 was dry", "S01 was 90 seeds")
    assert meet(shed, net) == ()


def test_what_follows_a_sowing_is_settled_with_it(pair: tuple[Session, Session]) -> None:
    shed, net = pair
    write(shed, "plant S01 b1 20ft", "S01 was 'lime'")
    net.merge(shed.folder)
    write(shed, "S01 was 'coral'")
    write(net, "S01 was 'white'")
    assert len(meet(shed, net)) == 2, "the tray and the planting"
    write(shed, "S01 was 'white'")
    assert meet(shed, net) == ()


def test_what_was_taken_back_in_between_leaves_no_matter(pair: tuple[Session, Session]) -> None:
    """45, then 38 seeing it, then 36 seeing that; 38 is taken back: 36 knew of 45 all the same."""
    shed, net = pair
    write(shed, "L001 was 45")
    meet(shed, net)
    middle = write(net, "L001 was 38").entries[0].id
    meet(shed, net)
    write(shed, "L001 was 36")
    write(shed, f"cancel {middle[-8:]}")
    assert meet(shed, net) == () and stems(net)["L001"] == 36


def test_two_wishes_of_one_plan_are_both_named(pair: tuple[Session, Session]) -> None:
    shed, net = pair
    write(shed, "last frost 14 may", "first frost 28 sept", "plan 120 zinnia fresh by 09-19")
    meet(shed, net)
    write(shed, "N01 was 200")
    write(net, "N01 was 150")
    (told,) = meet(shed, net)
    assert "stems 200 by ml, stems 150 by jo; stems 150 counts" in told and "'N01 was 200'" in told
    write(net, "N01 was 200")
    assert meet(shed, net) == () and shed.farm.plans["N01"].stems == 200
