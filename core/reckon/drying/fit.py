"""When a hanging bunch will be dry, from its weighings: an end weight, a date with its width, or why not yet.

Three weighings at equal gaps give the plain curve in closed form; anything else goes by least squares, in the shape
that the weighings make likeliest. A date is relied on only where it is worth writing on a tag: four weighings or more,
four chances in five that it is within a day of the truth, and hardly any that the bunch is wet two days later: heads
slower than stems, damp and the weather counted (core.reckon.drying.posterior). Early is what molds in a box. Three
weighings always fit a curve exactly, so their date is arithmetic that nothing has checked; `enough` is False.

`python -m tests.bench odds` measures it on made-up batches of many shapes, in damp and in changing weather; a smaller
form is tests/drying/test_drying_odds.py.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from itertools import pairwise
from math import exp, hypot, log
from pathlib import Path
from typing import NamedTuple, TypeAlias

from core.codec import turns
from core.problems import Problem
from core.reckon.drying.curve import Curve, EndPrior, best_line, closed_form, least_bent, least_of, ratios_of
from core.reckon.drying.faults import Weighing, never_falls, no_sense, not_slowing, stood_still, wrong
from core.reckon.drying.posterior import NOISE_WORTH, HoursPrior, Odds, weigh_odds
from core.reckon.drying.ratio import Prior
from core.reckon.drying.shapes import PLAIN, SPENT
from core.results import Results
from core.units import number, short_day

ENOUGH_WEIGHINGS = 4
LEVEL = 0.9
"""The chance with which the interval holds the truth."""
USEFUL_HOURS = 24.0
USEFUL_CHANCE = 0.8
"""A date is relied on where it is within a day with four chances in five."""
EARLY_HOURS = 48.0
EARLY_CHANCE = 0.02
"""And where the chance that the bunch takes longer than so many hours more is at most that."""
PLAIN_CHANCE = 0.6
"""And said, though not relied on, where it would be with so many chances if the drying is plain."""
BEND_SPREAD = 0.13
"""How far Page's n is taken to lie from 1 where five weighings do not set it by themselves (weak, from memory)."""
_SAME_BEND = 0.03
FAR_OFF = 2.0
"""Standard deviations of a weighing by which a crop's figures may bend the curve away from the weights."""


class DryingFit(NamedTuple):
    """What the weighings say. All hours are on the weighings' own clock; `curve` counts from the hanging.

    `enough`: the date can be relied on (see the module). `chance`: that `curve`'s date is within a day of the truth,
    whatever the shape and the weather; `plain_chance`: if the drying is plain and the air steady. `low_hours`,
    `high_hours` hold the truth nine times in ten. `weigh_again_hours`: how long to wait for a weighing that tells
    more, None where enough is known.
    """

    curve: Curve
    form: str
    weighings: tuple[Weighing, ...]
    hung_before: float
    noise_g: float
    chance: float
    plain_chance: float
    low_hours: float
    high_hours: float
    enough: bool
    weigh_again_hours: float | None
    leaned: bool

    @property
    def points(self) -> int:
        """How many weighings."""
        return len(self.weighings)

    @property
    def reckoned_hours(self) -> float:
        """When the curve reaches a moisture ratio of 0.05, reliable or not."""
        return self.curve.dry_hours - self.hung_before

    @property
    def dry_at_hours(self) -> float | None:
        """The same where it may be said: relied on, or good if the drying is plain (then `enough` is False)."""
        plain = self.form == "lewis" and self.plain_chance >= PLAIN_CHANCE
        return self.reckoned_hours if self.enough or plain else None

    @property
    def last_hours(self) -> float:
        """The last weighing."""
        return self.weighings[-1].hours

    @property
    def now_moisture_ratio(self) -> float:
        """The share of the water still to be lost, at the last weighing."""
        return self.ratio_at(self.last_hours)

    @property
    def half_life_hours(self) -> float:
        """From the hanging to half of the water gone."""
        return self.curve.hours_to(0.5)

    @property
    def level(self) -> float:
        """The chance with which `low_hours` to `high_hours` hold the truth."""
        return LEVEL

    @property
    def says(self) -> str:
        """The finding in one sentence, by hours."""
        return self._says(lambda hours: f"hour {hours:.0f}", "at about")

    def says_on(self, day_at: Callable[[float], date]) -> str:
        """The same by days; `day_at` tells on which day an hour lies."""
        return self._says(lambda hours: short_day(day_at(hours)), "about")

    def _says(self, when: Callable[[float], str], about: str) -> str:
        """The date, or why there is none yet and when to weigh again."""
        at = self.dry_at_hours
        again = ""
        if self.weigh_again_hours is not None:
            again = f": weigh again in about {number(self.weigh_again_hours)} hours"
        if self.enough:
            if self.reckoned_hours <= self.last_hours:
                return f"dry since about {when(self.reckoned_hours)}, by {self.points} weighings: try the snap test"
            return f"dry {about} {when(self.reckoned_hours)}, by {self.points} weighings"
        if at is not None:
            why = (
                "three weighings fit any curve"
                if self.points < ENOUGH_WEIGHINGS
                else "these weighings do not show whether it is"
            )
            return f"dry {about} {when(at)} if its drying is plain, but {why}{again}"
        return f"not yet known to a day{again}"

    def ratio_at(self, hours: float) -> float:
        """Moisture ratio by the curve."""
        return self.curve.ratio_at(hours + self.hung_before)

    def grams_at(self, hours: float) -> float:
        """Weight by the curve."""
        return self.curve.grams_at(hours + self.hung_before)

    def hours_to(self, ratio: float) -> float:
        """When the curve reaches a moisture ratio between 0 and 1."""
        return self.curve.hours_to(ratio) - self.hung_before


