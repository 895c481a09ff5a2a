"""Stems cut when the program says they are at stage, each planting by its own rhythm, the uses in turn."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import pi, sin

from core.beds.rows import BedRow, PlantingRow
from core.crops.spacing import plants_for_feet
from core.farm import Planting
from core.units import month_day
from demo_farm.plan import (
    CULL_CAUSES,
    CUT_LATE,
    CUT_LATE_IN_HEAT,
    CUTTING,
    HEAT_F,
    LATE,
    LOST_FOR_IT,
    MARKETS,
    STAGE_WRITTEN,
    STAGES,
    STANDING,
    USE_OF,
)
from demo_farm.troubles import BLOWN
from demo_farm.work import Work, clock

SUNDAY = 6
HOUR = {"fresh": 6.4, "wire": 9.2, "dry": 10.6}
"""Fresh in the cool, to dry once the dew is gone."""
FEWEST, MOST = 8, 140
WAITED, CLOCK_WRITTEN = 0.04, 0.4
"""Share of the cuts that lay out of water for a while, and share with which the time is written."""

SECOND_YEAR = {"Sweet William": ("06-09", 4)}
"""Biennials: the first cut in the year after they were set out, "MM-DD", and the weeks of cutting."""
BY_THE_BOOK_OF_LAST_YEAR = {s.crop: (s.first_cut, s.weeks) for s in STANDING} | SECOND_YEAR
"""Crops whose cutting no frost date tells: about when they begin on this farm, and for how many weeks."""


class Cuts:
    def __init__(self, work: Work) -> None:
        self.work = work
        self._done: dict[tuple[str, int], int] = {}

    def cut(self, beds: list[BedRow]) -> None:
        """Everything that is at stage today, the fresh first."""
        day = self.work.day
        if day.weekday() == SUNDAY:
            return
        today = sorted(self._due(beds), key=lambda due: HOUR[due[1]])
        # on market days the grower is away and the helper cuts, with the netbook in the beds
        hand = self.work.field if day.weekday() in MARKETS else self.work.shed
        for row, use in today:
            self.work.at(HOUR[use])
            is_late = self._is_late(row, use)
            (cut,) = hand.write(self._line(row, use, is_late=is_late))
            if is_late:
                lost = self.work.chance.between(*LOST_FOR_IT, "lost for it", row.planting, day)
                self.work.late[cut.fields["lot"]] = lost
            self._done[row.planting, day.year] = self._done.get((row.planting, day.year), 0) + 1

    def _due(self, beds: list[BedRow]) -> Iterator[tuple[PlantingRow, str]]:
        for bed in beds:
            for row in bed.plantings:
                habit = CUTTING[row.crop]
                last = date.fromisoformat(row.last_cut) if row.last_cut else None
                if last is not None and (self.work.day - last).days < habit.every:
                    continue
                span = self._span(row)
                if span is not None and span[0] <= self.work.day <= span[1]:
                    yield row, USE_OF[habit.uses[(self._count(row) + self._turn(row)) % len(habit.uses)]]

    def _count(self, row: PlantingRow) -> int:
        return self._done.get((row.planting, self.work.year), 0)

    def _turn(self, row: PlantingRow) -> int:
        """Plantings of one crop do not all begin with the same use."""
        return sum(p.crop == row.crop and p.code < row.planting for p in self.work.farm.plantings.live())

    def _span(self, row: PlantingRow) -> tuple[date, date] | None:
        """First and last day on which this planting is cut this year."""
        late = timedelta(days=0 if row.way else self.work.chance.whole(0, 5, "ready", row.planting))
        own = BY_THE_BOOK_OF_LAST_YEAR.get(row.crop)
        if own is not None:
            begins = month_day(own[0], self.work.year)
            if begins is None or date.fromisoformat(row.since) > begins - timedelta(weeks=26):
                return None
            return begins + late, begins + late + timedelta(weeks=own[1])
        if row.cut_from is None or row.cut_to is None:
            return None
        begins = date.fromisoformat(row.cut_from)
        return begins if row.last_cut else begins + late, date.fromisoformat(row.cut_to)

    def _is_late(self, row: PlantingRow, use: str) -> bool:
        """Whether it was left a day too long; heads that are wired are looked at one by one."""
        if row.crop not in LATE or use == "wire":
            return False
        day = self.work.day
        odds = CUT_LATE_IN_HEAT if self.work.weather.high >= HEAT_F else CUT_LATE
        return (day.isoformat(), row.crop) in BLOWN or self.work.chance.happens(
            odds, "late", row.planting, day
        )

    def _line(self, row: PlantingRow, use: str, *, is_late: bool) -> str:
        chance, day = self.work.chance, self.work.day
        stems = self._stems(row)
        said = [f"{stems} {row.planting} {use}"]
        if (day.isoformat(), row.crop) in BLOWN:
            said.append(f"{max(stems // 4, 3)} culls blown")
        elif chance.happens(0.35, "culls", row.planting, day):
            culls = max(round(stems * chance.between(0.02, 0.1, "cull share", row.planting, day)), 1)
            said.append(f"{culls} culls {chance.pick(CULL_CAUSES, 'cull cause', row.planting, day)}")
        if chance.happens(0.6, "timed", row.planting, day):
            said.append(f"{3 + round(stems * chance.between(0.2, 0.5, 'pace', row.planting, day))} min")
        stage = LATE[row.crop].stage if is_late else STAGES.get((row.crop, use))
        if stage and chance.happens(STAGE_WRITTEN, "stage written", row.planting, day):
            said.append(f"stage {stage}")
        if use == "fresh" and chance.happens(WAITED, "waited", row.planting, day):
            said.append("waited 2h")
        if chance.happens(CLOCK_WRITTEN, "clock", row.planting, day):
            said.append(f"at {clock(HOUR[use] + chance.between(0, 1, 'minutes', row.planting, day))}")
        return " ".join(said)

    def _stems(self, row: PlantingRow) -> int:
        """What the planting gives today: its season's stems, more in the middle of it than at the ends."""
        sheet = self.work.sheet(row.crop, row.way)
        planting = self._planting(row)
        plants = row.plants or plants_for_feet(
            row.feet, 36, sheet.spacing_in.value if sheet.spacing_in else 6
        )
        least, most = sheet.stems_per_plant.value if sheet.stems_per_plant else (4, 8)
        weeks = sum(sheet.cut_weeks.value) / 2 if sheet.cut_weeks else 3
        rounds = max(weeks * 7 / CUTTING[row.crop].every, 1)
        season = plants * (least + 0.2 * (most - least))
        along = min(self._count(row) / rounds, 1.0)
        swell = 0.45 + 0.8 * sin(pi * (0.1 + 0.8 * along))
        stems = (
            season
            / rounds
            * swell
            * (1 + 0.18 * self.work.chance.spread("stems", row.planting, self.work.day))
        )
        if planting.first_cut is None and sheet.first_cut_method is not None:
            stems = max(stems, 0.6 * plants)  # the central stem of each plant that is ready
        if planting.drilled and sheet.spacing_in and sheet.spacing_in.value < 5:
            stems /= 4  # a drilled row is not thinned to the last inch
        return min(max(round(stems), FEWEST), MOST)

    def _planting(self, row: PlantingRow) -> Planting:
        found = self.work.farm.plantings.get(row.planting)
        assert found is not None
        return found
