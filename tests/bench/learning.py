"""What a record of few seasons says beside the sheets, on farms whose true figures are known; and what that costs."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import perf_counter

from tests.bench.seasons import write_seasons
from tests.learning.against_the_sheet import TOLD_APART, Compared, compared, error_by_kind, error_of, wins
from tests.learning.five_seasons import FIGURES, YEARS
from tests.learning.other_grounds import DAYS, WAYS, held, in_sheet, learning_days, outside, pooling_plants

FARMS, RUNS = 12, 1000
ENTRIES, ROUNDS = 200_000, 5
DAY = "2026-06-20"


def main() -> None:
    """Print all of it."""
    farms = int(sys.argv[1]) if len(sys.argv) > 1 else FARMS
    began = perf_counter()
    every = [one for seed in range(1, farms + 1) for one in compared(seed, YEARS)]
    print(
        f"{farms} made-up farms of {YEARS} seasons, {len(every) // YEARS} figures ({perf_counter() - began:.0f} s). "
        "Error: the mean error of the estimates beside that of the middle of the sheet's range. Nearer: of single "
        "figures, those of which the estimate is nearer to the truth than the sheet, in %; side: those of which it "
        "lies on the truth's side of the middle, without which none can be nearer; off: the sheet misses by "
        f"{TOLD_APART:g} widths of its range or more."
    )
    print(
        f"{'seasons':20}{'error':>7}{'kinds beaten':>14}{'nearer':>8}{'side':>6}{'nearer, off':>18}{'held':>6}"
    )
    for n in range(1, YEARS + 1):
        some = [one for one in every if one.seasons == n]
        beaten = sum(error < 1 for error in error_by_kind(some).values())
        print(f"{n:<20}{error_of(some):7.2f}{beaten:8} of {len(FIGURES)}{_shares(some)}")
    print()
    print("The same after two seasons, kind by kind:")
    for figure in FIGURES:
        some = [one for one in every if one.seasons == 2 and one.figure == figure]
        print(f"{figure:20}{error_of(some):7.2f}{'':14}{_shares(some)}")
    print()
    print(f"Intervals of nine in ten that hold the truth, in % of {RUNS} runs, and their middle width:")
    for seasons in (1, 2, 3, 5):
        cells = [held(learning(seasons), truth, RUNS) for learning, truth in WAYS.values()]
        cells += [
            held(learning_days(seasons), outside, RUNS),
            held(pooling_plants(seasons), in_sheet(DAYS), RUNS),
        ]
        names = (*WAYS, "days, ground outside the sheet", "days, plants pooled (wrong)")
        told = "; ".join(
            f"{name} {100 * c.share:.0f} ({c.width:.2g})" for name, c in zip(names, cells, strict=True)
        )
        print(f"{seasons} seasons: {told}")
    print()
    _pages()


def _shares(some: list[Compared]) -> str:
    (all_won, count), (won, off) = wins(some, 0.0), wins(some)
    side, held_it = (sum(getattr(one, name) for one in some) / count for name in ("right_side", "held"))
    return f"{100 * all_won:8.0f}{100 * side:6.0f}{100 * won:11.0f} of {off:<3}{100 * held_it:6.0f}"


def _pages() -> None:
    """How long the pages of the look back take on a book of many seasons, started anew."""
    with tempfile.TemporaryDirectory() as temporary:
        farm = Path(temporary) / "farm"
        write_seasons(farm, ENTRIES)
        command = (sys.executable, "-m", "tui", "--farm", str(farm), "--on", DAY)
        subprocess.run([*command, "today"], check=True, stdout=subprocess.DEVNULL)  # makes the cached fold
        print(f"{ENTRIES} entries of 20 seasons, the median of {ROUNDS}, the program started anew:")
        for words in (
            ["today"],
            ["season", "2025"],
            ["season", "2010"],
            ["cost", "--year", "2025"],
            ["learn"],
        ):
            times, busy = [], []
            for _ in range(ROUNDS):
                began, before = perf_counter(), getrusage(RUSAGE_CHILDREN)
                subprocess.run([*command, *words], check=True, stdout=subprocess.DEVNULL)
                after = getrusage(RUSAGE_CHILDREN)
                times.append(perf_counter() - began)
                busy.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
            print(f"  {' '.join(words):20}{median(times):8.2f} s, {median(busy):.2f} s of a core")
