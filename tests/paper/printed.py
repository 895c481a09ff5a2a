"""A printed page, looked at by other programs: letters and lines by where they stand, codes by a reader of codes."""

from __future__ import annotations

import io
from typing import Any, NamedTuple

import pdfplumber
import pypdfium2
import zxingcpp
from PIL import Image

MM = 25.4 / 72
DPI = 200


class Word(NamedTuple):
    """A word and its frame, in millimetres from the top left corner."""

    text: str
    x: float
    y: float
    to_x: float
    to_y: float


class Seen(NamedTuple):
    """A page: its size in millimetres, its text line by line, its words, its frames and its thin lines."""

    width: float
    height: float
    text: str
    words: list[Word]
    frames: list[Word]
    lines: list[Word]


def seen(data: bytes) -> list[Seen]:
    """Every page of a PDF."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return [_seen(page) for page in pdf.pages]


def _seen(page: Any) -> Seen:
    words = [_frame(w, w["text"]) for w in page.extract_words(keep_blank_chars=True, x_tolerance=4)]
    text = page.extract_text() or ""
    return Seen(
        float(page.width) * MM,
        float(page.height) * MM,
        text,
        words,
        [_frame(r) for r in page.rects if r["stroke"]],
        [_frame(r) for r in page.lines],
    )


def _frame(found: Any, text: str = "") -> Word:
    return Word(text, *(float(found[side]) * MM for side in ("x0", "top", "x1", "bottom")))


def drawn(data: bytes, page: int = 0, dpi: int = DPI) -> Image.Image:
    """A page as a printer of so many dots draws it."""
    return pypdfium2.PdfDocument(data)[page].render(scale=dpi / 72).to_pil().convert("L")


class Scanned(NamedTuple):
    """A code that was read, and its dark part in millimetres."""

    text: str
    x: float
    y: float
    to_x: float
    to_y: float


def scanned(data: bytes, page: int = 0, dpi: int = DPI) -> list[Scanned]:
    """Every code on a page that a reader of codes reads, from the top left on."""
    found = []
    for code in zxingcpp.read_barcodes(drawn(data, page, dpi)):
        assert code.format == zxingcpp.BarcodeFormat.QRCode or "QR" in str(code.format)
        corners = [code.position.top_left, code.position.bottom_right]
        (x, y), (to_x, to_y) = ((c.x * 25.4 / dpi, c.y * 25.4 / dpi) for c in corners)
        found.append(Scanned(code.text, x, y, to_x, to_y))
    return sorted(found, key=lambda code: (round(code.y), code.x))
