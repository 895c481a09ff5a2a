"""A lot's own clock: the handbook's days for its crop, changed by the shed, overruled by its weighings.

The snap test wins over all of it (core.drying.rows).
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from core.clocks import MORNING, hours_between, instant
from core.crops.sheet import Sheet
from core.drying.shed_factor import shed_factor
from core.farm import Farm, Lot
from core.places import Holding, Place
from core.problems import Problem
from core.settings.local_time import zone
from core.shed.kinds import SHED
from core.units import short_day

if TYPE_CHECKING:  # what reckons with weights is loaded where there are some
    from core.reckon.drying.fit import DryingFit
    from core.reckon.drying.ratio import DryRatio

ANY_CROP_DAYS = (7, 21)
"""Drying days where the sheet has none: published for all kinds, 3 days to 3 weeks [S104]; a week to the first test
is common practice."""
SILICA = "silica"
HANDBOOK, SHED_AIR, WEIGHINGS = "handbook", "handbook and shed air", "weighings"


class DryingClock(NamedTuple):
    """When a lot on a line is dry. Days are "YYYY-MM-DD".

    `speaks`: "handbook", "handbook and shed air" or "weighings". `test_from`: the day to try the snap test from;
    `dry_from` to `dry_by` hold the day it is dry (the handbook's range, or nine times in ten by the weighings).
    `share`: how much of its time is done, 0 to 1. `water_left`: the share of its water still to go by its weighings.
    `note`: what its weighings ask for, "" where nothing. `because`: what all of it rests on, the first the shortest.
    """

    speaks: str
    test_from: str
    dry_from: str
    dry_by: str
    share: float
    water_left: float | None
    weighings: int
    note: str
    because: tuple[str, ...]


def drying_clock(
    farm: Farm, lot: Lot, place: Place, held: Holding, sheet: Sheet | None, day: date
) -> DryingClock:
    """The clock of what hangs of `lot` on `place`, as of the morning of `day`."""
    least, most, because = _handbook(sheet)
    shed = shed_factor(farm, sheet, place, held, day.isoformat())
    if shed.because:
        least, most = least * shed.factor, most * shed.factor
    hung = date.fromisoformat(held.since)
    test_from, due = hung + timedelta(days=round(least)), hung + timedelta(days=round(most))
    by_book = DryingClock(
        SHED_AIR if shed.because else HANDBOOK,
        test_from.isoformat(),
        test_from.isoformat(),
        due.isoformat(),
        min((day - hung).days / max(round(most), 1), 1.0),
        None,
        len(_seen(lot, place, day)),
        "",
        (because, *shed.because),
    )
    return _by_weighings(farm, lot, place, (least, most), day, by_book)


def _handbook(sheet: Sheet | None) -> tuple[float, float, str]:
    if sheet is not None and sheet.drying_days is not None:
        least, most = sheet.drying_days.value
        if _is_for_silica(sheet):
            least, most = ANY_CROP_DAYS
            return (
                least,
                most,
                f"{sheet.crop}: the {sheet.drying_days.text} days of its sheet are for silica; hung, most kinds take "
                f"{least} to {most} days [S104]",
            )
        return (
            least,
            most,
            f"{sheet.crop} dries in {sheet.drying_days.text} days [{sheet.drying_days.source}]",
        )
    least, most = ANY_CROP_DAYS
    return least, most, f"no drying time on the sheet: most kinds take {least} to {most} days [S104]"


def _is_for_silica(sheet: Sheet) -> bool:
    """Whether the library's days are those in silica gel, 2 to 6 [S149], and say nothing of a bunch on a line."""
    assert sheet.drying_days is not None
    method = sheet.drying_method.value if sheet.drying_method is not None else ""
    return (
        method.startswith(SILICA)
        and sheet.drying_days.instead_of is None
        and sheet.drying_days.value[1] < ANY_CROP_DAYS[0]
    )


def ratio_of(farm: Farm, crop: str) -> DryRatio:
    """How much of its fresh weight a crop keeps, by the library and by this farm's own weighed lots."""
    from core.reckon.drying.ratio import dry_ratio

    return dry_ratio(crop, [(row.fresh_g, row.dry_g) for row in farm.dry_ratios.get(crop, [])])


def _seen(lot: Lot, place: Place, day: date) -> list[tuple[str, str | None, float]]:
    """(day, time, grams) of the weighings up to that day of what hangs in that place, since it was hung.

    Where a bunch of the lot was weighed on each of several lines it hangs on, each has its own; else the one bunch
    speaks for all of the lot, on whichever line it hung.
    """
    since = lot.holdings[place].since if place in lot.holdings else ""
    upto = [w for w in lot.weighings if since <= w.on <= day.isoformat()]
    hung_and_weighed = {w.line for w in upto if w.line in lot.holdings}
    own = place in hung_and_weighed and len(hung_and_weighed) > 1
    return [
        (w.on, w.clock, w.grams) for w in upto if not own or w.line == place or w.line not in lot.holdings
    ]


def fit_of(
    farm: Farm, lot: Lot, place: Place, hung_on: str, days: tuple[float, float], day: date
) -> DryingFit | Problem | None:
    """What the weighings of a lot on a line say (place "": of one that hangs no more), hours counted from the first of
    them; None before the first.

    They lean weakly on the drying `days` and on what the crop keeps of its weight.
    """
    seen = _seen(lot, place, day)
    if not seen:
        return None
    from core.reckon.drying import faults, fit, ratio  # loaded only for a lot that was weighed

    where = zone(farm)
    on, clock, _ = seen[0]
    # weighed on the day it was hung: taken to be as it was hung
    before = 0.0 if on == hung_on else max(hours_between(hung_on, None, on, clock, where), 0.0)
    weighings = [faults.Weighing(hours_between(on, clock, d, c, where), float(g)) for d, c, g in seen]
    prior = ratio.Prior(days, ratio_of(farm, lot.crop).believed)
    return fit.fit(weighings, prior=prior, hung_before=before)


def days_for(farm: Farm, lot: Lot, sheet: Sheet | None, day: date) -> tuple[Place, str, tuple[float, float]]:
    """(the line, the day it was hung, its drying days by handbook and shed), of what hangs longest; of a lot that
    hangs no more ("" for its line), by the handbook from its first weighing on."""
    hanging = [(held.since, place, held) for place, held in lot.holdings.items() if place.is_line]
    least, most, _ = _handbook(sheet)
    if not hanging:
        return Place(""), (lot.weighings[0].on if lot.weighings else lot.cut_on), (least, most)
    since, place, held = min(hanging)
    factor = shed_factor(farm, sheet, place, held, day.isoformat()).factor
    return place, since, (least * factor, most * factor)


def _by_weighings(
    farm: Farm, lot: Lot, place: Place, days: tuple[float, float], day: date, by_book: DryingClock
) -> DryingClock:
    """The clock by the weighings where they say enough; else the book's, with what they ask for."""
    found = fit_of(farm, lot, place, lot.holdings[place].since, days, day)
    if found is None:
        return by_book
    seen = _seen(lot, place, day)
    if isinstance(found, Problem):
        return by_book._replace(note=_asks(found, seen, day))
    on, clock, _ = seen[0]
    start = instant(on, clock, zone(farm))
    if not found.enough:
        return _not_dated(found, start, day, by_book)
    now = max(hours_between(on, clock, day.isoformat(), MORNING, zone(farm)), found.last_hours)
    keeps = f"{lot.crop} {ratio_of(farm, lot.crop).text}"
    return _dated(found, start, now, keeps, _room_rh(farm, day), by_book)


def _not_dated(found: DryingFit, start: datetime, day: date, by_book: DryingClock) -> DryingClock:
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
    )


def _dated(
    found: DryingFit, start: datetime, now: float, keeps: str, rh: float | None, by_book: DryingClock
) -> DryingClock:
    """The clock by weighings, the first at `start`, `now` hours ago; `keeps` says what the crop keeps of its weight,
    `rh` is the shed's humidity in percent, None where it was not read."""
    from core.reckon.drying.dryness import DAMP_ROOM_RH, is_dry, stop_hours

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
