"""What is wrong with the lines of a file, gathered into one sentence."""

from __future__ import annotations

from dataclasses import dataclass, field

from core.problems import Problem
from core.text import clean

LISTED = 3
"""How many faults are told one by one; the rest are counted."""

_LONGEST_WORD = 24


@dataclass(slots=True)
class Faults:
    """The faults found so far, of a file called `name`."""

    name: str
    first: list[str] = field(default_factory=list)
    count: int = 0
    _last: tuple[int, str] = (0, "")

    def add(self, line: int, what: str) -> None:
        """One fault: `what` is wrong on `line` (from 1); told once, though it be found in two cells."""
        if (line, what) == self._last:
            return
        self._last = line, what
        self.count += 1
        if len(self.first) < LISTED:
            self.first.append(f"line {line}: {what}")

    def problem(self) -> Problem | None:
        """The faults of the file in one sentence, the first of them in full; None where the file is sound."""
        if not self.count:
            return None
        more = self.count - len(self.first)
        told = "; ".join(self.first) + (f"; and {more} more" if more else "")
        return Problem(
            f"{clean(self.name)} was not read, correct it and try again: {told}.",
            "unreadable",
        )


def short(word: str) -> str:
    """A cell of a stranger's file, clean and short enough to be shown."""
    word = clean(word.strip())
    return f"'{word[:_LONGEST_WORD]}...'" if len(word) > _LONGEST_WORD else f"'{word}'"
