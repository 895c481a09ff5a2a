"""What is long past on the morning page: told in one line that asks to clear it, so that it holds the place of nothing
that can still be saved."""

from __future__ import annotations

from collections.abc import Sequence

from core.asks import Asked

LONG_PAST_DAYS = 28
"""Days after which what is late, or past all use, is no more told by itself (ours)."""
CLEAR = "long past, lost, sold or cancelled?"
"""What is asked of it."""


def long_past(asked: Asked, days: float) -> Asked:
    """What is asked; among what is told in one line where it is late, or past use, since so many days."""
    return asked._replace(zone="also", kin=CLEAR) if days > LONG_PAST_DAYS else asked


def in_one_line(asked: Sequence[Asked]) -> list[Asked]:
    """The same with all that is long past as one, which stands last."""
    past = [one for one in asked if one.kin == CLEAR]
    rest = [one for one in asked if one.kin != CLEAR]
    codes = " ".join(dict.fromkeys(one.code for one in past))
    return [*rest, Asked((), None, codes, CLEAR, kin=CLEAR)] if past else rest
