"""A file is made new beside the old one: whoever writes one leaves nothing behind on a full disk or after a kill."""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import core
import pytest
from core import cache
from core.book import drafts
from core.book.backup import backup
from core.book.book import Book
from core.book.disk import replace_file
from core.book.met import Meetings, Met
from core.farm import Farm
from core.happened import Station
from core.past import Text
from core.reckon.climate.record import record_of
from core.session import Session
from core.telling import TICK_NS, Telling
from core.weather import station_file
from core.weather import station_sync as carry

from tests.farms import cut, shed

Writer = Callable[[Book], object]


def keep_fold(book: Book) -> None:
    live, part = cache.freeze_since(Farm())
    point = cache.Point(("2026-06-23", "", ""), 1, {}, Text(live.encode()), part)
    cache.write_cache(book.folder, cache.Cached((point,), [], {}, 1), Farm())


def station(book: Book) -> Station:
    lows = {date(2025, 1, 1).toordinal() + n: 10 * n % 70 for n in range(300)}
    record = record_of(lows, lows, station="Brook", name="Brook", latitude=50.0)
    name = station_file.keep(book.folder, record)
    return Station(**station_file.draft_of(record, name, date(2026, 1, 1)).fields)


def carry_station(book: Book) -> None:
    fields = station(book)
    assert carry.back_up(book.folder, fields)


def keep_line_elsewhere(book: Book) -> None:
    (book.folder / "draft").mkdir(exist_ok=True)  # the farm cannot take it
    drafts.keep(book.folder, "40 strawflower b3 dry")


def make_anew(book: Book) -> None:
    Book.create(book.folder / "another", device="shed")


def keep_page(book: Book) -> None:
    time.sleep(TICK_NS / 1e9)  # what was written just now may change unseen
    telling = Telling(["--farm", str(book.folder), "today"])
    telling.keep("nothing to do\n", book.folder, None, by_clock=False)


NETBOOK = Met("netbook", "netbook:farm", "", "", "2026-06-23", 3, 4)

WRITERS: dict[str, Writer] = {
    "the cached fold": keep_fold,
    "the page as it was printed": keep_page,
    "the snapshot": lambda book: book.snapshot(force=True),
    "a backup": lambda book: backup(book, date(2026, 6, 23)),
    "the typed line": lambda book: drafts.keep(book.folder, "40 strawflower b3 dry"),
    "the typed line, elsewhere": keep_line_elsewhere,
    "what a farm says of itself": make_anew,
    "the machines that were met": lambda book: Meetings(book.folder, "shed").note(NETBOOK),
    "the station's weather": station,
    "the station's weather, in the backups": carry_station,
}


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    made = shed(tmp_path)
    made.append([cut(n) for n in range(50)], by="ml")
    return made


def left_in(folder: Path) -> list[str]:
    return [path.name for path in folder.rglob("*") if path.name.endswith(".new")]


def test_nothing_else_writes_such_files() -> None:
    """All of them go through one function, so that what holds for it holds for each."""
    sources = Path(core.__file__).parent.parent
    found = [
        path.relative_to(sources).as_posix()
        for part in ("core", "tui")
        for path in sorted((sources / part).rglob("*.py"))
        if '.new"' in path.read_text(encoding="utf-8")
    ]
    assert found == [
        "core/book/book.py",
        "core/book/disk.py",
    ]  # the book only passes over them in a new folder


@pytest.mark.parametrize("name", WRITERS)
@pytest.mark.parametrize("call", ["write", "rename", "fsync"])
def test_a_full_disk_is_not_filled_further(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, call: str
) -> None:
    calls = 0

    def full(*_: object, **__: object) -> None:
        nonlocal calls
        calls += 1
        raise OSError(errno.ENOSPC, "No space left on device")

    if name.endswith("in the backups"):
        station(book)  # the farm's own copy was there before the disk was full
    monkeypatch.setattr(os, call, full)
    for _ in range(3):
        try:
            WRITERS[name](book)
        except (core.problems.ShedbookError, OSError, AssertionError) as refused:
            assert "disk is full" in str(refused) or isinstance(refused, OSError | AssertionError)
    monkeypatch.undo()
    assert calls or call == "fsync"
    assert left_in(tmp_path) == []


