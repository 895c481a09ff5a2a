"""Everything the command line prints: safe for any terminal, JSON where asked, refusals on standard error."""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import date
from math import isfinite
from pathlib import Path
from time import monotonic
from typing import Any, TextIO, TypeVar

from core.dialect import in_words
from core.problems import Problem, ShedbookError
from core.text import clean

T = TypeVar("T")

DONE, REFUSED, USAGE = 0, 1, 2
"""Exit statuses."""


_lost: list[OSError] = []
"""Why standard output takes no more; empty while it does."""


class Unprinted(Exception):  # noqa: N818  # what happened to the output, not a fault of ours
    """Standard output takes no more: `reason` says why."""

    def __init__(self, reason: OSError) -> None:
        super().__init__(str(reason))
        self.reason = reason


def ready() -> None:
    """Let nothing that is odd about the streams stop a command: a closed one, or an old terminal's few letters."""
    _lost.clear()
    for fd in range(3):  # else the first log that is opened gets the number, and what is printed
        try:
            os.fstat(fd)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    if sys.stdout is None:  # closed by whoever started this
        sys.stdout = _nowhere()
        _lost.append(OSError(errno.EBADF, "it is closed"))
    if sys.stderr is None:
        sys.stderr = _nowhere()
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _nowhere() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")


@contextmanager
def printing() -> Iterator[None]:
    """Within it standard output may be written to; raises Unprinted, at once where it took no more before."""
    if _lost:
        raise Unprinted(_lost[0])
    try:
        yield
    except OSError as reason:
        raise lost(reason) from reason


def lost(reason: OSError) -> Unprinted:
    """Standard output takes no more from now on."""
    _lost.append(reason)
    with suppress(OSError, ValueError):  # what is left in the buffer is not tried again at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return Unprinted(reason)


def text(whole: str) -> None:
    """Print text as it is: the program's own."""
    if _lost:
        raise Unprinted(_lost[0])
    try:  # not `printing`, which takes longer than to print a line
        sys.stdout.write(whole)
    except OSError as reason:
        raise lost(reason) from reason


def flush() -> None:
    """Everything printed so far is taken, or Unprinted is raised."""
    if not _lost:
        with printing():
            sys.stdout.flush()


def error(sentence: str) -> None:
    """Say a sentence on standard error, where anybody hears it."""
    with suppress(OSError, ValueError):
        print(in_words(clean(sentence)), file=sys.stderr, flush=True)


def tell_done(done: str, tell: Callable[[], None]) -> int:
    """`tell` what is done and on the disk; where that cannot be printed, `done` says it on standard error. DONE."""
    try:
        tell()
        flush()
    except Unprinted as lost:
        error(f"{done} It could not be printed: {_why(lost.reason)}.")
    return DONE


def unprinted(lost: Unprinted) -> int:
    """Say that the answer could not be printed; a reader who had enough, as head has, is no trouble."""
    if lost.reason.errno == errno.EPIPE:
        return DONE
    error(f"The answer could not be printed: {_why(lost.reason)}.")
    return REFUSED


def _why(reason: OSError) -> str:
    known = {errno.ENOSPC: "there is no room left where standard output goes"}
    known |= {errno.EBADF: "standard output is closed", errno.EPIPE: "whoever read it has gone"}
    return known.get(reason.errno or 0, f"standard output: {reason.strerror or reason}")


def lines(texts: Iterable[str]) -> None:
    """Print lines, as `told`."""
    text(told(texts))


def told(texts: Iterable[str]) -> str:
    """Lines in the farm's words, cleaned of anything a terminal would obey."""
    return "".join([f"{in_words(clean(line))}\n" for line in texts])


def as_json(value: Any) -> None:
    """Print one JSON value on one line, letters other than ASCII escaped; values with named fields become objects."""
    text(f"{json.dumps(_plain(value))}\n")


def rows(values: Iterable[Any], **more: Any) -> None:
    """Print {"rows": [...]}: how every list looks as JSON."""
    as_json({"rows": list(values), **more})


def _plain(value: Any) -> Any:
    """As dicts, lists, text and numbers."""
    if names := getattr(value, "_fields", None) or getattr(value, "__dataclass_fields__", None):
        return {name: _plain(getattr(value, name)) for name in names}
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, float) and not isfinite(value):
        return None  # a log no shedbook wrote may hold "NaN", which JSON does not know
    return value.isoformat() if isinstance(value, date) else value


def refuse(problem: Problem) -> int:
    """Say in one sentence why nothing was done; exit status 1."""
    error(problem.sentence)
    return REFUSED


def good(found: T | Problem) -> T:
    """What was found; where it is a Problem, the command ends with its sentence, and exit status 1."""
    if isinstance(found, Problem):
        raise ShedbookError(found)
    return found


def progress(what: str = "reading the book") -> Callable[[float], None] | None:
    """Shows on a terminal how far something that takes long has come, from the second second on; nothing elsewhere."""
    if sys.stderr is None or not sys.stderr.isatty():
        return None
    begun = monotonic()
    shown = False

    def show(share: float) -> None:
        nonlocal shown
        if share < 1 and monotonic() - begun > 1:
            print(f"\r{what} [{'#' * round(20 * share):20}]", end="", file=sys.stderr, flush=True)
            shown = True
        elif share >= 1 and shown:
            print("\r" + " " * (24 + len(what)) + "\r", end="", file=sys.stderr, flush=True)

    return show


def reading(progress: Callable[[float], None] | None) -> Callable[[int, int], None] | None:
    """The same for a reader that tells bytes done and bytes in all."""
    return None if progress is None else lambda done, size: progress(done / max(size, 1))


def unexpected(fault: Exception) -> int:
    """Keep the trace for whoever mends it, and say so in one sentence."""
    from core import error_log  # loaded only where something went wrong

    error(error_log.sentence(fault, error_log.keep(fault)))
    return REFUSED


def is_terminal() -> bool:
    """Whether somebody sits there who can be asked and answer."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))
