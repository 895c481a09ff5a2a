"""Makings: wire, tape, rings, ribbon and whatever else is bought for the bench."""

from core.subject import Subject

SUBJECT = Subject(
    title="Makings",
    kinds=("bought", "stocktake", "spent", "reorder"),
    verbs={"bought": ("bought", "buy"), "count": ("count", "counted"), "reorder": ("reorder",)},
    rows=("making",),
    asks=("to_buy",),
    keeps=("reorder",),
)
