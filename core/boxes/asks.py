"""What the boxes ask of the morning: a look, or what was found in them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Asked, Part, Sight
from core.boxes.kinds import ASKS, BoxRow, box_rows

BOX_WORDS = {
    "treat": "moth or beetles: treat",
    "dry": "damp, hang it again",
    "close": "mice, count what is left",
    "take out": "take out of the freezer",
    "look": "look for moth and damp",
}
"""What a box asks for, in the words that every page uses."""
PRESSING = ("treat", "dry", "close")


def _asking(sight: Sight) -> tuple[BoxRow, ...]:
    """Those that ask for a look or for more, the most pressing first."""
    asking = (row for row in box_rows(sight.farm, sight.day) if row.ask)
    return tuple(sorted(asking, key=lambda row: list(ASKS).index(row.ask)))


def _asked(rows: Sequence[BoxRow]) -> Iterator[Asked]:
    for row in rows:
        told = Asked(("box", row.box), row, row.box, BOX_WORDS[row.ask], ", ".join(row.crops))
        if row.ask in PRESSING:
            yield told._replace(amount=f"{row.stems}", place="box", zone="spoils")
        else:
            yield told


PARTS = (Part("boxes", "Boxes", 60, _asking, _asked),)
