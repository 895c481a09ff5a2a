"""The whole story of one thing: its own entries and those of what it came from."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tinydb import where
from tinydb.queries import QueryInstance

from core.amend import Amendments
from core.book.entry import Entry
from core.codes import PIECE, canonical
from core.problems import Problem
from core.record import Record, speaks_of
from core.subject import kind_of
from core.text import clean

BECOMING = ("cut", "hung", "wired", "tested", "boxed")
"""What made a lot the stems that went into a piece."""
BEGINNING = ("sown", "drilled", "set out")


def history(record: Record, code: str, amended: Amendments) -> list[Entry] | Problem:
    """The entries about `code` in order, with those of the planting a lot was cut from and the tray that was set out.

    A bed's story is all that was planted, done and cut in it; that of pieces goes back to their lots and to the seed.
    What was struck is told, and what struck it; what was corrected as it is now, and the corrections. `amended` is all
    that amends in the book.
    """
    named = canonical(code) or code
    story = (
        _of_pieces(record, named) if named.startswith(PIECE) and canonical(code) else _of_one(record, named)
    )
    if not story:
        return Problem(f"The book says nothing of {clean(code)}.", "unknown")
    told = {entry.id for entry in story}
    if amending := amended.about(told) - told:
        story += record.ask(QueryInstance(lambda row: row["id"] in amending, None))
    return sorted(story, key=lambda entry: entry.key)


def _of_one(record: Record, code: str) -> list[Entry]:
    wanted: set[str] = set()
    found = {code}
    while (
        found - wanted
    ):  # a lot leads to its planting, a planting to its tray or tubers, a sowing to its packet
        wanted |= found
        found = {came for entry in record.ask(speaks_of(wanted)) for came in _came_from(entry, wanted)}
        found |= {came for planting in wanted for came in record.lifted_from(planting)}
    told = record.ask(speaks_of(wanted))
    return [e for e in told if not _is_another_cut(e, wanted) and not _is_another_sowing(e, wanted, code)]


def _came_from(entry: Entry, wanted: Collection[str]) -> Iterator[str]:
    """The planting and the tray from which what the entry made came, where that is wanted."""
    kind = kind_of(entry.kind, entry.fields)
    made = kind.makes if kind is not None else ""
    if made and made != "bed" and _word(entry, made) in wanted:
        yield from filter(None, (_word(entry, "planting"), _word(entry, "tray"), _word(entry, "packet")))


def _is_another_cut(entry: Entry, wanted: Collection[str]) -> bool:
    """Another cut from the same planting is another story."""
    return entry.kind == "cut" and not {_word(entry, "lot"), _word(entry, "bed")} & set(wanted)


def _is_another_sowing(entry: Entry, wanted: Collection[str], code: str) -> bool:
    """Another sowing from the same packet is another story, unless it is the packet's that is asked for."""
    made = {"sown": "tray", "drilled": "planting"}.get(entry.kind, "")
    mine = {_word(entry, made), _word(entry, "bed")} if made else set()
    return bool(made) and _word(entry, "packet") != code and not mine & set(wanted)


def _of_pieces(record: Record, code: str) -> list[Entry]:
    """Entries of the pieces made, of what went into them and became of them, and of how those lots came to be."""
    own = record.ask(speaks_of([code]))
    lots = {_word(entry, "lot") for entry in own if entry.kind == "used"} - {""}
    became = [entry for entry in record.ask(where("kind").one_of([*BECOMING])) if _word(entry, "lot") in lots]
    plantings = {_word(entry, "planting") for entry in became if entry.kind == "cut"} - {""}
    begun = record.ask(where("kind").one_of([*BEGINNING]))
    trays = {_word(entry, "tray") for entry in begun if _word(entry, "planting") in plantings} - {""}
    begun = [e for e in begun if _word(e, "planting") in plantings or _word(e, "tray") in trays]
    return list({entry.id: entry for entry in (*own, *became, *begun)}.values())


def _word(entry: Entry, name: str) -> str:
    """A field of an entry, "" where there is no text in it."""
    value = entry.fields.get(name)
    return value if isinstance(value, str) else ""
