"""Seasons from another hand: whether a planned promise is kept, by counting plants and stems one by one.

It shares no code with the plan and no curve: it reads the crop's sheet, what the plan tells a grower to do (how many
seeds and plants, on which day) and the ranges that a plan claims to rest on, and makes up seasons of its own. Every
range is the middle 80 % of another family of distributions: heavier in its tails than a normal one (logistic), lighter
(triangular), or leaning to one side (Gumbel, and its mirror). Flushes are bells of unlike size, a single stem opens
by a bell, whole stems are counted, plant by plant.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt

from core.crops.sheet import Sheet
from core.plans.plan import Plan

Array = npt.NDArray[np.float64]
Draw = Callable[[np.random.Generator, float, float, int], Array]

SHARES = {
    "germination": (0.70, 0.90),
    "survival": (0.80, 0.96),
    "bed_emergence": (0.45, 0.75),
    "of large seed": (0.70, 0.90),
    "bed_loss": (0.02, 0.10),
    "cull": (0.10, 0.25),
    "drying_loss": (0.05, 0.10),
    "storage_loss": (0.05, 0.10),
}
WEATHER = ("first cut", "weeks", "drying", "frost")
FINISH_DAYS = 2
FROST_DAYS = 12


def _heavy(rng: np.random.Generator, low: float, high: float, size: int) -> Array:
    u = rng.uniform(1e-9, 1, size)
    return (low + high) / 2 + (high - low) / 2 / np.log(9) * np.log(u / (1 - u))


def _light(rng: np.random.Generator, low: float, high: float, size: int) -> Array:
    # a triangle on (-1, 1) has its middle 80 % between -+(1 - sqrt(0.2))
    half = (high - low) / 2 / (1 - np.sqrt(0.2))
    return np.asarray((low + high) / 2 + half * rng.triangular(-1, 0, 1, size))


def _late(rng: np.random.Generator, low: float, high: float, size: int) -> Array:
    # Gumbel: its quantiles are m - b ln(-ln u)
    at_10, at_90 = -np.log(-np.log(0.1)), -np.log(-np.log(0.9))
    scale = (high - low) / (at_90 - at_10)
    return np.asarray(low - scale * at_10 + rng.gumbel(0, scale, size))


def _early(rng: np.random.Generator, low: float, high: float, size: int) -> Array:
    return -_late(rng, -high, -low, size)


WORLDS: dict[str, Draw] = {"heavy": _heavy, "light": _light, "late": _late, "early": _early}


Stands = Sequence[tuple[int, date]]
"""(plants, the day they were set out) of what grows beside the plants of a plan."""


def kept(plan: Plan, world: str, seasons: int = 2000, seed: int = 1, also: Stands = ()) -> float:
    """The share of made-up seasons in which the plan's promise is kept, by its plants and those that stand `also`."""
    return float(np.mean(met(plan, world, seasons, seed, also=also)))


def met(
    plan: Plan, world: str, seasons: int = 2000, seed: int = 1, weather: int = 99, also: Stands = ()
) -> npt.NDArray[np.bool_]:
    """Whether the plan's promise is kept in each of so many seasons; plans with the same `weather` share it."""
    rng, ask, sheet = np.random.default_rng(seed), plan.ask, plan.ask.sheet
    draw, shared = (
        WORLDS[world],
        {name: np.random.default_rng([weather, i]) for i, name in enumerate(WEATHER)},
    )

    def of(low: float, high: float) -> Array:
        return draw(rng, low, high, seasons)

    def of_weather(name: str, low: float, high: float) -> Array:
        return draw(shared[name], low, high, seasons)

    def share(name: str) -> Array:
        return np.clip(of(*SHARES[name]), 0, 1)

    beds = [(_standing(plan, sheet, share, of, rng), _day(plan.set_out_on or plan.sow_on))]
    beds += [(rng.binomial(plants, 1 - share("bed_loss")), _day(out)) for plants, out in also]
    days_to_cut = np.maximum(of_weather("first cut", *_days_to_cut(plan, sheet)), 1)
    assert sheet.cut_weeks is not None and sheet.stems_per_plant is not None
    length = np.maximum(7 * of_weather("weeks", *_single(sheet.cut_weeks.value, 0.2)), 2)
    start, end = np.full(seasons, -np.inf), np.full(seasons, float(_day(ask.wish.by)))
    keeps, stored = 1 - share("cull"), np.ones(seasons)
    if ask.wish.use == "fresh":
        start = end - _hold(sheet)
    else:
        assert sheet.drying_days is not None
        end = end - np.maximum(of_weather("drying", *_single(sheet.drying_days.value, 0.1)), 1) - FINISH_DAYS
        keeps, stored = keeps * (1 - share("drying_loss")), 1 - share("storage_loss")
    frost = ask.frost.autumn.get((32, 50))
    if frost is not None and sheet.hardiness_class != "hardy":
        end = np.minimum(end, of_weather("frost", _day(frost) - FROST_DAYS, _day(frost) + FROST_DAYS))
    stems, had = sheet.stems_per_plant.value, np.zeros(seasons)
    mean = _mean_stems(stems, of) if stems[1] > 1 else None
    for plants, out in beds:
        first = out + days_to_cut
        in_time = _in_time(first, length, start, end + 1, stems, rng)
        years = np.maximum(_day(ask.wish.by) - (first + end) / 2 - 10, 0) / 365
        given = plants if mean is None else _stems(plants, stems, mean, rng)
        had = had + rng.binomial(given, np.clip(in_time * keeps * stored**years, 0, 1))
    return np.asarray(had >= ask.wish.stems)


def _day(day: date | None) -> int:
    assert day is not None
    return day.toordinal()


