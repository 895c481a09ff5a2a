"""A strike of a strike of a strike: told whole, with few questions to the book, however long the chain is."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tinydb.queries import QueryLike

from core import history, record
from core.amend import amendments, followed
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.farm import Farm
from core.fold import as_of
from core.session import Session
from core.shared_codes import SharedCodes
from tests.farms import farm_in

DAY = "2026-06-01"
LONG = 300


def chain(folder: Path, length: int) -> list[Entry]:
    """A cut, a strike of it, a strike of that, and so on; the entries of the chain."""
    session = farm_in(
        folder, {DAY: ("farm zone UTC", "bed b1 50ft", "plant peony b1 20ft", "40 peony b1 fresh")}
    )
    (cut,) = (entry for entry in session.entries() if entry.kind == "cut")
    book, found = Book.open(folder), [cut]
    for _ in range(length):
        found += book.append([Draft("strike", DAY, {"entry": found[-1].id})], by="jm")
    return found


def test_the_story_of_a_lot_holds_the_whole_chain_and_asks_few_questions(tmp_path: Path) -> None:
    whole = {entry.id for entry in chain(tmp_path / "farm", LONG)}
    book = Book.open(tmp_path / "farm")
    amended = amendments(book.entries())
    asked: list[object] = []

    class Counted(record.Record):
        def ask(self, query: QueryLike) -> list[Entry]:
            asked.append(query)
            return super().ask(query)

    story = history.history(Counted(book, amended, SharedCodes(Farm()), Farm()), "L001", amended)
    assert isinstance(story, list)
    assert whole <= {entry.id for entry in story}
    assert len(asked) < 10


def test_the_last_of_the_chain_decides(tmp_path: Path) -> None:
    for length in (LONG, LONG + 1):
        found = chain(tmp_path / str(length), length)
        session = Session.open(tmp_path / str(length), by="jm", on=date(2026, 6, 1))
        assert (found[0].id in session.look_back.marks(found).struck) is (length % 2 == 1)
        assert (session.farm.lots.get("L001") is None) is (length % 2 == 1)


def test_read_as_of_a_day_the_chain_comes_with_what_it_strikes(tmp_path: Path) -> None:
    found = chain(tmp_path / "farm", 9)
    later = [Entry(e.id, "2026-07-01", e.at, e.by, e.kind, e.fields) for e in found[1:]]
    assert as_of([found[0], *later], DAY) == [found[0], *later]
    assert as_of([found[0], *later], "2026-05-01") == []


def test_a_ring_is_followed_once() -> None:
    assert followed({"a": "b", "b": "a", "c": "x"}, ["a"]) == {"a", "b"}
