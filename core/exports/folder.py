"""A folder of files that this program makes and makes anew: whatever else lies there, or was changed there, stays.

A note in the folder holds what each file was when it was written, by its SHA-256. A file that is not there, or is as
the note has it, is ours to write; any other is hers, and then nothing at all is written.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from core.book import disk
from core.book.layout import is_farm
from core.outgoing import replace_for_others, told, trouble
from core.problems import Problem, ShedbookError

NOTE = ".made-by-shedbook.json"
_MOST_NOTE = 1 << 20
_NAMES_TOLD = 3


class Put(NamedTuple):
    """What became of the folder: files written, those that were as they are to be, and older ones taken away."""

    written: tuple[str, ...]
    same: tuple[str, ...]
    removed: tuple[str, ...]


def put(folder: Path, files: Mapping[str, bytes]) -> Put | Problem:
    """Make the files in `folder`, each whole or not at all, and take away those of earlier times that are no more.

    A Problem where one that is not ours lies in the way, or the folder is a farm; nothing is written then. Raises
    ShedbookError for trouble with the disk.
    """
    if is_farm(folder):
        return Problem(f"{told(folder)} is a farm's own folder: name another, such as {told(folder)}-out.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        ours = _read_note(folder)
        there = {name: _sum_of(folder / name) for name in (*files, *ours)}
    except OSError as error:
        raise trouble(error, folder) from error
    hers = [name for name in files if there[name] is not None and there[name] not in ours.get(name, ())]
    if hers:
        return _in_the_way(folder, hers)
    sums = {name: sha256(data).hexdigest() for name, data in files.items()}
    changed = [name for name in files if there[name] != sums[name]]
    gone = [name for name in ours if name not in files and there[name] in ours[name]]
    try:
        if changed or gone:  # the note comes first: what it names may be there, old or new
            _write_note(
                folder, {name: [*ours.get(name, ()), sums[name]] for name in files} | _kept(ours, gone)
            )
        for name in changed:
            replace_for_others(folder / name, files[name])
        for name in gone:
            with suppress(FileNotFoundError):
                (folder / name).unlink()
        if changed or gone:
            _write_note(folder, {name: [one] for name, one in sums.items()})
    except OSError as error:
        raise trouble(error, folder) from error
    return Put(tuple(changed), tuple(name for name in files if name not in changed), tuple(gone))


def _kept(ours: Mapping[str, list[str]], names: list[str]) -> dict[str, list[str]]:
    return {name: ours[name] for name in names}


def _in_the_way(folder: Path, hers: list[str]) -> Problem:
    names = ", ".join(hers[:_NAMES_TOLD]) + (
        f" and {len(hers) - _NAMES_TOLD} more" if hers[_NAMES_TOLD:] else ""
    )
    was = "is not as shedbook left it" if len(hers) == 1 else "are not as shedbook left them"
    return Problem(
        f"In {told(folder)} {names} {was}: move that away, or name another folder. Nothing was written.",
        "impossible",
        tuple(hers),
    )


def _sum_of(path: Path) -> str | None:
    """The SHA-256 of a file; None where there is none, "" for what is no plain file."""
    try:
        return sha256(disk.read_file(path, disk.LARGEST)).hexdigest()
    except FileNotFoundError:
        return None
    except OSError as error:
        if isinstance(error, disk.UnfitFileError) or path.is_symlink() or path.is_dir():
            return ""
        raise


def _read_note(folder: Path) -> dict[str, list[str]]:
    """File -> the sums that are ours; none where the note cannot be read, for then nothing is known to be ours."""
    try:
        note = json.loads(disk.read_file(folder / NOTE, _MOST_NOTE))
        files = note["files"]
        return {str(name): [str(one) for one in sums] for name, sums in files.items() if _is_name(str(name))}
    except FileNotFoundError:
        return {}
    except disk.UnfitFileError as error:
        raise ShedbookError(Problem(f"{told(folder / NOTE)} {error.strerror}.", "disk")) from error
    except (ValueError, KeyError, TypeError, AttributeError):
        return {}


def _is_name(name: str) -> bool:
    """Whether it names a file of the folder itself."""
    return name not in ("", ".", "..", NOTE) and "/" not in name and "\0" not in name


def _write_note(folder: Path, sums: Mapping[str, list[str]]) -> None:
    text = json.dumps({"files": sums}, indent=1, sort_keys=True)
    disk.replace_file(folder / NOTE, [text.encode() + b"\n"], ours=False)
