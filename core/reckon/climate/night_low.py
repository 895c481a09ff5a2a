"""Tonight's low from the readings at dusk, calibrated on the farm's own clear and calm nights.

R. L. Snyder and J. P. de Melo-Abreu, Frost Protection (FAO, 2005), volume 1, chapter 5. An estimate that
holds for clear, calm nights without a change of air; it stands beside a forecast, not in its place.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from statistics import fmean

from core.book.disk import UnfitFileError, read_file
from core.problems import Problem
from core.reckon.climate.air import c_from_f
from core.reckon.climate.faults import Faults, short
from core.text import clean

FEWEST_NIGHTS = 10
START_HOURS = 2.0
"""The dusk readings are taken two hours after sunset; the night's course is reckoned from there."""

_LARGEST_BYTES = 1024 * 1024
_COLUMNS = ("t0", "td", "tmin")


@dataclass(frozen=True, slots=True)
class Night:
    """A clear, calm night: temperature and dew point two hours after sunset, and the low, degrees C."""

    t0_c: float
    td_c: float
    low_c: float


@dataclass(frozen=True, slots=True)
class Calibration:
    """low = b * T0 + a * Td + c. `spread_c` is the standard error of the fit, `r2` its share explained."""

    b: float
    a: float
    c: float
    nights: int
    spread_c: float
    r2: float

    def low_c(self, t0_c: float, td_c: float) -> float:
        """The low to expect, degrees C."""
        return self.b * t0_c + self.a * td_c + self.c


def calibrate(nights: Sequence[Night]) -> Calibration | Problem:
    """FAO's two steps: the low on the dusk temperature, then what is left over on the dew point.

    That is not the joint least-squares fit (whose numbers differ): it is the way of the FAO book, and keeps
    the dew point, which says less, from bending the first line. A Problem under ten nights.
    """
    if len(nights) < FEWEST_NIGHTS:
        return Problem(
            f"Not yet: {len(nights)} clear nights are written, and {FEWEST_NIGHTS} are needed before a low "
            "can be reckoned from them.",
            "impossible",
        )
    t0, td, low = ([getattr(n, name) for n in nights] for name in ("t0_c", "td_c", "low_c"))
    first = _line(t0, low)
    if first is None:
        return Problem("All nights had the same dusk temperature: more different nights are needed.")
    b, c1 = first
    rest = [y - (b * x + c1) for x, y in zip(t0, low, strict=True)]
    # Dew points all alike explain nothing of the rest.
    a, c2 = _line(td, rest) or (0.0, fmean(rest))
    errors = [y - (b * x + a * d + c1 + c2) for x, d, y in zip(t0, td, low, strict=True)]
    squared = sum(e * e for e in errors)
    around = sum((y - fmean(low)) ** 2 for y in low)
    r2 = 1 - squared / around if around else 1.0
    return Calibration(b, a, c1 + c2, len(nights), sqrt(squared / (len(nights) - 3)), r2)


def _line(xs: Sequence[float], ys: Sequence[float]) -> tuple[float, float] | None:
    """Slope and intercept of the least-squares line; None where all x are the same."""
    mean_x, mean_y = fmean(xs), fmean(ys)
    across = sum((x - mean_x) ** 2 for x in xs)
    if across == 0:
        return None
    slope = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / across
    return slope, mean_y - slope * mean_x


@dataclass(frozen=True, slots=True)
class Course:
    """How a night cools: from `start` two hours after sunset to `low` at sunrise, `hours` after sunset.

    In any unit of temperature, the same for both.
    """

    start: float
    low: float
    hours: float

    def at(self, after_sunset: float) -> float:
        """The temperature that many hours after sunset (from two hours on): a square root of the time."""
        part = (after_sunset - START_HOURS) / (self.hours - START_HOURS)
        return self.start - (self.start - self.low) * sqrt(min(max(part, 0.0), 1.0))

    def crosses(self, guard: float) -> float | None:
        """Hours after sunset at which it has cooled to `guard`; None where it stays above."""
        if self.start <= guard:
            return START_HOURS
        if self.low > guard:
            return None
        part = (self.start - guard) / (self.start - self.low)
        return START_HOURS + part * part * (self.hours - START_HOURS)


def course(start: float, low: float, hours: float) -> Course | Problem:
    """The course of a night, or why there is none to reckon."""
    if not 4 <= hours <= 24:
        return Problem("A night lasts from 4 to 24 hours between sunset and sunrise: check it.", "impossible")
    if low > start:
        return Problem(
            "The low to expect lies above the dusk temperature: this night is not one that cools on its own "
            "(cloud or wind); keep to the forecast.",
            "impossible",
        )
    return Course(start, low, hours)


def read_nights(path: Path) -> list[Night] | Problem:
    """Nights from a CSV with a header t0_c,td_c,tmin_c or t0_f,td_f,tmin_f, one clear night a line."""
    try:
        lines = read_file(path, _LARGEST_BYTES, follow=True).decode("utf-8-sig", "replace").splitlines()
    except UnfitFileError as unfit:
        return Problem(f"The list of nights {clean(path.name)} {unfit.strerror}.", "impossible")
    except OSError:
        return Problem(f"{clean(str(path))} cannot be read: check its name.", "unknown")
    head = [cell.strip().lower() for cell in (lines[0].split(",") if lines else [])]
    units = [unit for unit in ("c", "f") if all(f"{name}_{unit}" in head for name in _COLUMNS)]
    if len(units) != 1:
        return Problem(
            f"{clean(path.name)} needs a first line t0_f,td_f,tmin_f (or t0_c,td_c,tmin_c): temperature and "
            "dew point two hours after sunset, and the low."
        )
    return _nights(path.name, lines, [head.index(f"{name}_{units[0]}") for name in _COLUMNS], units[0])


def _nights(name: str, lines: Sequence[str], at: Sequence[int], unit: str) -> list[Night] | Problem:
    faults = Faults(name)
    nights = []
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        cells = next(csv.reader([line]))
        try:
            values = [float(cells[i]) for i in at]
        except (ValueError, IndexError):
            faults.add(number, f"{short(line)} is not three temperatures")
            continue
        if unit == "f":
            values = [c_from_f(v) for v in values]
        night = Night(*values)
        if not all(-60 <= v <= 60 for v in values):
            faults.add(number, "no air is so cold or hot, check the unit")
        elif night.td_c > night.t0_c:
            faults.add(number, "the dew point is above the temperature")
        else:
            nights.append(night)
    return faults.problem() or nights
