"""The station's file goes where the book goes: backups hold it, a restore brings it back, a merge takes it over."""

from __future__ import annotations

import os
import shutil
from datetime import date
from pathlib import Path
from zlib import crc32

import pytest

from core.reckon.climate.record import Record
from core.session import Session
from core.weather.station_file import load
from core.weather.station_sync import back_up, bring
from tests.book.faults import Disk
from tests.farms import write
from tests.meeting.lines import meet
from tests.weather.stations import TODAY, station, station_file
from tui.cli import main
from tui.subjects.weather import import_record, weather_of


def copy_of(folder: Path) -> Path:
    return folder / "weather" / "EASTON.csv"


def test_a_backup_holds_the_station_and_a_restore_brings_it_back(session: Session) -> None:
    write(session, "low 41")
    assert session.close() is None
    kept = copy_of(session.folder / "backup")
    assert kept.read_bytes() == copy_of(session.folder).read_bytes()
    assert kept.stat().st_mode & 0o777 == 0o600
    shutil.rmtree(session.folder / "weather")
    (day,) = (path.name for path in session.upkeep.backups())
    again = Session.open(session.folder, by="ml", on=TODAY)
    done = again.upkeep.restore(day)
    assert done.beside == ("weather/EASTON.csv",)  # type: ignore[union-attr]
    assert weather_of(again).odds is not None
    assert again.upkeep.restore(day).beside == ()  # type: ignore[union-attr]


def test_a_damaged_file_is_never_backed_up_and_is_brought_back_whole(session: Session) -> None:
    write(session, "low 41")
    session.close()
    whole = copy_of(session.folder).read_bytes()
    copy_of(session.folder).write_bytes(whole.replace(b",20.", b",21.", 1))
    assert not back_up(session.folder, session.farm.station)
    assert copy_of(session.folder / "backup").read_bytes() == whole
    assert bring(session.folder, session.folder / "backup", session.farm.station)
    assert copy_of(session.folder).read_bytes() == whole
    assert session.check() == []


def test_a_newer_record_takes_the_place_of_the_older_in_the_backups(session: Session, tmp_path: Path) -> None:
    assert back_up(session.folder, session.farm.station)
    assert not back_up(session.folder, session.farm.station)  # nothing new: nothing is written
    import_record(session, station_file(tmp_path, station(date(2025, 12, 31))))
    assert back_up(session.folder, session.farm.station)
    assert copy_of(session.folder / "backup").read_bytes() == copy_of(session.folder).read_bytes()


def test_a_merge_takes_the_station_over(session: Session, tmp_path: Path) -> None:
    netbook = Session.create(tmp_path / "netbook", by="jt", on=TODAY)
    report = netbook.merge(session.folder)
    assert report.beside == ("weather/EASTON.csv",)
    assert copy_of(netbook.folder).read_bytes() == copy_of(session.folder).read_bytes()
    assert weather_of(netbook).odds == weather_of(session).odds
    assert netbook.merge(session.folder).beside == ()


def test_a_merge_takes_the_file_that_the_book_speaks_of(session: Session, tmp_path: Path) -> None:
    """The shed has brought in a newer file of the same station: the netbook takes it, and the shed keeps its own."""
    netbook = Session.create(tmp_path / "netbook", by="jt", on=TODAY)
    netbook.merge(session.folder)
    import_record(session, station_file(tmp_path, station(date(2026, 6, 22))))
    older = copy_of(netbook.folder).read_bytes()
    assert session.merge(netbook.folder).beside == ()
    assert netbook.merge(session.folder).beside == ("weather/EASTON.csv",)
    assert copy_of(netbook.folder).read_bytes() == copy_of(session.folder).read_bytes() != older
    assert weather_of(netbook).last_day == date(2026, 6, 22)


def test_a_meeting_takes_the_file_over_whoever_begins(session: Session, tmp_path: Path) -> None:
    for name in ("netbook", "barn"):
        other = Session.create(tmp_path / name, by="jt", on=TODAY)
        outcome = meet(other, session) if name == "netbook" else meet(session, other)
        assert outcome.is_whole and outcome.beside == ("weather/EASTON.csv" if name == "netbook" else "")
        assert copy_of(other.folder).read_bytes() == copy_of(session.folder).read_bytes()
        assert weather_of(other).odds == weather_of(session).odds
        copy_of(other.folder).write_bytes(b"damaged")
        meet(session, other)
        assert copy_of(other.folder).read_bytes() == copy_of(session.folder).read_bytes()
        assert meet(other, session).beside == ""


