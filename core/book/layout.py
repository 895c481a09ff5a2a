"""What lies where in a farm folder, and which version of it this program reads."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path
from typing import Any, TypeAlias

from core.book.disk import UnfitFileError, open_to_read, read_file, trouble
from core.book.lines import ENTRY_START
from core.problems import Problem, ShedbookError
from core.text import clean

FORMAT = 1
"""The version of the folder this program writes; a folder with a higher one is refused."""

_MOST_ABOUT = 64 * 1024
LOGS, BACKUPS, FOLDS = "log", "backup", "fold"
NO_BACKUP = "backup.failed"
SNAPSHOT, ABOUT_FARM, LOCK, SNAPSHOT_LOCK = "book.json", "farm.json", "lock", "snapshot.lock"
LOG_END, MERGED_END, SET_ASIDE_END, BACKUP_END = ".log", ".merged.log", ".set-aside", ".log.gz"

Mark: TypeAlias = dict[str, list[int]]
"""How far the logs were read: {log file name: [byte offset, checksum of the bytes before it]}; plain JSON."""

NOWHERE = [0, 0]
"""The place in a `Mark` of a log of which nothing was read."""


def is_farm(folder: Path) -> bool:
    """Whether `folder` holds a book: it says so, or has a log with an entry in it."""
    return os.path.lexists(folder / ABOUT_FARM) or any(
        _holds_entries(path) for path in folder.glob("log/*.log")
    )


def _holds_entries(path: Path) -> bool:
    try:
        with open_to_read(path) as fd:
            return ENTRY_START.search(os.pread(fd, 1 << 16, 0)) is not None
    except OSError as error:
        if isinstance(error, UnfitFileError) or error.errno == errno.ELOOP:
            return False  # a pipe or a link is no log, whatever its name
        raise


def about_farm(folder: Path) -> dict[str, Any]:
    """farm.json: {"format": int, "device": str}; without the file, what it would be said to hold.

    Raises ShedbookError for a book from a newer version, and where the file cannot be read.
    """
    path = folder / ABOUT_FARM
    try:
        about = json.loads(read_file(path, _MOST_ABOUT))
    except FileNotFoundError:
        return {"format": FORMAT, "device": ""}
    except OSError as error:
        raise trouble(error, "read", path) from error
    except (ValueError, RecursionError):
        about = None
    if not isinstance(about, dict) or not isinstance(about.get("format"), int):
        raise ShedbookError(
            Problem(
                f"{clean(str(path))} cannot be read; put it back from a backup or delete it, the logs do not need it.",
                code="damaged",
            )
        )
    if about["format"] > FORMAT:
        raise ShedbookError(
            Problem(
                f"This book is of format {str(about['format'])[:12]} and this shedbook reads up to {FORMAT}; "
                "install the newer shedbook on this machine.",
                code="newer",
            )
        )
    device = about.get("device")
    return {"format": about["format"], "device": device if isinstance(device, str) else ""}


def log_sizes(logs: Path | str) -> dict[str, int]:
    """Every log's file name in folder `logs` and its size in bytes, in the order they are read: machines' own
    logs, then merged ones.
    """
    found: list[tuple[bool, str, int]] = []
    try:
        with os.scandir(logs) as listing:
            for item in listing:
                name = item.name
                if (
                    name.endswith(LOG_END)
                    and not name.startswith(".")
                    and item.is_file(follow_symlinks=False)
                ):
                    found.append((name.endswith(MERGED_END), name, item.stat(follow_symlinks=False).st_size))
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise trouble(error, "read", logs) from error
    return {name: size for _, name, size in sorted(found)}
