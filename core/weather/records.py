"""The station's record and her own readings as an open book has them: each read once, and again when there is more."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from core.beds.rows import ByWarmth
from core.book.entry import Entry
from core.crops.sheet import Sheet
from core.farm import Farm
from core.plans.succession import Warmth
from core.plans.warmth import scale_of, warmth_of_record
from core.problems import Problem
from core.reckon.climate.heat_units import Scale
from core.reckon.climate.record import Record
from core.weather.own import own_readings
from core.weather.station_file import NONE_YET, load, stamp
from core.weather.warmth import by_warmth


class OpenBook(Protocol):
    """What is asked of the book that is open."""

    @property
    def folder(self) -> Path: ...
    @property
    def farm(self) -> Farm: ...
    def entries(self) -> Sequence[Entry]: ...


class WeatherRecords:
    """What the weather was, by the farm's station and by her own thermometer."""

    def __init__(self, book: OpenBook) -> None:
        self._book = book
        self._station: tuple[tuple[object, ...], Record | Problem] | None = None
        self._own: tuple[int, Record | None] | None = None
        self._warmths: dict[Scale, Warmth | None] = {}

    def station(self) -> Record | Problem:
        """The record of the farm's station, or why there is none."""
        farm = self._book.farm
        if not farm.station:
            return NONE_YET
        # what tells one record of the station from another
        key = farm.station, farm.settings.latitude, stamp(self._book.folder, farm.station)
        if self._station is None or self._station[0] != key:
            self._station = key, load(self._book.folder, farm.station, farm.settings.latitude)
            self._warmths.clear()
        return self._station[1]

    def own(self) -> Record | None:
        """The lows and highs written in the book."""
        farm = self._book.farm
        if self._own is None or self._own[0] != farm.count:
            self._own = farm.count, own_readings(self._book.entries(), farm.settings.latitude)
        return self._own[1]

    def warmth(self, sheet: Sheet) -> Warmth | None:
        """The warmth a crop may expect by the station's record; None where there is none, or too little."""
        record = self.station()
        if isinstance(record, Problem):
            return None
        key = scale_of(sheet)
        if key not in self._warmths:
            self._warmths[key] = warmth_of_record(record, sheet)
        return self._warmths[key]

    def by_warmth(self) -> ByWarmth:
        """How a first cut is reckoned from heat units."""
        return by_warmth(self.station(), self.own())
