"""The time of day in a line: "at 6:40", "6:40 pm", "at 7am", "at 6.40"."""

from __future__ import annotations

from core.language.line import Line, Refused, short
from core.language.words import DIVIDED
from core.patterns import pattern

_CLOCK = pattern(r"([0-9]{1,2}):([0-9]{2})(am|pm)?")
_HOUR = pattern(r"([0-9]{1,2})(am|pm)")
_DOTTED = pattern(r"([0-9]{1,2})\.([0-9]{2})(am|pm)?")


def take_clock(line: Line) -> str | None:
    """ "06:40", the one time named in the line; None where none is."""
    found = take_clocks(line)
    if len(found) > 1:
        raise Refused(f"Two times are named, {found[0][1]} and {found[1][1]}: write one.", "ambiguous")
    return found[0][0] if found else None


def take_clocks(line: Line, *, dotted: bool = False) -> list[tuple[str, str]]:
    """("06:40", as it is written) of every time named in the line, in order.

    "6.40" is one after "at" or before "pm"; with `dotted` wherever it stands but before a unit ("0.25 oz").
    """
    found: list[tuple[str, str]] = []
    for token in line.free():
        if token.taken or token.quoted:
            continue
        after, before = line.after(token), line.after(token, -1)
        is_at = before is not None and before.is_word and before.low == "at"
        half = after.low if after is not None and after.is_word and after.low in ("am", "pm") else ""
        match = _CLOCK.fullmatch(token.low) or _HOUR.fullmatch(token.low)
        if match is None and (with_dot := _DOTTED.fullmatch(token.low)):
            is_amount = after is not None and after.is_word and after.low in DIVIDED
            match = with_dot if (dotted and not is_amount) or is_at or half or with_dot[3] else None
        if match is None and half and not token.unit:
            match = _HOUR.fullmatch(token.low + half)
        if match is None:
            continue
        if token.low.endswith("m"):
            half = match[match.lastindex or 1]
        elif half and after is not None:
            after.taken = True
        token.taken = True
        if is_at and before is not None:
            before.taken = True
        minutes = match[2] if {":", "."} & {*token.low} else "00"
        found.append((_time(token.text, int(match[1]), minutes, half), token.text))
    return found


def _time(written: str, hour: int, minutes: str, half: str) -> str:
    is_wrong = not 1 <= hour <= 12 if half else hour > 23
    if is_wrong or int(minutes) > 59:
        raise Refused(
            f"There is no time {short(written)}: write it as 6:40, 18:40 or 6:40pm.", "impossible", ("6:40",)
        )
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    return f"{hour:02d}:{minutes}"
