"""A line between two books in one process, which can be cut after so many bytes either way."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from core.book.entry import Entry
from core.meeting.exchange import Outcome, answer
from core.meeting.line import Channel
from core.meeting.way import Address
from core.problems import Problem, ShedbookError
from core.session import Session

NEVER = 1 << 40


def relay(source: int, target: int, most: int, passed: list[int], pause: float = 0) -> None:
    """Passes on bytes until `most` of them have gone, then closes both ends; with a `pause` after every 500 of them."""
    left = most
    with suppress(OSError):
        while left and (part := os.read(source, min(left, 500 if pause else 1 << 16))):
            time.sleep(pause)
            left -= len(part)
            passed[0] += len(part)
            while part:
                part = part[os.write(target, part) :]
    os.close(source)
    os.close(target)


class Cable:
    """The way to another book in this process: `there` and `back` are the bytes after which it is cut."""

    patience = 60.0
    pause, silence = 0.0, 60.0

    def __init__(self, other: Session, there: int = NEVER, back: int = NEVER) -> None:
        self.other, self._cuts = other, (there, back)
        self.called = "other"
        self.address = Address("other", "farm")
        self.via = self.there = ""
        self.answered = Outcome()
        self.went, self.came = [0], [0]
        self.refused: Problem | None = None

    @contextmanager
    def opened(self) -> Iterator[Channel]:
        pipes = [os.pipe() for _ in range(4)]
        (from_us, us), (them_in, to_them), (from_them, them), (us_in, to_us) = pipes
        there, back = self._cuts
        threads = [
            threading.Thread(target=relay, args=(from_us, to_them, there, self.went, self.pause)),
            threading.Thread(target=relay, args=(from_them, to_us, back, self.came, self.pause)),
            threading.Thread(target=self._answer, args=(them_in, them)),
        ]
        for thread in threads:
            thread.start()
        try:
            yield Channel(us_in, us, self.called, self.silence)
        finally:
            os.close(us)
            os.close(us_in)
            for thread in threads:
                thread.join(120)
                assert not thread.is_alive(), "a side waits for ever"

    def _answer(self, incoming: int, outgoing: int) -> None:
        line = Channel(incoming, outgoing, "the other", self.silence)
        try:
            answer(line, self.other._book.device, lambda: self.other.upkeep.answering(line), self.answered)
            self.other.upkeep.answered(self.answered)
        except ShedbookError as refused:
            self.refused = refused.problem
        finally:
            os.close(outgoing)
            os.close(incoming)

    def why(self, refused: ShedbookError) -> Problem:
        return refused.problem


def meet(
    here: Session, there: Session, cut: tuple[int, int] = (NEVER, NEVER), *, sure: bool = False
) -> Outcome:
    """Two books meet, `here` beginning; the line is cut after so many bytes there and back."""
    return here.upkeep.meet(Cable(there, *cut), sure=sure)  # type: ignore[arg-type]


def entries_of(session: Session) -> list[Entry]:
    """What the book holds, as a program started anew reads it."""
    return Session.open(session.folder, by="ml").entries()
