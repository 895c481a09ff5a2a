"""What the record saw of every crop, way of growing and variety, season by season: the observations behind its figures.

It is read off the farm as it stands, so what was struck is gone and what was corrected reads so. What is not over yet
says how long it has waited, or how much it gave at least: what still stands, what was taken out early, what the frost
ended.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from typing import NamedTuple, TypeVar

from core.crops.course import flowers_again, goes_out_before, stays, summer_year
from core.crops.sheet import Figure, Sheet, Span
from core.cutting.intervals import usual_days
from core.cutting.kinds import AT_THE_CUT
from core.farm import Farm, Lot, Piece, Planting, Tray
from core.learning.flushes import is_in_flushes, told_by_cuts
from core.learning.kinds import VaseTrials
from core.orders.takings import sales_of, sellable_of
from core.past_seasons.kinds import PastSeasons, PastYear
from core.reckon.learning.counts import SeasonCount
from core.reckon.learning.days import SeasonDays
from core.reckon.learning.shares import SeasonShare
from core.register import Register
from core.settings.sheets import farm_sheet, frosts, in_south, planting_sheet, season_year

T = TypeVar("T", Tray, Planting)

OVER_AFTER_DAYS = 45
"""Days without a cut after which a planting of this season is through (ours)."""
EARLY_TIMES = 2.0
"""A planting cleared within so many of its usual gaps between cuts was still giving (ours)."""
FROST_DAYS = 10
"""A frost within so many days after the last cut ended it (ours)."""
LATE_COUNT_DAYS = 4
"""Days beyond the sheet's latest after which all that will come up of a tray is up (ours)."""
HANGING = "hanging"
BENDS, SNAPS = "bends", "snaps"
OF_THE_END = "frost"
"""The cause of a loss that ends a planting and is none of its stems a plant."""


class Sort(NamedTuple):
    """What figures are of: a crop, grown a way ("" the usual), of one variety ("" all together)."""

    crop: str
    way: str
    variety: str


@dataclass(slots=True)
class Season:
    """What one season showed of one figure."""

    days: list[float] = field(default_factory=list)
    waited: list[float] = field(default_factory=list)
    part: int = 0
    of: int = 0
    given: list[tuple[float, float, bool]] = field(default_factory=list)
    """(count, plants, whether more was to come)."""
    amount: float = 0.0
    per: float = 0.0
    seen: int = 0
    """How many trays, plantings or lots it rests on."""


Seasons = dict[int, Season]


@dataclass(slots=True)
class Seen:
    """Figure -> season -> what it showed."""

    figures: dict[str, Seasons] = field(default_factory=dict)

    def season(self, figure: str, year: int) -> Season:
        """What that season showed of the figure so far, one observation more."""
        found = self.figures.setdefault(figure, {}).setdefault(year, Season())
        found.seen += 1
        return found


def season_days(seasons: Seasons) -> list[SeasonDays]:
    """A figure's seasons as days."""
    return [SeasonDays(tuple(s.days), tuple(s.waited)) for _, s in sorted(seasons.items())]


def season_shares(seasons: Seasons) -> list[SeasonShare]:
    """A figure's seasons as shares."""
    return [SeasonShare(s.part, s.of) for _, s in sorted(seasons.items()) if s.of > 0]


def season_counts(seasons: Seasons) -> list[SeasonCount]:
    """A figure's seasons as counts a plant: what came to its end together, what did not each by itself."""
    found = []
    for _, season in sorted(seasons.items()):
        whole = [(count, of) for count, of, more in season.given if not more]
        if whole:
            found.append(SeasonCount(sum(count for count, _ in whole), sum(of for _, of in whole)))
        found += [SeasonCount(count, of, True) for count, of, more in season.given if more]
    return found


def season_means(seasons: Seasons) -> list[float]:
    """The seasons' own means of what has no sheet."""
    return [s.amount / s.per for _, s in sorted(seasons.items()) if s.per > 0 and s.amount > 0]


def observed(farm: Farm, day: date, crop: str | None = None) -> dict[Sort, Seen]:
    """All that was seen until `day`, of every crop or of one; of each crop and way once for all varieties together, and
    once for each variety."""
    eyes = _Eyes(farm, day, crop)
    eyes.trays()
    eyes.plantings()
    eyes.lots()
    eyes.vases()
    eyes.sales()
    eyes.past_seasons()
    return dict(eyes.seen)


