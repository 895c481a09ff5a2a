"""What bulbs in the cold ask: to be brought out once they are chilled, and to be cut when they flower."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from core.asks import Asked, Part, Sight, late_text
from core.long_past import long_past
from core.text import named
from core.tubers.forcing import CUT_DAYS
from core.tubers.rows import ColdRow, forcing_rows
from core.tubers.stock import Tubers
from core.units import short_day


def _due(sight: Sight) -> tuple[ColdRow, ...]:
    day = sight.day
    every = (row for stock in sight.farm.part(Tubers).all() for row in forcing_rows(sight.farm, stock))
    return tuple(
        row._replace(due_in_days=(_day(due) - day).days)
        for row in every
        if (due := row.chilled_by if row.out_on is None else row.flowers_to) is not None
        and (_is_chilled if row.out_on is None else _is_in_flower)(row, day)
    )


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
        days = row.due_in_days or 0
        called, word = named(row.crop, row.variety), row.roots
        told = Asked(
            ("tuber", row.crop, row.variety or ""),
            row,
            f"{row.bulbs} {called}",
            "look at forced",
            days=float(days),
            zone="spoils",
        )
        if row.out_on is None:
            why = f"{late_text(days)}; write: force {called} {word} out; in the cold since "
            why += f"{short_day(_day(row.since))}: {row.because}"
            yield long_past(told._replace(do="bring out of the cold", when=why), -days)
        else:
            why = f"out of the cold since {short_day(_day(row.out_on))}: {row.because}"
            write = f"; then write: {row.to_cut} {called} forced fresh, or: clear {called} forced {word}"
            yield told._replace(code=f"{row.to_cut} {called}", when=f"{why}{write}")


PARTS = (Part("forcing", "Forcing", 77, _due, _asked),)
