"""All that does not add up and wants settling."""

from __future__ import annotations

from core.beds.kinds import crowded
from core.farm import Farm
from core.problems import Problem


def matters(farm: Farm) -> list[Problem]:
    """What the fold came upon, and what stands crowded in the beds."""
    return [*farm.matters, *crowded(farm)]
