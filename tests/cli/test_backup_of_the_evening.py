"""Whatever was written, and whenever in the day: the logs and the snapshot gone, the backups bring all of it back."""

from __future__ import annotations

import gzip
import io
import json
import os
import re
import shutil
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from core.book.backup import backups, read_backup
from core.book.book import Book
from core.problems import Problem, ShedbookError
from core.session import Session, Written
from tests.cli.test_backups import WAYS
from tests.farms import a_minute_on, write
from tests.shell import Shell


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    farm = tmp_path / "farm"
    session = Session.create(farm, by="ml", on=date(2026, 4, 1))
    for line in ("farm zone UTC", "last frost 14 may", "bed b1 90ft", "sow 72 zinnia"):
        write(session, line)
    session.close()
    return Shell(farm, capsys, "2026-06-23")


def ids(farm: Path) -> set[str]:
    return {entry.id for entry in Session.open(farm, by="ml").entries()}


def nothing_is_missing(shell: Shell) -> bool:
    """The backups alone, in a new folder, restore every entry that was written."""
    written = ids(shell.farm)
    bare = shell.farm.with_name("bare")
    shutil.rmtree(bare, ignore_errors=True)
    session = Session.create(bare, by="ml")
    shutil.copytree(shell.farm / "backup", bare / "backup", dirs_exist_ok=True)
    for path in session.upkeep.backups():
        session.upkeep.restore(path.name)
    return ids(bare) == written


@pytest.mark.parametrize("way", WAYS)
def test_what_is_written_after_the_first_line_of_the_day_is_in_the_backup_too(shell: Shell, way: str) -> None:
    for _ in range(2):
        WAYS[way](shell)
        assert nothing_is_missing(shell)
    assert len(backups(shell.farm)) == 1
    assert shell("check")[0] == 0


def test_what_a_killed_writer_left_without_backup_comes_in_with_the_next(shell: Shell) -> None:
    write(Session.open(shell.farm, by="ml", on=date(2026, 6, 23)), "low 50")  # and it is never closed
    assert not nothing_is_missing(shell)
    shell.write("high 80")
    assert nothing_is_missing(shell)


def _cut_short(made: Path) -> None:
    os.truncate(made, made.stat().st_size - 5)


def _half_a_part_more(made: Path) -> None:
    """A power cut while the last lines were added."""
    with made.open("ab") as file:
        file.write(gzip.compress(b"0" * 400)[:20])


