"""A farm of five seasons whose true figures are known, written day by day as a grower writes: another hand than that of
the estimates.

The truths of a crop are drawn about its sheet's ranges, one in five of them far out. A season moves each of them for
all that stands in it; three plantings of a season differ among themselves. What can be counted is counted: whole seeds,
whole stems, whole days.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from core.book.entry import Entry
from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.farm import Farm
from core.fold import fold
from core.learning.figures import LEARNABLE, range_of
from tests.farms import FIFTY_FEET
from tests.learning.other_grounds import Rng, truth_in, turn

CROPS = ("strawflower", "statice", "globe amaranth", "celosia, plume")
FIGURES = (
    "germination_days",
    "comes_up_pct",
    "weeks_in_tray",
    "days_to_first_cut",
    "cut_weeks",
    "cut_every_days",
    "stems_per_plant",
    "culled_pct",
    "drying_days",
    "lost_drying_pct",
)
FLUSH_FIGURES = ("stems_first_flush", "stems_second_flush", "stems_later_flushes")
FIRST_YEAR, YEARS, PLANTINGS, SEEDS = 2021, 5, 3, 72
FAR_OUT = 0.2
BOW = 0.3
"""Where on a half wave a planting's cuts begin; they end as far from its end."""

Truths = dict[tuple[str, str], float]


@dataclass
class Written:
    """What was written, the farm after each season, and what is true of its ground; `sheets` is known beforehand.
    `by_flush`: stems a plant of the first two weeks of cutting, of the next two, and after them, as they follow from
    the stems and the weeks."""

    entries: list[Entry]
    after: list[Farm]
    truths: Truths
    sheets: dict[tuple[str, str], tuple[float, float]]

    @property
    def by_flush(self) -> Truths:
        found = {}
        for crop in CROPS:
            days, stems = 7 * self.truths[crop, "cut_weeks"], self.truths[crop, "stems_per_plant"]
            upto = [_bow_upto(min(end / days, 1.0)) * stems for end in (0, 14, 28, days)]
            for n, figure in enumerate(FLUSH_FIGURES):
                found[crop, figure] = upto[n + 1] - upto[n]
        return found


LEAST = {"cut_every_days": 1.0, "germination_days": 3.0, "drying_days": 3.0, "cut_weeks": 2.0}


def write_farm(seed: int = 1, years: int = YEARS) -> Written:
    """The farm of that many seasons."""
    rng = np.random.default_rng(seed)
    made: list[Entry] = []

    def write(on: str, kind: str, fields: dict[str, Any]) -> None:
        at = f"{on}T{timedelta(seconds=len(made))!s:0>8}.000Z"
        made.append(Entry(f"0195{len(made):08x}-0000-7000-8000-000000000000", on, at, "ml", kind, fields))

    begun = f"{FIRST_YEAR}-01-05"
    write(begun, "frost", {"season": "spring", "threshold_f": 32, "risk_pct": 50, "month_day": "05-10"})
    for crop in CROPS:
        for n in range(PLANTINGS):
            write(begun, "bed", {"bed": _bed(crop, n), **FIFTY_FEET})
    truths: Truths = {}
    sheets = {}
    for crop in CROPS:
        for figure in FIGURES:
            span = _range(crop, figure)
            sheets[crop, figure] = span
            truths[crop, figure] = _truth(rng, figure, span)
    after = []
    codes = {"S": 0, "P": 0, "L": 0}
    for year in range(FIRST_YEAR, FIRST_YEAR + years):
        days: list[tuple[str, int, str, dict[str, Any]]] = []
        for crop in CROPS:
            days += _season(rng, crop, year, truths, sheets, codes, len(days))
        for on, _, kind, fields in sorted(days, key=lambda one: one[:2]):
            write(on, kind, fields)
        after.append(_folded([*made]))
    return Written(made, after, truths, sheets)


def _folded(entries: list[Entry]) -> Farm:
    farm = fold(entries)
    assert not farm.matters, farm.matters[:3]
    return farm


def _bow_upto(part: float) -> float:
    """The share of all stems that were cut in the first part (0 to 1) of the time of cutting."""
    at = BOW + part * (np.pi - 2 * BOW)
    return float((np.cos(BOW) - np.cos(at)) / (2 * np.cos(BOW)))


def _range(crop: str, figure: str) -> tuple[float, float]:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    known = range_of(LEARNABLE[figure], found, crop)
    assert known is not None
    return known.value


def _truth(rng: Rng, figure: str, span: tuple[float, float]) -> float:
    middle, half = sum(span) / 2, (span[1] - span[0]) / 2
    times = 3.0 if rng.random() < FAR_OUT else 1.0
    drawn = truth_in(rng, (middle - times * half, middle + times * half))
    most = 97.0 if figure.endswith("_pct") else np.inf
    return float(min(max(drawn, LEAST.get(figure, 0.2 * middle)), most))


