"""What the library says in words with degrees, feet and inches in them, told in the farm's units as it is read.

Its table is written as its sources print: "34 F", "50-55F", "12 in apart", "8 to 10 ft". Only cells of the library pass
here, never a farm's own words.
"""

from __future__ import annotations

import re

from core.dialect import is_celsius, is_metric, told_about, told_degrees, told_feet, told_size
from core.patterns import pattern

_SPAN = r"(?<![\w.])(?P<low>-?\d+(?:\.\d+)?)(?:(?: to |-)(?P<high>\d+(?:\.\d+)?))?"
_DEGREES = pattern(rf"(?P<about>about )?{_SPAN} ?F\b")
_UPPER_20S = pattern(r"\b(?:the )?upper 20s F\b")
_FEET = pattern(rf"{_SPAN} ?(?:ft|feet)\b")
_AFTER = "stub|down|heads|gives|above|below|tall|apart|wide|long|of water|to|both ways|for large"
"""What stands in the library after inches, and not after the word "in"."""
_INCHES = pattern(rf"{_SPAN}(?: by (?P<by>\d+))? ?in\b(?= (?:{_AFTER})\b| [(\[]|[\]);,.]|$)")


def in_farms_units(text: str) -> str:
    """A cell of the library with its figures in the units of the farm."""
    if is_celsius() and "F" in text:
        text = _DEGREES.sub(_degrees, _UPPER_20S.sub("-3 to -2 C", text))
    if is_metric():
        text = _INCHES.sub(_inches, _FEET.sub(lambda found: told_feet(*_ends(found)), text))
    return text


def _ends(found: re.Match[str]) -> list[float]:
    return [float(end) for end in (found["low"], found["high"]) if end is not None]


def _degrees(found: re.Match[str]) -> str:
    ends = _ends(found)
    return f"about {told_about(*ends)}" if found["about"] else told_degrees(*ends)


def _inches(found: re.Match[str]) -> str:
    size = told_size(*_ends(found))
    return f"{size} by {told_size(float(found['by']))}" if found["by"] else size
