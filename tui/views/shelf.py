"""Shelf: what hangs on each line, how far it has dried, and when it may be dry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.drying.asks import SHELF_WORDS
from core.text import named
from core.units import day_text, number, plural
from tui.rows import Column, Line, Row, air_text, because, fit, head_line, table_line
from tui.tables import share_bar
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.drying.rows import ShelfRow
    from core.shed.rows import Shed

BAR = 8
COLUMNS = (
    Column("lot", 6),
    Column("crop", 0),
    Column("line", 7),
    Column("stems", 5, right=True),
    Column("days", 4, right=True, least=88),
    Column("dried", BAR, least=66),
    Column("dry", 13),
    Column("by", 8, least=92),
    Column("", 13),
)
WORDS = {"overdue": "overdue: test", "test": "snap test", "dry": "box: it snaps", "hanging": ""}
SPEAKS = {"handbook and shed air": "book+air", "weighings": "scale", "snap test": "snap"}
LOOKS = {"overdue": "caution", "test": "bold", "dry": "bold"}
NOT_READ = "The shed's air is not read: write 'shed 72F 55%', and 'line 1 is 40ft dark fan'"


class Shelf(View):
    """By line, the oldest first."""

    EMPTY = "Nothing hangs. Hang what was cut to dry: hang L041 line 2"
    shed_lines: tuple[Line, ...] = ()

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        found = door.shelf()
        self.shed_lines = tuple(self._shed(door.shed())) if found else ()
        rows = [Row(f"{r.lot} {r.line}", self._line(r), "hanging", r) for r in found]
        return head_line(COLUMNS, self.width), rows

    def above(self) -> list[Line]:
        return list(self.shed_lines)

    def _shed(self, shed: Shed) -> list[Line]:
        """The air and the feet left; what is wrong of either."""
        lines = shed.lines
        feet = f"{number(lines.free or 0)} of {number(lines.feet)} ft of line free" if lines.feet else ""
        said = "; ".join(filter(None, (air_text(shed.air.now), feet)))
        told: list[Line] = [((fit(f"  {said or NOT_READ}", self.columns).rstrip(), "quiet"),)]
        if shed.wrong:
            told.append(((fit(f"  ! {'; '.join(shed.wrong)}", self.columns).rstrip(), "caution"),))
        return told

    def _line(self, r: ShelfRow) -> Line:
        dry = day_text(r.dry_by) if r.dry_from == r.dry_by else f"{day_text(r.dry_from)}-{day_text(r.dry_by)}"
        texts = (
            r.lot,
            named(r.crop, r.variety),
            r.line,
            str(r.stems),
            str(r.days_hung),
            share_bar(r.share, BAR),
            "" if r.status == "dry" else dry,
            SPEAKS.get(r.speaks, "book"),
            WORDS.get(r.status, SHELF_WORDS.get(r.status, "")),
        )
        return ((table_line(COLUMNS, texts, self.width), LOOKS.get(r.status, "")),)

    def detail(self, row: Row) -> list[Line]:
        return about_hanging(row.value, self.width)


def about_hanging(r: ShelfRow, width: int) -> list[Line]:
    """What there is to say of a lot on a line, the most needed first."""
    bunches = f" in bunches of {r.per}" if r.per else ""
    first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.stems, 'stem')}{bunches} on {r.line} since "
    first += day_text(r.hung_on)
    when = f"snap test from {day_text(r.test_from)}, dry {day_text(r.dry_from)} to {day_text(r.dry_by)}"
    if r.status == "dry":
        when = "dry: x boxes it"
    water = f"; {100 * r.water_left:.0f} % of its water still to go" if r.water_left is not None else ""
    return strip(
        width,
        (first, "bold"),
        (f"{when}, by {r.speaks}{water}", ""),
        (r.note, "bold"),
        (because(r.why or r.because), "quiet"),
    )
