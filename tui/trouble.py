"""What nobody foresaw and stops the screen: one plain sentence for her, the rest in the farm's error.log."""

from __future__ import annotations

from pathlib import Path


def sentence(kept: Path | None) -> str:
    """What she is told."""
    where = f" What went wrong is kept in {kept}." if kept else ""
    return f"shedbook met a fault of its own and had to stop; all that said 'written' is in the book.{where}"
