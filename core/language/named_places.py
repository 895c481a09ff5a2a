"""Lines, boxes, bucket, cooler and bench named in a line, and which is meant where none is named."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from core.farm import Farm, Lot
from core.language.line import Line, Refused
from core.language.tokens import Token
from core.language.words import NUMBER_WORDS, is_keyword
from core.patterns import pattern
from core.places import BENCH, BUCKET, COOLER, Place, in_place

_PLACE_NAME = pattern(r"[0-9]{1,3}[a-z]?|[a-z]{1,12}")
_BOX_NUMBER = pattern(r"[0-9]{1,4}[a-z]?|[a-z]")
PLACE_GLUED = pattern(r"(line|box)([0-9]{1,3})")
"""A place written as one word: "line2"."""


def take_places(line: Line) -> list[tuple[str, Place]]:
    """("from" | "to" | "", place) for every "line 2", "box 7", "bucket", "cooler" and "bench" of the line."""
    found = []
    for token in line.free():
        if token.taken or not token.is_word:
            continue
        before = line.after(token, -1)
        place = _place(line, token)
        if place:
            token.taken = True
            role = before.low if before is not None and before.low in ("from", "to", "into") else ""
            found.append(("to" if role == "into" else role, place))
    return found


def _place(line: Line, token: Token) -> Place | None:
    if token.low in (BUCKET, COOLER, BENCH):
        return Place(token.low)
    if glued := PLACE_GLUED.fullmatch(token.low):
        return Place(f"{glued[1]} {glued[2]}")
    if token.low not in ("line", "box"):
        return None
    name = line.after(token)
    wanted = _PLACE_NAME if token.low == "line" else _BOX_NUMBER
    if (
        name is None
        or name.quoted
        or not wanted.fullmatch(name.low)
        or (name.unit and not _holds_something(line.farm, f"{token.low} {name.low}"))
        or is_keyword(name.low)
    ):
        if token.low == "line":
            raise Refused("Which line? Write its number after it: line 2.")
        return None
    if name.low in NUMBER_WORDS:
        raise Refused(f"Write the number of the {token.low} in figures: {token.low} 2.")
    name.taken = True
    return Place(f"{token.low} {name.low}")


def is_box(line: Line, token: Token) -> bool:
    """Whether the word "box" has its number after it, and so is a place."""
    name = line.after(token)
    if name is None or name.quoted or not _BOX_NUMBER.fullmatch(name.low):
        return False
    return not name.unit or _holds_something(line.farm, f"box {name.low}")


def _holds_something(farm: Farm, place: str) -> bool:
    """Whether something lies there: "3b" is a place only where there is one, else three bunches."""
    return (
        place in farm.boxes or place in farm.lines or any(place in lot.holdings for lot in farm.lots.live())
    )


def one_place(line: Line, what: str) -> Place | None:
    """The one place named in the line, or None."""
    places = take_places(line)
    if len(places) > 1:
        raise Refused(f"{places[0][1]} and {places[1][1]}: which {what}? Write one.", "ambiguous")
    return places[0][1] if places else None


def source_of(lot: Lot, named: Place | None, may: Callable[[Place], bool] = lambda place: True) -> Place:
    """Where the lot's stems are taken from: the place named, or the one place (that `may`) where they are."""
    if named is not None:
        if named not in lot.holdings:
            raise Refused(
                f"{lot.code} has nothing {in_place(named)}; it has {lot.whereabouts}.",
                "impossible",
                lot.holdings,
            )
        return named
    fit = [place for place, held in lot.holdings.items() if held.stems > 0 and may(place)]
    fit = [place for place in fit if not place.is_set_aside] or fit
    if len(fit) > 1:
        raise Refused(f"{lot.code} has {lot.whereabouts}: say which place.", "ambiguous", fit)
    if not fit:
        return next(iter(lot.holdings), BUCKET)
    return fit[0]


def last_place(farm: Farm, sort: Literal["line", "box"]) -> Place | None:
    """The line or the box that something went to last."""
    newest: tuple[str, Place] | None = None
    for lot in farm.lots.live():
        for place, held in lot.holdings.items():
            if place.sort == sort and (newest is None or held.since >= newest[0]):
                newest = (held.since, place)
    return newest[1] if newest else None


def place_or_last(line: Line, named: Place | None, sort: Literal["line", "box"]) -> Place:
    """The place named, else the line or box used last, else the first; what was assumed is remarked."""
    if named is not None:
        return named
    last = last_place(line.farm, sort)
    place = last or Place(f"{sort} 1")
    line.remark(f"{place}, as last time" if last else f"{place}, as none was named")
    return place
