"""A reading in the wrong degrees is asked about once, and taken where she insists."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from core.dialect import speak
from tests.shell import Shell


@pytest.fixture(autouse=True)
def _speak_again() -> Iterator[None]:
    yield
    speak()


NIGHTS = {f"2026-06-{day}": (f"low {low}",) for day, low in ((18, 52), (19, 48), (20, 55), (21, 50))}


@pytest.mark.parametrize(
    "line", ["low 50C", "tonight 110", "sat night 50C", "high 54C", "low -61", "low 12", "low 31C"]
)
def test_a_reading_that_no_farm_has_is_asked_about(
    line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-22").begin({**NIGHTS, "2026-06-22": ()})
    status, _, refused = shell("write", line)
    assert status and "anyway" in refused
    assert shell("write", f"{line} anyway")[0] == 0


@pytest.mark.parametrize("line", ["low 34", "low 10C", "tonight 28", "high 104", "sat night 41"])
def test_an_unusual_night_is_not(line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-22").begin({**NIGHTS, "2026-06-22": ()})
    assert shell("write", line)[0] == 0


def test_of_a_farm_with_few_nights_only_what_no_farm_has_is_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-22").begin(
        {"2026-06-21": ("low 55",), "2026-06-22": ()}
    )
    assert shell("write", "low 12")[0] == 0
    shell.write("farm degrees C")
    assert "low of 50 C is beyond what farms have, -51 to 35 C" in shell("write", "low 50")[2]
