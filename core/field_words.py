"""What the fields of entries are called to her, and in which unit their numbers are kept and told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from core.dialect import (
    told_degrees,
    told_feet,
    told_frost,
    told_rain,
    told_size,
    told_water,
    told_wind,
)
from core.text import clean

CODE_LONGEST = 40
_FIELD_WORDS = {
    "about": "code of what it is about",
    "by": "name of who wrote it",
    "cents": "price",
    "clock": "time of day",
    "cold_f": "temperature of the cold",
    "cull_cause": "cause of the culls",
    "cut_from": "first day of the cut",
    "delivery": "number of the delivery",
    "deposit_cents": "deposit",
    "dew_f": "dew point",
    "dry_hours": "hours out of water",
    "due_on": "day promised",
    "entry": "entry named",
    "every_days": "days between deliveries",
    "expected": "number in the book",
    "f": "temperature",
    "feet": "length",
    "first": "first day",
    "germination_pct": "germination",
    "gallons": "amount of water",
    "grams": "weight",
    "harvest_hours": "time to harvest",
    "high_f": "highest temperature",
    "high_rh": "highest humidity",
    "how": "treatment",
    "insisted": "reason",
    "item": "thing ordered",
    "item_ref": "entry of what was ordered",
    "last": "last day",
    "low_f": "lowest temperature",
    "low_rh": "lowest humidity",
    "k_ppm": "potassium",
    "making": "supply",
    "month_day": "day",
    "mph": "wind",
    "n_ppm": "nitrogen",
    "now": "correction",
    "of": "kind of entry",
    "on": "day",
    "organic_pct": "organic matter",
    "p_ppm": "phosphorus",
    "ph": "pH",
    "reentry_hours": "re-entry time",
    "reg_no": "registration number",
    "order_ref": "order it rests on",
    "own_ground": "own ground",
    "packet_seeds": "number of seeds out of the packet",
    "per": "number to a bunch",
    "per_gram": "number of seeds to a gram",
    "ref": "entry it rests on",
    "rh_pct": "humidity",
    "risk_pct": "risk",
    "seed_lot": "lot of the seed",
    "set_out_on": "day to plant out",
    "size_in": "size",
    "source": "place it comes from",
    "sow_on": "day to sow",
    "spare_pct": "spare",
    "stands": "plantings that stand",
    "there": "number there already",
    "threshold_f": "temperature of the frost",
    "until_on": "last day",
    "was": "entry as it was",
    "what": "room or part",
    "where": "place",
    "who": "buyer",
    "width_in": "width",
    "winters": "zone of the winters",
    "wires": "number of wires",
    "zone": "time zone",
}
"""Field -> what it is called to her, where that is not its name with a space for each underscore."""
MEASURED: Mapping[str, tuple[str, Callable[[float], str]]] = {
    "threshold_f": ("F", told_frost),
    "f": ("F", told_degrees),
    "feet": ("ft", told_feet),
    "in": ("in", told_size),
    "inches": ("in", told_rain),
    "mph": ("mph", told_wind),
    "gallons": ("gal", told_water),
}
"""The end of a field's name -> the unit in which its number is kept, and how it is told, with the farm's own."""
_UNITS = {"pct": "%", "rh": "%", "grams": "g"}
"""The end of the name of any other field -> the unit of its number."""
_OfEnd = TypeVar("_OfEnd")


def of_end(field: str, ends: Mapping[str, _OfEnd]) -> _OfEnd | None:
    return next((found for end, found in ends.items() if field == end or field.endswith(f"_{end}")), None)


def unit_beside(field: str) -> str:
    return f" {unit}" if (unit := of_end(field, _UNITS)) else ""


def unit_of(field: str) -> str:
    """The unit in which a field's number is kept: "F", "ft", "%"; "" where its name says none."""
    measured = of_end(field, MEASURED)
    return measured[0] if measured else of_end(field, _UNITS) or ""


def field_words(field: str) -> str:
    """What a field is called in a sentence to her."""
    return _FIELD_WORDS.get(field) or shortly(field.replace("_", " "))


def shortly(text: str) -> str:
    """The text without what a terminal obeys, and no longer than a code."""
    return clean(str(text))[:CODE_LONGEST]
