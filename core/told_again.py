"""The morning page as it was printed last, printed again before anything else is loaded, while all it hangs on is the
same: what was asked and where, the program, the machine, every file of the book, the day, and the minute where the page
hangs on the time of day.

One page is kept in each `fold/told-CRC.page`, with all that it hangs on in plain text; where any of that differs, or
the file is damaged, the page is reckoned as ever. Nothing is imported here that Python has not loaded by itself, or
that takes longer than the rest of this module.
"""

from __future__ import annotations

import fcntl
import os
import stat
import sys
import time
import zlib

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

TODAY = "today"
SCREEN = "the screen"
"""Stands with the words of the command line for what a start of the screen shows first."""
DRAWS = "HJKCm"
"""How what moves, clears and changes looks may end (ECMA-48); nothing else that a terminal obeys is in a frame."""
FOLDER, BEGIN, END = "fold", "told-", ".page"
LARGEST_BYTES = 1_000_000
TAIL_BYTES = 512
"""Bytes at the end of each file of the book that are looked at, beside its size and its times."""
NAMES = ("HOME", "TZ", "LANG", "LANGUAGE", "COLUMNS", "LINES", "TERM", "NO_COLOR", "PYTHONTZPATH")
BEGINNINGS = ("SHEDBOOK_", "LC_")
"""What a page may hang on of the environment, by whole names and by their beginnings."""
OF_MACHINE = (
    "/etc/machine-id",
    "/var/lib/dbus/machine-id",
    "/etc/localtime",
    "/usr/share/zoneinfo/tzdata.zi",
)
OF_BOOK = (("", ".json"), ("log", ".log"), ("weather", ""))
"""Where the files of the book lie in the farm's folder, and how their names end."""


def page_for(words: Sequence[str]) -> str | None:
    """The page that these words of the command line ask for, where nothing has changed since it was printed."""
    page = _told(words) if TODAY in words else None
    return page if page is not None and all(line.isprintable() for line in page.split("\n")) else None


def frame_for(words: Sequence[str], columns: int, rows: int, encoding: str) -> str | None:
    """What draws on a clear terminal of that size and encoding what the screen shows first, where nothing has changed
    since."""
    frame = _told(words_of_frame(words, columns, rows, encoding))
    return frame if frame is not None and _only_draws(frame) else None


def words_of_frame(words: Sequence[str], columns: int, rows: int, encoding: str) -> tuple[str, ...]:
    """What is asked for by a start of the screen, so worded and there."""
    return (*words, SCREEN, f"{columns} x {rows}", encoding)


def _only_draws(frame: str) -> bool:
    """Whether there is nothing in it but texts, where they go and how they look."""
    first, *pieces = frame.replace("\r\n", "").split("\x1b[")
    texts = [first]
    for piece in pieces:
        drawn = piece.lstrip("0123456789;")
        if not drawn or drawn[0] not in DRAWS:
            return False
        texts.append(drawn[1:])
    return all(map(str.isprintable, texts))


def _told(words: Sequence[str]) -> str | None:
    """What was kept of these words, where it holds."""
    try:
        farm = folder_for(words)
        path = path_for(farm, words)
        if not path or (kept := _read(path)) is None:
            return None
        times, hung_on, page = kept
        made, until = map(int, times.split())
        if not made <= time.time_ns() < until or hung_on != repr(seen(farm, words)):
            return None
        _try_lock(farm)
    except (OSError, ValueError):
        return None
    return page


def folder_for(words: Sequence[str]) -> str:
    """The farm that the words name, or the environment; "" where neither does. Only whole options are understood."""
    for word, after in zip(words, [*words[1:], ""], strict=True):
        if word == "--farm":
            return after
        if word.startswith("--farm="):
            return word[7:]
    home = os.environ.get("HOME", "")
    return os.environ.get("SHEDBOOK_FARM", "") or (home and f"{home}/shedbook")


# what a page hangs on


