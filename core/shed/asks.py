"""What the drying shed has to say to the morning."""

from __future__ import annotations

from core.asks import Alert, Sight
from core.beds.asks import beds_of
from core.drying.asks import hanging
from core.shed.rows import shed
from core.weather.night import low_to_expect


def cautions(sight: Sight) -> list[Alert]:
    """One line where something is wrong with its air or its lines."""
    farm, day = sight.farm, sight.day
    low = low_to_expect(farm, day)
    return [*shed(farm, day, sight.once(beds_of), low=low, hanging=sight.once(hanging)).alerts]
