"""What is claimed beside what happens: python -m tests.bench odds [BATCHES]

One function a table; each draws its truth from another hand than the model's.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

from core.reckon.drying.fit import EARLY_CHANCE, LEVEL
from core.reckon.drying.ratio import Prior
from tests.drying.made_up_batches import WORLDS, Batch, Score, daily, hasty_sheet, right_sheet, score

COUNTS = (3, 4, 5, 6, 8, 10, 12)


def main() -> None:
    """Print every table."""
    batches = int(sys.argv[1]) if len(sys.argv) > 1 else 110
    drying(batches)


def drying(batches: int, counts: Sequence[int] = COUNTS) -> None:
    """Bunches dry in 3.5 to 16 days, weighed daily to the gram: with no crop named, with a handbook that is right, and
    with one that says half the days."""
    for title, prior in (
        ("no crop named", None),
        ("a handbook that is right", right_sheet),
        ("a handbook that says half the days", hasty_sheet),
    ):
        _drying(title, batches, counts, prior)


def _drying(title: str, batches: int, counts: Sequence[int], prior: Callable[[Batch], Prior] | None) -> None:
    print(f"\nDRYING, {title}: {batches} bunches a cell")
    heads = "".join(f"{count:>6}" for count in counts)
    print(f"{f'intervals that hold, % (claimed {100 * LEVEL:.0f})':46}{heads}   weighings")
    whole = [Score() for _ in counts]
    relied = []
    for world in WORLDS:
        row = [score(world, 100 + count, batches, daily(count), prior=prior) for count in counts]
        whole = [one + two for one, two in zip(whole, row, strict=True)]
        print(f"  {world:44}" + "".join(f"{_percent(s.held, s.intervals):>6}" for s in row))
        relied.append((world, sum(row, Score())))
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


def _percent(count: float, of: int) -> str:
    return f"{100 * count / of:.0f}" if of else "-"
