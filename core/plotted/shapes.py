"""What a plot is: values in the order of labels, in one of a few shapes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple, TypeAlias

from core.weather.records import WeatherRecords

Shape: TypeAlias = Literal["bars", "lines", "marks", "strip"]
"""Bars for the first series and lines for the others; lines for all; bars with marks for the others; or a strip, a row
for each series, drawn against that row's most."""


class Series(NamedTuple):
    """Values in the order of the labels; None where there is none."""

    name: str
    values: tuple[float | None, ...]


class Plotted(NamedTuple):
    """A plot: labels across, series in a unit; four at most but in a strip. `notes` stand beside the labels in the
    table, where there are any."""

    title: str
    unit: str
    labels: tuple[str, ...]
    series: tuple[Series, ...]
    shape: Shape = "bars"
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """What a plot is asked for: the day it is drawn on, its year, its crop ("" for all), and the weather's records."""

    day: date
    year: int
    crop: str = ""
    records: WeatherRecords | None = None
