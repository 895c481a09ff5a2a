"""Many seasons of a believable farm, written fast: the same kinds in the same shares as a real year."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from pathlib import Path

from core.book.book import Book
from core.book.entry import Draft
from core.places import BUCKET

CROPS = ("strawflower", "zinnia", "larkspur", "statice", "globe amaranth", "snapdragon", "ammi", "cosmos")
SEASON_CUTS = 2450
"""Cuts a season; with what follows each, some 10,000 entries a year."""


def write_seasons(folder: Path, entries: int, last_day: date = date(2026, 6, 20)) -> Book:
    """A farm of about `entries` entries ending on `last_day`; the last season's lots are still about."""
    moment = datetime(2006, 1, 1, tzinfo=UTC)
    book = Book.create(folder, device="shed", clock=lambda: int(moment.timestamp() * 1000))
    drafts = list(_history(entries, last_day))
    for begin in range(0, len(drafts), 2000):
        chunk = drafts[begin : begin + 2000]
        moment = datetime.fromisoformat(chunk[0].on).replace(tzinfo=UTC) + timedelta(hours=5)
        book.append(chunk, by="ml")
    return book


def _history(count: int, last_day: date) -> Iterator[Draft]:
    return islice(_seasons(count, last_day), count)


def _seasons(count: int, last_day: date) -> Iterator[Draft]:
    chance = random.Random(7)
    years = max(1, -(-count // 10_000))
    first = last_day - timedelta(days=365 * years)
    first_on = first.isoformat()
    yield Draft("farm", first_on, {"zone": "UTC", "latitude": 44.1})
    yield Draft(
        "frost", first_on, {"season": "spring", "threshold_f": 32, "risk_pct": 50, "month_day": "05-14"}
    )
    for n in range(1, 25):
        yield Draft("bed", first_on, {"bed": f"b{n}", "feet": 50, "width_in": 36})
    numbers = {"S": 0, "P": 0, "L": 0}
    for year in range(years):
        start = first + timedelta(days=365 * year)
        yield from _season(start, numbers, chance, last=year == years - 1)


def _season(start: date, numbers: dict[str, int], chance: random.Random, *, last: bool) -> Iterator[Draft]:
    plantings = []
    for n in range(1, 25):
        numbers["P"] += 1
        code = f"P{numbers['P']:02d}"
        crop = CROPS[n % len(CROPS)]
        plantings.append((code, crop, f"b{n}"))
        yield Draft(
            "set out", start.isoformat(), {"planting": code, "crop": crop, "bed": f"b{n}", "feet": 40}
        )
    for cut in range(SEASON_CUTS):
        on = (start + timedelta(days=30 + cut * 320 // SEASON_CUTS)).isoformat()
        numbers["L"] += 1
        code, crop, bed = chance.choice(plantings)
        stems = chance.randrange(20, 90)
        lot = f"L{numbers['L']:03d}"
        yield Draft(
            "cut", on, {"lot": lot, "crop": crop, "bed": bed, "planting": code, "use": "dry", "stems": stems}
        )
        yield Draft(
            "hung",
            on,
            {"lot": lot, "source": BUCKET, "line": f"line {cut % 9 + 1}", "stems": stems, "per": 10},
        )
        if not last or cut < SEASON_CUTS - 60:
            yield Draft(
                "lost", on, {"lot": lot, "source": f"line {cut % 9 + 1}", "count": 2, "cause": "broken"}
            )
            yield Draft("used", on, {"lot": lot, "source": f"line {cut % 9 + 1}", "stems": stems - 2})
    for code, _, _ in plantings if not last else []:
        yield Draft("cleared", (start + timedelta(days=355)).isoformat(), {"planting": code})
