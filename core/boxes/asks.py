"""What the boxes ask of the morning: a look, or what was found in them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import PageLine, Part, Sight
from core.boxes.kinds import ASKS, BoxRow, box_rows

BOX_WORDS = {
    "treat": "moth, not treated yet",
    "dry": "damp, hang it again",
    "close": "mice",
    "look": "look for moth and damp",
}


BOX_SHORT = {"dry": "damp", "close": "mice", "look": "look"}
"""The same where something more pressing stands before it."""


BOXES_NAMED = 4
"""Boxes named in one line of the page; the rest are counted."""


def _asking(sight: Sight) -> tuple[BoxRow, ...]:
    """Those that ask for a look or for more, the most pressing first."""
    asking = (row for row in box_rows(sight.farm, sight.day) if row.ask)
    return tuple(sorted(asking, key=lambda row: list(ASKS).index(row.ask)))


def _lines(rows: Sequence[BoxRow]) -> Iterator[PageLine]:
    """All in one line, which leads to the most pressing."""
    if rows:
        yield PageLine("item", f"Boxes ({len(rows)})  {_told(rows)}", ("box", rows[0].box), rows[0])


def _told(rows: Sequence[BoxRow]) -> str:
    """ "box 4: moth, not treated yet; 12 more: look"; what is most pressing in full, and its first box is led to."""
    parts: list[str] = []
    for ask, word in BOX_WORDS.items():
        names = [row.box for row in rows if row.ask == ask]
        if names and not parts:
            more = f" and {len(names) - BOXES_NAMED} more" if len(names) > BOXES_NAMED else ""
            parts.append(f"{', '.join(names[:BOXES_NAMED])}{more}: {word}")
        elif names:
            parts.append(f"{names[0] if len(names) == 1 else f'{len(names)} more'}: {BOX_SHORT[ask]}")
    return "; ".join(parts)


PARTS = (Part("boxes", "Boxes", 60, _asking, _lines, is_headed=False),)
