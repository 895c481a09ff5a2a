"""What is claimed beside what happens: python -m tests.bench odds [alone] [right] [hasty] [BATCHES]

The truth of each table is drawn from another hand than the model's.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from textwrap import wrap

from core.reckon.drying.fit import EARLY_CHANCE, LEVEL
from core.reckon.drying.ratio import Prior
from tests.drying.made_up_batches import WORLDS, Batch, Score, daily, hasty_sheet, right_sheet, score

COUNTS = (3, 4, 5, 6, 8, 10, 12)


GOAL = (85, 97)
"""Between so many in a hundred the intervals of every cell are to hold."""
TABLES: dict[str, tuple[str, Callable[[Batch], Prior] | None]] = {
    "alone": ("no crop named", None),
    "right": ("a handbook that is right", right_sheet),
    "hasty": ("a handbook that says half the days", hasty_sheet),
}


def main() -> None:
    """Print every table, or those named: python -m tests.bench odds alone 40"""
    words = sys.argv[1:]
    if wrong := [word for word in words if word not in TABLES and not word.isdecimal()]:
        sys.exit(f"There is no table {wrong[0]}: {', '.join(TABLES)}, and how many bunches a cell.")
    batches = next((int(word) for word in words if word.isdecimal()), 110)
    for name in [word for word in words if word in TABLES] or TABLES:
        drying(name, batches)


def drying(table: str, batches: int, counts: Sequence[int] = COUNTS) -> None:
    """Bunches dry in 3.5 to 16 days, weighed daily to the gram: with no crop named, with a handbook that is right, or
    with one that says half the days."""
    title, prior = TABLES[table]
    print(f"\nDRYING, {title}: {batches} bunches a cell", flush=True)
    heads = "".join(f"{count:>6}" for count in counts)
    print(f"{f'intervals that hold, % (claimed {100 * LEVEL:.0f})':46}{heads}   weighings")
    whole = [Score() for _ in counts]
    relied, outside = [], []
    for world in WORLDS:
        row = [score(world, 100 + count, batches, daily(count), prior=prior) for count in counts]
        whole = [one + two for one, two in zip(whole, row, strict=True)]
        print(f"  {world:44}" + "".join(f"{_percent(s.held, s.intervals):>6}" for s in row), flush=True)
        relied.append((world, sum(row, Score())))
        outside += [(world, count, s) for count, s in zip(counts, row, strict=True) if not _is_in_goal(s)]
    print(f"  {'all':44}" + "".join(f"{_percent(s.held, s.intervals):>6}" for s in whole))
    print(f"{'relied on, % of all':46}" + "".join(f"{_percent(s.relied, s.count):>6}" for s in whole))
    print(
        f"{'of those relied on, %':34}{'relied':>8}{'claimed':>9}{'within a day':>14}"
        f"{f'48 h early (at most {100 * EARLY_CHANCE:.0f} claimed)':>32}"
    )
    for world, got in (*relied, ("all", sum(whole, Score()))):
        claimed = f"{100 * got.claimed / got.relied:.0f}" if got.relied else "-"
        print(
            f"  {world:32}{got.relied:>8}{claimed:>9}{_percent(got.right, got.relied):>14}"
            f"{f'{got.early} = {100 * got.early / max(got.relied, 1):.1f}':>32}"
        )
    _tell_outside(outside)


def _is_in_goal(got: Score) -> bool:
    return not got.intervals or GOAL[0] <= round(100 * got.held / got.intervals) <= GOAL[1]


def _tell_outside(outside: Sequence[tuple[str, int, Score]]) -> None:
    """Which cells hold more or less often than is the goal, and why."""
    few = [one for one in outside if one[2].held < GOAL[0] / 100 * one[2].intervals]
    many = [one for one in outside if one not in few]
    for cells, why in (
        (few, f"hold less than {GOAL[0]} %"),
        (
            many,
            f"hold more than {GOAL[1]} %: wider than these bunches need, since the weighings do not show yet that no "
            "slow heads, damp or dull weather are in them, and since what cannot be told apart is let err late",
        ),
    ):
        if cells:
            told = ", ".join(f"{world} {n} ({_percent(s.held, s.intervals)})" for world, n, s in cells)
            print("\n".join(wrap(f"{len(cells)} cells {why}: {told}", 100, subsequent_indent="  ")))


def _percent(count: float, of: int) -> str:
    return f"{100 * count / of:.0f}" if of else "-"
