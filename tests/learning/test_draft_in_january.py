"""In January, before anything is sown, the plan that is drafted is that of the year that begins."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.learning.draft_year import drafted_from
from core.session import Session
from tests.farms import write
from tests.shell import Shell

LINES = {
    "2026-04-01": (
        "farm zone UTC",
        "last frost 10 may",
        "first frost 5 oct",
        "bed b1 50ft",
        "sow 100 zinnia",
    ),
    "2026-06-01": ("set out S01 b1 40ft", "order Ann 60 zinnia fresh by 8-10 at 1"),
}
JANUARY = "2027-01-15"


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, JANUARY).begin(LINES)


def test_in_january_it_is_that_of_the_year_that_begins(shell: Shell) -> None:
    rows = shell.json("draft")["rows"]
    assert [row["crop"] for row in rows] == ["zinnia"] and rows[0]["by"].startswith("2027-08")
    assert rows == shell.json("draft", "2026")["rows"]
    assert "The first plan for 2027, drafted from 2026" in shell.text("draft")


def test_of_a_year_that_has_only_begun_it_says_which_word_drafts_its_plan(shell: Shell) -> None:
    said = " ".join(shell.text("draft", "2027", most=400).split())
    assert "The plan for 2027 is drafted from 2026: 'draft 2026'" in said


def test_from_the_first_sowing_on_it_is_that_of_the_next(shell: Shell) -> None:
    session = Session.open(shell.farm, by="ml", on=date(2027, 2, 20))
    assert drafted_from(session.farm, session.today) == 2026
    write(session, "sow 72 statice")
    assert drafted_from(session.farm, session.today) == 2027
    assert drafted_from(session.farm, date(2027, 8, 1)) == 2027


def test_help_says_what_the_year_is(shell: Shell) -> None:
    _, out, _ = shell("draft", "--help")
    assert "2026 drafts the plan for 2027" in " ".join(out.split())


def test_what_is_left_out_in_january_is_of_the_plan_that_is_drafted_then(shell: Shell) -> None:
    said = shell.write("leave out zinnia fresh")
    assert said["says"] == ["zinnia for fresh left out of the plan for 2027"]
    assert [row for row in shell.json("draft")["rows"] if row["crop"] == "zinnia" and row["line"]] == []
