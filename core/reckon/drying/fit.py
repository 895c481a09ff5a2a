"""When a hanging bunch will be dry, from its weighings: an end weight, a date with its width, or why not yet.

Three weighings at equal gaps give the plain curve in closed form; anything else goes by least squares, and Page's
bent form takes over where the weighings make it likelier than the plain one. A date is relied on only where it is
worth writing on a tag: four weighings or more, and four chances in five that it is within a day of the truth, shape
unknown. Three weighings always fit a curve exactly, so their date is arithmetic that nothing has checked; `enough` is
False.

Measured on made-up batches (tests/drying/test_drying_made_up.py): 40 to 400 g, weighed daily to 1 g with 0.5 to 1.5 g
of scale and handling and a swing of up to 1 % between day and night. Dry in 4 to 8 days, plainly: after four
weighings a date is said for 71 of 100 (95 of 100 within a day) and relied on for 18 (97); after six relied on for 73.
Dry in 4 to 21 days, half of another shape: relied on for 8 after four (89 within a day), 32 after six (96); intervals
hold 92 to 99. Slow ones (7 to 14 days) after four: none by themselves, 33 (all within a day) where the crop's sheet
is right; where it is wrong the weighings overrule it (97 of 100 within a day if plain, 76 if half are not).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import lru_cache
from itertools import pairwise
from math import exp, hypot, isfinite, log
from typing import NamedTuple

from core.problems import Problem
from core.reckon.drying.curve import (
    DRY_RATIO,
    Curve,
    Lean,
    best_line,
    closed_form,
    least_bent,
    least_plain,
    moisture_ratio,
)
from core.reckon.drying.moisture import STORE_DRY, WetBasis
from core.reckon.drying.posterior import NOISE_WORTH, SHAPE_SPREAD, Odds, Usual, weigh_odds
from core.reckon.drying.ratio import Prior
from core.units import number, short_day

ENOUGH_WEIGHINGS = 4
LEVEL = 0.9
"""The chance with which the interval holds the truth."""
USEFUL_HOURS = 24.0
USEFUL_CHANCE = 0.8
"""A date is relied on where it is within a day with four chances in five."""
PLAIN_CHANCE = 0.7
"""And said, though not relied on, where it would be with so many chances if the drying is plain."""
STEADY_LOSS = 0.01
"""Dry also means that under 1 % of the weight is lost in a day."""
DAMP_ROOM_RH = 65.0
WATCH_ROOM_RH = 60.0
"""Air over 60 % gives water back, over 65 % feeds mold: the room must be under 60-65 % for a bunch to stay dry."""
_LEAST_HOURS, _MOST_HOURS = 0.05, 24.0 * 400
_SAME_SHAPE = 0.03
FAR_OFF = 2.0
"""Standard deviations of a weighing by which a crop's figures may bend the curve away from the weights."""
CLEARLY_BENT = 0.75


class Weighing(NamedTuple):
    """One weighing of one marked bunch: hours on any clock that starts at or after its hanging, and grams."""

    hours: float
    grams: float


