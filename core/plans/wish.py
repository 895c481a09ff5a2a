"""What is asked of a plan: the wish itself, the figures it may rest on, and the frost it is reckoned from."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from core.crops.frost_dates import Bounds, Frost
from core.crops.sheet import Figure, Sheet
from core.farm import Recipe
from core.places import USES
from core.plans.defaults import COMMON, USUAL, stems_to_take
from core.problems import Problem


@dataclass(frozen=True, slots=True)
class Wish:
    """So many good stems of a crop, for a use ("fresh", "dry" or "wire"), in hand by a day."""

    crop: str
    stems: int
    use: str
    by: date
    variety: str | None = None
    way: str | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """A wish as it is written down: stems or bunches in hand by a day, or in every week from `start` on.

    Of `by` and `start` one is there; `until` None means the first autumn frost. `bed` is where it is to stand.
    """

    crop: str
    count: int
    in_bunches: bool
    use: str
    by: date | None = None
    start: date | None = None
    until: date | None = None
    variety: str | None = None
    way: str | None = None
    bed: str | None = None
    cell_size: int | None = None
    germination: float | None = None
    """Of its seed, as the packet or her own count says; None: as usual."""


class Sort(NamedTuple):
    """A crop, and of it one variety where one is said."""

    crop: str
    variety: str | None


@dataclass(frozen=True, slots=True)
class WantedPieces:
    """So many pieces of a recipe made by a day; `of` are the crops for parts that may be of any."""

    recipe: Recipe
    count: int
    by: date
    size_in: float | None = None
    of: tuple[Sort, ...] = ()


YEARS = (1900, 2900)
"""Years in which a season is reckoned: outside of them lies a slip of the pen."""


def day_problem(*days: date | None) -> Problem | None:
    """Why a season with those days cannot be reckoned; None where it can."""
    for day in days:
        if day is not None and not YEARS[0] <= day.year <= YEARS[1]:
            return Problem(
                f"The year {day.year} is none to plan in: write one from {YEARS[0]} to {YEARS[1]}.",
                "impossible",
            )
    return None


@dataclass(frozen=True, slots=True)
class Given:
    """The figures of a plan that no crop sheet has, or that stand in place of the sheet's. Shares are from 0
    to 1.

    None means: as the crop's sheet says.
    """

    germination: Figure[float] = USUAL["germination"]
    survival: Figure[float] = USUAL["survival"]
    """Of the seedlings up, those that live in the tray until set out."""
    sure: Figure[float] = USUAL["sure"]
    rho: Figure[float] = USUAL["rho"]
    """Correlation between seeds of one sowing; 0.02 where whole sowings come up well or badly."""
    bed_emergence: Figure[float] = USUAL["bed_emergence"]
    """Of good seeds drilled in a bed, those that become plants there."""
    bed_loss: Figure[float] = USUAL["bed_loss"]
    """Of plants set out, those lost before they are cut."""
    cull: Figure[float] = USUAL["cull"]
    drying_loss: Figure[float] = USUAL["drying_loss"]
    storage_loss: Figure[float] = USUAL["storage_loss"]
    finish_days: Figure[float] = USUAL["finish_days"]
    hold_days: Figure[float] | None = None
    """Days a fresh stem may wait before it is handed over; None: as its sheet bears, a week at most."""
    bed_width_in: Figure[float] = USUAL["bed_width_in"]
    cells_per_tray: Figure[float] | None = None
    doubles: Figure[float] | None = None
    """Of the plants, those worth having, such as the doubles of stock."""
    spacing_in: Figure[float] | None = None
    stems_per_plant: Figure[float] | None = None
    stems_sd: Figure[float] | None = None
    cut_weeks: Figure[float] | None = None
    days_to_first_cut: Figure[float] | None = None


class Standing(NamedTuple):
    """A planting in the ground that may give stems for a wish: the sheet of the way it is grown, how many plants of it
    stand, the day they were set out or drilled, and the day it was first cut, None where it never was."""

    code: str
    bed: str
    sheet: Sheet
    plants: int
    out: date
    first_cut: date | None
    drilled: bool


@dataclass(frozen=True, slots=True)
class Ask:
    """All that a plan is reckoned from.

    `bounds` are the farm's own spring dates to wait for, `today` the day before which nothing can be sown any
    more, `set_out_on` (the day of drilling, for a crop sown in the bed) where it is fixed by hand, `direct`
    whether it is sown in the bed: None leaves that to the sheet. `only_days` are the days before the last
    that counts on which stems must be cut (a week of a weekly wish); None: as long as the stems keep. `standing` is
    what grows already and counts first.
    """

    wish: Wish
    sheet: Sheet
    frost: Frost
    given: Given = field(default_factory=Given)
    bounds: Bounds | None = None
    today: date | None = None
    set_out_on: date | None = None
    direct: bool | None = None
    only_days: int | None = None
    place: int = 0
    """Which of several crops that are promised together: they share the weather of a season and nothing else."""
    steady: frozenset[str] = frozenset()
    """Figures (of `core.plans.seasons`) whose turn from season to season the wish need not bear: of sowings one after
    another the next comes early or late as the last did."""
    standing: tuple[Standing, ...] = ()


__all__ = [
    "COMMON",
    "USES",
    "USUAL",
    "Ask",
    "Given",
    "Standing",
    "Wanted",
    "Wish",
    "day_problem",
    "stems_to_take",
]
