"""Pages as a PDF: the same bytes from the same pages, every European letter whole, codes drawn as squares.

The one module that loads reportlab and segno.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import segno
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from core.dialect import in_words
from core.paper.marks import MM_PER_POINT, Box, Code, Page, Rule, Text
from core.problems import Problem
from core.text import clean

FONT = "DejaVuSans-European"
"""Latin, Greek, Cyrillic, Armenian and Georgian of DejaVu Sans: what a font of the PDF standard lacks of these would be
printed as a black box, without a word."""
OURS = b"/Creator (shedbook)"
"""Stands in every PDF that is made here."""
SMALLEST = 7.0
"""Points: what is smaller cannot be read on a wet label (ours)."""
THIN = 0.4
GRAY = 0.85


def pdf(pages: Sequence[Page]) -> bytes | Problem:
    """The pages as bytes; a Problem where a letter is in no font that we have."""
    font = _font()
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Text) and (missing := _missing(font, _shown(mark.text))):
                return Problem(
                    f"'{clean(mark.text)[:40]}' has a letter that cannot be printed, {missing} "
                    f"(U+{ord(missing):04X}): write it in Latin, Greek or Cyrillic letters.",
                    "impossible",
                )
    out = BytesIO()
    canvas: Any = Canvas(out, invariant=1)
    canvas.setTitle("shedbook")
    canvas.setCreator("shedbook")
    for page in pages:
        canvas.setPageSize((page.width / MM_PER_POINT, page.height / MM_PER_POINT))
        for mark in page.marks:
            _draw(canvas, page.height, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@cache
def _font() -> Any:
    font = TTFont(FONT, str(Path(__file__).parent / "data" / f"{FONT}.ttf"))
    pdfmetrics.registerFont(font)
    return font


def _shown(text: str) -> str:
    """As it is printed: in her words, with composed letters."""
    return unicodedata.normalize("NFC", in_words(clean(text)))


def _missing(font: Any, text: str) -> str:
    """The first letter that the font lacks, "" where it has all."""
    return next((c for c in text if ord(c) not in font.face.charToGlyph), "")


def _draw(canvas: Any, height: float, mark: Text | Box | Rule | Code) -> None:
    if isinstance(mark, Text):
        _write(canvas, height, mark)
    elif isinstance(mark, Box):
        canvas.setLineWidth(THIN)
        canvas.setFillGray(GRAY)
        _rect(canvas, height, mark.x, mark.y, mark.width, mark.height, stroke=1, fill=int(mark.is_gray))
        canvas.setFillGray(0)
    elif isinstance(mark, Rule):
        canvas.setLineWidth(THIN)
        ends = (mark.x, height - mark.y, mark.to_x, height - mark.to_y)
        canvas.line(*(end / MM_PER_POINT for end in ends))
    else:
        for y, row in enumerate(modules(mark.text)):
            for start, end in _runs(row):
                x = mark.x + start * mark.module
                _rect(
                    canvas,
                    height,
                    x,
                    mark.y + y * mark.module,
                    (end - start) * mark.module,
                    mark.module,
                    fill=1,
                )


def _rect(
    canvas: Any,
    height: float,
    x: float,
    y: float,
    width: float,
    tall: float,
    *,
    stroke: int = 0,
    fill: int = 0,
) -> None:
    left, bottom, wide, high = (v / MM_PER_POINT for v in (x, height - y - tall, width, tall))
    canvas.rect(left, bottom, wide, high, stroke=stroke, fill=fill)


def _write(canvas: Any, height: float, mark: Text) -> None:
    size, text = fitted(_shown(mark.text), mark.size, mark.room)
    canvas.setFont(_font().fontName, size)
    draw = canvas.drawRightString if mark.align == "right" else canvas.drawString
    draw(mark.x / MM_PER_POINT, (height - mark.y) / MM_PER_POINT, text)


def fitted(text: str, size: float, room: float) -> tuple[float, str]:
    """(points, text) that is no wider than `room` millimetres: smaller down to SMALLEST, then cut, ending in ".."."""
    wide = _width(text, size)
    if not room or wide <= room:
        return size, text
    size = max(size * room / wide, min(SMALLEST, size))
    if _width(text, size) <= room + 1e-6:
        return size, text
    while text and _width(f"{text}..", size) > room:
        text = text[:-1]
    return size, f"{text.rstrip()}.."


def _width(text: str, size: float) -> float:
    return float(_font().stringWidth(text, size)) * MM_PER_POINT


@cache
def modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of a QR code of at least medium error correction; never the tiny kind, which phones do not read."""
    made = segno.make_qr(text, error="m")
    return tuple(tuple(bool(module) for module in row) for row in made.matrix)


def _runs(row: Sequence[bool]) -> list[tuple[int, int]]:
    """Where dark modules follow one another: from, and up to which."""
    found: list[tuple[int, int]] = []
    for x, is_dark in enumerate(row):
        if is_dark and found and found[-1][1] == x:
            found[-1] = found[-1][0], x + 1
        elif is_dark:
            found.append((x, x + 1))
    return found