def fit(
    weighings: Sequence[Weighing],
    *,
    prior: Prior | None = None,
    resolution_g: float = 1.0,
    hung_before: float = 0.0,
) -> DryingFit | Problem:
    """The drying curve of one bunch. `hung_before`: hours it had hung when the weighings' clock stood at 0.

    A Problem with the code "impossible" where the numbers cannot mean drying, "not yet" where they do not say enough.
    """
    problem = wrong(weighings, resolution_g, hung_before)
    if problem is not None:
        return problem
    ordered = tuple(sorted(weighings, key=lambda w: w.hours))
    alone = _fit(ordered, None, resolution_g, hung_before)
    if prior is None or prior == Prior() or (isinstance(alone, DryingFit) and alone.enough):
        return alone  # what the weighings know by themselves overrules every handbook
    leaning = _fit(ordered, prior, resolution_g, hung_before)
    if isinstance(leaning, Problem) or _contradicts(alone, leaning):
        return alone
    return _no_surer(alone, leaning)


def _no_surer(alone: DryingFit | Problem, leaning: DryingFit) -> DryingFit:
    """What leans on the figures of its crop, no surer than the weighings are by themselves, and never dry sooner than
    they allow: a handbook may say half the real days, and a date that it alone makes sure is one that molds in a box.
    It may say that a bunch takes longer than the first weighings seem to."""
    wait = leaning.weigh_again_hours
    if wait is None:
        hours = [w.hours for w in leaning.weighings]
        wait = _wait(hours, max(leaning.reckoned_hours, hours[-1]))
    high = leaning.high_hours
    if isinstance(alone, DryingFit):
        high = max(high, alone.high_hours)
    return leaning._replace(enough=False, high_hours=high, weigh_again_hours=wait)


def _contradicts(alone: DryingFit | Problem, leaning: DryingFit) -> bool:
    """Whether this bunch is plainly none of what is known of its crop: another date, or weights far off the curve."""
    if isinstance(alone, Problem):
        return alone.code == "impossible"
    worse = _misfit(leaning) - _misfit(alone)
    is_held = alone.low_hours <= leaning.reckoned_hours <= alone.high_hours
    return not is_held or worse > (FAR_OFF * leaning.noise_g) ** 2


