"""Copies the ready-made demo farm out of the installed program, which may be read-only or zipped."""

from __future__ import annotations

import os
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from demo_farm.plan import DEMO_DAY

__all__ = ["DEMO_DAY", "copy_to"]

FILE_MODE, FOLDER_MODE = 0o600, 0o700


def copy_to(folder: Path) -> None:
    """The ready-made farm in `folder`, which must be new or empty.

    Only the record and the station's weather are copied: the snapshot and the cached fold are made from it at
    the first opening.
    Raises OSError where the disk refuses, FileExistsError where a file of the farm is there already.
    """
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(FOLDER_MODE)
    _copy(files("demo_farm").joinpath("farm"), folder)


def _copy(source: Traversable, folder: Path) -> None:
    for item in sorted(source.iterdir(), key=lambda item: item.name):
        target = folder / item.name
        if item.is_dir():
            target.mkdir(FOLDER_MODE)
            _copy(item, target)
        else:
            _write(target, item.read_bytes())


def _write(path: Path, data: bytes) -> None:
    """A new file that only its owner can read, whatever the modes of the copy it came from."""
    fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, FILE_MODE)
    with os.fdopen(fd, "wb") as file:
        file.write(data)
