"""The day a line speaks of: today unless it says otherwise, and never a day to come."""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import pairwise

from core.dialect import size_unit
from core.language.line import Line, Refused, short
from core.language.tokens import Token, part_of_one
from core.language.words import MONTHS, WEEKDAYS
from core.patterns import pattern
from core.units import day_from_iso, long_day, month_day

FIRST_YEAR = 1950
"""Days before this year are taken for a slip of the pen."""

MARCH = 3
DATED = "dated"
"""What the remark begins with that tells a line's day."""
YESTERDAY = ("yesterday", "yest", "yday", "y'day")
LAST = "last"
"""Before a day of the week: that which has gone by."""
PARTS_OF_TODAY = ("morning", "afternoon", "evening")
_ISO_LIKE = pattern(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}")
_MONTH_DAY_LIKE = pattern(r"[0-9]{2}-[0-9]{2}")
_EITHER_LIKE = pattern(r"[0-9]{1,2}-[0-9]{1,2}")
_SLASHED = pattern(r"([0-9]{1,2})/([0-9]{1,2})(?:/([0-9]{4}|[0-9]{2}))?")
_ORDINAL = pattern(r"([0-9]{1,2})(?:st|nd|rd|th)")
LATELY = 62
"""Days within which "6/10" may have been the day before the month: written late, but not much."""


def take_day(line: Line, *, dashed: bool = False) -> None:
    """Take the day words of the line and set `line.on`; refuse two days, no real day, or a day to come. `dashed`:
    "7-10" is a day too, where no range can stand."""
    found: list[tuple[date, str]] = []
    for token in line.free():
        if token.taken:
            continue
        day = _day_in(line, token)
        if day is None and dashed and not token.quoted and _EITHER_LIKE.fullmatch(token.low):
            ordered = _ordered(token.low, day_first=line.is_british)
            day = _without_year(ordered, token.low, line.today)
        if day:
            found.append((day, token.text))
            on = line.after(token, -1)
            if on and on.low == "on":
                on.taken = True
            token.taken = True
    if len(found) > 1:
        raise Refused(
            f"Two days are named, {found[0][1]} and {found[1][1]}: write one line for each.", "ambiguous"
        )
    if found:
        line.on = _past(found[0][0], line.today)
        line.remark(f"{DATED} {long_day(line.on)}")


def _past(day: date, today: date) -> date:
    if day > today:
        raise Refused(
            f"{long_day(day)} is a day to come: a line is written on its day or after, and today is "
            f"{long_day(today)}.",
            "impossible",
            (today.isoformat(),),
        )
    if day.year < FIRST_YEAR:
        raise Refused(f"{day.isoformat()} is too long ago: check the year.", "impossible")
    return day


def _day_in(line: Line, token: Token) -> date | None:
    """The day that `token` (with the number beside it) means, or None where it is no day word."""
    if token.quoted:
        return None
    if token.low == "tomorrow":
        return line.today + timedelta(days=1)
    if token.low in (*YESTERDAY, "today"):
        return line.today - timedelta(days=token.low in YESTERDAY)
    if token.low == "this" and (part := line.after(token)) is not None and part.low in PARTS_OF_TODAY:
        part.taken = True
        return line.today
    if token.low in WEEKDAYS:
        last = line.after(token, -1)
        if last is not None and last.low == LAST:
            last.taken = True
        elif WEEKDAYS[token.low] == line.today.weekday():
            week_ago = line.today - timedelta(days=7)
            raise Refused(
                f"Today is {line.today:%A}: leave the day out for today. Last week's is {week_ago.day} {week_ago:%B}.",
                "ambiguous",
                (f"{week_ago.day} {week_ago:%B}".lower(),),
            )
        back = (line.today.weekday() - WEEKDAYS[token.low] - 1) % 7 + 1
        return line.today - timedelta(days=back)
    if _ISO_LIKE.fullmatch(token.low):
        return day_from_iso(token.low) or _no_such_day(token.low)
    if _MONTH_DAY_LIKE.fullmatch(token.low):
        return _without_year(_ordered(token.low, day_first=line.is_british), token.low, line.today)
    if slashed := _SLASHED.fullmatch(token.low):
        return _slashed(slashed, line.today, day_first=line.is_british)
    if token.low in MONTHS and (named := take_named(line, token)):
        return _without_year(*named, line.today)
    return None


def day_said(line: Line, token: Token) -> date | None:
    """The day that a word (with the number beside it, which is taken) means, for a line that speaks of another day than
    its own; None where it is no day word."""
    return _day_in(line, token)


def take_named(line: Line, token: Token) -> tuple[str, str] | None:
    """("05-14", "14 may") for a month word with its day beside it, the day's number taken."""
    for beside in (line.after(token, -1), line.after(token, 1)):
        if beside and (number := _day_number(beside)):
            beside.taken = True
            month = MONTHS.get(token.low, MARCH)
            return f"{month:02d}-{number:02d}", f"{number} {token.low}"
    return None


def _day_number(token: Token) -> int | None:
    """14 of "14" or "14th"."""
    if isinstance(token.number, int) and not token.unit and 1 <= token.number <= 31:
        return token.number
    ordinal = None if token.quoted else _ORDINAL.fullmatch(token.low)
    return int(ordinal[1]) if ordinal and 1 <= int(ordinal[1]) <= 31 else None


