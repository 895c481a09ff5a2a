"""What the drying shed has to say to the morning."""

from __future__ import annotations

from core.asks import Sight
from core.beds.asks import beds_of
from core.drying.asks import hanging
from core.shed.rows import line_for_brief, shed


def cautions(sight: Sight) -> list[str]:
    """One line where something is wrong with its air or its lines."""
    farm, day = sight.farm, sight.day
    low = None
    if "dusk" in farm.weather.get(day.isoformat(), {}):
        from core.weather.tonight import low_to_expect  # reckoning a night is loaded on evenings only

        low = low_to_expect(farm, day)
    line = line_for_brief(shed(farm, day, sight.once(beds_of), low=low, hanging=sight.once(hanging)))
    return [line] if line else []
