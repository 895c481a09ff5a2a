"""When a bed gives less than its sheet has, the rest of it is expected to be less too, and it is said why."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from core.problems import Problem
from core.promising.telephone import ask
from core.session import Session, Written
from tests.farms import farm_in

SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 50ft")


def book(tmp_path: Path, *cuts: tuple[str, str], order: str = "order Ann 60 zinnia fresh by 8-20") -> Session:
    days: dict[str, tuple[str, ...]] = {
        "2026-05-20": (*SET_UP, "plant 25ft zinnia coral b2 60 plants", order)
    }
    return farm_in(tmp_path / "shed", days | {day: (line,) for day, line in cuts})


def answers(session: Session, line: str) -> list[str]:
    written = session.write(line, answer=True)
    assert isinstance(written, Written), written
    return [remark for remark in written.remarks if remark.startswith("less is expected")]


FEW = (
    ("2026-07-15", "20 zinnia b2 fresh"),
    ("2026-07-22", "12 zinnia b2 fresh"),
    ("2026-07-29", "9 zinnia b2 fresh"),
)


def test_a_poor_cut_says_that_less_is_to_come_and_so_does_the_promise(tmp_path: Path) -> None:
    session = book(tmp_path, *FEW)
    session = Session.open(session.folder, by="ml", on=date(2026, 8, 5))
    before = ask(session.farm, session.today, "10 zinnia fresh 8-20")
    (said,) = answers(session, "6 zinnia b2 fresh")
    assert said.startswith("less is expected of the rest of P01 in bed b2: about ")
    after = ask(session.farm, session.today, "10 zinnia fresh 8-20")
    assert not isinstance(before, Problem) and not isinstance(after, Problem)
    (had,), (has,) = (
        [row for row in found[0].answer.sources if row.kind == "in the field"] for found in (before, after)
    )
    assert has.amount < had.amount
    # the same figure in both, and the remark names what the promise names
    share = said.rpartition("it gives ")[2].partition(" in 100")[0]
    assert f"({share} in 100 of what its sheet has)" in has.says


def test_a_usual_cut_the_first_one_and_what_nobody_ordered_say_nothing(tmp_path: Path) -> None:
    first = Session.open(book(tmp_path / "a").folder, by="ml", on=date(2026, 7, 15))
    assert answers(first, "5 zinnia b2 fresh") == []
    # 60 plants give some 90 good stems a week by their sheet
    usual = Session.open(
        book(
            tmp_path / "b", ("2026-07-15", "60 zinnia b2 fresh"), ("2026-07-22", "80 zinnia b2 fresh")
        ).folder,
        by="ml",
        on=date(2026, 7, 29),
    )
    assert answers(usual, "90 zinnia b2 fresh") == []
    session = book(tmp_path / "c", *FEW, order="price zinnia fresh 9 a bunch")
    session = Session.open(session.folder, by="ml", on=date(2026, 8, 5))
    assert answers(session, "6 zinnia b2 fresh") == []
