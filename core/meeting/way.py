"""The way to another machine: ssh, or a command that is run as ssh would be, and what it means when it fails."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import IO, NamedTuple

from core.meeting.line import Channel, Cut
from core.patterns import pattern
from core.problems import Problem, ShedbookError
from core.text import clean

SSH = (
    *("ssh", "-T", "-C", "-e", "none"),
    *("-o", "ConnectTimeout=20", "-o", "ServerAliveInterval=15", "-o", "ServerAliveCountMax=4"),
)
"""A dead line is noticed within a minute (ssh_config of OpenSSH: ServerAliveInterval times ServerAliveCountMax)."""
NEVER_ASK = ("-o", "BatchMode=yes")
"""No password and no question: where there is no terminal to ask on."""
SHEDBOOK = "shedbook"
FIRST_WORD = 60.0
"""Seconds within which the other side has to say its first word."""
FIRST_WORD_ASKED = 300.0
"""The same where ssh may ask for a password first."""

_HOST = pattern(r"(?:[\w.+][\w.+-]*@)?(?:[\w.][\w.-]*|\[[0-9a-fA-F:.%\w]+\])")
"""A host as ssh takes it, perhaps with a user: nothing that ssh would take for an option, or hand to a shell."""
_LONGEST = 400
_SSH_FAILED, _NOT_FOUND, _NO_PERMISSION, _USAGE = 255, 127, 126, 2
"""Exit statuses: of ssh where it failed itself (ssh, EXIT STATUS), of a shell without the command (POSIX, 2.8.2), and
of a shedbook that does not know the verb."""
_ENDING = 2.0  # seconds that the command may take to end by itself


class Address(NamedTuple):
    """Where the other book is: `host` as ssh has it, and the `farm` folder there, "" for the usual one."""

    host: str
    farm: str

    @property
    def text(self) -> str:
        """As it is typed."""
        return f"{self.host}:{self.farm}" if self.farm else self.host


def address_of(text: str) -> Address | Problem:
    """An address such as shed, shed:farm, ml@shed:'my farm'; a Problem says why it is none."""
    host, _, farm = text.partition(":")
    if text.startswith("["):  # [fe80::1]:farm
        host, _, farm = text.partition("]")
        host, farm = host + "]", farm.removeprefix(":")
    shown = clean(text)[:60]
    if "/" in host or host in (".", ".."):
        return Problem(f"{shown} is a folder here: bring it in with shedbook merge {shown}", "unreadable")
    if not _HOST.fullmatch(host):
        return Problem(
            f"'{shown}' names no machine: write it as ssh does, such as shed, or shed:farm with the folder there."
        )
    if clean(farm) != farm:
        return Problem(f"'{shown}' holds characters that no folder has here; write it anew.")
    if farm == "~" or farm.startswith("~/"):
        farm = farm[2:] or "."  # ssh begins at home
    return Address(host, farm)


class Way:
    """How the machine at `address` is reached: by ssh, or `via` another command; `there` is what shedbook is called
    there. `asks` whether there is a terminal on which a password may be asked for.
    """

    def __init__(self, address: Address, via: str = "", there: str = "", *, asks: bool = False) -> None:
        self.address, self.via, self.there = address, via, there
        self.called = address.host.rpartition("@")[2]
        self.patience = FIRST_WORD_ASKED if asks else FIRST_WORD
        self._asks = asks
        self._heard: Channel | None = None
        self._status: int | None = None
        self._said = ""

    def command(self) -> list[str] | Problem:
        """What is run: the way there, the host, and the words for the shell there, each quoted for it."""
        try:
            via, there = shlex.split(self.via), shlex.split(self.there)
        except ValueError:
            return Problem("A quotation mark in --via or --there has no end; close it.")
        if not via:
            via = [*SSH, *(() if self._asks else NEVER_ASK)]
        words = [*(there or [SHEDBOOK])]
        words[0] = words[0].removeprefix("~/")
        if self.address.farm:
            words.append(f"--farm={self.address.farm}")
        return [*via, self.address.host, *map(shlex.quote, (*words, "meet", "--answer"))]

    @contextmanager
    def opened(self) -> Iterator[Channel]:
        """The line to the other side; what runs it is ended after it. Raises ShedbookError where it cannot be run."""
        command = self.command()
        if isinstance(command, Problem):
            raise ShedbookError(command)
        with tempfile.TemporaryFile() as told:
            try:
                process = subprocess.Popen(
                    command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=told, bufsize=0
                )
            except OSError as error:
                what = clean(command[0])[:60]
                text = (
                    f"{what} cannot be run here ({error.strerror}): install it, or name another with --via."
                )
                raise ShedbookError(Problem(text, "unknown")) from error
            assert process.stdin is not None and process.stdout is not None
            try:
                self._heard = Channel(process.stdout.fileno(), process.stdin.fileno(), self.called)
                yield self._heard
            finally:
                self._end(process, told)

    def _end(self, process: subprocess.Popen[bytes], told: IO[bytes]) -> None:
        for pipe in (process.stdin, process.stdout):
            with suppress(OSError):
                if pipe is not None:
                    pipe.close()
        try:
            self._status = process.wait(_ENDING)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        except BaseException:  # she will not wait for it
            process.kill()
            process.wait()
            raise
        with suppress(OSError):
            end = os.fstat(told.fileno()).st_size
            self._said = os.pread(told.fileno(), 4096, max(0, end - 4096)).decode("utf-8", "replace")

    def why(self, refused: ShedbookError) -> Problem:
        """Why a meeting ended: what ssh said where the other shedbook never answered, else the refusal itself."""
        if not isinstance(refused, Cut) or (self._heard is not None and self._heard.is_met):
            return refused.problem
        return self._why_not_there() or refused.problem

    def _why_not_there(self) -> Problem | None:
        """Why no shedbook answered."""
        name, said = self.called, self._said
        last = clean(next((line for line in reversed(said.splitlines()) if line.strip()), ""))[:_LONGEST]
        if self._status == _USAGE and "meet" in said:
            text = f"The shedbook on {name} is older than this one and does not know how to meet: update it there."
            return Problem(text, "newer")
        if self._status in (_NOT_FOUND, _NO_PERMISSION) or "command not found" in said:
            return Problem(
                f"There is no shedbook on {name} where ssh looks for it: say where it is with --there, such as "
                "--there .venv/bin/shedbook",
                "unknown",
            )
        for sign, text in _WHY:
            if re.search(sign, said, re.IGNORECASE):
                return Problem(text.format(name=name, host=self.address.host), "disk")
        if self._status == _SSH_FAILED:
            return Problem(f"ssh could not reach {name}: {last or 'it does not say why.'}", "disk")
        if last:
            return Problem(f"No shedbook answered on {name}: {last}", "disk")
        return None


_WHY = (
    (
        "host identification has changed",
        "{name} does not show the key that ssh knows of it: it was set up anew, or it is another machine. Nothing was "
        "sent; find out which before you go on.",
    ),
    (
        "host key verification failed",
        "ssh does not know {name} yet, or its key: run 'ssh {host}' once by hand, and compare the key.",
    ),
    (
        "permission denied",
        "{name} did not let you in: set up a key for ssh, or meet it in a terminal, where the password can be typed.",
    ),
    (
        "could not resolve|name or service not known|nodename nor servname|temporary failure in name",
        "No machine called {name} is found from here: is it on, and on the same network?",
    ),
    (
        "no route to host|network is unreachable|connection timed out|operation timed out|host is down|not responding",
        "{name} cannot be reached from here: is it on, and on the same network?",
    ),
    ("connection refused", "{name} is there and lets nobody in by ssh: start the ssh server on it."),
    (
        "connection closed|connection reset|broken pipe|banner exchange",
        "The line to {name} was closed before its shedbook answered: try again.",
    ),
)
"""What ssh or the system says -> what it means and what to do; the first that fits."""
