"""Biennials set out late in one summer, and bulbs planted in fall: they stand through the winter and flower about the
next last frost."""

from __future__ import annotations

from datetime import date, timedelta

from core.crops.course import goes_out_before, is_biennial
from core.crops.sheet import Figure, Span
from core.crops.windows import Window
from core.plans.wish import Ask
from core.problems import Problem
from core.units import long_day, short_day, weeks

OUT_WEEKS = (8, 6)
"""Weeks before the first fall frost in which biennials are set out (common practice, as seed houses teach it)."""
BULBS_WEEKS = (0, -6)
"""The same of bulbs: from the first fall frost to six weeks after it (common practice; October, as extension services
have it)."""
FLOWERS_WEEKS: Figure[Span] = Figure(
    (2, 6), "biennials are cut from 2 to 6 weeks after the last frost: from memory"
)
"""Weeks after the last frost on which cutting begins, eight years in ten, where the sheet has none: sown in July, Sweet
William is cut next June."""
BLOOM_VARIES = 7.0
"""Days by which her own date of bloom may come earlier or later, four years in five (ours)."""
BULBS_SOURCE = "bulbs in from the first fall frost to six weeks after, to flower next year: common practice"
SOURCE = "biennials out 6 to 8 weeks before the first fall frost, to flower next year: common practice"


def flowers_from(ask: Ask, out: date) -> Figure[Span] | None:
    """Days from setting out in the summer before to the first cut; None where the last frost is not known, or the crop
    does not go out in the year before."""
    last = ask.frost.last_frost
    if last is None or not goes_out_before(ask.sheet):
        return None
    if (bloom := ask.sheet.bloom) is not None:
        days = (bloom.value.of_season(last) - out).days
        return Figure(
            (days - BLOOM_VARIES, days + BLOOM_VARIES), f"blooms here from {bloom.text}: {bloom.source}"
        )
    flowers = ask.sheet.flowers_weeks or FLOWERS_WEEKS
    early, late = (float((last - out).days + weeks(count).days) for count in flowers.value)
    says = f"cut from {flowers.text} weeks after the last frost of its second year: {flowers.source}"
    return Figure((early, late), says) if early > 0 else None


def window_before(ask: Ask) -> Window | Problem:
    """The days of the summer before in which it goes out, from the first that is not gone by; why there is none."""
    fall = ask.frost.autumn.get((32, 50))
    name = ask.sheet.crop
    if fall is None:
        return Problem(
            f"{name[0].upper()}{name[1:]} goes out before the fall of the year before: write its frost, such as "
            "'first frost 28 sept'.",
            "impossible",
        )
    before = fall - timedelta(days=365)
    is_bulb = not is_biennial(ask.sheet)
    start, end = (before - weeks(count) for count in (BULBS_WEEKS if is_bulb else OUT_WEEKS))
    raising = weeks(ask.sheet.weeks_in_tray.value[0]) if ask.sheet.weeks_in_tray else timedelta()
    if ask.today is not None and ask.today + raising > end:
        return _too_late_for_bulbs(ask, end) if is_bulb else too_late_for_seed(ask, end, raising)
    start = max(start, ask.today + raising) if ask.today is not None else start
    # one day: its first cut does not come earlier or later with it
    return Window(start, start, f"{BULBS_SOURCE if is_bulb else SOURCE}: {short_day(start)} {start.year}")


def _too_late_for_bulbs(ask: Ask, end: date) -> Problem:
    """What would do where the bulbs should be in the ground by now."""
    by, crop = ask.wish.by, ask.wish.crop
    day = by.replace(year=by.year + 1, day=min(by.day, 28))
    return Problem(
        f"It is too late: {crop} flowers in the spring after it is planted, and for {long_day(by)} it should have been "
        f"in the ground by {long_day(end)}. Would do: by {long_day(day)}.",
        "impossible",
    )


def too_late_for_seed(ask: Ask, end: date, raising: timedelta) -> Problem:
    """What would do where the seed should have been sown in the summer before."""
    wish, last = ask.wish, ask.frost.last_frost
    instead = ["an annual strain ('annual') sown in spring, for a later day"]
    if ask.today is not None and ask.today <= end + weeks(OUT_WEEKS[1]):
        instead.insert(
            0, f"plants bought and set out by {short_day(end + weeks(OUT_WEEKS[1]))}, before it freezes"
        )
    if last is not None:
        day = wish.by.replace(year=wish.by.year + 1, day=min(wish.by.day, 28))
        instead.append(f"by {long_day(day)}")
    sown, out = long_day(end - raising), short_day(end)
    return Problem(
        f"It is too late for seed: {wish.crop} flowers the year after it is sown, and for {long_day(wish.by)} it "
        f"should have been sown by {sown} and set out by {out}. Would do: {'; '.join(instead)}.",
        "impossible",
        ("annual",),
    )
