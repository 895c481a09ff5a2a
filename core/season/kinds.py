"""What is written of what stands for years: a job that is put off, and asked again in its next season."""

from __future__ import annotations

from dataclasses import dataclass, field

from core.beds.kinds import PLANTING
from core.book.entry import Draft, Entry
from core.farm import Farm
from core.kinds import REF, Kind, needs
from core.problems import Problem


@dataclass(slots=True)
class PutOff:
    """Code of a planting -> the last day on which its dividing, cutting back or replacing was put off."""

    on: dict[str, str] = field(default_factory=dict)


def _check(farm: Farm, draft: Draft) -> Problem | None:
    planting = PLANTING.need(farm, draft)
    return planting if isinstance(planting, Problem) else None


def _put_off(farm: Farm, entry: Entry) -> None:
    if planting := PLANTING.find_or_matter(farm, entry):
        kept = farm.part(PutOff).on
        kept[planting.code] = max(entry.on, kept.get(planting.code, ""))


KINDS = (
    Kind("put off", "not yet divided: {planting}", needs(planting="code") | REF, _put_off, check=_check),
)
