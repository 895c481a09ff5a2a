"""How the invented bunches really dry: the truth that the weighings and the snap test of the story look at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import exp, log

from core.crops.sheet import Sheet
from demo_farm.chance import Chance
from demo_farm.rooms import Rooms

DRY_RATIO = 0.05
"""Share of its water that a bunch still has when its stems snap."""
ANY_DAYS = (7, 21)
AMONG_THE_DAYS = (0.2, 0.75)
"""Where between the fewest and the most days of its kind a lot really is dry."""
USUAL_AIR = (75.0, 50.0)
"""Degrees F and percent humidity in which a kind takes its usual days."""
LIKE_OTHERS = (8.0, 0.2, 1.0)
BUNCHES = {
    "strawflower": (7.0, 0.19, 0.95),
    "statice": (8.0, 0.31, 1.0),
    "globe amaranth": (6.0, 0.2, 1.0),
    "celosia, crested": (26.0, 0.17, 0.9),
    "celosia, plume": (12.0, 0.17, 0.95),
    "celosia, wheat": (8.0, 0.2, 1.0),
    "larkspur": (14.0, 0.17, 1.0),
    "bachelor's button": (6.5, 0.19, 1.0),
    "yarrow": (14.0, 0.2, 1.0),
    "lavender": (1.6, 0.24, 1.0),
    "baby's breath": (9.0, 0.2, 1.0),
    "peony": (38.0, 0.16, 0.9),
    "hydrangea": (60.0, 0.17, 0.9),
    "bunny tail grass": (0.9, 0.38, 1.0),
    "quaking grass": (1.0, 0.4, 1.0),
    "ornamental millet": (9.0, 0.36, 1.0),
    "broom corn": (24.0, 0.34, 0.95),
    "sea holly": (10.0, 0.2, 1.0),
    "craspedia": (6.0, 0.18, 1.0),
}
"""Crop -> grams of a fresh stem, share of it that is left, shape of the curve (below 1: a slow end): all invented."""
SCALE_G = 1.0


@dataclass(frozen=True, slots=True)
class Curve:
    """A marked bunch: grams as it was hung, share that is left, hours until it is dry, shape."""

    fresh_g: float
    kept: float
    hours: float
    shape: float

    def ratio(self, hours: float) -> float:
        """Share of the water still in it."""
        return exp(log(DRY_RATIO) * (max(hours, 0.0) / self.hours) ** self.shape)

    def grams(self, hours: float) -> float:
        return self.fresh_g * (self.kept + (1 - self.kept) * self.ratio(hours))


def curve(crop: str, lot: str, per: int, hung_on: date, sheet: Sheet, rooms: Rooms, chance: Chance) -> Curve:
    """How a bunch of `per` stems of that lot dries, hung on that day."""
    stem_g, kept, shape = BUNCHES.get(crop, LIKE_OTHERS)
    least, most = sheet.drying_days.value if sheet.drying_days else ANY_DAYS
    days = least + (most - least) * chance.between(*AMONG_THE_DAYS, "dries", lot)
    degrees, humidity = rooms.mean(hung_on, round(days))
    slower = ((100 - USUAL_AIR[1]) / (100 - humidity)) * 1.4 ** ((USUAL_AIR[0] - degrees) / 18)
    return Curve(
        fresh_g=per * stem_g * (1 + 0.06 * chance.spread("bunch", lot)),
        kept=kept * (1 + 0.05 * chance.spread("kept", lot)),
        hours=24 * days * slower,
        shape=shape,
    )


def on_the_scale(grams: float, chance: Chance, *about: object) -> int:
    """What the scale shows."""
    return max(round(grams + SCALE_G * chance.spread("scale", *about)), 1)
