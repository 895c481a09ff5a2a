"""Beds and what stands in them: set out or drilled, pinched, netted, covered, cleared."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from core.book.entry import Draft, Entry
from core.called import Called
from core.codes import free_code, is_new
from core.crops.spacing import plants_for_feet
from core.dialect import told_feet, told_size
from core.farm import Bed, Farm, Planting
from core.happened import ColdNight
from core.kinds import REF, SIZE, Kind, may, needs
from core.marked import typed_feet, typed_length
from core.problems import Problem
from core.refusals import too_early, unknown
from core.seeds.drawer import FROM_PACKET, check_taken
from core.settings.sheets import farm_sheet
from core.spelling import spelled
from core.trays import kinds as trays
from core.units import dated_text
from core.usual import FEW, SLIP, most_so_far, note_most, too_many


def free_feet(farm: Farm, bed: Bed) -> float:
    """Feet of the bed with nothing standing in them; below 0 where more was written than fits."""
    return bed.feet - sum(p.feet for p in farm.standing_in(bed.code))


def known_bed(farm: Farm, draft: Draft) -> Problem | None:
    """A problem where the draft's bed is not one of the farm's."""
    bed = draft.fields["bed"]
    if bed in farm.beds:
        return None
    if not farm.beds:
        return Problem(
            f"There is no bed {bed} yet: write 'bed {bed} {typed_feet(50)}' to make it.", "unknown"
        )
    return unknown("bed", bed, list(farm.beds))


def _check_bed(farm: Farm, draft: Draft) -> Problem | None:
    if not 0 < draft.fields["feet"] <= 2000 or not 6 <= draft.fields["width_in"] <= 240:
        return Problem(f"A bed is {told_feet(1, 2000)} long and {told_size(6, 240)} wide.", "impossible")
    return None


def _bed(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    old = farm.beds.get(f["bed"])
    farm.beds[f["bed"]] = Bed(f["bed"], f["feet"], f["width_in"], old.covered_on if old else None)


def _check_room(farm: Farm, draft: Draft) -> Problem | None:
    if problem := known_bed(farm, draft):
        return problem
    if not is_new(farm, draft.fields["planting"], farm.plantings):
        return Problem(f"There is a planting {draft.fields['planting']} already.", "impossible")
    feet = draft.fields["feet"]
    free = free_feet(farm, farm.beds[draft.fields["bed"]])
    if feet <= 0:
        return Problem("A planting needs some length of bed.", "impossible")
    if feet > free + 0.05:
        in_it = ", ".join(f"{p.crop} {told_feet(p.feet)}" for p in farm.standing_in(draft.fields["bed"]))
        return Problem(
            f"Bed {draft.fields['bed']} has {told_feet(max(free, 0))} free"
            f"{f' ({in_it} stands there)' if in_it else ''}: {told_feet(feet)} does not fit. Clear what is "
            "done, or give the bed its true length.",
            "impossible",
            (typed_length(max(free, 0)),),
        )
    return None


def _check_drilled(farm: Farm, draft: Draft) -> Problem | None:
    return _check_room(farm, draft) or check_taken(farm, draft)


def _check_set_out(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f.get("plants", 0 if "tray" in f else 1) < 1:
        return Problem(
            "A planting has at least one plant. One that is done is cleared ('clear P01'), one that never was is taken "
            "back ('cancel P01').",
            "impossible",
        )
    if "tray" in f and (problem := trays.check_leaving(farm, draft, f["plants"])):
        return problem
    return _check_room(farm, draft)


def _stand(farm: Farm, entry: Entry, *, sown: str | None, way: str | None, drilled: bool) -> None:
    f = entry.fields
    code = free_code(farm, f["planting"], farm.plantings, entry.id)
    farm.note_variety(f["crop"], f.get("variety"))
    farm.plantings.add(
        code,
        Planting(
            code,
            entry.id,
            f["crop"],
            f.get("variety"),
            way,
            f["bed"],
            f["feet"],
            f.get("plants"),
            f.get("tray"),
            sown,
            entry.on,
            drilled,
            cleared_on=entry.on if f.get("plants") == 0 else None,  # of none that was planted nothing stands
        ),
    )


def _set_out(farm: Farm, entry: Entry) -> None:
    tray = trays.send_out(farm, entry, entry.fields.get("plants", 0)) if "tray" in entry.fields else None
    way = entry.fields.get("way") or (tray.way if tray else None)
    _stand(farm, entry, sown=tray.sown if tray else None, way=way, drilled=False)


def _drilled(farm: Farm, entry: Entry) -> None:
    _stand(farm, entry, sown=entry.on, way=entry.fields.get("way"), drilled=True)


PLANTING: Called[Planting] = Called("planting", lambda farm: farm.plantings)
_planting = PLANTING.find


def _standing(farm: Farm, draft: Draft) -> Planting | Problem:
    """The draft's planting, where it is one that stands on the draft's day."""
    planting = PLANTING.need(farm, draft)
    if isinstance(planting, Problem):
        return planting
    if not planting.is_live:
        gone = f"{'all lost by' if is_lost(planting) else 'cleared on'} {dated_text(planting.cleared_on)}"
        return Problem(f"{planting.crop} in bed {planting.bed} was {gone}.", "impossible")
    return too_early("The planting of", planting.crop, planting.out_on, draft) or planting


def _check_planting(farm: Farm, draft: Draft) -> Problem | None:
    planting = _standing(farm, draft)
    return planting if isinstance(planting, Problem) else None


def _check_job(farm: Farm, draft: Draft) -> Problem | None:
    planting = _standing(farm, draft)
    if isinstance(planting, Problem):
        return planting
    if draft.kind in planting.jobs:
        return Problem(
            f"{planting.crop} in bed {planting.bed} was {draft.kind} on {planting.jobs[draft.kind]}.",
            "impossible",
        )
    return None


def _job(farm: Farm, entry: Entry) -> None:
    if planting := PLANTING.find_or_matter(farm, entry):
        planting.jobs.setdefault(entry.kind, entry.on)


@dataclass(slots=True)
class Declined:
    """Jobs that she does not do, and that are not asked again: of a crop, and of one planting by its code."""

    of_crop: dict[str, list[str]] = field(default_factory=dict)
    of_planting: dict[str, list[str]] = field(default_factory=dict)

    def jobs(self, planting: Planting) -> tuple[str, ...]:
        """The jobs that are not done in a planting."""
        return (*self.of_crop.get(planting.crop, ()), *self.of_planting.get(planting.code, ()))


JOBS = ("netted", "pinched")
"""Jobs that are asked for and may be declined, by the kind that says they are done."""


def _check_declined(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["job"] not in JOBS:
        return unknown("job", draft.fields["job"], list(JOBS))
    if "planting" in draft.fields:
        return _check_planting(farm, draft)
    return None if "crop" in draft.fields else Problem("Say for which crop, or for which planting.")


def _declined(farm: Farm, entry: Entry) -> None:
    declined, job = farm.part(Declined), entry.fields["job"]
    if "planting" in entry.fields:
        if planting := PLANTING.find_or_matter(farm, entry):
            declined.of_planting.setdefault(planting.code, []).append(job)
    elif "crop" in entry.fields:
        declined.of_crop.setdefault(entry.fields["crop"], []).append(job)


def _cleared(farm: Farm, entry: Entry) -> None:
    if planting := PLANTING.find_or_matter(farm, entry):
        planting.cleared_on = entry.on


def check_loss(farm: Farm, draft: Draft) -> Problem | None:
    """Whether the draft's plants can be lost from its planting."""
    planting = _standing(farm, draft)
    if isinstance(planting, Problem):
        return planting
    left = plants_left(planting)
    if left is not None and draft.fields["count"] > left:
        return Problem(
            f"{planting.crop} in bed {planting.bed} has {left} plants: {draft.fields['count']} is more "
            "than there is.",
            "impossible",
            (str(left),),
        )
    return None


