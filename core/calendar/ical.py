"""The calendar as a file of RFC 5545: made, or brought up to date so that whoever has it finds every thing once.

All that a later writing has to know stands in the file itself. A thing is found again by its UID, made of its key;
where its days or words have changed its SEQUENCE is raised. What is no more is not left out, for a calendar that was
imported would keep it: it stays as STATUS:CANCELLED until it is long past. Events that somebody else put in the file
stay as they are. The same book gives the same bytes: no clock is read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import UTC, date, datetime, timedelta
from typing import Any, NamedTuple

from icalendar import Calendar, Event

from core.calendar.collected import KEPT_DAYS
from core.dated import Dated
from core.dialect import in_words
from core.problems import Problem
from core.text import clean

PRODID = "-//shedbook//calendar//EN"
OURS = "@shedbook.invalid"
"""How the UIDs of our events end (RFC 2606: such a name is never anybody's)."""
SUMMARY_MOST = 200
"""Bytes of a summary: some readers cut it at 255 (RFC 5545, section 5)."""
CANCELLED, CONFIRMED = "CANCELLED", "CONFIRMED"


class Made(NamedTuple):
    """The calendar as bytes, and how many things in it are new, changed, cancelled now, and as they were."""

    data: bytes
    new: int
    changed: int
    cancelled: int
    same: int


def updated(
    old: bytes | None,
    things: Iterable[Dated],
    sorts: Collection[str],
    today: date,
    stamp: datetime,
    name: str,
) -> Made | Problem:
    """The calendar with these things, which are all there are of their `sorts`; `old` is the file so far, None where
    there is none.

    `stamp` is the UTC instant of the newest entry, which stands beside what is new or changed. A Problem where `old` is
    no calendar that we wrote.
    """
    kept = _read(old) if old is not None else Calendar()
    if isinstance(kept, Problem):
        return kept
    before: dict[str, Any] = {str(one["UID"]): one for one in kept.walk("VEVENT") if _is_ours(one)}
    events, counts = dict[str, Any](), {"new": 0, "changed": 0, "same": 0}
    for thing in sorted(things, key=lambda one: (one.first, one.key)):
        uid = _uid(thing)
        events[uid] = _event(uid, thing, stamp)
        counts[_follow(events[uid], before.get(uid))] += 1
    cancelled = 0
    oldest = today - timedelta(days=KEPT_DAYS)
    for uid, event in before.items():
        if uid not in events and _last(event) >= oldest:
            is_asked = uid.partition("-")[0] in sorts
            if is_asked and _last(event) >= today and event.get("STATUS") != CANCELLED:
                event = _cancel(event, stamp)
                cancelled += 1
            events[uid] = event
    made = Calendar()
    made.add("VERSION", "2.0")
    made.add("PRODID", PRODID)
    made.add("X-WR-CALNAME", clean(name))
    for other in kept.subcomponents:
        if not _is_ours(other):
            made.add_component(other)
    for event in sorted(events.values(), key=lambda one: (one.decoded("DTSTART"), str(one["UID"]))):
        made.add_component(event)
    return Made(made.to_ical(), counts["new"], counts["changed"], cancelled, counts["same"])


def _read(old: bytes) -> Calendar | Problem:
    not_ours = Problem(
        "is no calendar that shedbook wrote: move it away, or name another file.", "impossible"
    )
    try:
        found: Any = Calendar.from_ical(old)
    except (ValueError, KeyError, IndexError, TypeError):
        return not_ours
    if not isinstance(found, Calendar) or str(found.get("PRODID")) != PRODID:
        return not_ours
    ours = [one for one in found.subcomponents if _is_ours(one)]
    if not all(_is_whole(one) for one in ours):
        return not_ours
    return found


def _is_ours(component: Any) -> bool:
    return component.name == "VEVENT" and str(component.get("UID", "")).endswith(OURS)


def _is_whole(event: Any) -> bool:
    """Whether it has all that we write: days, an instant, a number of its revision."""
    try:
        first, end = event.decoded("DTSTART"), event.decoded("DTEND")
        return (
            type(first) is type(end) is date
            and int(event["SEQUENCE"]) >= 0
            and bool(event.decoded("DTSTAMP"))
        )
    except (KeyError, ValueError, TypeError):
        return False


def _uid(thing: Dated) -> str:
    """Made of the key alone: "orders-019a...-1@shedbook.invalid"."""
    name = "-".join(thing.key)
    return "".join(c if c.isascii() and (c.isalnum() or c in "-.") else "_" for c in name) + OURS


def _event(uid: str, thing: Dated, stamp: datetime) -> Event:
    first, last = date.fromisoformat(thing.first), date.fromisoformat(thing.last)
    event = Event()
    event.add("UID", uid)
    event.add("DTSTAMP", stamp.astimezone(UTC))
    event.add("DTSTART", first)
    event.add("DTEND", max(first, last) + timedelta(days=1))  # the day after the last (RFC 5545, 3.6.1)
    event.add("SUMMARY", _shortened(in_words(clean(thing.says))))
    if thing.more:
        event.add("DESCRIPTION", _text(thing.more))
    event.add("STATUS", CONFIRMED)
    event.add("SEQUENCE", 0)
    event.add("TRANSP", "TRANSPARENT")
    return event


def _follow(event: Event, before: Any) -> str:
    """Give an event the instant and number that follow from what it was: "new", "same" or "changed"."""
    if before is None:
        return "new"
    is_same = all(_value(event, name) == _value(before, name) for name in _TELLING)
    _put(event, "SEQUENCE", int(before["SEQUENCE"]) + (not is_same))
    if is_same:
        _put(event, "DTSTAMP", before.decoded("DTSTAMP"))
    return "same" if is_same else "changed"


_TELLING = ("DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "STATUS")


def _value(event: Any, name: str) -> object:
    return event.decoded(name) if name in ("DTSTART", "DTEND") else str(event.get(name, ""))


def _cancel(event: Any, stamp: datetime) -> Any:
    _put(event, "STATUS", CANCELLED)
    _put(event, "SEQUENCE", int(event["SEQUENCE"]) + 1)
    _put(event, "DTSTAMP", stamp.astimezone(UTC))
    return event


def _put(event: Any, name: str, value: object) -> None:
    event.pop(name, None)
    event.add(name, value)


def _last(event: Any) -> date:
    end: date = event.decoded("DTEND")
    return end - timedelta(days=1)


def _text(text: str) -> str:
    """Text of several lines, clean."""
    return in_words("\n".join(map(clean, text.splitlines())))


def _shortened(text: str) -> str:
    data = text.encode()
    if len(data) <= SUMMARY_MOST:
        return text
    return data[: SUMMARY_MOST - 2].decode(errors="ignore").rstrip() + ".."