def is_of_a_day(line: Line, token: Token) -> bool:
    """Whether the word says a day, or belongs to one that stands beside it ("22 june", "on monday")."""
    if token.quoted:
        return False
    if (
        token.low in ("yesterday", "today", "tomorrow", "on", *WEEKDAYS, *MONTHS)
        or _ISO_LIKE.fullmatch(token.low)
        or _MONTH_DAY_LIKE.fullmatch(token.low)
        or _SLASHED.fullmatch(token.low)
    ):
        return True
    beside = (line.after(token, -1), line.after(token, 1))
    if token.low == LAST and beside[1] is not None and beside[1].low in WEEKDAYS:
        return True
    return _day_number(token) is not None and any(t is not None and t.low in MONTHS for t in beside)


def _month_and_day(first: str, second: str, *, day_first: bool) -> tuple[int, int]:
    """(month, day) of "5/14": the month first, as in North America, or `day_first`; unless only the other way round is
    a day."""
    month, day = (int(second), int(first)) if day_first else (int(first), int(second))
    return (day, month) if month > 12 >= day else (month, day)


def _ordered(dashed: str, *, day_first: bool) -> str:
    """ "MM-DD" of "5-14", or of "14-5" where the day comes first."""
    month, day = _month_and_day(*dashed.split("-"), day_first=day_first)
    return f"{month:02d}-{day:02d}"


def _slashed(slashed: re.Match[str], today: date, *, day_first: bool = False) -> date:
    """The day of "5/14" or "5/14/2026"; asked where the day before the month would fit far better."""
    month, day = _month_and_day(slashed[1], slashed[2], day_first=day_first)
    if slashed[3]:
        year = int(slashed[3]) + (2000 if len(slashed[3]) == 2 else 0)
        return day_from_iso(f"{year:04d}-{month:02d}-{day:02d}") or _no_such_day(slashed[0])
    found = _without_year(f"{month:02d}-{day:02d}", slashed[0], today)
    turned = f"{day:02d}-{month:02d}" if day <= 12 else ""
    if turned and not 0 <= (today - found).days <= LATELY:
        other = _without_year(turned, slashed[0], today)
        if 0 <= (today - other).days <= LATELY:
            raise Refused(
                f"{slashed[0]} is {long_day(found)} here, the month first. Was it {long_day(other)}? Write its month "
                "in letters.",
                "ambiguous",
                (f"{other.day} {other:%B}".lower(),),
            )
    if part_of_one(slashed[0]) and not 0 <= (today - found).days <= LATELY:
        raise Refused(
            f"{slashed[0]} is {long_day(found)} here. An amount is written with its unit ({slashed[0]} "
            f"{size_unit()}) or as a "
            "decimal number, a day so far back with its month in letters.",
            "ambiguous",
            (f"{found.day} {found:%B}".lower(),),
        )
    return found


def _without_year(text: str, written: str, today: date) -> date:
    """This year's day; last year's where this year's is to come and lies farther off (as in January)."""
    this, last = month_day(text, today.year), month_day(text, today.year - 1)
    if this is None or last is None:
        return _no_such_day(written)
    return last if this > today and (today - last) < (this - today) else this


def month_and_day(line: Line, token: Token) -> str | None:
    """ "MM-DD" in "05-14", "2026-05-14" or "may" with its day beside it; None for other words."""
    if token.quoted:
        return None
    if _ISO_LIKE.fullmatch(token.low):
        found, written = token.low[5:], token.low
    elif _EITHER_LIKE.fullmatch(token.low):
        found, written = _ordered(token.low, day_first=line.is_british), token.low
    elif slashed := _SLASHED.fullmatch(token.low):
        month, day = _month_and_day(slashed[1], slashed[2], day_first=line.is_british)
        found, written = f"{month:02d}-{day:02d}", slashed[0]
    elif (token.low in MONTHS or token.low == "mar") and (named := take_named(line, token)):
        found, written = named
    else:
        return None
    if month_day(found, 2024) is None:
        return _no_such_day(written).isoformat()
    return found


def iso_in(line: Line, token: Token) -> str | None:
    """ "2027-09-19" of a day written with its year, None for any other."""
    if token.quoted:
        return None
    slashed = _SLASHED.fullmatch(token.low)
    if slashed and slashed[3]:
        return _slashed(slashed, date.max, day_first=line.is_british).isoformat()
    return token.low if day_from_iso(token.low) else None


WEEKS = ("weeks", "wks", "wk")


def take_weeks(line: Line, most: int) -> tuple[int, Token] | None:
    """ "for 8 weeks": how many, and the word that says so; None where it is not said."""
    for before, token in pairwise(line.words):
        if not token.taken and token.low in WEEKS and before.number is not None and not before.unit:
            if not 1 <= before.number <= most or before.number % 1:
                raise Refused(f"For how many weeks? Write 1 to {most}, such as: for 8 weeks.", "impossible")
            before.taken = token.taken = True
            return round(before.number), before
    return None


def coming(text: str, start: date) -> date:
    """The first such day ("MM-DD", "YYYY-MM-DD") from `start` on; refused where its year is written and lies before."""
    if (day := day_from_iso(text)) is None:
        years = (month_day(text, year) for year in (start.year, start.year + 1) if year <= date.max.year)
        first = next((day for day in years if day is not None and day >= start), None)
        if first is None:
            raise Refused(f"There is no {text} after {long_day(start)}: write an earlier day.", "impossible")
        return first
    if day < start:
        raise Refused(f"{long_day(day)} has gone by: a plan is for a day to come.", "impossible")
    return day


def _no_such_day(written: str) -> date:
    raise Refused(f"There is no day {short(written)}: write it as 6/20, 2026-06-20 or 20 june.", "impossible")
