"""The days of forced bulbs, for the calendar: when they come out of the cold, and when they flower."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.text import named
from core.tubers.rows import forcing_rows
from core.tubers.stock import Tubers


def _forcing(sight: Sight) -> Iterator[Dated]:
    for stock in sight.farm.part(Tubers).all():
        for row in forcing_rows(sight.farm, stock):
            called = f"{row.bulbs} {named(row.crop, row.variety)}"
            if row.chilled_by is not None:
                key = (row.entry, "chilled")
                yield Dated(
                    key, row.chilled_by, row.chilled_by, f"bring {called} out of the cold", row.because
                )
            if row.flowers_from is not None and row.flowers_to is not None:
                key = (row.entry, "flowers")
                yield Dated(key, row.flowers_from, row.flowers_to, f"cut forced {called}", row.because)


EVENTS = {"forcing": _forcing}
