"""A fall without a written low: once the usual first frost is two weeks gone it is asked, and tubers are lifted."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shell import Shell

BEGUN = {
    "2026-05-20": ("last frost 05-14", "first frost 09-28", "bed b1 60ft", "bed b2 60ft"),
    "2026-06-01": ("plant dahlia b1 60ft 42 plants", "plant zinnia b2 30ft 60 plants"),
    "2026-08-20": ("20 dahlia fresh", "20 zinnia fresh"),
}


def a_fall(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-11-05").begin(BEGUN)


def dahlia(shell: Shell, on: str) -> tuple[str, str]:
    """Their job and why."""
    beds = shell.json("beds", on=on)["rows"]
    (row,) = (p for bed in beds for p in bed["plantings"] if p["crop"] == "dahlia")
    return row["job"], row["because"]


@pytest.mark.parametrize("day", ["2026-10-14", "2026-11-05", "2026-12-01"])
def test_tubers_are_lifted_though_no_low_was_written(
    day: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = a_fall(tmp_path, capsys)
    told = shell("today", "--all", on=day)[1]
    assert "lift" in told and "dahlia" in told
    assert "past its cutting weeks" not in dahlia(shell, day)[1]
    assert told.count("was there a frost?") == 1 and "low 30" in told


def test_before_that_nothing_is_asked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = a_fall(tmp_path, capsys)
    told = shell("today", "--all", on="2026-10-05")[1]
    assert "was there a frost?" not in told and "lift" not in told


def test_zinnia_that_nobody_looked_after_is_not_cut_in_november(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = a_fall(tmp_path, capsys)
    (zinnia,) = (p for bed in shell.json("beds")["rows"] for p in bed["plantings"] if p["crop"] == "zinnia")
    assert zinnia["at_stage"] == [] and zinnia["job"] == "clear"


@pytest.mark.parametrize(("low", "job"), [("low 30", "look"), ("low 45", "cut")])
def test_a_low_once_written_says_it(
    low: str, job: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = a_fall(tmp_path, capsys)
    shell.write(low, on="2026-10-15")
    assert "was there a frost?" not in shell("today", "--all", on="2026-10-15")[1]
    assert dahlia(shell, "2026-10-15")[0] == job