def _misfit(found: DryingFit) -> float:
    return sum((w.grams - found.grams_at(w.hours)) ** 2 for w in found.weighings)


def _fit(
    weighings: tuple[Weighing, ...], prior: Prior | None, resolution_g: float, hung_before: float
) -> DryingFit | Problem:
    figures = weighings, prior, resolution_g, hung_before
    found, problem = _FITS.of(figures, lambda: _either(_fitted(weighings, prior, resolution_g, hung_before)))
    return found or problem  # type: ignore[return-value] # one of the two is there


_Either: TypeAlias = tuple[DryingFit | None, Problem | None]
_FITS: Results[_Either] = Results("drying", lambda: turns(_Either), Path(__file__).parent)


def _either(found: DryingFit | Problem) -> _Either:
    return (None, found) if isinstance(found, Problem) else (found, None)


def _fitted(
    weighings: tuple[Weighing, ...], prior: Prior | None, resolution_g: float, hung_before: float
) -> DryingFit | Problem:
    noise = noise_g(resolution_g, weighings[0].grams)
    problem = never_falls(weighings, noise)
    if problem is not None:
        return problem
    hours = [w.hours + hung_before for w in weighings]
    grams = [w.grams for w in weighings]
    end_prior, hours_prior = _priors(prior)
    weight = 0.0 if end_prior is None else (noise / (end_prior.share * end_prior.spread * grams[0])) ** 2
    curve = _plain(hours, grams, end_prior, weight)
    few = len(weighings) < ENOUGH_WEIGHINGS
    if isinstance(curve, Problem) and (curve.code == "impossible" or few):
        return curve
    told = _telling(weighings)
    odds = weigh_odds(
        [w.hours + hung_before for w in told], [w.grams for w in told], noise, end_prior, hours_prior
    )
    if odds is None:
        return not_slowing(hours)
    if not few:
        curve = _other(hours, grams, odds, noise, end_prior, weight) or curve
    if isinstance(curve, Problem):
        return curve
    low, high = odds.span(LEVEL)
    chance = odds.within(curve.dry_hours, USEFUL_HOURS)
    is_late = odds.after(curve.dry_hours + EARLY_HOURS) > EARLY_CHANCE
    enough = not few and chance >= USEFUL_CHANCE and not is_late
    return DryingFit(
        curve,
        curve.drying.form,
        weighings,
        hung_before,
        noise,
        chance,
        odds.plain_within(curve.dry_hours, USEFUL_HOURS),
        low - hung_before,
        high - hung_before,
        enough,
        None if enough else _wait(hours, (low * high) ** 0.5),
        end_prior is not None or hours_prior is not None,
    )


TELLING = 16
"""So many weighings tell all there is of a curve: of more the odds are reckoned from as many spread over them."""


def _telling(weighings: tuple[Weighing, ...]) -> tuple[Weighing, ...]:
    last = len(weighings) - 1
    if last < TELLING:
        return weighings
    return tuple(weighings[round(i * last / (TELLING - 1))] for i in range(TELLING))


def noise_g(resolution_g: float, weight_g: float) -> float:
    """One standard deviation of a weighing before any is seen: seven tenths of the scale's step (its rounding alone is
    0.29 of it) and 0.3 % of the bunch for handling and the air of the hour (common practice)."""
    return hypot(0.7 * resolution_g, 0.003 * weight_g)


