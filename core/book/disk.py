"""The few things the book asks of a disk, each complete: write all of it, put it down for good, replace."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from core.problems import Problem, ShedbookError
from core.text import clean

FILE_MODE = 0o600
FOLDER_MODE = 0o700

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_CLOSED = {errno.EACCES, errno.EPERM}


def trouble(error: OSError, doing: str, path: Path | str) -> ShedbookError:
    """`error` as one sentence that says what to do; `doing` completes "could not ..."."""
    where = clean(str(path))
    if error.errno in _FULL:
        text = f"The disk is full: could not {doing} in {where}. Nothing was written; make room first."
    elif error.errno == errno.EROFS:
        text = f"The disk is read-only: could not {doing} in {where}. Nothing was written; make it writable."
    elif error.errno in _CLOSED:
        text = (
            f"No permission to {doing} in {where}; open the book as its owner, or give this user the folder."
        )
    elif error.errno in {errno.ELOOP, errno.EMLINK}:
        text = f"{where} is a link, which the book does not follow; put the file itself there."
    else:
        text = (
            f"The disk would not {doing} in {where} ({error.strerror}); copy the farm folder to another disk."
        )
    return ShedbookError(Problem(text, code="disk"))


@contextmanager
def open_to_read(path: Path) -> Iterator[int]:
    """A file descriptor of `path`, never through a link."""
    fd = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_CLOEXEC)
    try:
        yield fd
    finally:
        os.close(fd)


def write_all(fd: int, data: bytes) -> None:
    """Every byte of `data`; raises OSError where the disk takes no more."""
    left = memoryview(data)
    while left:
        taken = os.write(fd, left)
        if taken <= 0:
            raise OSError(errno.EIO, "the disk took no bytes")
        left = left[taken:]


if sys.platform == "darwin":  # there fsync leaves the bytes in the drive's own cache
    import fcntl

    def sync(fd: int) -> None:
        """Returns once the file's bytes are on the disk."""
        try:
            fcntl.fcntl(fd, fcntl.F_FULLFSYNC)
        except OSError:
            os.fsync(fd)

else:

    def sync(fd: int) -> None:
        """Returns once the file's bytes are on the disk."""
        os.fsync(fd)


def sync_folder(folder: Path) -> None:
    """Makes names just created, renamed or removed in `folder` last."""
    fd = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(fd)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # some file systems cannot sync a folder
            raise
    finally:
        os.close(fd)


def make_folder(folder: Path) -> None:
    """`folder` with mode 0700, lasting; nothing happens where it is already."""
    try:
        os.mkdir(folder, FOLDER_MODE)
    except FileExistsError:
        return
    sync_folder(folder.parent)


def replace_file(path: Path, parts: Iterable[bytes]) -> None:
    """`path` made of `parts`, whole or not at all: a new file beside it, synced, renamed over it.

    Raises OSError; the old file then stays as it was and nothing else is left behind.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}.new")
    fd = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW | os.O_CLOEXEC, FILE_MODE)
    try:
        try:
            for part in parts:
                write_all(fd, part)
            sync(fd)
        finally:
            os.close(fd)
        os.rename(aside, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(aside)
        raise
    sync_folder(path.parent)
