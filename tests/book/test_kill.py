"""Real processes, really stopped: SIGKILL at any instant, SIGTERM and SIGHUP in the middle of writing."""

from __future__ import annotations

import itertools
import os
import random
import signal
import time
import traceback
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
from core.book.lock import Lock
from core.session import Session, Written

from tests.farms import again, cut, shed


def run_apart(work: Callable[[int], None]) -> tuple[int, int]:
    """(process id, pipe to read what it says) of a process that does `work(pipe)` until it is stopped."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        status = 1
        try:
            signal.signal(signal.SIGTERM, signal.SIG_DFL)
            signal.signal(signal.SIGHUP, signal.SIG_DFL)
            os.close(reading)
            work(writing)
            status = 0
        except BaseException:
            traceback.print_exc()
            raise
        finally:
            os._exit(status)
    os.close(writing)
    return child, reading


def read_all(pipe: int) -> bytes:
    parts = []
    while part := os.read(pipe, 1 << 16):
        parts.append(part)
    os.close(pipe)
    return b"".join(parts)


def write_without_end(folder: Path, first: int) -> Callable[[int], None]:
    """Writes 1, 2 or 3 entries at a time, says each writing's number once it is acknowledged."""

    def work(pipe: int) -> None:
        book = Book.open(folder, device="shed")
        number = first
        while True:
            size = number % 3 + 1
            book.append(
                [Draft("cut", "2026-06-23", {"writing": number, "n": n}) for n in range(size)], by="ml"
            )
            os.write(pipe, b"%d\n" % number)
            if number % 5 == 0:
                book.snapshot()
            if number % 50 == 0:
                backup(book, date(2026, 6, 1 + number // 50 % 28))
            number += 1

    return work


def kills(folder: Path, count: int, stop: int) -> None:
    chance = random.Random(stop)
    book = shed(folder)
    acknowledged: set[int] = set()
    for number in itertools.count():
        if (number >= count and acknowledged) or number > 50 * count:
            break  # a busy machine may kill some before they wrote at all
        child, pipe = run_apart(write_without_end(book.folder, number * 100_000))
        time.sleep(chance.random() * 0.03)
        os.kill(child, stop)
        os.waitpid(child, 0)
        said = read_all(pipe).split(b"\n")
        acknowledged |= {int(text) for text in said[:-1]}
        assert [problem.sentence for problem in audit(again(book))] == []
        if number % 10 == 9 or number >= count - 1:
            counts = Counter(e.fields["writing"] for e in again(book).entries())
            for writing in acknowledged:
                assert counts[writing] == writing % 3 + 1, f"writing {writing} was said to be written"
            for writing, found in counts.items():
                assert found == writing % 3 + 1, f"writing {writing} is neither whole nor absent"
    assert acknowledged
    with Lock(book.folder / "lock", patience=0):
        pass  # nobody left it behind
    repair.repair(again(book))
    assert again(book).problems() == []


@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP])
def test_a_stopped_writer_loses_nothing_it_acknowledged(tmp_path: Path, stop: int) -> None:
    kills(tmp_path, 20 if stop == signal.SIGKILL else 5, stop)


@pytest.mark.long
def test_a_thousand_kills(tmp_path: Path) -> None:
    for part in range(10):
        kills(tmp_path / str(part), 100, signal.SIGKILL)


def cut_and_strike_without_end(folder: Path, first: int) -> Callable[[int], None]:
    """A morning at the session: cuts, some of them struck again, the farm closed and opened now and then; each is said
    once it is acknowledged.
    """

    def work(pipe: int) -> None:
        number = first
        while True:
            session = Session.open(folder, by="ml")
            for _ in range(12):
                number += 1
                written = session.write(f"{number % 9 + 20} zinnia b1 fresh")
                assert isinstance(written, Written), written
                entry = written.entries[0].id
                os.write(pipe, b"cut %s\n" % entry.encode())
                if number % 3 == 0:
                    os.write(pipe, b"to strike %s\n" % entry.encode())
                    assert isinstance(session.strike(entry), Written)
                    os.write(pipe, b"struck %s\n" % entry.encode())
            session.close()

    return work


def kills_at_the_door(folder: Path, count: int, seed: int) -> None:
    """After every kill the farm is sound, what was acknowledged counts, and what was struck does not."""
    chance = random.Random(seed)
    session = Session.create(folder / "farm", by="ml")
    for line in ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 25ft on 2026-05-20"):
        assert isinstance(session.write(line), Written)
    farm = session.folder
    cuts, asked, struck = set[str](), set[str](), set[str]()
    for number in itertools.count():
        if (number >= count and struck and cuts - asked) or number > 50 * count:
            break  # a busy machine may kill some before they wrote at all
        child, pipe = run_apart(cut_and_strike_without_end(farm, number * 100_000))
        time.sleep(0.02 + chance.random() * 0.25)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        for line in read_all(pipe).decode().split("\n")[:-1]:
            what, _, entry = line.rpartition(" ")
            {"cut": cuts, "to strike": asked, "struck": struck}[what].add(entry)
        session = Session.open(farm, by="ml")
        assert [problem.sentence for problem in session.check()] == []
        counting = {lot.made_by for lot in session.farm.lots.live()}
        assert cuts - asked <= counting, "what was acknowledged and never struck counts"
        assert counting.isdisjoint(struck), "what was struck does not"
    assert struck and cuts - asked


def test_a_kill_at_the_door_brings_nothing_back_that_was_struck(tmp_path: Path) -> None:
    kills_at_the_door(tmp_path, 4, 1)


@pytest.mark.long
def test_kills_at_the_door(tmp_path: Path) -> None:
    for part in range(10):
        kills_at_the_door(tmp_path / str(part), 30, 100 + part)


def test_an_interrupted_writing_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A signal whose handler raises (the screen closing) comes between the write and its fsync."""
    book = shed(tmp_path)
    kept = book.append([cut(1)], by="ml")
    real = os.fsync

    def hang_up(fd: int) -> None:
        monkeypatch.setattr(os, "fsync", real)
        signal.raise_signal(signal.SIGHUP)

    def close_the_screen(*_: object) -> None:
        raise SystemExit(0)

    before = signal.signal(signal.SIGHUP, close_the_screen)
    try:
        monkeypatch.setattr(os, "fsync", hang_up)
        with pytest.raises(SystemExit):
            book.append([cut(2)], by="ml")
    finally:
        signal.signal(signal.SIGHUP, before)
    assert again(book).entries() == kept
    after = again(book).append([cut(3)], by="ml")  # the lock is free
    assert again(book).entries() == [*kept, *after]
