"""A disk that fails at the call it is told to, and one whose power is cut there.

`Disk` stands below the book, at the calls to `os`. It knows what a real disk has promised at each moment:
bytes of a file are kept once the file is synced, names of a folder once the folder is. After a power cut
`settle` leaves the folder as the disk might: unsynced bytes and names there, not there, or in part.
"""

from __future__ import annotations

import errno
import os
import random
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock


class PowerCutError(BaseException):
    """The machine is off: no handler runs, no call works."""


class _Node:
    """A file: its bytes that are on the disk for good."""

    def __init__(self, synced: bytes | None = None) -> None:
        self.synced = synced


CALLS = ("open", "write", "fsync", "rename", "replace", "ftruncate", "unlink", "mkdir")


class Disk:
    """`with Disk(folder, at, how).running():` makes call number `at` (from 1) fail.

    how: "full" ENOSPC, "error" EIO, "short" half a write and then a full disk, "full on" ENOSPC from there
    on, "power" the power goes before the call is done, "power half" in the middle of a write.
    """

    def __init__(self, folder: Path, at: int = 0, how: str = "full", seed: int = 0) -> None:
        self.calls = 0
        self.off = False
        self._rest_fails = False  # after a short write the disk takes no more
        self._folder = str(folder)
        self._at, self._how = at, how
        self._chance = random.Random(f"{at} {how} {seed}")
        self._names: dict[str, _Node] = {}
        self._lasting: dict[str, _Node] = {}
        self._paths: dict[int, str] = {}
        self._real: dict[str, Callable[..., Any]] = {name: getattr(os, name) for name in CALLS}
        for path in folder.rglob("*") if folder.exists() else ():
            if path.is_file():
                self._names[str(path)] = self._lasting[str(path)] = _Node(path.read_bytes())

    @contextmanager
    def running(self) -> Iterator[None]:
        """The disk in place of the machine's own."""
        with mock.patch.multiple(os, **{name: getattr(self, f"_{name}") for name in CALLS}):
            yield

    def settle(self) -> None:
        """What is in the folder when the machine is on again."""
        chance = self._chance
        names = dict(self._names)
        for folder in sorted({os.path.dirname(name) for name in [*self._names, *self._lasting]}):
            if chance.random() < 0.5:  # the folder's own changes did not make it
                for name in [name for name in names if os.path.dirname(name) == folder]:
                    del names[name]
                names |= {n: node for n, node in self._lasting.items() if os.path.dirname(n) == folder}
        contents = {name: self._left_of(name, node) for name, node in names.items()}
        for name in {*self._names, *self._lasting}:
            Path(name).unlink(missing_ok=True)
        for name, content in contents.items():
            Path(name).parent.mkdir(parents=True, exist_ok=True)
            Path(name).write_bytes(content)

    def _left_of(self, name: str, node: _Node) -> bytes:
        now = (
            Path(name).read_bytes()
            if self._names.get(name) is node and os.path.exists(name)
            else node.synced or b""
        )
        synced = node.synced if node.synced is not None else b""
        if not now.startswith(synced):
            return self._chance.choice([now, synced])
        more = now[len(synced) :]
        return synced + more[: self._chance.randint(0, len(more))]

    def _due(self) -> bool:
        if self.off:
            raise PowerCutError
        self.calls += 1
        if self._how == "full on" and self._at and self.calls >= self._at:
            return True
        return self.calls == self._at

    def _fail(self) -> None:
        if self._how.startswith("power"):
            self.off = True
            raise PowerCutError
        code = errno.EIO if self._how == "error" else errno.ENOSPC
        raise OSError(code, os.strerror(code))

    def _inside(self, path: Any) -> str:
        name = os.path.abspath(os.fspath(path))
        return name if f"{name}/".startswith(f"{self._folder}/") else ""

    def _open(self, path: Any, flags: int, mode: int = 0o777, **more: Any) -> int:
        name = self._inside(path)
        makes = bool(name and flags & os.O_CREAT and not os.path.exists(name))
        if makes and self._due():
            self._fail()
        elif self.off and name:
            raise PowerCutError
        fd: int = self._real["open"](path, flags, mode, **more)
        self._paths.pop(fd, None)
        if name:
            self._paths[fd] = name
            if makes:
                self._names[name] = _Node()
        return fd

    def _write(self, fd: int, data: Any) -> int:
        if fd not in self._paths:
            return self._real["write"](fd, data)  # type: ignore[no-any-return]
        if self._rest_fails:
            self._rest_fails = False
            self._how = "full"
            self._fail()
        if self._due():
            if self._how in ("short", "power half"):
                done: int = self._real["write"](fd, bytes(data)[: len(data) // 2])
                if self._how == "short":
                    self._at = 0
                    self._rest_fails = True
                    return done
            self._fail()
        return self._real["write"](fd, data)  # type: ignore[no-any-return]

    def _fsync(self, fd: int) -> None:
        if self._due():
            self._fail()
        self._real["fsync"](fd)
        name = self._paths.get(fd, "")
        if stat.S_ISDIR(os.fstat(fd).st_mode):
            here = {n: node for n, node in self._names.items() if os.path.dirname(n) == name}
            self._lasting = {
                n: node for n, node in self._lasting.items() if os.path.dirname(n) != name
            } | here
        elif name in self._names:
            self._names[name].synced = Path(name).read_bytes()

    def _ftruncate(self, fd: int, length: int) -> None:
        if self._due():
            self._fail()
        self._real["ftruncate"](fd, length)

    def _rename(self, old: Any, new: Any) -> None:
        if self._due():
            self._fail()
        self._real["rename"](old, new)
        self._names[self._inside(new)] = self._names.pop(self._inside(old))

    _replace = _rename

    def _unlink(self, path: Any, **more: Any) -> None:
        if self._due():
            self._fail()
        self._real["unlink"](path, **more)
        self._names.pop(self._inside(path), None)

    def _mkdir(self, path: Any, mode: int = 0o777, **more: Any) -> None:
        if self._inside(path) and self._due():
            self._fail()
        self._real["mkdir"](path, mode, **more)
