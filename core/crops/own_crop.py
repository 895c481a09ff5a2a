"""A crop of the farm's own, which the library lacks: its sheet from what was told of it, and from one like it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.crops.library import derive_sowing, is_in_library, own_figures
from core.crops.sheet import Figure, HardinessClass, Sheet
from core.farm import Farm
from core.problems import Problem

HARDY_CYCLES = ("hardy", "perennial", "biennial", "shrub", "bulb", "corm")
"""What the kind of plant begins with where a crop whose hardiness nobody told is taken for hardy (common practice)."""


def make_it_yours(name: str) -> str:
    """The sentence that says how a name which no crop has becomes one."""
    return f"To make it yours: crop {name} annual (or perennial, or like zinnia)."


def own_names(farm: Farm) -> tuple[str, ...]:
    """The crops of the farm's own by name, and what stands, grows or lies here though nothing tells any more what it
    is: its line was taken back."""
    held = {it.crop for kept in (farm.trays, farm.plantings, farm.lots) for it in kept.live()}
    return (*farm.crops, *(crop for crop in sorted(held.difference(farm.crops)) if not is_in_library(crop)))


def own_sheet(crop: str, like: Sheet | None, own: Mapping[str, tuple[str, str]]) -> Sheet | Problem:
    """The sheet of a crop of the farm's own: its `own` figures, and for all others those of the crop it is `like`.

    Where nobody told its hardiness, it is taken from its kind of plant, else for tender: too careful rather than not.
    """
    taken = like.figures() if like is not None else {}
    library: dict[str, Figure[Any]] = {
        name: Figure(figure.value, f"like {like.crop}") for name, figure in taken.items() if like is not None
    }
    if "derived" in getattr(taken.get("sow_weeks_before"), "source", ""):
        del library["sow_weeks_before"]
    figures = own_figures(crop, library, own)
    if isinstance(figures, Problem):
        return figures
    if "hardiness" not in figures:
        figures["hardiness"] = _assumed(figures)
    if "sow_weeks_before" not in figures:
        derive_sowing(figures)
    return Sheet(
        crop=crop,
        way=None,
        title=crop,
        botanical="",
        sources=like.sources if like is not None else (),
        notes="",
        clashes=(),
        own_like=like.crop if like is not None else "",
        **figures,
    )


def _assumed(figures: Mapping[str, Figure[Any]]) -> Figure[HardinessClass]:
    cycle = figures["life_cycle"].value if "life_cycle" in figures else ""
    if cycle.startswith(("half-hardy", "tender")):
        return Figure("half-hardy" if cycle.startswith("half") else "tender", "by its kind of plant")
    if cycle.startswith(HARDY_CYCLES):
        return Figure("hardy", "by its kind of plant: common practice")
    return Figure("tender", "not told: taken for tender, to be on the safe side")
