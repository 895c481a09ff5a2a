"""What a plan rests on where nothing else is said, each figure with where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from core.crops.sheet import Figure

COMMON = "common practice"

USUAL: Mapping[str, Figure[float]] = {
    "germination": Figure(0.80, "common practice; the packet's figure goes before it"),
    "survival": Figure(0.90, COMMON),
    "sure": Figure(0.95, COMMON),
    "rho": Figure(0.0, "seeds fail one by one"),
    "bed_emergence": Figure(0.60, COMMON),
    "bed_loss": Figure(0.05, COMMON),
    "cull": Figure(0.15, "10 to 25 % of fresh stems culled or unsold: common practice"),
    "drying_loss": Figure(0.10, "5 to 10 % of bunches: common practice"),
    "storage_loss": Figure(0.10, "5 to 10 % a year, as the time in store: common practice"),
    "finish_days": Figure(2, "steady two days running, then boxed: common practice"),
    "hold_days": Figure(3, "a few days to a week in the cooler [S22]; 3 is common practice"),
    "bed_width_in": Figure(36, COMMON),
}
"""Shares are from 0 to 1."""


def stems_to_take(stems: int, use: str) -> int:
    """Good stems to cut so that `stems` are left to hand over: some of those hung are lost in drying."""
    return stems if use == "fresh" else ceil(stems / (1 - USUAL["drying_loss"].value) - 1e-9)
