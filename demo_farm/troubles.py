"""The troubles that happen, as tables: what went wrong on which day, and what was written of it."""

from __future__ import annotations

from datetime import date

NO_TIME_CAUSE = "'no time'"
NO_TIME = {("2025-05-24", "zinnia"), ("2025-05-25", "zinnia"), ("2026-04-15", "snapdragon")}
"""Days on which nobody carried these trays out."""

LOST_IN_TRAYS = {
    ("2025-03-18", "feverfew"): (0.2, "dried out"),
    ("2025-05-01", "cosmos"): (0.35, "leggy"),
    ("2025-05-09", "craspedia"): (0.15, "slugs"),
    ("2026-03-09", "snapdragon"): (0.12, "damping off"),
    ("2026-05-02", "cosmos"): (0.2, "leggy"),
    ("2026-06-19", "cosmos"): (0.1, "slugs"),
}
"""(day, crop) -> (share of the living, cause)."""

LOST_IN_BEDS = (
    ("2025-06-12", "zinnia", 9, "slugs"),
    ("2025-06-14", "China aster", 11, "rabbits"),
    ("2025-07-09", "sunflower", 7, "wind"),
    ("2026-05-17", "stock", 6, "frost"),
    ("2026-06-08", "zinnia", 8, "slugs"),
)
"""(day, crop, plants, cause)."""

BLOWN = {
    ("2025-08-11", "zinnia"),
    ("2025-08-25", "strawflower"),
    ("2025-09-11", "strawflower"),
}
"""Cuts after rain or a day missed: a quarter of the heads were open too far."""

MOULDY = {
    # three days of rain and a full shed
    ("2025-07-26", "statice"): 0.45,
    ("2025-09-13", "globe amaranth"): 0.25,
    ("2026-06-17", "peony"): 0.6,
}
"""(shelf day, crop) -> share of what hangs of it that had to go out."""

FORGOTTEN = ("baby's breath", "2026-06-01", "2026-06-14")
"""A lot at the back of the far line that nobody has tested: crop, first and last day of its hanging."""

BOX_LEFT = ("2026-06-20", "yarrow")
"""What snapped and was left on its line for want of a box: day and crop."""
NOT_HUNG = ("2026-06-22", "larkspur")
"""What was cut to dry and still stood in the bucket at night: day and crop."""
POOR_MARKETS = {"2025-07-22": 0.4, "2026-06-20": 0.35}
"""Market days that rain or heat spoiled: share of the usual sales."""

INSISTED = ("2025-09-12", "the crowns are for tomorrow")
"""A day on which heads are wired that are no longer fresh, and why."""

MISCOUNTED = ("2026-01-10", -1)
"""The winter count: a day, and the bunches one box was short."""

MOTH = ("2025-12-06", 2, "2025-12-13")
"""A day on which moth was found in the oldest box: bunches thrown out, the box frozen; the day it came back."""
DAMP = ("2025-10-18", 9, "2025-10-25")
"""A day on which a box was found damp: the box, and the day on which it was sound again."""
NOT_LOOKED_INTO = (3, date(2026, 5, 23))
"""A box that nobody has looked into since that day."""
DAMP_LINE = ("2026-06-22", "line 6")
"""The day on which its fan failed."""
LEFT_OUT = {("2026-06-18", "sweet pea"), ("2026-06-19", "baby's breath"), ("2026-06-22", "bachelor's button")}
"""What stands in the bucket that should have come into the cooler: day of the cut and crop."""
BROKEN_PIECE = ("2025-10-18", "crown-b", "broken")
"""The day on which a piece was dropped."""

STRUCK_AND_RESTORED = "2025-08-19"
"""A day on which a sale was struck by mistake for another, and restored."""
MISTYPED = ("2025-07-16", "bought 250 wire 24", "bought 2500 wire 24")
"""A line written with a nought too many, struck and written again: its day, as meant, as typed."""

NOTES = (
    ("2025-01-05", "new book begun; last year's dates are in the green folder"),
    ("2025-03-30", "germination test: larkspur seed of 2023 gives 4 in 10"),
    ("2025-05-12", "wind took the lid off the cold frame; trays in for two days"),
    ("2025-05-22", "frost a week late, covers saved the rudbeckia"),
    ("2025-07-24", "three days of rain, shed at 74 % all night, fan on"),
    ("2025-08-22", "strawflower wants cutting every second day in this heat"),
    ("2025-10-02", "first frost, zinnia and cosmos black"),
    ("2025-12-20", "last wreath circle; boxes counted in January"),
    ("2026-02-19", "strawflower on the surface under the lights, watered from below"),
    ("2026-03-30", "early strawflower stands out in 30 F mornings without harm"),
    ("2026-05-17", "30 F at dawn, covers on the tender beds, stock caught at the edge"),
    ("2026-06-20", "first strawflower, seven weeks before last year"),
    ("2026-06-22", "hang nothing more on line 6 until the fan is mended"),
)
