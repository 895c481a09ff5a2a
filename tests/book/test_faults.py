"""The disk fails, or the power is cut, at every single call: what was said to be written is there.

The model: a writing is acknowledged when its call returns, refused when it raises ShedbookError, and cut
when the power goes in its middle. Afterwards every acknowledged writing is there whole, no refused one is,
and a cut one is whole or absent.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from core.book import repair
from core.book.audit import audit
from core.book.backup import backup
from core.book.book import Book
from core.book.entry import Draft
from core.book.merge import merge
from core.problems import ShedbookError

from tests.cases import some_of

from .faults import Disk, PowerCutError

FAILING = ("full", "error", "short", "full on")
POWER = ("power", "power half")


class Morning:
    """One morning's writings, each with a number all its entries carry; remembers what became of each."""

    def __init__(self, folder: Path, other: Path) -> None:
        self.folder = folder
        self.other = other
        self.acknowledged: dict[int, int] = {}
        self.refused: set[int] = set()
        self.doubtful: set[int] = set()
        self.merged = False

    def run(self) -> None:
        """Stops with PowerCutError where the power goes; goes on past everything the disk refuses."""
        book = self._made()
        steps: list[Callable[[], object]] = [
            lambda: self._write(book, 1, 1),
            lambda: self._write(book, 2, 3),
            lambda: book.snapshot(force=True),
            lambda: self._write(book, 3, 2),
            lambda: backup(book, date(2026, 6, 23)),
            lambda: self._merge(book),
            lambda: self._write(Book.open(self.folder, device="shed"), 4, 40),
            lambda: book.snapshot(),
            lambda: repair.repair(book),
            lambda: self._write(book, 5, 1),
            lambda: book.snapshot(force=True),
        ]
        for step in steps:
            try:
                step()
            except ShedbookError as refused:
                assert refused.problem.sentence.count(". ") <= 1, "one clear sentence or two"

    def _made(self) -> Book:
        for _ in range(3):  # a disk that was full may have room again
            try:
                return Book.create(self.folder, device="shed")
            except ShedbookError:
                try:
                    return Book.open(self.folder, device="shed")
                except ShedbookError:
                    continue
        pytest.skip("the book could never be made: nothing was written")

    def _write(self, book: Book, number: int, count: int) -> None:
        drafts = [
            Draft("cut", "2026-06-23", {"writing": number, "n": n, "note": "x" * 150}) for n in range(count)
        ]
        self.refused.add(number)
        try:
            book.append(drafts, by="ml", check=lambda news: None)
        except PowerCutError:
            self.refused.discard(number)
            self.doubtful.add(number)
            raise
        except ShedbookError as error:
            if "may or may not" in error.problem.sentence:
                self.refused.discard(number)
                self.doubtful.add(number)
            raise
        self.refused.discard(number)
        self.acknowledged[number] = count

    def _merge(self, book: Book) -> None:
        merge(book, self.other)
        self.merged = True

    def look(self) -> None:
        """Opens the farm as it lies there and compares it with what was said."""
        try:
            book = Book.open(self.folder, device="shed")
        except ShedbookError:
            assert not self.acknowledged, "a book with entries does not open"
            return
        found = book.entries()
        counts = Counter(entry.fields["writing"] for entry in found)
        for number, count in self.acknowledged.items():
            assert counts[number] == count, f"writing {number} was said to be written"
        for number in self.refused:
            assert counts[number] == 0, f"writing {number} was refused"
        for number in self.doubtful:
            assert counts[number] in (0, _SIZES[number]), f"writing {number} is neither whole nor absent"
        if self.merged:
            assert counts[100] == 5
        assert len({entry.id for entry in found}) == len(found)
        audit(book)
        (new,) = book.append([Draft("cut", "2026-06-23", {"writing": 6})], by="ml")
        repair.repair(book)
        after = Book.open(self.folder, device="shed")
        assert after.entries() == sorted([*found, new], key=lambda e: e.key)
        told = [p.sentence for p in after.problems()]
        assert all("net.log" in sentence and "merge it again" in sentence for sentence in told), told
        merge(after, self.other)
        home = Book.open(self.folder, device="shed")
        assert len(home.entries()) == len({*ids_of_book(after), *ids_of_book(Book.open(self.other))})
        assert not home.problems(), [p.sentence for p in home.problems()]


def ids_of_book(book: Book) -> set[str]:
    return {entry.id for entry in book.entries()}


_SIZES = {1: 1, 2: 3, 3: 2, 4: 40, 5: 1}


@pytest.fixture
def other(tmp_path: Path) -> Path:
    book = Book.create(tmp_path / "other", device="net")
    book.append([Draft("cut", "2026-06-22", {"writing": 100, "n": n}) for n in range(5)], by="kk")
    return book.folder


def _calls_of_a_morning(tmp_path: Path, other: Path) -> int:
    morning = Morning(tmp_path / "whole", other)
    disk = Disk(morning.folder)
    with disk.running():
        morning.run()
    assert morning.acknowledged == _SIZES and morning.merged
    morning.look()
    return disk.calls


@pytest.mark.part
@pytest.mark.parametrize("how", FAILING)
def test_a_failing_disk(tmp_path: Path, other: Path, how: str) -> None:
    calls = _calls_of_a_morning(tmp_path, other)
    assert calls > 50
    for at in some_of(range(1, calls + 1), FAILING.index(how)):
        morning = Morning(tmp_path / str(at), other)
        with Disk(morning.folder, at, how).running():
            try:
                morning.run()
            except pytest.skip.Exception:
                assert not morning.acknowledged
        if morning.folder.exists():
            morning.look()


@pytest.mark.part
@pytest.mark.parametrize("how", POWER)
def test_the_power_is_cut(tmp_path: Path, other: Path, how: str) -> None:
    calls = _calls_of_a_morning(tmp_path, other)
    for at in some_of(range(1, calls + 1), POWER.index(how), 2):
        _cut_power(tmp_path / str(at), other, at, how, 0)


@pytest.mark.long
@pytest.mark.parametrize("how", POWER)
def test_the_power_is_cut_and_the_disk_keeps_anything(tmp_path: Path, other: Path, how: str) -> None:
    calls = _calls_of_a_morning(tmp_path, other)
    for seed in range(1, 21):
        for at in range(1, calls + 1):
            _cut_power(tmp_path / f"{at}-{seed}", other, at, how, seed)


def _cut_power(folder: Path, other: Path, at: int, how: str, seed: int) -> None:
    morning = Morning(folder, other)
    disk = Disk(folder, at, how, seed)
    with disk.running(), pytest.raises(PowerCutError):
        morning.run()
    disk.settle()
    morning.look()
