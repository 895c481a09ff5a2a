"""Who writes: the initials given when the farm was set up are the default of the screen and of the shell alike."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import write
from tui.cli import main

DAY = date(2026, 6, 23)


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A farm that "ak" set up at the screen; the machine's user is called otherwise."""
    monkeypatch.delenv("SHEDBOOK_BY", raising=False)
    monkeypatch.setenv("LOGNAME", "shedlaptop")
    session = Session.create(tmp_path / "farm", by="ak", on=DAY)
    write(session, "farm name 'Long Meadow' zone UTC")
    session.close()
    return session.folder


def _by(farm: Path, capsys: pytest.CaptureFixture[str], *options: str) -> str:
    capsys.readouterr()
    assert main(["--farm", str(farm), "--on", str(DAY), *options, "write", "low", "41", "--json"]) == 0
    (entry,) = json.loads(capsys.readouterr().out)["entries"]
    return str(entry["by"])


def test_in_the_shell_it_is_who_set_the_farm_up(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _by(farm, capsys) == "ak"


def test_a_helper_who_is_named_writes_once_and_does_not_become_the_default(
    farm: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert _by(farm, capsys, "--by", "jo") == "jo"
    monkeypatch.setenv("SHEDBOOK_BY", "pe")
    assert _by(farm, capsys) == "pe"
    monkeypatch.delenv("SHEDBOOK_BY")
    assert _by(farm, capsys) == "ak"


def test_another_machine_on_which_nobody_wrote_yet_goes_by_its_user(
    farm: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    assert _by(farm, capsys) == "shedlapt"


def test_undo_in_the_shell_is_of_the_same_person(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _by(farm, capsys)
    assert main(["--farm", str(farm), "--on", str(DAY), "write", "undo"]) == 0
    assert "low" in capsys.readouterr().out
