"""The chance that a promise is kept, over a fixed sample of seasons in which everything may go otherwise at once.

A season has one weather and one lot of seed: days to the first cut, weeks of cutting, stems a plant, drying, the
autumn frost, germination and the shares lost are drawn once for all plants, each from its own range. Within a season
plants differ and fail one by one: so many stems in time come from so many plants with a mean and a spread, and the
normal distribution says how likely they are enough (half a stem given for whole stems). The chance is the mean over
all seasons.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, erfc, exp, pi, sqrt
from statistics import fmean
from typing import NamedTuple

from core.plans.crop_season import Course, that_live
from core.plans.defaults import FLUSHES
from core.plans.flushes import share_after
from core.plans.own_shares import range_of_share
from core.plans.wish import Ask
from core.reckon.spreads import How, Span, draw, drawn

SEASONS = 512
FEW = 128
"""Seasons enough to choose a day by, and for a week among others."""
MOST_TIMES = 6
"""No more plants are counted out than so many times those of a usual season: what they cannot make sure, none can."""
GIVEN_UP = 0.1
"""Where no count is sure enough, the chance falls short by so much of the best that there is, to spare plants."""

FIRST_CUT, WEEKS, STEMS, FROST, DRYING = (
    "days to the first cut",
    "weeks of cutting",
    "stems a plant",
    "the first autumn frost",
    "days to dry",
)
FLUSH = "stems by flush"
CULL, BED_LOSS, DRYING_LOSS, STORE_LOSS = "culls", "loss in the bed", "loss in drying", "loss in store"
SEED, LIVES, DOUBLES = "germination", "seedlings that live", "doubles"
OF_PLANTS = (FIRST_CUT, STEMS, FROST, WEEKS, FLUSH, CULL, BED_LOSS, DRYING, DRYING_LOSS, STORE_LOSS)
OF_SEED = (SEED, LIVES, DOUBLES)
FIGURES = (*OF_PLANTS, *OF_SEED)
"""What a season draws, in the order of the sample."""
TIMING = frozenset({FIRST_CUT, WEEKS, DRYING, FROST})
APART = 97
"""Of several crops promised together each meets its own luck so many seasons on, and the same weather."""
NOTHING: Span = (0.0, 0.0)
NO_FROST = float(date.max.toordinal())


class Season(NamedTuple):
    """One season, in the order of `FIGURES`: days to the first cut, stems a plant, the frost (an ordinal), days of
    cutting, and so on; shares that are lost as what is left of them."""

    lag: float
    stems: float
    frost: float
    days: float
    flush: float
    good: float
    stand: float
    drying: float
    dried: float
    stored: float
    germinate: float
    live: float
    doubles: float


class OfPlant(NamedTuple):
    """What one plant set out gives in a season, of stems that can be handed over: mean and variance."""

    mean: float
    variance: float


class Sown(NamedTuple):
    """So many seeds; `rho` is how alike those of one lot fare beyond what the season does to all (0: not at all)."""

    seeds: int
    rho: float


NONE = OfPlant(0.0, 0.0)
NOTHING_ELSE = (NONE,) * SEASONS
"""What stands beside the plants of a plan, season by season, where nothing does."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """The figure that carries most of the doubt, and the `plants` to set out that would be enough if that one figure
    were sure to be as usual."""

    figure: str
    plants: int


Columns = Mapping[str, tuple[float, ...]]


def columns_of(ask: Ask, course: Course, count: int = SEASONS) -> Columns:
    """figure name -> its value in each of the `count` seasons of the sample. The sample is always the same; fewer
    seasons are its first ones."""
    found = {}
    for place, (name, (how, span)) in enumerate(_ranges(ask, course).items()):
        if name in ask.steady:
            found[name] = (draw(how, span, 0.0),) * count
        else:
            column = drawn(how, span, place, len(FIGURES), SEASONS)
            own = 0 if name in TIMING else ask.place * APART % SEASONS
            found[name] = (column[own:] + column[:own])[:count]
    return found


def seasons_of(columns: Columns, usual: Season, sure: Collection[str] = ()) -> list[Season]:
    """The seasons of a sample; the figures named in `sure` are as usual in all of them."""
    count = len(columns[FIRST_CUT])
    values = (
        (at,) * count if name in sure else columns[name] for name, at in zip(FIGURES, usual, strict=True)
    )
    return list(map(Season._make, zip(*values, strict=True)))


def usual_season(ask: Ask, course: Course) -> Season:
    """The season in which everything goes as usual."""
    return Season(*(draw(how, span, 0.0) for how, span in _ranges(ask, course).values()))


def _ranges(ask: Ask, course: Course) -> dict[str, tuple[How, Span]]:
    """Every figure's range and how it is drawn, in the order of `FIGURES`."""
    frost = (NO_FROST, NO_FROST)
    if course.ends is not None:
        day, give = course.ends[0].toordinal() + 1, course.frost_days
        frost = (day - give, day + give)
    is_dried = course.dries is not None
    least, most = course.weeks.value
    return {
        FIRST_CUT: ("even", course.lag.value),
        STEMS: ("positive", course.season_stems),
        FROST: ("even", frost),
        WEEKS: ("positive", (7 * least, 7 * most)),
        FLUSH: ("positive", FLUSHES if len(course.flushes) > 1 else (1.0, 1.0)),
        CULL: ("left", _range(ask, "cull")),
        BED_LOSS: ("left", _range(ask, "bed_loss")),
        DRYING: ("even", course.dries or NOTHING),
        DRYING_LOSS: ("left", _range(ask, "drying_loss") if is_dried else NOTHING),
        STORE_LOSS: ("left", _range(ask, "storage_loss") if is_dried else NOTHING),
        SEED: ("share", _range(ask, "germination")),
        LIVES: ("share", that_live(ask, course.drilled)[1]),
        DOUBLES: ("share", course.doubles.value if course.doubles is not None else (1.0, 1.0)),
    }


