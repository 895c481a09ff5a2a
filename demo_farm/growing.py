"""Seed to bed as the program reckons it: sown in its window, counted up, hardened, set out, cleared."""

from __future__ import annotations

from datetime import date, timedelta

from core.beds.kinds import free_feet
from core.beds.rows import LOW_BY_CLASS, BedRow
from core.crops.calendar import crop_dates
from core.crops.hardening import advice, ladder
from core.crops.sowing import sowing_for
from core.crops.spacing import feet_for_plants, plants_for_feet
from core.farm import Planting
from core.places import standing
from core.problems import Problem
from core.settings.sheets import frosts
from core.trays.rows import TrayRow
from core.units import month_day
from demo_farm.plan import DRILLINGS, FIELD_BEDS, SOWINGS, STANDING, TUBERS, Drilling, Sowing
from demo_farm.troubles import LOST_IN_TRAYS, NO_TIME, NO_TIME_CAUSE
from demo_farm.work import Work

SURVIVAL = 0.92
"""Share of seedlings that live to be set out, as the grower reckons with."""
ROUND_THE_BEDS = (2, 5)
"""Wednesday and Saturday: nets, pinching."""
CLEARING_DAY = 0
MILD_F = 48
"""A night on which nothing needs a cover."""
LEFT_ON_F = 9
"""So near to what a crop bears the cover is left on by day."""
SUNDAY = 6


