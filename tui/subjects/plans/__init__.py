"""Plan: the season on a strip of weeks, the room under it, and what the chosen plan rests on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from core.dialect import length_unit, told_feet
from core.marked import typed_feet, with_figures
from core.plans.capacity import how_much
from core.plans.plan import times_in_100
from core.plans.preview import Preview
from core.plans.rows import PlanRow
from core.plans.season_strip import SeasonStrip, season_strip
from core.problems import Problem
from core.text import named, wrap
from core.units import MONTHS, day_text, plural, short_day
from tui.letters import deed
from tui.phrases import because, plain, strip
from tui.row_keys import Ask, Row, RowSort, Typed, gap
from tui.subjects.plans.command import COMMANDS, TABLES, preview_in
from tui.table import Line, fit
from tui.views.view import View

if TYPE_CHECKING:
    from core.language.complete import Completion
    from core.plans.asks import PlanTask
    from core.plans.planned_pieces import PiecePlan
    from core.plans.room_weeks import RoomRow
    from core.plans.season_strip import PlanStrip, RoomStrip
    from core.plans.shortages import Shortage
    from core.session import Session

__all__ = ["COMMANDS", "ROWS", "TABLES", "VIEW"]

CODE = 5
NAME, NAME_NARROW, NARROW = 18, 13, 60
"""Columns of a plan's name: usually, and on a screen of fewer than `NARROW`."""
LEGEND = "S sow - in trays, H harden, O set out = in bed, C cut, * promised; small: done"
ROOM_LEGEND = "room free, in tenths: 9 all or nearly, 0 none, ! short, . not said how much"
ROOMS = {
    "bed": "bed, {length_unit}",
    "lights": "trays, lights",
    "hardening": "trays, outside",
    "line": "line, {length_unit}",
}
TODAY = "|"


def _next(r: PlanRow | PlanTask) -> Typed:
    """What is written when the next part is done; of a cut how many is to be filled in."""
    return gap("", f" {r.line}") if r.asks_count else Typed(r.line)


def _say_room(r: RoomRow) -> Typed:
    """How much room there is, to be filled in."""
    return gap(f"room {r.what} ", length_unit() if r.what == "line" else "")


def _drop(r: PlanRow | PlanTask) -> Ask:
    return Ask(f"Give up plan {r.plan}, {r.crop}?", (("y", "gives it up", f"drop {r.plan}"),))


PLAN = RowSort(
    "plan",
    "On a plan",
    (
        deed("next", "next is done", "write that its next part is done", _next),
        deed("correct", "change", "change the plan in place", lambda r: gap(f"{r.plan} was ")),
        deed("drop", "drop", "give the plan up", _drop),
    ),
    view="plan",
)
PLANNED = RowSort(
    "planned",
    "On what a plan asks for",
    (
        deed("next", "done", "write that what is due is done", _next),
        deed("drop", "drop", "give the plan up", _drop),
    ),
    view="plan",
)
"""In Today: known as the plan is."""
ROOM = RowSort(
    "room",
    "On room of trays or lines",
    (
        deed(
            "room",
            "room",
            "write how much room there is",
            lambda r: _say_room(r),
        ),
    ),
    view="plan",
)
GROUND = RowSort("ground", "On the beds", view="plan")
ROWS = (PLAN, PLANNED, ROOM, GROUND)


