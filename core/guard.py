"""A fault of ours in one subject is told in its place, and all other subjects go on.

She cannot do anything about a fault, and her morning must not wait for whoever mends it: so the page, the screen and
the lines she writes run what reckons one subject under a guard. What was caught is kept in `core.error_log`.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import TypeVar

from core.problems import Problem, ShedbookError

T = TypeVar("T")

FAULTS = "SHEDBOOK_FAULTS"
"""Where this is "raise" in the environment, no guard catches anything: so the tests run, or a fault would hide."""


class Guard:
    """Reckons subjects of a farm; one that is off guards nothing, and faults are raised."""

    def __init__(self, *, is_on: bool = True) -> None:
        self._is_on = is_on
        self.has_caught = False
        """Whether anything failed so far."""

    def __call__(self, subject: str, reckon: Callable[[], T], instead: Callable[[Problem], T]) -> T:
        """The result of `reckon`; where it fails, the result of `instead`, which is given a sentence that says so.

        `subject` begins the sentence: "Trays" could not be reckoned. Trouble with the disk is told as such.
        """
        try:
            return reckon()
        except ShedbookError as trouble:
            if not self._is_on:
                raise
            self.has_caught = True
            return instead(Problem(f"{subject} could not be read: {trouble.problem.sentence}", "disk"))
        except Exception as fault:
            if not self._is_on or raises():
                raise
            self.has_caught = True
            from core.error_log import NAME, keep  # loaded only where something failed

            where = (
                f"see {NAME}" if keep(fault) else f"no disk took what is known of it ({type(fault).__name__})"
            )
            return instead(Problem(f"{subject} could not be reckoned: {where}.", "fault"))


UNGUARDED = Guard(is_on=False)


def raises() -> bool:
    """Whether faults are to end the program, so that a test fails on them."""
    return os.environ.get(FAULTS) == "raise"
