"""What is in a piece, back to the lots, the beds and the seed."""

from __future__ import annotations

from dataclasses import dataclass

from core.codes import canonical
from core.farm import Farm, Piece
from core.problems import Problem
from core.text import clean


@dataclass(frozen=True, slots=True)
class TracedPart:
    """Stems in a piece: the lot, and the bed, planting, tray and days it goes back to."""

    lot: str
    stems: int
    source: str
    crop: str | None
    variety: str | None
    cut_on: str | None
    bed: str | None
    planting: str | None
    out_on: str | None
    tray: str | None
    sown: str | None


@dataclass(frozen=True, slots=True)
class Trace:
    """What is in pieces made together, back to the seed."""

    piece: str
    recipe: str
    made_on: str
    count: int
    stems: tuple[TracedPart, ...]
    makings: tuple[tuple[str, float], ...]


def trace_called(farm: Farm, code: str) -> Trace | Problem:
    """What is in the pieces of a code ("m1" will do)."""
    piece = farm.pieces.get(canonical(code) or code)
    return trace(farm, piece) if piece else Problem(f"The book has no pieces {clean(code)}.", "unknown")


def trace(farm: Farm, piece: Piece) -> Trace:
    """Pieces back to their lots, beds and sowings."""
    return Trace(
        piece.code,
        piece.recipe,
        piece.made_on,
        piece.count,
        tuple(_traced(farm, lot, source, stems) for lot, source, stems in piece.stems),
        tuple((name, count) for name, count in piece.makings),
    )


def _traced(farm: Farm, code: str, source: str, stems: int) -> TracedPart:
    lot = farm.lots.get(code)
    planting = farm.plantings.get(lot.planting) if lot is not None and lot.planting else None
    return TracedPart(
        code,
        stems,
        source,
        lot.crop if lot else None,
        lot.variety if lot else None,
        lot.cut_on if lot else None,
        lot.bed if lot else None,
        planting.code if planting else None,
        planting.out_on if planting else None,
        planting.tray if planting else None,
        planting.sown if planting else None,
    )