def plants_left(planting: Planting) -> int | None:
    """Plants that are not lost; None where they were never counted."""
    return None if planting.plants is None else planting.plants - sum(planting.lost.values())


def is_lost(planting: Planting) -> bool:
    """Whether every one of its plants is lost."""
    return planting.plants is not None and planting.plants <= sum(planting.lost.values())


def lose(farm: Farm, entry: Entry) -> None:
    """Plants lost in the bed, with their cause."""
    if planting := PLANTING.find_or_matter(farm, entry):
        cause = spelled(entry.fields["cause"])
        planting.lost[cause] = planting.lost.get(cause, 0) + entry.fields["count"]
        if is_lost(planting):  # nothing stands any more
            planting.cleared_on = planting.cleared_on or entry.on
        if (left := plants_left(planting) or 0) < 0:
            what = f"{-left} more plants of {planting.code} in {planting.bed} are lost than stood there: correct one."
            farm.note_matter(what, entry.id, "plants overdrawn", planting.code, amount=-left)
        farm.note_cause(cause, entry.on)
        note_most(farm, "lost of beds", planting.crop, entry.fields["count"])


def _check_cover(farm: Farm, draft: Draft) -> Problem | None:
    if problem := known_bed(farm, draft):
        return problem
    covered = farm.beds[draft.fields["bed"]].covered_on
    if draft.kind == "covered" and covered:
        return Problem(f"Bed {draft.fields['bed']} has been covered since {covered}.", "impossible")
    if draft.kind == "uncovered" and not covered:
        return Problem(f"Bed {draft.fields['bed']} is not covered.", "impossible")
    return None


def _cover(farm: Farm, entry: Entry) -> None:
    if bed := farm.beds.get(entry.fields["bed"]):
        bed.covered_on = entry.on if entry.kind == "covered" else None


