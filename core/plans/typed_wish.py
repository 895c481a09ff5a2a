"""A wish as it is typed: what it comes to, and what else moves when one of its numbers does. Nothing is written."""

from __future__ import annotations

from datetime import date

from core.farm import Farm
from core.plans.lines import read_wish
from core.plans.preview import Preview, moved, preview
from core.plans.succession import WarmthOf
from core.plans.what_if import Compared
from core.problems import Problem


def preview_of(
    text: str, farm: Farm, day: date, *, mark: str = "", warmth: WarmthOf | None = None
) -> Preview | Problem:
    """What a "plan ..." line comes to, where it finds too little room, and what would be written."""
    wish = read_wish(text, farm, day)
    return wish if isinstance(wish, Problem) else preview(farm, wish, day, mark=mark, warmth=warmth)


def moved_by(
    text: str, farm: Farm, day: date, name: str, value: float | date, *, warmth: WarmthOf | None = None
) -> Compared | Problem:
    """What else moves in the plan of a line, or in its sowings, when one of its numbers does."""
    wish = read_wish(text, farm, day)
    return wish if isinstance(wish, Problem) else moved(farm, wish, day, name, value, warmth=warmth)
