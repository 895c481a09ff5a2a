"""What nobody foresaw is kept in a file of her own: no farm folder can have it written elsewhere."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from core import error_log
from core.book import state
from core.session import Session
from tui.cli import main


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state" / "shedbook" / "error.log"


def fault(text: str = "the roof fell in") -> Exception:
    try:
        raise RuntimeError(text)
    except RuntimeError as error:
        return error


def test_it_is_kept_for_its_owner_only(log: Path) -> None:
    assert error_log.keep(fault()) == log
    assert error_log.keep(fault("the second")) == log
    text = log.read_text()
    assert "the roof fell in" in text and "the second" in text and "Traceback" in text
    assert log.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("kind", ["link", "hard link", "pipe", "folder"])
def test_it_never_goes_into_another_file(log: Path, tmp_path: Path, kind: str) -> None:
    theirs = tmp_path / "theirs"
    theirs.write_text("as it was")
    state.make_state_folder()
    if kind == "pipe":
        os.mkfifo(log)
    elif kind == "folder":
        log.mkdir()
    else:
        (os.symlink if kind == "link" else os.link)(theirs, log)
    assert error_log.keep(fault()) is None
    assert theirs.read_text() == "as it was"
    said = error_log.sentence(fault(), None)
    assert "the roof fell in" in said and "\n" not in said


def test_a_link_in_place_of_the_folder_is_not_followed(log: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "state").mkdir()
    (tmp_path / "state" / "shedbook").symlink_to(tmp_path / "elsewhere")
    assert error_log.keep(fault()) is None
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_link_in_the_farm_folder_gets_nothing(
    log: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    Session.create(tmp_path / "farm", by="ml").close()
    theirs = tmp_path / "theirs"
    theirs.write_text("as it was")
    (tmp_path / "farm" / "error.log").symlink_to(theirs)

    def broken(*_args: object) -> None:
        raise RuntimeError("the roof fell in")

    monkeypatch.setattr("tui.subjects.beds.bed_rows", broken)
    assert main(["--farm", str(tmp_path / "farm"), "beds"]) == 1
    assert theirs.read_text() == "as it was"
    assert "the roof fell in" in log.read_text()
    assert str(log) in capsys.readouterr().err


def test_it_does_not_grow_for_ever(log: Path) -> None:
    for n in range(60):
        error_log.keep(fault(f"number {n} " + "x" * 50_000))
    assert log.stat().st_size <= error_log.MOST_BYTES
    assert "number 59" in log.read_text()
    error_log.keep(fault("y" * 3_000_000))
    assert log.stat().st_size <= error_log.MOST_BYTES and log.read_text().rstrip().endswith("y")


@pytest.mark.parametrize("said", ["", "some/where"])
def test_without_a_home_there_is_a_sentence_and_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: str
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", said)
    monkeypatch.setattr(os.path, "expanduser", lambda path: path)  # as it is where nobody knows a home
    monkeypatch.chdir(tmp_path)
    assert error_log.keep(fault()) is None
    assert list(tmp_path.iterdir()) == []
    assert "the roof fell in" in error_log.sentence(fault(), None)


def test_what_a_fault_says_is_safe_to_show(log: Path) -> None:
    assert error_log.sentence(fault("\x1b[2J\x07bad"), None).isprintable()
