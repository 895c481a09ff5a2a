"""What stands on a page of paper, as values: millimetres from its top left corner, letters in points."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

MM_PER_POINT = 25.4 / 72
QUIET = 4
"""Blank modules that a code wants on every side (ISO/IEC 18004, by the maker's guide: qrcode.com, "margin")."""


class Text(NamedTuple):
    """Letters of `size` points on the baseline `y`, from `x` on, or ending there. What is wider than `room` (0: as wide
    as it comes) is made smaller, and cut off only where that is not enough."""

    x: float
    y: float
    size: float
    text: str
    room: float = 0
    align: Literal["left", "right"] = "left"


class Box(NamedTuple):
    """A frame, as for a count or a tick; `is_gray` fills it faintly."""

    x: float
    y: float
    width: float
    height: float
    is_gray: bool = False


class Rule(NamedTuple):
    """A thin line."""

    x: float
    y: float
    to_x: float
    to_y: float


class Code(NamedTuple):
    """A QR code whose dark part begins at `x`, `y`, with modules of `module` mm; QUIET of them around it stay blank."""

    x: float
    y: float
    module: float
    text: str


Mark: TypeAlias = Text | Box | Rule | Code


class Page(NamedTuple):
    """One page."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def height_of(size: float) -> float:
    """Millimetres from one line of that size to the next."""
    return size * MM_PER_POINT * 1.2
