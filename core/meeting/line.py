"""The line to the other machine: lines of text both ways, each with its checksum, and never a wait without an end.

What is said is one JSON object a line, written as the log writes its lines: eight hex digits of the CRC-32 of the
JSON bytes, a space, the JSON, a newline. {"say": ...} is said by the program; {"id": ...} is an entry, as it stands in
a log.
"""

from __future__ import annotations

import errno
import os
import select
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any
from zlib import crc32

from core.book.fit import read_fit
from core.book.lines import LONGEST_LINE, OPENING, body_of, line_of
from core.problems import Problem, ShedbookError
from core.text import clean

SILENCE = 120.0
"""Seconds without a byte after which the other side is given up; one that is at work says so every few seconds."""
AT_WORK = 2.0
"""Seconds between two words that say so."""

_PIECE = min(select.PIPE_BUF, 4096)
"""Bytes that can be written without waiting where a pipe says that it has room (POSIX, write)."""
_READ = 1 << 16
_LAST_WORD = 1.0
"""Seconds to wait for what was said by a side that has hung up."""
_NOISE = 1 << 16
"""Bytes that a machine may print, as its greeting, before the other side says its first word."""
_LONGEST_SAID = 600


class Cut(ShedbookError):  # noqa: N818  # what became of the line, not a fault of ours
    """The line ended, fell silent, or brought what nobody sent."""


class Refused(ShedbookError):  # noqa: N818  # what the other side says
    """The other side says why it does not go on."""


class Channel:
    """Two descriptors: `incoming` is read, `outgoing` written; `other` is what the other machine is called.

    Every call raises Cut where the line has ended, or where nothing moves on it for `silence` seconds.
    """

    def __init__(self, incoming: int, outgoing: int, other: str, silence: float = SILENCE) -> None:
        self.other = other
        self.silence = silence
        self.is_met = False
        """Whether a shedbook has answered at the other end."""
        self._incoming, self._outgoing = incoming, outgoing
        self._read = bytearray()
        self._worked = time.monotonic()

    # out

    def say(self, what: str, **told: Any) -> None:
        """Say one thing."""
        self.send(line_of(body_of({"say": what, **told})))

    def send(self, data: bytes) -> None:
        """Put bytes on the line."""
        left = memoryview(data)
        while left:
            self._wait(self._outgoing, select.POLLOUT, self.silence, "takes nothing more")
            try:
                left = left[os.write(self._outgoing, left[:_PIECE]) :]
            except BlockingIOError:
                continue
            except OSError as error:
                raise self._last_word() or self._ended(error) from error

    def at_work(self, _share: float = 0) -> None:
        """Say now and then that this side is still at work, while the other waits for it."""
        if time.monotonic() - self._worked > AT_WORK:
            self._worked = time.monotonic()
            self.say("working")

    # in

    def hear(self, *whats: str, silence: float = 0) -> dict[str, Any]:
        """The next thing said, which must be one of `whats`; Refused where the other side says that it ends."""
        while True:
            line = self.next_line(silence or self.silence)
            said = self._said(line)
            if said is None:
                raise self.garbled()
            if said["say"] == "working":
                continue
            if said["say"] == "refused" and "refused" not in whats:
                raise Refused(self.refusal(said))
            if said["say"] not in whats:
                raise self.garbled()
            return said

    def hear_first(self, what: str, silence: float) -> dict[str, Any]:
        """The first thing said; what else a machine prints before it, as its greeting, is passed over."""
        passed = 0
        while passed <= _NOISE:
            line = self.next_line(silence)
            said = self._said(line)
            if said is not None and said["say"] == what:
                self.is_met = True
                return said
            passed += len(line) + 1
        raise self.garbled()

    def next_line(self, silence: float = 0) -> bytes:
        """The next line as it came, without its newline."""
        begin = 0
        while (cut := self._read.find(b"\n", begin)) < 0:
            begin = len(self._read)
            if begin > LONGEST_LINE:
                raise self.garbled()
            self._wait(self._incoming, select.POLLIN, silence or self.silence, "has said nothing")
            try:
                part = os.read(self._incoming, _READ)
            except BlockingIOError:
                continue
            except OSError as error:
                raise self._ended(error) from error
            if not part:
                raise self._ended(None)
            self._read += part
        line = bytes(self._read[:cut])
        del self._read[: cut + 1]
        return line

    def hear_entry(self, end: str) -> bytes | dict[str, Any]:
        """The line of the next entry, newline included, its checksum compared; or what is said where that is `end`."""
        self.at_work()  # on a slow line the other side has said all of it long before it is here
        line = self.next_line()
        if not line.startswith(OPENING, 9):
            said = self._said(line)
            if said is None or said["say"] != end:
                raise self.garbled()
            return said
        if line[:8] != b"%08x" % crc32(line[9:]):
            raise self.garbled()
        return line + b"\n"

    # what goes wrong

    def garbled(self) -> Cut:
        """What came is nothing that the other side sends."""
        return Cut(
            Problem(
                f"What came from {self.other} was garbled on the way; nothing of that was taken in.",
                "damaged",
            )
        )

    def refusal(self, said: dict[str, Any]) -> Problem:
        """What the other side says as a problem of ours."""
        text = clean(str(said.get("says", "")))[:_LONGEST_SAID] or "it cannot go on."
        return Problem(f"{self.other} says: {text}", "impossible")

    def _last_word(self) -> Refused | None:
        """What the other side said before it hung up, where that is why it did."""
        with suppress(Cut):
            while True:
                said = self._said(self.next_line(_LAST_WORD))
                if said is not None and said["say"] == "refused":
                    return Refused(self.refusal(said))
        return None

    def _said(self, line: bytes) -> dict[str, Any] | None:
        """What a line of the program says, None where it is none."""
        if line[8:9] != b" " or line[:8] != b"%08x" % crc32(line[9:]):
            return None
        try:
            said = read_fit(line[9:])
        except (ValueError, TypeError, RecursionError):
            return None
        return said if isinstance(said.get("say"), str) else None

    def _wait(self, descriptor: int, event: int, silence: float, what: str) -> None:
        poll = select.poll()
        poll.register(descriptor, event)
        if not poll.poll(silence * 1000):
            raise Cut(
                Problem(f"{self.other} {what} for {_time(silence)}: it or the line to it is down.", "disk")
            )

    def _ended(self, error: OSError | None) -> Cut:
        why = f" ({error.strerror})" if error is not None and error.errno != errno.EPIPE else ""
        return Cut(Problem(f"The line to {self.other} was cut{why}.", "disk"))


Moved = Callable[[float], None]
"""Is told the share of all that is to go and to come which has."""


def _time(seconds: float) -> str:
    return f"{seconds:.0f} seconds" if seconds < 90 else f"{seconds / 60:.0f} minutes"
