"""`shedbook losses`, and what `shedbook stock` says of boxes."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.shell import Shell


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    """60 strawflower cut, 3 culled, 4 lost on the line, 5 bunches in box 7 of which a few stems went to moth."""
    days = {
        "2026-04-01": ["farm zone UTC", "bed b3 50ft", "plant strawflower b3 25ft", "plant statice b3 10ft"],
        "2026-07-01": ["60 strawflower b3 dry culls 3 blown stage pollen showing", "hang L001 line 2 10s"],
        "2026-07-12": ["lost 4 mold L001", "snap L001", "box L001 5x10 box 7 second"],
        "2026-08-20": ["lost 3 stems moth L001 box 7", "check box 7 moth", "20 statice b3 fresh"],
    }
    return Shell(tmp_path / "farm", capsys, "2026-08-20").begin(days)


def test_the_losses_as_json(shell: Shell) -> None:
    found = shell.json("losses")
    assert [
        (r["crop"], r["form"], r["cause"], r["stems"], r["of"], r["share_pct"]) for r in found["rows"]
    ] == [
        ("strawflower", "cut", "blown", 3, 63, 4.8),
        ("strawflower", "hanging", "mold", 4, 60, 6.7),
        ("strawflower", "dry", "moth", 3, 50, 6.0),
    ]
    assert [(r["form"], r["of"]) for r in found["hand_overs"]] == [("cut", 83), ("hanging", 60), ("dry", 50)]
    assert found["stages"] == []  # 6 stems still hang
    assert found["shrink"][0]["per_year_pct"] is None


def test_the_losses_on_paper_and_as_a_table(shell: Shell) -> None:
    status, out, _ = shell("losses")
    assert status == 0
    assert "in the box" in out and "moth" in out and "5 to 10 % a year is usual (common practice)" in out
    assert all(len(line) <= 80 for line in out.splitlines())
    rows = list(csv.DictReader(io.StringIO(shell("losses", "--csv")[1])))
    assert [(r["lost at"], r["stems"]) for r in rows] == [
        ("at the cut", "3"),
        ("hanging", "4"),
        ("in the box", "3"),
    ]


def test_the_losses_of_one_crop_or_one_year(shell: Shell) -> None:
    assert len(shell.json("losses", "--crop", "straw")["rows"]) == 3
    assert shell.json("losses", "--crop", "statice")["rows"] == []
    assert shell.json("losses", "--year", "2025")["rows"] == []
    status, out, _ = shell("losses", "--year", "2025")
    assert status == 0 and "Nothing is written as lost" in out
    status, _, err = shell("losses", "--crop", "zinnia")
    assert status == 1 and err == "'zinnia' is no one crop that was cut here: write more of its name.\n"
    assert shell("losses", "--year", "26")[0] == 2


def test_the_stock_says_how_long_it_keeps_and_what_the_boxes_want(shell: Shell) -> None:
    found = shell.json("stock")
    row = next(r for r in found["rows"] if r["place"] == "box 7")
    assert (row["grade"], row["stage"], row["status"]) == ("second", "pollen showing", "prime")
    assert (row["boxed_on"], row["store_days"], row["prime_until"]) == ("2026-07-12", 39, "2027-07-12")
    (box,) = found["boxes"]
    assert (box["box"], box["lots"], box["ask"], box["last_result"]) == ("box 7", ["L001"], "treat", "moth")
    status, out, _ = shell("stock")
    assert status == 0 and "prime to 12 Jul 2027" in out and "moth or beetles: freeze it a week" in out
    assert "moth or beetles: treat" in shell("today")[1]
    (kept,) = [r for r in csv.DictReader(io.StringIO(shell("stock", "--csv")[1])) if r["place"] == "box 7"]
    assert (kept["prime until"], kept["discount after"]) == ("2027-07-12", "2028-01-12")


def test_a_look_can_be_undone(shell: Shell) -> None:
    assert shell("write", "undo")[0] == 0  # the cut
    assert shell("write", "undo")[0] == 0  # the look
    assert shell.json("stock")["boxes"][0]["last_check"] is None
