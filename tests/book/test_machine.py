"""Any history of writing, crashing, losing, merging and repairing: what was acknowledged is there, once."""

from __future__ import annotations

import shutil
import tempfile
from datetime import date
from pathlib import Path

import pytest
from core.book import repair
from core.book.backup import backup
from core.book.book import Book
from core.book.entry import Draft
from core.book.logs import Replaced
from core.book.merge import merge
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from tests.farms import cut, ids_of, log_of

from .faults import Disk, PowerCutError

NAMES = ("shed", "net")
machines = st.sampled_from(NAMES)


class Farm(RuleBasedStateMachine):
    """Two machines, each with a folder, a program that stays open, and a model of what it must hold."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="farm"))
        self.books = {name: Book.create(self.folder / name, device=name) for name in NAMES}
        self.must: dict[str, set[str]] = {name: set() for name in NAMES}
        self.seen: dict[str, set[str]] = {name: set() for name in NAMES}
        self.snapped: dict[str, set[str]] = {name: set() for name in NAMES}
        self.day = date(2026, 6, 23)

    def teardown(self) -> None:
        shutil.rmtree(self.folder)

    @rule(name=machines, count=st.integers(1, 4))
    def write(self, name: str, count: int) -> None:
        try:
            written = self.books[name].append(
                [cut(n) for n in range(count)], by="ml", check=lambda news: None
            )
        except Replaced:
            self.reopen(name)
            return
        self.must[name] |= ids_of(written)

    @rule(name=machines, which=st.integers(0, 99))
    def strike(self, name: str, which: int) -> None:
        if self.must[name]:
            target = sorted(self.must[name])[which % len(self.must[name])]
            draft = Draft("strike", "2026-06-23", {"entry": target})
            self.must[name] |= ids_of(Book.open(self.folder / name, device=name).append([draft], by="ml"))

    @rule(name=machines)
    def reopen(self, name: str) -> None:
        self.books[name] = Book.open(self.folder / name, device=name)

    @rule(name=machines, force=st.booleans())
    def snapshot(self, name: str, force: bool) -> None:
        if self.books[name].snapshot(force=force):
            self.snapped[name] = set(self.must[name])

    @rule(name=machines)
    def back_up(self, name: str) -> None:
        backup(self.books[name], self.day)

    @rule(here=machines, there=machines, whole=st.booleans())
    def merge(self, here: str, there: str, whole: bool) -> None:
        other = self.folder / there if whole else log_of(self.books[there])
        if other.exists():
            incoming = (
                ids_of(Book.open(self.folder / there, device=there).entries())
                if whole
                else {line[16:52].decode() for line in other.read_bytes().split(b"\n") if line}
            )
            done = merge(self.books[here], other)
            if not done.set_aside:
                logs = Book.open(self.folder / there, device=there).entries_of_logs()
                self.must[here] |= incoming & {flat["id"] for flat in logs}

    @rule(
        name=machines,
        count=st.integers(1, 3),
        at=st.integers(1, 6),
        half=st.booleans(),
        seed=st.integers(0, 9),
    )
    def power_cut(self, name: str, count: int, at: int, half: bool, seed: int) -> None:
        """The power goes while a writing, then a snapshot, are on their way."""
        folder = self.folder / name
        disk = Disk(folder, at, "power half" if half else "power", seed)
        book = Book.open(folder, device=name)
        with disk.running():
            try:
                self.must[name] |= ids_of(book.append([cut(n) for n in range(count)], by="ml"))
                book.snapshot(force=True)
            except PowerCutError:
                pass
        disk.off = True
        disk.settle()
        self.reopen(name)
        self.seen[name] = set()

    @rule(name=machines, lines=st.integers(0, 3))
    def lose_lines(self, name: str, lines: int) -> None:
        """The end of a log is lost: what the last snapshot held is not."""
        log = log_of(self.books[name])
        if log.exists():
            whole = log.read_bytes().splitlines(keepends=True)
            log.write_bytes(b"".join(whole[: max(0, len(whole) - lines)]))
            self.must[name] &= self.snapped[name] | ids_of(
                Book.open(self.folder / name, device=name).entries()
            )

    @rule(name=machines)
    def repair(self, name: str) -> None:
        book = self.books[name]
        book.entries()
        repair.repair(book)
        self.snapped[name] = set(self.must[name])
        fresh = Book.open(self.folder / name, device=name)
        fresh.entries()
        assert fresh.problems() == []

    @precondition(lambda self: any(self.must.values()))
    @rule(name=machines)
    def screen_follows(self, name: str) -> None:
        """A screen that asks only for what is new ends with the same as one that reads all."""
        book = self.books[name]
        try:
            news = book.entries_after(book.position()) if self.seen[name] else book.entries()
        except Replaced:
            self.seen[name] = set()
            news = book.entries()
        self.seen[name] |= ids_of(news)
        self.books[name] = book

    @invariant()
    def what_was_acknowledged_is_there_once(self) -> None:
        for name in NAMES:
            found = Book.open(self.folder / name, device=name).entries()
            there = ids_of(found)
            assert len(there) == len(found)
            assert self.must[name] <= there
            assert [e.key for e in found] == sorted(e.key for e in found)


TestFarm = Farm.TestCase
TestFarm.settings = settings(max_examples=25, stateful_step_count=25, deadline=None)


class LongFarm(Farm):
    """The same for longer."""


TestLongFarm = pytest.mark.long(LongFarm.TestCase)
TestLongFarm.settings = settings(max_examples=600, stateful_step_count=50, deadline=None)
