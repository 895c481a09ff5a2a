"""Trays: what grows in them, how far each has come in hardening off, and when it goes out."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from core.dialect import told_degrees
from core.field.closed import shut_for_cutting
from core.text import named
from core.trays import MAY_STEP
from core.trays.rows import TrayRow, tray_rows
from core.units import day_text
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import STEP_ALL, deed
from tui.phrases import because, in_days, ladder_bar, strip
from tui.row_keys import Ask, Row, RowKey, RowSort, gap, one_of, whole
from tui.table import PRINTED, SCREEN, Column, Line, Meaning, Table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session


def state(r: TrayRow) -> str:
    """ "up", or while it hardens "####---- 4/8 done"."""
    if r.state not in ("hardening", "ready"):
        return r.state
    done = {"step": " done", "held": " held"}.get(r.today or "", "")
    return ladder_bar(r.step, r.steps) + done


COLUMNS = (
    Column("tray", "tray", 5),
    Column("", "crop", show=lambda r: named(r.crop, r.variety, r.way), on=SCREEN),
    Column("crop", "crop", on=PRINTED),
    Column("variety", "variety", on=PRINTED),
    Column("", "state", 21, state, on=SCREEN),
    Column("state", "state", on=PRINTED),
    Column("age_days", "age d", on=PRINTED),
    Column("", "plants", 7, lambda r: f"{r.plants}/{r.cells}", right=True, on=SCREEN),
    Column("plants", "plants", on=PRINTED),
    Column(
        "germination_pct",
        "up",
        5,
        lambda up: None if up is None else f"{up} %",
        right=True,
        least=70,
        on=SCREEN,
    ),
    Column("germination_pct", "up %", on=PRINTED),
    Column("", "steps", show=lambda r: f"{r.step}/{r.steps}", on=PRINTED),
    Column("set_out_in_days", "set out", 8, in_days, right=True, on=SCREEN),
    Column("set_out_on", "set out", on=PRINTED),
    Column("set_out_in_days", "in d", on=PRINTED),
    Column("warning", "note", on=PRINTED),
)
HOLD_KEYS = {
    "w": "wind",
    "r": "rain",
    "c": "cold",
    "f": "frost",
    "t": "heat",
    "n": "no time",
    "o": "other",
}


def _hold(r: TrayRow) -> Ask:
    return one_of(f"Hold {r.tray}, why?", HOLD_KEYS, f"hold {r.tray}")


TRAY = RowSort(
    "tray",
    "On a tray",
    (
        deed("next", "step", "today's hardening step is done", lambda r: whole(f"step {r.tray}")),
        deed("hold", "hold", "no step today: asks why", _hold),
        deed("set_out", "set out", "set out into a bed", lambda r: gap(f"set out {r.tray} ")),
        deed("count", "count", "write how many are up", lambda r: gap(f"up {r.tray} ")),
        deed("pot", "", "pot on into bigger cells", lambda r: gap(f"pot {r.tray} ")),
        deed("prick", "", "prick out", lambda r: gap(f"prick {r.tray} ")),
        deed("lost", "", "plants lost, with the cause", lambda r: gap(f"lost {r.tray} ")),
    ),
    view="trays",
)
ROWS = (TRAY,)


def trays(args: Namespace) -> int:
    """Trays with their countdown."""
    session = open_session(args)
    rows = tray_rows(session.farm, session.today)
    nothing = "No tray has living plants: write what you sow, such as 'sow 72 strawflower'."
    return show_table(args, COLUMNS, rows, nothing=nothing)


TABLES = (
    Table(
        "trays",
        COLUMNS,
        lambda session: tray_rows(session.farm, session.today),
        "trays with living plants",
        heads={"in d": Meaning("days until it is set out", "days")},
    ),
)
COMMANDS = {"trays": Command(trays, csv=True)}


class Trays(View):
    """The trays with living plants, the next to go out first."""

    EMPTY = "No trays yet. Write a sowing, such as: sow 72 strawflower"
    shut: Mapping[str, str]
    """Trays that a label closes now -> until when."""
    SORTS = ("tray",)
    JOBS = ("Seed and trays",)
    KEYS = (STEP_ALL,)
    may_step = False
    """Whether a tray stands ready for a step."""

    @property
    def offers(self) -> tuple[RowKey, ...]:
        return self.KEYS if self.may_step else ()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        rows = tray_rows(session.farm, session.today)
        self.may_step = any(row.does in MAY_STEP for row in rows)
        self.shut = shut_for_cutting(session.farm, session.today, session.clock)
        return self.table(COLUMNS, rows, TRAY, lambda r: (r.tray,), lambda r: "caution" if r.warning else "")

    def detail(self, row: Row) -> list[Line]:
        r: TrayRow = row.value
        up = f", {r.up} up ({r.germination_pct} %)" if r.up is not None else ""
        name = named(r.crop, r.variety, r.way)
        first = f"{r.tray} {name}: sown {day_text(r.sown_on)}, {r.age_days} days ago{up}"
        return strip(
            self.width,
            (first, "bold"),
            (
                f"! keep out: closed by a label until {self.shut[r.tray]}" if r.tray in self.shut else "",
                "caution",
            ),
            (f"! {r.warning}" if r.warning else "", "caution"),
            (f"! hold today: {r.hold}" if r.hold and not r.today else "", "caution"),
            (_next(r), ""),
            (because(r.because), "quiet"),
        )


VIEW = Trays


def _next(r: TrayRow) -> str:
    if r.state == "ready":
        return f"all {r.steps} steps done: plant out from {day_text(r.set_out_on)}"
    if r.state == "hardening":
        when = "tomorrow" if r.today else "today"
        return f"{when} step {r.step + 1}: {r.next_step}; inside below {told_degrees(r.guard_f)}"
    if r.harden_on is None:
        return ""
    start = "hardening from today" if r.harden_in_days == 0 else f"hardening from {day_text(r.harden_on)}"
    return f"{start}, out {day_text(r.set_out_on)}; step 1: {r.next_step}"
