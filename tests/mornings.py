"""Mornings of a whole year: a farm followed day by day as its book grows, and what must hold on each of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import groupby

from core.amend import amendments
from core.asks import Asked, PageLine, Sight
from core.beds.rows import bed_rows
from core.book.entry import Entry
from core.crops.hardening import ladder, reached
from core.farm import Farm
from core.fold import apply
from core.page import ALL, page
from core.plans.rows import plan_rows
from core.settings.sheets import farm_sheet
from core.today import Morning
from core.trays.rows import ladder_days, tray_rows
from core.weather.night import nights_to_come
from core.weather.tonight import tonight

PRINTED, ON_SCREEN = (23, 78), (17, 78)
"""(lines, columns) of the page as it is printed, and as the screen has room for it at 80x24."""
AT_DAWN = ("low", "tonight", "forecast", "wind", "air")
"""What is written before the page is read."""


def dawns(entries: Iterable[Entry], first: date, last: date) -> Iterator[Sight]:
    """The farm at dawn of each day: all that was written before it, and what the instruments said that morning.

    The farm goes on to grow: look at it before the next dawn.
    """
    entries = sorted(entries, key=lambda entry: entry.key)
    counting = amendments(entries).counting(entries)
    by_day = {on: [*of] for on, of in groupby(sorted(counting, key=lambda e: e.key), key=lambda e: e.on)}
    farm = Farm()
    wanted = (date.fromordinal(n).isoformat() for n in range(first.toordinal(), last.toordinal() + 1))
    for on in sorted({*by_day, *wanted}):
        day, todays = date.fromisoformat(on), by_day.get(on, [])
        early = [e for e in todays if e.kind in AT_DAWN and e.fields.get("clock", "06:00") < "07:30"]
        for entry in early:
            apply(farm, entry)
        if first <= day <= last:
            yield Sight(farm, day)
        for entry in todays:
            if entry not in early:
                apply(farm, entry)


def told(lines: Iterable[PageLine]) -> set[tuple[str, ...]]:
    """What the lines speak of, one by one."""
    return {one.about for line in lines for one in (line, line.beside) if one is not None and one.about}


def faults_of(found: Morning, room: tuple[int, int]) -> list[str]:
    """What is wrong with the page of a morning: too long, too wide, or something neither shown nor one Enter away."""
    most, width = room
    lines = page(found, width, most)
    faults = [f"{len(lines)} lines"] if len(lines) > most else []
    faults += [f"wide: {line.whole}" for line in lines if len(line.whole) > width]
    seen = told(lines)
    for fold in {line.folds for line in lines if line.folds}:
        seen |= told(page(found, width, most, {fold}))
    faults += [f"nowhere: {one.do} {one.code}" for one in found.asked if one.about and one.about not in seen]
    text = " ".join(" ".join(line.whole.split()) for line in page(found, width, most, ALL))
    faults += [f"nowhere: {one.code}" for one in found.asked if not one.about and one.code not in text]
    faults += [f"nowhere: {said}" for said in found.cautions if said.split()[0] not in text]
    return faults


def contradictions(sight: Sight, found: Morning) -> list[str]:
    """Where pages say of one night, or one thing, what cannot all be true."""
    farm, day = sight.farm, sight.day
    night, trays = tonight(farm, day), tray_rows(farm, day)
    asked: dict[str, set[str]] = {}
    for one in found.asked:
        asked.setdefault(one.do, set()).add(one.about[1] if one.about else one.code)
    bring_in = {row.code for row in night.at_risk if row.do == "bring in"}
    out = {tray.code for tray in farm.trays.live() if _is_out(farm, tray.code, day)}
    faults = []
    if bring_in - out:
        faults.append(f"bring in what is not out: {bring_in - out}")
    if bring_in != asked.get("bring in", set()):
        faults.append(f"the page brings in {asked.get('bring in', set())}, tonight {bring_in}")
    if bring_in != {row.tray for row in trays if row.tonight == "bring in"}:
        faults.append("trays and tonight differ on what to bring in")
    if both := asked.get("plant out", set()) & bring_in:
        faults.append(f"plant out and bring in: {both}")
    if (
        night.low_f is not None
        and night.low_f <= 32
        and (planted := _soft(farm, asked.get("plant out", set())))
    ):
        faults.append(f"planted into {night.low_f} F: {planted}")
    cold = [(on, low.f) for on, low in nights_to_come(farm, day) if on > day and low.f <= 32]
    if cold and (planted := _soft(farm, asked.get("plant out", set()))):
        faults.append(f"planted before {cold}: {planted}")
    named = " ".join(found.cautions)
    exposed = [p.bed for p in farm.plantings.live() if _is_tender(farm, p.crop, p.way) and p.last_cut is None]
    uncovered = [bed for bed in exposed if bed in farm.beds and not farm.beds[bed].covered_on]
    if cold and uncovered and not all(f"{on:%a} night" in named for on, _ in cold):
        faults.append(f"{cold} is not told, {uncovered} stand open")
    at_risk = {row.code: row.do for row in night.at_risk if row.what == "planting"}
    of_beds = {
        p.planting: p.job.removesuffix(" tonight")
        for bed in bed_rows(farm, day)
        for p in bed.plantings
        if p.job.endswith(" tonight")
    }
    if at_risk != of_beds:
        faults.append(f"beds say {of_beds}, tonight {at_risk}")
    for do in set(of_beds.values()):
        if asked.get(do, set()) != {code for code, what in of_beds.items() if what == do}:
            faults.append(f"the page and the beds differ on what to {do}")
    steps = {one.about[1] for one in found.asked if one.about[:1] == ("tray",) and one.do.startswith("step")}
    if wrong := {row.tray for row in trays if row.hold} & steps:
        faults.append(f"held and stepped: {wrong}")
    jobs = [(one.about, one.do) for one in found.asked if one.about[:1] == ("planting",)]
    if len({about for about, _ in jobs}) != len(jobs):
        faults.append("two jobs for one planting")
    held_back = {row.tray for row in trays if row.ask.startswith("wait")}
    for plan in plan_rows(farm, day):
        if plan.set_out is not None and set(plan.set_out.codes) & held_back and plan.next == "set out":
            task = next((one for one in found.asked if one.about == ("plan", plan.plan)), None)
            if task is not None and task.do.startswith("set out"):
                faults.append(f"{plan.plan} goes out, its tray waits")
    return faults


def _is_out(farm: Farm, code: str, day: date) -> bool:
    """Whether a tray stands outside at night, read off its ladder alone: the last step done has its night out."""
    tray = farm.trays.get(code)
    assert tray is not None
    sheet = farm_sheet(farm, tray.crop, tray.way)
    kind = sheet.hardiness_class if sheet else "tender"
    climb = reached(ladder_days(tray), day, kind)
    return climb.today != "held" and climb.step > 0 and ladder(kind)[climb.step - 1].night != "in"


def _is_tender(farm: Farm, crop: str, way: str | None) -> bool:
    sheet = farm_sheet(farm, crop, way)
    return sheet is not None and sheet.hardiness_class == "tender"


def _soft(farm: Farm, codes: Iterable[str]) -> list[str]:
    """Of these trays those whose crop a frost hurts."""
    soft = []
    for code in codes:
        tray = farm.trays.get(code)
        sheet = farm_sheet(farm, tray.crop, tray.way) if tray else None
        if sheet is None or sheet.hardiness_class != "hardy":
            soft.append(code)
    return soft


def repeated(before: Iterable[Asked], now: Iterable[Asked]) -> int:
    """How many asks are the same as the day before, word for word."""
    was = {(one.about, one.do, one.when) for one in before}
    return sum((one.about, one.do, one.when) in was for one in now)
