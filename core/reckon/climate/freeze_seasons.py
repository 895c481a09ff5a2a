"""The last and the first freeze of every season of a record.

A season holds one winter: from 1 August to 31 July in the north, from 1 February to 31 January in the south,
so a first freeze that comes after New Year still belongs to its own autumn. Days inside a season are counted
from its first day on a calendar without 29 February (which counts as 1 March), so that a count is a date.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf

from core.reckon.climate.record import MISSING, Record, tenths_c

MOST_MISSING = 10
"""A season with as many missing days before the freeze was found says nothing (Utah State University)."""

YEAR_DAYS = 365
_WINTER = (122, 211)
"""December to February from 1 August; June to August from 1 February is the same to two days."""
_MARGIN_DAYS = 15
_FEWEST_WHOLE = 10
"""Of so many seasons without a gap it can be told how late a freeze may come."""
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
class _Seen:
    """What one season shows, looking on from one midsummer end of its cold part.

    `freeze` is the day of the season of the first freeze met (None: none in what was seen), `blind` the day on
    which the tenth missing day is met (None: there are not so many): what lies beyond it is not known.
    """

    freeze: int | None
    blind: int | None

    def tells(self, *, back: bool) -> bool:
        """Whether the season says when its freeze was, or that there was none."""
        if self.freeze is None or self.blind is None:
            return self.blind is None
        return self.freeze > self.blind if back else self.freeze < self.blind


def events(record: Record, threshold_f: float, half: Half, years: tuple[int, int] | None = None) -> Events:
    """The freezes at or below `threshold_f`, of springs and autumns of the calendar years `years`.

    A reading counts when it is at or below the threshold in tenths of a degree C, the step of the archives
    (36, 32, 28, 24 F: 2.2, 0, -2.2, -4.4 C); for readings in whole degrees F that is the same as comparing
    whole degrees F.

    A season is left out when 10 or more days are missing before its freeze is found, looking back from
    midsummer for the last and on from midsummer for the first, or in all where it had none. Only days on which
    that cold may come are counted: a gap in a summer that never freezes hides nothing. A season with such a gap
    beyond its freeze, or cut off there by the end of the record, is left out too where other seasons had their
    freeze beyond: else only early autumns (or late springs) would be taken from such seasons. A length has a
    spring of `years` and the autumn that follows it.
    """
    limit = tenths_c(threshold_f)
    seasons = range(record.first_day.year - 1, record.last_day.year + 1)
    freezes = {season: _freezes(record, limit, half, season) for season in seasons}
    cold = _cold_part(freezes.values(), half)
    springs, autumns = (_told(record, half, freezes, cold, back=back) for back in (True, False))

    def wanted(year: int) -> bool:
        return years is None or years[0] <= year <= years[1]

    spring_kept = {s: o for s, o in springs.items() if wanted(half.spring_year(s))}
    autumn_kept = {s: o for s, o in autumns.items() if wanted(s)}
    lengths = {}
    for season in spring_kept:
        if season + 1 in autumns:
            last, first = freezes[season], freezes[season + 1]
            # with a winter between them that hardly froze there may be more: no season is longer than its year
            days = min(float(first[0] - last[-1]), float(YEAR_DAYS)) if last and first else inf
            lengths[half.spring_year(season)] = days
    known = {**spring_kept, **autumn_kept}
    share = sum(abs(o) != inf for o in known.values()) / len(known) if known else 0.0
    return Events(
        {half.spring_year(s): o for s, o in spring_kept.items()},
        autumn_kept,
        lengths,
        share,
    )


def _freezes(record: Record, limit: int, half: Half, season: int) -> list[int]:
    """The days (numbered) of a season that are so cold."""
    begin, end = (max(half.start(s).toordinal(), record.start) for s in (season, season + 1))
    lows = record.lows[begin - record.start : max(end, begin) - record.start]
    return [day for day, low in enumerate(lows, begin) if low <= limit and low != MISSING]


def _cold_part(freezes: Iterable[list[int]], half: Half) -> tuple[int, int]:
    """First and last day of the season between which that cold may come: 15 days more than has been seen, and
    at least the three months of winter.
    """
    seen = [days for days in freezes if days]
    firsts = [half.offset(date.fromordinal(days[0])) for days in seen]
    lasts = [half.offset(date.fromordinal(days[-1])) for days in seen]
    return (
        max(0, min([_WINTER[0], *(o - _MARGIN_DAYS for o in firsts)])),
        min(YEAR_DAYS - 1, max([_WINTER[1], *(o + _MARGIN_DAYS for o in lasts)])),
    )


def _told(
    record: Record, half: Half, freezes: dict[int, list[int]], cold: tuple[int, int], *, back: bool
) -> dict[int, float]:
    """Season -> day of the season, infinite without a freeze; seasons that say nothing are left out."""
    seen = {season: _look(record, half, season, days, cold, back=back) for season, days in freezes.items()}
    none = -inf if back else inf
    kept = {
        s: none if one.freeze is None else float(one.freeze)
        for s, one in seen.items()
        if one.tells(back=back)
    }
    whole = [day for season, day in kept.items() if seen[season].blind is None]
    if len(whole) < _FEWEST_WHOLE:
        return kept
    farthest = min(whole) if back else max(whole)
    return {
        season: day
        for season, day in kept.items()
        if (blind := seen[season].blind) is None or (farthest > blind if back else farthest < blind)
    }


def _look(
    record: Record, half: Half, season: int, freezes: list[int], cold: tuple[int, int], *, back: bool
) -> _Seen:
    """The season seen back from the end of its cold part, or on from its start."""
    freeze = None
    if freezes:
        freeze = half.offset(date.fromordinal(freezes[-1 if back else 0]))
    begin = half.start(season).toordinal()
    missing = record.without_low(begin + cold[0], begin + cold[1])
    if len(missing) < MOST_MISSING:
        return _Seen(freeze, None)
    tenth = missing[-MOST_MISSING] if back else missing[MOST_MISSING - 1]
    return _Seen(freeze, half.offset(date.fromordinal(tenth)))
