"""All that does not add up and wants settling."""

from __future__ import annotations

from core.amend import newer
from core.beds.crowded import crowded
from core.farm import Farm
from core.guard import Guard
from core.problems import Matter


def matters(farm: Farm) -> list[Matter]:
    """What the fold came upon, what newer shedbooks wrote, and what stands crowded in the beds."""
    return [*farm.matters, *(newer(kind, entry) for kind, entry in farm.newer.items()), *crowded(farm)]


def matters_under(guard: Guard, farm: Farm) -> list[Matter]:
    """The same; where what stands crowded cannot be reckoned, at least what the fold came upon."""
    return guard("What is to settle", lambda: matters(farm), lambda _: list(farm.matters))
