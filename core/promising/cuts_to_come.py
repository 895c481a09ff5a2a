"""What is cut of a growth from its day on, season by season, in lots that serve the same of the days wanted."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import date
from itertools import pairwise

from core.plans.defaults import USUAL
from core.plans.flushes import share_after
from core.plans.seasons import Season
from core.promising.growth import DRY_KEEPS_DAYS, Growth, Wanted
from core.promising.source import luck
from core.reckon.promise.needs import Lot, Window

FINISH_DAYS = USUAL["finish_days"].value


class CutsToCome:
    """The lots that a growth gives for the days that are wanted, a tuple of them for each season.

    Of stems cut on any of some days in a row that serve the same of these days one lot is made; those that serve none
    are left out. With `dry_loss` what is lost in drying and in store is left out of all of them, whatever they become.
    """

    def __init__(self, growth: Growth, wanted: Wanted, dry_loss: bool) -> None:
        self.growth, self.wanted, self.dry_loss = growth, wanted, dry_loss
        self._hold = round(growth.course.hold.value)
        self._keys = growth.keys
        self._is_fresh = "fresh" in growth.uses
        self._dried = [use for use in ("dry", "wire") if use in growth.uses] if wanted.dry else []
        self._fresh_edges = (
            sorted({float(at) for due in wanted.fresh for at in (due + 1, due - self._hold)})
            if self._is_fresh
            else []
        )
        # many seasons cut and dry on the same days: their windows are made once
        self._made: dict[tuple[int, int], tuple[Window, ...]] = {}

    def __call__(self, n: int | None) -> tuple[Lot, ...]:
        """What it gives in season `n` of the sample; None: as usual."""
        growth = self.growth
        season = growth.usual if n is None else growth.seasons[n]
        total = growth.usual_rate if n is None else growth.rates[n]
        first, days = growth.begins(season), max(season.days, 1.0)
        begin, end = max(float(growth.from_day), first), min(first + days, season.frost)
        if end <= begin:
            return ()
        drying = max(season.drying, 0.0) + FINISH_DAYS
        flushes = len(growth.course.flushes)
        kept, stored = season.good, 0.0
        if self.dry_loss:
            kept *= season.dried
            stored = self.wanted.dry[-1] - drying
        ends = growth.opening(n)
        parts, opened = [], _open_at(ends, flushes, (begin - first) / days)
        expected, shares = 0.0, 0.0
        for start, stop in pairwise(self._edges(begin, end, drying)):
            before, opened = opened, _open_at(ends, flushes, (stop - first) / days)
            if opened > before and (windows := self._windows(start, drying)):
                share, middle = opened - before, (start + stop) / 2
                amount = total * share * kept
                if self.dry_loss:
                    amount *= season.stored ** (max(stored - middle, 0.0) / 365)
                parts.append((windows, amount))
                expected += amount
                shares += share
        if expected <= 0:
            return ()
        factor = 1.0
        if n is not None:
            apart = self._spread(season, total, expected / max(total * shares, 1e-9), shares)
            factor = max(1 + apart * luck(growth.name, n, 0) / expected, 0.0)
        if growth.course.stems.value[1] <= 1:
            # once over: a plant that has given its one stem gives no other
            factor = min(factor, max(growth.plants - growth.cut, 0) / expected)
        found, given = [], 0.0
        for i, (windows, amount) in enumerate(parts):
            before, given = given, given + amount * factor
            if stems := int(given + 0.5) - int(before + 0.5):
                sort, ready, good = windows[0]
                found.append(Lot(ready, good, stems, sort, f"{growth.name} {i}", windows[1:], growth.code))
        return tuple(found)

    def _edges(self, begin: float, end: float, drying: float) -> list[float]:
        """The days between which all that is cut serves the same days, from the first to the last of cutting."""
        fresh = self._fresh_edges
        cuts = fresh[bisect_right(fresh, begin) : bisect_left(fresh, end)]
        if self._dried:
            dry = [at for due in self.wanted.dry if begin < (at := due + 1 - drying) < end]
            cuts = sorted({*cuts, *dry}) if cuts else dry
        return [begin, *cuts, end]

    def _windows(self, cut: float, drying: float) -> tuple[Window, ...]:
        """As what stems cut from that day (ordinal) on can be handed over, and when; nothing that serves no day."""
        at = int(cut), int(cut + drying + 1e-6)
        found = self._made.get(at)
        if found is None:
            fresh = self._as_fresh(at[0]) if self._is_fresh else ()
            found = self._made[at] = fresh + (self._as_dry(at[1]) if self._dried else ())
        return found

    def _as_fresh(self, at: int) -> tuple[Window, ...]:
        dues, last = self.wanted.fresh, at + self._hold
        if bisect_right(dues, last) <= bisect_left(dues, at):
            return ()
        return (Window(self._keys["fresh"], date.fromordinal(at), date.fromordinal(last)),)

    def _as_dry(self, at: int) -> tuple[Window, ...]:
        if at > self.wanted.dry[-1]:
            return ()
        ready, keeps = date.fromordinal(at), date.fromordinal(at + DRY_KEEPS_DAYS)
        return tuple(Window(self._keys[use], ready, keeps) for use in self._dried)

    def _spread(self, season: Season, total: float, kept: float, share: float) -> float:
        """The standard deviation, within one season, of the stems that count: plants are unlike, some are lost."""
        plants = max(self.growth.plants * season.stand, 1.0)
        given = total / plants * share * kept
        of_plant = given * max(1 - share * kept, 0.0) + self.growth.unlike * given * given
        lost = season.stand * (1 - season.stand) / season.stand**2 if season.stand > 0 else 0.0
        return float((plants * (of_plant + lost * given * given * season.stand)) ** 0.5)


def _open_at(ends: tuple[float, ...], flushes: int, part: float) -> float:
    """The share that is open after a part (0 to 1) of the time of cutting: of one flush as usual, of several evenly
    within each half of a flush."""
    if flushes < 2 or part <= 0 or part >= 1:
        return share_after(flushes, part)
    halves = part * (len(ends) - 1)
    half = int(halves)
    return ends[half] + (halves - half) * (ends[half + 1] - ends[half])
