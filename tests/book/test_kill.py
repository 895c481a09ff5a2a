"""Real processes, really stopped: SIGKILL at any instant, SIGTERM and SIGHUP in the middle of writing."""

from __future__ import annotations

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
from core.book.backup import backup
from core.book.book import Book
from core.book.entry import Draft
from core.book.lock import Lock

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
    for number in range(count):
        child, pipe = run_apart(write_without_end(book.folder, number * 100_000))
        time.sleep(chance.random() * 0.03)
        os.kill(child, stop)
        os.waitpid(child, 0)
        said = read_all(pipe).split(b"\n")
        acknowledged |= {int(text) for text in said[:-1]}
        if number % 10 == 9 or number == count - 1:
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
