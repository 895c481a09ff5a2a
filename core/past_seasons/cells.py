"""The cells of a table read: days, counts, money, as people write them; what may be meant two ways is refused."""

from __future__ import annotations

import re
from datetime import date

from core.kinds import COUNT_MOST
from core.patterns import pattern
from core.problems import Problem
from core.text import clean
from core.units import MONTHS, day_from_iso, is_farm_day

_SLASHED = pattern(r"([0-9]{1,2})[/.]([0-9]{1,2})[/.]([0-9]{4})")
_NAMED = pattern(r"(?:([0-9]{1,2})[. ]+)?([A-Za-z]{3,9})\.?(?: ([0-9]{1,2}),?)? ([0-9]{4})")
_COUNT = pattern(r"[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+")
_WHOLE = pattern(r"[.][0]+$")
_MONEY = pattern(
    r"[$£€]? ?(?:([0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.([0-9]{1,2}))?|([0-9]+),([0-9]{2}))(?: ?[$£€])?"
)


def read_day(text: str, *, day_first: bool) -> date | Problem:
    """A day: 2024-06-23, 6/23/2024 (the day first where told so), 23.6.2024, 23 June 2024, June 23, 2024."""
    text = text.strip()
    found = day_from_iso(text)
    if found is None and (slashed := _SLASHED.fullmatch(text)):
        one, two, year = (int(part) for part in slashed.groups())
        day, month = (one, two) if day_first or "." in text else (two, one)
        found = _a_day(year, month, day)
        if found is None and _a_day(year, day, month):
            other = "month" if day_first or "." in text else "day"
            return Problem(
                f"'{clean(text)}' is no day with the {other} second: --day-first or --month-first says which"
            )
    if found is None and (named := _NAMED.fullmatch(text)):
        month = next((n for n, name in enumerate(MONTHS, 1) if named[2].lower().startswith(name.lower())), 0)
        found = _a_day(int(named[4]), month, int(named[1] or named[3] or 0))
    if found is None or not is_farm_day(found.isoformat()):
        return Problem(f"'{clean(text)[:24]}' is no day, such as 2024-06-23")
    return found


def _a_day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def read_count(text: str) -> int | Problem:
    """A whole number: 40, 1,200, 40.0."""
    plain = _WHOLE.sub("", text.strip())
    if not _COUNT.fullmatch(plain) or int(plain.replace(",", "")) > COUNT_MOST:
        return Problem(f"'{clean(text)[:24]}' is no whole number")
    return int(plain.replace(",", ""))


def read_number(text: str) -> float | Problem:
    """A number from 0: 25, 12.5."""
    found = re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,4})?", text.strip())
    if found is None:
        return Problem(f"'{clean(text)[:24]}' is no number")
    return float(text)


def read_cents(text: str) -> int | Problem:
    """Money in cents: 12, 12.50, $1,234.50, 12,50."""
    found = _MONEY.fullmatch(text.strip())
    if found is None:
        return Problem(f"'{clean(text)[:24]}' is no amount of money, such as 12.50")
    whole, cents = (
        (found[1].replace(",", ""), (found[2] or "0").ljust(2, "0")) if found[1] else (found[3], found[4])
    )
    total = int(whole) * 100 + int(cents)
    if total > COUNT_MOST:
        return Problem(f"'{clean(text)[:24]}' is too much money")
    return total