def _range(ask: Ask, name: str) -> Span:
    """A share's range; what she has said stands at her word."""
    return range_of_share(ask.sheet, getattr(ask.given, name), name)


# Stems in time


def of_plants(ask: Ask, course: Course, out: date, seasons: Iterable[Season]) -> list[OfPlant]:
    """What a plant set out on that day gives in each season."""
    planted, flushes, usual = out.toordinal(), len(course.flushes), course.stems_each()
    start = course.count_from.toordinal()
    by = ask.wish.by.toordinal() + 1 - (ask.given.finish_days.value if course.dries is not None else 0.0)
    unlike = (course.sd.value / usual) ** 2
    found = []
    for season in seasons:
        first, days = planted + max(season.lag, 0.0), max(season.days, 1.0)
        ready = by - max(season.drying, 0.0)
        end = min(ready, season.frost)
        begun, done = max((start - first) / days, 0.0), min((end - first) / days, 1.0)
        if done <= begun:
            found.append(NONE)
            continue
        share = share_after(flushes, done) - share_after(flushes, begun)
        if flushes > 1:
            # one flush is larger and another smaller: over many, and over all, that evens out
            part = done - begun
            share = min(share * season.flush ** sqrt((1 - part) / max(part * flushes, 1.0)), 1.0)
        good = season.good * season.dried
        if season.stored < 1:
            middle = (max(first, start) + min(end, first + days)) / 2
            good *= season.stored ** (max(ready - middle, 0.0) / 365)
        given = season.stems * share * good
        variance = given * (1 - share * good) + unlike * given * given
        stand = season.stand
        found.append(OfPlant(stand * given, stand * variance + stand * (1 - stand) * given * given))
    return found


def together(before: OfPlant, of: OfPlant, plants: int) -> OfPlant:
    """Mean and variance of the stems in one season of those `before` and of `plants` more that each give `of`."""
    return OfPlant(before.mean + plants * of.mean, before.variance + plants * of.variance)


def chance_of(
    stems: int, plants: int, each: Iterable[OfPlant], beside: Iterable[OfPlant] = NOTHING_ELSE
) -> float:
    """The chance, over all seasons, that so many plants set out give the stems, with what stands `beside` them."""
    total, count = 0.0, 0
    enough = stems - 0.5
    for (mean, variance), (more, vary) in zip(each, beside, strict=False):
        count += 1
        given, spread = plants * mean + more, plants * variance + vary
        if spread > 0:
            total += erfc((enough - given) / sqrt(2 * spread))
        elif given >= enough:
            total += 2
    return total / 2 / count


def chance_with_seed(
    stems: int,
    plants: int,
    sown: Sown,
    each: Iterable[OfPlant],
    seasons: Iterable[Season],
    beside: Iterable[OfPlant] = NOTHING_ELSE,
) -> float:
    """As `chance_of`, where the plants come of so many seeds and may be fewer than there is room for."""
    return fmean(chances_with_seed(stems, plants, sown, each, seasons, beside))


