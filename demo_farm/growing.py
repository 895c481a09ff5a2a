"""Seed to bed as the program reckons it: sown in its window, counted up, hardened, set out, covered, cleared."""

from __future__ import annotations

from datetime import date, timedelta

from core.beds.kinds import free_feet
from core.crops.calendar import crop_dates
from core.crops.hardening import advice, ladder
from core.crops.spacing import feet_for_plants, plants_for_feet
from core.door import Door
from core.settings.sheets import frosts
from core.trays.rows import TrayRow
from demo_farm.hand import Work
from demo_farm.plan import FIELD_BEDS, SOWINGS, STANDING, Sowing
from demo_farm.troubles import on

SURVIVAL = 0.85
"""Share of seedlings that live to be set out, as the grower reckons with."""
MONDAY, WEDNESDAY, SATURDAY, SUNDAY = 0, 2, 5, 6
MILD_F = 42
"""Before a night as mild as this every cover comes off."""
BEARS_F = {"tender": 32, "half-hardy": 28, "hardy": 24}
"""What frost is survived by what still stands in fall."""
BED_IN = 36


class Growing:
    """Trays and beds of both seasons; knows which sowing of the plan stands in which tray."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self._due: dict[int, dict[date, list[Sowing]]] = {}
        self._sown: dict[str, Sowing] = {}
        self._turn = 0

    # trays

    def sow(self) -> None:
        """What is due today, in trays and straight in the beds."""
        day = self.work.day
        if day.year not in self._due:
            self._due[day.year] = due = {}
            for item in SOWINGS:
                if day.year in item.years:
                    due.setdefault(self._sowing_day(item), []).append(item)
        for item in self._due[day.year].get(day, ()):
            what = f"{item.crop} '{item.variety}'" if item.variety else item.crop
            if item.cells:
                spacing = self.work.sheet(item.crop, item.way).spacing_in
                wanted = plants_for_feet(item.feet, BED_IN, spacing.value if spacing else 9)
                seeds = round(wanted / item.germination / SURVIVAL)
                cells = min(max(seeds, item.cells // 3), item.cells)
                what = what.replace(item.crop, f"{item.crop} {item.way}") if item.way else what
                (entry,) = self.work.write(f"sow {cells} {what} {item.cells}s")
                self._sown[entry.fields["tray"]] = item
            elif bed := self._bed_with(item.feet):
                plants = f" {item.plants} plants" if item.plants else ""
                self.work.write(f"{'plant' if plants else 'drill'} {what} {bed} {item.feet}ft{plants}")

    def _sowing_day(self, item: Sowing) -> date:
        year = self.work.day.year
        if isinstance(item.when, str):
            return date.fromisoformat(f"{year}-{item.when}")
        sheet = self.work.sheet(item.crop, item.way)
        window = crop_dates(sheet, frosts(self.work.farm, year)).windows["sow"]
        return window.start + timedelta(days=round((window.end - window.start).days * item.when))

    def harden(self) -> None:
        """Step, or hold with its cause: as the program advises. One line for all trays that take a step."""
        stepping = []
        for row in self.work.see(Door.trays):
            begins = row.up is not None and row.harden_in_days is not None and row.harden_in_days <= 0
            is_out = row.state == "hardening"
            if is_out or (begins and row.state != "ready" and not self._sown[row.tray].waits):
                cause = self._hold_cause(row)
                if cause is None:
                    stepping.append(row.tray)
                elif is_out:
                    self.work.write(f"hold {row.tray} {cause}")
        if stepping:
            self.work.write(f"step {' '.join(stepping)}")

    def _hold_cause(self, row: TrayRow) -> str | None:
        if row.state == "hardening" and on(self.work.day, "no time", row.crop):
            return "'no time'"
        weather, kind = self.work.weather, self.work.sheet(row.crop, row.way).hardiness_class
        coming = ladder(kind)[min(row.step, row.steps - 1)]
        if not advice(kind, weather.tonight, weather.wind, hard_rain=weather.rain, step=coming):
            return None
        if weather.rain:
            return "rain"
        return "wind" if advice(kind, None, weather.wind, step=coming) else "cold"

    def tend(self) -> None:
        """Count what is up, write losses, prick out, pot on, set out."""
        write, chance = self.work.write, self.work.chance
        for row in self.work.see(Door.trays):
            item, sheet = self._sown[row.tray], self.work.sheet(row.crop, row.way)
            if row.up is None:
                if row.age_days >= round(chance.between(*sheet.germination_days.value, "up", row.tray)):
                    share = min(item.germination + 0.05 * chance.spread("share up", row.tray), 0.99)
                    write(f"up {max(round(row.cells * share), 4)} {row.tray}")
            elif row.state == "ready":
                self._set_out(row)
            elif trouble := on(self.work.day, "lost in a tray", row.crop):
                write(f"lost {max(round(row.plants * trouble.amount), 1)} {trouble.cause} {row.tray}")
            elif row.state == "up" and row.age_days == 16 and chance.happens(0.4, "damping", row.tray):
                write(f"lost {chance.whole(2, 6, 'damped', row.tray)} damping off {row.tray}")
            elif row.state == "up" and item.cells >= 200 and row.age_days >= 27:
                write(f"prick {max(row.plants - 2, 1)} {row.tray} 72s")
            elif not item.waits and row.state in ("up", "pricked out"):
                stays = sheet.weeks_in_tray is not None and sheet.weeks_in_tray.value[0] >= 12
                if (row.warning or "").startswith("cannot wait") or (stays and row.age_days >= 42):
                    write(f"pot {row.plants} {row.tray} 50s")

    def _set_out(self, row: TrayRow) -> None:
        is_too_soon = row.set_out_in_days is None or row.set_out_in_days > 0
        if is_too_soon or self.work.day.weekday() == SUNDAY or self.work.weather.rain:
            return
        spacing = self.work.sheet(row.crop, row.way).spacing_in
        inches = spacing.value if spacing else 9
        plants = min(row.plants, plants_for_feet(self._sown[row.tray].feet, BED_IN, inches))
        feet = feet_for_plants(plants, BED_IN, inches)
        if bed := self._bed_with(feet):
            self.work.write(f"set out {row.tray} {bed} {feet:g}ft {plants} plants")
            if row.plants > plants:
                self.work.write(f"lost {row.plants - plants} {row.tray} 'left over'")

    # beds

    def _bed_with(self, feet: float) -> str | None:
        """The next bed, in turn, with so many feet free."""
        farm = self.work.farm
        turns = FIELD_BEDS[self._turn :] + FIELD_BEDS[: self._turn]
        bed = next((code for code in turns if free_feet(farm, farm.beds[code]) >= feet), None)
        self._turn = (FIELD_BEDS.index(bed) + 1) % len(FIELD_BEDS) if bed else self._turn
        return bed

    def jobs(self) -> None:
        """Nets and pinching on the days for them; what is done is cleared, and what frost has blackened."""
        day = self.work.day
        if day.weekday() not in (MONDAY, WEDNESDAY, SATURDAY):
            return
        is_clearing = day.weekday() == MONDAY
        jobs = ("clear",) if is_clearing else ("net", "pinch")
        coldest = min(self.work.sky[day - timedelta(days=i)].low for i in range(14)) if day.month > 8 else 99
        for row in (row for bed in self.work.see(Door.beds) for row in bed.plantings):
            sheet = self.work.sheet(row.crop, row.way)
            cycle = sheet.life_cycle.value if sheet.life_cycle else ""
            is_next_years = cycle.startswith("biennial") and not row.last_cut
            is_over = is_clearing and not is_next_years and day.month > 8
            is_over = is_over and (coldest <= BEARS_F[sheet.hardiness_class] or f"{day:%m-%d}" > "11-01")
            if row.crop not in STANDING and (is_over or (row.due and row.job in jobs)):
                self.work.write(f"{'clear' if is_clearing else row.job} {row.planting}")

    def uncover(self) -> None:
        """In the morning the covers come off, unless tonight asks for them again."""
        covered = [code for code, bed in self.work.farm.beds.items() if bed.covered_on]
        if covered and self.work.weather.tonight > MILD_F:
            self.work.write(f"uncover {' '.join(covered)}")

    def cover(self) -> None:
        """In the evening, what the page says to cover."""
        if self.work.weather.tonight > MILD_F:
            return
        beds = self.work.see(Door.beds)
        cold = [bed.bed for bed in beds if any(row.job == "cover tonight" for row in bed.plantings)]
        if cold:
            self.work.write(f"cover {' '.join(cold)}")
