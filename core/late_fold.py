"""The fold, loaded where there is an entry to take in: with it comes what a kind of entry is, which most starts do not
ask."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.amend import Amendments
    from core.book.entry import Entry
    from core.farm import Farm


def take_in(farm: Farm, entries: Sequence[Entry], amended: Amendments) -> None:
    """As of `core.fold`."""
    if entries:
        from core.fold import take_in

        take_in(farm, entries, amended)


def describes(kind: str) -> bool:
    """As of `core.fold`."""
    from core.fold import describes

    return describes(kind)


def is_there(entry: Entry, day: str) -> bool:
    """As of `core.fold`."""
    from core.fold import is_there

    return is_there(entry, day)
