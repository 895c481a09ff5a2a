"""The farm's own thermometer, as its entries tell it, and as a record beside the station's."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from core.amend import AMENDING, counting
from core.book.entry import Entry
from core.reckon.climate.own_ground import own_record
from core.reckon.climate.record import MISSING, Record, record_of


def own_readings(entries: Iterable[Entry], latitude: float | None = None) -> Record | None:
    """All lows and highs ever written that count, the last of each day; None where there is no low."""
    told = counting(e for e in entries if e.kind in ("low", "high") or e.kind in AMENDING)
    values: dict[str, dict[date, float]] = {"low": {}, "high": {}}
    for entry in sorted(told, key=lambda e: e.key):
        if isinstance(entry.fields.get("f"), int | float):
            values[entry.kind][date.fromisoformat(entry.on)] = entry.fields["f"]
    return own_record(values["low"], values["high"], latitude)


def laid_over(station: Record, own: Record | None) -> Record:
    """The station's days with her own in place of them where she has both low and high."""
    if own is None:
        return station
    lows, highs = (
        {day: value for day, value in enumerate(values, station.start) if value != MISSING}
        for values in (station.lows, station.highs)
    )
    for day in range(own.start, own.end):
        low, high = own.low(day), own.high(day)
        if low is not None and high is not None and low <= high:
            lows[day], highs[day] = low, high
    return record_of(lows, highs, station=station.station, latitude=station.latitude)
