"""The words of a crop's dates: who says a figure, and how far from the frost."""

from __future__ import annotations

from typing import Any

from core.crops.sheet import Figure, Span


def cite(figure: Figure[Any]) -> str:
    """The source in brackets; a long list of possible sources is left to the sheet."""
    if figure.source.startswith("one of") and figure.source.count("S") > 3:
        return "(published: see the sheet)"
    return f"({figure.source})"


def from_frost(span: Figure[Span]) -> str:
    """ "3 to 4 weeks before", "0 to 2 weeks after", "from 1 week before to 1 week after"."""
    first, last = span.value
    if first == last == 0:
        return "at"
    if last <= 0 and first < 0:
        return f"{_range(-last, -first)} before"
    if first >= 0:
        return f"{_range(first, last)} after"
    return f"from {_range(-first, -first)} before to {_range(last, last)} after"


def _range(least: float, most: float) -> str:
    count = f"{least:g}" if least == most else f"{least:g} to {most:g}"
    return f"{count} week{'' if most == 1 else 's'}"
