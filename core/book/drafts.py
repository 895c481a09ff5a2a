"""The line she was typing, kept when the screen has to close or the disk refuses it.

It lies in the farm's `draft` file; where the farm cannot be written, in the user's own state folder.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from core.book.disk import read_file, replace_file
from core.text import LONGEST, clean

DRAFT = "draft"
_LARGEST_BYTES = 64 * 1024


def keep(folder: Path, line: str) -> Path | None:
    """Keeps `line` for the next start and returns its file; None where no disk takes it. "" forgets it."""
    if not line:
        forget(folder)
        return None
    for path in _places(folder):
        try:
            if path.parent != folder:
                path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            replace_file(path, [line.encode("utf-8", "replace")])
        except OSError:
            continue
        return path
    return None


def kept(folder: Path) -> str:
    """The line that was kept, "" where there is none; clean text of at most LONGEST characters."""
    newest, text = -1, ""
    for path in _places(folder):
        with suppress(OSError):
            made = os.lstat(path).st_mtime_ns
            if made > newest:
                data = read_file(path, _LARGEST_BYTES)
                newest, text = made, clean(data.decode("utf-8", "replace"))[:LONGEST]
    return text


def forget(folder: Path) -> None:
    """Removes the line that was kept."""
    for path in _places(folder):
        with suppress(OSError):
            os.unlink(path)


def _places(folder: Path) -> tuple[Path, Path]:
    state = os.environ.get("XDG_STATE_HOME") or os.path.expanduser("~/.local/state")
    name = f"draft-{crc32(os.path.abspath(folder).encode()):08x}"
    return folder / DRAFT, Path(state) / "shedbook" / name
