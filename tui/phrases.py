"""Small values in few words, as they are told on the screen and on the page."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from core.dialect import told_reading
from core.text import wrap
from core.units import day_from_iso, hours_text, short_day
from tui.table import Line

if TYPE_CHECKING:
    from core.shed.air import AirNow

MARK = 2
"""Columns before a row, for the cursor."""


def plain(texts: Iterable[str], look: str = "") -> list[Line]:
    """Lines in one look."""
    return [((text, look),) for text in texts]


def strip(width: int, *texts: tuple[str, str]) -> list[Line]:
    """The (text, look) pairs as lines of the strip under a list, wrapped."""
    lines: list[Line] = []
    for text, look in texts:
        if text:
            lines += plain(wrap(text, width + MARK, hang=2), look)
    return lines


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


def share_bar(share: float, width: int) -> str:
    """ "####----": how much of something is done."""
    done = min(max(int(share * width + 0.5), 0), width)
    return "#" * done + "-" * (width - done)


SCALE_BACK, SCALE_DAYS, SCALE_WIDTH = 8, 24, 12
"""A scale of days in a row: from so many days ago, over so many, in so many columns; the same for every row."""


SCALE_HEAD = "late|to come"
"""What stands over it, today's mark over today's mark."""


def days_scale(first: int, last: int) -> str:
    """ "----|==-----": the days from `first` to `last`, counted from today, with today marked; "==!!|-------" where all
    of them are gone by and it is late. An end beyond the scale is an arrow."""
    step = SCALE_DAYS / SCALE_WIDTH
    ends = [int((day + SCALE_BACK) // step) for day in (first, last)]
    marks = ["-"] * SCALE_WIDTH
    for n in range(max(ends[0], 0), min(ends[1], SCALE_WIDTH - 1) + 1):
        marks[n] = "="
    today = int(SCALE_BACK // step)
    for n in range(max(ends[1] + 1, 0), today):
        marks[n] = "!"
    marks[today] = "|"
    if ends[1] < 0:
        marks[0] = "<"
    if ends[1] >= SCALE_WIDTH:
        marks[-1] = ">"
    return "".join(marks)


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
        told_reading(last.f) if last.f is not None else "",
        f"{last.rh:.0f} % RH" if last.rh is not None else "",
    ]
    ago = "" if last.hours_ago < 1 else f"{hours_text(last.hours_ago)} ago"
    return f"{room.room} {', '.join(filter(None, (*seen, ago)))}"
