"""Hardy annuals sown in the bed in fall: they come up, stand the winter and flower in the next year, before those that
are sown in spring."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from core.crops.sheet import Figure, Sheet, Span, days_from_bed_sowing
from core.units import weeks

SOONER_WEEKS: Figure[Span] = Figure(
    (2.0, 4.0), "S1003: a couple of weeks, larkspur in the open; S1004: about a month, under a tunnel"
)
"""Weeks by which what stood the winter flowers before what is sown in spring. Weak: one grower's field and one seed
house's trials of many crops, each crop by itself is not known."""
EARLY_WEEKS = 1
"""Sown so long before its weeks of fall it still stands the winter (ours: the page tells of them so early)."""


def is_sown_in_fall(sheet: Sheet, sown: date, fall: date | None) -> bool:
    """Whether what was `sown` in the bed flowers in the next year only: sown from the first day of its weeks in fall,
    which count back from the average first frost, `fall`; False where that is not known."""
    before = sheet.fall_sow_weeks
    return before is not None and fall is not None and sown >= fall - weeks(before.value[1] + EARLY_WEEKS)


@lru_cache(maxsize=64)
def over_winter(sheet: Sheet) -> Sheet:
    """The sheet of what was sown in fall: it goes through the winter as a biennial does, and its flowers count from the
    last frost."""
    zone = f"to zone {sheet.fall_sow_zone.text} ({sheet.fall_sow_zone.source})" if sheet.fall_sow_zone else ""
    lives = " ".join(filter(None, ("sown in fall it lives through the winter", zone)))
    return sheet._replace(
        life_cycle=Figure("biennial, as sown in fall", lives),
        hardiness=Figure("hardy", lives),
        flowers_weeks=_flowers(sheet),
    )


def _flowers(sheet: Sheet) -> Figure[Span] | None:
    """Weeks from the last frost on which what stood the winter begins to flower: those of a sowing in spring, less what
    it is sooner; None where the sheet cannot tell them."""
    begun, days = sheet.direct_sow_weeks, days_from_bed_sowing(sheet)
    if begun is None or days is None:
        begun, days = sheet.set_out_weeks, sheet.days_to_first_cut
    if begun is None or days is None:
        return None
    spring = (start + count / 7 for start, count in zip(begun.value, days.value, strict=True))
    early, late = (
        float(round(week - sooner)) for week, sooner in zip(spring, reversed(SOONER_WEEKS.value), strict=True)
    )
    says = f"{SOONER_WEEKS.text} weeks before a spring sowing ({SOONER_WEEKS.source})"
    return Figure((early, late), f"derived, {says}")
