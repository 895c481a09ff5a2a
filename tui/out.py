"""Everything the command line prints: safe for any terminal, JSON where asked, refusals on standard error."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from math import isfinite
from pathlib import Path
from typing import Any

from core.problems import Problem
from core.text import clean

DONE, REFUSED, USAGE = 0, 1, 2
"""Exit statuses."""


def ready() -> None:
    """Let no letter of a name stop a printout on an old terminal."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def lines(texts: Iterable[str]) -> None:
    """Print lines, cleaned of anything a terminal would obey."""
    for text in texts:
        print(clean(text))


def as_json(value: Any) -> None:
    """Print one JSON value on one line, letters other than ASCII escaped; values with named fields become objects."""
    import json

    print(json.dumps(_plain(value)))


def rows(values: Iterable[Any], **more: Any) -> None:
    """Print {"rows": [...]}: how every list looks as JSON."""
    as_json({"rows": list(values), **more})


def csv(heads: Sequence[str], cells: Iterable[Sequence[object]]) -> None:
    """Print a table for a spreadsheet (RFC 4180)."""
    from core.exports.csv import csv_text

    sys.stdout.write(csv_text(heads, cells))


def _plain(value: Any) -> Any:
    """As dicts, lists, text and numbers."""
    names = getattr(value, "_fields", None) or getattr(value, "__dataclass_fields__", None)
    if names:
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
    print(clean(problem.sentence), file=sys.stderr)
    return REFUSED


def progress(what: str = "the book") -> Callable[[float], None] | None:
    """Shows on a terminal how far a long reading of `what` has come, from the second second on; nothing elsewhere."""
    if sys.stderr is None or not sys.stderr.isatty():
        return None
    from time import monotonic

    begun = monotonic()
    shown = False

    def show(share: float) -> None:
        nonlocal shown
        if share < 1 and monotonic() - begun > 1:
            print(f"\rreading {what} [{'#' * round(20 * share):20}]", end="", file=sys.stderr, flush=True)
            shown = True
        elif share >= 1 and shown:
            print("\r" + " " * (32 + len(what)) + "\r", end="", file=sys.stderr, flush=True)

    return show


def reading(progress: Callable[[float], None] | None) -> Callable[[int, int], None] | None:
    """The same for a reader that tells bytes done and bytes in all."""
    return None if progress is None else lambda done, size: progress(done / max(size, 1))


def pipe_closed() -> int:
    """The reader of our output has gone: leave without a word."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return REFUSED


def unexpected(error: Exception) -> int:
    """Keep the traceback for whoever mends it, and say so in one sentence."""
    from core import error_log  # loaded only where something went wrong

    print(error_log.sentence(error, error_log.keep(error)), file=sys.stderr)
    return REFUSED
