"""Trays: what grows in them, how far each has come in hardening off, and when it goes out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.text import named
from core.units import day_text
from tui.rows import Column, Line, Row, because, head_line, in_days, ladder_bar, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.trays.rows import TrayRow

COLUMNS = (
    Column("tray", 5),
    Column("crop", 0),
    Column("state", 21),
    Column("plants", 7, right=True),
    Column("up", 5, right=True, least=70),
    Column("set out", 8, right=True),
)


class Trays(View):
    """The trays with living plants, the next to go out first."""

    EMPTY = "No trays yet. Write a sowing, such as: sow 72 strawflower"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        rows = [Row(r.tray, self._line(r), "tray", r) for r in door.trays()]
        return head_line(COLUMNS, self.width), rows

    def _line(self, r: TrayRow) -> Line:
        texts = (
            r.tray,
            named(r.crop, r.variety, r.way),
            state(r),
            f"{r.plants}/{r.cells}",
            f"{r.germination_pct}%" if r.germination_pct is not None else "",
            in_days(r.set_out_in_days),
        )
        line = table_line(COLUMNS, texts, self.width)
        return ((line, "caution" if r.warning else ""),)

    def detail(self, row: Row) -> list[Line]:
        r: TrayRow = row.value
        up = f", {r.up} up ({r.germination_pct}%)" if r.up is not None else ""
        name = named(r.crop, r.variety, r.way)
        first = f"{r.tray} {name}: sown {day_text(r.sown_on)}, {r.age_days} days ago{up}"
        return strip(
            self.width,
            (first, "bold"),
            (f"! {r.warning}" if r.warning else "", "caution"),
            (f"! hold today: {r.hold}" if r.hold and not r.today else "", "caution"),
            (_next(r), ""),
            (because(r.because), "quiet"),
        )


def state(r: TrayRow) -> str:
    """ "up", or while it hardens "####---- 4/8 done"."""
    if r.state not in ("hardening", "ready"):
        return r.state
    done = {"step": " done", "held": " held"}.get(r.today or "", "")
    return ladder_bar(r.step, r.steps) + done


def _next(r: TrayRow) -> str:
    if r.state == "ready":
        return f"all {r.steps} steps done: set out from {day_text(r.set_out_on)}"
    if r.state == "hardening":
        when = "tomorrow" if r.today else "today"
        return f"{when} step {r.step + 1}: {r.next_step}; inside below {r.guard_f} F"
    if r.harden_on is None:
        return ""
    start = "hardening from today" if r.harden_in_days == 0 else f"hardening from {day_text(r.harden_on)}"
    return f"{start}, out {day_text(r.set_out_on)}; step 1: {r.next_step}"
