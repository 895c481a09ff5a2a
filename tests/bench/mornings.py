"""Mornings, printed: 60 of two years, with their lines, what contradicts itself, and what is asked again unchanged."""

from __future__ import annotations

from datetime import timedelta

from core.asks import Asked
from core.book.book import Book
from core.page import page
from core.today import morning
from demo_farm import plan
from demo_farm.make import READY_MADE
from demo_farm.plan import DEMO_DAY, FIRST_DAY
from tests.mornings import PRINTED, contradictions, dawns, faults_of, repeated

MORNINGS = 60
SHOWN = (
    "2025-05-20",
    "2025-07-16",
    "2025-08-05",
    "2025-09-29",
    "2025-10-05",
    "2025-10-07",
    "2026-01-05",
    "2026-05-16",
)
"""Printed whole: a frost after set-out, a heat wave, a cooler that failed, a warm September, the eve of the first
frost and the day after, a winter's day, a frost in May."""


def main() -> None:
    """Print the pages and the table."""
    entries = Book.open(READY_MADE, device=plan.SHED).entries()
    every = max((DEMO_DAY - FIRST_DAY).days // MORNINGS, 1)
    rows, before = [], list[Asked]()
    longest = clashing = unseen = 0
    for sight in dawns(entries, FIRST_DAY, DEMO_DAY):
        found = morning(sight)
        again, before = repeated(before, found.asked), [*found.asked]
        is_shown = sight.day.isoformat() in SHOWN
        if (sight.day - FIRST_DAY) % timedelta(days=every) and not is_shown:
            continue
        lines = page(found)
        wrong, missing = contradictions(sight, found), faults_of(found, PRINTED)
        longest, clashing, unseen = max(longest, len(lines)), clashing + len(wrong), unseen + len(missing)
        rows.append(f"{sight.day}  {len(lines):5}  {len(found.asked):5}  {again:9}  {len(wrong):14}")
        if is_shown:
            print("\n".join((f"--- {sight.day}", *(line.whole for line in lines), "")))
    print("day         lines   asks  unchanged  contradictions")
    print("\n".join(rows))
    print(
        f"\n{len(rows)} mornings: at most {longest} lines, {clashing} contradictions, {unseen} asks out of reach"
    )
