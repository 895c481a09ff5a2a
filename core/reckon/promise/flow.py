"""Asks filled one after another from heaps, exactly: a later one may make an earlier one take from another heap, and
never take less.

Filling in turn by augmenting paths gives each the most that the ones before it allow, and all together the most
there is: what is served is a polymatroid, so an order of ranks costs nothing in the sum (Edmonds; tests compare with
a maximum flow and with linear programs).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(slots=True)
class Flow:
    """`left` of each heap; `given`, what each gives to which ask; `fits`, for each ask the heaps that will do, in the
    order in which they are taken from.

    `closed` are heaps from which nothing more can be had: they are empty, and who has of them can take from closed
    heaps alone.
    """

    left: list[int]
    fits: list[Sequence[int]]
    given: list[dict[int, int]]
    closed: bytearray

    @staticmethod
    def of(amounts: Sequence[int], fits: Sequence[Sequence[int]]) -> Flow:
        """Nothing is given yet."""
        return Flow(list(amounts), list(fits), [{} for _ in amounts], bytearray(len(amounts)))

    def copy(self) -> Flow:
        """The same, to try something on."""
        # what is empty is shared: `_give` begins anew in its place
        return Flow(self.left[:], self.fits[:], [held and held.copy() for held in self.given], self.closed[:])

    def add(self, fits: Sequence[int]) -> int:
        """One ask more; its number."""
        self.fits.append(fits)
        return len(self.fits) - 1

    def widen(self, ask: int, fits: Sequence[int]) -> None:
        """More heaps will do for an ask; what it has it keeps."""
        self.fits[ask] = fits
        self.closed = bytearray(len(self.left))

    def take_back(self, ask: int, amount: int) -> None:
        """So many of what the ask has go back to their heaps, those first that leave last."""
        for heap in reversed(self.fits[ask]):
            if amount and self.given[heap] and (has := self.given[heap].get(ask, 0)):
                part = min(has, amount)
                self._give(heap, ask, -part)
                self.left[heap] += part
                amount -= part
        self.closed = bytearray(len(self.left))

    def fill(self, ask: int, wanted: int) -> int:
        """Give the ask so many more, or as many as can be had; how many it got."""
        lacking = wanted
        for heap in self.fits[ask]:
            if not lacking:
                return wanted
            if there := self.left[heap]:
                part = min(there, lacking)
                self._give(heap, ask, part)
                self.left[heap] -= part
                lacking -= part
        while lacking and (part := self._augment(ask, lacking)):
            lacking -= part
        return wanted - lacking

    def _give(self, heap: int, ask: int, part: int) -> None:
        held = self.given[heap]
        if not held:
            held = self.given[heap] = {}
        if now := held.get(ask, 0) + part:
            held[ask] = now
        else:
            del held[ask]

    def _augment(self, ask: int, most: int) -> int:
        """Give the ask up to `most` along one shortest path on which others take from elsewhere; 0 where none is."""
        left, fits, given, closed = self.left, self.fits, self.given, self.closed
        asked_by: dict[int, int] = {}
        reached: dict[int, int] = {ask: -1}
        queue = [ask]
        for asker in queue:
            for heap in fits[asker]:
                if heap in asked_by or closed[heap]:
                    continue
                asked_by[heap] = asker
                if left[heap]:
                    return self._along(heap, asked_by, reached, most)
                for other in given[heap]:
                    if other not in reached:
                        reached[other] = heap
                        queue.append(other)
        for heap in asked_by:
            closed[heap] = 1
        return 0

    def _along(self, end: int, asked_by: dict[int, int], reached: dict[int, int], most: int) -> int:
        """Move as much as the path bears."""
        part, heap = min(self.left[end], most), end
        while (before := reached[asked_by[heap]]) >= 0:
            part = min(part, self.given[before][asked_by[heap]])
            heap = before
        self.left[end] -= part
        heap = end
        while heap >= 0:
            asker = asked_by[heap]
            self._give(heap, asker, part)
            heap = reached[asker]
            if heap >= 0:
                self._give(heap, asker, -part)
        return part

    def first_heaps_first(self) -> None:
        """Take as much as can be from the first heap, then from the second, and so on; every ask keeps what it has.

        The heaps' amounts that can be used together are a polymatroid too: taking the most of each in turn uses the
        heaps whose places have the least sum.
        """
        takers: list[list[int]] = [[] for _ in self.left]
        has: list[dict[int, int]] = [{} for _ in self.fits]
        for ask, fits in enumerate(self.fits):
            for heap in fits:
                takers[heap].append(ask)
        for heap, held in enumerate(self.given):
            for ask, amount in held.items():
                has[ask][heap] = amount
        settled = bytearray(len(self.fits))
        for heap in range(len(self.left)):
            while self.left[heap] and self._instead_of_later(heap, takers, has, settled):
                pass

    def _instead_of_later(
        self, first: int, takers: list[list[int]], has: list[dict[int, int]], settled: bytearray
    ) -> bool:
        """Use more of the heap in place of a later one, on a path on which those before it are used as much as they
        were; False where no later heap is in the place of any of its stems."""
        from_heap: dict[int, int] = {}
        given_up: dict[int, int] = {}
        queue = [first]
        for heap in queue:
            for ask in takers[heap]:
                if ask in from_heap or settled[ask]:
                    continue
                from_heap[ask] = heap
                for other in has[ask]:
                    if other > first:
                        self._replace(first, other, ask, from_heap, given_up, has)
                        return True
                    if other not in given_up and other != first:
                        given_up[other] = ask
                        queue.append(other)
        for ask in from_heap:
            settled[ask] = 1
        return False

    def _replace(
        self,
        first: int,
        later: int,
        end: int,
        from_heap: dict[int, int],
        given_up: dict[int, int],
        has: list[dict[int, int]],
    ) -> None:
        moves, ask, gone = [], end, later
        part = self.left[first]
        while True:
            part = min(part, has[ask][gone])
            heap = from_heap[ask]
            moves.append((ask, gone, heap))
            if heap == first:
                break
            ask, gone = given_up[heap], heap
        self.left[first] -= part
        self.left[later] += part
        for ask, gone, heap in moves:
            for at, more in ((gone, -part), (heap, part)):
                self._give(at, ask, more)
                if now := has[ask].get(at, 0) + more:
                    has[ask][at] = now
                else:
                    del has[ask][at]
