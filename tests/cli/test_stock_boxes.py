"""`shedbook stock` and `shedbook shelf` say whole what they ask for, within eighty columns."""

from __future__ import annotations

from pathlib import Path

import pytest

from tui.cli import main


@pytest.fixture
def farm(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    folder = tmp_path / "farm"
    main(["new", str(folder), "--by", "ml", "--on", "2026-07-01"])
    for on, line in (
        ("2026-07-01", "bed b4 50ft"),
        ("2026-07-01", "40 strawflower b4 dry"),
        ("2026-07-01", "hang L001 line 1 10s"),
        ("2026-07-10", "snap L001"),
        ("2026-07-10", "box L001 4x10 box 1"),
        ("2026-07-10", "box 1 dark under the stairs"),
        ("2026-07-20", "check box 1 moth"),
        ("2026-07-20", "30 zinnia b4 fresh waited 26h"),
    ):
        assert main(["--farm", str(folder), "--by", "ml", "--on", on, "write", line]) == 0
    capsys.readouterr()
    return folder


def _printed(farm: Path, verb: str, capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(["--farm", str(farm), "--on", "2026-07-20", verb]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    return lines


def test_what_a_box_asks_for_is_not_cut_off(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (told,) = [line for line in _printed(farm, "stock", capsys) if line.startswith("  box 1: ")]
    assert "moth" in told and "freeze" in told


def test_why_a_bucket_asks_is_not_cut_off(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = _printed(farm, "shelf", capsys)
    assert "  L002: out of water for 24 h or more: zinnia never recovers [S20]" in lines
