"""The days of the boxes, for the calendar: when to look into each again."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.boxes.kinds import box_rows
from core.dated import Dated


def _looks(sight: Sight) -> Iterator[Dated]:
    for row in box_rows(sight.farm, sight.day):
        if row.next_check:
            says = f"look into {row.box}: {', '.join(row.crops)}"
            yield Dated((row.box,), row.next_check, row.next_check, says, row.because)


EVENTS = {"boxes": _looks}
