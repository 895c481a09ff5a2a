"""What bulbs in the cold ask: to be brought out once they are chilled, and to be cut when they flower."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from core.asks import Asked, Part, Sight
from core.text import named
from core.tubers.forcing import CUT_DAYS
from core.tubers.kinds import Tubers
from core.tubers.rows import ColdRow, forcing_rows
from core.units import short_day


def _due(sight: Sight) -> tuple[ColdRow, ...]:
    day = sight.day
    every = (row for stock in sight.farm.part(Tubers).all() for row in forcing_rows(sight.farm, stock))
    return tuple(row for row in every if (_is_chilled if row.out_on is None else _is_in_flower)(row, day))


def _is_chilled(row: ColdRow, day: date) -> bool:
    return row.chilled_by is not None and row.chilled_by <= day.isoformat()


def _is_in_flower(row: ColdRow, day: date) -> bool:
    if row.flowers_from is None or row.flowers_to is None or not row.to_cut:
        return False
    return (
        row.flowers_from <= day.isoformat() <= (_day(row.flowers_to) + timedelta(days=CUT_DAYS)).isoformat()
    )


def _day(iso: str) -> date:
    return date.fromisoformat(iso)


def _asked(rows: Sequence[ColdRow]) -> Iterator[Asked]:
    for row in rows:
        called = named(row.crop, row.variety)
        about = ("tuber", row.crop, row.variety or "")
        if row.out_on is None:
            why = f"in the cold since {short_day(_day(row.since))}: {row.because}; then write: force {called} bulbs out"
            yield Asked(about, row, f"{row.bulbs} {called}", "bring out of the cold", when=why)
        else:
            why = f"out of the cold since {short_day(_day(row.out_on))}: {row.because}"
            write = f"; then write: {row.to_cut} {called} forced fresh, or: clear {called} forced bulbs"
            yield Asked(about, row, f"{row.to_cut} {called}", "look at forced", when=f"{why}{write}")


PARTS = (Part("forcing", "Forcing", 77, _due, _asked),)
