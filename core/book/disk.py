"""The few things the book asks of a disk, each complete: write all of it, put it down for good, replace."""

from __future__ import annotations

import errno
import fcntl
import os
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from core.patterns import pattern
from core.problems import Problem, ShedbookError
from core.text import clean

FILE_MODE = 0o600
FOLDER_MODE = 0o700
LARGEST = 1 << 30
"""Bytes that a file of a farm may have; beyond that it is none of ours."""

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_CLOSED = {errno.EACCES, errno.EPERM}
_LINK = {errno.ELOOP, errno.EMLINK}
_NO_SUCH_THING = {errno.ENOTDIR, errno.EISDIR}  # not the file or folder that belongs there

_LEFT = pattern(r"\..+\.(\d{1,10})\.new|(?:farm|past-[0-9a-f]{8})\.json\.(\d{1,10})\.new")
"""How new files are called until they are whole, with the process that writes them; and once were, in `fold`."""


class UnfitFileError(OSError):
    """What stands there is no file that can be read: a pipe, a device, a folder, a giant; `strerror` says which."""


def trouble(error: OSError, doing: str, path: Path | str) -> ShedbookError:
    """`error` as one sentence that says what to do; `doing` completes "could not ..."."""
    where = clean(str(path))[-200:]
    if isinstance(error, UnfitFileError):
        text = f"{where} {error.strerror}."
    elif error.errno in _FULL:
        text = f"The disk is full: could not {doing} in {where}; make room first."
    elif error.errno == errno.EROFS:
        text = f"The disk is read-only: could not {doing} in {where}; nothing can be written until it is writable."
    elif error.errno in _CLOSED:
        text = (
            f"No permission to {doing} in {where}; open the book as its owner, or give this user the folder."
        )
    elif error.errno in _LINK:
        text = f"{where} is a link, which the book does not follow; put the file itself there."
    elif error.errno in _NO_SUCH_THING:
        text = f"Could not {doing}: something else lies at {where}, or above it; move that away."
    else:
        text = (
            f"The disk would not {doing} in {where} ({error.strerror}); copy the farm folder to another disk."
        )
    return ShedbookError(Problem(text, code="disk"))


def why(error: OSError, path: Path | str) -> str:
    """Why the disk refused what was asked for at `path`, and what to do: the end of a sentence, without its stop."""
    where = clean(str(path))
    if isinstance(error, UnfitFileError):
        return f"{where} {error.strerror}"
    if error.errno in _FULL:
        return "the disk is full; make room"
    if error.errno == errno.EROFS:
        return "the disk is read-only; make it writable"
    if error.errno in _CLOSED:
        return f"there is no permission to write at {where}; give this user the folder"
    if error.errno in _LINK:
        return f"{where} is a link, which the book does not follow; move it away"
    if error.errno in _NO_SUCH_THING:
        return f"{where} is no folder; move it away"
    return f"the disk refused it ({error.strerror}); copy the farm folder to another disk"


def open_file(path: Path, flags: int, *, follow: bool = False) -> int:
    """A descriptor of the plain file `path`, through a link only where told to; never waits, whatever stands there.

    It is none of the three standard streams: where one of these is closed, the system would give out its number, and
    what a program says there would go into the file. Raises UnfitFileError for what is no plain file, OSError else.
    """
    flags |= os.O_NONBLOCK | os.O_NOCTTY | os.O_CLOEXEC | (0 if follow else os.O_NOFOLLOW)
    try:
        fd = os.open(path, flags, FILE_MODE)
    except OSError as error:
        if error.errno == errno.ENXIO:  # a socket, a pipe nobody reads, or a device without a driver
            raise _no_plain_file(path) from error
        raise
    try:
        if not stat.S_ISREG(os.fstat(fd).st_mode):
            raise _no_plain_file(path)
        if fd <= 2:
            low, fd = fd, fcntl.fcntl(fd, fcntl.F_DUPFD_CLOEXEC, 3)
            os.close(low)
    except BaseException:
        os.close(fd)
        raise
    return fd