class DryingFit(NamedTuple):
    """What the weighings say. All hours are on the weighings' own clock; `curve` counts from the hanging.

    `enough`: the date can be relied on (see the module). `chance`: that `curve`'s date is within a day of the truth,
    whatever the shape; `plain_chance`: if the drying is plain. `low_hours`, `high_hours` hold the truth nine times in
    ten. `weigh_again_hours`: how long to wait for a weighing that tells more, None where enough is known.
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


class Dryness(NamedTuple):
    """The stop rule at one hour. `dry` only where everything known agrees; `because` says each part in a sentence."""

    dry: bool
    moisture_ratio: float
    loss_in_a_day: float
    because: tuple[str, ...]


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
    wrong = _wrong(weighings, resolution_g, hung_before)
    if wrong is not None:
        return wrong
    ordered = tuple(sorted(weighings, key=lambda w: w.hours))
    alone = _fit(ordered, None, resolution_g, hung_before)
    if prior is None or prior == Prior() or (isinstance(alone, DryingFit) and alone.enough):
        return alone  # what the weighings know by themselves overrules every handbook
    leaning = _fit(ordered, prior, resolution_g, hung_before)
    if isinstance(leaning, Problem) or _contradicts(alone, leaning):
        return alone
    return leaning


def _contradicts(alone: DryingFit | Problem, leaning: DryingFit) -> bool:
    """Whether this bunch is plainly none of what is known of its crop: another date, or weights far off the curve."""
    if isinstance(alone, Problem):
        return alone.code == "impossible"
    worse = _misfit(leaning) - _misfit(alone)
    is_held = alone.low_hours <= leaning.reckoned_hours <= alone.high_hours
    return not is_held or worse > (FAR_OFF * leaning.noise_g) ** 2


def _misfit(found: DryingFit) -> float:
    return sum((w.grams - found.grams_at(w.hours)) ** 2 for w in found.weighings)


@lru_cache(maxsize=256)
def _fit(
    weighings: tuple[Weighing, ...], prior: Prior | None, resolution_g: float, hung_before: float
) -> DryingFit | Problem:
    noise = noise_g(resolution_g, weighings[0].grams)
    wrong = _never_falls(weighings, noise)
    if wrong is not None:
        return wrong
    hours = [w.hours + hung_before for w in weighings]
    grams = [w.grams for w in weighings]
    lean, usual = _leaning(prior)
    weight = 0.0 if lean is None else (noise / (lean.share * lean.spread * grams[0])) ** 2
    plain = _plain(hours, grams, lean, weight)
    if isinstance(plain, Problem) and (plain.code == "impossible" or len(weighings) < ENOUGH_WEIGHINGS):
        return plain
    odds = weigh_odds(hours, grams, noise, lean, weight, usual)
    if odds is None:
        return _not_slowing(hours)
    bent = None
    if len(weighings) >= ENOUGH_WEIGHINGS and odds.bent > CLEARLY_BENT:
        bent = _bent(hours, grams, odds, noise, lean, weight)
    curve = bent or plain
    if isinstance(curve, Problem):
        return curve
    form = "lewis" if bent is None else "page"
    low, high = odds.span(LEVEL)
    chance = odds.within(curve.dry_hours, USEFUL_HOURS)
    enough = len(weighings) >= ENOUGH_WEIGHINGS and chance >= USEFUL_CHANCE
    return DryingFit(
        curve,
        form,
        weighings,
        hung_before,
        noise,
        chance,
        odds.plain_within(curve.dry_hours, USEFUL_HOURS),
        low - hung_before,
        high - hung_before,
        enough,
        None if enough else _wait(hours, (low * high) ** 0.5),
        lean is not None or usual is not None,
    )


def noise_g(resolution_g: float, weight_g: float) -> float:
    """One standard deviation of a weighing before any is seen: seven tenths of the scale's step (its rounding alone is
    0.29 of it) and 0.3 % of the bunch for handling and the air of the hour (common practice)."""
    return hypot(0.7 * resolution_g, 0.003 * weight_g)


def is_dry(
    found: DryingFit,
    at_hours: float,
    *,
    moisture: WetBasis | None = None,
    room_rh: float | None = None,
) -> Dryness:
    """The stop rule at an hour: moisture ratio at most 0.05 and under 1 % lost in the day that follows; where the dry
    matter is known at most 12 % water (wet basis); where the room was read, under 65 % humidity. The snap test wins
    over all of it."""
    ratio = found.ratio_at(at_hours)
    loss = _loss_from(found, at_hours)
    because = [
        f"{100 * ratio:.0f} % of the water is still to go: at most {100 * DRY_RATIO:.0f} % is dry",
        f"{100 * loss:.1f} % of the weight goes in a day: under {100 * STEADY_LOSS:.0f} % is steady",
    ]
    dry = ratio <= DRY_RATIO * (1 + 1e-9) and loss < STEADY_LOSS
    if moisture is not None:
        because.append(
            f"{100 * moisture:.0f} % of its weight is water: at most {100 * STORE_DRY:.0f} % keeps in a box"
        )
        dry = dry and moisture <= STORE_DRY
    if room_rh is not None:
        words = "under" if room_rh < WATCH_ROOM_RH else "near" if room_rh < DAMP_ROOM_RH else "over"
        because.append(
            f"the room stands at {room_rh:.0f} % humidity, {words} the {WATCH_ROOM_RH:.0f} to {DAMP_ROOM_RH:.0f} % "
            "above which it gives water back"
        )
        dry = dry and room_rh < DAMP_ROOM_RH
    return Dryness(dry, ratio, loss, tuple(because))


def stop_hours(found: DryingFit) -> float:
    """From which hour on both halves of the stop rule hold by the curve: at most 0.05, and under 1 % lost in a day."""
    early, late = found.reckoned_hours, found.hours_to(1e-4) + 24
    if _loss_from(found, early) < STEADY_LOSS:
        return early
    for _ in range(60):
        middle = (early + late) / 2
        if _loss_from(found, middle) < STEADY_LOSS:
            late = middle
        else:
            early = middle
    return late


def _loss_from(found: DryingFit, hours: float) -> float:
    """The share of the weight that goes in the day from that hour on."""
    return 1 - found.grams_at(hours + 24) / found.grams_at(hours)


# what cannot mean drying


def _wrong(weighings: Sequence[Weighing], resolution_g: float, hung_before: float) -> Problem | None:
    if any(not (isfinite(w.hours) and isfinite(w.grams)) for w in weighings):
        return _no_sense("every weighing is an hour and a weight in grams, both plain numbers")
    if not (isfinite(resolution_g) and resolution_g > 0):
        return _no_sense("the scale's step is a weight above 0, such as 1 g")
    if not (isfinite(hung_before) and hung_before >= 0):
        return _no_sense("the hours it had hung before the first weighing are 0 or more")
    if any(w.grams <= 0 for w in weighings):
        return _no_sense("a bunch weighs more than 0 g: look at the weighings again")
    if any(w.hours < 0 for w in weighings):
        return _no_sense("hours count from the hanging: none is before 0")
    hours = sorted(w.hours for w in weighings)
    same = [a for a, b in pairwise(hours) if b - a < _LEAST_HOURS]
    if same:
        return _no_sense(f"hour {number(round(same[0], 2))} is given twice: keep the weight that is right")
    if hours and hours[-1] > _MOST_HOURS:
        return _no_sense("these weighings lie more than a year apart: hours count from the hanging")
    if len(weighings) < 3:
        return Problem(
            f"It takes three weighings to find where the weight ends, and there "
            f"{'is' if len(weighings) == 1 else 'are'} {len(weighings)}: weigh the same bunch again about a day later.",
            code="not yet",
        )
    return None


def _never_falls(weighings: tuple[Weighing, ...], noise: float) -> Problem | None:
    for one, two in pairwise(weighings):
        if two.grams - one.grams > max(3 * noise, 0.02 * one.grams):
            return _no_sense(
                f"the weight rises from {number(one.grams)} to {number(two.grams)} g at hour {number(two.hours)}: "
                "another bunch, damp air, or a slip of the pen"
            )
    if weighings[-1].grams >= weighings[0].grams:
        return _no_sense("the last weight is not below the first, so nothing has dried")
    return None


def _no_sense(why: str) -> Problem:
    return Problem(f"No drying can be reckoned from this: {why}.", code="impossible")


def _stood_still(hours: Sequence[float]) -> Problem:
    return Problem(
        f"The weight has stood still since hour {number(hours[1])}, and how it came there was not weighed: there is "
        "nothing left to reckon. Do the snap test.",
        code="impossible",
    )


def _not_slowing(hours: Sequence[float]) -> Problem:
    gap = (hours[-1] - hours[0]) / (len(hours) - 1)
    return Problem(
        "The loss is not slowing yet, so these weights do not show where they will end: "
        f"weigh again in about {number(float(round(gap)) or round(gap, 1))} hours.",
        code="not yet",
    )


# curves


def _plain(hours: list[float], grams: list[float], lean: Lean | None, weight: float) -> Curve | Problem:
    if len(hours) == 3 and lean is None:
        if grams[2] >= grams[1]:
            return _stood_still(hours)
        gap = hours[1] - hours[0]
        if abs(hours[2] - hours[1] - gap) <= 1e-9 * gap:
            exact = closed_form(grams[0], grams[1], grams[2], gap)
            if exact is None:
                return _not_slowing(hours)
            final, rate = exact
            water = (grams[0] - final) * exp(min(rate * hours[0], 700.0))
            return _sensible(Curve(final, water, -log(DRY_RATIO) / rate), grams, hours)
    gap, span = min(b - a for a, b in pairwise(hours)), hours[-1] - hours[0]
    low, high = log(gap / 4), log(200 * max(span, hours[-1]))
    steps = 60
    logs = [low + (high - low) * i / steps for i in range(steps + 1)]
    misfits = []
    for value in logs:
        line = best_line([moisture_ratio(h, exp(value), 1.0) for h in hours], grams, lean, weight)
        misfits.append(float("inf") if line is None else line.misfit)
    best = min(range(len(logs)), key=misfits.__getitem__)
    if best == steps or misfits[best] == float("inf"):
        return _not_slowing(hours)
    if best == 0:
        return _stood_still(hours)
    found = least_plain(hours, grams, exp(logs[best - 1]), exp(logs[best + 1]), lean, weight)
    return _not_slowing(hours) if found is None else _sensible(found, grams, hours)


def _sensible(curve: Curve, grams: list[float], hours: list[float]) -> Curve | Problem:
    if curve.water_g <= 0 or curve.final_g <= 0:
        return _not_slowing(hours)
    if hours[0] > 0 and curve.grams_at(0) > 4 * grams[0]:
        return _no_sense(
            f"run back to the hanging it would have weighed {curve.grams_at(0):.0f} g: count the hours from the hanging"
        )
    return curve


def _bent(
    hours: list[float],
    grams: list[float],
    odds: Odds,
    noise: float,
    lean: Lean | None,
    weight: float,
) -> Curve | None:
    """Page's curve, its shape held weakly to 1; left alone where the weighings set the shape by themselves."""
    worth = NOISE_WORTH + len(grams) - 2

    def cost(misfit: float, shape: float) -> float:
        if shape <= 0:
            return float("inf")
        return worth / 2 * log(NOISE_WORTH * noise**2 + misfit) + 0.5 * (log(shape) / SHAPE_SPREAD) ** 2

    held = least_bent(hours, grams, odds.best_bent, cost, lean, weight)
    if held is None or held.final_g <= 0 or held.water_g <= 0:
        return None
    if len(grams) <= ENOUGH_WEIGHINGS:
        return held
    free = least_bent(hours, grams, (held.dry_hours, held.shape), lambda misfit, _: misfit, lean, weight)
    if free is None or free.final_g <= 0 or abs(log(free.shape / held.shape)) > _SAME_SHAPE:
        return held
    return free


def _leaning(prior: Prior | None) -> tuple[Lean | None, Usual | None]:
    """A range from a sheet taken as four cases in five, and never as surer than a quarter either way."""
    if prior is None:
        return None, None
    lean = usual = None
    if prior.left is not None:
        low, high = prior.left
        lean = Lean((low * high) ** 0.5, max(log(high / low) / 2.56, 0.2))
    if prior.days is not None:
        low, high = prior.days
        usual = Usual(24 * (low * high) ** 0.5, max(log(high / low) / 2.56, 0.35))
    return lean, usual


def _wait(hours: list[float], middle: float) -> float:
    """Hours to the next weighing: the usual gap, or a fifth of what is left where that is longer; in half days."""
    gaps = sorted(b - a for a, b in pairwise(hours))
    wait = max(gaps[len(gaps) // 2], 0.2 * (middle - hours[-1]))
    return max(12.0, 12.0 * round(wait / 12)) if wait >= 9 else float(max(1, round(wait)))
