"""A map of the beds: each drawn to length, with what stands in it and what is free."""

from __future__ import annotations

from core.asks import Sight
from core.beds.asks import beds_of
from core.dialect import told_feet
from core.marked import typed_feet
from core.paper.flow import PLAIN, SMALL, Flow
from core.paper.marks import Box, Mark, Page, Text
from core.text import wrap
from core.units import day_text, long_day

LETTERS = 100
"""On a line under a bed."""
NAME, TALL, PART = 18.0, 8.0, 4.2
"""Millimetres: left of the beds for their names, the height of a bed, and of a line under it."""


def bed_map(sight: Sight, size: tuple[float, float]) -> list[Page]:
    """Every bed, the longest as wide as the page; in each what stands there takes its share, from the left."""
    beds = sight.once(beds_of)
    flow = Flow(size, "Beds", long_day(sight.day))
    if not beds:
        flow.line(f"No beds yet: write one, such as 'bed b1 {typed_feet(50)}'.")
        return flow.pages()
    scale = (flow.room - NAME) / max(bed.feet for bed in beds)
    left = (flow.width - flow.room) / 2
    flow.line(
        f"{told_feet(10)} are {scale * 10:.0f} mm. Where in its bed a planting stands the book does not know.",
        size=SMALL,
    )
    for bed in beds:
        told = [
            f"{row.planting} {row.called}, {told_feet(row.feet)}, since {day_text(row.since)}"
            for row in bed.plantings
        ]
        if bed.free_feet:
            told.append(f"{told_feet(bed.free_feet)} free")
        told = wrap("; ".join(told), LETTERS, hang=0) if told else []
        top = flow.place(TALL + PART * len(told) + 3)
        x = left + NAME
        marks: list[Mark] = [
            Text(left, top + 5.4, PLAIN, bed.bed, NAME - 1),
            Box(x, top, bed.feet * scale, TALL),
        ]
        end = x + bed.feet * scale
        for row in bed.plantings:
            wide = min(row.feet * scale, end - x)
            if wide > 0:
                marks += [
                    Box(x, top, wide, TALL, is_gray=True),
                    Text(x + 1, top + 5.2, SMALL, row.planting, max(wide - 2, 1)),
                ]
            x += wide
        marks += [
            Text(left + NAME, top + TALL + PART * (n + 1) - 0.6, SMALL, text, flow.room - NAME)
            for n, text in enumerate(told)
        ]
        flow.add(*marks)
    return flow.pages()
