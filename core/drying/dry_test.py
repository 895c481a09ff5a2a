"""How it is tried whether something is dry: a stem is bent; of thick heads the base of the head is pressed."""

from __future__ import annotations

from typing import Literal, NamedTuple

from core.crops.sheet import Sheet

PRESSED = ("celosia, crested", "peony", "sunflower", "dahlia", "hydrangea")
"""Heads that stay damp inside long after their stems snap (common practice; thick heads may take 20 days and more
where others take 7 to 10 [S100])."""


class DryTest(NamedTuple):
    """What the test is called, and how it is done."""

    name: str
    how: str


SNAP = DryTest("snap test", "bend a stem: it is dry when it snaps [S100]")
PRESS = DryTest(
    "press the head",
    "press the base of the head: dry is hard and cool to no finger, damp gives (common practice)",
)


HUNG = ("hang", "hung", "strung", "stand", "screens", "upright")
"""Words of a sheet's way of drying that say it dries in the air."""
Way = Literal["", "hang", "press", "silica"]


def way_to_dry(sheet: Sheet | None) -> Way:
    """How a crop is dried by its sheet: in the air where that is one of its ways; "" where it has none."""
    method = sheet.drying_method.value if sheet is not None and sheet.drying_method is not None else ""
    if any(word in method for word in HUNG):
        return "hang"
    return "press" if method.startswith("press") else "silica" if "silica" in method else ""


def dry_test(crop: str) -> DryTest:
    """How to try whether that crop is dry."""
    return PRESS if crop in PRESSED else SNAP
