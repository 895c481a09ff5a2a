"""Telling when another process or machine wrote in the book, without looking again and again.

follower = follow(folder)
loop.add_reader(follower.fileno(), ...)     # or, where follower.needs_polling: every POLL_SECONDS
if follower.drain(): ...                    # something may be new: ask the book for entries_after
follower.close()

Loaded only where a screen stays open: ctypes takes 10 ms.
"""

from __future__ import annotations

import ctypes
import os
import select
import struct
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, Protocol

from core.book import layout
from core.problems import ShedbookError

POLL_SECONDS = 1.5
"""How often to call `drain` where the system does not tell."""

_CHANGED = 0x2 | 0x80 | 0x100 | 0x200  # IN_MODIFY, IN_MOVED_TO, IN_CREATE, IN_DELETE of <sys/inotify.h>
_FOLDER_GONE = 0x400 | 0x800  # IN_DELETE_SELF, IN_MOVE_SELF
_FAR = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "sshfs"}


class Follower(Protocol):
    """What tells of changes in the logs."""

    needs_polling: bool
    """Whether `drain` has to be called every POLL_SECONDS; else `fileno` becomes readable on a change."""

    def fileno(self) -> int:
        """The descriptor to wait on; -1 where there is none."""

    def drain(self) -> bool:
        """Whether anything changed since the last call; never waits."""

    def close(self) -> None:
        """Gives back what it holds."""


def follow(folder: Path) -> Follower:
    """The best follower this system has for the logs in `folder`."""
    logs = folder / layout.LOGS
    if not _is_far(logs):
        with suppress(OSError, AttributeError):
            if sys.platform.startswith("linux"):
                return Inotify(logs)
            if hasattr(select, "kqueue"):
                return Kqueue(logs)
    return Poller(logs)


class Poller:
    """Looks at the logs' sizes each time it is asked: for network folders and systems that do not tell."""

    needs_polling = True

    def __init__(self, logs: Path) -> None:
        self._logs = logs
        self._seen = self._look()

    def fileno(self) -> int:
        return -1

    def drain(self) -> bool:
        now = self._look()
        changed, self._seen = now != self._seen, now
        return changed

    def close(self) -> None:
        pass

    def _look(self) -> dict[str, int]:
        try:
            return layout.log_sizes(self._logs)
        except ShedbookError:
            return {}  # gone for a moment, as a network folder may be


class Inotify:
    """Linux tells of every change in the folder of the logs."""

    needs_polling = False

    def __init__(self, logs: Path) -> None:
        self._libc = ctypes.CDLL(None, use_errno=True)
        self._logs = os.fsencode(logs)
        self._fd: int = self._libc.inotify_init1(os.O_CLOEXEC | os.O_NONBLOCK)
        if self._fd < 0:
            raise OSError(ctypes.get_errno(), "inotify_init1")
        if not self._watch():
            error = ctypes.get_errno()
            os.close(self._fd)
            raise OSError(error, "inotify_add_watch")

    def fileno(self) -> int:
        return self._fd

    def drain(self) -> bool:
        told = False
        with suppress(BlockingIOError):
            while events := os.read(self._fd, 1 << 16):
                told = True
                if any(mask & _FOLDER_GONE for mask in _masks(events)):
                    self._watch()  # the farm was put back from a copy: watch the folder that is there now
        return told

    def close(self) -> None:
        os.close(self._fd)

    def _watch(self) -> bool:
        mask = ctypes.c_uint32(_CHANGED | _FOLDER_GONE)
        return int(self._libc.inotify_add_watch(self._fd, self._logs, mask)) >= 0


def _masks(events: bytes) -> Iterator[int]:
    """What each of inotify's events says: int watch, then 32 bits each of mask, cookie and name's length."""
    place = 0
    while place + 16 <= len(events):
        _, mask, _, length = struct.unpack_from("iIII", events, place)
        yield mask
        place += 16 + length


class Kqueue:
    """macOS and the BSDs tell of each log that grows, and of the folder when a log is added."""

    needs_polling = False

    def __init__(self, logs: Path) -> None:
        self._logs = logs
        self._select: Any = select  # kqueue's names exist only where it does
        self._queue = self._select.kqueue()
        self._watched: dict[str, int] = {}
        self._watch()

    def fileno(self) -> int:
        return int(self._queue.fileno())

    def drain(self) -> bool:
        told = bool(self._queue.control(None, 64, 0))
        if told:
            self._watch()
        return told

    def close(self) -> None:
        for fd in self._watched.values():
            os.close(fd)
        self._queue.close()

    def _watch(self) -> None:
        """Watches the folder and every log in it, each once; a log that was replaced is watched anew."""
        kq = self._select
        names = {str(self._logs), *(str(self._logs / name) for name in layout.log_sizes(self._logs))}
        for name, fd in [*self._watched.items()]:
            if name not in names or not os.path.samestat(os.fstat(fd), os.stat(name)):
                os.close(self._watched.pop(name))
        for name in names - self._watched.keys():
            fd = os.open(name, getattr(os, "O_EVTONLY", os.O_RDONLY) | os.O_CLOEXEC)
            flags = kq.KQ_NOTE_WRITE | kq.KQ_NOTE_EXTEND | kq.KQ_NOTE_DELETE | kq.KQ_NOTE_RENAME
            event = kq.kevent(fd, kq.KQ_FILTER_VNODE, kq.KQ_EV_ADD | kq.KQ_EV_CLEAR, flags)
            self._queue.control([event], 0, 0)
            self._watched[name] = fd


def _is_far(logs: Path) -> bool:
    """Whether the folder lies on another machine, whose changes this system does not tell of (Linux only)."""
    try:
        device = os.stat(logs).st_dev
        wanted = f"{os.major(device)}:{os.minor(device)}"
        with open("/proc/self/mountinfo", encoding="utf-8", errors="replace") as mounts:
            for line in mounts:
                if line.split()[2] == wanted:
                    kind = line.partition(" - ")[2].split()[0]
                    return kind in _FAR or kind.startswith("fuse.")
    except (OSError, IndexError):
        pass
    return False
