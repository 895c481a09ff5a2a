"""What she was typing or has pasted, kept when the screen closes or the disk refuses it.

It lies in the farm's `draft` and `pasted.txt`; where the farm cannot be written, in the user's own state folder.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from core.book.disk import open_to_read, replace_file
from core.book.state import make_state_folder, state_folder
from core.text import LONGEST_TYPED, clean

DRAFT, PASTED = "draft", "pasted.txt"
MOST_PASTED = 10_000_000
"""Bytes of pasted lines that are read back."""


def keep(folder: Path, line: str) -> Path | None:
    """Keeps `line` for the next start and returns its file; None where no disk takes it. "" forgets it."""
    return _keep(folder, DRAFT, line)


def kept(folder: Path) -> str:
    """The line that was kept, "" where there is none; clean text of at most LONGEST_TYPED characters."""
    return clean(_kept(folder, DRAFT, LONGEST_TYPED * 4))[:LONGEST_TYPED]


def forget(folder: Path) -> None:
    """Removes the line that was kept."""
    _forget(folder, DRAFT)


def keep_lines(folder: Path, lines: list[str]) -> Path | None:
    """Keeps pasted `lines` as `keep` keeps one; none forgets them."""
    return _keep(folder, PASTED, "".join(f"{line}\n" for line in lines))


def kept_lines(folder: Path) -> list[str]:
    """The pasted lines that were kept, as clean text."""
    return [line for line in map(clean, _kept(folder, PASTED, MOST_PASTED).splitlines()) if line.strip()]


def _keep(folder: Path, name: str, text: str) -> Path | None:
    if not text:
        _forget(folder, name)
        return None
    for path in _places(folder, name):
        try:
            if path.parent != folder:
                make_state_folder()
            replace_file(path, [text.encode("utf-8", "replace")])
        except OSError:
            continue
        return path
    return None


def _kept(folder: Path, name: str, most: int) -> str:
    newest, text = -1, ""
    for path in _places(folder, name):
        with suppress(OSError), open_to_read(path) as fd:
            made = os.fstat(fd).st_mtime_ns
            if made > newest:
                newest, text = made, os.pread(fd, most, 0).decode("utf-8", "replace")
    return text


def _forget(folder: Path, name: str) -> None:
    for path in _places(folder, name):
        with suppress(OSError):
            os.unlink(path)


def _places(folder: Path, name: str) -> list[Path]:
    """Where it may lie, the farm's folder first; the user's own only where there is one."""
    elsewhere = state_folder()
    own = f"{Path(name).stem}-{crc32(os.path.abspath(folder).encode()):08x}"
    return [folder / name, *([elsewhere / own] if elsewhere else [])]