def test_what_is_no_file_of_the_station_is_not_taken_from_the_other_machine(
    session: Session, tmp_path: Path
) -> None:
    netbook = Session.create(tmp_path / "netbook", by="jt", on=TODAY)
    data = copy_of(session.folder).read_bytes()
    for log in (session.folder / "log").glob("*.log"):
        netbook.merge(log)
    beside = netbook.upkeep.beside
    assert beside.lacks() and beside.data() == b""
    for odd in (b"", b"x", data[:-1], data.replace(b",20.", b",21.", 1), b"\0" * 10_000_000):
        assert beside.take(odd) == "" and beside.lacks()
    assert beside.take(data) and not beside.lacks()


def test_carried_logs_bring_no_file_and_say_so(session: Session, tmp_path: Path) -> None:
    netbook = Session.create(tmp_path / "netbook", by="jt", on=TODAY)
    for log in (session.folder / "log").glob("*.log"):
        assert netbook.merge(log).beside == ()
    problem = weather_of(netbook).problem
    assert problem is not None and "meet the other machine or merge its farm folder" in problem.sentence


@pytest.mark.parametrize("trick", ["link", "pipe", "damaged", "nonsense", "huge day", "folder"])
def test_a_strangers_file_is_not_trusted(session: Session, tmp_path: Path, trick: str) -> None:
    netbook = Session.create(tmp_path / "netbook", by="jt", on=TODAY)
    theirs = copy_of(session.folder)
    data = theirs.read_bytes()
    theirs.unlink()
    if trick == "link":
        (tmp_path / "secret").write_bytes(data)
        theirs.symlink_to(tmp_path / "secret")
    elif trick == "pipe":
        os.mkfifo(theirs)
    elif trick == "folder":
        theirs.mkdir()
    else:
        body = {
            "damaged": data.partition(b"\n")[2],
            "nonsense": b"date,min_c,max_c\n\x1b[2J,cold,\xff\n",
            "huge day": b"date,min_c,max_c\n2026-01-01,99999,1\n",
        }[trick]
        sum_ = crc32(body) + (trick == "damaged")
        head = f"# daily lows and highs in degrees C; crc32 of what follows: {sum_:08x}\n"
        theirs.write_bytes(head.encode() + body)
    assert netbook.merge(session.folder).beside == ()
    assert not (netbook.folder / "weather").exists()
    assert netbook.farm.station.station == "EASTON"


def test_a_disk_that_fails_anywhere_leaves_a_whole_file_or_the_old_one(
    session: Session, tmp_path: Path
) -> None:
    said = session.farm.station
    whole = copy_of(session.folder).read_bytes()
    older = copy_of(tmp_path / "netbook")
    for at in range(1, 12):
        shutil.rmtree(tmp_path / "netbook", ignore_errors=True)
        older.parent.mkdir(parents=True)
        older.write_bytes(b"# an older one, damaged\n")
        disk = Disk(tmp_path / "netbook", at, "full")
        try:
            with disk.running():
                bring(tmp_path / "netbook", session.folder, said)
        except Exception as refused:
            assert "disk" in str(refused)
        assert older.read_bytes() in (whole, b"# an older one, damaged\n")
        assert [path.name for path in older.parent.iterdir()] == ["EASTON.csv"]
    assert isinstance(load(tmp_path / "netbook", said), Record)


def test_the_shell_says_what_was_brought(
    session: Session, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(session, "low 41")
    session.close()
    Session.create(tmp_path / "netbook", by="jt", on=TODAY).close()
    assert main(["--farm", str(tmp_path / "netbook"), "merge", str(session.folder)]) == 0
    assert "brought over: weather/EASTON.csv" in capsys.readouterr().out
    shutil.rmtree(session.folder / "weather")
    assert main(["--farm", str(session.folder), "restore", session.upkeep.backups()[0].name]) == 0
    assert "brought back: weather/EASTON.csv" in capsys.readouterr().out
