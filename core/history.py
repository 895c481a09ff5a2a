"""The whole story of a lot, a tray, a planting or a bed: its own entries and those of what it came from."""

from __future__ import annotations

from collections.abc import Sequence

from core.book.entry import Entry
from core.codes import PIECE, canonical
from core.problems import Problem
from core.subject import kind_of
from core.text import clean

BECOMING = ("cut", "hung", "wired", "tested", "boxed")
"""What made a lot the stems that went into a piece."""
BEGINNING = ("sown", "drilled", "set out")


def history(entries: Sequence[Entry], code: str) -> list[Entry] | Problem:
    """The entries about `code` in order, with those of the planting a lot was cut from and the tray that was set out.

    A bed's story is all that was planted, done and cut in it; that of pieces goes back to their lots and to the seed.
    """
    wanted = {canonical(code) or code.lower()}
    by_id = {e.id: e for e in entries}
    if (canonical(code) or "").startswith(PIECE):
        return _of_pieces(entries, by_id, canonical(code) or "") or _nothing(code)
    before = 0
    while len(wanted) != before:  # a lot leads to its planting, a planting to its tray
        before = len(wanted)
        for entry in entries:
            kind = kind_of(entry.kind, entry.fields)
            made = _word(entry, kind.makes if kind is not None else "")
            if made in wanted and entry.kind != "bed":
                wanted.update(word for name in ("planting", "tray") if (word := _word(entry, name)))
    story = [e for e in entries if _speaks_of(_struck_by(e, by_id), wanted)]
    return story or _nothing(code)


def _word(entry: Entry, name: str) -> str:
    """A field of an entry, "" where there is no text in it."""
    value = entry.fields.get(name)
    return value if isinstance(value, str) else ""


def _nothing(code: str) -> Problem:
    return Problem(f"The book says nothing of {clean(code)}.", "unknown")


def _of_pieces(entries: Sequence[Entry], by_id: dict[str, Entry], code: str) -> list[Entry]:
    """What was made, what went into it and what became of it; of its lots, how they came to be."""
    lots = {_word(e, "lot") for e in entries if e.kind == "used" and _word(e, "piece") == code} - {""}
    cuts = [e for e in entries if e.kind == "cut" and _word(e, "lot") in lots]
    plantings = {_word(e, "planting") for e in cuts} - {""}
    trays = {_word(e, "tray") for e in entries if _word(e, "planting") in plantings} - {""}

    def belongs(entry: Entry) -> bool:
        if code in (_word(entry, "piece"), _word(entry, "about")):
            return True
        if entry.kind in BECOMING:
            return _word(entry, "lot") in lots
        return entry.kind in BEGINNING and (
            _word(entry, "planting") in plantings or _word(entry, "tray") in trays
        )

    return [e for e in entries if belongs(_struck_by(e, by_id))]


def _speaks_of(entry: Entry, wanted: set[str]) -> bool:
    if any(_word(entry, name) in wanted for name in ("lot", "tray", "about")):
        return True
    if entry.kind == "cut" and _word(entry, "bed") not in wanted:
        return False  # another cut from the same planting is another story
    return any(_word(entry, name) in wanted for name in ("planting", "bed"))


def _struck_by(entry: Entry, by_id: dict[str, Entry]) -> Entry:
    """What a strike strikes in the end; any other entry itself."""
    seen: set[str] = set()
    while entry.kind == "strike" and entry.id not in seen:
        seen.add(entry.id)
        entry = by_id.get(str(entry.fields.get("entry")), entry)
    return entry
