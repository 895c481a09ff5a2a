"""One marked bunch of a lot, weighed as it hangs; and from fresh to dry, how much of its weight the crop keeps."""

from __future__ import annotations

from datetime import date
from typing import Final

from core.book.entry import Draft, Entry
from core.clocks import MORNING, hours_between
from core.dialect import told_time
from core.farm import Farm, Lot
from core.happened import DryRatio, SnapTest, Weighed
from core.places import Place, in_place
from core.problems import Problem
from core.stems.kinds import lot_or_matter, need_lot
from core.units import number

HEAVIEST_G = 20_000
STEP_HOURS = 6.0
"""Weights closer together than this tell of the scales and not of the drying (ours)."""
KEPT = 60
"""Weighings kept of a lot: two a day for a month."""
RATIOS_KEPT = 20
DAMP: Final = "damp"
"""Stands among the snap tests of what was hung again out of a box."""
FRESH_DAYS = 1
"""The first weighing is of a fresh bunch up to so many days after it was hung (ours)."""
STEADY_DAYS = 3
"""The last weighing is of a dry one up to so many days before the snap or the boxing (ours)."""
FALLING_A_DAY, FALLING_DAYS = 0.04, 2
"""A bunch that lost more than this share of its fresh weight a day, between its last two weighings no further apart
than so many days, is not dry yet whatever was said of it: of 80 % water the last twentieth is 4 % (ours)."""


def check_weighed(farm: Farm, draft: Draft) -> Problem | None:
    """Whether that bunch hangs there and has that weight."""
    f = draft.fields
    lot = need_lot(farm, draft)
    if isinstance(lot, Problem):
        return lot
    if not 0 < f["grams"] <= HEAVIEST_G:
        return Problem(
            f"{number(f['grams'])} g is no weight of a bunch: it lies above 0 and at most {HEAVIEST_G // 1000} kg.",
            "impossible",
        )
    source = Place(f["source"])
    if not source.is_line:
        return Problem(
            f"Only what hangs is weighed, not what is {in_place(source)}: hang {lot.code} first.",
            "impossible",
            ("hang",),
        )
    held = lot.holdings.get(source)
    if held is None or held.stems <= 0:
        return Problem(
            f"{lot.code} does not hang on {source}; it has {lot.whereabouts or 'nothing left'}.",
            "impossible",
            tuple(place for place in lot.holdings if place.is_line),
        )
    if draft.on < held.since:
        return Problem(
            f"{lot.code} was hung on {held.since}: before that it cannot be weighed on a line.", "impossible"
        )
    moment = draft.on, f.get("clock") or MORNING
    if any(_moment(w) == moment for w in lot.weighings):
        return Problem(
            f"{lot.code} has a weight of {moment[0]} at {told_time(moment[1])} already: write another time, such as "
            f"'at {told_time('18:30')}', or take back the one that is wrong.",
            "impossible",
        )
    return None


def weighed(farm: Farm, entry: Entry) -> None:
    """A weight stands among those of its bunch; with the snap test said before it, it may be the dry one."""
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        lot.weighings.append(Weighed(entry.on, f.get("clock"), Place(f["source"]), f["grams"]))
        if len(lot.weighings) > 1 and _moment(lot.weighings[-2]) > _moment(lot.weighings[-1]):
            lot.weighings.sort(key=_moment)  # written late
        del lot.weighings[:-KEPT]
        tests = tests_of(lot, Place(f["source"]))
        if tests and tests[-1].result == "snaps":
            note_dry(farm, lot, entry.on)


def _moment(weighed: Weighed) -> tuple[str, str]:
    return weighed.on, weighed.clock or MORNING


def tests_of(lot: Lot, place: Place) -> list[SnapTest]:
    """The snap tests of what hangs in that place, since it was hung."""
    held = lot.holdings.get(place)
    since = held.since if held is not None else lot.cut_on
    return [test for test in lot.tests if test.on >= since and test.line in ("", place)]


def note_dry(farm: Farm, lot: Lot, on: str) -> None:
    """The lot snapped or was boxed on that day: its first weight was fresh, its last dry, where they were taken near
    enough to its hanging and to that day."""
    hung = [held.since for place, held in lot.holdings.items() if place.is_line]
    if len(lot.weighings) < 2 or not hung:
        return
    first, last = lot.weighings[0], lot.weighings[-1]
    is_fresh = _days(min(hung), first.on) <= FRESH_DAYS
    if not is_fresh or _days(last.on, on) > STEADY_DAYS or last.grams >= first.grams:
        return
    if _is_falling(lot.weighings):
        return
    rows = farm.dry_ratios.setdefault(lot.crop, [])
    rows[:] = [row for row in rows if row.lot != lot.code]
    rows.append(DryRatio(lot.code, first.grams, last.grams))
    del rows[:-RATIOS_KEPT]


def _is_falling(weighings: list[Weighed]) -> bool:
    """Whether the last weight had fallen too fast since the one before it to be that of a dry bunch."""
    (on, clock), last = _moment(weighings[-1]), weighings[-1].grams
    for before in reversed(weighings[:-1]):
        hours = hours_between(*_moment(before), on, clock, "UTC")
        if hours >= STEP_HOURS:
            lost = (before.grams - last) / weighings[0].grams
            return hours <= 24 * FALLING_DAYS and lost / (hours / 24) > FALLING_A_DAY
    return False


def _days(first: str, last: str) -> int:
    return (date.fromisoformat(last) - date.fromisoformat(first)).days
