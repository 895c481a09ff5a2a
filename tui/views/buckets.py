"""Buckets: what is fresh, in the bucket and the cooler; what has least left of its vase life stands first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.fresh.asks import FRESH_WORDS
from core.text import named
from core.units import day_text, plural
from tui.rows import Column, Line, Row, air_text, because, fit, head_line, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.fresh.rows import FreshRow

COLUMNS = (
    Column("lot", 6),
    Column("crop", 0),
    Column("for", 5, least=66),
    Column("stems", 5, right=True),
    Column("cut", 6, right=True, least=88),
    Column("in", 6),
    Column("days left", 10, right=True),
    Column("", 16),
)
SHORT = {
    "wire": "wire today",
    "rescue": "sell or hang",
    "old": "sell or compost",
}
NOT_READ = "Taken: 68 F in the room, 36 F in the cooler. Write what you read: cooler 38F"
PRESSING = ("sell", "rescue", "wire", "take out", "old")


class Buckets(View):
    """The earliest to expire leaves first."""

    EMPTY = "Nothing is fresh. Write a cut: 40 strawflower b3 fresh"
    air: Line = ()

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        found = door.fresh()
        read = "; ".join(air_text(room) for room in door.room_air("cooler", "room"))
        self.air = ((fit(f"  {read or NOT_READ}", self.columns).rstrip(), "quiet"),) if found else ()
        rows = [Row(f"{r.lot} {r.place}", self._line(r), "fresh", r) for r in found]
        return head_line(COLUMNS, self.width), rows

    def above(self) -> list[Line]:
        return [self.air] if self.air else []

    def _line(self, r: FreshRow) -> Line:
        word = SHORT.get(r.status, FRESH_WORDS.get(r.status, ""))
        texts = (
            r.lot,
            named(r.crop, r.variety),
            r.use,
            str(r.stems),
            day_text(r.cut_on),
            r.place,
            left_text(r.left_days),
            word,
        )
        look = "caution" if r.status == "compost" else "bold" if r.status in PRESSING else ""
        return ((table_line(COLUMNS, texts, self.width), look),)

    def detail(self, row: Row) -> list[Line]:
        r: FreshRow = row.value
        expires = f"; good until {day_text(r.expires)} or longer" if r.expires and r.left_days[0] > 0 else ""  # type: ignore[index]
        first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.stems, 'stem')}, about "
        first += f"{left_text(r.left_days) or 'an unknown number of'} days left in the vase{expires}"
        return strip(
            self.width,
            (first, "bold"),
            ("; ".join(r.flags), "caution"),
            (because(r.because), ""),
            (f"keep: {'; '.join(r.keep)}" if r.keep else "", "quiet"),
            (r.note, "quiet"),
        )


def left_text(left: tuple[float, float] | None) -> str:
    """ "4 to 9", "0 to 2.5"; "" where the sheet has no vase life."""
    if left is None:
        return ""
    least, most = (f"{days:.1f}".rstrip("0").rstrip(".") if days < 3 else f"{days:.0f}" for days in left)
    return least if least == most else f"{least} to {most}"
