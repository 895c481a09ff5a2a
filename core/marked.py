"""Figures in text written beforehand: examples of the help, cautions; and figures of a sheet, by their label.

Such a text has a mark where a figure stands, `{degrees:34}`, `{feet:3}`, `bed b9 {typed_feet:50}`, and is told by
`with_figures`, which fills them in as the farm has its units. A sentence made of values needs none: it tells them by
`core.dialect.told_degrees` and its like.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from core.dialect import (
    _way,
    degrees_unit,
    is_celsius,
    is_metric,
    length_unit,
    told_course,
    told_degrees,
    told_feet,
    told_frost,
    told_rain,
    told_size,
)
from core.measures import CM_AN_INCH, METERS_A_FOOT
from core.units_told import degree_days_in_c, figure_in_c, figure_in_cm, kilometers_an_hour, plain

HALF_METER, FIVE_CM = 0.5, 5.0
"""What is typed as an example is a round length, no longer than the one it stands for."""


def with_figures(text: str) -> str:
    """The text with its figures in the units of the farm."""
    return text.format_map(_MARKS) if "{" in text else text


def typed_degrees(degrees_f: float) -> str:
    """Degrees as they are typed in a line: "36F", "2C"."""
    return f"{told_course(degrees_f)}{degrees_unit()}"


def typed_low(degrees_f: float) -> str:
    """A low as it is typed in a line, where a bare number is degrees: "34", "1C"."""
    return typed_degrees(degrees_f) if is_celsius() else plain(degrees_f, 2)


def typed_span(*degrees_f: float) -> str:
    """A span of degrees as it is typed in a line: "58 to 84", "14 to 29"."""
    return " to ".join(told_course(one) for one in degrees_f)


def typed_frost(degrees_f: float) -> str:
    """The cold of a frost as it is typed in a line: "28F", "-2C"."""
    return told_frost(degrees_f).replace(" ", "")


def typed_feet(feet: float) -> str:
    """A length as it is typed in a line: "50ft", "15m"."""
    return f"{_step(feet * METERS_A_FOOT, HALF_METER)}m" if is_metric() else f"{plain(feet, 0)}ft"


def typed_length(feet: float) -> str:
    """A length as it is typed in a line, to what it is: "12.5ft", "3.81m"."""
    return told_feet(feet).replace(" ", "")


def typed_size(inches: float) -> str:
    """A size as it is typed in a line: "12in", "30cm"."""
    return f"{_step(inches * CM_AN_INCH, FIVE_CM)}cm" if is_metric() else f"{plain(inches, 0)}in"


def typed_wind(mph: float) -> str:
    """A wind as it is typed in a line: "18", "29 km/h"."""
    return f"{kilometers_an_hour(mph)} km/h" if is_metric() else plain(mph, 0)


def typed_rain(inches: float) -> str:
    """Rain as it is typed in a line: "0.4", "10.2mm"."""
    return told_rain(inches).replace(" ", "") if is_metric() else plain(inches, 2)


def degrees_word() -> str:
    """ "Fahrenheit", or "Celsius"."""
    return "Celsius" if is_celsius() else "Fahrenheit"


def length_word() -> str:
    """ "feet", or "meters"."""
    return "meters" if is_metric() else "feet"


def size_word() -> str:
    """ "inches", or "centimeters"."""
    return "centimeters" if is_metric() else "inches"


def wind_word() -> str:
    """ "miles an hour", or "km/h"."""
    return "km/h" if is_metric() else "miles an hour"


def label_told(label: str) -> str:
    """A figure's label as the sheet has it, "height, in", with the farm's own unit at its end."""
    if is_celsius() and label.endswith((", F", ", degree days F")):
        return f"{label.removesuffix('F')}C"
    return f"{label.removesuffix('in')}cm" if is_metric() and label.endswith(", in") else label


def value_told(label: str, value: str) -> str:
    """A figure's value in the units of the farm; its label on the sheet, such as "height, in", says its own."""
    if label.endswith(", F") and is_celsius():
        return figure_in_c(value)
    if label.endswith(", degree days F") and is_celsius():
        return degree_days_in_c(value)
    return figure_in_cm(value) if label.endswith(", in") and _way().metric else value


def _step(value: float, step: float) -> str:
    return f"{max(value // step, 1) * step:g}"


class _Mark:
    """What stands for a mark: its figures are what `str.format` hands it."""

    def __init__(self, tells: Callable[..., str]) -> None:
        self._tells = tells

    def __format__(self, figures: str) -> str:
        return self._tells(*map(float, figures.split(" to "))) if figures else self._tells()


_MARKS: Mapping[str, _Mark] = {
    "degrees": _Mark(told_degrees),
    "frost": _Mark(told_frost),
    "feet": _Mark(told_feet),
    "size": _Mark(told_size),
    "rain": _Mark(told_rain),
    "typed_degrees": _Mark(typed_degrees),
    "typed_frost": _Mark(typed_frost),
    "typed_low": _Mark(typed_low),
    "typed_span": _Mark(typed_span),
    "typed_feet": _Mark(typed_feet),
    "typed_size": _Mark(typed_size),
    "typed_rain": _Mark(typed_rain),
    "typed_wind": _Mark(typed_wind),
    "degrees_unit": _Mark(degrees_unit),
    "length_unit": _Mark(length_unit),
    "length_word": _Mark(length_word),
    "wind_word": _Mark(wind_word),
}
