"""Hours in the shed over the change of the clocks, with clocks ahead of now, and in zones that are none.

In America/New_York clocks went forward on 8 March 2026 at 02:00 and back on 1 November 2026 at 02:00 (IANA time zone
database)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from core.clocks import hours_between
from core.drying.rows import shelf_rows
from core.fresh.rows import fresh_rows
from core.stems.rows import unbalanced
from tests.farm.every_kind import views
from tests.farms import Pencil

ZONE = "America/New_York"


def _farm(cut_on: str, zone: str = ZONE) -> Pencil:
    pencil = Pencil(cut_on)
    pencil.write("farm", zone=zone) if zone == ZONE else pencil.entries.append(pencil.made("farm", zone=zone))
    pencil.write("bed", bed="b1", feet=50, width_in=36)
    return pencil


def _cut(pencil: Pencil, use: str, crop: str, **more: Any) -> None:
    pencil.write("cut", lot="L001", crop=crop, bed="b1", use=use, stems=40, **more)


@pytest.mark.parametrize(
    ("day", "after", "hours"),
    [
        ("2026-03-07", "2026-03-08", 23.0),
        ("2026-10-31", "2026-11-01", 25.0),
        ("2026-06-01", "2026-06-02", 24.0),
    ],
)
def test_a_day_has_23_hours_in_spring_and_25_in_autumn(day: str, after: str, hours: float) -> None:
    assert hours_between(day, "12:00", after, "12:00", ZONE) == hours
    pencil = _farm(day)
    _cut(pencil, "fresh", "zinnia", clock="12:00")
    (row,) = fresh_rows(pencil.farm, date.fromisoformat(after), "12:00")
    assert row.warmth.startswith(f"{hours:.0f} h in the bucket")
    pencil.write("moved", lot="L001", source="bucket", place="cooler", stems=40, clock="12:00")
    (row,) = fresh_rows(pencil.farm, date.fromisoformat(after), "12:00")
    assert f"{hours:.0f} h in the cooler" in row.warmth


def test_weighings_around_the_change_are_as_far_apart_as_they_were() -> None:
    """The same bunch at the same hours after hanging dries by the same day, whatever the clock on the wall did."""
    from core.drying.weighed import fit_of

    final = []
    for day in ("2026-10-30", "2026-06-01"):
        pencil = _farm(day)
        _cut(pencil, "dry", "strawflower")
        pencil.write("hung", lot="L001", source="bucket", line="line 1", stems=40)
        back = day == "2026-10-30"
        for n, grams in enumerate((200, 128, 92, 74, 65)):
            # 24 hours after the change to standard time the clock stands an hour earlier
            clock = "09:00" if not back or n < 2 else "08:00"
            pencil.write("weighed", lot="L001", source="line 1", grams=grams, clock=clock)
            pencil.later(1)
        lot = pencil.farm.lots.get("L001")
        assert lot is not None
        found: Any = fit_of(pencil.farm, lot, "line 1", day, (7.0, 14.0), pencil.today)
        final.append((found.reckoned_hours, found.curve.final_g))
    assert final[0] == pytest.approx(final[1])


@pytest.mark.parametrize("zone", ["nowhere", "../../etc/passwd", "America", "x" * 40, "UTC"])
def test_a_zone_that_is_none_counts_as_utc(zone: str) -> None:
    pencil = _farm("2026-06-01", zone)
    _cut(pencil, "fresh", "zinnia", clock="06:00")
    (row,) = fresh_rows(pencil.farm, date(2026, 6, 2), "06:00")
    assert row.warmth.startswith("24 h in the bucket")


def test_clocks_ahead_of_now_make_no_hours_below_nothing() -> None:
    pencil = _farm("2026-06-01")
    _cut(pencil, "fresh", "zinnia", clock="23:50")
    pencil.write("moved", lot="L001", source="bucket", place="cooler", stems=20, clock="23:55")
    pencil.write("moved", lot="L001", source="cooler", place="bucket", stems=10, clock="00:05")
    pencil.write("air", room="cooler", f=36, clock="23:59")
    for row in fresh_rows(pencil.farm, date(2026, 6, 1), "08:00"):
        assert row.used_days >= 0 and "-" not in row.warmth
        assert row.left_days is not None and row.left_days[0] >= 0
    assert unbalanced(pencil.farm) == []
    for _, shown in views(pencil.farm, date(2026, 6, 1), "08:00"):
        shown()


def test_what_is_weighed_before_it_was_hung_is_refused_and_in_a_log_harmless() -> None:
    pencil = _farm("2026-06-01")
    _cut(pencil, "dry", "strawflower")
    pencil.later(2).write("hung", lot="L001", source="bucket", line="line 1", stems=40)
    refused = pencil.refusal("weighed", "2026-06-02", lot="L001", source="line 1", grams=90)
    assert refused is not None and "before that it cannot be weighed" in refused.sentence
    for on, grams in (("2026-06-01", 90), ("2026-06-01", 95), ("2026-06-02", 30), ("2026-06-03", 120)):
        pencil.entries.append(
            pencil.made("weighed", on, lot="L001", source="line 1", grams=grams, clock="00:01")
        )
    (row,) = shelf_rows(pencil.farm, pencil.today)
    assert row.lot == "L001"
    for _, shown in views(pencil.farm, pencil.today):
        shown()
