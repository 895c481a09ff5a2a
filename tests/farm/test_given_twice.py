"""Two machines that each made L001: both lots are told apart, typed, completed and asked for, and old books open."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.codes import canonical
from core.fold import fold
from core.kinds import sentence
from core.mending.rows import book_rows
from core.problems import Problem
from core.session import Session, Written
from tests.farms import Pencil, a_minute_on, farm_in, small_farm, write
from tui.cli import main

DAY = date(2026, 6, 23)


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """L001 is peony here, and of another machine zinnia; 3 of that were sold there, in the words of an older book."""
    lines = ("farm zone UTC", "bed b1 50ft", "bed b2 50ft", "plant peony b1 20ft", "plant zinnia b2 20ft")
    folder = farm_in(tmp_path / "farm", {"2026-06-22": (*lines, "40 peony b1 fresh")}).folder
    here = next(e for e in Session.open(folder, by="jm").entries() if e.kind == "cut")
    there = Book.open(folder, device="netbook", clock=a_minute_on)
    zinnia = {**here.fields, "crop": "zinnia", "bed": "b2", "planting": "P02", "stems": 25}
    zinnia = {name: value for name, value in zinnia.items() if name not in ("ref", "variety")}
    (cut,) = there.append([Draft("cut", "2026-06-23", zinnia)], by="jo")
    sold = {"lot": here.fields["lot"] + "'", "stems": 3, "source": "bucket", "ref": cut.id}
    there.append([Draft("sold", "2026-06-23", sold)], by="jo")
    there.close()
    return Session.open(folder, by="jm", on=DAY)


def _on_hand(session: Session) -> dict[str, int]:
    return {lot.code: lot.on_hand for lot in session.farm.lots.live()}


@pytest.mark.parametrize(
    ("typed", "code"),
    [("l3-2", "L003-2"), ("L003'", "L003-2"), ("l3''", "L003-3"), ("L041b-2", "L041b-2"), ("s1-2", "S01-2")],
)
def test_what_is_typed_is_understood_as_the_code(typed: str, code: str) -> None:
    assert canonical(typed) == code


def test_it_is_sold_and_corrected_by_a_code_with_no_quotes_in_it(session: Session) -> None:
    assert _on_hand(session) == {"L001": 40, "L001-2": 22}
    write(session, "sold 2 l1-2 to market", "lost 1 wilted L001")
    assert _on_hand(session) == {"L001": 39, "L001-2": 20}
    write(session, "L001-2 was 30")
    assert _on_hand(session) == {"L001": 39, "L001-2": 25}


def _to_settle(session: Session) -> list[str]:
    return [problem.sentence for problem in session.check() if problem.code == "settle"]


@pytest.mark.parametrize("said", ["settled L001-2", "settled l1"])
def test_it_is_settled_once_she_has_written_its_own_tag_and_said_so(session: Session, said: str) -> None:
    (told,) = _to_settle(session)
    assert "the later is now L001-2" in told and told.endswith("then: settled L001-2")
    done = write(session, said)
    assert done.says == ("settled: L001-2 is told apart by its tag",)
    assert _to_settle(session) == []
    session.close()
    assert _to_settle(Session.open(session.folder, by="jm", on=DAY)) == []
    again = session.write("settled L001-2")
    assert isinstance(again, Problem) and "settled already" in again.sentence
    assert isinstance(session.strike(done.entries[0].id), Written)
    assert len(_to_settle(session)) == 1


def test_what_a_merge_brings_of_the_same_code_is_told_anew(session: Session) -> None:
    """An earlier cut of a third machine takes the name that was written on the tag."""
    write(session, "settled L001-2")
    cut = next(e for e in session.entries() if e.kind == "cut")
    third = {name: value for name, value in cut.fields.items() if name != "ref"}
    third_machine = Book.open(session.folder, device="third", clock=a_minute_on)
    third_machine.append([Draft("cut", "2026-06-22", third)], by="mk")
    session.refresh()
    assert len(_to_settle(session)) == 2
    asked = session.write("settled L001")
    assert isinstance(asked, Problem) and "L001-2 or L001-3" in asked.sentence
    write(session, "settled L001-3", "settled L001-2")
    assert _to_settle(session) == []


def test_a_correction_calls_it_by_the_code_that_is_its_own(session: Session) -> None:
    assert (
        "correct" in session.complete("L001-2 was 30").says
        and "L001-2" in session.complete("L001-2 was 30").says
    )
    assert "L001-2" in write(session, "L001-2 was 30").says[0]
    story = session.look_back.history("L001-2")
    assert isinstance(story, list)
    assert [sentence(e) for e in story if e.kind == "correct"] == [
        "corrected cut L001-2: stems 30 (was stems 25)"
    ]
    rows = [row for row in book_rows(session.look_back) if row.kind == "correct"]
    assert [row.code for row in rows] == ["L001-2"]
    sold = next(e for e in session.entries() if e.kind == "sold")
    write(session, f"{sold.id[-8:]} was L001")  # the other of that code
    assert _on_hand(session) == {"L001": 37, "L001-2": 30}


def test_a_plan_of_a_code_given_twice_is_corrected_and_the_other_stays(tmp_path: Path) -> None:
    lines = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 50ft",
             "plan 120 strawflower apricot dry by 09-19 b1")  # fmt: skip
    folder = farm_in(tmp_path / "farm", {"2026-03-01": lines}).folder
    here = next(e for e in Session.open(folder, by="jm").entries() if e.kind == "planned")
    other = {**here.fields, "bed": "b2", "stems": 90}
    netbook = Book.open(folder, device="netbook", clock=a_minute_on)
    netbook.append([Draft("planned", "2026-03-01", other)], by="jo")
    session = Session.open(folder, by="jm", on=date(2026, 3, 2))
    plans = session.farm.plans
    assert {code: plan.stems for code, plan in plans.items()} == {"N01": 120, "N01-2": 90}
    says = write(session, "N01-2 was 60").says
    assert "N01-2" in says[0]
    plans = session.farm.plans
    assert {code: (plan.stems, plan.bed) for code, plan in plans.items()} == {
        "N01": (120, "b1"),
        "N01-2": (60, "b2"),
    }
    write(session, "settled N01-2")
    assert _to_settle(session) == []


def test_the_line_completes_it(session: Session) -> None:
    meant = session.complete("sold 2 L001-")
    assert "L001-2" in (meant.offers or ()) or meant.ghost.startswith("2")


def test_its_story_is_its_own_whatever_the_entries_called_it(session: Session) -> None:
    told = {}
    for code in ("L001", "L001-2"):
        story = session.look_back.history(code)
        assert isinstance(story, list)
        told[code] = [sentence(entry) for entry in story if entry.kind in ("cut", "sold")]
    assert told["L001"] == ["cut 40 peony from bed b1 for fresh: L001"]
    assert told["L001-2"] == [
        "cut 25 zinnia from bed b2 for fresh: L001-2",
        "sold 3 stems of L001-2 from the bucket",
    ]
    assert [sentence(e) for e in session.entries() if e.kind == "sold"] == told["L001-2"][1:]


def test_the_shell_takes_it_unquoted(session: Session, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("lot", "L001-2"), ("history", "l1-2"), ("write", "sold", "1", "L001-2")):
        assert main(["--farm", str(session.folder), "--on", "2026-06-23", *words]) == 0
    assert "L001-2 zinnia" in capsys.readouterr().out


def test_a_third_and_a_fourth_have_a_name_and_too_many_are_told() -> None:
    pencil: Pencil = small_farm().later(40)
    cut = {"lot": "L001", "crop": "zinnia", "bed": "b2", "use": "fresh", "stems": 5}
    made = [pencil.made("cut", **cut) for _ in range(30)]
    farm = fold([*pencil.entries, *made])
    assert {"L001", "L001-2", "L001-3", "L001-21"} <= {lot.code for lot in farm.lots.all()}
    assert any("could not be read" in matter.sentence for matter in farm.matters)
    assert fold([*pencil.entries, *made[::-1]]).lots.get("L001-21") is not None
