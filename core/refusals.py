"""Refusals that many kinds of entry share."""

from __future__ import annotations

from core.book.entry import Draft
from core.problems import Problem
from core.text import clean, nearest
from core.units import dated_text


def unknown(what: str, name: str, known: list[str]) -> Problem:
    """`name` is no `what` of this farm; the nearest that are."""
    near = nearest(name, known) or tuple(known[-3:])
    hint = f" There is {', '.join(near)}." if near else ""
    return Problem(f"There is no {what} {clean(name)}.{hint}", "unknown", near)


def too_early(what: str, name: str, began: str, draft: Draft) -> Problem | None:
    """A problem where the draft is dated before the day its subject began."""
    if draft.on < began:
        return Problem(
            f"{what} {name} began on {dated_text(began)}: an entry about it cannot be dated {dated_text(draft.on)}.",
            "impossible",
        )
    return None


def check_some(draft: Draft) -> Problem | None:
    """A problem where nothing was lost."""
    return Problem("A loss is at least one.", "impossible") if draft.fields["count"] < 1 else None