def chances_with_seed(
    stems: int,
    plants: int,
    sown: Sown,
    each: Iterable[OfPlant],
    seasons: Iterable[Season],
    beside: Iterable[OfPlant] = NOTHING_ELSE,
) -> Iterator[float]:
    """That chance, season by season."""
    for of_plant, season, more in zip(each, seasons, beside, strict=False):
        mean, variance = _set_out(plants, sown, season.germinate * season.live * season.doubles)
        stems_mean = mean * of_plant.mean + more.mean
        stems_variance = mean * of_plant.variance + variance * of_plant.mean**2 + more.variance
        if stems_variance > 0:
            yield 0.5 * erfc((stems - 0.5 - stems_mean) / sqrt(2 * stems_variance))
        else:
            yield float(stems_mean >= stems - 0.5)


def _set_out(room: int, sown: Sown, share: float) -> tuple[float, float]:
    """Mean and variance of the plants that so many seeds make, no more than there is room for."""
    mean = sown.seeds * share
    variance = mean * (1 - share) * (1 + max(sown.seeds - 1, 0) * sown.rho)
    if variance <= 0:
        return min(mean, room), 0.0
    spread = sqrt(variance)
    z = (room - mean) / spread
    below, at = 0.5 * erfc(-z / sqrt(2)), exp(-z * z / 2) / sqrt(2 * pi)
    set_out = mean * below - spread * at + room * (1 - below)
    square = (mean * mean + variance) * below - spread * (room + mean) * at + room * room * (1 - below)
    return set_out, max(square - set_out * set_out, 0.0)


# How many


def least_plants(
    stems: int, sure: float, each: Sequence[OfPlant], most: int, beside: Sequence[OfPlant] = NOTHING_ELSE
) -> tuple[int, float]:
    """(the fewest plants to set out with which the stems are there with chance `sure`, that chance).

    Where `most` plants are not sure enough, those that come near the best chance there is.
    """
    best = chance_of(stems, most, each, beside)
    wanted = sure if best >= sure else max(best - GIVEN_UP, best / 2)
    plants = _fewest(stems, wanted, each, most, beside)
    return plants, chance_of(stems, plants, each, beside)


def _fewest(stems: int, wanted: float, each: Sequence[OfPlant], most: int, beside: Sequence[OfPlant]) -> int:
    """The fewest plants that give the stems with that chance; so many that `most` do."""
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        if chance_of(stems, middle, each, beside) >= wanted:
            high = middle
        else:
            low = middle
    return high


def most_plants(stems: int, usual: OfPlant) -> int:
    """The most plants that a plan counts with: `MOST_TIMES` as many as would do in a usual season, and ten."""
    return ceil(MOST_TIMES * stems / usual.mean) + 10


def doubt_of(
    ask: Ask,
    course: Course,
    out: date,
    usual: Season,
    plants: int,
    chance: float,
    beside: Sequence[OfPlant] = NOTHING_ELSE,
) -> Doubt | None:
    """What carries most of the doubt of a plan for so many plants, sure with that chance; None where no one figure
    makes a difference."""
    stems, columns = ask.wish.stems, columns_of(ask, course)
    found, fewest = None, plants
    for name in OF_PLANTS:
        if len(set(columns[name][:2])) == 1:
            continue
        each = of_plants(ask, course, out, seasons_of(columns, usual, (name,)))
        # asked first whether it makes a difference at all: for most figures it makes none
        if fewest > 1 and chance_of(stems, fewest - 1, each, beside) >= chance:
            fewest = _fewest(stems, chance, each, fewest - 1, beside)
            found = Doubt(name, fewest)
    return found


# The day


def serves(ask: Ask, course: Course, out: date, seasons: Iterable[Season], usual: float) -> float:
    """How well a day of planting serves: the chance that the plants of the best usual season are enough, and twice and
    four times as many, in the mean.

    `usual` are the stems that a plant gives in that season. It asks for no count, so that a wish for more is not
    planted on another day, and a season in which they are nearly enough counts in part.
    """
    each = of_plants(ask, course, out, seasons)
    scale = NEARLY * sqrt(2)
    total = sum(erfc((1 - times * plant.mean / usual) / scale) for plant in each for times in TIMES)
    return total / 2 / len(each) / len(TIMES)


NEARLY = 0.2
TIMES = (1, 2, 4)
