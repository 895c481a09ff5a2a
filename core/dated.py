"""What stands on a calendar: things of whole days, as values that each subject offers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple, TypeAlias

from core.asks import Key, Sight


class Dated(NamedTuple):
    """One thing on a calendar, on whole days.

    `key` tells it from all others of its sort, whatever becomes of its days and words: ids of entries, or codes.
    `first` and `last` are "YYYY-MM-DD", the last included. `says` is what to do, in few words; `more` whatever helps.
    """

    key: Key
    first: str
    last: str
    says: str
    more: str = ""


Offer: TypeAlias = Callable[[Sight], Iterable[Dated]]
Offers: TypeAlias = Mapping[str, Offer]
"""Sort of thing, a word -> those there are: `EVENTS` of the `events` of a subject whose manifest names the sort."""
