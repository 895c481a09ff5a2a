"""The few things the book asks of a disk, each complete: write all of it, put it down for good, replace."""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from core.problems import Problem, ShedbookError
from core.text import clean

FILE_MODE = 0o600
FOLDER_MODE = 0o700
LARGEST = 1 << 30
"""Bytes that a file of a farm may have; beyond that it is none of ours."""

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_CLOSED = {errno.EACCES, errno.EPERM}


class UnfitFileError(OSError):
    """What stands there is no file that can be read: a pipe, a device, a folder, a giant; `strerror` says which."""


def trouble(error: OSError, doing: str, path: Path | str) -> ShedbookError:
    """`error` as one sentence that says what to do; `doing` completes "could not ..."."""
    where = clean(str(path))[-200:]
    if isinstance(error, UnfitFileError):
        text = f"{where} {error.strerror}."
    elif error.errno in _FULL:
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
def open_to_read(path: Path, most: int = LARGEST, *, follow: bool = False) -> Iterator[int]:
    """A file descriptor of the plain file `path` of at most `most` bytes; through a link only where told to.

    Never waits, whatever stands there. Raises UnfitFileError for what is no plain file or larger, OSError else.
    """
    flags = os.O_RDONLY | os.O_NONBLOCK | os.O_NOCTTY | os.O_CLOEXEC | (0 if follow else os.O_NOFOLLOW)
    try:
        fd = os.open(path, flags)
    except OSError as error:
        if error.errno == errno.ENXIO:  # a socket, or a device without a driver
            raise _no_plain_file() from error
        raise
    try:
        about = must_be_plain(fd)
        if about.st_size > most:
            raise UnfitFileError(
                errno.EFBIG, f"is larger than {_size_text(most)}, which no such file ever is; move it away"
            )
        yield fd
    finally:
        os.close(fd)


def must_be_plain(fd: int) -> os.stat_result:
    """What the system says of an open file; UnfitFileError where it is a pipe, a device or a folder."""
    about = os.fstat(fd)
    if not stat.S_ISREG(about.st_mode):
        raise _no_plain_file()
    return about


def read_file(path: Path, most: int, *, follow: bool = False) -> bytes:
    """All bytes of a plain file of at most `most`; raises OSError as `open_to_read` does."""
    with open_to_read(path, most, follow=follow) as fd:
        parts, place = [], 0
        while place < most and (part := os.pread(fd, min(1 << 24, most - place), place)):
            parts.append(part)
            place += len(part)
    return b"".join(parts)


def _no_plain_file() -> UnfitFileError:
    return UnfitFileError(errno.EINVAL, "is no plain file; put the file itself there")


def _size_text(size: int) -> str:
    for unit, name in ((1 << 30, "GB"), (1 << 20, "MB"), (1 << 10, "kB")):
        if size >= unit:
            return f"{size / unit:.3g} {name}"
    return f"{size} bytes"


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
