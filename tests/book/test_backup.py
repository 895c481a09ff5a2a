"""Dated backups, what is kept of them, and putting entries back from one."""

from __future__ import annotations

import gzip
from datetime import date, timedelta
from pathlib import Path

import pytest
from core.book.backup import backup, backups, kept, read_backup
from core.book.repair import restore
from core.problems import ShedbookError
from hypothesis import given
from hypothesis import strategies as st

from tests.farms import again, cut, cuts, ids_of, log_of, shed

DAY = date(2026, 6, 23)


def test_it_holds_the_lines_of_every_entry(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(3), by="ml")
    made = backup(book, DAY)
    assert made.path == book.folder / "backup" / "2026-06-23.log.gz"
    assert (made.entries, made.problem) == (3, None)
    lines = gzip.decompress(made.path.read_bytes()).splitlines(keepends=True)
    assert [line[16:52].decode() for line in lines] == [entry.id for entry in written]
    assert read_backup(made.path)[1] == []


def test_restore_puts_back_what_the_book_lost_and_only_that(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(5), by="ml")
    backup(book, DAY)
    later = book.append([cut(9)], by="ml")
    lines = log_of(book).read_bytes().splitlines(keepends=True)
    log_of(book).write_bytes(lines[5])
    fresh = again(book)
    assert fresh.entries() == later
    assert restore(fresh, backups(book.folder)[0]).written_back == 5
    assert again(book).entries() == [*written, *later]
    assert restore(again(book), backups(book.folder)[0]).written_back == 0


def test_a_backup_beside_a_book_that_lost_entries_says_so_and_keeps_them(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(4), by="ml")
    backup(book, DAY)
    log_of(book).unlink()
    fresh = again(book)
    for n in range(30):
        made = backup(fresh, DAY + timedelta(days=n))
        assert made.problem is not None and "4" in made.problem.sentence
        assert set(read_backup(made.path)[0]) == ids_of(written)
    assert len(backups(book.folder)) == 30  # none is removed while something is missing


@given(st.sets(st.dates(date(2024, 1, 1), date(2027, 1, 1)), max_size=80))
def test_a_week_of_days_five_weeks_and_twelve_months_are_kept(days: set[date]) -> None:
    keep = kept([*days])
    newest = sorted(days, reverse=True)
    assert keep <= days and keep >= set(newest[:7])
    assert len(keep) <= 7 + 5 + 12
    assert len({(d.year, d.month) for d in keep}) >= min(12, len({(d.year, d.month) for d in days}))
    assert len({d.isocalendar()[:2] for d in keep}) >= min(5, len({d.isocalendar()[:2] for d in days}))
    assert kept([*keep]) == keep


def test_a_year_of_days_leaves_about_twenty(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut()], by="ml")
    for n in range(400):
        backup(book, DAY + timedelta(days=n))
    left = backups(book.folder)
    assert 17 <= len(left) <= 24
    assert left[0].name == "2027-07-27.log.gz"


def test_a_damaged_backup_gives_what_stands_before_the_damage(tmp_path: Path) -> None:
    book = shed(tmp_path)
    for n in range(300):
        book.append([cut(n, note=f"{n * 7919 % 1000}")], by="ml")
    path = backup(book, DAY).path
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    found, problems = read_backup(path)
    assert 0 < len(found) < 300 and "cut off" in problems[0].sentence
    path.write_bytes(whole[: len(whole) // 2] + b"\xff" * 40 + whole[len(whole) // 2 + 40 :])
    found, problems = read_backup(path)
    assert len(found) < 300 and problems
    path.write_bytes(b"no gzip at all")
    assert read_backup(path)[0] == {}


def test_a_small_file_that_unpacks_to_a_giant_is_refused(tmp_path: Path) -> None:
    bomb = tmp_path / "2026-06-23.log.gz"
    bomb.write_bytes(gzip.compress(bytes(30_000_000)))
    with pytest.raises(ShedbookError, match="more than a backup"):
        read_backup(bomb)


def test_a_backup_that_unpacks_to_nothing_but_line_ends_is_left_soon(tmp_path: Path) -> None:
    path = tmp_path / "2026-06-23.log.gz"
    path.write_bytes(gzip.compress(b"\n" * (64 << 20)))
    found, problems = read_backup(path)
    assert found == {} and "more than 20000 are damaged" in problems[0].sentence
