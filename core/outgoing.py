"""Files outside the farm's folder, that she names: read whole, or replaced whole, with what is wrong in a sentence."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from core.book import disk
from core.problems import Problem, ShedbookError
from core.text import clean

LARGEST = 100_000_000
"""Bytes of such a file."""


def told(path: Path) -> str:
    """The path as it is told; of a long one its end."""
    return clean(str(path))[-200:]


def read_whole(path: Path) -> bytes:
    """The bytes of the plain file, through a link too; ShedbookError."""
    try:
        return disk.read_file(path, LARGEST, follow=True)
    except OSError as error:
        raise trouble(error, path) from error


def read_old(path: Path) -> bytes | None:
    """The same; None where there is no such file yet."""
    return read_whole(path) if path.exists() else None


def replace(path: Path, data: bytes) -> None:
    """The file made anew, whole or not at all; a link stays one. ShedbookError."""
    try:
        replace_for_others(path.resolve(), data)
    except (OSError, RuntimeError) as error:  # links that lead in a ring are the second
        raise trouble(error, path) from error


def replace_for_others(path: Path, data: bytes) -> None:
    """The file made anew; who may read it is as it was, and of a new one as of any file of hers. OSError."""
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
    disk.replace_file(path, [data], ours=False)
    path.chmod(mode)


def _umask() -> int:
    """What her system takes away from new files; it can only be asked by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def trouble(error: Exception, path: Path) -> ShedbookError:
    """Why it can be neither read nor written, and what to do."""
    code = getattr(error, "errno", None)
    if isinstance(error, disk.UnfitFileError):
        text = f"{told(path)} {error.strerror}."
    elif code == errno.ENOENT:
        text = f"There is no {told(path)}: look at the name, and whether the folder is there."
    elif code in (errno.EEXIST, errno.ENOTDIR, errno.EISDIR):
        text = f"Something else lies at {told(path)}, or above it: name another place."
    elif code in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        text = f"There is no room left for {told(path)}: make room, or name another place."
    elif code in (errno.EACCES, errno.EPERM, errno.EROFS):
        text = f"There is no permission for {told(path)}: name another place."
    else:
        text = f"{told(path)} could not be read or written ({getattr(error, 'strerror', None) or error})."
    return ShedbookError(Problem(text, code="disk"))