def _single(span: tuple[float, float], give: float) -> tuple[float, float]:
    """One figure alone is the middle of a range of so much more and less."""
    return span if span[0] < span[1] else (span[0] * (1 - give), span[1] * (1 + give))


def _days_to_cut(plan: Plan, sheet: Sheet) -> tuple[float, float]:
    if plan.set_out_on is None and sheet.days_from_sowing is not None:
        return _single(sheet.days_from_sowing.value, 0.1)
    assert sheet.days_to_first_cut is not None
    low, high = _single(sheet.days_to_first_cut.value, 0.1)
    if plan.set_out_on is not None:
        return low, high
    assert sheet.weeks_in_tray is not None
    return low + 7 * sheet.weeks_in_tray.value[0], high + 7 * sheet.weeks_in_tray.value[1]


def _hold(sheet: Sheet) -> int:
    """Days that a cut stem may wait in the cooler and leave its buyer two thirds of its vase life: each takes 0.3 of a
    day at the worst (lupine lost 3 days in a week at 1 C: Dole et al.; zinnia's own are in its sheet)."""
    if sheet.storage_days_max is None and sheet.storage_temp_f is None:
        return 3
    limits = [7.0]
    if sheet.storage_days_max is not None:
        limits.append(sheet.storage_days_max.value)
    if sheet.vase_life_days is not None:
        low, high = sheet.vase_life_days.value
        limits.append(((low + high) / 2 + np.sqrt(low * high)) / 2 / 3 / 0.3)
    return int(min(limits))


def _standing(plan: Plan, sheet: Sheet, share: Callable[[str], Array], of: Any, rng: Any) -> npt.NDArray[Any]:
    """Plants that stand to be cut: of the seed, no more than there is room for, less those lost in the bed."""
    set_out: Any = plan.plants_out
    if plan.seeds is not None:
        is_large = sheet.seeds_per_gram is not None and sheet.seeds_per_gram.value[1] <= 100
        in_bed = "of large seed" if is_large else "bed_emergence"
        live = share("germination") * share(in_bed if plan.set_out_on is None else "survival")
        if sheet.doubles_share is not None:
            live = live * np.clip(of(*sheet.doubles_share.value), 0, 1)
        set_out = np.minimum(rng.binomial(plan.seeds, live), plan.plants_out)
    return np.asarray(rng.binomial(set_out, 1 - share("bed_loss")))


def _in_time(first: Array, length: Array, start: Array, end: Array, stems: Any, rng: Any) -> Array:
    """The share of a plant's stems that opens from `start` to `end`."""
    if stems[1] <= 1 or float(np.median(length)) < 21:
        return _half_wave((end - first) / length) - _half_wave((start - first) / length)
    total, found = np.zeros_like(first), np.zeros_like(first)
    count = flushes(length)
    for i in range(int(count.max())):
        size = sizes(i, count) * rng.lognormal(0, 0.2, len(first))
        middle, width = first + (i + 0.5) * length / count, length / count / 3
        total += size
        found += size * (_cdf((end - middle) / width) - _cdf((start - middle) / width))
    return np.asarray(np.clip(found / total, 0, 1))


def flushes(length: Array) -> Array:
    """How many flushes each season has, a fortnight apart, two at the least: a long season has more of them."""
    return np.maximum(2, np.round(length / 14))


def sizes(i: int, count: Array) -> Array:
    """How large flush `i` is in each season: the first and the last are half as large as those between."""
    return np.where(i >= count, 0.0, np.where((i == 0) | (i == count - 1), 0.5, 1.0))


def _half_wave(x: Array) -> Array:
    """How much has opened where more and more do until the middle, and less and less after it, by half a wave."""
    return np.asarray((1 - np.cos(np.pi * np.clip(x, 0, 1))) / 2)


def _cdf(x: Array) -> Array:
    """Of the logistic distribution with standard deviation 1: a bell."""
    return np.asarray(1 / (1 + np.exp(-np.clip(x, -30, 30) * np.pi / np.sqrt(3))))


def _mean_stems(stems: tuple[float, float], of: Any) -> Array:
    """Stems a plant in the mean of each season."""
    return np.maximum(of(*_of_a_season(*_single(stems, 0.25))), 0.5)


def _stems(standing: npt.NDArray[Any], stems: tuple[float, float], mean: Array, rng: Any) -> npt.NDArray[Any]:
    """Whole stems of all plants of a season: its own mean, and unlike plants about it."""
    low, high = _single(stems, 0.25)
    middle = (low + high) / 2
    # half of the variance of the range (its ends lie 1.28 standard deviations from the middle) is from plant to plant
    spread = max((stems[1] - stems[0]) / 2 / 1.2816 * np.sqrt(0.5), 0.3) / middle
    found = np.zeros(len(standing), dtype=int)
    for i, (plants, of_season) in enumerate(zip(standing, mean, strict=True)):
        each = rng.gamma(1 / spread**2, of_season * spread**2, plants)
        found[i] = int(np.floor(each + rng.random(plants)).sum())
    return found


def _of_a_season(low: float, high: float) -> tuple[float, float]:
    """The middle 80 % of the mean of a season, by that of single plants: the other half of the variance, a quarter
    either way at the least, and within the range."""
    part = np.sqrt(0.5)
    middle, factor = (low + high) / 2, np.sqrt(high / low)
    known = (middle + np.sqrt(low * high)) / 2
    least = (middle - part * (high - low) / 2 + np.sqrt(low * high) / factor**part) / 2
    most = (middle + part * (high - low) / 2 + np.sqrt(low * high) * factor**part) / 2
    return max(low, min(least, 0.75 * known)), min(high, max(most, 1.25 * known))
