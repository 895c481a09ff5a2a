"""All that does not add up and wants settling."""

from __future__ import annotations

from core.beds.kinds import crowded
from core.farm import Farm
from core.problems import Problem
from core.subject import kinds_called
from core.text import clean


def matters(farm: Farm) -> list[Problem]:
    """What the fold came upon, what newer shedbooks wrote, and what stands crowded in the beds."""
    return [*farm.matters, *_of_newer(farm), *crowded(farm)]


def _of_newer(farm: Farm) -> list[Problem]:
    """What newer shedbooks wrote, one matter for each kind."""
    found = []
    for kind, entry in farm.newer.items():
        name = clean(kind)
        if kinds_called(kind):
            text = f"Some '{name}' entries are of a newer shedbook: what this one reads of them counts; update it."
        else:
            text = (
                f"'{name}' entries are of a newer shedbook: they are kept and count once you update this one."
            )
        found.append(Problem(text, "newer", entry=entry))
    return found
