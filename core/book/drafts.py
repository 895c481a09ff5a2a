"""What she was typing or has pasted, kept when the screen closes or the disk refuses it.

It lies in the farm's `draft` and `pasted.txt`; where the farm cannot be written, in the user's own state folder.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from core.book.disk import replace_file
from core.text import LONGEST_TYPED, clean

DRAFT, PASTED = "draft", "pasted.txt"


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
    return [line for line in map(clean, _kept(folder, PASTED, -1).splitlines()) if line.strip()]


def _keep(folder: Path, name: str, text: str) -> Path | None:
    if not text:
        _forget(folder, name)
        return None
    for path in _places(folder, name):
        try:
            if path.parent != folder:
                path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            replace_file(path, [text.encode("utf-8", "replace")])
        except OSError:
            continue
        return path
    return None


def _kept(folder: Path, name: str, most: int) -> str:
    newest, text = -1, ""
    for path in _places(folder, name):
        with suppress(OSError):
            made = os.stat(path).st_mtime_ns
            if made > newest:
                with open(path, encoding="utf-8", errors="replace") as file:
                    newest, text = made, file.read(most)
    return text


def _forget(folder: Path, name: str) -> None:
    for path in _places(folder, name):
        with suppress(OSError):
            os.unlink(path)


def _places(folder: Path, name: str) -> list[Path]:
    """Where it may lie, the farm's folder first; the user's own only where there is one."""
    home = os.path.expanduser("~")
    state = os.environ.get("XDG_STATE_HOME") or (f"{home}/.local/state" if os.path.isabs(home) else "")
    own = f"{Path(name).stem}-{crc32(os.path.abspath(folder).encode()):08x}"
    return [folder / name, *([Path(state) / "shedbook" / own] if state else [])]