@contextmanager
def open_to_read(path: Path, most: int = LARGEST, *, follow: bool = False) -> Iterator[int]:
    """A file descriptor of the plain file `path` of at most `most` bytes; through a link only where told to.

    Never waits, whatever stands there. Raises UnfitFileError for what is no plain file or larger, OSError else.
    """
    fd = open_file(path, os.O_RDONLY, follow=follow)
    try:
        if os.fstat(fd).st_size > most:
            large = f"is larger than {_size_text(most)}, which no such file ever is; move it away"
            raise UnfitFileError(errno.EFBIG, large, str(path))
        yield fd
    finally:
        os.close(fd)


def read_file(path: Path, most: int, *, follow: bool = False) -> bytes:
    """All bytes of a plain file of at most `most`; raises OSError as `open_to_read` does."""
    with open_to_read(path, most, follow=follow) as fd:
        parts, place = [], 0
        while place < most and (part := os.pread(fd, min(1 << 24, most - place), place)):
            parts.append(part)
            place += len(part)
    return b"".join(parts)


def _no_plain_file(path: Path) -> UnfitFileError:
    return UnfitFileError(errno.EINVAL, "is no plain file; put the file itself there", str(path))


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
    """`folder` with mode 0700, lasting; nothing happens where it is already.

    Raises OSError where a link or a file lies in its place: nothing is ever put where a link leads.
    """
    try:
        os.mkdir(folder, FOLDER_MODE)
    except FileExistsError:
        mode = os.lstat(folder).st_mode
        if stat.S_ISDIR(mode):
            return
        code = errno.ELOOP if stat.S_ISLNK(mode) else errno.ENOTDIR
        raise OSError(code, os.strerror(code), str(folder)) from None
    sync_folder(folder.parent)


def replace_file(path: Path, parts: Iterable[bytes], *, lasting: bool = True, ours: bool = True) -> None:
    """`path` made of `parts`, whole or not at all: a new file beside it, synced, renamed over it.

    Not `lasting`, it is not synced: for what may be lost to a power cut. Raises OSError; the old file then stays
    as it was and nothing else is left behind. What stopped processes left half written beside it is removed, in a
    folder of `ours`: elsewhere a file of hers may be called like that.
    """
    if ours:
        clear_left(path.parent)
    aside = path.with_name(f".{path.name}.{os.getpid()}.new")
    fd = new_file(aside)
    try:
        try:
            for part in parts:
                write_all(fd, part)
            if lasting:
                sync(fd)
        finally:
            os.close(fd)
        os.rename(aside, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(aside)
        raise
    if lasting:
        sync_folder(path.parent)


def new_file(path: Path) -> int:
    """A descriptor of a file that was not there: whatever lies under its name, a link or a pipe, is removed."""
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL
    try:
        return open_file(path, flags)
    except FileExistsError:
        os.unlink(path)
        return open_file(path, flags)


def clear_left(folder: Path) -> None:
    """Removes the new files in `folder` whose process was stopped before they were whole; no others."""
    with suppress(OSError):
        for name in os.listdir(folder):
            found = _LEFT.fullmatch(name)
            if found and not lives(int(found[1] or found[2])):
                with suppress(OSError):
                    os.unlink(folder / name)


def lives(process: int) -> bool:
    """Whether a process of that number runs on this machine."""
    try:
        os.kill(process or os.getpid(), 0)  # signal 0 only asks
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True  # somebody else's
    return True


def add_lines(path: Path, lines: bytes) -> None:
    """Adds `lines` to a report, all of them on the disk when this returns, or none; raises OSError.

    Where a crash cut the report off in the middle of a line, that stays a line of its own.
    """
    fd = open_file(path, os.O_RDWR | os.O_APPEND | os.O_CREAT)
    try:
        size = os.fstat(fd).st_size
        cut_off = size > 0 and os.pread(fd, 1, size - 1) != b"\n"
        add_whole(fd, b"\n" + lines if cut_off else lines)
    finally:
        os.close(fd)


def add_whole(fd: int, data: bytes) -> None:
    """Adds `data` to the end of a file open for that: all of it on the disk when this returns, or none; OSError."""
    size = os.fstat(fd).st_size
    try:
        write_all(fd, data)
        sync(fd)
    except OSError:
        with suppress(OSError):
            os.ftruncate(fd, size)
        raise
