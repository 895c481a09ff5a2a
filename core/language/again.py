"""Numbers that look like a slip are asked about once more; she is taken at her word where she says "anyway"."""

from __future__ import annotations

from collections.abc import Iterable

from core.book.entry import Draft
from core.language.line import Line, Refused
from core.subject import kind_of

ANYWAY = "Add 'anyway' if it is so."
_ABOUT = ("lot", "tray", "planting", "piece", "bed", "making")
"""The fields that say what an entry is about, the nearest first."""


def asked_again(line: Line, drafts: Iterable[Draft]) -> list[Draft]:
    """What has to be kept with these drafts: why she was asked, where she insists; refused where she does not."""
    notes = []
    for draft in drafts:
        kind = kind_of(draft.kind, draft.fields)
        why = kind.slip(line.farm, draft) if kind is not None else None
        if why is None:
            continue
        if not line.insists:
            raise Refused(f"{why}. {ANYWAY}", "impossible", ("anyway",))
        about = next((draft.fields[name] for name in _ABOUT if name in draft.fields), None)
        notes.append(line.draft("note", about=about, text=f"anyway: {why}"))
    return notes
