"""Work that fills plans: what was sown, set out, cut and made stands in place of what was planned."""

from __future__ import annotations

from datetime import date, timedelta

from core.book.entry import Entry
from core.crops.color import is_of_color
from core.farm import Farm, Lot, Planting, Tray
from core.happened import OutFor, SownFor
from core.plan_rows import Kept
from core.plans.defaults import LONGEST_HOLD
from core.register import Register, T, same

NEAR_DAYS = 28
"""Work so many days from the planned day, and no more, is taken for the plan's (common practice)."""
ENOUGH = 0.9
"""A plan is sown, or set out, once this share of it is; the next work goes to the next plan."""


def _fill_by_sowing(farm: Farm, entry: Entry) -> None:
    """A tray that has just been sown fills the plan it belongs to, if it belongs to one."""
    if farm.plans and (tray := _made(farm.trays, entry.fields["tray"], entry.id)) is not None:
        _fill_sown(farm, tray)


def _fill_by_planting(farm: Farm, entry: Entry) -> None:
    """What has just been set out or drilled fills the plan it belongs to."""
    if farm.plans and (planting := _made(farm.plantings, entry.fields["planting"], entry.id)) is not None:
        _fill_out(farm, planting)


def _fill_by_cut(farm: Farm, entry: Entry) -> None:
    """Stems that have just been cut count for the plan they were grown for."""
    if farm.plans and (lot := _made(farm.lots, entry.fields["lot"], entry.id)) is not None:
        _fill_cut(farm, lot, entry.fields["stems"])


def _fill_by_making(farm: Farm, entry: Entry) -> None:
    """Pieces that have just been made count for the first plan of such pieces that is not met."""
    recipe = farm.recipes.get(entry.fields["recipe"])
    for plan in farm.piece_plans.values():
        is_such = plan.recipe == entry.fields["recipe"] or (recipe is not None and plan.recipe == recipe.sort)
        if is_such and plan.is_live and plan.made < plan.count and entry.on <= plan.by:
            plan.made += entry.fields["count"]
            return


def _made(register: Register[T], code: str, entry_id: str) -> T | None:
    """What the entry made: it may be called otherwise, where its code was given twice."""
    return same(code, entry_id, register)


def _fill_sown(farm: Farm, tray: Tray) -> None:
    plans = [p for p in _of(farm, tray) if p.set_out_on is not None and not _is_sown(p)]
    if plan := _nearest([(p, p.sow_on) for p in plans], tray.sown, tray.variety):
        _sow(farm, plan, SownFor(tray.code, tray.sown, tray.cells))


def _fill_out(farm: Farm, planting: Planting) -> None:
    if planting.tray is not None:
        for plan in farm.plans.values():
            if any(code == planting.tray for code, _, _ in plan.sown):
                _set_out(farm, plan, planting)
                return
    plans = [p for p in _of(farm, planting) if not _is_out(p) and (p.set_out_on is None) == planting.drilled]
    days = [(p, p.sow_on if planting.drilled else p.set_out_on) for p in plans]
    if nearest := _nearest(days, planting.out_on, planting.variety):
        _set_out(farm, nearest, planting)
        if planting.drilled:
            _sow(farm, nearest, SownFor(planting.code, planting.out_on, 0))


def _fill_cut(farm: Farm, lot: Lot, stems: int) -> None:
    for plan in farm.plans.values():
        if plan.use == lot.use and any(code == lot.planting for code, _, _ in (*plan.out, *plan.beside)):
            plan.first_cut = min(plan.first_cut or lot.cut_on, lot.cut_on)
            if _keeps_until_promised(plan, lot.cut_on):
                plan.stems_cut += stems
            return


def _keeps_until_promised(plan: Kept, cut_on: str) -> bool:
    """Whether stems cut on that day can be handed over on the day promised: fresh ones do not keep."""
    if cut_on > plan.by or plan.use != "fresh":
        return cut_on <= plan.by
    kept_from = (date.fromisoformat(plan.by) - timedelta(days=LONGEST_HOLD)).isoformat()
    return cut_on >= min(kept_from, plan.cut_from or kept_from)