def seen(farm: str, words: Sequence[str]) -> dict[str, object]:
    """All that the page hangs on which these words ask for."""
    return {
        "words": tuple(words),
        "environment": _of_environment(),
        "machine": _of_machine(),
        "program": _of_program(),
        "book": book_in(farm),
    }


def _of_environment() -> list[tuple[str, str]]:
    return sorted(
        (name, value) for name, value in os.environ.items() if name in NAMES or name.startswith(BEGINNINGS)
    )


def _of_machine() -> tuple[object, ...]:
    """Whose machine it is, and by which zone it tells the time."""
    files = []
    for name in OF_MACHINE:
        try:
            files.append((name, os.path.realpath(name), _about(os.stat(name))))  # noqa: PTH116
        except OSError:
            files.append((name, "", ()))
    return os.uname().nodename, os.geteuid(), files


def _of_program() -> tuple[object, ...]:
    """Every module and table, and the Python that runs them."""
    above = __file__.removesuffix("/core/told_again.py")
    return sys.version, above, [(room, sorted(_files(f"{above}/{room}"))) for room in ("core", "tui")]


def _files(folder: str) -> Iterator[tuple[str, int, int]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if not entry.is_dir():
                about = entry.stat()
                yield entry.name, about.st_size, about.st_mtime_ns
            elif entry.name != "__pycache__":
                for name, *rest in _files(entry.path):
                    yield f"{entry.name}/{name}", rest[0], rest[1]


def of_book(farm: str) -> list[tuple[str, tuple[int, ...]]]:
    """Every file from which the farm is read, and what tells it from what may stand there another time, the time of its
    last change at the end; nothing of a folder that is not there."""
    found = []
    for room, end in OF_BOOK:
        try:
            with os.scandir(f"{farm}/{room}") as entries:
                found += [
                    (f"{room}/{entry.name}", _about(entry.stat(follow_symlinks=False)))
                    for entry in entries
                    if entry.name.endswith(end)
                ]
        except FileNotFoundError:
            found.append((room, ()))
    return sorted(found)


def book_in(farm: str) -> list[tuple[str, tuple[int, ...], int]]:
    """The same, each with a checksum of its end."""
    return [(name, about, _tail(f"{farm}/{name}", about)) for name, about in of_book(farm)]


def _about(is_now: os.stat_result) -> tuple[int, ...]:
    return (
        is_now.st_mode,
        is_now.st_dev,
        is_now.st_ino,
        is_now.st_size,
        is_now.st_mtime_ns,
        is_now.st_ctime_ns,
    )


def _tail(path: str, about: tuple[int, ...]) -> int:
    """A checksum of the last bytes of a plain file."""
    if not about or not stat.S_ISREG(about[0]):
        return 0
    fd = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    try:
        return zlib.crc32(os.pread(fd, TAIL_BYTES, max(about[3] - TAIL_BYTES, 0)))
    finally:
        os.close(fd)


def _try_lock(farm: str) -> None:
    """Raises OSError where the book could not be written now: that is told beside the page."""
    fd = os.open(f"{farm}/lock", os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    finally:
        os.close(fd)


# the files


def path_for(farm: str, words: Sequence[str]) -> str:
    """Where the page is kept that is asked for so, from here; "" where no farm is named."""
    if not farm:
        return ""
    asked = zlib.crc32(repr((tuple(words), _of_environment(), os.geteuid(), os.uname().nodename)).encode())
    return f"{farm}/{FOLDER}/{BEGIN}{asked:08x}{END}"


def _read(path: str) -> tuple[str, str, str] | None:
    """(until when it holds, what it hangs on, the page), None where that is damaged."""
    fd = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    try:
        is_there = os.fstat(fd)
        if not stat.S_ISREG(is_there.st_mode) or is_there.st_size > LARGEST_BYTES:
            return None
        whole = os.pread(fd, LARGEST_BYTES, 0)
    finally:
        os.close(fd)
    if whole[:8] != b"%08x" % zlib.crc32(whole[8:]):
        return None
    times, hangs_on, page = whole[8:].decode().split("\0")
    return times, hangs_on, page
