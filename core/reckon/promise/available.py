"""Available to promise, period by period, of stock that does not spoil: three rows that are easily taken for another.

On hand, supply and orders are counted in whole units; orders are what is promised, never a forecast. Where stock
spoils none of these rows is right: the lots are allotted (`core.reckon.promise.allocation`).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate


def discrete(on_hand: int, supply: Sequence[int], orders: Sequence[int]) -> tuple[int | None, ...]:
    """What each supply leaves until the next one comes; None in a period without supply, but for the first, which has
    what is on hand."""
    starts = [i for i, amount in enumerate(supply) if amount or i == 0]
    row: list[int | None] = [None] * len(supply)
    for start, end in zip(starts, [*starts[1:], len(supply)], strict=True):
        row[start] = (0 if start else on_hand) + supply[start] - sum(orders[start:end])
    return tuple(row)


def plain(on_hand: int, supply: Sequence[int], orders: Sequence[int]) -> tuple[int, ...]:
    """On hand and all supply so far, less all orders so far. It offers what a later order already has."""
    changes = (come - gone for come, gone in zip(supply, orders, strict=True))
    return tuple(accumulate(changes, initial=on_hand))[1:]


def look_ahead(on_hand: int, supply: Sequence[int], orders: Sequence[int]) -> tuple[int, ...]:
    """What can be promised by the end of each period without taking from a later order: the least of the plain row
    from there on."""
    ahead = accumulate(reversed(plain(on_hand, supply, orders)), min)
    return tuple(reversed(tuple(ahead)))
