"""Room on the lines of the shed: feet, what hangs takes, what is left, and whether today's cut will fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import ceil
from typing import NamedTuple

from core.beds.rows import BedRow
from core.dialect import told_feet
from core.drying.asks import asks_of
from core.drying.rows import ShelfRow, shelf_rows
from core.farm import Farm
from core.places import FRESH_PLACES, Place
from core.settings.sheets import farm_sheet
from core.text import natural
from core.units import day_text, plural

FEET_A_BUNCH = 0.5
"""Bunches hang 6 in apart [S105]."""
USUAL_BUNCH = 10
"""Stems in a bunch where neither the line nor the sheet says: the florist's count (common practice)."""
MAY_BE_BOXED = ("dry", "overdue")
"""States of what hangs that may give up its room: it snapped, or it is past its longest drying time."""


class CouldGo(NamedTuple):
    """A lot that could leave its line: `why` is "dry" or "overdue" (to be tried first), `do` what is to be done with
    it, as every page says it."""

    lot: str
    crop: str
    line: Place
    feet: float
    why: str
    do: str


class LineRow(NamedTuple):
    """One line. `feet`, `dark` and `fan` are None where they were not said; `free` is below 0 where it is crowded."""

    line: Place
    feet: float | None
    dark: bool | None
    fan: bool | None
    bunches: int
    taken: float
    free: float | None
    lots: tuple[str, ...]
    could_go: tuple[CouldGo, ...]

    @property
    def is_full(self) -> bool:
        """Whether not one more bunch fits."""
        return self.free is not None and self.free < FEET_A_BUNCH


class LinesRoom(NamedTuple):
    """All lines: feet in all (None where never said), feet taken, and feet on which something can still be hung."""

    lines: tuple[LineRow, ...]
    feet: float | None
    taken: float
    free: float | None


class ToHang(NamedTuple):
    """What will probably be hung today: one lot in the bucket, or one crop at its stage for drying.

    `stems` are None where the book has no cut of it to go by.
    """

    crop: str
    where: str
    stems: int | None
    bunches: int
    because: str


class CutRoom(NamedTuple):
    """What comes beside what is free, feet of line. `short` is 0 where it fits, None where the feet are not known.

    `could_go` are the lots that would make room, the longest first; `says` is one sentence, "" where it fits.
    """

    coming: tuple[ToHang, ...]
    bunches: int
    feet: float
    free: float | None
    short: float | None
    could_go: tuple[CouldGo, ...]
    says: str


def bunches_of(stems: int, per: int) -> int:
    """Bunches that so many stems make; in the usual bunch where `per` is 0."""
    return ceil(stems / (per or USUAL_BUNCH))


def feet_taken(stems: int, per: int) -> float:
    """Feet of line that hanging stems take."""
    return bunches_of(stems, per) * FEET_A_BUNCH


def line_feet(farm: Farm) -> float | None:
    """Feet of hanging line in the shed: of the lines described, else the room given for all; None where neither is."""
    if farm.lines:
        return float(sum(line.feet for line in farm.lines.values()))
    return farm.capacity.get("line")


def lines_room(farm: Farm, day: date, hanging: Sequence[ShelfRow] | None = None) -> LinesRoom:
    """Every line that was described or on which something hangs; `hanging` as for `shed`."""
    if hanging is None:
        hanging = shelf_rows(farm, day)
    names = sorted({*farm.lines, *(row.line for row in hanging)}, key=natural)
    rows = tuple(_line(farm, name, [row for row in hanging if row.line == name]) for name in names)
    feet, taken = line_feet(farm), sum(row.taken for row in rows)
    if farm.lines:
        free: float | None = sum(max(row.free, 0.0) for row in rows if row.free is not None)
    else:
        free = None if feet is None else feet - taken
    return LinesRoom(rows, feet, taken, free)


def _line(farm: Farm, name: Place, hanging: list[ShelfRow]) -> LineRow:
    feet, dark, fan = farm.lines.get(name) or (None, None, None)
    taken = sum(feet_taken(row.stems, row.per) for row in hanging)
    could_go = tuple(
        CouldGo(row.lot, row.crop, name, feet_taken(row.stems, row.per), row.status, asks_of(row))
        for row in hanging
        if row.status in MAY_BE_BOXED
    )
    return LineRow(
        line=name,
        feet=feet,
        dark=dark,
        fan=fan,
        bunches=sum(bunches_of(row.stems, row.per) for row in hanging),
        taken=taken,
        free=None if feet is None else feet - taken,
        lots=tuple(row.lot for row in hanging),
        could_go=could_go,
    )


# what is still to be hung


def probably_hung(farm: Farm, day: date, beds: Iterable[BedRow]) -> list[ToHang]:
    """What waits in bucket and cooler to be hung, and the crops at their stage for drying, as much as the last time of
    which something is still on hand."""
    to_dry = [lot for lot in farm.lots.live() if lot.use == "dry"]
    found = [
        _coming(farm, lot.crop, lot.way, lot.code, waiting, "cut to dry and not hung yet")
        for lot in to_dry
        if (waiting := sum(h.stems for place, h in lot.holdings.items() if place in FRESH_PLACES)) > 0
    ]
    for bed in beds:
        for planting in bed.plantings:
            if "dry" in planting.at_stage and planting.last_cut != day.isoformat():
                cuts = [lot for lot in to_dry if (lot.crop, lot.bed) == (planting.crop, bed.bed)]
                last = max(cuts, key=lambda lot: lot.cut_on, default=None)
                stems = last.cut if last else None
                because = (
                    f"as many as on {day_text(last.cut_on)}" if last else "at its stage, no cut to go by"
                )
                way = last.way if last else None
                found.append(_coming(farm, planting.crop, way, f"bed {bed.bed}", stems, because))
    return found


def _coming(farm: Farm, crop: str, way: str | None, where: str, stems: int | None, because: str) -> ToHang:
    sheet = farm_sheet(farm, crop, way)
    bunch = sheet.stems_per_dried_bunch if sheet is not None else None
    per = round(bunch.value[0]) if bunch is not None else USUAL_BUNCH
    return ToHang(crop, where, stems, bunches_of(stems or 0, per), because)


def room_for(room: LinesRoom, coming: Iterable[ToHang] = (), bunches: int | None = None) -> CutRoom:
    """Whether what comes finds room: so many `bunches` where they are said, else those of `coming`."""
    coming = tuple(coming) if bunches is None else ()
    count = sum(one.bunches for one in coming) if bunches is None else bunches
    feet = count * FEET_A_BUNCH
    short = None if room.free is None else max(feet - room.free, 0.0)
    could_go = sorted(
        (one for row in room.lines for one in row.could_go), key=lambda one: (one.why != "dry", -one.feet)
    )
    says = ""
    if short:
        full = [row.line for row in room.lines if row.is_full]
        is_full = f"; {' and '.join(full)} {'is' if len(full) == 1 else 'are'} full" if full else ""
        says = (
            f"{plural(count, 'bunch', 'bunches')} to hang {'needs' if count == 1 else 'need'} {told_feet(feet)}, "
            f"{told_feet(room.free or 0)} of line free{is_full}{making_room(could_go)}."
        )
    return CutRoom(coming, count, feet, room.free, short, tuple(could_go), says)


NAMED = 2
"""So many lots are named in a sentence."""


def making_room(could_go: Iterable[CouldGo]) -> str:
    """ "; L038: box (3 ft), L035: snap test (2 ft)": what would make room, "" where nothing would."""
    named = [f"{one.lot}: {one.do} ({told_feet(one.feet)})" for one in could_go][:NAMED]
    return f"; {', '.join(named)}" if named else ""
