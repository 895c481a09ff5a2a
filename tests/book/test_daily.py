"""The day's backup: whoever writes makes it, once a day; where it fails she is told until one works."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from core.book import backup as backups_module
from core.book import daily
from core.book.audit import audit
from core.book.backup import backup, backups, read_backup
from core.book.book import Book
from core.book.daily import DayBackups
from core.problems import Problem

from tests.farms import again, cut, cuts, ids_of, log_of, shed

DAY = date(2026, 6, 23)
NOTHING: Callable[[], object] = lambda: None  # noqa: E731


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = shed(tmp_path)
    made.append(cuts(3), by="ml")
    return made


def make(book: Book, day: date = DAY) -> Problem | None:
    return daily.back_up(book.folder, "shed", day)


def in_the_way(book: Book, kind: str) -> Path:
    """Something where the backups belong."""
    place = book.folder / "backup"
    place.rmdir()
    if kind == "file":
        place.write_text("a plain file")
    elif kind == "dangling link":
        place.symlink_to(book.folder / "nowhere")
    elif kind == "link":
        (book.folder.parent / "elsewhere").mkdir()
        place.symlink_to(book.folder.parent / "elsewhere")
    return place


@pytest.mark.parametrize("kind", ["file", "dangling link", "link"])
def test_what_lies_where_the_backups_belong_is_told_until_one_works(book: Book, kind: str) -> None:
    place = in_the_way(book, kind)
    for _ in range(2):
        problem = make(book)
        assert problem is not None and problem.code == "disk"
        assert "everything that was written is in the book" in problem.sentence
        assert str(place) in problem.sentence and problem.sentence.count(". ") == 0
        assert any(p.sentence == problem.sentence for p in audit(again(book)))
    if kind == "link":
        assert list((book.folder.parent / "elsewhere").iterdir()) == []
    os.unlink(place)
    assert make(book) is None
    assert audit(again(book)) == []
    assert len(backups(book.folder)) == 1


def test_a_full_disk_is_told_until_one_works(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        problem = make(book)
        assert problem is not None and "the disk is full; make room" in problem.sentence
    assert any(
        "could not be made" in p.sentence for p in audit(again(book))
    )  # though not even that was written
    assert make(book) is None
    assert audit(again(book)) == []


def test_one_a_day_is_made_and_added_to_however_much_is_written(book: Book) -> None:
    days = DayBackups(book.folder, "shed")
    assert not days.due(DAY) and days.make(DAY, NOTHING) is None
    assert backups(book.folder) == []  # nothing was written here
    days.written()
    assert days.due(DAY)
    days.make(DAY, NOTHING)
    first = backups(book.folder)[0].stat()
    for _ in range(3):
        book.append([cut(1)], by="ml")
        days.written()
        assert not days.due(DAY)
    assert backups(book.folder)[0].stat().st_ino == first.st_ino
    later = DayBackups(book.folder, "shed")  # another command of that day
    later.written()
    later.make(DAY, NOTHING)
    assert backups(book.folder)[0].stat().st_ino == first.st_ino


def test_a_screen_left_open_backs_up_each_day_it_is_written_in_and_its_last_lines_when_it_closes(
    book: Book,
) -> None:
    days = DayBackups(book.folder, "shed")
    for n in range(3):
        written = book.append([cut(n)], by="ml")
        days.written()
        assert days.due(DAY + timedelta(days=n))
        days.make(DAY + timedelta(days=n), NOTHING)
        assert ids_of(written) <= set(read_backup(backups(book.folder)[0])[0])
    last = book.append([cut(9)], by="ml")
    days.written()
    days.make(DAY + timedelta(days=2), NOTHING)
    assert ids_of(last) <= set(read_backup(backups(book.folder)[0])[0])
    assert len(backups(book.folder)) == 3
    made = backups(book.folder)[0].stat().st_ino
    days.make(DAY + timedelta(days=2), NOTHING)
    assert backups(book.folder)[0].stat().st_ino == made


def test_a_slow_failure_is_not_felt_at_every_line(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = 0

    def slow_and_full(*_: object) -> None:
        nonlocal tries
        tries += 1
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(daily, "SLOW", -1.0)  # whatever it took was long
    monkeypatch.setattr(backups_module, "replace_file", slow_and_full)
    first = make(book)
    assert [make(book) for _ in range(5)] == [first] * 5 and tries == 1
    past = time.time() - 10
    os.utime(book.folder / "backup.failed", (past, past))  # the time it rests is over
    assert make(book) == first and tries == 2
    far = time.time() + 400 * 86_400  # a clock that was years ahead does not stop it for years
    os.utime(book.folder / "backup.failed", (far, far))
    make(book)
    assert tries == 3
    monkeypatch.undo()
    assert daily.back_up(book.folder, "shed", DAY, at_once=True) is None
    assert audit(again(book)) == []


def test_what_is_remembered_of_a_failure_is_safe_to_show(book: Book) -> None:
    (book.folder / "backup.failed").write_bytes(b"\x1b[2J" + b"x" * 100_000)
    problem = daily.failed(book.folder)
    assert problem is not None and problem.sentence.isprintable() and len(problem.sentence) <= 600
    os.unlink(book.folder / "backup.failed")
    os.symlink("/etc/hosts", book.folder / "backup.failed")
    problem = daily.failed(book.folder)
    assert problem is not None and "localhost" not in problem.sentence


# what is kept


def damage(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])


def test_a_damaged_newest_backup_hides_no_loss_and_stops_the_pruning(book: Book) -> None:
    for n in range(12):
        backup(book, DAY + timedelta(days=n))
    count = len(backups(book.folder))
    newest = backups(book.folder)[0]
    damage(newest)
    log_of(book).unlink()
    fresh = again(book)
    told = [p.sentence for p in audit(fresh)]
    assert any(newest.name in text and "cut off" in text for text in told)
    assert any("holds 3 entries that the book has lost" in text for text in told)
    made = backup(fresh, DAY + timedelta(days=200))
    assert made.problem is not None
    assert len(read_backup(made.path)[0]) == 3  # taken over from the one before the damaged
    assert len(backups(book.folder)) == count + 1


def test_a_damaged_newest_backup_of_a_sound_book_stops_the_pruning_and_is_told(book: Book) -> None:
    for n in range(12):
        backup(book, DAY + timedelta(days=n))
    before = set(backups(book.folder))
    damage(max(before))
    made = backup(book, DAY + timedelta(days=12))
    assert made.problem is not None and max(before).name in made.problem.sentence
    assert before < set(backups(book.folder))
    assert backup(book, DAY + timedelta(days=13)).problem is None  # the newest is whole again


def test_something_unreadable_among_the_backups_does_not_stop_them(book: Book) -> None:
    (book.folder / "backup" / "2026-06-22.log.gz").symlink_to("/dev/zero")
    os.mkfifo(book.folder / "backup" / "2026-06-21.log.gz")
    (book.folder / "backup" / "2026-06-20.log.gz").mkdir()
    made = backup(book, DAY)
    assert made.problem is not None and len(read_backup(made.path)[0]) == 3
    assert backup(book, DAY + timedelta(days=1)).problem is None


@pytest.mark.parametrize("years", [-30, 10])
def test_a_wrong_clock_never_prunes_the_only_copy_of_an_entry(book: Book, years: int) -> None:
    """For some days the clock is years off; before and after, it is right. At every point some backup has it all."""
    wrong = DAY.replace(year=DAY.year + years)
    days = [
        *(DAY + timedelta(days=n) for n in range(5)),
        *(wrong + timedelta(days=n) for n in range(12)),
        *(DAY + timedelta(days=30 + n) for n in range(14)),
    ]
    for n, day in enumerate(days):
        written = book.append([cut(n)], by="ml")
        made = backup(book, day)
        assert made.problem is None and made.path.exists()
        held = [set(read_backup(path)[0]) for path in backups(book.folder)]
        assert any(ids_of(written) <= ids for ids in held)
        assert ids_of(again(book).entries()) <= set.union(*held)
    assert len(backups(book.folder)) <= 2 * (7 + 5 + 12)
    last = {path.name[:10] for path in backups(book.folder)}
    assert {str(day) for day in days[-7:]} <= last  # the wrong ones take the place of none


def test_a_backup_with_the_only_copy_of_an_entry_is_never_pruned(book: Book) -> None:
    """Its loss was not noticed: neither the newest backup nor the book has it any more."""
    only = backup(book, DAY - timedelta(days=300)).path
    kept = ids_of(book.entries())
    log_of(book).unlink()
    (book.folder / "book.json").unlink(missing_ok=True)
    later = again(book)
    later.append([cut(9)], by="ml")
    os.rename(only, only.with_name("aside"))
    for n in range(20):
        backup(later, DAY - timedelta(days=250 - n))
    os.rename(only.with_name("aside"), only)  # put back from another disk
    said = [
        problem.sentence
        for n in range(40)
        if (problem := backup(again(book), DAY + timedelta(days=9 * n)).problem)
    ]
    assert only.exists() and set(read_backup(only)[0]) == kept
    assert said and f"shedbook restore {only.name[:10]}" in said[-1]


def test_the_check_looks_at_the_newest_of_both_sides_of_a_wrong_clock(book: Book) -> None:
    backup(book, date(2090, 1, 1))
    book.append([cut(7)], by="ml")
    today = datetime.now(UTC).date()
    backup(book, today)
    whole = log_of(book).read_bytes().splitlines(keepends=True)
    log_of(book).write_bytes(b"".join(whole[:-1]))
    told = [p.sentence for p in audit(again(book))]
    assert any(f"{today}.log.gz holds 1 entry that the book has lost" in text for text in told)
