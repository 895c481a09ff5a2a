"""What the allotting of stock to promises costs beside a greedy pass, and whether a season of promises is kept."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from statistics import median
from time import process_time

from core.reckon.promise.allocation import allocate, by_rank
from core.reckon.promise.needs import Lot, Need
from tests.plans.other_hand import WORLDS
from tests.promise.asked_often import Kept, asked_of, binned, kept_by_day, kept_in_seasons
from tests.promise.demo_orders import demo_with
from tests.promise.season_of_orders import Season, demo_season, planned_season
from tests.promise.test_plain_answers import ORDERS as ORDERS_BEFORE
from tests.promise.test_plain_answers import slowest

START = date(2026, 7, 1)
NEEDS, LOTS, DAYS, SORTS = 500, 2000, 90, 30
ROUNDS = 5
QUESTIONS, OF_PIECES, OF_SOURCE = 36, 6, 20
SEASONS, PIECE_SEASONS, DAY_SEASONS = 30, 10, 10
"""True seasons in each of the worlds: of stems; of pieces, for which the whole farm is allotted; of orders by day."""
ASKED_ON = (
    *(date(2025, 6, 20), date(2025, 7, 15), date(2025, 8, 5), date(2025, 8, 25)),
    *(date(2026, 5, 28), date(2026, 6, 8), date(2026, 6, 15), date(2026, 6, 23)),
)
NEAR, FAR = (3, 30), (40, 180)


def more_of() -> dict[str, tuple[Season, ...]]:
    """Source -> the seasons in which more is asked of it: a book of orders alone asks too little of these."""
    hung = ((2025, 7, 15), (2025, 8, 5), (2025, 8, 25), (2026, 6, 15), (2026, 6, 23))
    sown = ((2025, 5, 20), (2026, 4, 10), (2026, 5, 1), (2026, 5, 28))
    there = ((2025, 7, 15), (2025, 8, 5), (2025, 8, 25), (2026, 6, 23))
    return {
        "on the line": tuple(demo_season(date(*on))._replace(ahead=(NEAR,)) for on in hung),
        "on hand": tuple(demo_season(date(*on))._replace(ahead=(NEAR,)) for on in there),
        "in trays": tuple(demo_season(date(*on))._replace(ahead=(FAR,)) for on in sown),
        "planned": tuple(planned_season(date(2026, *on)) for on in ((3, 1), (3, 20), (4, 10))),
    }


def main() -> None:
    """Print all of it."""
    print(
        f"Allotting {NEEDS} open items from {LOTS} lots of {SORTS} sorts over {DAYS} days, to be under 300 ms of "
        f"processor, the median of {ROUNDS}:"
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
    """The slowest of all questions, asked on the demo farm with orders: every crop in every form, and every recipe."""
    with demo_with(*ORDERS_BEFORE) as session:
        farm = session.farm
        crops = dict.fromkeys(
            one.crop for one in (*farm.plantings.live(), *farm.trays.live(), *farm.lots.live())
        )
        wares = [f"{crop} {form}" for crop in crops for form in ("fresh", "dry", "wired")]
        slow = slowest(
            session, [f"6 {ware} {day}" for ware in (*wares, *farm.recipes) for day in ("7-15", "9-5")]
        )
    print(
        f"{len(slow)} questions on the demo farm, each as the first of a session, seconds of processor for the"
    )
    print("slowest and the middle one:")
    for seconds, text in (*slow[:3], slow[len(slow) // 2]):
        print(f"    {seconds:.2f}  {text}")


def kept_promises() -> None:
    """How often promises are kept, beside what was said of them: on the demo farm, on some days of two seasons, each
    with a book of orders of its own. `promises QUESTIONS` asks so many a day in place of 36."""
    questions = int(sys.argv[1]) if len(sys.argv) > 1 else QUESTIONS
    began, books = process_time(), []
    for n, day in enumerate(ASKED_ON):
        of = demo_season(day)
        books.append((of, asked_of(of, questions, OF_PIECES, Random(n))))
    asked = [one for _, book in books for one in book]
    of_source = max(questions * OF_SOURCE // QUESTIONS, 1)
    more = [
        (of, asked_of(of, of_source, 0, Random(n), source))
        for source, seasons in more_of().items()
        for n, of in enumerate(seasons)
    ]
    print(
        f"{len(asked)} questions on {len(ASKED_ON)} days of the demo farm, {sum(one.is_taken for one in asked)} of "
        f"them taken as orders; of each what is sure and what is likely with some chances, kept or not in "
        f"{SEASONS * len(WORLDS)} seasons of {len(WORLDS)} made-up worlds (pieces in {PIECE_SEASONS * len(WORLDS)});\n"
        f"by source beside {sum(len(book) for _, book in more)} more of what hangs, lies, is in trays, is planned\n"
        f"({process_time() - began:.0f} s of processor to answer; the error is the standard error by question):",
        flush=True,
    )
    for yields, of_what in ((1.0, "from the figures as they are"), (0.8, "from figures a fifth worse")):
        found: list[Kept] = []
        by_day: list[Kept] = []
        for n, (of, book) in enumerate(books):
            stems = [one for one in book if one.source != "pieces"]
            found += kept_in_seasons(of, stems, SEASONS, yields, 10 * n)
            of_all = kept_in_seasons(of, book, PIECE_SEASONS, yields, 10 * n)
            found += [kept for kept in of_all if kept.question.source == "pieces"]
            by_day += kept_by_day(of, book, DAY_SEASONS, yields, 10 * n + 5)
        beside = [
            kept
            for n, (of, book) in enumerate(more)
            for kept in kept_in_seasons(of, book, SEASONS, yields, 10 * n)
        ]
        print(f"True seasons drawn {of_what}:")
        _print_bins("all", found)
        for source in dict.fromkeys(one.source for one in asked):
            _print_bins(source, [kept for kept in (*found, *beside) if kept.question.source == source])
        for form in ("fresh", "dry"):
            _print_bins(form, [kept for kept in found if kept.question.claim.form == form])
        _print_bins("orders, by day", by_day)
        print(f"({process_time() - began:.0f} s of processor)", flush=True)


def _print_bins(name: str, promises: Sequence[Kept]) -> None:
    for said, of in binned(promises).items():
        print(
            f"    {name:15} {said:13}{of.questions:5} questions {of.promises:7} promises: said {100 * of.chance:5.1f}, "
            f"kept {100 * of.kept:5.1f} of 100, {100 * (of.kept - of.chance):+5.1f} (error {100 * of.error:.1f})",
            flush=True,
        )


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
        began = process_time()
        found = work()
        times.append(1000 * (process_time() - began))
    return found, median(times)
