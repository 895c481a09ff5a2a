"""Values laid out as lines that fit a width. Knows nothing of the toolkit."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from core.text import clean
from core.units import day_from_iso, hours_text, short_day

if TYPE_CHECKING:
    from core.shed.air import AirNow

Span = tuple[str, str]
"""Text and its look (a name of `look.STYLES`)."""
Line = tuple[Span, ...]
"""One line of the screen."""

MARK = 2
"""Columns before a row, for the cursor."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list. The cursor holds on to its `key` ("": it passes by); `kind` says which keys work."""

    key: str
    line: Line
    kind: str = ""
    value: Any = None


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: `width` 0 takes what is left; shown in lists from `least` columns."""

    head: str
    width: int
    right: bool = False
    least: int = 0


def cells(text: str) -> int:
    """Terminal columns that `text` takes."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text
    )


def fit(text: str, width: int, *, right: bool = False) -> str:
    """`text`, cleaned, in exactly `width` columns; what is cut ends in "..", unless it is very narrow."""
    text = clean(text)
    if cells(text) > width:
        tail = ".." if width > 6 else ""
        while text and cells(text) > width - len(tail):
            text = text[:-1]
        text = text.rstrip() + tail
    space = " " * (width - cells(text))
    return space + text if right else text + space


def table_line(columns: Sequence[Column], texts: Sequence[str], width: int) -> str:
    """One line of a table, `width` columns wide at most."""
    shown = [(c, t) for c, t in zip(columns, texts, strict=True) if width >= c.least]
    fixed = sum(c.width for c, _ in shown) + len(shown) - 1
    left = max(width - fixed, 4)
    parts = [fit(t, c.width or left, right=c.right) for c, t in shown]
    return " ".join(parts)[:width].rstrip()


def head_line(columns: Sequence[Column], width: int) -> str:
    """The line above a table."""
    return table_line(columns, [c.head for c in columns], width)


def wrap(text: str, width: int, *, most: int = 99, indent: str = "  ") -> list[str]:
    """`text` in lines of `width`, `most` of them; cut text ends in "..."."""
    lines = textwrap.wrap(clean(text), max(width, 10), subsequent_indent=indent, break_long_words=True)
    if len(lines) > most:
        lines = lines[:most]
        lines[-1] = lines[-1][: width - 4].rstrip() + " ..."
    return lines


def plain(texts: Iterable[str], look: str = "") -> list[Line]:
    """Lines in one look."""
    return [((text, look),) for text in texts]


def in_days(days: int | None) -> str:
    """How a day ahead is said in a narrow column: "in 6 d", "today", "3 d ago"."""
    if days is None:
        return ""
    if days == 0:
        return "today"
    return f"in {days} d" if days > 0 else f"{-days} d ago"


def near_day(iso: str | None, today: date) -> str:
    """ "today", "23 Jun", or "since 3 Jun" for a day gone by."""
    day = day_from_iso(iso) if iso else None
    if day is None:
        return ""
    if day == today:
        return "today"
    return short_day(day) if day > today else f"since {short_day(day)}"


def ladder_bar(step: int, steps: int) -> str:
    """ "####---- 4/8"."""
    return f"{'#' * step}{'-' * (steps - step)} {step}/{steps}"


def because(why: str | Iterable[str]) -> str:
    """The reasons as one text that begins with "because"; "" where there are none."""
    reasons = [why] if isinstance(why, str) else why
    text = "; ".join(reason.rstrip(".") for reason in reasons if reason)
    return f"because {text}" if text else ""


def air_text(room: AirNow) -> str:
    """ "shed 72 F, 55 % RH, 4 h ago"; "" where it was never read."""
    last = room.reading
    if last is None:
        return ""
    seen = [
        f"{last.f:.0f} F" if last.f is not None else "",
        f"{last.rh:.0f} % RH" if last.rh is not None else "",
    ]
    ago = "" if last.hours_ago < 1 else f"{hours_text(last.hours_ago)} ago"
    return f"{room.room} {', '.join(filter(None, (*seen, ago)))}"