def _plain(
    hours: list[float], grams: list[float], end_prior: EndPrior | None, weight: float
) -> Curve | Problem:
    if len(hours) == 3 and end_prior is None:
        if grams[2] >= grams[1]:
            return stood_still(hours)
        gap = hours[1] - hours[0]
        if abs(hours[2] - hours[1] - gap) <= 1e-9 * gap:
            exact = closed_form(grams[0], grams[1], grams[2], gap)
            if exact is None:
                return not_slowing(hours)
            final, rate = exact
            water = (grams[0] - final) * exp(min(rate * hours[0], 700.0))
            return _sensible(Curve(final, water, SPENT / rate), grams, hours)
    gap, span = min(b - a for a, b in pairwise(hours)), hours[-1] - hours[0]
    low, high = log(gap / 4), log(200 * max(span, hours[-1]))
    steps = 60
    logs = [low + (high - low) * i / steps for i in range(steps + 1)]
    misfits = []
    for value in logs:
        line = best_line(ratios_of(PLAIN, hours, exp(value)), grams, end_prior, weight)
        misfits.append(float("inf") if line is None else line.misfit)
    best = min(range(len(logs)), key=misfits.__getitem__)
    if best == steps or misfits[best] == float("inf"):
        return not_slowing(hours)
    if best == 0:
        return stood_still(hours)
    found = least_of(PLAIN, hours, grams, exp(logs[best - 1]), exp(logs[best + 1]), end_prior, weight)
    return not_slowing(hours) if found is None else _sensible(found, grams, hours)


def _sensible(curve: Curve, grams: list[float], hours: list[float]) -> Curve | Problem:
    if curve.water_g <= 0 or curve.final_g <= 0:
        return not_slowing(hours)
    if hours[0] > 0 and curve.grams_at(0) > 4 * grams[0]:
        return no_sense(
            f"by these weighings it was {curve.grams_at(0):.0f} g when it was hung, which cannot be: look for one that "
            "is wrong, or whose day or hour is, counted from the hanging"
        )
    return curve


def _other(
    hours: list[float],
    grams: list[float],
    odds: Odds,
    noise: float,
    end_prior: EndPrior | None,
    weight: float,
) -> Curve | None:
    """The curve of least squares where another shape than the plain one is the likeliest; None where it is not."""
    if odds.best.form == "page":
        curve = _bent(hours, grams, odds, noise, end_prior, weight)
    elif odds.best.form == "two parts":
        near = odds.best_hours / 1.5, odds.best_hours * 1.5
        curve = least_of(odds.best, hours, grams, *near, end_prior, weight)
    else:
        return None
    return None if curve is None or curve.final_g <= 0 or curve.water_g <= 0 else curve


def _bent(
    hours: list[float],
    grams: list[float],
    odds: Odds,
    noise: float,
    end_prior: EndPrior | None,
    weight: float,
) -> Curve | None:
    """Page's curve, its bend held weakly to 1; left alone where the weighings set it by themselves."""
    worth = NOISE_WORTH + len(grams) - 2

    def cost(misfit: float, bend: float) -> float:
        if bend <= 0:
            return float("inf")
        return worth / 2 * log(NOISE_WORTH * noise**2 + misfit) + 0.5 * (log(bend) / BEND_SPREAD) ** 2

    held = least_bent(hours, grams, (odds.best_hours, odds.best.bend), cost, end_prior, weight)
    if held is None or len(grams) <= ENOUGH_WEIGHINGS:
        return held
    free = least_bent(hours, grams, (held.dry_hours, held.shape), lambda misfit, _: misfit, end_prior, weight)
    if free is None or free.final_g <= 0 or abs(log(free.shape / held.shape)) > _SAME_BEND:
        return held
    return free


def _priors(prior: Prior | None) -> tuple[EndPrior | None, HoursPrior | None]:
    """A range from a sheet taken as four cases in five, and never as surer than a quarter either way."""
    if prior is None:
        return None, None
    end_prior = hours_prior = None
    if prior.left is not None:
        low, high = prior.left
        end_prior = EndPrior((low * high) ** 0.5, max(log(high / low) / 2.56, 0.2))
    if prior.days is not None:
        low, high = prior.days
        hours_prior = HoursPrior(24 * (low * high) ** 0.5, max(log(high / low) / 2.56, 0.35))
    return end_prior, hours_prior


def _wait(hours: list[float], middle: float) -> float:
    """Hours to the next weighing: the usual gap, or a fifth of what is left where that is longer; in half days."""
    gaps = sorted(b - a for a, b in pairwise(hours))
    wait = max(gaps[len(gaps) // 2], 0.2 * (middle - hours[-1]))
    return max(12.0, 12.0 * round(wait / 12)) if wait >= 9 else float(max(1, round(wait)))
