"""Which entries are asked for, as plain values."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple


class Wanted(NamedTuple):
    """Which entries are asked for; what is left out asks nothing.

    `crop` and `bed` also find what speaks of a tray, a planting or a lot of theirs; `word` stands anywhere in a field.
    """

    kind: str | None = None
    crop: str | None = None
    bed: str | None = None
    by: str | None = None
    word: str | None = None
    since: date | None = None
    until: date | None = None
