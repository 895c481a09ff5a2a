"""Terminals as they are: bytes that are no text, pastes, a program stopped and going on, a line that drops."""

from __future__ import annotations

import os
import selectors
import termios
import tty
from codecs import getincrementaldecoder
from collections.abc import Callable
from contextlib import suppress
from typing import IO, cast

from textual._xterm_parser import XTermParser
from textual.app import App
from textual.drivers.linux_driver import LinuxDriver
from textual.events import Key, Paste

from tui.escapes import ESC_THEN_A_KEY, Pastes
from tui.look import encoding

LOOK_EVERY = 0.1
"""Seconds after which the reader looks whether it is to stop, and keys that were waited for are given up."""
AGAIN = "\x1b[?1049h\x1b[?25l\x1b[?1004h\x1b[?2004h\x1b[?7l"
"""The other screen, no cursor, told of focus, told of pastes, no wrapping: as the toolkit sets it at the start."""


class TerminalDriver(LinuxDriver):
    """The toolkit's driver, for terminals that do what terminals do."""

    def __init__(
        self, app: App[int], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self._file = Taken(cast("IO[str]", self._file))  # type: ignore[assignment]
        self._given_back = False
        """Whether the terminal was given back to the shell, to be stopped."""

    def _sigtstp_application(self, *_: object) -> None:
        self._between_events(super()._sigtstp_application)

    def _sigcont_application(self, *_: object) -> None:
        self._between_events(super()._sigcont_application)

    def _between_events(self, act: Callable[[], None]) -> None:
        """Act on a signal once nothing else is under way: it may come while the screen writes, and the writer's queue,
        asked for again from within itself, would wait for itself for ever."""
        with suppress(RuntimeError):  # the loop has ended, and the screen with it
            self._loop.call_soon_threadsafe(act)

    def suspend_application_mode(self) -> None:
        super().suspend_application_mode()
        self._given_back = True

    def resume_application_mode(self) -> None:
        """Go on after a stop. Where the terminal was never given back, only what a shell may have changed is set."""
        reading = self._key_thread is not None and self._key_thread.is_alive()
        if self._given_back:
            self.start_application_mode()  # type: ignore[no-untyped-call]
            reading = self._key_thread is not None and self._key_thread.is_alive()
            self._given_back = not reading
        elif reading:
            with suppress(termios.error):
                now = termios.tcgetattr(self.fileno)
                now[tty.LFLAG] = self._patch_lflag(now[tty.LFLAG])
                now[tty.IFLAG] = self._patch_iflag(now[tty.IFLAG])
                termios.tcsetattr(self.fileno, termios.TCSANOW, now)
            self.write(AGAIN)
        if reading:
            self._loop.call_soon_threadsafe(self._app.refresh)  # whatever stands there now is not ours

    def _run_input_thread(self) -> None:
        try:
            self.run_input_thread()
        except OSError:  # the terminal is gone
            with suppress(RuntimeError):
                self._loop.call_soon_threadsafe(self._app.exit, 0)
        except Exception as error:
            self._app.call_later(self._app._handle_exception, error)

    def run_input_thread(self) -> None:
        """Hand on what is typed and pasted until the screen ends; a byte that is no letter becomes a sign for it."""
        written_in = encoding()
        codec = "utf-8" if written_in.lower() in ("ascii", "us-ascii") else written_in
        decode = getincrementaldecoder(codec)("replace").decode
        parser, pastes = XTermParser(self._debug), Pastes()
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            ending = False
            while not ending:
                ending = self.exit_event.is_set()
                pieces: list[tuple[str, bool]]
                if selector.select(0 if ending else LOOK_EVERY):
                    data = os.read(self.fileno, 4096)
                    if not data:
                        raise OSError("the terminal is gone")
                    pieces = pastes.feed(decode(data))
                else:
                    pieces = [(pastes.waited(), False)]
                for text, pasted in pieces:
                    if pasted:
                        self.process_message(Paste(text))
                    else:
                        self._typed(parser, text)
                for event in parser.tick():
                    self.process_message(event)

    def _typed(self, parser: XTermParser, text: str) -> None:
        for n, keys in enumerate(ESC_THEN_A_KEY.split(text)):
            if n:
                self.process_message(Key("escape", "\x1b"))
            if keys:
                for event in parser.feed(keys):
                    self.process_message(event)


class Taken:
    """The terminal as a file that is written to; what it does not take any more is let go."""

    def __init__(self, file: IO[str]) -> None:
        self._file = file

    def write(self, text: str) -> None:
        with suppress(OSError, ValueError):
            self._file.write(text)

    def flush(self) -> None:
        with suppress(OSError, ValueError):
            self._file.flush()

    def fileno(self) -> int:
        return self._file.fileno()
