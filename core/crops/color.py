"""Whether a variety is of a color that was said: "blue" is any variety with that word in its name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar


class OfVariety(Protocol):
    """What is of a variety, or of none that was said."""

    @property
    def variety(self) -> str | None: ...


T = TypeVar("T", bound=OfVariety)


def is_of_color(variety: str | None, said: str | None) -> bool:
    """Whether every word that was said stands in the variety's name: "apricot" takes an "Apricot Blush" too; where
    nothing was said, any variety will do."""
    return set((said or "").lower().split()) <= set((variety or "").lower().split())


def called_so(things: Iterable[T], said: str | None) -> list[T]:
    """Those of the things that a line means by a variety: of just that name, else all with every word of it in theirs;
    all of them where nothing was said."""
    every = list(things)
    just = [thing for thing in every if said and (thing.variety or "").lower() == said.lower()]
    return just or [thing for thing in every if is_of_color(thing.variety, said)]


MIXED = ("mixed", "mix", "assorted")


def no_color(variety: str | None) -> str:
    """Why a variety is of no one color that could be asked for: "mixed", "no color said"; "" where it may be of one."""
    if not variety:
        return "no color said"
    return "mixed" if set(variety.lower().split()) & set(MIXED) else ""


def in_full(said: str | None, name: str | None) -> str | None:
    """The variety that a line means by what it said of something called `name`: that name where nothing was said, or
    where it has all of that in it and is no mixture, of which what was said is a part."""
    is_meant = not said or (is_of_color(name, said) and not no_color(name))
    return name if is_meant else said
