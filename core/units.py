"""Dates, weeks, instants and small numbers: read from text and printed back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from functools import lru_cache
from pathlib import Path

from core.clocks import zone_called
from core.patterns import pattern
from core.units_told import MOST_TOLD

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ID_SHOWN = 8
"""Characters at the end of an id by which an entry is named to people."""

_ISO_DAY = pattern(r"\d{4}-\d{2}-\d{2}")
_MONTH_DAY = pattern(r"(\d{2})-(\d{2})")
_CLOCK = pattern(r"([01][0-9]|2[0-3]):[0-5][0-9]")


@lru_cache(maxsize=4096)  # a book has few days, and many entries on each
def day_from_iso(text: str) -> date | None:
    """The day in "YYYY-MM-DD", or None where the text is no such day."""
    if not _ISO_DAY.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


YEARS = (1700, 2299)
"""Years of a day in a book: from before any weather record to where no plan of a farm reaches."""
_days_known: set[str] = set()
"""Days found to be good ones: a book has few, and many entries on each."""


def is_farm_day(text: str) -> bool:
    """Whether the text is a day "YYYY-MM-DD" that a farm may have seen or plan for."""
    if text in _days_known:
        return True
    day = day_from_iso(text)
    if day is None or not YEARS[0] <= day.year <= YEARS[1]:
        return False
    _days_known.add(text)
    return True


def month_day(text: str, year: int) -> date | None:
    """The day of `year` in "MM-DD"; 29 February becomes the 28th in a common year; None if unreadable."""
    found = _MONTH_DAY.fullmatch(text)
    if not found:
        return None
    month, day = int(found[1]), int(found[2])
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, 2, 28) if (month, day) == (2, 29) else None


def tidy(value: float) -> float:
    """A count without needless decimals: whole numbers as such, others to a thousandth."""
    return int(value) if value == int(value) else round(value, 3)


def is_clock(text: str) -> bool:
    """Whether `text` is a time of day such as "06:40"."""
    return _CLOCK.fullmatch(text) is not None


def weeks(count: float) -> timedelta:
    """`count` weeks as whole days (half weeks round to the nearest day)."""
    return timedelta(days=round(count * 7))


def short_day(day: date) -> str:
    """ "23 Jun": how a day is written where the year is plain."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def long_day(day: date) -> str:
    """ "Tue 23 Jun 2026"."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def day_text(iso: str | None) -> str:
    """ "23 Jun" of "2026-06-23"; "" for no day."""
    day = day_from_iso(iso) if iso else None
    return short_day(day) if day else ""


def dated_text(iso: str | None) -> str:
    """ "23 Jun 2026" of "2026-06-23": how a day is written that may be of another year; "" for no day."""
    day = day_from_iso(iso) if iso else None
    return f"{short_day(day)} {day.year}" if day else ""


def monday_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def hours_text(hours: float) -> str:
    """ "4 h"; from two days on in days: "3 days"."""
    return f"{hours:.0f} h" if hours < 48 else plural(round(hours / 24), "day")


def plural(count: int, one: str, many: str | None = None) -> str:
    """ "1 stem", "2 stems"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def middle(values: Iterable[float]) -> float:
    """The median of some values, at least one; `statistics` takes as long to load as a page to reckon."""
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def number(value: float) -> str:
    """A number without needless decimals: 5.0 -> "5", 5.333 -> "5.33"."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def plainly(value: float) -> str:
    """A figure as it is told back in a refusal, never with an exponent: 1e9 -> "1,000,000,000", 2.50 -> "2.5"."""
    if abs(value) > MOST_TOLD:
        return f"{'over ' if value > 0 else 'under -'}{MOST_TOLD:,.0f}"
    return f"{value:,.4f}".rstrip("0").rstrip(".")


def as_typed(value: float) -> str:
    """A figure as it is typed in a line: 1e9 -> "1000000000", 2.50 -> "2.5"."""
    return f"{value:.6f}".rstrip("0").rstrip(".")


def money(cents: int) -> str:
    """ "1,234.50" of 123450 cents."""
    return f"{cents / 100:,.2f}"


class Amount(float):
    """An amount of money as other programs read it: a number of two decimals, "1234.50"."""

    def __str__(self) -> str:
        return f"{float(self):.2f}"


def plain_money(cents: int | None) -> Amount | None:
    """The same as a number for other programs; None for a sum that is not known."""
    return None if cents is None else Amount(cents / 100)


def number_or_blank(value: float | None) -> str:
    """The same, "" for a number that is not known."""
    return "" if value is None else number(value)


def zone_of_machine() -> str:
    """The IANA name of this machine's time zone, "UTC" where it does not say."""
    try:
        target = Path("/etc/localtime").resolve().as_posix()
    except OSError:
        return "UTC"
    _, mark, name = target.partition("zoneinfo/")
    return name if mark and name and not name.startswith(("Etc/UTC", "UTC")) else "UTC"


def local_day(moment: datetime, zone: str) -> date:
    """The farm-local date of an instant, daylight saving included (unknown zones count as UTC)."""
    return moment.astimezone(zone_called(zone)).date()


def local_clock(moment: datetime, zone: str) -> str:
    """ "07:12": the farm-local time of an instant."""
    return moment.astimezone(zone_called(zone)).strftime("%H:%M")
