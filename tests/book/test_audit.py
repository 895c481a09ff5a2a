"""The check of the record: a sound book has no problems, and each kind of trouble is named."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from core.book import ids
from core.book.audit import audit
from core.book.backup import backup
from core.book.book import Book
from core.book.lines import body_of, line_of

from tests.farms import FIRST_MS, again, cut, cuts, log_of, shed

Hurt = Callable[[Book], object]


def an_entry(**more: object) -> bytes:
    head = {
        "id": ids.uuid7(FIRST_MS, 1),
        "on": "2026-06-23",
        "at": ids.at_text(FIRST_MS),
        "by": "ml",
        "kind": "cut",
    }
    return line_of(body_of({**head, **more}))


def add(line: bytes, log: str = "house") -> Hurt:
    return lambda book: log_of(book, log).write_bytes(line)


def test_a_sound_book_has_none(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(5), by="ml")
    Book.open(book.folder, device="net").append(cuts(2), by="kk")
    book.snapshot()
    backup(book, date(2026, 6, 23))
    assert audit(again(book)) == []


def flip(book: Book, place: int = 100) -> None:
    data = bytearray(log_of(book).read_bytes())
    data[place] ^= 1
    log_of(book).write_bytes(data)


def flip_snapshot(book: Book) -> None:
    data = bytearray((book.folder / "book.json").read_bytes())
    data[-30] ^= 1
    (book.folder / "book.json").write_bytes(data)


def cut_backup(book: Book) -> None:
    path = book.folder / "backup" / "2026-06-23.log.gz"
    path.write_bytes(path.read_bytes()[:-30])


def lose_all_but_the_backup(book: Book) -> None:
    log_of(book).unlink()
    (book.folder / "book.json").unlink()


@pytest.mark.parametrize(
    ("hurt", "told"),
    [
        (flip, "line 1 is damaged"),
        (lambda book: log_of(book).write_bytes(log_of(book).read_bytes()[:-9]), "lost 1 entry, brought back"),
        (lambda book: log_of(book).write_bytes(log_of(book).read_bytes() * 2), "repeats an earlier line"),
        (lambda book: log_of(book).unlink(), "brought back from book.json"),
        (lose_all_but_the_backup, "the book has lost"),
        (flip_snapshot, "book.json is damaged"),
        (cut_backup, "cut off"),
        (add(an_entry(id="017f22e2-79b0-4cc3-98c4-dc0c0c07398f")), "an id that no book makes"),
        (add(an_entry(at="2026-06-24T07:00:00.000Z")), "an id of another instant"),
        (add(an_entry(on="2026-02-30")), "no date of the calendar"),
        (
            add(an_entry(id=ids.uuid7(4_000_000_000_000, 1), at=ids.at_text(4_000_000_000_000))),
            "more than a day from now",
        ),
        (add(an_entry(kind="")), "says not what it is"),
        (
            lambda book: log_of(book).write_bytes(
                b"".join(reversed(log_of(book).read_bytes().splitlines(True)))
            ),
            "was put together by hand",
        ),
        (lambda book: os.chmod(log_of(book), 0o644), "open to other users"),
        (lambda book: os.symlink("/etc/hosts", book.folder / "hosts"), "is a link"),
    ],
)
def test_each_trouble_is_named(tmp_path: Path, hurt: Hurt, told: str) -> None:
    book = shed(tmp_path)
    for n in range(5):
        book.append([cut(n)], by="ml")
    book.snapshot()
    backup(book, date(2026, 6, 23))
    hurt(book)
    for path in (book.folder / "log").glob("house*"):
        path.chmod(0o600)
    found = audit(again(book))
    assert any(told in problem.sentence for problem in found), [p.sentence for p in found]
    assert all(p.sentence.isprintable() and p.sentence[-1] not in " ," for p in found)


def test_many_of_a_kind_are_counted(tmp_path: Path) -> None:
    book = shed(tmp_path)
    add(b"".join(an_entry(id=ids.uuid7(FIRST_MS, n), kind="") for n in range(500)))(book)
    log_of(book, "house").chmod(0o600)
    found = audit(book)
    assert len(found) < 60 and any("more of this kind" in p.sentence for p in found)


def test_escapes_in_a_log_do_not_reach_the_terminal(tmp_path: Path) -> None:
    book = shed(tmp_path)
    add(an_entry(kind="\x1b[2J", on="\x1b]0;x\x07", id="\x1b" * 36))(book)
    log_of(book, "a\x1b[1mb").write_bytes(b"junk\n" + an_entry() * 2)
    for problem in [*audit(book), *again(book).problems()]:
        assert problem.sentence.isprintable(), repr(problem.sentence)
        assert (problem.entry or "").isprintable()


def seven_days(folder: Path) -> Book:
    """A book with a backup of each of nine days."""
    book = shed(folder)
    for day in range(15, 24):
        book.append(cuts(2), by="ml")
        (book.folder / "backup" / f"2026-06-{day}.log.gz").unlink(missing_ok=True)
        backup(book, date(2026, 6, day))
    return book


def put_out(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 0x55
    path.write_bytes(data)


@pytest.mark.parametrize("room", [4_000_000, 0])
def test_every_backup_of_the_last_seven_days_is_looked_into_and_told_by_its_name(
    tmp_path: Path, room: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.book.backup.READ_BESIDE", room)
    book = seven_days(tmp_path)
    assert audit(again(book)) == []
    for day in (17, 19, 22):
        put_out(book.folder / "backup" / f"2026-06-{day}.log.gz")
    told = [problem.sentence for problem in audit(again(book))]
    assert len(told) == 3 and all("is damaged" in sentence or "damaged and" in sentence for sentence in told)
    for day in (17, 19, 22):
        assert any(f"2026-06-{day}.log.gz" in sentence for sentence in told)


def test_what_an_older_backup_holds_and_the_book_has_lost_is_told(tmp_path: Path) -> None:
    book = seven_days(tmp_path)
    other = shed(tmp_path / "other")
    other.append(cuts(3), by="ml")
    backup(other, date(2026, 6, 20))
    held = other.folder / "backup" / "2026-06-20.log.gz"
    (book.folder / "backup" / held.name).write_bytes(held.read_bytes())
    (problem,) = audit(again(book))
    assert "2026-06-20.log.gz holds" in problem.sentence and "has lost" in problem.sentence
