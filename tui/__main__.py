"""The command shedbook, and python -m tui, which is the same."""

from __future__ import annotations

import io
import os
import sys

from core.told_again import page_for

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import NoReturn


def program() -> NoReturn:
    """Run one command and end at once: all is written, closed and printed by then, and taking apart the values of a
    big book one by one would only keep her waiting."""
    status = _told_again() if sys.stdout and sys.stderr else None
    if status is None:
        from tui.begun import begin  # no printed page takes the terminal

        begun = begin(sys.argv[1:])
        from tui.cli import main  # with it comes what takes longer than to tell a page again

        try:
            status = main(begun=begun)
        finally:
            if begun is not None:
                begun.give_back()
    for stream in (sys.stdout, sys.stderr):
        try:  # noqa: SIM105  # what suppresses takes longer to load than a page to tell again
            stream.flush()
        except (OSError, ValueError, AttributeError):
            pass
    os._exit(status)


def _told_again() -> int | None:
    """The exit status where all that is asked for is a page that was printed before and holds."""
    page = page_for(sys.argv[1:])
    if page is None:
        return None
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
    try:
        sys.stdout.write(page)
        sys.stdout.flush()
    except OSError as reason:
        from tui import out  # only where it could not be printed

        return out.unprinted(out.lost(reason))
    return 0


if __name__ == "__main__":
    program()
