"""A day's sheet to carry through the day: what is likely to be written, each with a box for the pencil.

What stands beside a box is the line to type in the evening, with the number from the box before it; so typing it in is
copying.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from core.asks import Sight
from core.beds.asks import beds_of
from core.boxes.kinds import box_rows
from core.drying.asks import hanging
from core.drying.dry_test import SNAP, dry_test
from core.field.closed import closures, shut_for_cutting, told
from core.fresh.rows import fresh_rows
from core.orders.asks import SOON_DAYS
from core.orders.rows import order_rows
from core.paper.flow import COUNT, TICK, Cell, Flow
from core.paper.marks import Page
from core.places import USES
from core.text import named
from core.trays.rows import tray_rows
from core.units import long_day, plural

BLANKS = 8
"""Lines to write what nobody foresaw."""
NUMBER = "{}"
TYPED_AT, TOLD_AT, WAY = 22.0, 78.0, 31.0
"""Millimetres: where the line to type stands, and what it is about; the width of a box with its way."""


class ToWrite(NamedTuple):
    """One thing that may be written: under which heading, the line to type with `{}` for the number in the box (none:
    a tick), and what it is about. Of several `ways`, each with a box, the one that was done ends the line."""

    head: str
    line: str
    about: str
    ways: tuple[str, ...] = ()

    @property
    def lines(self) -> list[str]:
        """Every line that may come of it."""
        return [f"{self.line} {way}" for way in self.ways] or [self.line]


def to_write(sight: Sight) -> list[ToWrite]:
    """What is likely to be written today, in the order of the day."""
    return [
        *_weather(),
        *_cuts(sight),
        *_trays(sight),
        *_hanging(sight),
        *_fresh(sight),
        *_boxes(sight),
        *_orders(sight),
    ]


def _weather() -> Iterator[ToWrite]:
    yield ToWrite("Weather", "low {}", "the night's low")
    yield ToWrite("Weather", "tonight {}", "the low that is forecast for tonight")


def _cuts(sight: Sight) -> Iterator[ToWrite]:
    """What may be cut today; nothing of a bed that is closed at any time of it."""
    shut = shut_for_cutting(sight.farm, sight.day, None)
    for bed in sight.once(beds_of):
        for row in bed.plantings:
            if row.at_stage and bed.bed not in shut:
                where = f"{row.called}, {bed.bed}"
                yield ToWrite("Cut, good stems", f"{{}} {row.planting}", where, row.at_stage)


def _trays(sight: Sight) -> Iterator[ToWrite]:
    for row in tray_rows(sight.farm, sight.day):
        what = named(row.crop, row.variety)
        if row.up is None:
            yield ToWrite(
                "Trays", f"up {row.tray} {{}}", f"{what}: seedlings up, of {plural(row.cells, 'cell')}"
            )
        if row.state == "hardening" and row.today is None:
            yield ToWrite("Trays", f"step {row.tray}", f"{what}: {row.next_short}")


def _hanging(sight: Sight) -> Iterator[ToWrite]:
    for row in sight.once(hanging):
        if row.status in ("test", "overdue"):
            what = f"{named(row.crop, row.variety)}, {plural(row.stems, 'stem')}"
            test = dry_test(row.crop)
            dry, damp = ("it snaps", "it bends") if test is SNAP else ("its head is hard", "its head gives")
            yield ToWrite("On the lines", f"snap {row.lot} {row.line}", f"{what}: {dry}")
            yield ToWrite("On the lines", f"bend {row.lot} {row.line}", f"{what}: {damp}")


def _fresh(sight: Sight) -> Iterator[ToWrite]:
    for row in fresh_rows(sight.farm, sight.day, sight.clock):
        what = f"{named(row.crop, row.variety)}, {plural(row.stems, 'stem')}"
        if row.status in ("hang", "rescue") and row.dries == "hang":
            yield ToWrite("Bucket and cooler", f"hang {row.lot} line {{}}", f"{what}: hung, on which line")
        elif row.use == "fresh":
            yield ToWrite("Bucket and cooler", f"sold {{}} {row.lot} {row.place}", f"{what}: sold")


def _boxes(sight: Sight) -> Iterator[ToWrite]:
    for row in box_rows(sight.farm, sight.day):
        if row.ask == "look":
            yield ToWrite("Boxes", f"check {row.box} sound", ", ".join(row.crops))


def _orders(sight: Sight) -> Iterator[ToWrite]:
    for row in order_rows(sight.farm, sight.day):
        if row.in_days <= SOON_DAYS and row.status in ("open", "picked", "packed"):
            what = f"{row.buyer}: {row.items}"
            if row.open:
                yield ToWrite("Orders", f"pick {row.order}", what)
            yield ToWrite("Orders", f"handed over {row.order}", what)


def day_sheet(sight: Sight, size: tuple[float, float]) -> list[Page]:
    """The sheet on paper."""
    farm, day = sight.farm, sight.day
    flow = Flow(size, f"{farm.settings.name or 'The day'}", long_day(day))
    flow.line(
        "A number or a tick in the box; in the evening type it with what stands beside it: 40 P01 dry",
        size=8.5,
    )
    for closure in closures(farm, day, None):
        if closure.until:
            flow.line(f"! Nobody into {closure.bed} before {told(closure.until)}: {closure.because}.")
        if closure.harvest_until:
            flow.line(
                f"! No cutting in {closure.bed} before {told(closure.harvest_until)}: {closure.because}."
            )
    for head, rows in groupby(to_write(sight), key=lambda one: one.head):
        flow.heading(head)
        for row in rows:
            _row(flow, row)
    flow.heading("And besides")
    for _ in range(BLANKS):
        flow.blank()
    return flow.pages()


def _row(flow: Flow, one: ToWrite) -> None:
    before, is_number, after = one.line.partition(NUMBER)
    if one.ways:
        each = [(n * WAY, way) for n, way in enumerate(one.ways)]
        boxes: list[Cell] = [cell for at, way in each for cell in ((at, COUNT), (at + COUNT[0] + 1, way))]
        end = len(USES) * WAY
        flow.row(*boxes, (end, after.strip()), (end + 13, one.about))
        return
    box: Cell = (0.0, COUNT) if is_number else (COUNT[0] - TICK[0], TICK)
    typed = f"{before}..{after}" if before and is_number else one.line.removeprefix(NUMBER).strip()
    flow.row(box, (TYPED_AT, typed), (TOLD_AT, one.about))
