"""book.json: a plain TinyDB file, never in the way of the logs, and what remembers for them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from core.book import layout, repair, snapshot
from core.book.audit import audit
from core.book.book import Book
from core.book.lines import body_of, line_of
from core.problems import ShedbookError
from hypothesis import given
from hypothesis import strategies as st
from tinydb import TinyDB, where

from tests.cases import cases
from tests.farms import again, cut, cuts, log_of, shed


def test_any_tinydb_opens_it(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append([cut(n, note="für ‘Tür’ 3") for n in range(4)], by="ml")
    assert book.snapshot()
    with TinyDB(book.folder / "book.json") as plain:
        table = plain.table("entries")
        assert [dict(doc) for doc in table] == [entry.as_dict() for entry in written]
        assert [doc.doc_id for doc in table] == [1, 2, 3, 4]
        assert table.get(where("stems") == 2)["id"] == written[2].id  # type: ignore[call-overload,index]
        assert plain.table("about").get(doc_id=1)["format"] == 1  # type: ignore[call-overload,index]


def test_a_small_book_is_always_up_to_date_and_a_big_one_now_and_then(tmp_path: Path) -> None:
    book = shed(tmp_path)
    assert not book.snapshot()  # nothing to hold
    made = 0
    for n in range(400):
        book.append([cut(n)], by="ml")
        made += book.snapshot()
        if n < 10:
            assert made == n + 1
    assert 20 < made < 60
    assert not book.snapshot()
    assert book.snapshot(force=True)


def test_it_may_be_deleted_at_any_time(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(3), by="ml")
    book.snapshot()
    (book.folder / "book.json").unlink()
    assert again(book).entries() == written
    assert again(book).snapshot()


@pytest.mark.parametrize("lines", [0, 1, 3])
def test_what_a_log_lost_at_a_line_comes_back_from_it(tmp_path: Path, lines: int) -> None:
    book = shed(tmp_path)
    written = [entry for n in range(5) for entry in book.append([cut(n)], by="ml")]
    book.snapshot()
    whole = log_of(book).read_bytes().splitlines(keepends=True)
    log_of(book).write_bytes(b"".join(whole[:lines]))
    if not lines:
        log_of(book).unlink()
    fresh = again(book)
    assert fresh.entries() == written
    (problem,) = fresh.problems()
    assert f"{5 - lines} entries" in problem.sentence and "book.json" in problem.sentence
    later = again(book)
    new = later.append([cut(9)], by="ml", check=lambda news: None)  # she goes on before she repairs
    assert later.snapshot(force=True)  # a snapshot that still holds what only it knew
    every = sorted([*written, *new], key=lambda entry: entry.key)
    assert again(book).entries() == every
    assert repair.repair(later) == repair.Restored(5 - lines)
    (book.folder / "book.json").unlink()
    assert again(book).entries() == every
    assert again(book).problems() == []


def test_a_log_that_comes_home_is_not_counted_twice(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = [entry for n in range(5) for entry in book.append([cut(n)], by="ml")]
    book.snapshot()
    whole = log_of(book).read_bytes()
    log_of(book).write_bytes(whole[: len(whole) // 5])
    reader = Book.open(book.folder, device="net")
    seen = {entry.id for entry in reader.entries()}
    assert len(seen) == 5
    log_of(book).write_bytes(whole)
    try:
        news = reader.entries_after(reader.position())
    except ShedbookError:
        news = []
    assert seen.isdisjoint(entry.id for entry in news)
    assert reader.entries() == written


def test_a_refused_writing_never_comes_back_from_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another process snapshots between a write and its failing fsync: the lock keeps it out."""
    book = shed(tmp_path)
    kept = book.append([cut(1)], by="ml")
    other = again(book)
    other._lock._patience = 0.05

    def fail(fd: int) -> None:
        monkeypatch.undo()
        with pytest.raises(ShedbookError, match="held by"):
            other.snapshot(force=True)
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("os.fsync", fail)
    with pytest.raises(ShedbookError):
        book.append([cut(2)], by="ml")
    assert other.snapshot(force=True)
    assert again(book).entries() == kept


