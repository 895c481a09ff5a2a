"""What the keys of a line on Today work on."""

from __future__ import annotations

from typing import Any

from core.asks import Sight
from core.beds.asks import BedTask, beds_of
from core.cutting.asks import AtStage
from core.trays.asks import TrayTask, trays_of
from tui.subjects.beds import standings


def value_of(sight: Sight, row: Any) -> Any:
    """The row of its own view, where that says more than what the morning asks."""
    match row:
        case TrayTask(tray=tray):
            return next(found for found in sight.once(trays_of) if found.tray == tray)
        case BedTask(planting=code) | AtStage(planting=code):
            standing = standings(sight.once(beds_of))
            return next(found for found in standing if found.planting and found.planting.planting == code)
    return row
