"""Beds: what stands in each, how old it is, what it needs next, what to look at for cutting."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from core.text import named
from core.units import day_text
from tui.lines import Standing
from tui.rows import Column, Line, Row, because, head_line, near_day, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.beds.rows import BedRow, PlantingRow
    from core.door import Door

COLUMNS = (
    Column("bed", 5),
    Column("crop", 0),
    Column("feet", 5, right=True),
    Column("age", 5, right=True),
    Column("next", 8),
    Column("when", 7),
    Column("at stage", 14, least=70),
)


class Beds(View):
    """Every bed in the order she walks them; a bed with nothing in it has a line too."""

    today: date
    EMPTY = "No beds yet. Write one, such as: bed b1 50ft"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        self.today = door.today
        rows = []
        for bed in door.beds():
            for planting in bed.plantings:
                line = self._line(bed, planting)
                rows.append(Row(planting.planting, line, "planting", Standing(bed, planting)))
            if not bed.plantings:
                texts = (bed.bed, "-", f"{bed.feet:g}", "", "covered" if bed.covered_on else "", "", "")
                line = ((table_line(COLUMNS, texts, self.width), "quiet"),)
                rows.append(Row(f"bed {bed.bed}", line, "bed", Standing(bed, None)))
        return head_line(COLUMNS, self.width), rows

    def _line(self, bed: BedRow, p: PlantingRow) -> Line:
        mark = "*" if bed.covered_on else ""
        texts = (
            bed.bed + mark,
            named(p.crop, p.variety, p.way),
            f"{p.feet:g}",
            f"{p.age_days} d",
            p.job.removesuffix(" tonight"),
            self._when(p),
            "/".join(p.at_stage),
        )
        look = "bold" if p.due and p.job not in ("", "cut") else ""
        return ((table_line(COLUMNS, texts, self.width), look),)

    @staticmethod
    def _when(p: PlantingRow) -> str:
        if not p.due:
            return day_text(p.job_on)
        return "tonight" if p.job.endswith("tonight") else "now"

    def detail(self, row: Row) -> list[Line]:
        standing: Standing = row.value
        bed, p = standing.bed, standing.planting
        cover = f", covered since {day_text(bed.covered_on)}" if bed.covered_on else ""
        about = f"bed {bed.bed}: {bed.feet:g} ft by {bed.width_in:g} in, {bed.free_feet:g} ft free{cover}"
        if p is None:
            return strip(self.width, (about, "bold"), ("a writes what stands in it", "quiet"))
        plants = f", {p.plants} plants" if p.plants is not None else ""
        name = named(p.crop, p.variety, p.way)
        first = f"{p.planting} {name}: in bed {bed.bed} since {day_text(p.since)}{plants}"
        cut = f"{p.stems_cut} stems cut, last {day_text(p.last_cut)}" if p.last_cut else "not cut yet"
        weeks = f"; to cut {day_text(p.cut_from)} to {day_text(p.cut_to)}" if p.cut_from and p.cut_to else ""
        job = f"{p.job} {near_day(p.job_on, self.today)}; " if p.job and p.job != "cut" else ""
        return strip(
            self.width,
            (first, "bold"),
            (f"{job}{cut}{weeks}", ""),
            (because(p.because), "quiet"),
            (about, "quiet"),
        )
