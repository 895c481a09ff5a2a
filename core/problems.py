"""What went wrong, as a value she can act on: mistakes are answers, not exceptions."""

from __future__ import annotations

from typing import NamedTuple


class Problem(NamedTuple):
    """One thing that is wrong, in one sentence that says what to do.

    `sentence` is clean text, ready for a screen. `nearest` lists what would do instead, best first.
    `entry` is the id of the entry at fault when the problem was found in the book, not at the field.
    `code` is a short stable word for scripts: "unknown", "ambiguous", "impossible", "unreadable", "disk",
    "newer", "settle" (two sides of a merge disagree), "damaged", "fault" (of the program itself: see `core.guard`).
    """

    sentence: str
    code: str = "unreadable"
    nearest: tuple[str, ...] = ()
    entry: str | None = None

    def __str__(self) -> str:
        return self.sentence


class ShedbookError(Exception):
    """Trouble that stops a command (disk, lock, a book from a newer version); carries a `Problem`."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem
