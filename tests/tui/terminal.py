"""The program on a real pseudo-terminal, its screen kept by a terminal emulator."""

from __future__ import annotations

import multiprocessing
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Sequence
from datetime import date
from fcntl import ioctl
from pathlib import Path
from typing import Any

import pyte

from tests.tui.started import opened
from tui.paint import CLEAR

ROOT = Path(__file__).parents[2]
SECONDS = 60.0
NOT_PASSED_ON = ("NO_COLOR", "LANG", "LC_ALL", "LC_CTYPE", "COLUMNS", "LINES")
"""What the tests' own surroundings may say of another terminal."""
FORKED = multiprocessing.get_context("forkserver")
FORKED.set_forkserver_preload([opened.__module__])

PROGRAM = """
import datetime, os, sys
from pathlib import Path
from core.session import Session
from tui.opening import drawn
folder, day = Path(sys.argv[1]), datetime.date.fromisoformat(sys.argv[2])
farm = Session.open(folder, by="jm", on=day) if (folder / "log").is_dir() else None
if os.environ.get("BREAK"):
    from tui.subjects import drying
    drying.shelf_rows = lambda *_: 1 // 0
sys.exit(drawn(farm, lambda by: Session.create(folder, by=by, on=day), folder))
"""


class Screen(pyte.Screen):
    """The emulator's screen, which knows no dim: it is kept as italics, which the program never uses."""

    def select_graphic_rendition(self, *attributes: int, **more: Any) -> None:
        super().select_graphic_rendition(*(3 if code == 2 else code for code in attributes), **more)


class Terminal:
    """A terminal with the screen open in it, or what another `command` does; what is not clear by then fails after
    SECONDS. With `patient`, keys may come in pieces, however late. It is started anew where a `command`, or more of its
    surroundings is given than where its state lies."""

    def __init__(
        self,
        folder: Path,
        day: str,
        *,
        columns: int = 80,
        rows: int = 24,
        command: Sequence[str] = (),
        patient: bool = False,
        **env: str,
    ) -> None:
        self.screen = Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.sent = b""
        """Everything the program wrote."""
        environment = {k: v for k, v in os.environ.items() if k not in NOT_PASSED_ON}
        environment |= {"TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT), **env}
        size = struct.pack("HHHH", rows, columns, 0, 0)
        self._forked: Any = None
        if not command and env.keys() <= {"XDG_STATE_HOME"}:
            self.fd, its = os.openpty()
            ioctl(its, termios.TIOCSWINSZ, size)
            given = (os.ttyname(its), folder, date.fromisoformat(day), environment, patient)
            self._forked = FORKED.Process(target=opened, args=given, daemon=True)
            self._forked.start()
            self.pid: int = self._forked.pid
            self.read(SECONDS)  # it has the terminal open now
            os.close(its)
            return
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            ioctl(0, termios.TIOCSWINSZ, size)
            words = command or ("-c", PROGRAM, str(folder), day)
            os.execve(sys.executable, [sys.executable, *words], environment)

    @property
    def text(self) -> str:
        """The screen as it stands."""
        return "\n".join(self.screen.display)

    def read(self, seconds: float = 0.05) -> bool:
        """Take in what the program wrote within `seconds`; whether there was anything."""
        if not select.select([self.fd], [], [], seconds)[0]:
            return False
        try:
            data = os.read(self.fd, 1 << 16)
        except OSError:
            return False
        self.sent += data
        self.stream.feed(data)
        return bool(data)

    def until(self, seen: Callable[[str], Any] | str, what: str = "") -> str:
        """The screen once `seen` is on it."""
        wanted = (lambda text: seen in text) if isinstance(seen, str) else seen
        end = time.monotonic() + SECONDS
        while not wanted(self.text):
            assert time.monotonic() < end, f"never saw {what or seen!r} on:\n{self.text}"
            self.read()
        return self.text

    def type(self, keys: str) -> None:
        """Press keys."""
        os.write(self.fd, keys.encode())

    def settle(self) -> None:
        """Read until the program has done all there was to do: it writes nothing, waits, and takes no processor time,
        on a machine that is busy with others as well."""
        end = time.monotonic() + SECONDS
        while time.monotonic() < end:
            before = self._state()
            if not self.read(0.25) and before[0] in "STZ" and self._state() == before:
                return
        raise AssertionError(f"it never came to rest:\n{self.text}")

    def _state(self) -> tuple[str, int]:
        """(S where it waits, T where it was stopped, Z where it has ended; its ticks of processor time)"""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rpartition(")")[2].split()
        return fields[0], int(fields[11]) + int(fields[12])

    def answers(self) -> None:
        """Wait until keys are answered, which is after the first that can be read: all is drawn anew."""
        before = len(self.sent)
        self.type("\x0c")
        end = time.monotonic() + SECONDS
        while CLEAR.encode() not in self.sent[before:]:
            assert time.monotonic() < end, f"nothing answers on:\n{self.text}"
            self.read()
        self.settle()

    def cost(self, keys: str, seen: str) -> int:
        """Bytes the program writes for some keys, once `seen` is on the screen."""
        before = len(self.sent)
        self.type(keys)
        self.until(seen)
        self.settle()
        return len(self.sent) - before

    def kill(self, number: int = signal.SIGHUP) -> int:
        """Send a signal and wait for the end: the exit status."""
        os.kill(self.pid, number)
        return self.ended()

    def hang_up(self) -> int:
        """Take the terminal away, as a dropped line does, and wait for the end: the exit status."""
        os.close(self.fd)
        end = time.monotonic() + SECONDS
        while time.monotonic() < end:
            status = self._status()
            if status is not None:
                return status
            time.sleep(0.02)
        os.kill(self.pid, signal.SIGKILL)
        raise AssertionError("did not end when its terminal went away")

    def _status(self) -> int | None:
        """The exit status once it has ended."""
        if self._forked is not None:
            return self._forked.exitcode  # type: ignore[no-any-return]
        pid, status = os.waitpid(self.pid, os.WNOHANG)
        return os.waitstatus_to_exitcode(status) if pid else None

    def ended(self) -> int:
        """Wait for the end: the exit status, or minus the signal that ended it."""
        end = time.monotonic() + SECONDS
        while time.monotonic() < end:
            self.read()
            status = self._status()
            if status is not None:
                while self.read(0):
                    pass
                os.close(self.fd)
                return status
        os.kill(self.pid, signal.SIGKILL)
        raise AssertionError(f"did not end:\n{self.text}")
