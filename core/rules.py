"""The shape of a rule: how one kind of entry is checked before it is written and applied when it is folded."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.problems import Problem
from core.text import clean, nearest

Check = Callable[[Farm, Draft], Problem | None]
Apply = Callable[[Farm, Entry], None]


def always(_farm: Farm, _draft: Draft) -> Problem | None:
    """Nothing about the farm can make this entry impossible."""
    return None


class Rule(NamedTuple):
    """`check` says why a draft cannot be so on this farm; `apply` takes a written entry into the farm.

    `apply` never refuses: what does not add up (two machines sold the same bunch) becomes a matter to settle.
    """

    apply: Apply
    check: Check = always


def unknown(what: str, name: str, known: list[str]) -> Problem:
    """`name` is no `what` of this farm; the nearest that are."""
    near = nearest(name, known) or tuple(known[-3:])
    hint = f" There is {', '.join(near)}." if near else ""
    return Problem(f"There is no {what} {clean(name)}.{hint}", "unknown", near)


def too_early(what: str, name: str, began: str, draft: Draft) -> Problem | None:
    """A problem where the draft is dated before the day its subject began."""
    if draft.on < began:
        return Problem(
            f"{what} {name} began on {began}: an entry about it cannot be dated {draft.on}.", "impossible"
        )
    return None
