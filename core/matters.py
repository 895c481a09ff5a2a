"""All that does not add up and wants settling."""

from __future__ import annotations

from core.beds.kinds import crowded
from core.farm import Farm
from core.problems import Matter
from core.validity import newer


def matters(farm: Farm) -> list[Matter]:
    """What the fold came upon, what newer shedbooks wrote, and what stands crowded in the beds."""
    return [*farm.matters, *(newer(kind, entry) for kind, entry in farm.newer.items()), *crowded(farm)]