@pytest.mark.parametrize("name", WRITERS)
def test_what_a_stopped_process_left_is_cleared_away_by_the_next_that_writes_there(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """Stopped between the new file and its name: what is there then, the same writer clears away later."""
    gone = a_process_that_ended()

    class KilledError(BaseException):
        pass

    def kill(*_: object) -> None:
        raise KilledError

    here = os.getpid
    with monkeypatch.context() as patch:
        patch.setattr(os, "getpid", lambda: gone)
        patch.setattr(os, "rename", kill)
        patch.setattr(os, "unlink", kill)
        with pytest.raises(KilledError):
            WRITERS[name](book)
    assert os.getpid is here and len(left_in(tmp_path)) == 1
    if name == "what a farm says of itself":
        return  # the folder is none of ours yet: nothing is written in it again but by making the farm anew
    WRITERS[name](book)
    assert left_in(tmp_path) == []


def test_a_farm_is_made_where_making_one_was_stopped(tmp_path: Path) -> None:
    folder = tmp_path / "farm"
    folder.mkdir()
    (folder / f".farm.json.{a_process_that_ended()}.new").write_bytes(b"half")
    Book.create(folder, device="shed")
    assert left_in(tmp_path) == []


def a_process_that_ended() -> int:
    child = os.fork()
    if not child:
        os._exit(0)
    os.waitpid(child, 0)
    return child


def test_only_what_is_ours_and_of_no_living_process_is_cleared_away(tmp_path: Path) -> None:
    gone = a_process_that_ended()
    stays = [
        f".book.json.{os.getppid()}.new",  # of a process that lives
        ".book.json.1.new",
        f"notes.{gone}.new",  # hers
        f"book.json.{gone}.new",
        ".book.json.new",
        ".book.json.12x.new",
        ".new",
    ]
    goes = [
        f".book.json.{gone}.new",
        f".2026-06-23.log.gz.{gone}.new",
        f"farm.json.{gone}.new",
        ".a.9999999999.new",
    ]
    for name in [*stays, *goes]:
        (tmp_path / name).write_bytes(b"half")
    replace_file(tmp_path / "book.json", [b"whole"])
    assert sorted(os.listdir(tmp_path)) == sorted([*stays, "book.json"])


@pytest.mark.parametrize("kind", ["link", "hard link", "pipe"])
def test_nothing_that_lies_in_wait_under_the_new_name_is_written_to(tmp_path: Path, kind: str) -> None:
    theirs = tmp_path / "theirs"
    theirs.write_text("as it was")
    trap = tmp_path / f".book.json.{os.getpid()}.new"
    {"link": os.symlink, "hard link": os.link, "pipe": lambda _, to: os.mkfifo(to)}[kind](theirs, trap)
    replace_file(tmp_path / "book.json", [b"whole"])
    assert theirs.read_text() == "as it was"
    assert (tmp_path / "book.json").read_bytes() == b"whole" and not (tmp_path / "book.json").is_symlink()


def test_a_report_that_the_disk_refuses_leaves_no_half_line(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    from core.book.disk import add_lines

    report = book.folder / "log" / "shed.set-aside"
    add_lines(report, b"first\n")
    real = os.write

    def short(fd: int, data: bytes) -> int:
        if len(data) < 5:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(fd, bytes(data)[: len(data) // 2])

    monkeypatch.setattr(os, "write", short)
    with pytest.raises(OSError, match="No space"):
        add_lines(report, b"second, which is longer\n")
    monkeypatch.undo()
    assert report.read_bytes() == b"first\n"


def test_a_farm_with_traps_in_it_is_opened_and_closed_without_waiting(tmp_path: Path) -> None:
    """Pipes where the book keeps files would make whoever reads them wait for ever."""
    session = Session.create(tmp_path / "farm", by="ml")
    session.write("bed b1 50ft")
    session.close()
    os.unlink(session.folder / "book.json")
    for name in ("book.json", "draft", "backup/2020-01-01.log.gz"):
        os.mkfifo(session.folder / name, 0o600)
    again = Session.open(session.folder, by="ml")
    assert drafts.kept(session.folder) == ""
    again.write("bed b2 50ft")
    assert [*again.farm.beds] == ["b1", "b2"]
    again.close()
