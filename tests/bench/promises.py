"""What the allotting of stock to promises costs beside a greedy pass, and whether a season of promises is kept."""

from __future__ import annotations

import sys
from datetime import date, timedelta
from random import Random
from statistics import median
from time import perf_counter, process_time

from core.reckon.promise.allocation import allocate, by_rank
from core.reckon.promise.needs import Lot, Need
from tests.plans.other_hand import WORLDS
from tests.promise import season_of_orders
from tests.promise.demo_orders import demo_with
from tests.promise.test_plain_answers import ORDERS as ORDERS_BEFORE
from tests.promise.test_plain_answers import slowest

START = date(2026, 7, 1)
NEEDS, LOTS, DAYS, SORTS = 500, 2000, 90, 30
ROUNDS = 5
ORDERS, SEASONS = 300, 25
SEEDS = (0, 100)
ASKED_ON = (date(2026, 5, 28), date(2026, 6, 8), date(2026, 6, 15), date(2026, 6, 23))


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
    answers()
    print()
    kept_promises()


def answers() -> None:
    """The slowest of many questions, asked on the demo farm with orders."""
    with demo_with(*ORDERS_BEFORE) as session:
        slow = slowest(session)
    print(f"{len(slow)} questions on the demo farm, seconds of processor for the slowest and the middle one:")
    for seconds, text in (*slow[:3], slow[len(slow) // 2]):
        print(f"    {seconds:.2f}  {text}")


def kept_promises() -> None:
    """How often promises are kept, beside what was said of them: on the demo farm, as asked for on some days of a
    season, each with a book of orders of its own; twice, with other orders. `promises ORDERS SEED` runs one of fewer.
    """
    orders = int(sys.argv[1]) if len(sys.argv) > 1 else ORDERS
    for seed in map(int, sys.argv[2:]) if len(sys.argv) > 2 else SEEDS:
        _books_kept(orders, seed)


def _books_kept(orders: int, seed: int) -> None:
    began, books = process_time(), []
    for n, day in enumerate(ASKED_ON):
        of = season_of_orders.demo_season(day)
        books.append((of, season_of_orders.taken_orders(of, orders, Random(seed + n))))
    taken = [one for _, book in books for one in book]
    sure = sum(one.sureness == "surely" for one in taken)
    print(
        f"Seasons of {orders} orders on the demo farm, asked for on {len(ASKED_ON)} days (seed {seed}): "
        f"{len(taken)} promises, {sure} of them surely, each kept or not in {SEASONS} seasons of {len(WORLDS)} made-up "
        f"worlds ({process_time() - began:.0f} s of processor to answer):",
        flush=True,
    )
    for yields, of_what in ((1.0, "the figures as they are"), (0.8, "a fifth fewer stems")):
        for name, served in (
            ("by the day due", season_of_orders.by_day),
            ("first promised first", season_of_orders.as_promised),
        ):
            kept = [
                share
                for of, book in books
                for share in season_of_orders.shares_kept(
                    of, book, served, seasons=SEASONS, yields=yields
                ).mean(axis=0)
            ]
            print(f"{of_what}, served {name}:")
            for row in season_of_orders.told_and_kept(taken, kept):
                outcomes = row.promises * SEASONS * len(WORLDS)
                said = f"{row.said:7} {row.promises:5} promises, said {row.chance:.3f}"
                print(f"    {said}, kept {row.kept:.3f} of {outcomes}", flush=True)


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
