"""The first change of a kept plan that would solve a shortage, reckoned anew, back to the seed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, floor

from core.crops.spacing import feet_for_plants
from core.dialect import told_feet
from core.plan_rows import Kept
from core.plans.backward_plan import plan_back
from core.plans.capacity import (
    Use,
    more_room,
    peak,
)
from core.plans.cells import cells_that_suit, closer_sizes
from core.plans.clashes import FEWER_BY_HALF, SHIFTS_EARLIER, SHIFTS_LATER, most_that
from core.plans.crop_season import hold_of
from core.plans.plan import Plan
from core.plans.plan_usage import is_begun, uses_of_kept
from core.plans.room_use import Kind, Spoken
from core.plans.save_plan import ask_on
from core.plans.seasons import TIMING
from core.plans.standing import of_kept
from core.plans.wish import Wish
from core.problems import Problem
from core.settings.sheets import farm_sheet
from core.units import day_text


def first_change(
    spoken: Spoken, kind: Kind, weeks: Sequence[date], short: float, codes: Sequence[str]
) -> str:
    """In this order: sown earlier, another bed or two of them, smaller cells, fewer stems, later; of plans not
    begun the last written first. Where no one of them solves it: more room, or a plan dropped."""
    movable = [_Movable.of(spoken, spoken.farm.plans[code]) for code in reversed(codes)]
    movable = [each for each in movable if not is_begun(each.kept)]

    def solves(each: _Movable, uses: Sequence[Use] | None) -> bool:
        return uses is not None and spoken.solved_by(kind, weeks, each.kept.code, uses)

    for way in (_earlier, _other_bed, _two_beds, _closer, _fewer, _later):
        for each in movable:
            for uses, says in way(each, kind, solves):
                if solves(each, uses):
                    return says
    more = more_room(kind[0], short, kind[1])
    dropped = next((each.kept.code for each in movable if solves(each, ())), None)
    return f"{more}, or {dropped} dropped" if dropped else more


Solves = Callable[["_Movable", "Sequence[Use] | None"], bool]
Changes = Iterator[tuple[Sequence[Use], str]]


@dataclass(frozen=True, slots=True)
class _Movable:
    """A kept plan, and the same reckoned anew as it stands; None where that cannot be done any more."""

    spoken: Spoken
    kept: Kept
    as_is: Plan | None

    @staticmethod
    def of(spoken: Spoken, kept: Kept) -> _Movable:
        bare = _Movable(spoken, kept, None)
        plan = bare.reckoned()
        return bare if isinstance(plan, Problem) else replace(bare, as_is=plan)

    def reckoned(self, days: int = 0, stems: int | None = None) -> Plan | Problem:
        """The plan begun so many days later, or for other stems."""
        key, known = (self.kept.code, days, stems or self.kept.stems), self.spoken.reckoned
        if key not in known:
            known[key] = self._reckon(days, stems)
        return known[key]

    def _reckon(self, days: int, stems: int | None) -> Plan | Problem:
        kept = self.kept
        start = kept.set_out_on or kept.sow_on
        if start is None:
            return Problem("The plan has no day on which it begins.")
        into_bed = date.fromisoformat(start) + timedelta(days=days)
        wish = Wish(
            kept.crop, stems or kept.stems, kept.use, date.fromisoformat(kept.by), kept.variety, kept.way
        )
        ask = ask_on(self.spoken.farm, wish, self.spoken.day, bed=kept.bed, set_out_on=into_bed)
        if isinstance(ask, Problem):
            return ask
        days_of_run = _days_of_run(kept, hold_of(ask).value)
        steady = TIMING if days_of_run is not None else frozenset()
        ask = replace(ask, direct=kept.set_out_on is None, only_days=days_of_run, steady=steady)
        made = plan_back(of_kept(self.spoken.farm, ask, [code for code, _, _ in kept.beside]), briefly=True)
        if isinstance(made, Plan) and not made.plants_out:
            return Problem("What stands is enough for it.")
        return made

    def changed(self, days: int = 0, stems: int | None = None) -> Kept | None:
        """The plan as it would be kept: as many seeds, cells and feet a plant as it was kept with."""
        plan = self.reckoned(days, stems)
        if self.as_is is None or isinstance(plan, Problem):
            return None
        share = plan.plants_out / self.as_is.plants_out
        kept = self.kept
        return replace(
            kept,
            stems=stems or kept.stems,
            sow_on=plan.sow_on.isoformat() if kept.sow_on and plan.sow_on else None,
            set_out_on=plan.set_out_on.isoformat() if kept.set_out_on and plan.set_out_on else None,
            cut_from=plan.cut_from.isoformat(),
            cells=ceil(kept.cells * share - 1e-9) if kept.cells else kept.cells,
            plants=ceil(kept.plants * share - 1e-9) if kept.plants else kept.plants,
            feet=ceil(kept.feet * share * 10 - 1e-9) / 10 if kept.feet else kept.feet,
        )

    def uses(self, other: Kept) -> list[Use]:
        """The room that it takes as it would be kept."""
        return uses_of_kept(self.spoken.farm, other, self.spoken.day)

    def feet_in(self, code: str) -> float | None:
        """The feet it takes in a bed, by its width; None where they cannot be told."""
        kept, beds = self.kept, self.spoken.room.beds
        own = beds.get(kept.bed) if kept.bed is not None else None  # its bed may be struck
        if kept.bed is None or (own is not None and beds[code][1] == own[1]):
            return kept.feet
        sheet = farm_sheet(self.spoken.farm, kept.crop, kept.way, kept.variety)
        if sheet is None or sheet.spacing_in is None or not kept.plants:
            return None
        return feet_for_plants(kept.plants, beds[code][1], sheet.spacing_in.value)

    def free_in(self, code: str) -> float:
        """The feet of a bed that nothing else takes in any week in which the plan stands there."""
        others = [use for use in self.spoken.uses(self.kept.code) if use.what == "bed" and use.bed == code]
        weeks = [
            monday
            for use in self.uses(self.kept)
            if use.what == "bed"
            for monday in self.spoken.mondays
            if use.start <= monday + timedelta(days=6) and use.end >= monday
        ]
        return self.spoken.room.beds[code][0] - max(
            (peak(others, "bed", monday) for monday in weeks), default=0
        )

    def part(self, code: str, feet: float) -> Kept:
        """The plan with `feet` of it in the bed called `code`."""
        return replace(self.kept, bed=code, feet=feet)


def _days_of_run(kept: Kept, hold_days: float) -> int | None:
    """The days of cutting of a sowing of a weekly wish, which are more than fresh stems wait; None for others."""
    if kept.use != "fresh" or kept.cut_from is None:
        return None
    days = (date.fromisoformat(kept.by) - date.fromisoformat(kept.cut_from)).days + 1
    return days if days > hold_days + 1 else None


def _earlier(each: _Movable, _kind: Kind, _solves: Solves) -> Changes:
    for days in SHIFTS_EARLIER:
        if other := each.changed(-days):
            verb = "sown" if other.sow_on else "planted"
            begins = day_text(other.sow_on or other.set_out_on or other.by)
            yield each.uses(other), f"{each.kept.code} {verb} {days} days earlier, {begins}"


def _other_bed(each: _Movable, kind: Kind, _solves: Solves) -> Changes:
    if kind[1] is None:
        return
    for code in each.spoken.room.beds:
        feet = each.feet_in(code)
        if code != kind[1] and feet is not None:
            yield each.uses(replace(each.kept, bed=code, feet=feet)), f"{each.kept.code} in bed {code}"


def _two_beds(each: _Movable, kind: Kind, _solves: Solves) -> Changes:
    """As much of it as finds room in the emptiest bed, the rest in the next."""
    needs = {code: feet for code in each.spoken.room.beds if (feet := each.feet_in(code))}
    shares = sorted(((min(each.free_in(code) / feet, 1), code) for code, feet in needs.items()), reverse=True)
    if kind[1] is None or len(shares) < 2:
        return
    (share, first), (_, second) = shares[:2]
    here = floor(needs[first] * share * 10 + 1e-9) / 10
    there = ceil(needs[second] * (1 - here / needs[first]) * 10 - 1e-9) / 10
    if here <= 0 or there <= 0:
        return
    in_second = [use for use in each.uses(each.part(second, there)) if use.what == "bed"]
    says = f"{told_feet(here)} of {each.kept.code} in bed {first}, {told_feet(there)} in bed {second}"
    yield [*each.uses(each.part(first, here)), *in_second], says


def _closer(each: _Movable, kind: Kind, _solves: Solves) -> Changes:
    kept = each.kept
    if kind[0] not in ("lights", "hardening") or not kept.cells:
        return
    size = kept.cell_size or cells_that_suit(kept.crop)
    for other in closer_sizes(kept.crop, size):
        says = f"{kept.code} in trays of {other} cells instead of {size}"
        yield each.uses(replace(kept, cell_size=other)), says


def _fewer(each: _Movable, _kind: Kind, solves: Solves) -> Changes:
    kept = each.kept

    def of(stems: int) -> list[Use] | None:
        other = each.changed(stems=stems)
        return None if other is None else each.uses(other)

    least = ceil(FEWER_BY_HALF * kept.stems)
    if least >= kept.stems or not solves(each, of(least)):
        return
    stems = most_that(kept.stems, lambda count: count <= least or solves(each, of(count)))
    if (uses := of(stems)) is not None:
        yield uses, f"{stems} stems of {kept.code} instead of {kept.stems}"


def _later(each: _Movable, _kind: Kind, _solves: Solves) -> Changes:
    for days in SHIFTS_LATER:
        if other := each.changed(days):
            begins = day_text(other.set_out_on or other.sow_on or other.by)
            verb = "set out" if other.set_out_on else "drilled"
            yield each.uses(other), f"{each.kept.code} {verb} {days} days later, {begins}"
