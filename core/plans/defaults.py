"""What a plan rests on where nothing else is said, each figure with where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from core.crops.sheet import Figure, Span

COMMON = "common practice"

USUAL: Mapping[str, Figure[float]] = {
    "germination": Figure(0.80, "common practice; the packet's figure goes before it"),
    "survival": Figure(0.90, COMMON),
    "sure": Figure(0.95, COMMON),
    "rho": Figure(0.0, "seeds fail one by one"),
    "bed_emergence": Figure(0.60, "fine seed drilled in a bed: common practice"),
    "large_emergence": Figure(0.80, "large seed drilled in a bed: common practice"),
    "bed_loss": Figure(0.05, COMMON),
    "cull": Figure(0.15, "10 to 25 % of fresh stems culled or unsold: common practice"),
    "drying_loss": Figure(0.07, "5 to 10 % of bunches: common practice"),
    "storage_loss": Figure(0.07, "5 to 10 % a year, as the time in store: common practice"),
    "finish_days": Figure(2, "steady two days running, then boxed: common practice"),
    "hold_days": Figure(3, "a few days to a week in the cooler [S22]; 3 is common practice"),
    "bed_width_in": Figure(36, COMMON),
}
"""Shares are from 0 to 1."""

RANGES: Mapping[str, Span] = {
    "germination": (0.70, 0.90),
    "survival": (0.80, 0.96),
    "bed_emergence": (0.45, 0.75),
    "large_emergence": (0.70, 0.90),
    "bed_loss": (0.02, 0.10),
    "cull": (0.10, 0.25),
    "drying_loss": (0.05, 0.10),
    "storage_loss": (0.05, 0.10),
}
"""Where the usual shares lie from season to season and lot to lot: eight times in ten (common practice). A share that
she has said is taken at her word."""

LARGE_SEED = 100
"""Seeds to a gram, and fewer, of seed that is large, as of sunflower and sweet pea: it comes up from deeper, and is
thinned less (common practice)."""
SPARE = 0.05
"""Room for so many plants more than would do if all of it were filled: so not every gap is made up by seed (common
practice)."""
FLUSHES: Span = (0.7, 1.35)
"""One flush beside what the usual shape of cutting gives it: light and heavy, eight times in ten (common
practice)."""
GIVE = {"days": 0.10, "weeks": 0.20, "stems": 0.25}
"""A figure of which only one number is known is the middle of a range of so much more and less (common practice)."""
FROST_DAYS = 12
"""The first autumn frost comes within so many days of its average four years in five, where only that is known: in
published freeze dates 14 days either way at Georgetown, Delaware (1970), 5 and 11 at Trinidad, Colorado (2019)."""
MOST_WEEKS = 60
"""No weekly wish goes on for longer."""
LONGEST_HOLD = 7
"""No fresh stem is counted on for longer in the cooler, whatever its sheet bears [S22]."""


def about_one(span: Span, sort: str) -> Span:
    """A range of a sheet; where it has only one number, so much more and less as `GIVE` has for that sort."""
    least, most = span
    return span if least < most else (most * (1 - GIVE[sort]), most * (1 + GIVE[sort]))


def stems_to_take(stems: int, use: str) -> int:
    """Good stems to cut so that `stems` are left to hand over: some of those hung are lost in drying."""
    return stems if use == "fresh" else ceil(stems / (1 - USUAL["drying_loss"].value) - 1e-9)
