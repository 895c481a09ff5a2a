"""Long lines of a printed page folded to 78 columns, each under its own indent."""

from __future__ import annotations

from collections.abc import Iterable

WIDTH = 78


def wrapped(lines: Iterable[str]) -> list[str]:
    """The lines, none wider than `WIDTH`; what goes on is indented by two more."""
    from textwrap import wrap

    done: list[str] = []
    for line in lines:
        if len(line) <= WIDTH:
            done.append(line)
            continue
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        done += wrap(line, WIDTH, subsequent_indent=indent)
    return done