class Growing:
    """Trays and beds of both seasons; knows which sowing of the plan stands in which tray."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self._due: dict[date, list[Sowing | Drilling]] = {}
        self._planned: set[int] = set()
        self._sowing: dict[str, Sowing] = {}
        self._turn = 0

    def plan_year(self) -> None:
        """The sowing days of this year, from the calendars that the frost dates give."""
        year = self.work.year
        if year in self._planned:
            return
        self._planned.add(year)
        for item in (*SOWINGS, *DRILLINGS):
            if year in item.years:
                self._due.setdefault(self._sowing_day(item, year), []).append(item)

    def _sowing_day(self, item: Sowing | Drilling, year: int) -> date:
        if isinstance(item.when, str):
            day = month_day(item.when, year)
            assert day is not None, item
            return day
        sheet = self.work.sheet(item.crop, item.way if isinstance(item, Sowing) else None)
        windows = crop_dates(sheet, frosts(self.work.farm, year), direct=isinstance(item, Drilling)).windows
        window = windows["direct_sow" if isinstance(item, Drilling) else "sow"]
        return window.start + timedelta(days=round((window.end - window.start).days * item.when))

    # trays

    def sow(self) -> None:
        """What is due today, in trays and straight in the beds."""
        for item in self._due.get(self.work.day, ()):
            if isinstance(item, Sowing):
                self._sow_tray(item)
            else:
                self._drill(item)

    def _sow_tray(self, item: Sowing) -> None:
        sheet = self.work.sheet(item.crop, item.way)
        assert sheet.spacing_in is not None
        reckoned = sowing_for(
            sheet,
            plants_for_feet(item.feet, 36, sheet.spacing_in.value),
            germination=item.germination,
            survival=SURVIVAL,
            cells_per_tray=item.cells,
        )
        assert not isinstance(reckoned, Problem)
        cells = min(max(reckoned.seeds, item.cells // 3), item.cells)
        way = f" {item.way}" if item.way else ""
        (entry,) = self.work.shed.write(f"sow {cells} {item.crop}{way} '{item.variety}' {item.cells}s")
        self._sowing[entry.fields["tray"]] = item

    def rows(self) -> list[TrayRow]:
        """The trays as the program shows them this morning."""
        self.work.shed.door.refresh()
        return self.work.shed.door.trays()

    def harden(self, rows: list[TrayRow]) -> None:
        """Step, or hold with its cause: as the program advises. One line for all trays that take a step."""
        stepping: list[str] = []
        for row in rows:
            if not self._is_out_by_day(row):
                continue
            cause = self._hold_cause(row)
            if cause is None:
                stepping.append(row.tray)
            elif row.state == "hardening":
                self.work.write(f"hold {row.tray} {cause}")
        if stepping:
            self.work.write(f"step {' '.join(stepping)}")

    def _is_out_by_day(self, row: TrayRow) -> bool:
        if row.state == "hardening":
            return True
        if row.state == "ready" or row.up is None or row.harden_in_days is None or row.harden_in_days > 0:
            return False
        return not self._sowing[row.tray].waits

    def _hold_cause(self, row: TrayRow) -> str | None:
        if row.state == "hardening" and (self.work.day.isoformat(), row.crop) in NO_TIME:
            return NO_TIME_CAUSE
        weather = self.work.weather
        kind = self.work.sheet(row.crop, row.way).hardiness_class
        coming = ladder(kind)[min(row.step, row.steps - 1)]
        if not advice(kind, weather.tonight, weather.wind, hard_rain=weather.rain, step=coming):
            return None
        if weather.rain:
            return "rain"
        return "wind" if advice(kind, None, weather.wind, step=coming) else "cold"

    def tend(self, rows: list[TrayRow]) -> None:
        """Count what is up, write losses, prick out, pot on, set out."""
        for row in rows:
            if row.up is None:
                self._count_up(row)
            elif row.state == "ready":
                if row.set_out_in_days is not None and row.set_out_in_days <= 0:
                    self._set_out(row)
            else:
                self._losses(row)
                self._into_larger_cells(row)

    def _count_up(self, row: TrayRow) -> None:
        chance, item = self.work.chance, self._sowing[row.tray]
        figure = self.work.sheet(row.crop, row.way).germination_days
        assert figure is not None, row.crop
        after = round(chance.between(*figure.value, "up", row.tray))
        if row.age_days >= after:
            share = min(item.germination + 0.05 * chance.spread("share up", row.tray), 0.99)
            self.work.write(f"up {max(round(row.cells * share), 4)} {row.tray}")

    def _losses(self, row: TrayRow) -> None:
        known = LOST_IN_TRAYS.get((self.work.day.isoformat(), row.crop))
        if known:
            share, cause = known
            self.work.write(f"lost {max(round(row.plants * share), 1)} {cause} {row.tray}")
            return
        chance = self.work.chance
        if row.state == "up" and row.age_days == 16 and chance.happens(0.4, "damping", row.tray):
            self.work.write(f"lost {chance.whole(2, 6, 'damped', row.tray)} damping off {row.tray}")

    def _into_larger_cells(self, row: TrayRow) -> None:
        item = self._sowing[row.tray]
        if row.state == "up" and item.cells >= 200 and row.age_days >= 27:
            self.work.write(f"prick {max(row.plants - 2, 1)} {row.tray} 72s")
        elif (
            not item.waits
            and row.state in ("up", "pricked out")
            and ((row.warning or "").startswith("cannot wait") or self._is_full_of_roots(row))
        ):
            self.work.write(f"pot {row.plants} {row.tray} 50s")

    def _is_full_of_roots(self, row: TrayRow) -> bool:
        """A crop that stays 12 weeks or more is potted on once, at six."""
        weeks = self.work.sheet(row.crop, row.way).weeks_in_tray
        return weeks is not None and weeks.value[0] >= 12 and row.age_days >= 42

    def _set_out(self, row: TrayRow) -> None:
        if self.work.day.weekday() == SUNDAY or self.work.weather.rain:
            return
        item = self._sowing[row.tray]
        sheet = self.work.sheet(row.crop, row.way)
        assert sheet.spacing_in is not None
        plants = min(row.plants, plants_for_feet(item.feet, 36, sheet.spacing_in.value))
        feet = feet_for_plants(plants, 36, sheet.spacing_in.value)
        bed = self._bed_with(feet)
        if bed is None:
            return
        self.work.write(f"set out {row.tray} {bed} {feet:g}ft {plants} plants")
        if row.plants > plants:
            self.work.write(f"lost {row.plants - plants} {row.tray} 'left over'")

    # beds

    def _bed_with(self, feet: float) -> str | None:
        """The next bed, in turn, with so many feet free."""
        farm = self.work.farm
        for i in range(len(FIELD_BEDS)):
            code = FIELD_BEDS[(self._turn + i) % len(FIELD_BEDS)]
            if free_feet(farm, farm.beds[code]) >= feet:
                self._turn += i + 1
                return code
        return None

    def _drill(self, item: Drilling) -> None:
        bed = self._bed_with(item.feet)
        if bed is not None:
            variety = f" '{item.variety}'" if item.variety else ""
            self.work.shed.write(f"drill {item.crop}{variety} {bed} {item.feet}ft")

    def set_tubers(self) -> None:
        """Tubers go out without a tray."""
        for crop, variety, feet, plants, when in TUBERS:
            if self.work.day == month_day(when, self.work.year) and (bed := self._bed_with(feet)):
                self.work.write(f"plant {crop} '{variety}' {bed} {feet}ft {plants} plants")

    def bed_rows(self) -> list[BedRow]:
        """The beds as the program shows them this morning."""
        self.work.shed.door.refresh()
        return self.work.shed.door.beds()

    def jobs(self, rows: list[BedRow]) -> None:
        """Nets and pinching on the days for them; what is done is cleared."""
        day = self.work.day
        for bed in rows:
            for p in bed.plantings:
                if p.due and p.job in ("net", "pinch") and day.weekday() in ROUND_THE_BEDS:
                    self.work.write(f"{p.job} {p.planting}")
                elif p.due and p.job == "clear" and day.weekday() == CLEARING_DAY and p.crop not in STAYING:
                    self.work.write(f"clear {p.planting}")

    def after_frost(self) -> None:
        """What frost has blackened, or November ended, is cleared on the next clearing day."""
        day = self.work.day
        if day.weekday() != CLEARING_DAY or day.month < 9:
            return
        coldest = min(self.work.sky[day - timedelta(days=i)].low for i in range(14))
        for planting in list(self.work.farm.plantings.live()):
            if planting.crop in STAYING or self._stays_for_spring(planting):
                continue
            kind = self.work.sheet(planting.crop, planting.way).hardiness_class
            bears = {"tender": 32, "half-hardy": 28, "hardy": 24}[kind]
            if coldest <= bears or (day.month, day.day) > (11, 1):
                self.work.write(f"clear {planting.code}")

    def _stays_for_spring(self, planting: Planting) -> bool:
        """A biennial set out late this summer flowers next year."""
        cycle = self.work.sheet(planting.crop, planting.way).life_cycle
        return cycle is not None and cycle.value.startswith("biennial") and planting.first_cut is None

    def uncover(self) -> None:
        """In the morning the covers come off, unless tonight asks for them again."""
        farm = self.work.farm
        covered = [code for code, bed in farm.beds.items() if bed.covered_on]
        off = [code for code in covered if not any(map(self._wants_cover, standing(farm, code)))]
        if off:
            self.work.write(f"uncover {' '.join(off)}")

    def cover(self) -> None:
        """In the evening, what the page says to cover."""
        if self.work.weather.tonight > MILD_F:
            return
        on = [bed.bed for bed in self.bed_rows() if any(p.job == "cover tonight" for p in bed.plantings)]
        if on:
            self.work.write(f"cover {' '.join(on)}")

    def _wants_cover(self, planting: Planting) -> bool:
        """Whether its cover is better left on: tonight comes near to what it bears."""
        sheet = self.work.sheet(planting.crop, planting.way)
        low = sheet.hardiness_low_f.value if sheet.hardiness_low_f else LOW_BY_CLASS[sheet.hardiness_class]
        return planting.crop not in STAYING and self.work.weather.tonight <= low + LEFT_ON_F


STAYING = frozenset(s.crop for s in STANDING)
"""Perennials and shrubs: cut each year, never cleared."""
