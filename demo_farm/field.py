"""Seed to stem as the program reckons it: sown, counted up, hardened, set out, covered, cut, cleared."""

from __future__ import annotations

from datetime import date, timedelta
from math import pi, sin

from core.beds.kinds import free_feet
from core.beds.rows import PlantingRow, bed_rows
from core.crops.spacing import feet_for_plants, plants_for_feet
from core.trays.rows import TrayRow, tray_rows
from demo_farm.hand import Lines, Work, clock
from demo_farm.plan import BREEZY_MPH, FIELD_BEDS, HEAT_F, MARKETS, MONDAY, SATURDAY, SUNDAY, WEDNESDAY
from demo_farm.tables import CROPS, SOWINGS, USES, on

MILD_F = 42
"""Before a night as mild as this every cover comes off."""
BED_IN = 36
BEARS_F = {"tender": 32, "half-hardy": 28, "hardy": 24}
"""What frost is survived by what still stands in fall."""
HOUR = {"fresh": 6.4, "wire": 9.2, "dry": 10.6}
"""When what is cut: fresh in the cool, to dry once the dew is gone."""


def sow(work: Work) -> Lines:
    """What is due today, in trays and straight in the beds."""
    for item in SOWINGS:
        if f"{work.day:%m-%d}" != item.when or item.year not in ("", str(work.day.year)):
            continue
        variety = f" '{item.variety}'" if item.variety else ""
        if item.cells:
            wanted = plants_for_feet(item.feet, BED_IN, _inches(work, item.crop, item.way))
            seeds = min(max(round(wanted / item.germination / 0.85), item.cells // 3), item.cells)
            way = f" {item.way}" if item.way else ""
            (entry,) = yield f"sow {seeds} {item.crop}{way}{variety} {item.cells}s"
            work.sown[entry.fields["tray"]] = item
        elif bed := _bed_with(work, item.feet):
            plants = f" {item.plants} plants" if item.plants else ""
            yield f"{'plant' if plants else 'drill'} {item.crop}{variety} {bed} {item.feet}ft{plants}"


def harden(work: Work) -> Lines:
    """Step, or hold with its cause: as the program advises. One line for all trays that take a step."""
    stepping = []
    for row in work.see(tray_rows):
        is_out = row.state == "hardening"
        is_due = (
            row.harden_in_days is not None and row.harden_in_days <= 0 and row.state not in ("ready", "sown")
        )
        if not is_out and (not is_due or work.sown[row.tray].waits):
            continue
        if is_out and on(work.day, "no time", row.crop):
            yield f"hold {row.tray} 'no time'"
        elif not row.hold and not work.weather.rain:
            stepping.append(row.tray)
        elif is_out:
            cause = "rain" if work.weather.rain else "wind" if work.weather.wind > BREEZY_MPH else "cold"
            yield f"hold {row.tray} {cause}"
    if stepping:
        yield f"step {' '.join(stepping)}"


def tend(work: Work) -> Lines:
    """Count what is up, write losses, prick out, pot on, set out."""
    for row in work.see(tray_rows):
        item, sheet, chance = work.sown[row.tray], work.sheet(row.crop, row.way), work.chance
        if row.up is None and sheet.germination_days is not None:
            if row.age_days >= round(chance.between(*sheet.germination_days.value, "up", row.tray)):
                share = min(item.germination + 0.05 * chance.spread("share up", row.tray), 0.99)
                yield f"up {max(round(row.cells * share), 4)} {row.tray}"
        elif row.state == "ready":
            yield from _set_out(work, row)
        elif trouble := on(work.day, "lost in a tray", row.crop):
            yield f"lost {max(round(row.plants * trouble.amount), 1)} {trouble.cause} {row.tray}"
        elif row.state == "up" and row.age_days == 16 and chance.happens(0.4, "damping", row.tray):
            yield f"lost {chance.whole(2, 6, 'damped', row.tray)} damping off {row.tray}"
        elif row.state == "up" and item.cells >= 200 and row.age_days >= 27:
            yield f"prick {max(row.plants - 2, 1)} {row.tray} 72s"
        elif (
            row.state in ("up", "pricked out")
            and not item.waits
            and (row.warning or "").startswith("cannot wait")
        ):
            yield f"pot {row.plants} {row.tray} 50s"


def _set_out(work: Work, row: TrayRow) -> Lines:
    if (
        row.set_out_in_days is None
        or row.set_out_in_days > 0
        or work.day.weekday() == SUNDAY
        or work.weather.rain
    ):
        return
    inches = _inches(work, row.crop, row.way)
    plants = min(row.plants, plants_for_feet(work.sown[row.tray].feet, BED_IN, inches))
    feet = feet_for_plants(plants, BED_IN, inches)
    if bed := _bed_with(work, feet):
        yield f"set out {row.tray} {bed} {feet:g}ft {plants} plants"
        if row.plants > plants:
            yield f"lost {row.plants - plants} {row.tray} 'left over'"


def _inches(work: Work, crop: str, way: str | None) -> float:
    spacing = work.sheet(crop, way).spacing_in
    return spacing.value if spacing else 9


def _bed_with(work: Work, feet: float) -> str | None:
    """The next bed, in turn, with so many feet free."""
    beds, turns = work.farm.beds, FIELD_BEDS[work.turn :] + FIELD_BEDS[: work.turn]
    bed = next((code for code in turns if free_feet(work.farm, beds[code]) >= feet), None)
    work.turn = (FIELD_BEDS.index(bed) + 1) % len(FIELD_BEDS) if bed else work.turn
    return bed


def jobs(work: Work) -> Lines:
    """Nets and pinching on the days for them; on Mondays what is done is cleared, and what frost has blackened."""
    day, weekday = work.day, work.day.weekday()
    if weekday not in (MONDAY, WEDNESDAY, SATURDAY):
        return
    wanted = ("clear",) if weekday == MONDAY else ("net", "pinch")
    coldest = min(work.sky[day - timedelta(n)].low for n in range(14))
    for row in (row for bed in work.see(bed_rows) if bed.bed in FIELD_BEDS for row in bed.plantings):
        sheet = work.sheet(row.crop, row.way)
        cycle = sheet.life_cycle.value if sheet.life_cycle else ""
        is_for_spring = cycle.startswith("biennial") and not row.last_cut
        is_black = day.month > 8 and (coldest <= BEARS_F[sheet.hardiness_class] or day.month > 10)
        if (row.due and row.job in wanted) or (weekday == MONDAY and is_black and not is_for_spring):
            yield f"{'clear' if weekday == MONDAY else row.job} {row.planting}"


def uncover(work: Work) -> Lines:
    """In the morning the covers come off, unless tonight asks for them again."""
    covered = [code for code, bed in work.farm.beds.items() if bed.covered_on]
    if covered and work.weather.tonight > MILD_F:
        yield f"uncover {' '.join(covered)}"


def cover(work: Work) -> Lines:
    """In the evening, what the page says to cover."""
    beds = work.see(bed_rows) if work.weather.tonight <= MILD_F else []
    cold = [bed.bed for bed in beds if any(row.job == "cover tonight" for row in bed.plantings)]
    if cold:
        yield f"cover {' '.join(cold)}"


def lose_in_beds(work: Work) -> Lines:
    for planting in list(work.farm.plantings.live()):
        trouble = on(work.day, "lost in a bed", planting.crop)
        if trouble and (planting.plants or 0) > trouble.amount:
            yield f"lost {trouble.amount} {planting.code} {trouble.cause}"


def cut(work: Work) -> Lines:
    """Everything that is at stage today, the fresh first."""
    day = work.day
    if day.weekday() == SUNDAY:
        return
    # on market days the grower is away and the helper cuts, with the netbook in the beds
    work.is_in_field = day.weekday() in MARKETS
    rows = [row for bed in work.see(bed_rows) for row in bed.plantings if _is_at_stage(work, row)]
    for row, use in sorted(((row, _use(work, row)) for row in rows), key=lambda due: HOUR[due[1]]):
        work.at(HOUR[use])
        # heads that are wired are looked at one by one
        odds = (
            0.0
            if not CROPS[row.crop].late or use == "wire"
            else 0.34
            if work.weather.high >= HEAT_F
            else 0.14
        )
        is_late = bool(odds and on(day, "blown", row.crop)) or work.chance.happens(
            odds, "late", row.planting, day
        )
        (entry,) = yield _cut_line(work, row, use, is_late)
        if is_late:
            work.late[entry.fields["lot"]] = work.chance.between(0.1, 0.3, "lost for it", row.planting, day)
        work.cuts[row.planting, day.year] += 1
    work.is_in_field = False


def _use(work: Work, row: PlantingRow) -> str:
    """Plantings of one crop do not all begin with the same use."""
    uses = CROPS[row.crop].uses
    turn = sum(p.crop == row.crop and p.code < row.planting for p in work.farm.plantings.live())
    return USES[uses[(work.cuts[row.planting, work.day.year] + turn) % len(uses)]]


def _is_at_stage(work: Work, row: PlantingRow) -> bool:
    day = work.day
    if row.last_cut and (day - date.fromisoformat(row.last_cut)).days < CROPS[row.crop].every:
        return False
    late = timedelta(0 if row.way else work.chance.whole(0, 5, "ready", row.planting))
    if first := CROPS[row.crop].first_cut:
        begins, weeks = date.fromisoformat(f"{day.year}-{first}"), CROPS[row.crop].weeks
        is_grown = date.fromisoformat(row.since) < begins - timedelta(weeks=26)
        return is_grown and begins + late <= day <= begins + late + timedelta(weeks=weeks)
    if row.cut_from is None or row.cut_to is None:
        return False
    return (
        date.fromisoformat(row.cut_from) + late * (not row.last_cut) <= day <= date.fromisoformat(row.cut_to)
    )


def _cut_line(work: Work, row: PlantingRow, use: str, is_late: bool) -> str:
    chance, about = work.chance, (row.planting, work.day)
    stems = _stems(work, row)
    said = [f"{stems} {row.planting} {use}"]
    if on(work.day, "blown", row.crop):
        said.append(f"{max(stems // 4, 3)} culls blown")
    elif chance.happens(0.35, "culls", *about):
        culls = max(round(stems * chance.between(0.02, 0.1, "cull share", *about)), 1)
        said.append(
            f"{culls} culls {chance.pick(('short', 'broken', 'pests', 'brown', 'dirty'), 'cull', *about)}"
        )
    if chance.happens(0.6, "timed", *about):
        said.append(f"{3 + round(stems * chance.between(0.2, 0.5, 'pace', *about))} min")
    stage = CROPS[row.crop].late if is_late else getattr(CROPS[row.crop], use)
    if stage and chance.happens(0.75, "stage written", *about):
        said.append(f"stage {stage}")
    if chance.happens(0.4, "clock", *about):
        said.append(f"at {clock(HOUR[use] + chance.between(0, 1, 'minutes', *about))}")
    return " ".join(said)


def _stems(work: Work, row: PlantingRow) -> int:
    """What the planting gives today: its season's stems, more in the middle of it than at the ends."""
    sheet = work.sheet(row.crop, row.way)
    inches = _inches(work, row.crop, row.way)
    # a drilled row is not thinned to the last inch
    plants = row.plants or plants_for_feet(row.feet, BED_IN, inches) // (4 if inches < 5 else 1)
    least, most = sheet.stems_per_plant.value if sheet.stems_per_plant else (4, 8)
    rounds = max((sum(sheet.cut_weeks.value) / 2 if sheet.cut_weeks else 3) * 7 / CROPS[row.crop].every, 1)
    along = min(work.cuts[row.planting, work.day.year] / rounds, 1.0)
    stems = plants * (least + 0.2 * (most - least)) / rounds * (0.45 + 0.8 * sin(pi * (0.1 + 0.8 * along)))
    stems *= 1 + 0.18 * work.chance.spread("stems", row.planting, work.day)
    if row.last_cut is None and sheet.first_cut_method is not None:
        stems = max(stems, 0.6 * plants)  # the central stem of each plant that is ready
    return min(max(round(stems), 8), 140)
