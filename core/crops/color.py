"""Whether a variety is of a color that was said: "blue" is any variety with that word in its name."""

from __future__ import annotations


def is_of_color(variety: str | None, said: str | None) -> bool:
    """Whether every word that was said stands in the variety's name: "apricot" takes an "Apricot Blush" too; where
    nothing was said, any variety will do."""
    return set((said or "").lower().split()) <= set((variety or "").lower().split())


MIXED = ("mixed", "mix", "assorted")


def no_color(variety: str | None) -> str:
    """Why a variety is of no one color that could be asked for: "mixed", "no color said"; "" where it may be of one."""
    if not variety:
        return "no color said"
    return "mixed" if set(variety.lower().split()) & set(MIXED) else ""
