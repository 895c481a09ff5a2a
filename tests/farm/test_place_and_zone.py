"""Where the farm lies is told by its side of the equator, and its hour is asked for where nobody has said it."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.settings import local_time
from tests.shell import Shell


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    monkeypatch.setattr(local_time, "zone_of_machine", lambda: "UTC")
    return Shell(tmp_path / "farm", capsys, "2026-11-29").begin({"2026-11-28": ("last frost 10 oct",)})


@pytest.mark.parametrize("line", ["farm latitude -43.5", "farm latitude 43.5 S", "farm latitude 43.5S"])
def test_a_latitude_is_told_by_its_side(line: str, shell: Shell) -> None:
    assert "latitude 43.5 S" in shell("write", line)[1]
    assert shell.json("write", "farm longitude 72.6 W")["entries"][0]["longitude"] == -72.6
    assert "longitude 172.6 E" in shell("write", "farm longitude 172.6")[1]


@pytest.mark.parametrize("line", ["farm latitude 43.5 W", "farm latitude -43.5S", "farm latitude 95"])
def test_a_side_that_cannot_be_is_refused(line: str, shell: Shell) -> None:
    assert shell("write", line)[0] != 0


def test_no_sunrise_is_told_by_a_clock_that_nobody_has_said(shell: Shell) -> None:
    shell.write("farm latitude -43.5 longitude 172.6")
    told = shell.json("today")
    assert told["sun_up"] == "" and "cool to" not in shell("today")[1]
    assert any("farm zone" in what for what in told["first_things"])
    shell.write("farm zone Pacific/Auckland")
    told = shell.json("today")
    assert told["sun_up"].startswith("05:") and not any("farm zone" in what for what in told["first_things"])