COLD_F = 33
"""From it upward a low kills nothing that stands in a bed, and is not kept with it."""
COVER_GAIN_F = 4
"""What a light row cover is taken to keep off, F. Tables in print (growers' and sellers', none from trials) say 2, 2 to
5 and 4 for light covers of 0.5 oz, 6 to 8 for heavy ones: they clash, so a second cover is asked for early."""
FORGET_DAYS = 60
"""After so many days a night counts anew, though an earlier one was colder: spring's frosts say nothing of fall's."""


def _low(farm: Farm, entry: Entry) -> None:
    """A cold morning is kept with what stood in the beds, by whether it was covered that night."""
    low = entry.fields["f"]
    if low >= COLD_F:
        return
    recent = (date.fromisoformat(entry.on) - timedelta(days=FORGET_DAYS)).isoformat()
    for planting in farm.plantings.live():
        bed = farm.beds.get(planting.bed)
        felt = low + (COVER_GAIN_F if bed is not None and bed.covered_on else 0)
        shortly = min((night.f for night in planting.cold if night.on >= recent), default=COLD_F)
        if felt < shortly and planting.out_on < entry.on:
            planting.cold.append(ColdNight(entry.on, felt))


HEARS = {"low": _low}


def _fit(farm: Farm, crop: str, way: str | None, bed: str, feet: float) -> int | None:
    """Plants that stand in so many feet of a bed at the crop's spacing; None where that is not known."""
    sheet = farm_sheet(farm, crop, way)
    if sheet is None or sheet.spacing_in is None or sheet.spacing_in.value <= 0 or bed not in farm.beds:
        return None
    return plants_for_feet(feet, farm.beds[bed].width_in, sheet.spacing_in.value)


def _bed_too_long(farm: Farm, draft: Draft) -> str | None:
    others = max((bed.feet for bed in farm.beds.values() if bed.code != draft.fields["bed"]), default=0)
    return too_many(draft.fields["feet"], others, f"of bed {draft.fields['bed']}", tells=told_feet)


def _planted_too_many(farm: Farm, draft: Draft) -> str | None:
    f, plants = draft.fields, draft.fields.get("plants", 0)
    fit = _fit(farm, f["crop"], f.get("way"), f["bed"], f["feet"])
    if fit is None or plants < SLIP * max(fit, FEW):
        return None
    feet = f"{told_feet(f['feet'])} of bed {f['bed']}"
    return f"{plants} plants is {plants / max(fit, 1):.0f} times what {feet} holds, {fit}"


def _lost_too_many(farm: Farm, draft: Draft) -> str | None:
    planting, count = _planting(farm, draft), draft.fields["count"]
    if planting is None or (
        planting.plants is not None and count == plants_left(planting)
    ):  # all of it may be lost
        return None
    fit = _fit(farm, planting.crop, planting.way, planting.bed, planting.feet) or 0
    most = most_so_far(farm, "lost of beds", planting.crop)
    return too_many(count, most or fit, f"plants of {planting.crop} lost")


KINDS = (
    Kind(
        "bed",
        "bed {bed}: {feet} long, {width_in} wide",
        needs(bed="code", feet=SIZE, width_in=SIZE),
        _bed,
        check=_check_bed,
        slip=_bed_too_long,
        makes="bed",
        describes=True,
    ),
    Kind(
        "drilled",
        "drilled {planting}: {crop}[ {variety}] in bed {bed}, {feet}[, {seeds} seeds][, from {packet}]"
        "[, {packet_seeds} of them]",
        needs(planting="code", crop="text", bed="code", feet=SIZE)
        | may(variety="text", way="code", seeds="count")
        | FROM_PACKET,
        _drilled,
        check=_check_drilled,
        makes="planting",
    ),
    Kind(
        "set out",
        "set out {planting}:[ {plants} plants of] {crop}[ {variety}][ ({way})][ from {tray}] in bed {bed}, "
        "{feet}",
        needs(planting="code", crop="text", bed="code", feet=SIZE)
        | may(variety="text", way="code", plants="count", tray="code")
        | REF,
        _set_out,
        check=_check_set_out,
        slip=_planted_too_many,
        makes="planting",
    ),
    Kind("pinched", "pinched {planting}", needs(planting="code") | REF, _job, check=_check_job),
    Kind("netted", "netted {planting}", needs(planting="code") | REF, _job, check=_check_job),
    Kind(
        "declined",
        "never {job}:[ {crop}][ {planting}]",
        needs(job="code") | may(crop="text", planting="code") | REF,
        _declined,
        check=_check_declined,
    ),
    Kind("covered", "covered bed {bed}", needs(bed="code"), _cover, check=_check_cover),
    Kind("uncovered", "uncovered bed {bed}", needs(bed="code"), _cover, check=_check_cover),
    Kind("cleared", "cleared {planting}", needs(planting="code") | REF, _cleared, check=_check_planting),
    Kind(
        "lost",
        "lost {count} of planting {planting}, {cause}",
        needs(count="count", cause="text", planting="code") | REF,
        lose,
        check=check_loss,
        slip=_lost_too_many,
        when="planting",
    ),
)