def _change_two_bytes(made: Path) -> None:
    bytes_ = bytearray(made.read_bytes())
    bytes_[len(bytes_) // 2 : len(bytes_) // 2 + 2] = b"\xff\xff"
    made.write_bytes(bytes_)


def _lose_the_note(made: Path) -> None:
    made.with_name("reaches.json").unlink()


def _spoil_the_note(made: Path) -> None:
    made.with_name("reaches.json").write_text("[")


def _another_log(made: Path) -> None:
    """The log is not the one that the backup was made of: put back from somewhere, or changed."""
    log = next((made.parents[1] / "log").glob("*.log"))
    *lines, last = log.read_bytes().splitlines(keepends=True)
    log.write_bytes(b"".join(lines[1:]) + last)


@pytest.mark.parametrize(
    "harm", [_cut_short, _half_a_part_more, _change_two_bytes, _lose_the_note, _spoil_the_note, _another_log]
)
def test_a_backup_that_cannot_be_added_to_is_made_anew(shell: Shell, harm: Callable[[Path], None]) -> None:
    shell.write("low 50")
    (made,) = backups(shell.farm)
    harm(made)
    shell.write("high 80")
    assert read_backup(made)[1] == [], "it can be read whole"
    assert nothing_is_missing(shell)


def test_a_damaged_backup_of_today_is_made_anew_by_the_repair(shell: Shell) -> None:
    shell.write("low 50")
    (made,) = backups(shell.farm)
    _change_two_bytes(made)
    assert made.name in shell("check")[1]
    shell("check", "--repair")
    assert shell("check")[0] == 0 and nothing_is_missing(shell)


def test_a_damaged_backup_that_may_hold_what_the_logs_lost_is_kept_aside_and_told(shell: Shell) -> None:
    for line in ("low 50", "high 80", "wind 9", "note a", "note b"):
        shell.write(line)
    (made,) = backups(shell.farm)
    whole = made.read_bytes()
    _change_two_bytes(made)
    (log,) = (shell.farm / "log").iterdir()
    log.write_bytes(b"".join(log.read_bytes().splitlines(keepends=True)[:3]))
    (shell.farm / "book.json").unlink()
    for held in (shell.farm / "fold").iterdir():
        held.unlink()
    shell("write", "note new")
    (aside,) = (shell.farm / "backup").glob("*.damaged")
    assert len(aside.read_bytes()) == len(whole)
    status, told, _ = shell("check")
    assert status == 1 and aside.name in told


def test_of_a_damaged_backup_all_that_can_be_read_is_brought_back(shell: Shell) -> None:
    """Made of a member for each writing: one damaged in the middle costs its own lines, not those after it."""
    written = ("low 50", "high 80", "wind 9", "note a", "note b")
    for line in written:
        shell.write(line)
    (made,) = backups(shell.farm)
    members = [match.start() for match in re.finditer(rb"\x1f\x8b\x08", made.read_bytes())]
    assert len(members) == 1 + len(written)
    bytes_ = bytearray(made.read_bytes())
    bytes_[members[3] + 30] ^= 0xFF  # the wind
    made.write_bytes(bytes_)
    found, problems = read_backup(made)
    kinds = [json.loads(body)["kind"] for body in found.values()]
    assert problems and kinds.count("note") == 2 and "high" in kinds


def test_adding_is_told_where_the_disk_refuses_and_made_good_by_the_next(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    shell.write("low 50")
    (made,) = backups(shell.farm)
    made.chmod(0o400)
    if os.access(made, os.W_OK):  # root may write what it likes
        made.unlink()
        made.mkdir()
    assert "No backup could be made today" in shell("write", "high 80")[2]
    assert shell("check")[0] == 1
    made.rmdir() if made.is_dir() else made.chmod(0o600)
    assert shell("write", "high 81")[::2] == (0, "")
    assert nothing_is_missing(shell) and shell("check")[0] == 0


@pytest.mark.parametrize("lost", ["the afternoon", "half a line"])
def test_lines_lost_from_the_end_of_a_log_are_told_and_brought_back(shell: Shell, lost: str) -> None:
    """An older copy of the log laid over it, as a file copier may, looks like a log that was never longer."""
    shell.write("low 50")
    log = next((shell.farm / "log").glob("*.log"))
    noon = log.stat().st_size
    for degrees in (80, 81, 82):
        shell.write(f"high {degrees}")
    written = ids(shell.farm)
    shutil.rmtree(shell.farm / "fold")
    (shell.farm / "book.json").unlink(missing_ok=True)
    os.truncate(log, noon if lost == "the afternoon" else log.stat().st_size - 9)
    status, out, _ = shell("check")
    assert status == 1 and "that the book has lost" in out
    assert shell("restore", backups(shell.farm)[0].name)[0] == 0
    assert ids(shell.farm) == written
    assert shell("check")[0] == 0


def test_a_merge_that_brings_in_a_part_says_so_and_is_backed_up(shell: Shell) -> None:
    other = shell.farm.with_name("other")
    session = Session.create(other, by="kk")
    write(session, "bed z1 20ft")
    giant = next((other / "log").glob("*.log")).with_name("zzz.log")
    giant.touch()
    os.truncate(giant, 1 << 29)
    status, out, err = shell("merge", str(other))
    assert status == 1 and out.startswith("1 entries brought in")
    assert "Not all of it could be brought in" in err and "zzz.log" in err
    assert nothing_is_missing(shell)


def test_where_the_disk_refuses_a_line_the_lines_before_it_stand_and_it_is_named(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Session.write

    def filling_up(self: Session, line: str, *, answer: bool = False) -> Written | Problem:
        if line == "high 82":
            raise ShedbookError(Problem("The disk is full; make room first.", "disk"))
        return real(self, line, answer=answer)

    monkeypatch.setattr(Session, "write", filling_up)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"low 50\nhigh 82\nhigh 83\n")))
    status, out, err = shell("write", "-")
    assert status == 1 and "low last night 50 F" in out
    assert "'high 82' and the lines after it are not written: The disk is full" in err
    monkeypatch.undo()
    assert nothing_is_missing(shell)


def test_undo_asks_where_another_machine_or_a_backup_brought_what_was_written_later(shell: Shell) -> None:
    shell.write("40 zinnia b1 fresh anyway")
    other = Session(
        Book.create(shell.farm.with_name("other"), device="other", clock=a_minute_on),
        by="bo",
        on=date(2026, 6, 23),
    )
    write(other, "bed z1 20ft")
    assert shell("merge", str(other.folder))[0] == 0
    status, _, err = shell("write", "undo")
    assert status == 1 and "bo has written since" in err and "cut 40 zinnia" in err
    assert shell("write", "undo", "yes")[0] == 0

    shell.write("note the first")
    shell.write("note the second")
    log = next(path for path in (shell.farm / "log").glob("*.log") if b"the second" in path.read_bytes())
    log.write_bytes(b"".join(log.read_bytes().splitlines(keepends=True)[:-1]))
    assert shell("restore", backups(shell.farm)[0].name)[0] == 0
    status, _, err = shell("write", "undo")
    assert status == 1 and "note: the first" in err and "has written since" in err
