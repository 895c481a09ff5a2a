"""`shedbook stock` and `shedbook shelf` say whole what they ask for, within eighty columns."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shell import Shell

LINES = {
    "2026-07-01": ("bed b4 50ft", "40 strawflower b4 dry", "hang L001 line 1 10s"),
    "2026-07-10": ("snap L001", "box L001 4x10 box 1", "box 1 dark under the stairs"),
    "2026-07-20": ("check box 1 moth", "30 zinnia b4 fresh waited 26h"),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-07-20").begin(LINES)


def test_what_a_box_asks_for_is_not_cut_off(shell: Shell) -> None:
    lines = shell.text("stock", most=80).splitlines()
    (told,) = [line for line in lines if line.startswith("  box 1: ")]
    assert "moth" in told and "freeze" in told


def test_why_a_bucket_asks_is_not_cut_off(shell: Shell) -> None:
    lines = shell.text("shelf", most=80).splitlines()
    assert "  L002: out of water for 24 h or more: zinnia never recovers [S20]" in lines
