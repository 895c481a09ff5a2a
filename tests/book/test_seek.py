"""Single entries found in a log, and stretches of it read alone: the same as reading all of it would give."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from core.book.book import Book
from core.book.entry import Draft
from core.book.reader import Reader
from core.book.seek import entries_ending
from hypothesis import given
from hypothesis import strategies as st

from tests.cases import cases
from tests.farms import again, cut, cuts, log_of, shed


def _log(tmp_path: Path) -> tuple[Book, bytes]:
    book = shed(tmp_path)
    for n in range(1, 6):
        book.append(cuts(n), by="ml")  # one line, then writings of two to five
    return book, log_of(book).read_bytes()


def test_every_entry_is_found_by_the_end_of_its_id(tmp_path: Path) -> None:
    book, _ = _log(tmp_path)
    for entry in book.entries():
        assert again(book).find(entry.id) == again(book).find(entry.id[-12:]) == [entry]
    assert again(book).find("f" * 12) == [] and again(book).find("") == []


def test_text_that_looks_like_an_id_is_not_taken_for_one(tmp_path: Path) -> None:
    book = shed(tmp_path)
    (one,) = book.append([cut(1)], by="ml")
    book.append([Draft("note", "2026-06-23", {"text": f'{{"id":"{one.id}"'})], by="ml")
    book.append([Draft("strike", "2026-06-23", {"entry": one.id})], by="ml")
    assert again(book).find(one.id[-8:]) == [one]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes, list[str]]:
    """(a file to write to, the bytes of a log, the ids in it)."""
    folder = tmp_path_factory.mktemp("seek")
    book, whole = _log(folder)
    return folder / "hurt.log", whole, [entry.id for entry in book.entries()]


@given(st.data())
@cases(60)
def test_seeking_in_a_damaged_log_finds_what_reading_finds(
    written: tuple[Path, bytes, list[str]], data: st.DataObject
) -> None:
    path, whole, ids = written
    hurt = bytearray(whole)
    for _ in range(data.draw(st.integers(0, 3))):
        hurt[data.draw(st.integers(0, len(hurt) - 1))] = data.draw(st.sampled_from([0, 10, 43, 32, 34, 255]))
    del hurt[data.draw(st.integers(len(hurt) // 2, len(hurt))) :]
    path.write_bytes(hurt)
    fd = os.open(path, os.O_RDONLY)
    try:
        read = [flat["id"] for _, flats in Reader(fd).blocks() for flat in flats]
        sought = [flat["id"] for known in ids for flat in entries_ending(fd, len(hurt), known)]
    finally:
        os.close(fd)
    assert sorted(sought) == sorted(read)


def test_a_stretch_of_the_logs_is_what_was_written_in_between(tmp_path: Path) -> None:
    book, _ = _log(tmp_path)
    book.entries()
    half = book.position()
    later = book.append(cuts(3), by="ml")
    assert again(book).entries_between(half, book.position()) == later
    assert again(book).entries_between({}, half) + later == again(book).entries()


def test_nothing_of_a_day_stands_before_where_it_begins(tmp_path: Path) -> None:
    book = shed(tmp_path)
    for day in range(1, 30):
        for _ in range(2):
            book.append(
                [Draft("cut", f"2026-06-{day:02d}", {"stems": n, "bed": "b3"}) for n in range(80)], by="ml"
            )
    everything = book.entries()
    assert log_of(book).stat().st_size > 2 * 256 * 1024, "several blocks"
    for known in (book, again(book)):
        for day in ("2026-06-02", "2026-06-15", "2026-06-29", "2026-07-05"):
            begins = known.day_begins(day, {})
            after = {e.id for e in again(book).entries_between(begins, book.position())}
            assert {e.id for e in everything if e.on >= day} <= after
            assert day < "2026-06-20" or len(after) < len(everything), "and not all is read"
