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
from core.reckon.promise.needs import AnyNeed, Lot, Need, Part, PieceNeed


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

    def serve_of_own(self, needs: Mapping[int, AnyNeed]) -> Mapping[int, list[tuple[int, int]]]:
        """place of each need -> (the number of its ask, how many stems it gets of what was grown for it), of pieces for
        each of their parts, in that order; then each may be served of all that fits."""
        found: dict[int, list[tuple[int, int]]] = {}
        fits: list[tuple[int, list[int]]] = []
        for place, need in needs.items():
            found[place] = []
            for wanted, accepts in _stems_of(need):
                every = self.fits(accepts, need.due, need.life_left)
                ask = self.flow.add([heap for heap in every if self._of[heap] in need.own])
                found[place].append((ask, self.flow.fill(ask, wanted)))
                fits.append((ask, every))
        for ask, every in fits:
            self.flow.widen(ask, every)
        return found

    def serve_pieces(self, need: PieceNeed, first: int | None = None) -> tuple[list[int], int]:
        """(the numbers of the asks of its parts, how many whole pieces they make); of the `first` lots."""
        asks = [
            self.flow.add(self.fits(part.accepts, need.due, need.life_left, first)) for part in need.parts
        ]
        return asks, self.make_of(need, [(ask, 0) for ask in asks])

    def make_of(self, need: PieceNeed, parts: Sequence[tuple[int, int]]) -> int:
        """How many whole pieces are made where each part is (its ask, the stems that it has); what it has and they do
        not need goes back."""
        before = self.flow

        def try_for(count: int) -> Flow | None:
            trial = before.copy()
            for (ask, has), part in zip(parts, need.parts, strict=True):
                lacking = stems_for(count, part) - has
                if lacking > 0 and trial.fill(ask, lacking) < lacking:
                    return None
            return trial

        self.flow, count = _most(need.wanted, try_for, before)
        for (ask, has), part in zip(parts, need.parts, strict=True):
            if (over := has - stems_for(count, part)) > 0:
                self.flow.take_back(ask, over)
        return count

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
    """Serve the needs in the order of their ranks, each first of what was grown for it. What was grown for pieces that
    lack another part goes to stems that are short.

    (The asks of each need, how many of it are served), in the order in which the needs were given.
    """
    asks: list[list[int]] = [[] for _ in needs]
    counts = [0] * len(needs)
    order = by_rank(needs)
    own = stock.serve_of_own({i: needs[i] for i in order if needs[i].own})
    for at, i in enumerate(order):
        need = needs[i]
        if i not in own:
            asks[i], counts[i] = (
                stock.serve_pieces(need) if isinstance(need, PieceNeed) else stock.serve(need)
            )
            continue
        asks[i] = [ask for ask, _ in own[i]]
        if isinstance(need, Need):
            ((ask, has),) = own[i]
            counts[i] = has + stock.flow.fill(ask, need.wanted - has)
            continue
        counts[i] = stock.make_of(need, own[i])
        if any(has > stems_for(counts[i], part) for (_, has), part in zip(own[i], need.parts, strict=True)):
            # what was kept for pieces that cannot be made goes to those before them
            for before in order[:at]:
                if isinstance(needs[before], Need) and (short := needs[before].wanted - counts[before]):
                    counts[before] += stock.flow.fill(asks[before][0], short)
    return asks, tuple(counts)


def stems_for(count: int, part: Part) -> int:
    """The stems of a part that so many pieces take."""
    return ceil(count * part.each - 1e-9)


def _stems_of(need: AnyNeed) -> list[tuple[int, tuple[str, ...]]]:
    """(how many stems, of which sorts) a need takes: one for each part of pieces."""
    if isinstance(need, PieceNeed):
        return [(stems_for(need.wanted, part), part.accepts) for part in need.parts]
    return [(need.wanted, need.accepts)]


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
