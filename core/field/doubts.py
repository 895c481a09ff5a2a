"""Whether somebody would work in a bed that a label closes: asked about before it is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.beds.kinds import PLANTING
from core.book.entry import Draft
from core.farm import Farm
from core.field.closed import because, closes, told


def doubts(
    farm: Farm, today: date, drafts: Sequence[Draft], clock: str | None = None
) -> Iterator[tuple[str, str]]:
    """(why, which bed) of the beds among these drafts that are closed then; `clock` is the farm's time now.

    A draft of today without a time is one of now; of another day without one, it counts as closed where any time of
    that day was.
    """
    asked: set[str] = set()
    for draft in drafts:
        is_cut = draft.kind == "cut"
        at = draft.fields.get("clock") or (clock if draft.on == today.isoformat() else None)
        for bed in _beds(farm, draft):
            found = closes(farm, bed, draft.on, at, is_cut=is_cut) if bed not in asked else None
            if found is None:
                continue
            asked.add(bed)
            until, of = found
            hint = "" if at or not is_cut else " If it was before or after that, write the time: at 7:00"
            place = f"Bed {bed}" if bed in farm.beds else bed
            yield f"{place} is closed until {told(until)} ({because(of)}).{hint}".removesuffix("."), bed


def _beds(farm: Farm, draft: Draft) -> tuple[str, ...]:
    """The beds that a draft works in, and its tray."""
    f = draft.fields
    if "beds" in f:
        return tuple(str(f["beds"]).split())
    planting = PLANTING.find(farm, draft) if "planting" in f and "bed" not in f else None
    bed = planting.bed if planting is not None else f.get("bed")
    return tuple(str(place) for place in (bed, f.get("tray")) if place)
