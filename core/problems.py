"""What went wrong, as a value she can act on: mistakes are answers, not exceptions."""

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias


class Problem(NamedTuple):
    """One thing that is wrong, in one sentence that says what to do.

    `sentence` is clean text, ready for a screen. `nearest` lists what would do instead, best first.
    `entry` is the id of the entry at fault when the problem was found in the book, not at the field.
    `key` tells a matter to settle from all others, whatever its sentence says: its sort, the things it is about and,
    where one entry is at fault, that entry's id; `amount` is by how much it does not add up, 0 where that is no number.
    `code` is a short stable word for scripts: "unknown", "ambiguous", "impossible", "unreadable", "disk",
    "newer", "settle" (two sides of a merge disagree), "damaged", "fault" (of the program itself: see `core.guard`).
    """

    sentence: str
    code: str = "unreadable"
    nearest: tuple[str, ...] = ()
    entry: str | None = None
    key: tuple[str, ...] = ()
    amount: float = 0

    def __str__(self) -> str:
        return self.sentence


Matter: TypeAlias = Problem
"""What does not add up in the book and wants settling: a problem with a `key`."""


def newly_open(before: Iterable[Matter], after: Iterable[Matter]) -> list[Matter]:
    """The matters of `after` that `before` had not: what is open already may grow while it is settled."""
    had = {matter.key for matter in before}
    return [matter for matter in after if matter.key not in had]


def raised(before: Iterable[Matter], after: Iterable[Matter]) -> list[Matter]:
    """The matters of `after` that `before` had not, or had by less."""
    had = {matter.key: matter.amount for matter in before}
    return [matter for matter in after if matter.key not in had or matter.amount > had[matter.key]]


class ShedbookError(Exception):
    """Trouble that stops a command (disk, lock, a book from a newer version); carries a `Problem`."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem
