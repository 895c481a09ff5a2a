"""One thing that grows or is to grow, and the stems it gives day by day in each of many seasons.

Days, stems and losses are those that plans are reckoned with (`core.plans.seasons`), and the seasons are the same.
Beside what a plan knows this counts what the season has shown already: the day of the first cut, the stems cut so
far, and that no frost has ended it yet.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property
from itertools import accumulate, pairwise
from math import exp, inf, log
from statistics import fmean, median
from typing import NamedTuple

from core.cutting.intervals import usual_days
from core.happened import CutOf
from core.plans.crop_season import Course
from core.plans.defaults import FLUSHES, USUAL
from core.plans.flushes import share_after
from core.plans.seasons import Season, columns_of, seasons_of, usual_season
from core.plans.wish import Ask
from core.promising.claims import Sort
from core.promising.so_far import SoFar
from core.promising.source import SourceKind, luck, luck_as
from core.reckon.promise.needs import Window
from core.reckon.spreads import Span, Z, later_than

DRY_KEEPS_DAYS = 365
"""How long what is cut to dry is good, once it is dry: a year of prime (common practice)."""
CUT_UNLIKE = 0.25
"""What is cut up to a day strays so much from what opened until then (standard deviation of its logarithm): not every
stem is cut, and not on its day (common practice)."""
LAST_CUTS = 5
"""So many days of cutting tell what the next one gives (ours)."""
KNOWN_CUTS = 2
"""From so many cuts after the first on they are gone by (ours)."""
LEFT_STANDING = 3
"""Open stems that are not cut stand for so many of the days that are usual between two cuts (common practice)."""
LEAST_SHARE = 0.02
"""Of its stems; before so many are open the count so far tells nothing."""
LEAST_RATE = 0.01
"""Stems: of fewer there is no logarithm."""
HALVES: Span = (0.75, 1.3)
"""One half of a flush beside the other, eight times in ten: stems open in bells, not evenly (common practice)."""
FLUSH_LUCK = 4
"""Flush n of a source has the chance n + this one of those it may draw; those before are for other things."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the sources are asked for: the days on which stems are due, by form. The days of the last come from it."""

    fresh: tuple[int, ...]
    dry: tuple[int, ...]
    """Days as ordinals, each once and in order; "wired" is dried on its wire and stands among these."""

    @property
    def last(self) -> date:
        """The last of all."""
        return date.fromordinal(max((*self.fresh, *self.dry)))


class CutDay(NamedTuple):
    """What was cut of a planting on a day (an ordinal), and how many were asked of it; 0 where nobody says."""

    day: int
    stems: int
    asked: int

    @property
    def is_held_back(self) -> bool:
        """Whether it gave all that was asked, so that more may have stood there."""
        return 0 < self.asked <= self.stems


