"""A correction: it names an entry and the fields of it that change, and does its work before the fold."""

from __future__ import annotations

from core.book.entry import Entry
from core.farm import Farm
from core.kinds import Kind, may, needs


def _nothing(_farm: Farm, _entry: Entry) -> None:
    """A correction says nothing of the farm: `core.amend` reads what it names as it says."""


KINDS = (
    Kind(
        "correct",
        "corrected {of}[ {about}]: {now}[ (was {was})]",
        needs(entry="code", of="code", now="fields") | may(was="fields", about="code"),
        _nothing,
    ),
)
