"""Which lot serves which promise, exactly: the fewest short by rank, and what expires first leaves first.

Of several sorts that would do, a promise takes what the others cannot use. Earliest expiry first is the procedure by
which stock that expires earlier is used before the same stock that expires later (World Health Organization, good
distribution practices, glossary); it says nothing of the last day itself, which counts here as good. Pieces of
several parts are served in their turn, each with all its parts or not at all: for them, and only for them, no more is
claimed than that no later need takes from an earlier one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import NamedTuple

from core.reckon.promise.flow import Flow
from core.reckon.promise.needs import AnyNeed, Lot, Need, PieceNeed


class Taken(NamedTuple):
    """So many of the lot that stands at that place among those given; `part` says for which part of a piece."""

    lot: int
    amount: int
    part: int = 0


@dataclass(frozen=True, slots=True)
class Allocation:
    """How many of each need are served, in the order in which the needs were given, and from which lots; and what is
    `left` of each lot."""

    served: tuple[int, ...]
    taken: tuple[tuple[Taken, ...], ...]
    left: tuple[int, ...]


def allocate(needs: Sequence[AnyNeed], lots: Sequence[Lot]) -> Allocation:
    """Serve the needs from the lots; the same whatever order either is given in."""
    stock = Stock.of(lots)
    asks, served = in_turn(stock, needs)
    stock.flow.first_heaps_first()
    parts = {ask: (place, part) for place, mine in enumerate(asks) for part, ask in enumerate(mine)}
    taken: list[list[Taken]] = [[] for _ in needs]
    left = [0] * len(lots)
    for lot, over, given in zip(stock.order, stock.flow.left, stock.flow.given, strict=True):
        left[lot] = over
        for ask, amount in given.items():
            place, part = parts[ask]
            taken[place].append(Taken(lot, amount, part))
    return Allocation(served, tuple(map(tuple, taken)), tuple(left))


def served(needs: Sequence[AnyNeed], lots: Sequence[Lot]) -> tuple[int, ...]:
    """How many of each need are served, without saying from which lots."""
    return in_turn(Stock.of(lots), needs)[1]


class Stock:
    """Lots in the order in which they leave, and what is given of them."""

    def __init__(self, lots: Sequence[Lot], order: Sequence[int]) -> None:
        self.order = order
        by_sort: dict[str, list[tuple[int, date, date]]] = {}
        for heap, place in enumerate(order):
            lot = lots[place]
            by_sort.setdefault(lot.sort, []).append((heap, lot.ready, lot.good_through))
            for sort, ready, good in lot.also:
                by_sort.setdefault(sort, []).append((heap, ready, good))
        self._by_sort = by_sort
        self._of = [lots[place].of for place in order]
        self.flow = Flow.of([lots[place].amount for place in order], ())

    @staticmethod
    def of(lots: Sequence[Lot]) -> Stock:
        """All of them, nothing given yet."""
        by_life = sorted(
            (lot.good_through, lot.ready, lot.sort, lot.name, lot.amount, i) for i, lot in enumerate(lots)
        )
        return Stock(lots, [one[-1] for one in by_life])

    @property
    def sorts(self) -> frozenset[str]:
        """Every sort that any of it can be handed over as."""
        return frozenset(self._by_sort)

    def fits(self, accepts: Sequence[str], due: date, life_left: int, first: int | None = None) -> list[int]:
        """What will do on that day, in the order in which it leaves; of the `first` so many lots given, where that is
        said."""
        until, order = due + timedelta(days=life_left) if life_left else due, self.order
        found = [
            heap
            for sort in accepts
            for heap, ready, good in self._by_sort.get(sort, ())
            if ready <= due and until <= good and (first is None or order[heap] < first)
        ]
        return sorted(set(found)) if len(accepts) > 1 else list(dict.fromkeys(found))

    def serve(self, need: Need) -> tuple[list[int], int]:
        """(the number of its ask, how many it gets)."""
        ask = self.flow.add(self.fits(need.accepts, need.due, need.life_left))
        return [ask], self.flow.fill(ask, need.wanted)

    def serve_of_own(self, needs: Mapping[int, Need]) -> Mapping[int, tuple[int, int]]:
        """place of each need -> (the number of its ask, how many it gets of what was grown for it), in that order;
        then each may be served of all that fits."""
        found = {}
        fits = {place: self.fits(need.accepts, need.due, need.life_left) for place, need in needs.items()}
        for place, need in needs.items():
            ask = self.flow.add([heap for heap in fits[place] if self._of[heap] in need.own])
            found[place] = ask, self.flow.fill(ask, need.wanted)
        for place, (ask, _) in found.items():
            self.flow.widen(ask, fits[place])
        return found

    def serve_pieces(self, need: PieceNeed, first: int | None = None) -> tuple[list[int], int]:
        """(the numbers of the asks of its parts, how many whole pieces they make); of the `first` lots."""
        asks = [
            self.flow.add(self.fits(part.accepts, need.due, need.life_left, first)) for part in need.parts
        ]
        before = self.flow

        def try_for(count: int) -> Flow | None:
            trial = before.copy()
            for ask, part in zip(asks, need.parts, strict=True):
                wanted = ceil(count * part.each - 1e-9)
                if trial.fill(ask, wanted) < wanted:
                    return None
            return trial

        self.flow, count = _most(need.wanted, try_for, before)
        return asks, count

    def free(self, accepts: tuple[str, ...], day: date, life_left: int = 0, first: int | None = None) -> int:
        """What one need more could have on that day without taking from those before it; of the `first` lots."""
        trial = self.flow.copy()
        ask = trial.add(self.fits(accepts, day, life_left, first))
        return trial.fill(ask, sum(trial.left))

    def can_spare(self, amounts: Mapping[int, int]) -> bool:
        """Whether so many of each of these lots could be taken without taking from any need."""
        trial = self.flow.copy()
        heaps = {place: heap for heap, place in enumerate(self.order)}
        return all(
            trial.fill(trial.add([heaps[place]]), amount) == amount for place, amount in amounts.items()
        )

    def free_pieces(self, need: PieceNeed, first: int | None = None) -> int:
        """How many such pieces could be made of what those before it leave, `wanted` at most; of the `first` lots."""
        kept = self.flow
        self.flow = kept.copy()
        count = self.serve_pieces(need, first)[1]
        self.flow = kept
        return count


def in_turn(stock: Stock, needs: Sequence[AnyNeed]) -> tuple[list[list[int]], tuple[int, ...]]:
    """Serve the needs in the order of their ranks, each first of what was grown for it.

    (The asks of each need, how many of it are served), in the order in which the needs were given.
    """
    asks: list[list[int]] = [[] for _ in needs]
    counts = [0] * len(needs)
    order = by_rank(needs)
    of_own = {i: one for i in order if isinstance(one := needs[i], Need) and one.own}
    for i, (ask, count) in stock.serve_of_own(of_own).items():
        asks[i], counts[i] = [ask], count
    for i in order:
        need = needs[i]
        if asks[i]:
            counts[i] += stock.flow.fill(asks[i][0], need.wanted - counts[i])
        else:
            asks[i], counts[i] = (
                stock.serve_pieces(need) if isinstance(need, PieceNeed) else stock.serve(need)
            )
    return asks, tuple(counts)


def by_rank(needs: Sequence[AnyNeed]) -> list[int]:
    """The places of the needs in the order in which they are served, whatever order they stand in."""
    return sorted(
        range(len(needs)), key=lambda i: (needs[i].rank, needs[i].due, needs[i].name, needs[i].wanted)
    )


def _most(most: int, try_for: Callable[[int], Flow | None], none: Flow) -> tuple[Flow, int]:
    """The largest count up to `most` that can be had, with what it takes; where one can be had, fewer can."""
    best, low, high = none, 0, most + 1
    count = most
    while high - low > 1:
        trial = try_for(count)
        if trial is None:
            high = count
        else:
            best, low = trial, count
        count = (low + high) // 2
    return best, low
