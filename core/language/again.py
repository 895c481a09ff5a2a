"""Numbers that look like a slip are asked about once more; she is taken at her word where she says "anyway"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from json import dumps
from typing import TypeAlias

from core.book.entry import Draft, Entry
from core.kinds import sentence
from core.language.line import Line, Refused
from core.subject import doubters, kind_of, part

ANYWAY = "Add 'anyway' if it is so."
_ABOUT = ("lot", "tray", "planting", "piece", "packet", "bed", "making")
"""The fields that say what an entry is about, the nearest first."""


def asked(line: Line, why: str, about: str) -> list[Draft]:
    """Nothing where there is no reason to ask; where there is, what is kept of it where she insists, else refused."""
    if not why:
        return []
    if not line.insists:
        raise Refused(f"{why}. {ANYWAY}", "impossible", ("anyway",))
    return [line.draft("note", about=about or None, text=f"anyway: {why}")]


def asked_again(line: Line, drafts: Sequence[Draft]) -> list[Draft]:
    """What has to be kept with these drafts: why she was asked, where she insists; refused, for all reasons at once,
    where she does not: one "anyway" is for all of them."""
    return _for_all(line, [*_doubts(line, drafts), *_slips(line, drafts), *_written_twice(line, drafts)])


def asked_of_corrected(line: Line, corrected: Draft) -> list[Draft]:
    """The same of an entry as it is after a correction: what stood against it when it was written is settled."""
    return _for_all(line, [*_slips(line, [corrected])])


def _for_all(line: Line, reasons: Sequence[tuple[str, str]]) -> list[Draft]:
    if not line.insists:
        asked(line, ". ".join(why for why, _ in reasons), "")
    return [note for why, about in reasons for note in asked(line, why, about)]


def _slips(line: Line, drafts: Sequence[Draft]) -> Iterator[tuple[str, str]]:
    """(why an entry looks like a slip, what it is about)"""
    for draft in drafts:
        kind = kind_of(draft.kind, draft.fields)
        why = kind.slip(line.farm, draft) if kind is not None else None
        if why:
            yield why, next((draft.fields[name] for name in _ABOUT if name in draft.fields), "")


SELDOM_DOUBLED = frozenset(
    (
        *("ordered", "set out", "drilled", "sown", "paid", "given back", "put back", "came back"),
        "sale returned",
        *("lost", "piece lost", "seed lost", "tubers lost"),
    )
)
"""Kinds of which two the very same on a day are seldom meant."""


def _written_twice(line: Line, drafts: Sequence[Draft]) -> Iterator[tuple[str, str]]:
    """The same for what this person wrote within the hour in the very same fields."""
    if not any(draft.kind in SELDOM_DOUBLED for draft in drafts):
        return
    lately: dict[Signed, Entry] = {}
    written = sorted(line.known.lately(line.by), key=lambda entry: entry.at)
    for entry in written:
        if entry.kind in SELDOM_DOUBLED:
            lately[_signed(entry, written)] = entry
        elif entry.kind == "picked":  # and so it may go back once more
            order = entry.fields["order"]
            lately = {
                signed: one
                for signed, one in lately.items()
                if one.kind != "put back" or one.fields["order"] != order
            }
    for draft in drafts:
        if draft.kind in SELDOM_DOUBLED and (same := lately.get(_signed(draft, drafts))) is not None:
            yield f"The same was written within the hour: {sentence(same)}", ""
            return


Signed: TypeAlias = tuple[str, ...]


def _signed(one: Draft | Entry, among: Sequence[Draft | Entry]) -> Signed:
    """All that an entry says but for the code it gives, an order's with its items: equal for what says the same."""
    kind = kind_of(one.kind, one.fields)
    made = kind.makes if kind is not None else ""
    parts = [one]
    if made == "order":
        parts += [
            other
            for other in among
            if other.kind == "order item" and other.fields["order"] == one.fields["order"]
        ]
    leave = {made, "ref", "clock"}
    return one.on, *(
        dumps(
            [part.kind, {name: value for name, value in part.fields.items() if name not in leave}],
            sort_keys=True,
        )
        for part in parts
    )


def _doubts(line: Line, drafts: Sequence[Draft]) -> Iterator[tuple[str, str]]:
    """The same for what other subjects have against these drafts as a whole: that their stems are promised."""
    for subject in doubters(draft.kind for draft in drafts):
        yield from part(subject, "doubts").doubts(line.farm, line.today, drafts, line.known.clock)