@dataclass(frozen=True)
class Growth:
    """One planting, tray or plan: `plants` of it, from `out` on, of which `cut` stems were cut up to `day`.

    `born` says of how many seeds the plants are to come, where they do not stand yet; `from_day` is the first day
    (ordinal) whose stems can still be cut: what opened since the last cut still stands.
    """

    kind: SourceKind
    code: str
    place: str
    variety: str
    ask: Ask
    course: Course
    plants: int
    out: date
    day: date
    from_day: int
    uses: tuple[str, ...]
    name: str
    cut: int = 0
    awaited: bool = False
    """Whether it has not been cut yet."""
    is_in_cut: bool = False
    """Whether it was cut lately: its time is not over yet."""
    born: tuple[int, bool] | None = None
    """(seeds or seedlings, whether they are up)."""
    lately: tuple[CutOf, ...] = ()
    """Its last cuts of this season, the newest last."""
    so_far: SoFar = field(default_factory=SoFar, repr=False)
    """What is known of all that grows of the crop."""
    begun: int = 0
    """Of what was cut, the stems of the first day: how many stood then is as she waited for them, so that they tell
    nothing of how many there are."""

    @cached_property
    def seasons(self) -> list[Season]:
        """What a season is, of all that the sample has; what did not come until today comes later: the frost, and of
        what is being cut the end of cutting."""
        found = seasons_of(columns_of(self.ask, self.course), self.usual)
        today = float(self.day.toordinal())
        frosts = later_than(today, [season.frost for season in found])
        found = [season._replace(frost=frost) for season, frost in zip(found, frosts, strict=True)]
        if (seen := self._seen_until) is not None:
            gone = max(seen - self.begins(season) for season in found)
            for n, days in enumerate(later_than(gone, [season.days for season in found])):
                found[n] = found[n]._replace(days=days)
        return found

    @property
    def _seen_until(self) -> float | None:
        """Until when (an ordinal) it is known to have been in cut; None where it was not cut yet."""
        if self.is_in_cut:
            return float(self.day.toordinal())
        return float(self._by_day[-1].day) if self._by_day else None

    @cached_property
    def usual(self) -> Season:
        """The season in which all goes as usual, by what has shown so far."""
        usual, today = usual_season(self.ask, self.course), self.day.toordinal()
        usual = usual._replace(frost=max(usual.frost, today + 1.0))
        if (seen := self._seen_until) is None:
            return usual
        days = (season.days for season in seasons_of(columns_of(self.ask, self.course), usual))
        gone = seen - self.begins(usual)
        return usual._replace(days=median([at for at in days if at > gone] or [gone + 1.0]))

    def begins(self, season: Season) -> float:
        """The day of its first cut, an ordinal."""
        first = self.out.toordinal() + max(season.lag, 0.0)
        return max(first, float(self.day.toordinal())) if self.awaited else first

    def cut_between(self) -> tuple[date, date]:
        """First and last day of its cutting as usual."""
        first = self.begins(self.usual)
        last = min(first + max(self.usual.days, 1.0), self.usual.frost) - 1
        return date.fromordinal(round(first)), date.fromordinal(round(max(last, first)))

    def opened(self, season: Season, until: float) -> float:
        """The share of its stems that is open before a day."""
        until = min(until, season.frost)
        return share_after(len(self.course.flushes), (until - self.begins(season)) / max(season.days, 1.0))

    @cached_property
    def rates(self) -> list[float]:
        """Stems that the plants give in each season, all together and good and bad; brought nearer to what was cut of
        them and of the others of the crop."""
        if not self.so_far.heard:
            return self._own
        states = [log(max(rate, LEAST_RATE)) for rate in self._own]
        for count in self.so_far.heard:
            states = count.nearer(states)
        return list(map(exp, states))

    @cached_property
    def _own(self) -> list[float]:
        """The same by the sheet alone."""
        return [self.standing(n, season) * season.stems for n, season in enumerate(self.seasons)]

    @cached_property
    def usual_rate(self) -> float:
        """The same as usual: what was to be expected and the counts so far, each by how sure it is."""
        return self._own_as_usual * self.so_far.as_usual(self, self._doubt)

    @property
    def _own_as_usual(self) -> float:
        return self.standing(None, self.usual) * self.usual.stems

    @property
    def foretold_as_usual(self) -> float:
        """The stems that should have been cut so far, as usual."""
        share = self.opened(self.usual, self._cut_until)
        return self._own_as_usual * self.usual.good * share if share > LEAST_SHARE else 0.0

    @cached_property
    def foretold(self) -> list[float]:
        """The logarithm of the stems that should have been cut so far, in each season: what is culled at the cut
        does not come into the bucket, and is not among those that are told as cut."""
        return [
            log(max(rate * season.good, LEAST_RATE)) + log(share)
            for rate, season, share in zip(self._own, self.seasons, self._shares, strict=True)
        ]

    @cached_property
    def tells(self) -> bool:
        """Whether its count so far says anything of the season."""
        return self.told >= 1 and fmean(self._shares) > LEAST_SHARE

    @cached_property
    def _shares(self) -> list[float]:
        """The share of its stems that should have been cut so far, in each season."""
        return [max(self.opened(season, self._cut_until), LEAST_SHARE) for season in self.seasons]

    @property
    def measure(self) -> float:
        """What it gives by its cuts so far, as a share of what its sheet has of so many plants."""
        own = self.standing(None, self.usual) * self.usual.stems
        return self.usual_rate / own if own > 0 else 1.0

    def rest(self, start: float) -> float:
        """The good stems that are to open from that day (ordinal) on, as usual and by its cuts so far."""
        return (
            self.usual_rate
            * self.usual.good
            * (self.opened(self.usual, inf) - self.opened(self.usual, start))
        )

    @property
    def _cut_until(self) -> float:
        """What opened before this day (an ordinal) is cut: what has opened since the last cut still stands."""
        return self._by_day[-1].day + 1.0 if self._by_day else float(self.day.toordinal())

    @property
    def told(self) -> int:
        """The stems cut so far that tell how many there are."""
        return self.cut - self.begun

    @property
    def _doubt(self) -> float:
        """How far the stems of a season stray from the usual: the variance of their logarithm."""
        low, high = self.course.season_stems
        return float((log(max(high, 0.01) / max(low, 0.01)) / 2 / Z) ** 2)

    @property
    def is_held_back(self) -> bool:
        """Whether no more was cut at times because no more was asked for: how few were cut says nothing then."""
        return any(cut.is_held_back for cut in self._by_day)

    @cached_property
    def astray(self) -> float:
        """How far what was cut strays from what should have opened by then: the variance of its logarithm."""
        count = len(self.course.flushes)
        if count < 2:
            return CUT_UNLIKE**2  # one flush is neither heavy nor light beside others
        flushes = max(count * fmean(self._shares), 0.25)
        return float(CUT_UNLIKE**2 + (log(FLUSHES[1] / FLUSHES[0]) / 2 / Z) ** 2 / flushes)

    def standing(self, n: int | None, season: Season) -> float:
        """Plants that stand to be cut."""
        if self.born is None:
            return self.plants * season.stand
        seeds, is_up = self.born
        share = season.live * (1.0 if is_up else season.germinate * season.doubles)
        spread = (seeds * share * (1 - share)) ** 0.5
        alive = seeds * share + (0.0 if n is None else spread * luck(self.name, n, 2))
        return min(max(alive, 0.0), self.plants) * season.stand

    def today(self) -> int:
        """Good stems that stand to be cut on this day as usual: what opened since the last cut, in the measure in which
        its last cuts gave what the calendar had them give; and what was left standing because no more was asked."""
        today, ratio = self.day.toordinal() + 1.0, self.learned[0]
        stands = self._own_opened(float(self.from_day), today) * ratio
        start = today - LEFT_STANDING * usual_days(self.ask.sheet.crop)
        near = [cut for cut in self._by_day if cut.day + 1 > start]
        if any(cut.is_held_back for cut in near):
            left = self._own_opened(start, today) * ratio - sum(cut.stems for cut in near)
            stands = max(stands, left)
        return round(stands)

    def _own_opened(self, start: float, stop: float) -> float:
        """Good stems that open from one day to another in a usual season, by its sheet."""
        season = self.usual
        own = self.standing(None, season) * season.stems * season.good
        return own * max(self.opened(season, stop) - self.opened(season, start), 0.0)

    @cached_property
    def _by_day(self) -> list[CutDay]:
        """Its last cuts, those of a day together."""
        found: dict[int, CutDay] = {}
        for cut in self.lately:
            day = date.fromisoformat(cut.on).toordinal()
            _, stems, asked = found.get(day, CutDay(day, 0, 0))
            found[day] = CutDay(day, stems + cut.stems, asked + cut.asked)
        return list(found.values())

    @cached_property
    def learned(self) -> tuple[float, bool]:
        """(what its last cuts gave, as a share of what the calendar had them give; whether they are enough to go by).

        A gamma distribution, as wide about 1 as the sheet's range of stems and the flushes are; each cut counts as its
        own doubt has it. A cut that gave all that was asked of it says only that there were so many.
        """
        every = usual_days(self.ask.sheet.crop)
        prior = 1 / (self._doubt + (log(FLUSHES[1] / FLUSHES[0]) / 2 / Z) ** 2)
        weight, total, told = 1 / CUT_UNLIKE**2, 0.0, 0
        # the first cut begins the season, and tells nothing of how much opens from one to the next
        pairs = list(pairwise(self._by_day))
        for before, cut in [pair for pair in pairs if not pair[0].is_held_back][-LAST_CUTS:]:
            expected = self._own_opened(max(before.day + 1.0, cut.day + 1.0 - every), cut.day + 1.0)
            if expected >= 1 and cut.stems and (not cut.is_held_back or cut.stems > expected):
                total, told = total + cut.stems / expected, told + 1
        return (prior + weight * total) / (prior + weight * told), len(pairs) >= KNOWN_CUTS

    @cached_property
    def unlike(self) -> float:
        """How far the stems of one plant stray from another's: the variance of them, as a share of their square."""
        return float((self.course.sd.value / max(self.course.stems_each(), 0.01)) ** 2)

    def opening(self, n: int | None) -> tuple[float, ...]:
        """The share of its stems that is open at the end of each half of each of its flushes, the first being 0: they
        are heavy and light beside the usual, and over all of them it evens out."""
        found = self._openings.get(n)
        if found is None:
            found = self._openings[n] = self._drawn_opening(n)
        return found

    def _drawn_opening(self, n: int | None) -> tuple[float, ...]:
        count = len(self.course.flushes)
        usual = [share_after(count, half / count / 2) for half in range(2 * count + 1)]
        if n is None or count < 2:
            return tuple(usual)
        give = (1 - 1 / count) ** 0.5
        drawn = [luck_as(FLUSHES, self.name, n, FLUSH_LUCK + i) ** give for i in range(count)]
        # its middle and its ends are unlike too: what counts of a few days alone strays further
        halves = [
            (after - before) * drawn[half // 2] * luck_as(HALVES, self.name, n, FLUSH_LUCK + count + half)
            for half, (before, after) in enumerate(pairwise(usual))
        ]
        whole = sum(halves)
        return tuple(accumulate((half / whole for half in halves), initial=0.0))

    @cached_property
    def _openings(self) -> dict[int | None, tuple[float, ...]]:
        return {}

    def windows_on(self, cut: date) -> tuple[Window, ...]:
        """As what stems cut on that day can be handed over, and when, in a usual season."""
        drying = max(self.usual.drying, 0.0) + USUAL["finish_days"].value
        ready, good = cut + timedelta(days=round(drying)), cut + timedelta(days=round(self.course.hold.value))
        keeps = ready + timedelta(days=DRY_KEEPS_DAYS)
        days = {"fresh": (cut, good), "dry": (ready, keeps), "wire": (ready, keeps)}
        return tuple(Window(self.keys[use], *days[use]) for use in self.uses)

    @cached_property
    def keys(self) -> dict[str, str]:
        """use -> the sort as the allocation has it."""
        return {use: sort.key for use, sort in zip(self.uses, self.sorts, strict=True)}

    @property
    def sorts(self) -> tuple[Sort, ...]:
        """As what its stems can be handed over."""
        form = {"fresh": "fresh", "dry": "dry", "wire": "wired"}
        return tuple(Sort(self.ask.sheet.crop, self.variety, form[use]) for use in self.uses)
