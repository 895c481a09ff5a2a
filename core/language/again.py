"""Numbers that look like a slip are asked about once more; she is taken at her word where she says "anyway"."""

from __future__ import annotations

from collections.abc import Iterable

from core.book.entry import Draft
from core.language.line import Line, Refused
from core.subject import kind_of

ANYWAY = "Add 'anyway' if it is so."
_ABOUT = ("lot", "tray", "planting", "piece", "bed", "making")
"""The fields that say what an entry is about, the nearest first."""


def asked(line: Line, why: str, about: str) -> list[Draft]:
    """Nothing where there is no reason to ask; where there is, what is kept of it where she insists, else refused."""
    if not why:
        return []
    if not line.insists:
        raise Refused(f"{why}. {ANYWAY}", "impossible", ("anyway",))
    return [line.draft("note", about=about or None, text=f"anyway: {why}")]


def asked_again(line: Line, drafts: Iterable[Draft]) -> list[Draft]:
    """What has to be kept with these drafts: why she was asked, where she insists; refused where she does not."""
    notes = []
    for draft in drafts:
        kind = kind_of(draft.kind, draft.fields)
        why = kind.slip(line.farm, draft) if kind is not None else None
        if why is None:
            continue
        notes += asked(line, why, next((draft.fields[name] for name in _ABOUT if name in draft.fields), ""))
    return notes