def stand_for(farm: Farm, plan: Kept, codes: list[str]) -> None:
    """A plan that plantings in the ground are to meet: what is cut of them is the plan's."""
    for planting in filter(None, map(farm.plantings.get, codes)):
        _set_out(farm, plan, planting)


def stand_beside(farm: Farm, plan: Kept, codes: list[str]) -> None:
    """Plantings in the ground that give a part of what a plan is for: what is cut of them is the plan's too."""
    for planting in filter(None, map(farm.plantings.get, codes)):
        plan.beside.append(OutFor(planting.code, planting.out_on, planting.feet))
        _in_plans(farm).add(planting.code)


def adopt(farm: Farm, plan: Kept) -> None:
    """A plan written after its work was begun takes what is there already and belongs to no other plan."""
    taken = _in_plans(farm)
    for tray in farm.trays.live():
        if tray.code not in taken and tray.sown <= plan.made_on:
            _fill_sown_of(farm, plan, tray)
    for planting in farm.plantings.live():
        if planting.code not in taken and planting.out_on <= plan.made_on:
            _fill_out_of(farm, plan, planting)


def _in_plans(farm: Farm) -> set[str]:
    """The trays and plantings that fill a plan: of thousands of plans they are gathered once."""
    if farm.in_plans is None:
        farm.in_plans = {code for p in farm.plans.values() for code, _, _ in (*p.sown, *p.out, *p.beside)}
    return farm.in_plans


def _sow(farm: Farm, plan: Kept, sown: SownFor) -> None:
    plan.sown.append(sown)
    _in_plans(farm).add(sown[0])


def _set_out(farm: Farm, plan: Kept, planting: Planting) -> None:
    plan.out.append(OutFor(planting.code, planting.out_on, planting.feet))
    _in_plans(farm).add(planting.code)


def _fill_sown_of(farm: Farm, plan: Kept, tray: Tray) -> None:
    fits = plan.set_out_on is not None and not _is_sown(plan) and _is_of(plan, tray)
    if fits and _nearest([(plan, plan.sow_on)], tray.sown, tray.variety):
        _sow(farm, plan, SownFor(tray.code, tray.sown, tray.cells))


def _fill_out_of(farm: Farm, plan: Kept, planting: Planting) -> None:
    day = plan.sow_on if planting.drilled else plan.set_out_on
    fits = (plan.set_out_on is None) == planting.drilled and not _is_out(plan) and _is_of(plan, planting)
    if fits and _nearest([(plan, day)], planting.out_on, planting.variety):
        _set_out(farm, plan, planting)
        if planting.drilled:
            _sow(farm, plan, SownFor(planting.code, planting.out_on, 0))


def _of(farm: Farm, work: Tray | Planting) -> list[Kept]:
    return [plan for plan in farm.plans.values() if plan.is_live and _is_of(plan, work)]


def _is_of(plan: Kept, work: Tray | Planting) -> bool:
    is_of_kind = plan.crop == work.crop and plan.way == work.way
    return is_of_kind and is_of_color(work.variety, plan.variety)


def _is_sown(plan: Kept) -> bool:
    return bool(plan.sown) and sum(cells for _, _, cells in plan.sown) >= ENOUGH * (plan.cells or 0)


def _is_out(plan: Kept) -> bool:
    return bool(plan.out) and sum(feet for _, _, feet in plan.out) >= ENOUGH * (plan.feet or 0)


def _nearest(plans: list[tuple[Kept, str | None]], day: str, variety: str | None) -> Kept | None:
    """The plan whose day is nearest to `day`, and near enough; the first written of two as near.

    One for a color ("blue") takes what is called otherwise ("deep blue") only where none that is near names just that.
    """
    done = date.fromisoformat(day)
    away = [
        (abs((done - date.fromisoformat(on)).days), i) for i, (_, on) in enumerate(plans) if on is not None
    ]
    near = [(days, i) for days, i in away if days <= NEAR_DAYS]
    if any(plans[i][0].variety == variety for _, i in near):
        near = [(days, i) for days, i in near if plans[i][0].variety in (None, variety)]
    return plans[min(near)[1]][0] if near else None


HEARS = {
    "sown": _fill_by_sowing,
    "set out": _fill_by_planting,
    "drilled": _fill_by_planting,
    "cut": _fill_by_cut,
    "made": _fill_by_making,
}