def test_it_holds_nothing_that_is_still_being_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line that came after the lock was free may yet be taken back: it waits for the next snapshot."""
    book = shed(tmp_path)
    (kept,) = book.append([cut(1)], by="ml")
    unsure = line_of(body_of({**kept.as_dict(), "id": kept.id[:-1] + "x"}))
    real = layout.log_sizes

    def then_another_begins(logs: Path | str) -> dict[str, int]:
        sizes = real(logs)
        with open(log_of(book), "ab") as log:
            log.write(unsure)
        return sizes

    monkeypatch.setattr(layout, "log_sizes", then_another_begins)
    assert book.snapshot(force=True)
    found = snapshot.read(book.folder / "book.json")
    assert found is not None and [flat["id"] for flat in found[1]] == [kept.id]


@given(st.integers(0, 10_000), st.integers(0, 7))
@cases(80)
def test_a_flipped_bit_in_it_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, place: int, bit: int
) -> None:
    book = shed(tmp_path_factory.mktemp("bit"))
    written = book.append(cuts(3), by="ml")
    book.snapshot()
    path = book.folder / "book.json"
    data = bytearray(path.read_bytes())
    data[place % len(data)] ^= 1 << bit
    path.write_bytes(data)
    assert snapshot.read(path) is None
    assert again(book).entries() == written
    assert again(book).snapshot(force=True)
    assert (book.folder / "book.json.set-aside").read_bytes() == data  # kept, for whoever can read it
    found = snapshot.read(path)
    assert found is not None and len(found[1]) == 3


def test_both_lost_is_said_so(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(3), by="ml")
    book.snapshot()
    path = book.folder / "book.json"
    data = bytearray(path.read_bytes())
    data[-20] ^= 1
    path.write_bytes(data)
    log_of(book).unlink()
    fresh = again(book)
    assert fresh.entries() == []
    assert any("restore from a backup" in p.sentence for p in fresh.problems())


def test_a_file_of_another_program_in_its_place_is_kept_aside(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(2), by="ml")
    path = book.folder / "book.json"
    path.write_text(json.dumps({"_default": {"1": {"a": 1}}}))
    assert again(book).entries() == written
    assert book.snapshot()
    assert "_default" in (book.folder / "book.json.set-aside").read_text()


def test_what_a_stopped_process_left_is_cleared_away(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut()], by="ml")
    (book.folder / ".book.json.4711.new").write_bytes(b"half of it")
    book.snapshot()
    assert [p.name for p in book.folder.glob(".*")] == []


@pytest.mark.parametrize("odd", [rb'"\ud800"', b"NaN", b"1e999", b"9" * 30, b"[" * 5000 + b"]" * 5000])
def test_a_snapshot_with_what_no_reader_could_pass_on_is_none(tmp_path: Path, odd: bytes) -> None:
    """Its checksums are right, and it says that it alone holds an entry."""
    book = shed(tmp_path)
    written = book.append(cuts(2), by="ml")
    body = b'{"id":"019f0000-0000-7000-8000-00000000000a","on":"2026-06-23","at":"x","by":"kk","kind":"note","n":%b}'
    snapshot.write(book.folder / "book.json", [body % odd], {"shed.log": [10**6, 7]}, 1)
    assert snapshot.read(book.folder / "book.json") is None
    assert again(book).entries() == written
    assert "book.json is damaged or was changed" in " ".join(p.sentence for p in audit(again(book)))
    assert again(book).snapshot(force=True) and again(book).entries() == written


def test_a_farm_of_thousands_of_logs_has_a_sound_snapshot(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(3), by="ml")
    path = tmp_path / "book.json"
    logs = {f"machine{n:04d}-of-a-long-name.log": [n, n] for n in range(3000)}
    bodies = book.bodies()[0]
    snapshot.write(path, bodies, logs, 0)
    about = snapshot.read_about(path)
    assert about is not None and about.logs == logs
    read = snapshot.bodies(path)
    assert read is not None and [*read[1]] == bodies
