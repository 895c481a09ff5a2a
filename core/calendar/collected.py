"""What all subjects have for the calendar."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import timedelta

from core.asks import Sight
from core.dated import Dated, Offers
from core.subject import part, subjects

KEPT_DAYS = 30
"""So many days after its last one a thing stays on the calendar (ours)."""


def sorts() -> list[str]:
    """Every sort of thing there is, in the order of the subjects."""
    return [sort for subject in subjects() for sort in subject.events]


def dated(sight: Sight, only: Collection[str] = ()) -> Iterator[Dated]:
    """Everything that is not long past, of these sorts or of all; the sort of each comes before its key."""
    oldest = (sight.day - timedelta(days=KEPT_DAYS)).isoformat()
    for subject in subjects():
        wanted = [sort for sort in subject.events if not only or sort in only]
        if wanted:
            offers: Offers = part(subject, "events").EVENTS
            yield from (
                one._replace(key=(sort, *one.key))
                for sort in wanted
                for one in offers[sort](sight)
                if one.last >= oldest
            )
