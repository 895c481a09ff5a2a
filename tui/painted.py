"""What the toolkit has painted anew, as pieces of rows."""

from __future__ import annotations

from collections.abc import Iterator

from textual._compositor import ChopsUpdate, LayoutUpdate
from textual.strip import Strip

from tui.paint import Piece
from tui.styles import numbers_of


def painted(update: LayoutUpdate | ChopsUpdate) -> Iterator[Piece]:
    """Each piece that was painted, from the top, from the left."""
    if isinstance(update, LayoutUpdate):
        for y, strips in enumerate(update.strips, update.region.y):
            x = update.region.x
            for strip in strips:
                yield _piece(y, x, strip)
                x += strip.cell_length
        return
    for y in sorted({y for y, _, _ in update.spans}):
        for x, painted_strip in update.chops[y].items():
            if painted_strip is not None:  # else nothing there was asked for
                yield _piece(y, x, painted_strip)


def _piece(y: int, x: int, strip: Strip) -> Piece:
    parts = [(part.text, numbers_of(part.style)) for part in strip if not part.control]
    return Piece(y, x, strip.cell_length, parts)
