"""What the weighings of a lot say: its clock by the curve of their drying, where they say enough."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from core.clocks import MORNING, hours_between, instant
from core.drying.clock import WEIGHINGS, DryingClock, of_nine_in_ten, weighings_of
from core.drying.keeps import ratio_of
from core.farm import Farm, Lot
from core.places import Place
from core.problems import Problem
from core.reckon.drying.dryness import DAMP_ROOM_RH, is_dry, stop_hours
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit, fit
from core.reckon.drying.ratio import Prior
from core.settings.local_time import zone
from core.shed.kinds import SHED
from core.units import short_day


def fit_of(
    farm: Farm, lot: Lot, place: Place, hung_on: str, days: tuple[float, float], day: date
) -> DryingFit | Problem | None:
    """What the weighings of a lot on a line say (place "": of one that hangs no more), hours counted from the first of
    them; None before the first.

    They lean weakly on the drying `days` and on what the crop keeps of its weight.
    """
    seen = weighings_of(lot, place, day)
    if not seen:
        return None
    where = zone(farm)
    on, clock, _ = seen[0]
    # weighed on the day it was hung: taken to be as it was hung
    before = 0.0 if on == hung_on else max(hours_between(hung_on, None, on, clock, where), 0.0)
    weighings = [Weighing(hours_between(on, clock, d, c, where), float(g)) for d, c, g in seen]
    prior = Prior(days, ratio_of(farm, lot.crop).believed)
    return fit(weighings, prior=prior, hung_before=before)


def by_weighings(
    farm: Farm, lot: Lot, place: Place, days: tuple[float, float], day: date, by_book: DryingClock
) -> DryingClock:
    """The clock by the weighings where they say enough; else the book's, with what they ask for."""
    hung_on = lot.holdings[place].since
    found = fit_of(farm, lot, place, hung_on, days, day)
    if found is None:
        return by_book
    seen = weighings_of(lot, place, day)
    if isinstance(found, Problem):
        return by_book._replace(note=_asks(found, seen, day))
    on, clock, _ = seen[0]
    start = instant(on, clock, zone(farm))
    if not found.enough:
        return _not_dated(found, start, hung_on, day, by_book)
    now = max(hours_between(on, clock, day.isoformat(), MORNING, zone(farm)), found.last_hours)
    keeps = f"{lot.crop} {ratio_of(farm, lot.crop).text}"
    return _dated(found, start, hung_on, now, keeps, _room_rh(farm, day), by_book)


def _not_dated(
    found: DryingFit, start: datetime, hung_on: str, day: date, by_book: DryingClock
) -> DryingClock:
    """The book's clock where the weighings, the first at `start`, do not date the lot yet, and when to weigh again."""
    again = day_at(start, found.last_hours + (found.weigh_again_hours or 24.0))
    low, high = (day_at(start, hours) for hours in (found.low_hours, found.high_hours))
    # not sure to a day, and yet sure that it is later than the book has it: not overdue by the book then
    is_later = low.isoformat() > by_book.dry_by
    weighings = _count(found.points)
    return by_book._replace(
        # a snap test costs nothing: it begins by whichever says sooner
        test_from=min(by_book.test_from, day_at(start, found.reckoned_hours).isoformat()),
        dry_from=low.isoformat() if is_later else by_book.dry_from,
        dry_by=high.isoformat() if is_later else by_book.dry_by,
        note=f"{weighings} do not date it yet: weigh again {_weekday(max(again, day))}",
        because=(
            *by_book.because,
            f"its {weighings} allow {short_day(low)} to {short_day(high)}: not yet sure to a day",
        ),
        days=of_nine_in_ten(hung_on, low.isoformat(), high.isoformat()) if is_later else by_book.days,
    )


def _dated(
    found: DryingFit,
    start: datetime,
    hung_on: str,
    now: float,
    keeps: str,
    rh: float | None,
    by_book: DryingClock,
) -> DryingClock:
    """The clock by weighings, the first at `start`, `now` hours ago; `keeps` says what the crop keeps of its weight,
    `rh` is the shed's humidity in percent, None where it was not read."""
    about, low, high = (
        day_at(start, hours) for hours in (found.reckoned_hours, found.low_hours, found.high_hours)
    )
    state = is_dry(found, now, room_rh=rh)
    because = (
        f"its {_count(found.points)}: dry about {short_day(about)}, nine times in ten {short_day(low)} to "
        f"{short_day(high)}",
        f"ends at about {found.curve.final_g:.0f} g of {found.weighings[0].grams:g} g; {keeps}",
        *state.because,
        f"under 1 % a day from about {short_day(day_at(start, stop_hours(found)))} on",
        *by_book.because,
    )
    damp = "the shed is damp: it picks up damp" if rh is not None and rh >= DAMP_ROOM_RH else ""
    note = "" if now < found.reckoned_hours else damp or ("" if state.dry else "still losing weight")
    return DryingClock(
        WEIGHINGS,
        about.isoformat(),
        low.isoformat(),
        max(high, about).isoformat(),
        min(max((now + found.hung_before) / found.curve.dry_hours, 0.0), 1.0),
        found.ratio_at(now),
        found.points,
        note,
        because,
        of_nine_in_ten(hung_on, low.isoformat(), max(high, about).isoformat()),
    )


def _asks(problem: Problem, seen: list[tuple[str, str | None, float]], day: date) -> str:
    """What to do where the weighings cannot be reckoned with."""
    if problem.code == "not yet":
        again = max(date.fromisoformat(seen[-1][0]) + timedelta(days=1), day)
        return f"{_count(len(seen))} so far: weigh again {_weekday(again)}"
    return problem.sentence


def _count(count: int) -> str:
    return "1 weighing" if count == 1 else f"{count} weighings"


def day_at(start: datetime, hours: float) -> date:
    """The day so many hours after an instant of the farm; hours beyond a year are held to it."""
    return (start + timedelta(hours=min(max(hours, -9000.0), 9000.0))).date()


def _weekday(day: date) -> str:
    return f"{day:%a} {short_day(day)}"


def _room_rh(farm: Farm, day: date) -> float | None:
    """The shed's humidity as read last, that day or the day before."""
    first, last = (day - timedelta(days=1)).isoformat(), day.isoformat()
    recent = [rh for on, _, _, rh in farm.air.get(SHED, []) if rh is not None and first <= on <= last]
    return recent[-1] if recent else None
