"""Every way of writing makes the day's backup; one that fails is said at the end, and the entry stands all the same."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import write
from tests.shell import Shell

ROOT = Path(__file__).parents[2]


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    farm = tmp_path / "farm"
    session = Session.create(farm, by="ml", on=date(2026, 4, 1))
    for line in (
        "farm zone UTC",
        "last frost 14 may",
        "first frost 1 october",
        "bed b1 90ft",
        "sow 72 zinnia",
    ):
        write(session, line)
    return Shell(farm, capsys, "2026-06-23")  # the farm is not closed: nothing is backed up yet


def _write_many(shell: Shell) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"low 50\nhigh 80\n")))
        shell("write", "-")


def _strike(shell: Shell) -> None:
    (last, *_) = Session.open(shell.farm, by="ml").recent()
    assert shell("strike", last.id)[0] == 0


def _merge(shell: Shell) -> None:
    other = shell.farm.parent / "other"
    session = Session.open(other, by="kk") if other.exists() else Session.create(other, by="kk")
    write(session, f"bed z{len(session.entries())} 20ft")
    session.close()
    assert shell("merge", str(other))[0] == 0


def _import_weather(shell: Shell) -> None:
    days = [date(2024, 1, 1) + timedelta(days=n) for n in range(800)]
    rows = [f"{day},{day.month - 7:.1f},{day.month + 8:.1f}" for day in days]
    plain = shell.farm.parent / "station.csv"
    plain.write_text("\n".join(["date,min_c,max_c", *rows]) + "\n")
    status, _, err = shell("weather", "import", str(plain))
    assert status == 0, err


WAYS: dict[str, Callable[[Shell], object]] = {
    "write": lambda shell: shell("write", "low 50"),
    "write -": _write_many,
    "strike": _strike,
    "merge": _merge,
    "plan --keep": lambda shell: shell("plan", "--keep", "60 strawflower dry by 2027-09-19"),
    "weather import": _import_weather,
}


def no_folder_for_backups(farm: Path) -> None:
    """A plain file lies where the backups belong."""
    (farm / "backup").rmdir()
    (farm / "backup").write_text("no folder")
    (farm / "backup").chmod(0o600)


def backups_of(farm: Path) -> list[str]:
    return [path.name for path in (farm / "backup").glob("*.log.gz")]


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_writing_makes_the_backup_of_the_day(shell: Shell, way: str) -> None:
    count = len(Session.open(shell.farm, by="ml").entries())
    WAYS[way](shell)
    assert len(Session.open(shell.farm, by="ml").entries()) > count
    assert len(backups_of(shell.farm)) == 1
    assert shell("check")[0] == 0


@pytest.mark.parametrize("way", WAYS)
def test_one_that_fails_is_said_and_the_entry_stands(
    shell: Shell, way: str, capsys: pytest.CaptureFixture[str]
) -> None:
    no_folder_for_backups(shell.farm)
    count = len(Session.open(shell.farm, by="ml").entries())
    main_err: list[str] = []
    real = Shell.__call__

    def listening(self: Shell, *args: str, on: str = "") -> tuple[int, str, str]:
        status, out, err = real(self, *args, on=on)
        main_err.append(err)
        assert status == 0
        return status, out, err

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Shell, "__call__", listening)
        WAYS[way](shell)
    assert "No backup could be made today" in main_err[-1] and main_err[-1].count("\n") == 1
    assert len(Session.open(shell.farm, by="ml").entries()) > count
    status, out, _ = shell("check")
    assert status == 1 and "No backup could be made today" in out
    (shell.farm / "backup").unlink()
    assert shell("write", "low 51")[::2] == (0, "")
    assert shell("check")[0] == 0


def test_it_can_be_made_by_the_repair_too(shell: Shell) -> None:
    no_folder_for_backups(shell.farm)
    shell("write", "low 50")
    (shell.farm / "backup").unlink()
    assert shell("check")[0] == 1
    assert shell("check", "--repair")[0] == 0
    assert shell("check")[0] == 0 and len(backups_of(shell.farm)) == 1


def test_reading_makes_none(shell: Shell) -> None:
    for verb in ("today", "stock", "check", "restore", "entries"):
        shell(verb)
    assert backups_of(shell.farm) == []


def test_many_commands_of_a_day_make_one(shell: Shell) -> None:
    shell.write("low 50")
    (made,) = (shell.farm / "backup").glob("*.log.gz")
    before = made.stat()
    for degrees in range(51, 55):
        shell.write(f"high {degrees + 20}")
    assert made.stat().st_ino == before.st_ino


def test_a_backup_dated_years_ahead_does_not_make_every_command_write_one(shell: Shell) -> None:
    shell.write("low 50")
    (made,) = (shell.farm / "backup").glob("*.log.gz")
    made.with_name("2099-01-01.log.gz").write_bytes(made.read_bytes())
    before = made.stat().st_ino
    shell.write("high 80")
    assert made.stat().st_ino == before


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
@pytest.mark.parametrize("home", [True, False])
def test_with_closed_streams_and_no_home_nothing_is_written_where_it_does_not_belong(
    shell: Shell, closed: str, home: bool
) -> None:
    """A file opened where standard output was would take in what is printed."""
    no_folder_for_backups(shell.farm)  # a sentence is to be said as well
    env = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "SHEDBOOK_DEVICE": "shed"}
    if home:
        env["HOME"] = str(shell.farm.parent)
    command = f"{sys.executable} -m tui --farm {shell.farm} --on {shell.on} --by ml write low 50 {closed}"
    done = subprocess.run(["sh", "-c", command], env=env, capture_output=True, text=True, timeout=120)
    assert "Traceback" not in done.stdout + done.stderr
    (last,) = Session.open(shell.farm, by="ml").recent(1)
    assert (last.kind, last.by) == ("low", "ml")
    problems = [p.sentence for p in Session.open(shell.farm, by="ml").check()]
    assert all("No backup" in text for text in problems) and problems
    for path in shell.farm.rglob("*"):
        if path.is_file() and path.name != "backup.failed":
            assert b"No backup could" not in path.read_bytes() and b"written 0" not in path.read_bytes()


def test_json_stays_json(shell: Shell) -> None:
    no_folder_for_backups(shell.farm)
    status, out, err = shell("write", "low", "50", "--json")
    assert status == 0 and json.loads(out)["entries"] and "No backup" in err
