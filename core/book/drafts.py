"""The line she was typing, kept when the screen has to close or the disk refuses it.

It lies in the farm's `draft` file; where the farm cannot be written, in the user's own state folder.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from core.book.disk import open_to_read, replace_file
from core.book.state import make_state_folder, state_folder
from core.text import LONGEST, clean

DRAFT = "draft"


def keep(folder: Path, line: str) -> Path | None:
    """Keeps `line` for the next start and returns its file; None where no disk takes it. "" forgets it."""
    if not line:
        forget(folder)
        return None
    for path in _places(folder):
        try:
            if path.parent != folder:
                make_state_folder()
            replace_file(path, [line.encode("utf-8", "replace")])
        except OSError:
            continue
        return path
    return None


def kept(folder: Path) -> str:
    """The line that was kept, "" where there is none; clean text of at most LONGEST characters."""
    newest, text = -1, ""
    for path in _places(folder):
        with suppress(OSError), open_to_read(path) as fd:
            made = os.fstat(fd).st_mtime_ns
            if made > newest:
                begun = os.pread(fd, LONGEST * 4, 0).decode("utf-8", "replace")
                newest, text = made, clean(begun)[:LONGEST]
    return text


def forget(folder: Path) -> None:
    """Removes the line that was kept."""
    for path in _places(folder):
        with suppress(OSError):
            os.unlink(path)


def _places(folder: Path) -> list[Path]:
    elsewhere = state_folder()
    name = f"draft-{crc32(os.path.abspath(folder).encode()):08x}"
    return [folder / DRAFT, *([elsewhere / name] if elsewhere else [])]
