"""The book as a TinyDB: what TinyDB promises of a table holds, but nothing is edited."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from core.book.book import Book
from core.book.tiny import ENTRIES, BookDB, LogStorage
from core.problems import ShedbookError
from tinydb import Query, TinyDB, where
from tinydb.table import Document

from tests.farms import again, cut, cuts, log_of, shed


def a_cut(stems: int, **more: object) -> dict[str, object]:
    return {"kind": "cut", "on": "2026-06-23", "crop": "strawflower", "stems": stems, **more}


@pytest.fixture
def db(tmp_path: Path) -> BookDB:
    return BookDB(shed(tmp_path).folder, by="ml", device="shed")


def folder_of(db: BookDB) -> Path:
    return db.storage._book.folder  # type: ignore[attr-defined, no-any-return]


def test_inserts_are_entries_of_the_book(db: BookDB) -> None:
    assert db.insert(a_cut(40, tags=["a", {"b": 1}])) == 1
    assert db.insert_multiple([a_cut(1), a_cut(2, by="kk")][:1]) == [2]
    found = Book.open(folder_of(db), device="shed").entries()
    assert [e.fields["stems"] for e in found] == [40, 1]
    assert found[0].by == "ml"
    assert db.get(doc_id=1) == found[0].as_dict()


def test_queries_are_tinydbs_own(db: BookDB) -> None:
    db.insert_multiple([a_cut(n, bed=f"b{n % 3}") for n in range(9)])
    entry = Query()
    assert len(db) == 9
    assert {d["stems"] for d in db.search((entry.bed == "b1") & (entry.stems > 1))} == {4, 7}
    assert db.count(where("bed") == "b2") == 3
    assert db.contains(where("stems") == 8) and not db.contains(where("stems") == 9)
    assert db.contains(doc_id=9) and not db.contains(doc_id=10)
    assert db.get(where("stems") == 5).doc_id == 6  # type: ignore[union-attr]
    assert [d.doc_id for d in db.get(doc_ids=[2, 4])] == [2, 4]  # type: ignore[union-attr]
    assert [d.doc_id for d in db] == [*range(1, 10)]
    assert len(db.all()) == 9
    assert db.tables() == {ENTRIES}
    assert isinstance(db.get(doc_id=1), Document)


def test_nothing_handed_out_leads_back_into_the_book(db: BookDB) -> None:
    db.insert(a_cut(1, tags=["a"]))
    for document in (db.get(doc_id=1), db.search(where("stems") == 1)[0], db.all()[0]):
        document["stems"] = 99  # type: ignore[index]
        document["tags"].append("b")  # type: ignore[index]
    db.storage.read()[ENTRIES].clear()
    db.clear_cache()
    assert db.get(doc_id=1)["stems"] == 1 and db.get(doc_id=1)["tags"] == ["a"]  # type: ignore[index]
    assert again(Book.open(folder_of(db), device="shed")).entries()[0].fields["tags"] == ["a"]


def test_nothing_is_edited_or_removed(db: BookDB) -> None:
    db.insert(a_cut(1))
    before = log_of(Book.open(folder_of(db), device="shed")).read_bytes()
    for act in (
        lambda: db.update({"stems": 2}),
        lambda: db.update({"stems": 2}, doc_ids=[1]),
        lambda: db.update_multiple([({"stems": 2}, where("stems") == 1)]),
        lambda: db.upsert(a_cut(2), where("stems") == 1),
        lambda: db.remove(doc_ids=[1]),
        lambda: db.truncate(),
        lambda: db.drop_table(ENTRIES),
        lambda: db.drop_tables(),
    ):
        with pytest.raises(ShedbookError, match="never edited or removed; write a strike"):
            act()
    assert len(db) == 1
    assert log_of(Book.open(folder_of(db), device="shed")).read_bytes() == before


def test_a_stock_table_over_the_storage_reads_and_cannot_write(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(3), by="ml")
    with TinyDB(book.folder, storage=LogStorage, device="shed") as stock:
        table = stock.table(ENTRIES)
        assert len(table) == 3
        assert table.search(where("stems") == 2)[0]["crop"] == "strawflower"
        with pytest.raises(ShedbookError, match="never edited"):
            table.insert(a_cut(1))


def test_what_others_write_is_seen_by_the_next_query(db: BookDB) -> None:
    db.insert(a_cut(1))
    assert len(db.search(where("kind") == "cut")) == 1
    Book.open(folder_of(db), device="net").append([cut(2)], by="kk")
    assert len(db.search(where("kind") == "cut")) == 2  # though the query was cached
    assert db.insert(a_cut(3)) == 3
    assert [d["stems"] for d in db] == [1, 2, 3]


def test_a_log_put_back_from_a_copy_is_read_anew(db: BookDB) -> None:
    db.insert_multiple([a_cut(n) for n in range(3)])
    log = log_of(Book.open(folder_of(db), device="shed"))
    lines = log.read_bytes().splitlines(keepends=True)
    log.write_bytes(lines[2])
    assert [d["stems"] for d in db] == [2] or len(db) == 1
    assert db.insert(a_cut(7)) == 2


@pytest.mark.parametrize("document", [{}, {"kind": "cut"}, {"kind": 1, "on": "2026-06-23"}, "cut", 7])
def test_what_is_no_entry_is_a_value_error(db: BookDB, document: object) -> None:
    with pytest.raises(ValueError, match="entry"):
        db.insert(document)  # type: ignore[arg-type]
    assert len(db) == 0


def test_numbers_are_the_books_to_give(db: BookDB) -> None:
    with pytest.raises(ValueError, match="numbers its entries itself"):
        db.insert(Document(a_cut(1), doc_id=7))
    with pytest.raises(ValueError, match="one person"):
        db.insert_multiple([a_cut(1, by="ml"), a_cut(2, by="kk")])
    with pytest.raises(ShedbookError, match="one table"):
        db.table("other").insert(a_cut(1))
    assert db.insert_multiple([]) == []


def test_an_insert_makes_as_few_calls_in_a_big_book_as_in_a_small_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What one insert reads does not grow with the book: the count of bytes read is the same."""

    def bytes_read_by_one_insert(size: int) -> int:
        book = shed(tmp_path / str(size))
        book.append(cuts(size), by="ml")
        db = BookDB(book.folder, by="ml", device="shed")
        db.insert(a_cut(1))
        total = 0
        real = os.pread

        def counting(fd: int, count: int, offset: int) -> bytes:
            nonlocal total
            data = real(fd, count, offset)
            total += len(data)
            return data

        with monkeypatch.context() as patch:
            patch.setattr(os, "pread", counting)
            db.insert(a_cut(2))
        return total

    assert bytes_read_by_one_insert(3000) == bytes_read_by_one_insert(100)
