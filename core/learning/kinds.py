"""What is written of the look back: how long stems lasted in a vase; what is left out of next season's plan."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.kinds import REF, Field, Kind, may, needs
from core.places import USES
from core.problems import Problem
from core.refusals import too_early, unknown
from core.stems.kinds import LOT, lot_or_matter

VASE_DAYS = Field("number", span=(0.25, 180))
"""Days in a vase, as a crop's sheet bounds them."""


class VaseTrial(NamedTuple):
    """Stems of a lot stood so many days in a vase; `good`: they still were."""

    on: str
    lot: str
    days: float
    good: bool


@dataclass(slots=True)
class VaseTrials:
    """What the farm keeps of its vases: the trials in the order they were written."""

    trials: list[VaseTrial] = field(default_factory=list)


class Left(NamedTuple):
    """A crop and its use that is not planned for a season."""

    crop: str
    use: str
    season: int


@dataclass(slots=True)
class LeftOut:
    """What she left out of the plans that were drafted for her."""

    rows: list[Left] = field(default_factory=list)


def _check(farm: Farm, draft: Draft) -> Problem | None:
    lot = LOT.need(farm, draft)
    if isinstance(lot, Problem):
        return lot
    return too_early("Lot", lot.code, lot.cut_on, draft)


def _stood(farm: Farm, entry: Entry) -> None:
    if (lot := lot_or_matter(farm, entry)) is not None:
        f = entry.fields
        farm.part(VaseTrials).trials.append(VaseTrial(entry.on, lot.code, f["days"], f.get("good", False)))


def _check_left(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["use"] not in USES:
        return unknown("use", draft.fields["use"], list(USES))
    return None


def _left(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    farm.part(LeftOut).rows.append(Left(f["crop"], f["use"], f["season"]))


KINDS = (
    Kind(
        "left out",
        "{crop} for {use} left out of the plan for {season}",
        needs(crop="text", use="code", season="count"),
        _left,
        check=_check_left,
    ),
    Kind(
        "in vase",
        "{lot}: {days} days in the vase[, still good: {good}]",
        needs(lot="code", days=VASE_DAYS) | may(good="flag") | REF,
        _stood,
        check=_check,
    ),
)
