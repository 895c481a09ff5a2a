"""What becomes of promises in seasons of another hand: stems opened day by day, lots dried and lost one by one.

It shares no curve and no distribution with what answers the promises: days, stems and losses are drawn as
tests/plans/other_hand.py draws them, in four made-up worlds. All plantings of a season share its weather; the stems and
losses of a crop are its own. What is promised is then served from what there is, by due day, priority and age.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from core.crops.calendar import crop_dates
from core.crops.sheet import Sheet
from core.crops.spacing import plants_for_feet
from core.cutting.intervals import usual_days
from core.drying.clock import WEIGHINGS
from core.drying.rows import shelf_rows
from core.farm import Farm, Planting
from core.farm import Lot as Cut
from core.places import BENCH, Place
from core.promising.claims import Claim, Sort, as_need
from core.reckon.promise.allocation import served
from core.reckon.promise.needs import AnyNeed, Lot, Need, Window
from core.settings.sheets import farm_sheet, frosts
from core.weather.night import killed_on
from tests.plans.other_hand import (
    FINISH_DAYS,
    FROST_DAYS,
    SHARES,
    WEATHER,
    WORLDS,
    Array,
    _cdf,
    _half_wave,
    _hold,
    _of_a_season,
    _single,
    flushes,
    sizes,
)
from tests.promise.other_shed import KJ_PER_MOL, NOON, ON_A_LINE, after, dried_by_day

KEEPS = 365
Given: TypeAlias = tuple[Sheet, "np.ndarray[Any, Any]", Array]


class World(NamedTuple):
    """One of the made-up worlds, so many seasons of it, and how much of the usual stems there is."""

    name: str
    seasons: int
    seed: int
    yields: float = 1.0


def kept(farm: Farm, today: date, claims: Sequence[Claim], world: World) -> np.ndarray[Any, Any]:
    """[season, claim]: whether each claim is served in full."""
    given = Seasons(farm, today, world, max(claim.due for claim in claims))
    sorts = given.sorts()
    found = np.zeros((world.seasons, len(claims)), dtype=bool)
    for crops, places in apart(claims):
        needs = [as_need(claims[i], sorts) for i in places]
        is_dried = any(claims[i].forms - {"fresh"} for i in places)
        for n in range(world.seasons):
            told = [as_told(need, given, n) for need in needs] if is_dried else needs
            got = served(told, given.lots(n, crops, is_dried=is_dried))
            found[n, places] = [count >= need.wanted for count, need in zip(got, told, strict=True)]
    return found


def as_told(need: AnyNeed, given: Seasons, n: int) -> AnyNeed:
    """A need where all stems are told as what is left of them once dried (`Seasons.left_of`)."""
    if not isinstance(need, Need):
        return need
    return need._replace(wanted=round(need.wanted * given.left_of(n, need.accepts)))


def apart(claims: Sequence[Claim]) -> list[tuple[set[str], list[int]]]:
    """The crops and the places of the claims that hang together: others share nothing with them."""
    found: list[tuple[set[str], list[int]]] = []
    for i, claim in enumerate(claims):
        crops, places = {one.crop for one in claim.liked}, [i]
        for other in [other for other in found if other[0] & crops]:
            found.remove(other)
            crops, places = crops | other[0], other[1] + places
        found.append((crops, sorted(places)))
    return found


def stands_of(farm: Farm, today: date) -> Iterator[Stand]:
    """All that grows or is to grow on a farm; what the book knows too little of is left out."""
    for planting in farm.plantings.live():
        sheet = farm_sheet(farm, planting.crop, planting.way, planting.variety)
        if sheet is None or sheet.cut_weeks is None or sheet.stems_per_plant is None:
            continue
        if killed_on(planting, sheet, today, south=False) is not None:
            continue
        first, cut, since = _first_cut(farm, planting, sheet, today)
        if first is None and _days_to_first_cut(sheet, planting.drilled) is None:
            continue
        plants = planting.plants
        if plants is None and sheet.spacing_in is not None:
            width = farm.beds[planting.bed].width_in
            plants = plants_for_feet(planting.feet, width, sheet.spacing_in.value)
        yield Stand(
            planting.code,
            planting.crop,
            planting.variety or "",
            sheet,
            date.fromisoformat(planting.out_on).toordinal(),
            (plants or 0) - sum(planting.lost.values()),
            0,
            True,
            first,
            cut,
            since,
            planting.drilled,
            (today - date.fromisoformat(planting.last_cut)).days if planting.last_cut is not None else 0,
        )
    for tray in farm.trays.live():
        sheet = farm_sheet(farm, tray.crop, tray.way, tray.variety)
        dates = (
            crop_dates(sheet, frosts(farm, today.year), sown=date.fromisoformat(tray.sown)) if sheet else None
        )
        window = dates.windows.get("set_out") if dates is not None else None
        if sheet is None or window is None or sheet.cut_weeks is None or sheet.stems_per_plant is None:
            continue
        seeds = tray.alive if tray.up is not None else max(tray.seeds, tray.cells)
        plan = next(
            (p for p in farm.plans.values() if p.is_live and any(s.code == tray.code for s in p.sown)), None
        )
        out = date.fromisoformat(plan.set_out_on) if plan and plan.set_out_on else window.start
        of = tray.code, tray.crop, tray.variety or "", sheet, max(out, today).toordinal()
        room = min(tray.alive, plan.plants or tray.alive) if plan else tray.alive
        yield Stand(*of, room, seeds, tray.up is not None, None, 0, 1, False)
    for kept in farm.plans.values():
        begins = kept.set_out_on or kept.sow_on
        sheet = farm_sheet(farm, kept.crop, kept.way, kept.variety)
        if not kept.is_live or kept.sown or kept.out or kept.dropped_on or not kept.plants or begins is None:
            continue
        if sheet is None or sheet.cut_weeks is None or sheet.stems_per_plant is None:
            continue
        late = max((today - date.fromisoformat(kept.sow_on)).days, 0) if kept.sow_on else 0
        out = date.fromisoformat(begins) + timedelta(days=late)
        of = kept.code, kept.crop, kept.variety or "", sheet, out.toordinal()
        yield Stand(*of, kept.plants, kept.seeds or 0, False, None, 0, 1, kept.set_out_on is None)


def _first_cut(
    farm: Farm, planting: Planting, sheet: Sheet, today: date
) -> tuple[tuple[float, float] | None, int, int]:
    """(the days between which it is first cut, where they are known; stems cut of it in this season after the first
    cut; the days whose stems still stand)."""
    out = date.fromisoformat(planting.out_on)
    cut = date.fromisoformat(planting.first_cut) if planting.first_cut is not None else None
    cycle = sheet.life_cycle.value if sheet.life_cycle is not None else ""
    if cut is not None and cut.year == today.year:
        gone = (today - date.fromisoformat(planting.last_cut or planting.first_cut or "")).days
        # how much stands at the first cut is as she waits for it: what opened after it tells of the rest
        begun = sum(
            lot.cut
            for lot in farm.lots.all()
            if lot.planting == planting.code and lot.cut_on == planting.first_cut
        )
        stems = max(planting.stems_cut - begun, 0) if out.year >= today.year - 1 else 0
        at = float(cut.toordinal())
        return (at, at), stems, max(min(gone, usual_days(planting.crop)), 1)
    if cut is not None and cycle.startswith(("perennial", "shrub")):
        again = cut.replace(year=today.year).toordinal()
        return (again - 10.0, again + 10.0), 0, 1
    if cycle.startswith("biennial") and out.month >= 7:
        last = frosts(farm, today.year).spring[32, 50].toordinal()
        early, late = sheet.flowers_weeks.value if sheet.flowers_weeks is not None else (2, 6)
        return (last + 7 * early, last + 7 * late), 0, 1
    return None, 0, 1


def _days_to_first_cut(sheet: Sheet, drilled: bool) -> tuple[float, float] | None:
    if drilled and sheet.days_from_sowing is not None:
        return _single(sheet.days_from_sowing.value, 0.1)
    if sheet.days_to_first_cut is None:
        return None
    low, high = _single(sheet.days_to_first_cut.value, 0.1)
    if drilled and sheet.weeks_in_tray is not None:
        return low + 7 * sheet.weeks_in_tray.value[0], high + 7 * sheet.weeks_in_tray.value[1]
    return low, high


class Stand(NamedTuple):
    """What stands, waits in a tray or is only planned, as the other hand sees it: its sheet, the day it goes or went
    out, how many plants there are or of how many seeds, the day of its first cut where it is known, and how many stems
    were cut of it in this season; `since`, the days whose stems still stand there this morning."""

    code: str
    crop: str
    variety: str
    sheet: Sheet
    out: int
    plants: int
    seeds: int
    is_up: bool
    first: tuple[float, float] | None
    cut: int
    since: int
    drilled: bool
    gone: int = 0
    """Days since its last cut of this season."""

    @property
    def is_in_cut(self) -> bool:
        """Whether it was cut in this season."""
        return self.first is not None and self.first[0] == self.first[1]


LONG_AGO = 120
"""Days before today that are looked at, to hold what was cut so far against what should have opened."""
TRIES = 60
"""So many years are drawn for a crop that is in cut already; one is kept of them, by what was cut."""
STRAYS = 0.3
"""How far, in its logarithm, what was cut strays from what had opened (common practice)."""
HARDY_ENDS = {"tender": 32, "half-hardy": 28, "hardy": 24}


class Seasons:
    """So many seasons of a farm as another hand draws them: what each planting and lot gives in each.

    Of what is in cut already the years that fit what was cut so far are likelier (Bayes' rule, by drawing again).
    """

    def __init__(self, farm: Farm, today: date, world: World, last: date) -> None:
        self.farm, self.today, self.world = farm, today.toordinal(), world
        self.days = np.arange(self.today, last.toordinal() + 1)
        self.rng = np.random.default_rng([world.seed, 1])
        self.shared = {name: np.random.default_rng([world.seed, 2, i]) for i, name in enumerate(WEATHER)}
        # each part of the range as often: what all share strays least so
        self.weather: dict[str, Array] = {
            name: np.clip(
                (rng.permutation(world.seasons) + rng.uniform(size=world.seasons)) / world.seasons,
                0.001,
                0.999,
            )
            for name, rng in self.shared.items()
        }
        self.energy = np.random.default_rng([world.seed, 3]).uniform(*KJ_PER_MOL, world.seasons)
        self.of_crop: dict[str, dict[str, Array]] = {}
        by_crop: dict[str, list[Stand]] = {}
        for stand in stands_of(farm, today):
            by_crop.setdefault(stand.crop, []).append(stand)
        self.plantings = [
            (stand, given) for crop in by_crop.values() for stand, given in self._crop(crop[0].crop, crop)
        ]
        self.shed = list(self._shed())

    def _draw(self, low: float, high: float, size: int = 0) -> Array:
        return WORLDS[self.world.name](self.rng, low, high, size or self.world.seasons)

    def _of_weather(self, name: str, low: float, high: float) -> Array:
        """The same rank in its range for every crop: one spring is late for all."""
        many = WORLDS[self.world.name](np.random.default_rng(5), low, high, 4000)
        return np.quantile(many, self.weather[name])

    def _own(self, sheet: Sheet, size: int) -> dict[str, Array]:
        """What all plantings of a crop share in a season: `size` of them."""
        found = {name: np.clip(self._draw(*SHARES[name], size), 0, 0.9) for name in SHARES}
        found["stems"] = np.ones(size)
        if sheet.stems_per_plant is not None and sheet.stems_per_plant.value[1] > 1:
            low, high = _single(sheet.stems_per_plant.value, 0.25)
            found["stems"] = np.maximum(self._draw(*_of_a_season(low, high), size), 0.3)
        return found

    def _crop(self, crop: str, stands: Sequence[Stand]) -> list[tuple[Stand, Given]]:
        """Each planting of a crop, with what it gives."""
        seasons = self.world.seasons
        shapes = [self._opened(stand) for stand in stands]
        if not any(stand.cut for stand in stands):
            own = self._own(stands[0].sheet, seasons)
            totals = [self._total(stand, own) for stand in stands]
        else:
            tried = self._own(stands[0].sheet, seasons * TRIES)
            all_totals = [self._total(stand, tried) for stand in stands]
            fits = np.zeros((seasons, TRIES))
            for stand, total, (before, _) in zip(stands, all_totals, shapes, strict=True):
                if stand.cut:
                    foretold = total.reshape(seasons, TRIES) * (1 - tried["cull"].reshape(seasons, TRIES))
                    foretold = np.maximum(foretold * np.maximum(before, 0.02)[:, None], 0.5)
                    fits -= (np.log(stand.cut / foretold) / STRAYS) ** 2 / 2
            weights = np.exp(fits - fits.max(axis=1, keepdims=True))
            chosen = [self.rng.choice(TRIES, p=row / row.sum()) for row in weights]
            at = np.arange(seasons) * TRIES + np.array(chosen)
            own = {name: values[at] for name, values in tried.items()}
            totals = [total[at] for total in all_totals]
        self.of_crop[crop] = own
        return [
            (stand, self._given(stand, own, total, opened))
            for stand, total, (_, opened) in zip(stands, totals, shapes, strict=True)
        ]

    def _total(self, stand: Stand, own: dict[str, Array]) -> Array:
        """All stems that its plants give, good and bad."""
        sheet, size = stand.sheet, len(own["stems"])
        assert sheet.stems_per_plant is not None
        plants: Any = np.full(size, stand.plants)
        if stand.seeds:
            lives = own["survival"] * (1 if stand.is_up else own["germination"])
            if stand.drilled:
                is_large = sheet.seeds_per_gram is not None and sheet.seeds_per_gram.value[1] <= 100
                lives = own["germination"] * own["of large seed" if is_large else "bed_emergence"]
            if sheet.doubles_share is not None and not stand.is_up:
                lives = lives * np.clip(self._draw(*sheet.doubles_share.value, size), 0, 1)
            plants = np.minimum(self.rng.binomial(stand.seeds, np.clip(lives, 0, 1)), stand.plants)
        alive = self.rng.binomial(plants, 1 - own["bed_loss"])
        least, most = sheet.stems_per_plant.value
        unlike = max((most - least) / 2 / 1.2816 * 0.7071 / ((least + most) / 2), 0.02)
        each = self.rng.gamma(1 / unlike**2, unlike**2, size)
        return np.asarray(alive * own["stems"] * (1 + (each - 1) / np.sqrt(np.maximum(alive, 1))))

    def _opened(self, stand: Stand) -> tuple[Array, np.ndarray[Any, Any]]:
        """(the share of a plant's stems that opened and was cut before today, [season, day]: the share that opens on
        each day from today on; on the first what still stands)."""
        sheet, seasons = stand.sheet, self.world.seasons
        assert sheet.cut_weeks is not None
        if stand.first is not None:
            first = self._of_weather("first cut", *stand.first)
            first = first if stand.is_in_cut else np.maximum(first, self.today)
        else:
            first = stand.out + np.maximum(
                self._of_weather("first cut", *(_days_to_first_cut(sheet, stand.drilled) or (1.0, 1.0))), 1
            )
            first = np.maximum(first, self.today)
        length = np.maximum(7 * self._of_weather("weeks", *_single(sheet.cut_weeks.value, 0.2)), 2)
        if stand.is_in_cut:
            # on the day of its last cut it was not over: so much is known, however long ago it was
            length = self._not_over(
                length, self.today - stand.gone - first, _single(sheet.cut_weeks.value, 0.2)
            )
        end = np.full(seasons, np.inf)
        autumn = frosts(self.farm, date.fromordinal(self.today).year).autumn
        frost = autumn.get((HARDY_ENDS[sheet.hardiness_class], 50), autumn.get((32, 50)))
        if frost is not None and ((32, 50) in autumn and sheet.hardiness_class != "hardy"):
            end = self._of_weather("frost", frost.toordinal() - FROST_DAYS, frost.toordinal() + FROST_DAYS)
        days = np.arange(self.today - LONG_AGO, self.days[-1] + 1)
        opened = self._by_day(first, length, sheet, days)
        opened[days[None, :] + 1 > end[:, None]] = 0
        cut = LONG_AGO - stand.since + 1 if stand.is_in_cut else LONG_AGO
        left = opened[:, LONG_AGO:].copy()
        left[:, 0] += opened[:, cut:LONG_AGO].sum(axis=1)
        return (opened[:, :cut] * (days[:cut] >= first[:, None])).sum(axis=1), left

    def _not_over(self, length: Array, gone: Array, weeks: tuple[float, float]) -> Array:
        """The days of cutting where it is known that they are not over: of the years drawn those that last longer."""
        many = np.sort(7 * WORLDS[self.world.name](np.random.default_rng(6), *weeks, 4000))
        over = np.searchsorted(many, gone, side="right")
        ranks = over + self.weather["weeks"] * (len(many) - over)
        later = np.append(many, 0)[np.minimum(ranks, len(many) - 1).astype(int)]
        return np.maximum(np.where(length > gone, length, later), gone + 1)

    def _given(
        self, stand: Stand, own: dict[str, Array], total: Array, opened: np.ndarray[Any, Any]
    ) -> Given:
        """(its sheet, stems that open on each day of each season and are good, days to dry)."""
        sheet, seasons = stand.sheet, self.world.seasons
        good = opened * (1 - own["cull"])[:, None]
        rest = np.maximum(1 - good.sum(axis=1), 0)
        stems = np.floor(total * self.world.yields + self.rng.random(seasons)).astype(int)
        given = self.rng.multinomial(
            np.maximum(stems, 0), np.column_stack([good, rest]) / (good.sum(axis=1) + rest)[:, None]
        )
        dries = (
            self._of_weather("drying", *_single(sheet.drying_days.value, 0.1))
            if sheet.drying_days is not None
            else np.zeros(seasons)
        )
        return sheet, given[:, :-1], np.maximum(dries, 1) + FINISH_DAYS

    def _by_day(
        self, first: Array, length: Array, sheet: Sheet, days: np.ndarray[Any, Any]
    ) -> np.ndarray[Any, Any]:
        """The share of a plant's stems that opens on each day."""
        assert sheet.stems_per_plant is not None
        edges = np.append(days, days[-1] + 1).astype(float)
        if sheet.stems_per_plant.value[1] <= 1 or float(np.median(length)) < 21:
            done = _half_wave((edges[None, :] - first[:, None]) / length[:, None])
            return np.diff(done, axis=1)
        count = flushes(length)
        most = int(count.max())
        sized = np.column_stack([sizes(i, count) for i in range(most)])
        sized *= self.rng.lognormal(0, 0.2, (len(first), most))
        done = np.zeros((len(first), len(edges)))
        for i in range(most):
            middle, width = first + (i + 0.5) * length / count, length / count / 3
            # nothing worth cutting opens before the first cut or after the last: so they are counted
            within = np.clip(edges[None, :], first[:, None], (first + length)[:, None])
            begin, end = (_cdf((at - middle) / width)[:, None] for at in (first, first + length))
            part = (_cdf((within - middle[:, None]) / width[:, None]) - begin) / (end - begin)
            done += sized[:, i : i + 1] * part
        return np.diff(done / sized.sum(axis=1)[:, None], axis=1)

    def _loss(self, crop: str, sheet: Sheet) -> Array:
        if crop not in self.of_crop:
            self.of_crop[crop] = self._own(sheet, self.world.seasons)
        return self.of_crop[crop]["drying_loss"]

    def _shed(self) -> Any:
        """(sort, stems in each season, the first day of each, for how many days it is good) of what is in the shed."""
        for lot in self.farm.lots.live():
            for place, held in lot.holdings.items():
                sheet = farm_sheet(self.farm, lot.crop, lot.way)
                variety = lot.variety or ""
                if place.is_box or place == BENCH:
                    sort = Sort(lot.crop, variety, "wired" if held.form == "wired" else "dry")
                    yield (
                        sort,
                        np.full(self.world.seasons, held.stems),
                        np.full(self.world.seasons, self.today),
                        KEEPS,
                    )
                elif place.is_fresh and lot.use == "fresh" and sheet is not None:
                    # from its cut as long as its sheet says that it may be stored, else as it lasts in a vase at least
                    stores, life = sheet.storage_days_max, sheet.vase_life_days
                    keeps = stores.value if stores is not None else life.value[0] if life is not None else 1
                    waits = date.fromisoformat(lot.cut_on).toordinal() + int(keeps) - self.today
                    if waits >= 0:
                        there = np.full(self.world.seasons, held.stems)
                        yield (
                            Sort(lot.crop, variety, "fresh"),
                            there,
                            np.full(self.world.seasons, self.today),
                            waits,
                        )
                elif place.is_fresh and lot.use == "wire":
                    there = np.full(self.world.seasons, held.stems)
                    yield (
                        Sort(lot.crop, variety, "wired"),
                        there,
                        np.full(self.world.seasons, self.today),
                        KEEPS,
                    )
                elif (
                    (place.is_line or (place.is_fresh and lot.use == "dry"))
                    and sheet is not None
                    and sheet.drying_days is not None
                ):
                    hung = date.fromisoformat(held.since) if place.is_line else date.fromordinal(self.today)
                    ready: Any = self._dry_after(sheet, hung.toordinal(), _bent_on(lot, place, hung))
                    if place.is_line and (lot.weighings or lot.tests):
                        (row,) = (
                            row
                            for row in shelf_rows(self.farm, date.fromordinal(self.today), [lot])
                            if row.line == place
                        )
                        if row.status == "dry":
                            there = np.full(self.world.seasons, held.stems)
                            at_once = np.full(self.world.seasons, self.today)
                            yield Sort(lot.crop, variety, "dry"), there, at_once, KEEPS
                            continue
                        if row.speaks == WEIGHINGS:
                            # it is as dry as its weights say; tests/drying holds their nine in ten to what happens
                            low, high = (_ordinal(row.dry_from), _ordinal(row.dry_by))
                            middle, half = (low + high) / 2 + NOON, (high - low) / 2 * 1.2816 / 1.6449
                            ready = self._of_weather("drying", middle - half, middle + half)
                    ready = ready + FINISH_DAYS
                    left = self.rng.binomial(held.stems, 1 - self._loss(lot.crop, sheet))
                    yield Sort(lot.crop, variety, "dry"), left, np.maximum(ready, self.today), KEEPS

    def left_of(self, n: int, accepts: Sequence[str]) -> float:
        """What a stem of these sorts counts where stems are told as what is left of them once dried: one that is
        sold fresh loses nothing in drying, and so many of those that are told make one of it."""
        crops = {key.partition("|")[0] for key in accepts if key.endswith("|fresh")}
        if len(crops) == 0 or not all(key.endswith("|fresh") for key in accepts):
            return 1.0
        lost = [self.of_crop[crop]["drying_loss"][n] for crop in crops if crop in self.of_crop]
        return 1 - float(np.mean(lost)) if lost else 1.0

    def _dry_after(self, sheet: Sheet, hung: int, bent: int | None) -> Array:
        """The day (an ordinal, with a part of a day) on which what was hung on a day is dry, in its own shed; later
        than the day on which a stem still `bent`."""
        assert sheet.drying_days is not None
        book = _single(sheet.drying_days.value, 0.1)
        if sheet.drying_method is not None and sheet.drying_method.value.startswith("silica") and book[1] < 7:
            book = ON_A_LINE
        done = dried_by_day(self.farm, hung, self.today, self.energy)
        many = np.sort(WORLDS[self.world.name](np.random.default_rng(5), *book, 4000))
        gone = np.full(self.world.seasons, -np.inf) if bent is None else done[:, bent - hung]
        over = np.searchsorted(many, gone, side="right")
        # of the years drawn those that take longer: each keeps its rank among them
        ranks = over + self.weather["drying"] * (len(many) - 1 - over)
        days = np.maximum(np.interp(ranks, np.arange(len(many)), many), np.maximum(gone, 1))
        return hung + NOON + after(done, days)

    def sorts(self) -> list[Sort]:
        found = {sort for sort, *_ in self.shed}
        for planting, _ in self.plantings:
            found |= {Sort(planting.crop, planting.variety, form) for form in ("fresh", "dry", "wired")}
        return sorted(found)

    def lots(self, n: int, crops: Collection[str] | None = None, *, is_dried: bool = True) -> list[Lot]:
        """Everything of these crops (None: of all) that can be handed over in season `n`.

        Where nothing of them is wanted dried (`is_dried`), nothing is lost in drying and in store; else all stems are
        told as what is left of them once they are dried (`left_of`), also those that are sold fresh.
        """
        found = []
        for i, (sort, stems, ready, keeps) in enumerate(self.shed):
            there = int(stems[n])
            if is_dried and sort.form == "fresh":
                there = round(there * self.left_of(n, [sort.key]))
            if there > 0 and (crops is None or sort.crop in crops):
                days = _day(ready[n]), _day(ready[n] + keeps)
                found.append(Lot(*days, there, sort.key, f"shed {i}"))
        for planting, (sheet, stems, dries) in self.plantings:
            if crops is not None and planting.crop not in crops:
                continue
            crop, variety, hold = planting.crop, planting.variety, _hold(sheet)
            lost = self.of_crop[crop]["drying_loss"][n]
            for at in np.flatnonzero(stems[n]):
                cut, amount = int(self.days[at]), int(stems[n][at])
                ready = _day(cut + dries[n])
                also = tuple(
                    Window(Sort(crop, variety, form).key, ready, _day(cut + KEEPS))
                    for form in ("dry", "wired")
                )
                if sheet.drying_days is None or not is_dried:
                    also = ()
                else:
                    # in store until half of the time to the last day is over, as a mean of all that is promised
                    stored = (
                        self.of_crop[crop]["storage_loss"][n]
                        * max(int(self.days[-1]) - cut - dries[n], 0)
                        / 730
                    )
                    amount = int(self.rng.binomial(amount, (1 - lost) * (1 - stored)))
                fresh = Sort(crop, variety, "fresh").key
                found.append(Lot(_day(cut), _day(cut + hold), amount, fresh, f"{planting.code} {cut}", also))
        return found


def _bent_on(lot: Cut, place: Place, hung: date) -> int | None:
    """The last day (an ordinal) on which a stem of what hangs there still bent; None where none was tried."""
    tried = [_ordinal(on) for on, result, line in lot.tests if result == "bends" and line in ("", place)]
    return max((day for day in tried if day >= hung.toordinal()), default=None)


def _ordinal(on: str) -> int:
    return date.fromisoformat(on).toordinal()


def _day(at: float) -> date:
    return date.fromordinal(int(at))
