"""What becomes of promises in seasons of another hand: stems opened day by day, lots dried and lost one by one.

It shares no curve and no distribution with what answers the promises: days, stems and losses are drawn as
tests/plans/other_hand.py draws them, in four made-up worlds. All plantings of a season share its weather; the stems and
losses of a crop are its own. What is promised is then served from what there is, by due day, priority and age.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, NamedTuple

import numpy as np

from core.crops.sheet import Sheet
from core.farm import Farm, Planting
from core.places import BENCH
from core.promising.claims import Claim, Sort, as_need
from core.reckon.promise.allocation import served
from core.reckon.promise.needs import Lot, Window
from core.settings.sheets import farm_sheet, frosts
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
)

KEEPS = 365


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
    needs = [as_need(claim, sorts) for claim in claims]
    found = np.zeros((world.seasons, len(claims)), dtype=bool)
    for n in range(world.seasons):
        got = served(needs, given.lots(n))
        found[n] = [count >= claim.wanted for count, claim in zip(got, claims, strict=True)]
    return found


class Seasons:
    """So many seasons of a farm as another hand draws them: what each planting and lot gives in each."""

    def __init__(self, farm: Farm, today: date, world: World, last: date) -> None:
        self.farm, self.today, self.world = farm, today.toordinal(), world
        self.days = np.arange(self.today, last.toordinal() + 1)
        self.rng = np.random.default_rng([world.seed, 1])
        self.shared = {name: np.random.default_rng([world.seed, 2, i]) for i, name in enumerate(WEATHER)}
        self.weather: dict[str, Array] = {
            name: rng.uniform(0.001, 0.999, world.seasons) for name, rng in self.shared.items()
        }
        self.of_crop: dict[str, dict[str, Array]] = {}
        self.plantings = [(p, self._planting(p)) for p in farm.plantings.live()]
        self.shed = list(self._shed())

    def _draw(self, low: float, high: float, rng: Any = None) -> Array:
        return WORLDS[self.world.name](rng or self.rng, low, high, self.world.seasons)

    def _of_weather(self, name: str, low: float, high: float) -> Array:
        """The same rank in its range for every crop: one spring is late for all."""
        many = WORLDS[self.world.name](np.random.default_rng(5), low, high, 4000)
        return np.quantile(many, self.weather[name])

    def _own(self, crop: str, sheet: Sheet) -> dict[str, Array]:
        """What all plantings of a crop share in a season."""
        if crop not in self.of_crop:
            found = {name: np.clip(self._draw(*SHARES[name]), 0, 0.9) for name in SHARES}
            if sheet.stems_per_plant is not None and sheet.stems_per_plant.value[1] > 1:
                low, high = _single(sheet.stems_per_plant.value, 0.25)
                found["stems"] = np.maximum(self._draw(*_of_a_season(low, high)), 0.3)
            else:
                found["stems"] = np.ones(self.world.seasons)
            self.of_crop[crop] = found
        return self.of_crop[crop]

    def _planting(self, planting: Planting) -> tuple[Sheet, np.ndarray[Any, Any], Array]:
        """(its sheet, stems that open on each day of each season and are good, days to dry)."""
        sheet = farm_sheet(self.farm, planting.crop, planting.way)
        assert sheet is not None and sheet.cut_weeks is not None and sheet.stems_per_plant is not None
        assert sheet.days_to_first_cut is not None and planting.plants
        own, seasons = self._own(planting.crop, sheet), self.world.seasons
        out = date.fromisoformat(planting.out_on).toordinal()
        first = out + np.maximum(
            self._of_weather("first cut", *_single(sheet.days_to_first_cut.value, 0.1)), 1
        )
        if planting.first_cut is not None:
            first = np.full(seasons, float(date.fromisoformat(planting.first_cut).toordinal()))
        else:
            first = np.maximum(first, self.today)
        length = np.maximum(7 * self._of_weather("weeks", *_single(sheet.cut_weeks.value, 0.2)), 2)
        frost = frosts(self.farm, self.days_year()).autumn.get((32, 50))
        end = np.full(seasons, np.inf)
        if frost is not None and sheet.hardiness_class != "hardy":
            at = frost.toordinal()
            end = self._of_weather("frost", at - FROST_DAYS, at + FROST_DAYS)
        stands = self.rng.binomial(planting.plants, 1 - own["bed_loss"])
        spread = max(
            (sheet.stems_per_plant.value[1] - sheet.stems_per_plant.value[0]) / 2 / 1.2816 * 0.7071, 0.0
        )
        middle = sum(sheet.stems_per_plant.value) / 2
        each = self.rng.gamma(
            1 / max(spread / middle, 0.02) ** 2, max(spread / middle, 0.02) ** 2, (seasons, 1)
        )
        unlike = 1 + (each[:, 0] - 1) / np.sqrt(np.maximum(stands, 1))
        total = np.floor(
            stands * own["stems"] * unlike * self.world.yields + self.rng.random(seasons)
        ).astype(int)
        opened = self._opened(first, length, sheet)
        opened[self.days[None, :] + 1 > end[:, None]] = 0
        good = opened * (1 - own["cull"])[:, None]
        rest = np.maximum(1 - good.sum(axis=1), 0)
        stems = self.rng.multinomial(
            np.maximum(total, 0), np.column_stack([good, rest]) / (good.sum(axis=1) + rest)[:, None]
        )
        dries = (
            self._of_weather("drying", *sheet.drying_days.value)
            if sheet.drying_days is not None
            else np.zeros(seasons)
        )
        return sheet, stems[:, :-1], np.maximum(dries, 1) + FINISH_DAYS

    def days_year(self) -> int:
        return date.fromordinal(self.today).year

    def _opened(self, first: Array, length: Array, sheet: Sheet) -> np.ndarray[Any, Any]:
        """The share of a plant's stems that opens on each day."""
        assert sheet.stems_per_plant is not None
        edges = np.append(self.days, self.days[-1] + 1).astype(float)
        if sheet.stems_per_plant.value[1] <= 1 or float(np.median(length)) < 21:
            done = _half_wave((edges[None, :] - first[:, None]) / length[:, None])
            return np.diff(done, axis=1)
        count = max(2, round(float(np.median(length)) / 14))
        sizes = np.array([0.5 if i in (0, count - 1) else 1.0 for i in range(count)])
        sizes = sizes[None, :] * self.rng.lognormal(0, 0.2, (len(first), count))
        done = np.zeros((len(first), len(edges)))
        for i in range(count):
            middle, width = first + (i + 0.5) * length / count, length / count / 3
            done += sizes[:, i : i + 1] * _cdf((edges[None, :] - middle[:, None]) / width[:, None])
        return np.diff(done / sizes.sum(axis=1)[:, None], axis=1)

    def _shed(self) -> Any:
        """(sort, stems, first day, last day, whether it is still to dry) of what is in the shed."""
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
                    )
                elif place.is_line and sheet is not None and sheet.drying_days is not None:
                    hung = date.fromisoformat(held.since).toordinal()
                    ready = hung + self._of_weather("drying", *sheet.drying_days.value) + FINISH_DAYS
                    left = self.rng.binomial(held.stems, 1 - self._own(lot.crop, sheet)["drying_loss"])
                    yield Sort(lot.crop, variety, "dry"), left, np.maximum(ready, self.today)

    def sorts(self) -> list[Sort]:
        found = {sort for sort, _, _ in self.shed}
        for planting, _ in self.plantings:
            found |= {Sort(planting.crop, planting.variety or "", form) for form in ("fresh", "dry", "wired")}
        return sorted(found)

    def lots(self, n: int) -> list[Lot]:
        """Everything that can be handed over in season `n`."""
        found = [
            Lot(_day(ready[n]), _day(ready[n] + KEEPS), int(stems[n]), sort.key, f"shed {i}")
            for i, (sort, stems, ready) in enumerate(self.shed)
            if stems[n] > 0
        ]
        for planting, (sheet, stems, dries) in self.plantings:
            crop, variety, hold = planting.crop, planting.variety or "", _hold(sheet)
            lost = self.of_crop[crop]["drying_loss"][n]
            for at in np.flatnonzero(stems[n]):
                cut, amount = int(self.days[at]), int(stems[n][at])
                ready = _day(cut + dries[n])
                also = tuple(
                    Window(Sort(crop, variety, form).key, ready, _day(cut + KEEPS))
                    for form in ("dry", "wired")
                )
                if sheet.drying_days is None:
                    also = ()
                else:
                    amount = int(self.rng.binomial(amount, 1 - lost))
                fresh = Sort(crop, variety, "fresh").key
                found.append(Lot(_day(cut), _day(cut + hold), amount, fresh, f"{planting.code} {cut}", also))
        return found


def _day(at: float) -> date:
    return date.fromordinal(int(at))
