"""Beds: what stands in each, how old it is, what it needs next, what to look at for cutting."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from core.beds.rows import TONIGHT, BedRow, PlantingRow, bed_rows
from core.dialect import told_feet, told_size
from core.field.closed import shut_for_cutting
from core.marked import typed_feet, typed_length
from core.text import named, wrapped
from core.tubers.kinds import FORCED
from core.tubers.rows import ColdRow, standing_forced, told_forcing
from core.units import day_text, number
from core.units_told import meters
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import OF_DEED, deed
from tui.phrases import because, near_day, strip
from tui.row_keys import Ask, Row, RowSort, Typed, gap, whole
from tui.table import DAY, PRINTED, SCREEN, Column, Line, Meaning, Table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session


class Standing(NamedTuple):
    """A bed and one planting in it; None where nothing stands there."""

    bed: BedRow
    planting: PlantingRow | None


def standings(beds: Iterable[BedRow]) -> list[Standing]:
    """Every planting with its bed, and every empty bed."""
    return [Standing(bed, planting) for bed in beds for planting in bed.plantings or (None,)]


def _crop(s: Standing) -> str:
    if s.planting is None:
        return "-"
    name = named(s.planting.crop, s.planting.variety, s.planting.way)
    return f"{name} {s.planting.apart}".rstrip()


def _job(s: Standing) -> str:
    if s.planting is None:
        return "covered" if s.bed.covered_on else ""
    return TONIGHT.get(s.planting.job, s.planting.job)


def _when(s: Standing) -> str:
    p = s.planting
    if p is None or not p.due:
        return day_text(p.job_on) if p else ""
    return "tonight" if p.job in TONIGHT else "now"


def _bed(s: Standing) -> str:
    return s.bed.bed + ("*" if s.planting and s.bed.covered_on else "")


def _of(field: str, *, empty: str = "") -> Column:
    """A field of the planting, under its own name, on the printed page."""
    heads = {"age_days": "age d", "job": "next", "job_on": "on"}
    return Column(
        "planting", heads.get(field, field), show=lambda p: getattr(p, field) if p else empty, on=PRINTED
    )


COLUMNS = (
    Column("", "bed", 5, _bed, on=SCREEN),
    Column("bed", "bed", show=lambda bed: bed.bed, on=PRINTED),
    Column(
        "bed",
        "feet",
        show=lambda bed: number(bed.feet),
        metric=lambda bed: meters(bed.feet),
        on=PRINTED,
    ),
    Column(
        "bed",
        "free",
        show=lambda bed: number(bed.free_feet),
        metric=lambda bed: meters(bed.free_feet),
        on=PRINTED,
    ),
    Column("", "crop", show=_crop, on=SCREEN),
    _of("crop", empty="(empty)"),
    _of("variety"),
    _of("plants"),
    Column(
        "",
        "feet",
        5,
        lambda s: number((s.planting or s.bed).feet),
        metric=lambda s: meters((s.planting or s.bed).feet),
        right=True,
        on=SCREEN,
    ),
    Column("planting", "age", 5, lambda p: f"{p.age_days} d" if p else "", right=True, on=SCREEN),
    _of("age_days"),
    Column("", "next", 8, _job, on=SCREEN),
    _of("job"),
    Column("", "when", 7, _when, on=SCREEN),
    _of("job_on"),
    Column("planting", "at stage", 14, lambda p: "/".join(p.at_stage) if p else "", least=70),
)


def _cover(s: Standing) -> Typed:
    return whole(f"{'uncover' if s.bed.covered_on else 'cover'} {s.bed.bed}")


def _plant(s: Standing) -> Typed:
    return gap("plant ", f" {s.bed.bed} {typed_length(s.bed.free_feet)}")


def planted(s: Standing) -> PlantingRow:
    """The planting of a row that has one."""
    assert s.planting is not None
    return s.planting


def cut_here(s: Standing) -> Typed:
    """The line of a cut from a planting: by crop and bed, by its code where the bed has two of that crop."""
    planting = planted(s)
    alike = [p for p in s.bed.plantings if p.crop == planting.crop]
    where = f"{planting.crop} {s.bed.bed if len(alike) == 1 else planting.planting}"
    use = f" {planting.at_stage[0]}" if len(planting.at_stage) == 1 else ""
    return Typed(f" {where}{use}", caret=0, view="cut")


def _done(s: Standing) -> Typed | Ask:
    """The job that is asked for is done; where none is, one that she says."""
    planting = planted(s)
    if planting.job in ("net", "pinch"):
        return whole(f"{planting.job} {planting.planting}")
    return Ask(
        f"{planting.called or planting.crop} in {s.bed.bed}: what was done?",
        (("p", "pinched", f"pinch {planting.planting}"), ("t", "netted", f"net {planting.planting}")),
    )


def _clear(s: Standing) -> Ask:
    planting = planted(s)
    return Ask(
        f"Clear {planting.called or planting.crop} from {s.bed.bed}?",
        (("y", "it is cleared away", f"clear {planting.planting}"),),
    )


def _decline(s: Standing) -> Typed | Ask:
    """The job that is asked for is not done here, or not for this crop at all."""
    planting = planted(s)
    if planting.job not in ("net", "pinch"):
        return Typed(f"no net {planting.planting}")
    line = f"no {planting.job} {{}}".format
    return Ask(
        f"Never {planting.job}, and never ask again: here, or all {planting.crop}?",
        (("h", "here", line(planting.planting)), ("a", f"all {planting.crop}", line(planting.crop))),
    )


COVER = deed("cover", "cover", "the bed is covered; when it is, uncovered", _cover)
PLANTING = RowSort(
    "planting",
    "On a planting",
    (
        deed("cut", "cut", "write a cut from here, its stage card in sight", cut_here),
        deed("next", "done", "it is netted or pinched, as is asked for; else it is asked which", _done),
        deed("decline", "", "it is not netted or not pinched: not asked again", _decline),
        COVER,
        deed(
            "clear",
            "clear",
            "it is done and cleared away",
            _clear,
        ),
        deed(
            "lost",
            "lost",
            "plants lost, with the cause",
            lambda s: gap(f"lost {planted(s).planting} "),
        ),
        deed("plant", "", "something more stands in this bed", _plant),
    ),
    view="beds",
)
BED = RowSort(
    "bed",
    "On an empty bed",
    (deed("plant", "plant", "write what stands in it", _plant), COVER),
    view="beds",
)
ROWS = (PLANTING, BED)


def beds(args: Namespace) -> int:
    """Beds and their plantings."""
    session = open_session(args)
    rows = bed_rows(session.farm, session.today, session.sight().by_warmth)
    nothing = f"No beds yet: write one, such as 'bed b1 {typed_feet(50)}'."
    forced = standing_forced(session.farm)

    def page() -> list[str]:
        told = [f"  {named(row.crop, row.variety)}: {told_forcing(row)}" for row in forced]
        return ["", "forced, in no bed ('shedbook tubers' has them)", *wrapped(told)] if told else []

    return show_table(
        args, COLUMNS, standings(rows), page=page, json_rows=rows, nothing=nothing, forced=forced
    )


TABLES = (
    Table(
        "beds",
        COLUMNS,
        lambda session: standings(bed_rows(session.farm, session.today, session.sight().by_warmth)),
        "every bed, with each planting that stands in it",
        heads={"free": Meaning("length that is free", "ft"), "on": Meaning("day for what is next", DAY)},
    ),
)
COMMANDS = {"beds": Command(beds, csv=True)}


class Beds(View):
    """Every bed in the order she walks them; a bed with nothing in it has a line too."""

    today: date
    shut: Mapping[str, str]
    """Beds that a label closes now -> until when."""
    EMPTY = "No beds yet. Write one, such as: bed b1 {typed_feet:50}"
    SORTS = ("planting", "bed")
    JOBS = ("Beds",)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        self.today = session.today
        self.shut = shut_for_cutting(session.farm, session.today, session.clock)
        found = standings(bed_rows(session.farm, session.today, session.sight().by_warmth))
        head, rows = self.table(COLUMNS, found, PLANTING, lambda s: (s.planting or s.bed)[:1], _look)
        beds = [row if row.value.planting else row._replace(id=BED.id(*row.id[1:]), is_a=BED) for row in rows]
        return head, beds + [self._forced(row) for row in standing_forced(session.farm)]

    @staticmethod
    def _forced(row: ColdRow) -> Row:
        """Forced bulbs stand in no bed: they are told under the beds, and Enter opens what is in store."""
        bloom = (
            f", in flower {day_text(row.flowers_from)} to {day_text(row.flowers_to)}"
            if row.flowers_from
            else ""
        )
        told = f"forced {named(row.crop, row.variety)}: {row.to_cut} left to cut{bloom}"
        return Row((FORCED, row.entry), ((told, ""),), None, row, goes="tubers")

    def detail(self, row: Row) -> list[Line]:
        if isinstance(row.value, ColdRow):
            forced = row.value
            about = f"{named(forced.crop, forced.variety)}: {told_forcing(forced)}"
            write = f"write: {forced.to_cut} {named(forced.crop, forced.variety)} forced fresh"
            return strip(self.width, (about, "bold"), (because(forced.because), "quiet"), (write, "quiet"))
        bed, p = row.value
        cover = f", covered since {day_text(bed.covered_on)}" if bed.covered_on else ""
        size = f"{told_feet(bed.feet)} by {told_size(bed.width_in)}"
        about = f"bed {bed.bed}: {size}, {told_feet(bed.free_feet)} free{cover}"
        until = self.shut.get(bed.bed)
        keep_out = f"! keep out: closed by a label until {until}" if until else ""
        if p is None:
            return strip(
                self.width,
                (about, "bold"),
                (keep_out, "caution"),
                (f"{OF_DEED['plant']} writes what stands in it", "quiet"),
            )
        plants = f", {p.plants} plants" if p.plants is not None else ""
        name = named(p.crop, p.variety, p.way)
        first = f"{p.planting} {name}: in bed {bed.bed} since {day_text(p.since)}{plants}"
        cut = f"{p.stems_cut} stems cut, last {day_text(p.last_cut)}" if p.last_cut else "not cut yet"
        weeks = f"; to cut {day_text(p.cut_from)} to {day_text(p.cut_to)}" if p.cut_from and p.cut_to else ""
        job = f"{p.job} {near_day(p.job_on, self.today)}; " if p.job and p.job != "cut" else ""
        return strip(
            self.width,
            (first, "bold"),
            (keep_out, "caution"),
            (f"{job}{cut}{weeks}", ""),
            (because(p.because), "quiet"),
            (about, "quiet"),
        )


VIEW = Beds


def _look(s: Standing) -> str:
    p = s.planting
    return "quiet" if p is None else "bold" if p.due and p.job not in ("", "cut") else ""
