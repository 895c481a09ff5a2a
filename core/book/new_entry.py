"""An entry made of a draft, with the bytes that are written: never what no reader would take."""

from __future__ import annotations

from core.book import ids
from core.book.entry import HEAD, Draft, Entry
from core.book.fit import read_fit
from core.book.lines import LONGEST_LINE, body_of
from core.problems import Problem, ShedbookError

_HEADS = frozenset(HEAD)
_PLAIN = {str, int, float, bool, type(None)}  # what JSON gives back as it was


def new_entry(draft: Draft, by: str, ms: int, bits: int) -> tuple[Entry, bytes]:
    """The entry of a draft and its JSON bytes; the entry is what others will read from them."""
    if not _HEADS.isdisjoint(draft.fields):
        raise ShedbookError(
            Problem(
                f"A {draft.kind} entry cannot set id, on, at, by or kind among its fields.", code="impossible"
            )
        )
    try:
        entry = Entry(ids.uuid7(ms, bits), draft.on, ids.at_text(ms), by, draft.kind, dict(draft.fields))
        body = body_of(entry.as_dict())
        read = read_fit(body)  # never written what no reader would take
        if not _PLAIN.issuperset(map(type, draft.fields.values())):
            entry = Entry.from_dict(read)  # a tuple comes back as a list, a number as a key as text
    except (TypeError, ValueError, RecursionError) as error:
        raise ShedbookError(
            Problem(
                f"This {draft.kind} entry holds what the book cannot write; enter plain text.",
                code="impossible",
            )
        ) from error
    if len(body) > LONGEST_LINE - 16:
        raise ShedbookError(
            Problem(f"This {draft.kind} entry is too long to write; enter it in several.", code="impossible")
        )
    return entry, body