class _Eyes:
    def __init__(self, farm: Farm, day: date, crop: str | None) -> None:
        self.farm, self.day, self.crop = farm, day, crop
        self.seen: dict[Sort, Seen] = defaultdict(Seen)
        self._is_south = in_south(farm)
        self.year_of = cache(self._year_of)
        self.season_of = cache(lambda iso: season_year(farm, date.fromisoformat(iso)))
        self.sheet = cache(lambda crop, way, variety: farm_sheet(farm, crop, way or None, variety or None))
        # of a book of many seasons no more is read than speaks of the crop that is asked for
        every = (farm.lots.all(), farm.pieces.all()) if crop is None else sellable_of(farm, crop)
        self._sellable: list[Lot | Piece] = [*every[0], *every[1]]
        self._lots = [lot for lot in every[0] if self._is_asked(lot.crop)]
        self.of_planting: dict[tuple[str, int], list[Lot]] = defaultdict(list)
        for lot in self._lots:
            if lot.planting:
                self.of_planting[lot.planting, self.year_of(lot.cut_on)].append(lot)

    def _is_asked(self, crop: str) -> bool:
        return self.crop in (None, crop)

    def _all(self, register: Register[T]) -> list[T]:
        return register.all() if self.crop is None else register.mentioning(f'"{self.crop}"')

    def _year_of(self, iso: str) -> int:
        """The year of a summer's cut; in the south summer begins in it."""
        return summer_year(date.fromisoformat(iso), south=self._is_south)

    def _sorts(self, crop: str, way: str | None, variety: str | None) -> Iterator[Seen]:
        yield self.seen[Sort(crop, way or "", "")]
        if variety:
            yield self.seen[Sort(crop, way or "", variety.lower())]

    # trays

    def trays(self) -> None:
        """Days and share to come up."""
        for tray in self._all(self.farm.trays):
            if self._is_asked(tray.crop) and tray.first_up_on is not None:
                self._tray(tray, self.sheet(tray.crop, tray.way, tray.variety))
            elif self._is_asked(tray.crop) and tray.up == 0:
                self._share_up(tray)

    def _tray(self, tray: Tray, sheet: Sheet | None) -> None:
        year, days = self.season_of(tray.sown), _days(tray.sown, tray.first_up_on)
        for seen in self._sorts(tray.crop, tray.way, tray.variety) if days > 0 else ():
            seen.season("germination_days", year).days.append(days)
        germinates = sheet.germination_days.value[1] if sheet and sheet.germination_days else 21.0
        if not tray.is_live or _days(tray.sown, self.day.isoformat()) > germinates + LATE_COUNT_DAYS:
            self._share_up(tray)

    def _share_up(self, tray: Tray) -> None:
        for seen in self._sorts(tray.crop, tray.way, tray.variety):
            season = seen.season("comes_up_pct", self.season_of(tray.sown))
            season.part += min(tray.most_up, tray.seeds)
            season.of += tray.seeds

    # plantings

    def plantings(self) -> None:
        """Weeks in the tray, days to the first cut, weeks and interval of cutting, stems a plant, weeks of bloom."""
        years: dict[str, list[int]] = defaultdict(list)
        for code, year in self.of_planting:
            years[code].append(year)
        for planting in self._all(self.farm.plantings):
            if not self._is_asked(planting.crop):
                continue
            sheet = (
                planting_sheet(self.farm, planting)
                if planting.drilled
                else self.sheet(planting.crop, planting.way, planting.variety)
            )
            if planting.tray and planting.sown and not planting.drilled:
                weeks = _days(planting.sown, planting.out_on) / 7
                for seen in self._of(planting) if weeks > 0 else ():
                    seen.season("weeks_in_tray", self.season_of(planting.out_on)).days.append(weeks)
            cut_in = sorted(years.get(planting.code, ()))
            if sheet is not None and not flowers_again(sheet) and not goes_out_before(sheet):
                self._to_first_cut(planting, sheet, cut_in)
            for year in cut_in:
                self._cutting(planting, sheet, year, self.of_planting[planting.code, year])

    def _of(self, planting: Planting) -> Iterator[Seen]:
        return self._sorts(planting.crop, planting.way, planting.variety)

    def _to_first_cut(self, planting: Planting, sheet: Sheet, cut_in: list[int]) -> None:
        figure = _days_figure(planting)
        if cut_in:
            first = min(lot.cut_on for lot in self.of_planting[planting.code, cut_in[0]])
            days = _days(planting.out_on, first)
            if _stood_already(planting, sheet, first):
                return
            if days < 0:
                return  # machines apart: cut before it was set out
            for seen in self._of(planting):
                seen.season(figure, cut_in[0]).days.append(days)
            return
        until = min(planting.cleared_on or "9", self.day.isoformat())
        waited = _days(planting.out_on, until)
        if waited > 0 and self._year_of(until) - self.season_of(planting.out_on) <= 0:
            for seen in self._of(planting):
                seen.season(figure, self.season_of(planting.out_on)).waited.append(waited)

    def _cutting(self, planting: Planting, sheet: Sheet | None, year: int, lots: list[Lot]) -> None:
        days = sorted({lot.cut_on for lot in lots})
        first, last = days[0], days[-1]
        more = self._gives_more(planting, sheet, year, last)
        weeks = (_days(first, last) + 1) / 7
        for seen in self._of(planting):
            season = seen.season("cut_weeks", year)
            (season.waited if more else season.days).append(weeks)
            if len(days) >= 3:
                seen.season("cut_every_days", year).days.append(_days(first, last) / (len(days) - 1))
        if plants := _plants(planting):
            stems = float(sum(lot.cut for lot in lots))
            for seen in self._of(planting):
                seen.season("stems_per_plant", year).given.append((stems, plants, more))
            if is_in_flushes(sheet) and not _stood_already(planting, sheet, first):
                cuts = [(int(_days(first, lot.cut_on)), lot.cut) for lot in lots]
                for figure, count, is_open in told_by_cuts(cuts, more):
                    for seen in self._of(planting):
                        seen.season(figure, year).given.append((float(count), plants, is_open))
        if sheet is not None and stays(sheet) and year > self.season_of(planting.out_on):
            frost = frosts(self.farm, year).last_frost
            if frost is not None:
                for seen in self._of(planting):
                    bloom = _days(frost.isoformat(), first) / 7
                    seen.season("flowers_weeks", year).days.append(bloom)

    def _gives_more(self, planting: Planting, sheet: Sheet | None, year: int, last: str) -> bool:
        """Whether there was more to be cut: it still stands, was taken out early, or the frost ended it."""
        once = sheet is not None and sheet.cut_weeks is not None and sheet.cut_weeks.value[1] <= 1
        tender = sheet is None or sheet.hardiness_class != "hardy"
        if tender and any(-1 <= _days(last, night.on) <= FROST_DAYS for night in planting.cold):
            return not once
        if planting.cleared_on is None and year == self._year_of(self.day.isoformat()):
            return _days(last, self.day.isoformat()) <= OVER_AFTER_DAYS
        if planting.cleared_on is None or once or self._year_of(planting.cleared_on) != year:
            return False
        return _days(last, planting.cleared_on) <= EARLY_TIMES * usual_days(planting.crop)

    # lots

    def lots(self) -> None:
        """Culls, days and loss in drying, minutes a stem. Where no cull of a crop, a way of growing it
        or a variety was written in a season, none were counted: that is no season without culls."""
        counted = {
            (id(seen), self.year_of(lot.cut_on))
            for lot in self._lots
            if _culls(lot)
            for seen in self._sorts(lot.crop, lot.way, lot.variety)
        }
        for lot in self._lots:
            year = self.year_of(lot.cut_on)
            sorts = [*self._sorts(lot.crop, lot.way, lot.variety)]
            for seen in sorts:
                if (id(seen), year) in counted:
                    season = seen.season("culled_pct", year)
                    season.part, season.of = season.part + min(_culls(lot), lot.cut), season.of + lot.cut
                if lot.minutes and lot.cut:
                    season = seen.season("minutes_per_100_stems", year)
                    season.amount, season.per = season.amount + 100 * lot.minutes, season.per + lot.cut
            if lot.hung:
                self._dried(lot, year, sorts)

    def _dried(self, lot: Lot, year: int, sorts: list[Seen]) -> None:
        hung = min(one.on for one in lot.hung)
        bends = max((test.on for test in lot.tests if test.result == BENDS), default=None)
        snaps = min((test.on for test in lot.tests if test.result == SNAPS), default=None)
        hangs = any(held.form == HANGING and held.stems > 0 for held in lot.holdings.values())
        for seen in sorts:
            if snaps is not None:
                last = bends if bends is not None and hung <= bends < snaps else None
                found = (_days(hung, snaps) + _days(hung, last)) / 2 if last else _days(hung, snaps)
                seen.season("drying_days", year).days.append(found)
            elif bends is not None and _days(hung, bends) > 0:
                seen.season("drying_days", year).waited.append(_days(hung, bends))
            came = lot.entered.get(HANGING, 0)
            if came > 0 and not hangs:
                lost = sum(loss.stems for loss in lot.losses if loss.form == HANGING)
                season = seen.season("lost_drying_pct", year)
                season.part, season.of = season.part + min(max(lost, 0), came), season.of + came

    def vases(self) -> None:
        """Days in the vase; what was still good stood so long at least. Of one lot the last word counts."""
        last = {trial.lot: trial for trial in self.farm.part(VaseTrials).trials}
        for code, trial in last.items():
            lot = self.farm.lots.get(code)
            if lot is None or not self._is_asked(lot.crop):
                continue
            for seen in self._sorts(lot.crop, lot.way, lot.variety):
                season = seen.season("vase_life_days", self.year_of(lot.cut_on))
                (season.waited if trial.good else season.days).append(trial.days)

    # money, and what was brought in of past seasons

    def sales(self) -> None:
        """Cents a stem, of what was sold with a price, in each year, whatever way it was grown: of a crop, past seasons
        among them, and of each variety."""
        sums: dict[tuple[Sort, int], list[float]] = defaultdict(lambda: [0.0, 0.0])
        for sold in sales_of(self.farm, None, self._sellable):
            lot = sold.of
            if isinstance(lot, Lot) and sold.cents and self._is_asked(lot.crop):
                for variety in dict.fromkeys(("", (lot.variety or "").lower())):
                    one = sums[Sort(lot.crop, "", variety), self.year_of(sold.sale.on)]
                    one[0], one[1] = one[0] + sold.cents, one[1] + sold.sale.number
        for past in self._past():
            one = sums[Sort(past.crop, "", ""), past.year]
            one[0], one[1] = one[0] + past.cents, one[1] + past.sold - past.unpriced
        for (sort, year), (cents, stems) in sums.items():
            if cents > 0 and stems > 0:
                season = self.seen[sort].season("cents_per_stem", year)
                season.amount, season.per = cents, stems

    def past_seasons(self) -> None:
        """Share to come up and share culled, as far as the tables that were brought in tell them."""
        for past in self._past():
            seen = self.seen[Sort(past.crop, "", "")]
            if past.counted:
                season = seen.season("comes_up_pct", past.year)
                season.part, season.of = season.part + past.up, season.of + past.counted
            if past.culls:
                season = seen.season("culled_pct", past.year)
                season.part, season.of = season.part + past.culls, season.of + past.cut + past.culls

    def _past(self) -> Iterator[PastYear]:
        return (one for one in self.farm.part(PastSeasons).years.values() if self._is_asked(one.crop))


def _days(first: str, last: str | None) -> float:
    return float((date.fromisoformat(last or first) - date.fromisoformat(first)).days)


def _days_figure(planting: Planting) -> str:
    return "days_from_sowing" if planting.drilled else "days_to_first_cut"


def _stood_already(planting: Planting, sheet: Sheet | None, first: str) -> bool:
    """Whether it must have stood there, and may have been cut, before it was written."""
    known: Figure[Span] | None = getattr(sheet, _days_figure(planting)) if sheet is not None else None
    if known is None or planting.sown:
        return False
    return 0 <= _days(planting.out_on, first) < known.value[0] / 2


def _culls(lot: Lot) -> int:
    return sum(loss.stems for loss in lot.losses if loss.form == AT_THE_CUT)


def _plants(planting: Planting) -> float:
    """Plants that stood to be cut: those set out less those lost, but for what the frost took at the end."""
    lost = sum(count for cause, count in planting.lost.items() if cause != OF_THE_END)
    return float(max((planting.plants or 0) - lost, 1)) if planting.plants else 0.0