def _bed(crop: str, n: int) -> str:
    return f"{crop[0]}{len(crop)}{n}"


def _season(
    rng: Rng,
    crop: str,
    year: int,
    truths: Truths,
    sheets: dict[tuple[str, str], tuple[float, float]],
    codes: dict[str, int],
    begun: int,
) -> Iterator[tuple[str, int, str, dict[str, Any]]]:
    """What is written of a crop in one season, as (day, order, kind, fields)."""
    place = begun

    def entry(on: date, kind: str, **fields: Any) -> tuple[str, int, str, dict[str, Any]]:
        nonlocal place
        place += 1
        return on.isoformat(), place, kind, fields

    def code(letter: str) -> str:
        codes[letter] += 1
        return f"{letter}{codes[letter]:03d}"

    of_year = {}
    for figure in FIGURES:
        low, high = sheets[crop, figure]
        truth = truths[crop, figure]
        spread = 0.04 * 100 if figure.endswith("_pct") else 0.22 * (high - low)
        if figure in ("culled_pct", "lost_drying_pct"):
            spread = 0.25 * truth
        least = LEAST.get(figure, 0.2 * truth)
        of_year[figure] = max(truth + turn(rng, spread), least)

    def days_of(figure: str, least: float = 1) -> float:
        low, high = sheets[crop, figure]
        return float(max(of_year[figure] + turn(rng, 0.2 * (high - low)), least))

    for n in range(PLANTINGS):
        out = date(year, 5, 18) + timedelta(days=12 * n)
        sown = out - timedelta(days=max(round(7 * days_of("weeks_in_tray")), 8))
        tray, planting = code("S"), code("P")
        yield entry(sown, "sown", tray=tray, crop=crop, cells=SEEDS, seeds=SEEDS)
        up = int(rng.binomial(SEEDS, min(of_year["comes_up_pct"], 99) / 100))
        came = min(sown + timedelta(days=round(days_of("germination_days"))), out - timedelta(days=2))
        yield entry(came, "up", tray=tray, count=up)
        plants = max(min(up, 60), 1)
        if up == 0:
            continue
        yield entry(
            out, "set out", planting=planting, crop=crop, bed=_bed(crop, n), feet=25, plants=plants, tray=tray
        )
        if up > plants:
            yield entry(out, "lost", tray=tray, count=up - plants, cause="other")
        first = out + timedelta(days=round(days_of("days_to_first_cut")))
        length = max(7 * days_of("cut_weeks") - 1, 3)
        every = max(days_of("cut_every_days"), 1.0)
        count = max(round(length / every) + 1, 2)
        cuts = sorted({first + timedelta(days=round(i * length / (count - 1))) for i in range(count)})
        each = rng.uniform(0.5, 1.5, plants) * of_year["stems_per_plant"]
        stems = max(int(np.floor(each + rng.random(plants)).sum()), len(cuts))
        shape = np.sin(np.linspace(BOW, np.pi - BOW, len(cuts)))
        given = 1 + rng.multinomial(stems - len(cuts), shape / shape.sum())
        for i, (on, number) in enumerate(zip(cuts, given, strict=True)):
            lot = code("L")
            culls = min(int(rng.binomial(number, min(of_year["culled_pct"], 95) / 100)), int(number) - 1)
            good = int(number) - culls
            fields = {"culls": culls} if culls else {}
            yield entry(
                on,
                "cut",
                lot=lot,
                crop=crop,
                planting=planting,
                bed=_bed(crop, n),
                use="dry",
                stems=good,
                **fields,
            )
            if i % 2:
                yield entry(on, "sold", lot=lot, stems=good, source="bucket", cents=60 * good)
                continue
            yield entry(on, "hung", lot=lot, stems=good, source="bucket", line="line 1")
            dry = on + timedelta(days=max(int(np.ceil(days_of("drying_days", 2))), 2))
            yield entry(dry - timedelta(days=1), "tested", lot=lot, result="bends")
            yield entry(dry, "tested", lot=lot, result="snaps")
            lost = int(rng.binomial(good, min(of_year["lost_drying_pct"], 95) / 100))
            if lost:
                yield entry(dry, "lost", lot=lot, count=lost, cause="shatter", source="line 1")
            if good > lost:
                yield entry(
                    dry, "sold", lot=lot, stems=good - lost, source="line 1", cents=80 * (good - lost)
                )
        yield entry(max(cuts[-1] + timedelta(days=60), dry), "cleared", planting=planting)
