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
from tests.learning.against_the_sheet import TOLD_APART, compared, wins
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
        f"Estimate nearer to the truth than the middle of the sheet's range, in %:"
    )
    print(
        f"{'seasons':8}{'of all':>8}{f'sheet off by {TOLD_APART:g} widths':>28}{'error of both':>15}{'held':>8}"
    )
    for n in range(1, YEARS + 1):
        some = [one for one in every if one.seasons == n]
        (all_won, _), (won, off) = wins(some, 0.0), wins(some)
        error = sum(one.estimate_off for one in some) / sum(one.sheet_off for one in some)
        inside = sum(one.held for one in some) / len(some)
        print(f"{n:<8}{100 * all_won:8.0f}{100 * won:20.0f} of {off:<5}{error:15.2f}{100 * inside:8.0f}")
    print()
    print("The same after two seasons, figure by figure:")
    for figure in FIGURES:
        some = [one for one in every if one.seasons == 2 and one.figure == figure]
        won, off = wins(some)
        print(f"{figure:20}{100 * won:6.0f} of {off}")
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
