"""One writer at a time on one machine: a kernel lock on the farm's `lock` file.

The kernel frees it when its holder ends, however it ends, so a lock can never be left behind. The file's
text only tells people who has it; nothing depends on it.
"""

from __future__ import annotations

import errno
import fcntl
import os
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path

from core.book.disk import lives, open_file, read_file, trouble
from core.problems import Problem, ShedbookError
from core.text import clean

PATIENCE = 5.0
"""Seconds a writer waits for another before it says so: a writing takes thousandths of one."""


class Held(ShedbookError):  # noqa: N818  # what another does, not a fault of ours
    """Another process keeps the lock: nothing was written, and it can be tried again."""


_BUSY = {errno.EWOULDBLOCK, errno.EACCES}
_NO_LOCKS = {errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS}


class Lock:
    """`with Lock(path):` holds it; raises Held where another keeps it longer than `patience` seconds.

    It also holds between threads that share the object, and notices a fork (whose child would otherwise
    share its parent's hold).
    """

    def __init__(self, path: Path, *, patience: float = PATIENCE) -> None:
        self._path = path
        self._name = str(path)
        self.patience = patience
        self._fd = -1
        self._pid = 0
        self._file = (0, 0)
        self._threads = threading.Lock()
        self._written = 0  # when the file was last signed, in ns
        self._signed = (0, 0)  # our process id and when it signed

    def __enter__(self) -> Lock:
        if not self.take(self.patience):
            raise Held(Problem(self._who(), code="disk"))
        return self

    def __exit__(self, *_: object) -> None:
        self.free()

    def take(self, patience: float = 0.0) -> bool:
        """Whether the lock is ours within `patience` seconds; OSError trouble comes as ShedbookError."""
        if not (
            self._threads.acquire(timeout=patience) if patience else self._threads.acquire(blocking=False)
        ):
            return False
        try:
            taken = self._take_file(patience)
        except OSError as error:
            self._threads.release()
            raise _lock_trouble(error, self._path) from error
        except BaseException:
            self._threads.release()
            raise
        if not taken:
            self._threads.release()
        return taken

    def free(self) -> None:
        """Gives the lock back."""
        try:
            fcntl.flock(self._fd, fcntl.LOCK_UN)
        finally:
            self._threads.release()

    def problem(self, patience: float) -> Problem | None:
        """Why nothing could be written now, None where it could; waits for another's writing up to `patience` s."""
        try:
            if self.take(patience):
                self.free()
                return None
        except ShedbookError as error:
            return error.problem
        return Problem(
            f"The book is held by {self._holder()}: it can be read, and nothing can be written until that ends.",
            code="disk",
        )

    def close(self) -> None:
        """Closes the file; the lock can be taken again."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1

    def __del__(self) -> None:
        with suppress(OSError, AttributeError):
            self.close()

    def _take_file(self, patience: float) -> bool:
        pid = os.getpid()
        if self._pid != pid:
            self._fd, self._pid = -1, pid  # after a fork the old file is our parent's: leave it be
        if self._fd < 0:
            self._open()
        pause, until = 0.0002, 0.0
        while True:
            try:
                fcntl.flock(self._fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError as error:
                if error.errno not in _BUSY:
                    raise
            else:
                if self._is_that_file():
                    self._sign(pid)
                    return True
                self._open()  # the folder was put back from a copy meanwhile: that lock binds nobody
                continue
            now = time.monotonic()
            until = until or now + patience
            if now >= until:
                return False
            time.sleep(pause)
            pause = min(pause * 1.5, 0.02)

    def _open(self) -> None:
        self.close()
        self._fd = open_file(self._path, os.O_RDWR | os.O_CREAT)
        mine = os.fstat(self._fd)
        self._file = (mine.st_ino, mine.st_dev)

    def _is_that_file(self) -> bool:
        try:
            now = os.stat(self._name)
            self._written = now.st_mtime_ns
            return (now.st_ino, now.st_dev) == self._file
        except FileNotFoundError:
            return False

    def _sign(self, pid: int) -> None:
        if self._signed == (pid, self._written):
            return  # nobody signed since we did
        line = f"process {pid} ({_command()})"[:78].ljust(78) + "\n"
        with suppress(OSError):  # a full disk: the name of the holder is a courtesy
            os.pwrite(self._fd, line.encode("utf-8", "replace"), 0)
            self._signed = (pid, os.fstat(self._fd).st_mtime_ns)

    def _who(self) -> str:
        return f"The book is held by {self._holder()}; nothing was written. Wait for it or end it, then try again."

    def _holder(self) -> str:
        try:
            holder = read_file(self._path, 4096).decode("utf-8", "replace").strip()[:78]
        except OSError:
            return "another process"
        number = holder.split()[1] if holder.startswith("process ") and len(holder.split()) > 1 else ""
        if not holder.isprintable() or not number.isdecimal() or not lives(int(number)):
            return "another process"  # who signed last has ended: somebody else holds it, unsigned
        return holder


def _lock_trouble(error: OSError, path: Path) -> ShedbookError:
    if error.errno in _NO_LOCKS:
        return ShedbookError(
            Problem(
                f"The disk of {clean(str(path.parent))} cannot lock files: the book can be read there, and nothing "
                "was written; copy the farm folder to a disk of this machine to write.",
                code="disk",
            )
        )
    return trouble(error, "hold the lock", path)


def _command() -> str:
    return Path(sys.argv[0]).name if sys.argv and sys.argv[0] else "python"
