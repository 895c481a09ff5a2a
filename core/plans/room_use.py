"""The room that is taken week by week (feet of bed and of line, trays), by what stands there and by every kept plan,
and how much is lacking; also with one of the plans changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from core.farm import Farm
from core.plans.capacity import (
    ROUNDING,
    WHATS,
    Room,
    Use,
    What,
    peak,
    room_of,
    uses_of_farm,
)
from core.plans.plan import Plan
from core.plans.plan_usage import uses_of_kept
from core.problems import Problem

WEEKS_AFTER = 8
"""A change is looked at for so many weeks after the last that is shown: it may only move a shortage there."""

Kind = tuple[What, str | None]
"""A kind of room; of beds, all of them together (None) or one."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """All the room that is taken: by what is there, and by each kept plan."""

    farm: Farm
    day: date
    room: Room
    mondays: tuple[date, ...]
    there: list[Use]
    of_plans: Mapping[str, list[Use]]
    short: dict[tuple[Kind, date], float] = field(default_factory=dict)
    """What is lacking as it stands, by kind and week."""
    reckoned: dict[tuple[str, int, int], Plan | Problem] = field(default_factory=dict)
    """Plans reckoned anew so far, by code, days later and stems."""

    @staticmethod
    def of(farm: Farm, day: date, mondays: Sequence[date]) -> Spoken:
        after = (mondays[-1] + timedelta(days=7 * i) for i in range(1, WEEKS_AFTER + 1))
        plans = {plan.code: uses_of_kept(farm, plan, day) for plan in farm.plans.values()}
        spoken = Spoken(farm, day, room_of(farm), (*mondays, *after), uses_of_farm(farm, day), plans)
        for kind in spoken.kinds:
            lacking = spoken.lacking(kind, spoken.uses())
            spoken.short.update({(kind, monday): lacks for monday, lacks in lacking.items()})
        return spoken

    @property
    def kinds(self) -> list[Kind]:
        """Those that are known: every bed by itself after all beds together."""
        found: list[Kind] = []
        for what in WHATS:
            if self.room.of(what) is not None:
                found.append((what, None))
            if what == "bed":
                found += [("bed", code) for code in self.room.beds]
        return found

    def uses(self, code: str | None = None, instead: Sequence[Use] = ()) -> list[Use]:
        """All uses; those of one plan left out, and others in their stead."""
        of_plans = [use for name, uses in self.of_plans.items() if name != code for use in uses]
        return [*self.there, *of_plans, *instead]

    def lacking(self, kind: Kind, uses: Sequence[Use]) -> dict[date, float]:
        """Monday -> how much more is taken in that week than there is, in the unit of the room; weeks with enough
        left out."""
        what, bed = kind
        total = self.room.of(what, bed)
        assert total is not None
        own = [use for use in uses if use.what == what and bed in (None, use.bed)]
        short = ((monday, peak(own, what, monday) - total) for monday in self.mondays)
        return {monday: lacks for monday, lacks in short if lacks > ROUNDING}

    def solved_by(self, kind: Kind, weeks: Sequence[date], code: str, instead: Sequence[Use]) -> bool:
        """Whether the uses `instead` of the plan `code` leave none of `weeks` short, and no other week shorter than
        now."""
        uses = self.uses(code, instead)
        left = self.lacking(kind, uses)
        return not any(monday in left for monday in weeks) and not any(
            lacks > self.short.get((each, monday), 0) + ROUNDING
            for each in self.kinds
            for monday, lacks in self.lacking(each, uses).items()
        )


def is_in(use: Use, weeks: Sequence[date]) -> bool:
    return use.start <= weeks[-1] + timedelta(days=6) and use.end >= weeks[0]
