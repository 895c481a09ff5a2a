"""What the ledger of stems has to say to the morning."""

from __future__ import annotations

from datetime import date

from core.asks import Alert, Sight

MOLD = "mold"
MOLD_DAYS = 14
"""Days for which a mold loss is spoken of: the dust of moldy bunches hurts lungs while they are still about."""


def cautions(sight: Sight) -> list[Alert]:
    """The caution for moldy bunches, while there may be some about."""
    last = sight.farm.last_loss.get(MOLD)
    if not last or (sight.day - date.fromisoformat(last)).days > MOLD_DAYS:
        return []
    return [Alert("mold", "mold: carry moldy bunches out wetted, in a two-strap N95 mask or better.")]
