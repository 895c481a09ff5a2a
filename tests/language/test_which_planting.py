"""Which of what stands in a bed a line means: of one sort the oldest at stage, and a crop by the name it stands by."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write

LINES = {
    "2026-03-01": ("farm zone UTC", "last frost 10 may", "first frost 5 oct", "bed b1 90ft", "bed b2 90ft"),
    "2026-03-02": ("crop 'nigella orientalis' like nigella",),
    "2026-04-01": ("plant snapdragon 'peach' b1 10ft 40 plants", "plant snapdragon 'white' b1 5ft 20 plants"),
    "2026-04-20": ("plant snapdragon 'peach' b1 10ft 60 plants", "drill 'nigella orientalis' b1 10ft"),
    "2026-05-11": ("plant snapdragon 'peach' b1 20ft 100 plants", "drill nigella b2 10ft"),
}
"""Peach: P01, P03, P05; white: P02; nigella orientalis: P04; nigella: P06."""


def farm(folder: Path, day: str) -> Session:
    farm_in(folder, LINES)
    return Session.open(folder, by="ml", on=date.fromisoformat(day))


@pytest.mark.parametrize(
    ("day", "line", "planting", "says"),
    [
        ("2026-05-12", "20 snapdragon peach b1 fresh", "P01", "none yet at stage"),
        ("2026-06-25", "20 snapdragon peach b1 fresh", "P01", "the oldest at stage of 3"),
        # the first and the second are over by then; the third is on
        ("2026-09-16", "20 snapdragon peach b1 fresh", "P05", "the oldest at stage of 3"),
        ("2026-06-25", "20 P03 fresh", "P03", ""),
        ("2026-06-25", "20 snapdragon white b1 fresh", "P02", ""),
    ],
)
def test_of_one_sort_in_a_bed_the_oldest_at_stage_is_cut_and_a_code_names_another(
    tmp_path: Path, day: str, line: str, planting: str, says: str
) -> None:
    written = write(farm(tmp_path / "farm", day), line)
    assert written.entries[0].fields["planting"] == planting
    assert any(says in remark for remark in written.remarks) is bool(says)
    if says:
        assert any("P03" in remark for remark in written.remarks)  # how another is named


def test_of_several_sorts_it_asks_which(tmp_path: Path) -> None:
    asked = farm(tmp_path / "farm", "2026-06-25").write("20 snapdragon b1 fresh")
    assert isinstance(asked, Problem) and "P02 (white in b1)" in asked.sentence


@pytest.mark.parametrize(
    ("line", "planting"),
    [
        ("60 nigella b1 dry", "P04"),
        ("clear nigella b1", "P04"),
        ("lost 5 plants nigella b1 mice", "P04"),
        ("60 nigella b2 dry", "P06"),
        ("clear nigella b2", "P06"),
        ("60 'nigella orientalis' b1 dry", "P04"),
    ],
)
def test_where_a_bed_is_named_the_crop_is_the_one_that_stands_there(
    tmp_path: Path, line: str, planting: str
) -> None:
    (entry,) = write(farm(tmp_path / "farm", "2026-07-25"), line).entries
    assert entry.fields["planting"] == planting


def test_what_is_planted_is_what_the_line_says(tmp_path: Path) -> None:
    (entry,) = write(farm(tmp_path / "farm", "2026-05-12"), "drill nigella b1 5ft").entries
    assert entry.fields["crop"] == "nigella"