class Plan(View):
    """The kept plans, what is due first; while a wish is typed, what it comes to."""

    EMPTY = "No plan is kept. Write one, such as: plan 120 strawflower dry by 09-19"
    BEGINS = "plan "
    SORTS = ("plan", "room", "ground")
    JOBS = ("What is to come",)
    season: SeasonStrip
    typed: Preview | None = None

    @property
    def name_width(self) -> int:
        return NAME if self.width >= NARROW else NAME_NARROW

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        before = CODE + self.name_width + 1
        self.season = season = season_strip(session.farm, session.today, self.width - before)
        rows = [Row(PLAN.id(plan.row.plan), self._plan_line(plan), PLAN, plan.row) for plan in season.plans]
        if not rows:
            rows = [
                Row((), line) for line in plain(wrap(with_figures(self.EMPTY), self.width, hang=2), "quiet")
            ]
        rows += [Row((), ()), Row((), ((fit(ROOM_LEGEND, self.width).rstrip(), "quiet"),))]
        for room in season.rooms:
            sort = GROUND if room.row.what == "bed" else ROOM
            goes = "beds" if sort is GROUND else _say_room(room.row) if room.row.total is None else ""
            rows.append(Row(sort.id(room.row.what), self._room_line(room), sort, room.row, goes))
        return " " * before + month_heads(season.mondays), rows

    def above(self) -> list[Line]:
        return [(("  " + fit(LEGEND, self.width).rstrip(), "quiet"),)]

    def _plan_line(self, plan: PlanStrip) -> Line:
        row = plan.row
        name = f"{row.plan:{CODE}}{fit(named(row.crop, row.variety, row.way), self.name_width)} "
        return self._with_today(name, "caution" if row.behind else "", plan.cells)

    def _room_line(self, room: RoomStrip) -> Line:
        name = f"{'':{CODE}}{fit(with_figures(ROOMS[room.row.what]), self.name_width)} "
        return self._with_today(name, "", room.cells)

    def _with_today(self, name: str, look: str, cells: str) -> Line:
        """The row with this week's place marked."""
        at = self.season.this_week
        today = TODAY if cells[at] == " " else cells[at]
        return ((name, look), (cells[:at], ""), (today, "bold"), (cells[at + 1 :], ""))

    # the strip below

    def look_at(self, session: Session, text: str, meant: Completion) -> bool:
        """Show what a typed wish comes to; with any other text the chosen row again."""
        before, self.typed = self.typed, None
        if text.lower().startswith(self.BEGINS):
            seen = preview_in(session, text)
            self.typed = None if isinstance(seen, Problem) else seen
        return self.typed is not before

    def told(self) -> list[Line]:
        return super().told() if self.typed is None else self._preview(self.typed)

    def _preview(self, seen: Preview) -> list[Line]:
        if not seen.clashes:
            room = ("there is room for it", "quiet")
        elif len(seen.clashes) == 1:
            room = (f"! {seen.clashes[0].sentence} Would do: {seen.clashes[0].change}.", "caution")
        else:
            short = dict.fromkeys(f"{clash.what}: {clash.change}" for clash in seen.clashes)
            room = (f"! too little room; would do for {'; '.join(short)}.", "caution")
        if seen.pieces is not None:
            says = _pieces(seen, seen.pieces)
        else:
            says = _weekly(seen) if seen.weeks else _single(seen)
        return strip(self.width, (says, "bold"), room)

    def detail(self, row: Row) -> list[Line]:
        return self._about(row.value) if row.sort is PLAN else self._about_room(row.value)

    def _about(self, r: PlanRow) -> list[Line]:
        changed = (f"! {r.order_changed}" if r.order_changed else "", "caution")
        whose = f", {r.serves_says}" if r.serves_says else ""
        if r.use == "pieces":
            first = f"{r.plan} {r.stems} {r.crop}, by {day_text(r.by)}{whose}"
            return strip(self.width, (first, "bold"), changed, (r.says, ""))
        where = f" in bed {r.bed}" if r.bed else ""
        size = f"{plural(r.plants or 0, 'plant')}, {told_feet(r.feet or 0)}{where}"
        name = named(r.crop, r.variety, r.way)
        first = f"{r.plan} {name}: {plural(r.stems, 'stem')}, {r.use}, by {day_text(r.by)}{whose}; {size}"
        parts = [part.says for part in (r.sow, r.set_out, r.cut) if part is not None]
        seeds = f"; {plural(r.seeds, 'seed')}" if r.seeds and r.next in ("sow", "drill") else ""
        return strip(
            self.width,
            (first, "bold"),
            (
                r.says if r.outcome else "; ".join(parts) + seeds,
                "caution" if r.behind or r.outcome == "short" else "",
            ),
            changed,
            (f"! {r.too_late}" if r.too_late else "", "caution"),
            *((f"! {said}", "caution") for said in self._clashes(r)),
            (because(r.because), "quiet"),
        )

    def _clashes(self, r: PlanRow) -> list[str]:
        """What is short and partly taken by this plan, and what would solve it."""
        return [_short(s) for s in self.season.room.shortages if r.plan in s.plans]

    def _about_room(self, r: RoomRow) -> list[Line]:
        fullest = max(range(len(r.taken)), key=r.taken.__getitem__)
        monday = self.season.room.mondays[fullest]
        of = f" of {how_much(r.what, r.total)}" if r.total is not None else ""
        first = f"{r.unit}: {how_much(r.what, r.taken[0])}{of} taken this week"
        most = f"most in the week of {short_day(monday)}: {how_much(r.what, r.taken[fullest])}{of}"
        if not r.taken[fullest]:
            most = "nothing in the weeks to come"
        short = [
            f"{_short(s)} Most is taken by {s.takers}."
            for s in self.season.room.shortages
            if s.what == r.what
        ]
        ask = ""
        if r.total is None:
            ask = (
                f"a bed is written as: bed b1 {typed_feet(50)}"
                if r.what == "bed"
                else "r says how much there is"
            )
        counted = " ".join(self.season.room.assumed) if r.what in ("lights", "hardening") else ""
        return strip(
            self.width,
            (f"{first}; {most}", "bold"),
            *((f"! {said}", "caution") for said in short),
            (ask, "quiet"),
            (counted, "quiet"),
        )


