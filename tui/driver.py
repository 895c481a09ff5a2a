"""Terminals as they are: bytes that are no text, pastes, a program stopped and going on, a line that drops.

Keys are read by the loop itself: nothing has to wake up to look for them, and none waits for another.
"""

from __future__ import annotations

import asyncio
import os
import signal
import termios
from codecs import getincrementaldecoder
from contextlib import suppress
from typing import TYPE_CHECKING, cast

from textual.app import App
from textual.driver import Driver
from textual.drivers._writer_thread import WriterThread
from textual.events import Event, Paste, Resize
from textual.geometry import Size

from tui.begun import encoding
from tui.escapes import ESC, Keystrokes, Typed, keys_of
from tui.terminal import Taken, Terminal

if TYPE_CHECKING:
    from typing import IO

ESC_SECONDS, SEQUENCE_SECONDS = 0.025, 0.25
"""How long the rest of a sequence may lag behind its Esc, and behind more of it: over any but the slowest line they
come together."""
AT_ONCE = 1 << 16


class TerminalDriver(Driver):
    """Keys in, cells out, for terminals that do what terminals do."""

    terminal: Terminal
    """Set by whoever runs the screen, before it starts."""

    def __init__(
        self, app: App[int], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self.terminal = cast("Terminal", getattr(app, "terminal"))  # noqa: B009  (no attribute of any app)
        self._writer: WriterThread | None = None
        self._keystrokes = Keystrokes()
        self._giving_up: asyncio.TimerHandle | None = None
        codec = "utf-8" if encoding().lower() in ("ascii", "us-ascii") else encoding()
        self._decode = getincrementaldecoder(codec)("replace").decode

    # the screen

    def write(self, data: str) -> None:
        if self._writer is not None:
            self._writer.write(data)

    def start_application_mode(self) -> None:
        self._writer = WriterThread(cast("IO[str]", Taken()))
        self._writer.start()
        if not self.terminal.is_taken:
            self.write(self.terminal.take())
        for number, act in (
            (signal.SIGWINCH, self._sized),
            (signal.SIGTSTP, self._stop),
            (signal.SIGCONT, self._go_on),
        ):
            with suppress(
                RuntimeError, ValueError
            ):  # not the main thread: whoever runs it handles its signals
                self._loop.add_signal_handler(number, act)
        self._loop.add_reader(self.terminal.fileno, self._read)
        self._sized()

    def disable_input(self) -> None:
        self._loop.remove_reader(self.terminal.fileno)
        for number in (signal.SIGWINCH, signal.SIGTSTP, signal.SIGCONT):
            with suppress(RuntimeError, ValueError):
                self._loop.remove_signal_handler(number)
        self.terminal.drop_keys()

    def stop_application_mode(self) -> None:
        self.disable_input()
        if self.terminal.is_taken:
            self.write(self.terminal.give_back())

    def close(self) -> None:
        if self._writer is not None:
            self._writer.stop()
            self._writer = None

    def _sized(self) -> None:
        columns, rows = self.terminal.size
        self._size = columns, rows
        if (columns, rows) != (self.terminal.shown.columns, self.terminal.shown.rows):
            self.terminal.shown.forget(columns, rows)
        self._send(Resize(Size(columns, rows), Size(columns, rows)))

    # stopped, and going on

    def _stop(self) -> None:
        """Ctrl+Z of a shell: the terminal is given back first."""
        if self.terminal.is_taken:
            self._loop.remove_reader(self.terminal.fileno)
            self.write(self.terminal.give_back())
            self.close()
        os.kill(os.getpid(), signal.SIGSTOP)

    def _go_on(self) -> None:
        """Go on after a stop. Where the terminal was never given back, only what a shell may have changed is set."""
        if self.terminal.is_taken:
            self.write(self.terminal.take_again())
            self._app.refresh()  # whatever stands there now is not ours
            return
        with suppress(termios.error):  # in the background still
            self.start_application_mode()
            self._app.refresh()

    # keys

    def _read(self) -> None:
        try:
            data = os.read(self.terminal.fileno, AT_ONCE)
        except BlockingIOError:
            return
        except OSError:
            data = b""
        if not data:  # the terminal is gone
            self._loop.remove_reader(self.terminal.fileno)
            self._app.exit(0)
            return
        if self._giving_up is not None:
            self._giving_up.cancel()
            self._giving_up = None
        self._hand_on(self._keystrokes.feed(self._decode(data)))
        if waits := self._keystrokes.waits:
            seconds = ESC_SECONDS if waits == ESC else SEQUENCE_SECONDS
            self._giving_up = self._loop.call_later(seconds, self._give_up)

    def _give_up(self) -> None:
        self._giving_up = None
        self._hand_on(self._keystrokes.waited())

    def _hand_on(self, typed: list[Typed]) -> None:
        for text, is_paste in typed:
            for event in [Paste(text)] if is_paste else keys_of(text):
                self._send(event)

    def _send(self, event: Event) -> None:
        event.set_sender(self._app)
        self._app.post_message(event)
