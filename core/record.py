"""Questions to the whole record, asked as TinyDB queries: which entries are of a kind, a crop, a bed, a person, a time.

Loaded only where such a question is asked: the morning has its cached fold.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from tinydb import where
from tinydb.queries import QueryInstance, QueryLike

from core.amend import Amendments
from core.book.book import Book
from core.book.entry import Entry
from core.book.tiny import BookDB
from core.codes import canonical
from core.crops.library import find_crops
from core.crops.own_crop import own_names
from core.farm import Farm
from core.patterns import pattern
from core.register import as_called
from core.shared_codes import SharedCodes
from core.subject import kind_of
from core.units import ID_SHOWN
from core.wanted import Wanted

CROP_LEAST = 3
"""Letters of a word that may be the beginning of a crop's name."""


class Record:
    """The book's table, ready to be asked; what other processes wrote since is in the answers.

    A query is asked of what was corrected as it is now, and of what shares its code with something else as it is
    `called`; struck entries are found as well. `farm` tells which trays, plantings and lots are of a crop or a bed.
    """

    def __init__(self, book: Book, amended: Amendments, called: SharedCodes, farm: Farm) -> None:
        self._table = BookDB(book).table(BookDB.default_table_name)
        self._amended, self._called, self._farm = amended, called, farm
        self._corrected = amended.corrected()

    def ask(self, query: QueryLike) -> list[Entry]:
        """The entries for which a query holds, in the order of the fold, with all that was corrected in them."""

        def is_found(row: Mapping[str, Any]) -> bool:
            is_otherwise = row["id"] in self._corrected or self._called.concerns(row)
            return bool(query(self._now(row).as_dict() if is_otherwise else row))

        return self._amended.ordered(map(self._now, self._table.search(QueryInstance(is_found, None))))

    def _now(self, row: Mapping[str, Any]) -> Entry:
        return self._called.of(self._amended.as_it_counts(Entry.from_dict(row)))

    def entries(self, wanted: Wanted) -> list[Entry]:
        """The entries that are wanted."""
        query: QueryInstance = where("id").exists()
        if wanted.kind:
            query &= where("kind") == wanted.kind
        if wanted.by:
            query &= where("by") == wanted.by
        if wanted.since:
            query &= where("on") >= wanted.since.isoformat()
        if wanted.until:
            query &= where("on") <= wanted.until.isoformat()
        if wanted.crop:
            query &= (where("crop") == wanted.crop) | speaks_of(_codes(self._farm, crop=wanted.crop))
        if wanted.bed:
            query &= speaks_of({wanted.bed, *_codes(self._farm, bed=wanted.bed)})
        if wanted.word:
            query &= _says(wanted.word.casefold())
        return self.ask(query)

    def sought(self, text: str) -> list[Entry]:
        """The entries in which every word of `text` stands: a lot or another code, a bed, a crop, or any word of it;
        words in quotes stand there side by side, and whole ("box 7" is not in box 71)."""
        found: list[Entry] | None = None
        for phrase, word in _WORDS.findall(text.casefold()):
            of = self.ask(_says_whole(phrase)) if phrase else self._with_word(word)
            these = {entry.id for entry in of}
            every = self.ask(where("id").exists()) if found is None else found
            found = [entry for entry in every if entry.id in these]
        return found or []

    def _with_word(self, word: str) -> Iterator[Entry]:
        if (code := canonical(word)) is not None:
            yield from self.ask(speaks_of([code]))
        elif word in self._farm.beds:
            yield from self.entries(Wanted(bed=word))
        else:
            if len(word) == ID_SHOWN:
                yield from self.ask(_ends(word))
            yield from self.entries(Wanted(word=word))
            if len(word) >= CROP_LEAST and len(crops := find_crops(word, own=own_names(self._farm))) == 1:
                yield from self.entries(Wanted(crop=crops[0]))


def speaks_of(codes: Iterable[str]) -> QueryInstance:
    """Entries in which one of these codes stands in a field that holds a code, in whatever case it is written.

    A code given twice is found however it was called when the entry was written.
    """
    wanted = {as_called(code).casefold() for code in codes}
    return QueryInstance(lambda row: _holds_code(row, wanted), None)


def _holds_code(row: object, wanted: set[str]) -> bool:
    assert isinstance(row, dict)
    kind = kind_of(str(row.get("kind")), row)
    fields = kind.fields if kind is not None else {}
    if "beds" in fields and not wanted.isdisjoint(str(row.get("beds", "")).casefold().split()):
        return True
    return any(
        field.holds == "code" and name != "ref" and as_called(str(row.get(name, ""))).casefold() in wanted
        for name, field in fields.items()
    )


def _ends(word: str) -> QueryInstance:
    return QueryInstance(lambda row: str(row["id"]).endswith(word), None)


UNREAD = frozenset({"id", "at", "ref", "entry"})
"""Fields that nobody reads: a word that is sought in them is found by chance."""


def _says(low: str) -> QueryInstance:
    return QueryInstance(
        lambda row: any(low in str(value).casefold() for name, value in row.items() if name not in UNREAD),
        None,
    )


def _codes(farm: Farm, *, crop: str | None = None, bed: str | None = None) -> set[str]:
    """The codes of the trays, plantings and lots of a crop, or of the plantings and lots of a bed."""
    trays = {tray.code for tray in farm.trays.all() if crop is not None and tray.crop == crop}
    plantings = {p.code for p in farm.plantings.all() if crop in (None, p.crop) and bed in (None, p.bed)}
    lots = {lot.code for lot in farm.lots.all() if crop in (None, lot.crop) and bed in (None, lot.bed)}
    return trays | plantings | lots


_WORDS = pattern(r'"([^"]+)"|(\S+)')


def _says_whole(phrase: str) -> QueryInstance:
    whole = re.compile(rf"(?<!\w){re.escape(phrase)}(?!\w)")
    return QueryInstance(
        lambda row: any(whole.search(str(v).casefold()) for name, v in row.items() if name not in UNREAD),
        None,
    )