VIEW = Plan


def _short(shortage: Shortage) -> str:
    return f"{shortage.brief}. Would do: {shortage.change}."


def month_heads(mondays: Sequence[date]) -> str:
    """The months over their weeks, each where its first week begins."""
    cells = [" "] * len(mondays)
    for i, monday in enumerate(mondays):
        begins = monday.day <= 7 or (i == 0 and all(later.day > 7 for later in mondays[1:4]))
        if begins and len(cells) - i >= 3:
            cells[i : i + 3] = MONTHS[monday.month - 1]
    return "".join(cells)


def _single(seen: Preview) -> str:
    plan = seen.plans[0]
    wish = plan.wish
    begin = plan.in_bed_from
    sow = f"sow {plan.seeds} seeds {short_day(plan.sow_on)}, " if plan.sow_on and plan.seeds else ""
    out = "" if plan.sow_on == begin else f"set out {plural(plan.plants_out, 'plant')} {short_day(begin)}, "
    cut = f"cut {plan.to_cut} stems {short_day(plan.cut_from)} to {short_day(plan.cut_to)}"
    name = named(wish.crop, wish.variety, wish.way)
    return f"{name}, {wish.stems} stems by {short_day(wish.by)}: {sow}{out}{told_feet(plan.feet)}, {cut}"


def _pieces(seen: Preview, pieces: PiecePlan) -> str:
    asked = pieces.wanted
    parts = [f"{plan.wish.stems} {plan.wish.crop}, {plan.wish.use}" for plan in seen.plans]
    there = f"{pieces.there} stems there already" if pieces.there else ""
    told = "; ".join(filter(None, (there, *parts)))
    return (
        f"{asked.count} {asked.recipe.code} by {short_day(asked.by)}: {told}; {times_in_100(pieces.chance)}"
    )


def _weekly(seen: Preview) -> str:
    days = ", ".join(short_day(plan.sow_on or plan.in_bed_from) for plan in seen.plans)
    poor = [week for week in seen.weeks if week.is_short]
    short = f"; short in {len(poor)}, first {short_day(poor[0].start)}" if poor else ""
    spaced = f"; spaced by {seen.spaced}" if len(seen.plans) > 1 else ""
    return (
        f"{plural(len(seen.plans), 'sowing')} ({days}) for {plural(len(seen.weeks), 'week')}{short}{spaced}"
    )
