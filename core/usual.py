"""What is usual on this farm: the most of each sort of number so far, by which a figure too many is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from core.farm import Farm
from core.units import plainly

SLIP = 10
"""Times the most so far at which a number is asked about: a figure too many makes ten times of it."""
FEW = 10
"""The first small numbers are no measure yet: fewer count as so many (ours)."""


@dataclass(slots=True)
class Most:
    """Sort of number ("sown") -> of what ("zinnia") -> the most at once so far."""

    so_far: dict[str, dict[str, float]] = field(default_factory=dict)


def note_most(farm: Farm, sort: str, of: str, number: float) -> None:
    """Remember a number where it is the most of its sort."""
    known = farm.part(Most).so_far.setdefault(sort, {})
    known[of] = max(known.get(of, 0), number)


def most_so_far(farm: Farm, sort: str, of: str) -> float:
    """The largest number of a sort so far of `of`, else of anything, else 0: what a number typed is held against."""
    known: Mapping[str, float] = farm.part(Most).so_far.get(sort, {})
    return most_of(farm, sort, of) or max(known.values(), default=0)


def most_of(farm: Farm, sort: str, of: str) -> float:
    """The largest number of a sort ("seeds") so far of one thing `of` (a crop); 0 where it has none."""
    return farm.part(Most).so_far.get(sort, {}).get(of, 0)


def too_many(
    number: float,
    most: float,
    what: str,
    measure: str = "the most so far",
    tells: Callable[[float], str] = plainly,
) -> str | None:
    """ "7200 seeds of zinnia is 50 times the most so far, 144", where it is a slip by `most`; 0 is no measure."""
    if not most or number < SLIP * max(most, FEW):
        return None
    return f"{tells(number)} {what} is {plainly(round(number / most))} times {measure}, {tells(most)}"


def planned_seeds(farm: Farm, crop: str) -> int:
    """The most seeds that a plan for the crop asks for; 0 where none does."""
    plans = (plan for plan in farm.plans.values() if plan.is_live and plan.crop == crop)
    return max((plan.seeds or 0 for plan in plans), default=0)


def too_many_seeds(farm: Farm, number: int, most: float, crop: str) -> str | None:
    """The same of seeds of a crop; where a plan for it asks for more than the most so far, that is the measure: what it
    asks for is no slip."""
    planned = planned_seeds(farm, crop)
    if planned > most:
        return too_many(number, planned, f"seeds of {crop}", "what a plan asks for")
    return too_many(number, most, f"seeds of {crop}")
