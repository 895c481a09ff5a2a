"""A cut: stems of one crop from one bed at one time become a lot in the bucket; culls are lost with their cause."""

from __future__ import annotations

from datetime import date
from typing import Final

from core.beds.kinds import is_lost, known_bed
from core.book.entry import Draft, Entry
from core.codes import free_code, is_new
from core.cutting.yields import too_many_cut
from core.farm import Farm, Lot, Planting
from core.happened import CutOf, Loss
from core.kinds import REF, Kind, may, needs
from core.places import BUCKET, USES
from core.problems import Problem
from core.refusals import unknown
from core.register import same
from core.spelling import spelled
from core.stems.kinds import enter, put
from core.stems.whereabouts import begin
from core.tubers.kinds import FORCED, check_cut
from core.units import dated_text

AT_THE_CUT: Final = "cut"
"""The form in which culls are lost: they never came into the bucket."""
CULLED = "culled"
"""The cause of a cull when none was said."""
DRY_HOURS_MOST = 72
"""Hours that stems may wait before they come into water; longer ones are not worth a bucket (common practice)."""
LATELY = 12
"""So many cuts of a planting are remembered one by one."""
RESTS_DAYS = 120
"""Days without a cut after which the next one is the first of a new year (common practice)."""


def _check(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    of_forced = f["bed"] == FORCED and FORCED not in farm.beds
    if problem := check_cut(farm, draft) if of_forced else known_bed(farm, draft):
        return problem
    if f["use"] not in USES:
        return unknown("use", f["use"], list(USES))
    if "asked" in f and f["asked"] < 1:
        return Problem("What was asked for begins at one stem: leave it out where nothing was.", "impossible")
    if f["stems"] + f.get("culls", 0) < 1:
        return Problem("A cut needs at least one stem.", "impossible")
    if not 0 <= f.get("dry_hours", 0) <= DRY_HOURS_MOST:
        return Problem(
            f"Hours out of water run from 0 to {DRY_HOURS_MOST}: write how long the stems waited.",
            "impossible",
        )
    if not is_new(farm, f["lot"], farm.lots):
        return Problem(f"There is a lot {f['lot']} already.", "impossible")
    if "planting" in f:
        planting = farm.plantings.get(f["planting"])
        if planting is None:
            return unknown("planting", f["planting"], [p.code for p in farm.plantings.live()])
        if draft.on < planting.out_on:
            return Problem(
                f"{planting.crop} in bed {planting.bed} was set out on {dated_text(planting.out_on)}: it cannot be cut "
                f"on {dated_text(draft.on)}.",
                "impossible",
            )
    return None


def _cut(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    code = free_code(farm, f["lot"], farm.lots, entry.id)
    culls = f.get("culls", 0)
    lot = Lot(
        code,
        entry.id,
        f["crop"],
        f.get("variety"),
        f["bed"],
        f.get("planting"),
        f["use"],
        entry.on,
        f["stems"] + culls,
        f.get("stage"),
        f.get("minutes"),
    )
    if culls:
        lot.losses.append(Loss(entry.on, AT_THE_CUT, spelled(f.get("cull_cause") or CULLED), culls))
    lot.cut_at, lot.dry_hours, lot.by = f.get("clock"), f.get("dry_hours"), entry.by
    put(lot, BUCKET, f["stems"], entry.on)
    if f["stems"]:
        begin(lot, entry.on, lot.cut_at)
    enter(lot, AT_THE_CUT, lot.cut)
    enter(lot, BUCKET.form, f["stems"])
    farm.lots.add(code, lot)
    farm.note_variety(f["crop"], f.get("variety"))
    farm.last_lot = code
    if planting := _planting(farm, entry):
        if planting.first_cut is None or _flowers_anew(planting, entry.on):
            planting.first_cut = entry.on
        planting.last_cut = entry.on
        planting.stems_cut += f["stems"]
        planting.most_cut = max(planting.most_cut, f["stems"])
        planting.lately = [*planting.lately[1 - LATELY :], CutOf(entry.on, f["stems"], f.get("asked", 0))]
        lot.way = planting.way


def _flowers_anew(planting: Planting, on: str) -> bool:
    """Whether a cut on that day begins a new year's cutting of what has stood since an earlier one."""
    rested = date.fromisoformat(on) - date.fromisoformat(planting.last_cut or on)
    return rested.days > RESTS_DAYS


def _planting(farm: Farm, entry: Entry) -> Planting | None:
    code, ref = entry.fields.get("planting"), entry.fields.get("ref")
    if code is None:
        return None

    found = same(code, ref, farm.plantings)
    if found is None:
        farm.note_unknown("planting", code, entry.id)
    return found


def _too_many(farm: Farm, draft: Draft) -> str | None:
    f, code = draft.fields, draft.fields.get("planting")
    planting = same(code, f.get("ref"), farm.plantings) if code else None
    if planting is not None and is_lost(planting) and draft.on >= (planting.cleared_on or draft.on):
        causes = ", ".join(planting.lost)
        gone = dated_text(planting.cleared_on)
        return f"All plants of {planting.code} in {planting.bed} were lost by {gone}: {causes}"
    return too_many_cut(farm, f["crop"], f["bed"], planting, f["stems"])


KINDS = (
    Kind(
        "cut",
        "cut {stems} {crop}[ {variety}] from bed {bed} for {use}[, {culls} culled][ ({cull_cause})]"
        "[, {minutes} min][, stage: {stage}][, {dry_hours} h out of water][, at {clock}][, of {asked} asked]: {lot}",
        needs(lot="code", crop="text", bed="code", use="code", stems="count")
        | may(
            variety="text",
            planting="code",
            asked="count",
            culls="count",
            cull_cause="text",
            minutes="number",
            stage="text",
            dry_hours="number",
            clock="clock",
        )
        | REF,
        _cut,
        check=_check,
        slip=_too_many,
        makes="lot",
    ),
)
