"""The user's own folder for what is no part of a farm: the line she was typing, and what nobody foresaw."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from core.book.disk import FOLDER_MODE, open_file, write_all


def state_folder() -> Path | None:
    """`shedbook` in the user's folder for states (XDG_STATE_HOME, else ~/.local/state), which need not be there.

    None where there is no such place: no home, or something in its place that is no folder of this user.
    """
    root = os.environ.get("XDG_STATE_HOME", "")
    if not os.path.isabs(root):  # the standard has a relative one ignored
        root = os.path.expanduser("~/.local/state")
    if not os.path.isabs(root):
        return None
    folder = Path(root) / "shedbook"
    try:
        about = os.lstat(folder)
    except FileNotFoundError:
        return folder
    except OSError:
        return None
    return folder if stat.S_ISDIR(about.st_mode) and about.st_uid == os.geteuid() else None


def make_state_folder() -> Path:
    """`state_folder`, made where it is not there; raises OSError where there is none."""
    folder = state_folder()
    if folder is None:
        raise FileNotFoundError(errno.ENOENT, "no folder of this user's own")
    folder.parent.mkdir(parents=True, exist_ok=True, mode=FOLDER_MODE)
    folder.mkdir(exist_ok=True, mode=FOLDER_MODE)
    return folder


def add_text(name: str, text: bytes, most: int) -> Path:
    """Adds `text` to the file `name` of the state folder, which begins anew once it holds `most` bytes.

    Never through a link, nor into what is no plain file of this user's alone. Raises OSError.
    """
    path = make_state_folder() / name
    fd = open_file(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    try:
        about = os.fstat(fd)
        if about.st_uid != os.geteuid() or about.st_nlink != 1:
            raise PermissionError(errno.EPERM, "no file of this user's alone", str(path))
        if about.st_size + len(text) > most:
            os.ftruncate(fd, 0)
        write_all(fd, text[:most])
    finally:
        os.close(fd)
    return path
