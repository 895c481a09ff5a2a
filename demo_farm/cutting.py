"""Stems cut when the program says they are at stage, each planting by its own rhythm, the uses in turn."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from math import pi, sin

from core.beds.rows import PlantingRow
from core.crops.spacing import plants_for_feet
from core.door import Door
from demo_farm.hand import Work, clock
from demo_farm.plan import CROPS, LATE, MARKETS, STAGES, STANDING, USE_OF
from demo_farm.troubles import on

SUNDAY = 6
HOUR = {"fresh": 6.4, "wire": 9.2, "dry": 10.6}
"""Fresh in the cool, to dry once the dew is gone."""
FEWEST, MOST = 8, 140
HEAT_F = 84
CULL_CAUSES = ("short", "broken", "pests", "brown", "dirty")
KNOWN_FIRST_CUT = {crop: rest for crop, (_, *rest) in STANDING.items()} | {"Sweet William": ["06-09", 4]}
"""Crops whose cutting no frost date tells: about when they begin on this farm, and for how many weeks."""


class Cuts:
    def __init__(self, work: Work) -> None:
        self.work = work
        self._done = Counter[tuple[str, int]]()

    def cut(self) -> None:
        """Everything that is at stage today, the fresh first."""
        work, day = self.work, self.work.day
        if day.weekday() == SUNDAY:
            return
        rows = [row for bed in work.see(Door.beds) for row in bed.plantings if self._is_at_stage(row)]
        for row, use in sorted(((row, self._use(row)) for row in rows), key=lambda due: HOUR[due[1]]):
            work.at(HOUR[use])
            # heads that are wired are looked at one by one
            odds = (
                0.0
                if row.crop not in LATE or use == "wire"
                else 0.34
                if work.weather.high >= HEAT_F
                else 0.14
            )
            is_late = bool(odds and on(day, "blown", row.crop))
            is_late = is_late or work.chance.happens(odds, "late", row.planting, day)
            # on market days the grower is away and the helper cuts, with the netbook in the beds
            (cut,) = work.write(self._line(row, use, is_late), in_the_field=day.weekday() in MARKETS)
            if is_late:
                work.late[cut.fields["lot"]] = work.chance.between(0.1, 0.3, "lost for it", row.planting, day)
            self._done[row.planting, day.year] += 1

    def _use(self, row: PlantingRow) -> str:
        """Plantings of one crop do not all begin with the same use."""
        uses = CROPS[row.crop].uses
        turn = sum(p.crop == row.crop and p.code < row.planting for p in self.work.farm.plantings.live())
        return USE_OF[uses[(self._done[row.planting, self.work.day.year] + turn) % len(uses)]]

    def _is_at_stage(self, row: PlantingRow) -> bool:
        day = self.work.day
        if row.last_cut and (day - date.fromisoformat(row.last_cut)).days < CROPS[row.crop].every:
            return False
        late = timedelta(days=0 if row.way else self.work.chance.whole(0, 5, "ready", row.planting))
        if row.crop in KNOWN_FIRST_CUT:
            first, weeks = KNOWN_FIRST_CUT[row.crop]
            begins = date.fromisoformat(f"{day.year}-{first}")
            is_grown = date.fromisoformat(row.since) < begins - timedelta(weeks=26)
            return is_grown and begins + late <= day <= begins + late + timedelta(weeks=weeks)
        if row.cut_from is None or row.cut_to is None:
            return False
        begins = date.fromisoformat(row.cut_from) + (timedelta() if row.last_cut else late)
        return begins <= day <= date.fromisoformat(row.cut_to)

    def _line(self, row: PlantingRow, use: str, is_late: bool) -> str:
        chance, about = self.work.chance, (row.planting, self.work.day)
        stems = self._stems(row)
        said = [f"{stems} {row.planting} {use}"]
        if on(self.work.day, "blown", row.crop):
            said.append(f"{max(stems // 4, 3)} culls blown")
        elif chance.happens(0.35, "culls", *about):
            culls = max(round(stems * chance.between(0.02, 0.1, "cull share", *about)), 1)
            said.append(f"{culls} culls {chance.pick(CULL_CAUSES, 'cull cause', *about)}")
        if chance.happens(0.6, "timed", *about):
            said.append(f"{3 + round(stems * chance.between(0.2, 0.5, 'pace', *about))} min")
        stage = LATE[row.crop][0] if is_late else STAGES.get((row.crop, use))
        if stage and chance.happens(0.75, "stage written", *about):
            said.append(f"stage {stage}")
        if use == "fresh" and chance.happens(0.04, "waited", *about):
            said.append("waited 2h")
        if chance.happens(0.4, "clock", *about):
            said.append(f"at {clock(HOUR[use] + chance.between(0, 1, 'minutes', *about))}")
        return " ".join(said)

    def _stems(self, row: PlantingRow) -> int:
        """What the planting gives today: its season's stems, more in the middle of it than at the ends."""
        sheet = self.work.sheet(row.crop, row.way)
        inches = sheet.spacing_in.value if sheet.spacing_in else 6
        plants = row.plants or plants_for_feet(row.feet, 36, inches)
        least, most = sheet.stems_per_plant.value if sheet.stems_per_plant else (4, 8)
        weeks = sum(sheet.cut_weeks.value) / 2 if sheet.cut_weeks else 3
        rounds = max(weeks * 7 / CROPS[row.crop].every, 1)
        along = min(self._done[row.planting, self.work.day.year] / rounds, 1.0)
        a_round = (
            plants * (least + 0.2 * (most - least)) / rounds * (0.45 + 0.8 * sin(pi * (0.1 + 0.8 * along)))
        )
        stems = a_round * (1 + 0.18 * self.work.chance.spread("stems", row.planting, self.work.day))
        if row.last_cut is None and sheet.first_cut_method is not None:
            stems = max(stems, 0.6 * plants)  # the central stem of each plant that is ready
        if row.plants is None and inches < 5:
            stems /= 4  # a drilled row is not thinned to the last inch
        return min(max(round(stems), FEWEST), MOST)
