"""Until when a bed, or a tray, is closed: by the label's re-entry time for any work, by its time to harvest for a cut.

Both run in hours that go by, from the end of the application (40 CFR 170.407: nobody enters a treated area until the
restricted-entry interval is over); one without an end runs from the end of its day. Where several were put on, the bed
opens at the latest of their ends (40 CFR 170.112(a)(3) before 2015: the longest interval counts).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple

from core.asks import Sight
from core.clocks import zone_called
from core.dialect import told_time
from core.farm import Farm
from core.settings.local_time import zone
from core.units import number, short_day


class Application(NamedTuple):
    """A spray or a feed with what its label closes. `began` and `ended` are the farm's time, "HH:MM", None where they
    were not written; hours are those of the label."""

    entry: str
    on: str
    began: str | None
    ended: str | None
    beds: tuple[str, ...]
    product: str
    reentry_hours: float
    harvest_hours: float


class Label(NamedTuple):
    """What was written last from the label of a product, so that it need not be typed again."""

    product: str
    reg_no: str | None
    active: str | None
    reentry_hours: float | None
    harvest_hours: float | None


KEPT_DAYS = 400
"""So long after it an application is kept with the farm: no label closes a bed for longer."""


@dataclass(slots=True)
class Applied:
    """What the farm keeps of its sprays and feeds: those that may still close a bed, and the labels known."""

    recent: list[Application] = field(default_factory=list)
    labels: dict[str, Label] = field(default_factory=dict)
    """Product in small letters -> what its label said."""


class Closure(NamedTuple):
    """A bed that is closed: `until` for any work and `harvest_until` for a cut, as the farm's day and time ("YYYY-MM-DD
    HH:MM"); "" where nothing of that sort is closed any more. `because` names what closes it longest."""

    bed: str
    until: str
    harvest_until: str
    because: str

    @property
    def opens(self) -> str:
        """When all of it is over."""
        return max(self.until, self.harvest_until)


class Span(NamedTuple):
    """From when until when an application closes its beds, as instants: for work and for a cut."""

    start: datetime
    work: datetime
    harvest: datetime
    of: Application


def spans(farm: Farm, bed: str) -> Iterator[Span]:
    """What closes a bed, or did of late."""
    name = zone(farm)
    for of in farm.part(Applied).recent:
        if bed in of.beds and (span := span_of(of, name)).start < span.harvest:
            yield span


def span_of(of: Application, zone_name: str) -> Span:
    """When an application closes its beds."""
    ended = _end(of, zone_name)
    began = of.began or of.ended or "00:00"
    return Span(
        _instant(of.on, began, zone_name, later=False),
        ended + timedelta(hours=of.reentry_hours),
        ended + timedelta(hours=max(of.harvest_hours, of.reentry_hours)),
        of,
    )


def _end(of: Application, zone_name: str) -> datetime:
    """The end of the application; without a time the end of its day, past midnight where it began later than it
    ended."""
    if of.ended is None:
        return _instant(_next(of.on), "00:00", zone_name, later=True)
    is_past_midnight = of.began is not None and of.began > of.ended
    return _instant(_next(of.on) if is_past_midnight else of.on, of.ended, zone_name, later=True)


def _next(day: str) -> str:
    return (date.fromisoformat(day) + timedelta(days=1)).isoformat()


def _instant(day: str, clock: str, zone_name: str, *, later: bool) -> datetime:
    """A farm-local time as an instant: of an hour that the clocks show twice the first, or the `later`."""
    at = datetime.combine(date.fromisoformat(day), time.fromisoformat(clock), zone_called(zone_name))
    return at.replace(fold=int(later)).astimezone(UTC)


def local_text(at: datetime, zone_name: str) -> str:
    """ "2026-06-11 06:30", the farm's day and time of an instant; a second that is begun counts as its minute."""
    return f"{at.astimezone(zone_called(zone_name)):%Y-%m-%d %H:%M}"


def dated(text: str) -> str:
    """ "2026-06-11 06:30" with the time in the farm's way; "" where there is none."""
    day, _, clock = text.partition(" ")
    return f"{day} {told_time(clock)}" if clock else day


def told(text: str) -> str:
    """ "06:30 on Thu 11 Jun" of "2026-06-11 06:30"."""
    day, clock = text.split()
    of = date.fromisoformat(day)
    return f"{told_time(clock)} on {of:%a} {short_day(of)}"


def closures(farm: Farm, day: date, clock: str | None) -> list[Closure]:
    """The beds, then the trays, closed at that time of that day (at any time of it where `clock` is None), by bed."""
    name = zone(farm)
    first = _instant(day.isoformat(), clock or "00:00", name, later=False)
    last = first if clock else _instant(day.isoformat(), "23:59", name, later=True)
    found = []
    trays = {code: None for of in farm.part(Applied).recent for code in of.beds if code not in farm.beds}
    for bed in (*farm.beds, *trays):
        closing = [span for span in spans(farm, bed) if span.start <= last and span.harvest > first]
        if closing:
            work = max(span.work for span in closing)
            harvest = max(span.harvest for span in closing)
            longest = max(closing, key=lambda span: span.harvest)
            found.append(
                Closure(
                    bed,
                    local_text(work, name) if work > first else "",
                    local_text(harvest, name) if harvest > work else "",
                    because(longest.of),
                )
            )
    return found


def closures_now(sight: Sight) -> list[Closure]:
    """The same on a morning, which is not asked for its time where nothing is closed all day."""
    farm, day = sight.farm, sight.day
    return closures(farm, day, sight.clock) if closures(farm, day, None) else []


def shut_for_cutting(farm: Farm, day: date, clock: str | None) -> dict[str, str]:
    """Beds that are not cut at that time of that day -> until when, in words."""
    return {closure.bed: told(closure.opens) for closure in closures(farm, day, clock)}


def shut_this_morning(sight: Sight) -> dict[str, str]:
    """The same on a morning."""
    return {closure.bed: told(closure.opens) for closure in closures_now(sight)}


def because(of: Application) -> str:
    """ "Quencher: re-entry 12 h by its label"."""
    hours = [f"re-entry {number(of.reentry_hours)} h"] if of.reentry_hours else []
    hours += [f"harvest {number(of.harvest_hours)} h"] if of.harvest_hours else []
    ended = "" if of.ended else ", counted from the end of the day: no end was written"
    return f"{of.product}, {' and '.join(hours) or 'no re-entry time'} by its label{ended}"


def closes(
    farm: Farm, bed: str, day: str, clock: str | None, *, is_cut: bool
) -> tuple[str, Application] | None:
    """(until when, by what) a bed is closed for a cut, or for other work, at a time of a day; None where it is open.

    Where the time is not known, anything that closes it on that day counts.
    """
    name = zone(farm)
    first = _instant(day, clock or "00:00", name, later=False)
    last = first if clock else _instant(day, "23:59", name, later=True)
    found = []
    for span in spans(farm, bed):
        end = span.harvest if is_cut else span.work
        if span.start <= last and end > first:
            found.append((end, span.of))
    if not found:
        return None
    end, of = max(found, key=lambda one: one[0])
    return local_text(end, name), of
