"""What the allotting of stock to promises costs beside a greedy pass, and whether a season of promises is kept."""

from __future__ import annotations

import sys
from datetime import date, timedelta
from itertools import pairwise
from random import Random
from statistics import median
from time import perf_counter

from core.reckon.promise.allocation import allocate, by_rank
from core.reckon.promise.needs import Lot, Need
from tests.plans.other_hand import WORLDS
from tests.promise import season_of_orders

START = date(2026, 7, 1)
NEEDS, LOTS, DAYS, SORTS = 500, 2000, 90, 30
ROUNDS = 5
ORDERS, SEASONS = 300, 60
BINS = (0.6, 0.75, 0.85, 0.93, 1.01)


def main() -> None:
    """Print all of it."""
    print(
        f"Allotting {NEEDS} open items from {LOTS} lots of {SORTS} sorts over {DAYS} days, the median of {ROUNDS}:"
    )
    print(f"{'stock':10}{'wanted':>8}{'there':>8}{'served':>8}{'greedy serves':>15}{'ms':>8}{'x greedy':>10}")
    for name, most in (("ample", 20), ("scarce", 60), ("very scarce", 120)):
        needs, lots = crowded(Random(1), most)
        exact, ms = _timed(lambda n=needs, s=lots: sum(allocate(n, s).served))  # type: ignore[misc]
        greedy, greedy_ms = _timed(lambda n=needs, s=lots: greedy_pass(n, s))  # type: ignore[misc]
        wanted, there = sum(n.wanted for n in needs), sum(lot.amount for lot in lots)
        print(f"{name:11}{wanted:7}{there:8}{exact:8}{greedy:15}{ms:8.0f}{ms / greedy_ms:10.1f}")
    print()
    kept_promises()


def kept_promises() -> None:
    """How often promises are kept, beside what was said of them."""
    orders = int(sys.argv[1]) if len(sys.argv) > 1 else ORDERS
    farm = season_of_orders.invented_farm()
    began = perf_counter()
    taken = season_of_orders.taken_orders(farm, orders, Random(1))
    sure = [i for i, one in enumerate(taken) if one.sureness == "surely"]
    print(
        f"A season of {len(taken)} orders, {len(sure)} of them promised surely, each kept or not in {SEASONS} seasons "
        f"of {len(WORLDS)} made-up worlds ({perf_counter() - began:.0f} s to answer):"
    )
    for yields, of in ((1.0, "the figures as they are"), (0.8, "a fifth fewer stems")):
        for name, served in (
            ("by the day due", season_of_orders.by_day),
            ("first promised first", season_of_orders.as_promised),
        ):
            kept = season_of_orders.shares_kept(farm, taken, served, seasons=SEASONS, yields=yields)
            print(f"{of}, served {name}: surely {kept[:, sure].mean():.3f} of {kept[:, sure].size} promises")
            for low, high in pairwise(BINS):
                mine = [i for i, one in enumerate(taken) if i not in sure and low <= one.chance < high]
                if mine:
                    said = sum(taken[i].chance for i in mine) / len(mine)
                    share = kept[:, mine].mean()
                    print(f"    likely: said {said:.3f}, kept {share:.3f} of {kept[:, mine].size} promises")


def crowded(rng: Random, most: int) -> tuple[list[Need], list[Lot]]:
    """Open items of up to `most` stems, over half of them with substitutes; a third of the lots keeps."""
    sorts = [f"sort {n}" for n in range(SORTS)]
    lots = []
    for n in range(LOTS):
        ready = START + timedelta(days=rng.randint(-10, DAYS - 5))
        good = ready + timedelta(days=rng.choice((3, 5, 7, 10, 60, 90)))
        lots.append(Lot(ready, good, rng.randint(1, 14), rng.choice(sorts), f"lot {n}"))
    items = sorted(
        (rng.randrange(DAYS), n, rng.randint(5, most), tuple(rng.sample(sorts, rng.choice((1, 1, 2, 3)))))
        for n in range(NEEDS)
    )
    return [
        Need(START + timedelta(days=due), rank, wanted, accepts, 0, f"item {n}")
        for rank, (due, n, wanted, accepts) in enumerate(items)
    ], lots


def greedy_pass(needs: list[Need], lots: list[Lot]) -> int:
    """In the order of ranks each takes what fits and expires first: quick, and not the most there is."""
    left, served = [lot.amount for lot in lots], 0
    by_sort: dict[str, list[tuple[int, int, int]]] = {}
    for i in sorted(range(len(lots)), key=lambda i: lots[i].expires_first):
        ready, good = lots[i].ready.toordinal(), lots[i].good_through.toordinal()
        by_sort.setdefault(lots[i].sort, []).append((good, ready, i))
    for j in by_rank(needs):
        need, day = needs[j], needs[j].due.toordinal()
        lacking = need.wanted
        for _, _, i in sorted(
            heap for sort in need.accepts for heap in by_sort.get(sort, ()) if heap[1] <= day <= heap[0]
        ):
            part = min(left[i], lacking)
            left[i] -= part
            lacking -= part
        served += need.wanted - lacking
    return served


def _timed(work: object) -> tuple[int, float]:
    assert callable(work)
    times, found = [], 0
    for _ in range(ROUNDS):
        began = perf_counter()
        found = work()
        times.append(1000 * (perf_counter() - began))
    return found, median(times)
