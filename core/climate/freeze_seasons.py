"""The last and the first freeze of every season of a record.

A season holds one winter: from 1 August to 31 July in the north, from 1 February to 31 January in the south,
so a first freeze that comes after New Year still belongs to its own autumn. Days inside a season are counted
from its first day on a calendar without 29 February (which counts as 1 March), so that a count is a date.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import inf

from core.climate.record import MISSING, Record, tenths_c

MOST_MISSING = 10
"""A season with as many missing days before the freeze was found says nothing (Utah State University)."""

YEAR_DAYS = 365
_WINTER = (122, 211)
"""December to February from 1 August; June to August from 1 February is the same to two days."""
_MARGIN_DAYS = 15
_COMMON_YEAR = 2001
"""It and the next have no 29 February."""


@dataclass(frozen=True, slots=True)
class Half:
    """The half of the earth: when a season starts there, and which calendar year its spring falls in."""

    south: bool

    @property
    def month(self) -> int:
        """The month whose first day begins a season."""
        return 2 if self.south else 8

    def start(self, season: int) -> date:
        """The first day of the season that begins in that calendar year."""
        return date(season, self.month, 1)

    def spring_year(self, season: int) -> int:
        """The calendar year of the spring that ends the season."""
        return season if self.south else season + 1

    def month_day(self, offset: int) -> str:
        """ "MM-DD" of a day of the season."""
        return (date(_COMMON_YEAR, self.month, 1) + timedelta(days=offset)).strftime("%m-%d")

    def offset(self, day: date) -> int:
        """Days from the start of its season, 0 to 364; 29 February counts as 1 March."""
        if (day.month, day.day) == (2, 29):
            day += timedelta(days=1)
        start = date(_COMMON_YEAR, self.month, 1)
        return (date(_COMMON_YEAR, day.month, day.day) - start).days % YEAR_DAYS


@dataclass(frozen=True, slots=True)
class Events:
    """By calendar year: the last freeze of spring and first of autumn (days of their season, -inf and +inf
    where the season had none) and the days between them; `share` of the seasons had a freeze.
    """

    springs: dict[int, float]
    autumns: dict[int, float]
    lengths: dict[int, float]
    share: float


@dataclass(frozen=True, slots=True)
class _Found:
    """A search from one end of a season: the day of the freeze (None: there was none), and what was missing.

    `cut` says that the record begins or ends inside of the season, on the far side of the search.
    """

    day: int | None
    missing: int
    cut: bool


def events(record: Record, threshold_f: float, half: Half, years: tuple[int, int] | None = None) -> Events:
    """The freezes at or below `threshold_f`, of springs and autumns of the calendar years `years`.

    A reading counts when it is at or below the threshold in tenths of a degree C, the step of the archives
    (36, 32, 28, 24 F: 2.2, 0, -2.2, -4.4 C); for readings in whole degrees F that is the same as comparing
    whole degrees F. A season is left out when 10 or more days are missing before its freeze is found, looking
    back from midsummer for the last and on from midsummer for the first. To have had no freeze at all, it may
    have no more missing in the cold part of the year: days missing in summer hide no freeze, and to count
    them would leave out just the seasons that did not freeze. A season that the record cuts off counts only
    if all other seasons had their event inside of what was seen, for else only early autumns (or late
    springs) would be taken from it.
    """
    limit = tenths_c(threshold_f)
    first = record.first_day.year - 1
    seasons = range(first, record.last_day.year + 1)
    last_of = {s: _search(record, limit, half, s, back=True) for s in seasons}
    first_of = {s: _search(record, limit, half, s, back=False) for s in seasons}
    cold = _cold_part(last_of, first_of, half)
    for found in (last_of, first_of):
        for season, one in found.items():
            if one.day is None:
                found[season] = _Found(None, _missing(record, half, season, cold), one.cut)
    springs = _valid(last_of, half, record, back=True)
    autumns = _valid(first_of, half, record, back=False)

    def wanted(year: int) -> bool:
        return years is None or years[0] <= year <= years[1]

    spring_kept = {s: o for s, o in springs.items() if wanted(half.spring_year(s))}
    autumn_kept = {s: o for s, o in autumns.items() if wanted(s)}
    lengths = {}
    for season in spring_kept:
        if season + 1 in autumn_kept:
            begin, end = last_of[season].day, first_of[season + 1].day
            lengths[half.spring_year(season)] = inf if begin is None or end is None else float(end - begin)
    known = {**spring_kept, **autumn_kept}
    share = sum(abs(o) != inf for o in known.values()) / len(known) if known else 0.0
    return Events(
        {half.spring_year(s): o for s, o in spring_kept.items()},
        autumn_kept,
        lengths,
        share,
    )


def _search(record: Record, limit: int, half: Half, season: int, *, back: bool) -> _Found:
    """From midsummer into the season, backwards from its end or forwards from its start."""
    begin, end = half.start(season).toordinal(), half.start(season + 1).toordinal()
    lows, offset, stop = record.lows, record.start, record.end
    days = range(end - 1, begin - 1, -1) if back else range(begin, end)
    missing = 0
    for day in days:
        value = lows[day - offset] if offset <= day < stop else MISSING
        if value == MISSING:
            missing += 1
        elif value <= limit:
            return _Found(day, missing, _is_cut(record, begin, end, back=back))
    return _Found(None, missing, _is_cut(record, begin, end, back=back))


def _cold_part(last_of: dict[int, _Found], first_of: dict[int, _Found], half: Half) -> tuple[int, int]:
    """First and last day of the season between which that cold may come: 15 days more than has been seen, and
    at least the three months of winter.
    """
    firsts = [half.offset(date.fromordinal(f.day)) for f in first_of.values() if f.day is not None]
    lasts = [half.offset(date.fromordinal(f.day)) for f in last_of.values() if f.day is not None]
    return (
        max(0, min([_WINTER[0], *(o - _MARGIN_DAYS for o in firsts)])),
        min(YEAR_DAYS - 1, max([_WINTER[1], *(o + _MARGIN_DAYS for o in lasts)])),
    )


def _missing(record: Record, half: Half, season: int, cold: tuple[int, int]) -> int:
    """How many days of the cold part of a season have no low."""
    begin = half.start(season).toordinal()
    return sum(record.low(begin + offset) is None for offset in range(cold[0], cold[1] + 1))


def _is_cut(record: Record, begin: int, end: int, *, back: bool) -> bool:
    return begin < record.start < end if back else begin < record.end < end


def _valid(found: dict[int, _Found], half: Half, record: Record, *, back: bool) -> dict[int, float]:
    """Season -> day of the season, infinite without a freeze; seasons that say nothing are left out."""
    none = -inf if back else inf
    kept: dict[int, float] = {}
    for season, one in found.items():
        if one.missing < MOST_MISSING:
            day = None if one.day is None else date.fromordinal(one.day)
            kept[season] = none if day is None else float(half.offset(day))
    whole = [offset for season, offset in kept.items() if not found[season].cut]
    for season in [s for s in kept if found[s].cut]:
        # How far into the season the record sees, from the midsummer end.
        edge = half.offset(record.first_day if back else record.last_day)
        if any(o < edge if back else o > edge for o in whole):
            del kept[season]
    return kept
