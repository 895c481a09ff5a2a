"""Two and three machines that write, strike, correct and meet in any order, over lines that are cut at any byte: when
each has met each once, whole, all have the same book, with every entry that was said to be written."""

from __future__ import annotations

import os
import shutil
from datetime import date
from pathlib import Path
from tempfile import mkdtemp

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from core.book.audit import audit
from core.book.book import Book
from core.session import Session, Written
from tests.cases import cases
from tests.farms import frozen

from .lines import NEVER, meet

NAMES = "shed", "netbook", "barn"
ON = date(2026, 6, 23)
LINES = (
    "{n} zinnia b1 fresh",
    "{n} zinnia b1 dry",
    "low {n}",
    "note seen {n}",
    "bed c{n} 50ft",
    "sow 72 cosmos",
    "undo yes",
)
machine = st.integers(0, 2)
a_cut = st.one_of(st.just(NEVER), st.integers(0, 3000), st.integers(0, 40000))


class Machines(RuleBasedStateMachine):
    """`said` holds the ids of all entries that were said to be written."""

    @initialize(count=st.integers(2, 3), copied=st.booleans())
    def begin(self, count: int, copied: bool) -> None:
        self.folder = Path(mkdtemp(prefix="meeting-", dir=os.environ.get("PYTEST_DEBUG_TEMPROOT")))
        self.said: set[str] = set()
        first = Session(Book.create(self.folder / "shed", device="shed"), by="ml", on=ON)
        self.sessions = [first]
        for line in (
            "farm zone UTC",
            "last frost 14 may",
            "bed b1 50ft",
            "plant zinnia b1 25ft on 2026-05-20",
        ):
            self._write(0, line)
        for name in NAMES[1:count]:
            if copied:
                shutil.copytree(first.folder, self.folder / name)
                book = Book.open(self.folder / name, device=name)
            else:
                book = Book.create(self.folder / name, device=name)
            self.sessions.append(Session(book, by="jo", on=ON))

    def _write(self, which: int, line: str) -> None:
        written = self.sessions[which % len(self.sessions)].write(line)
        if isinstance(written, Written):
            self.said |= {entry.id for entry in written.entries}

    @rule(which=machine, line=st.sampled_from(LINES), n=st.integers(20, 49))
    def write(self, which: int, line: str, n: int) -> None:
        self._write(which, line.format(n=n))

    @rule(which=machine, back=st.integers(0, 5))
    def strike(self, which: int, back: int) -> None:
        session = self.sessions[which % len(self.sessions)]
        entries = session.entries()
        if not entries:
            return
        written = session.strike(entries[-1 - back % len(entries)].id)
        if isinstance(written, Written):
            self.said |= {entry.id for entry in written.entries}

    @rule(which=machine, n=st.integers(20, 49))
    def correct(self, which: int, n: int) -> None:
        session = self.sessions[which % len(self.sessions)]
        cut = next((e for e in reversed(session.entries()) if e.kind == "cut"), None)
        if cut is not None:
            self._write(which, f"{cut.id[-8:]} was {n}")

    @rule(one=machine, step=st.integers(1, 2), there=a_cut, back=a_cut)
    def meet_perhaps_cut(self, one: int, step: int, there: int, back: int) -> None:
        here = self.sessions[one % len(self.sessions)]
        other = self.sessions[(one + step) % len(self.sessions)]
        if here is other:
            return
        outcome = meet(here, other, (there, back))
        assert outcome.is_whole or outcome.stopped
        if (there, back) == (NEVER, NEVER):
            assert outcome.is_whole, outcome.stopped

    @rule(which=machine, share=st.floats(0.05, 0.95))
    def power_fails_while_it_writes(self, which: int, share: float) -> None:
        """What was begun was never said to be written; the next writing goes on after it."""
        session = self.sessions[which % len(self.sessions)]
        log = session.folder / "log" / f"{session._book.device}.log"
        data = log.read_bytes() if log.exists() else b""
        last = data.splitlines()[-1] if data.endswith(b"\n") else b"~"
        if not last.startswith(b"~"):  # the next one would end that line first
            begun = last.replace(b'{"id":"01', b'{"id":"02', 1)
            with log.open("ab") as file:
                file.write(begun[: int(len(begun) * share)])
            self.start_anew(which)

    @rule(which=machine)
    def start_anew(self, which: int) -> None:
        which %= len(self.sessions)
        session = self.sessions[which]
        session.close()
        book = Book.open(session.folder, device=session._book.device)
        self.sessions[which] = Session(book, by=session.by, on=ON)

    @invariant()
    def nothing_is_damaged_or_set_aside(self) -> None:
        for session in getattr(self, "sessions", []):
            assert audit(Book.open(session.folder, device=session._book.device)) == []

    def teardown(self) -> None:
        if not hasattr(self, "sessions"):
            return
        try:
            pairs = [(a, b) for a in self.sessions for b in self.sessions if a is not b]
            for here, other in (*pairs, *pairs):
                assert meet(here, other).is_whole
            for here, other in pairs:  # and now there is nothing left to bring
                outcome = meet(here, other)
                assert (outcome.lacked_here, outcome.lacked_there) == (0, 0)
            books = [Book.open(s.folder, device=s._book.device).entries() for s in self.sessions]
            for book in books:
                assert book == books[0]
                assert len({entry.id for entry in book}) == len(book)
            assert self.said <= {entry.id for entry in books[0]}
            folds = {frozen(Session.open(s.folder, by="ml").farm) for s in self.sessions}
            assert len(folds) == 1
        finally:
            shutil.rmtree(self.folder)


TestMachines = Machines.TestCase
TestMachines.settings = cases(60, 5, stateful_step_count=14)
