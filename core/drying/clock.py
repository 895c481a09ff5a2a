"""A lot's own clock: the handbook's days for its crop, changed by the shed, overruled by its weighings.

The snap test wins over all of it (core.drying.rows).
"""

from __future__ import annotations

from datetime import date, timedelta
from math import hypot, log, sqrt
from typing import NamedTuple

from core.crops.sheet import Sheet, Span
from core.drying.shed_factor import shed_factor
from core.farm import Farm, Lot
from core.places import Holding, Place
from core.plans.defaults import about_one
from core.reckon.spreads import Z, at_chance

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
    days: Span
    """The days of hanging after which it is dry, eight times in ten, with all that is in doubt: also how right the
    handbook is where it has one number, and what the shed's air does."""


def drying_clock(
    farm: Farm, lot: Lot, place: Place, held: Holding, sheet: Sheet | None, day: date
) -> DryingClock:
    """The clock of what hangs of `lot` on `place`, as of the morning of `day`."""
    least, most, because = _handbook(sheet)
    handbook = least, most
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
        len(weighings_of(lot, place, day)),
        "",
        (because, *shed.because),
        _in_doubt(handbook, shed.span),
    )
    if not by_book.weighings:
        return by_book
    from core.drying.weighed import by_weighings  # the curves are loaded only for a lot that was weighed

    return by_weighings(farm, lot, place, (least, most), day, by_book)


def _in_doubt(handbook: Span, shed: Span) -> Span:
    """Where the days lie eight times in ten: the handbook's range, and how many times as long the shed makes them."""
    least, most = about_one(handbook, "days")
    factor = sqrt(shed[0] * shed[1])
    apart = hypot(log(most / least) / 2, log(shed[1] / shed[0]) / 2) / (log(most / least) / 2)
    middle, half = (least + most) / 2, (most - least) / 2 * apart
    return max(middle - half, least / 2) * factor, (middle + half) * factor


def of_nine_in_ten(hung_on: str, dry_from: str, dry_by: str) -> Span:
    """The days of hanging after which it is dry, eight times in ten, where it is dry between two days nine in ten."""
    hung = date.fromisoformat(hung_on)
    low, high = ((date.fromisoformat(on) - hung).days for on in (dry_from, dry_by))
    half = (high - low) / 2 * Z / at_chance(0.95)
    return max((low + high) / 2 - half, 0.0), (low + high) / 2 + half


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


def weighings_of(lot: Lot, place: Place, day: date) -> list[tuple[str, str | None, float]]:
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
