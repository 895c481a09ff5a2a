"""Questions to the whole record, asked as TinyDB queries: which entries are of a kind, a crop, a bed, a person, a time.

Loaded only where such a question is asked: the morning has its cached fold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import NamedTuple, TypeAlias

from tinydb import where
from tinydb.queries import QueryInstance, QueryLike

from core.book.book import Book
from core.book.entry import Entry
from core.book.tiny import BookDB
from core.farm import Farm
from core.subject import kind_of

Ask: TypeAlias = Callable[[QueryLike], list[Entry]]
"""The entries for which a query holds, in the order of the fold."""


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


def ask_of(book: Book) -> Ask:
    """The book's table, ready to be asked; what other processes wrote since is in the answer."""
    table = BookDB(book).table(BookDB.default_table_name)

    def ask(query: QueryLike) -> list[Entry]:
        return sorted((Entry.from_dict(row) for row in table.search(query)), key=lambda entry: entry.key)

    return ask


def entries(ask: Ask, wanted: Wanted, farm: Farm) -> list[Entry]:
    """The entries that are wanted; `farm` tells which trays, plantings and lots are of a crop or a bed."""
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
        query &= (where("crop") == wanted.crop) | speaks_of(_codes(farm, crop=wanted.crop))
    if wanted.bed:
        query &= (where("bed") == wanted.bed) | speaks_of(_codes(farm, bed=wanted.bed))
    if wanted.word:
        query &= _says(wanted.word.casefold())
    return ask(query)


def speaks_of(codes: Iterable[str]) -> QueryInstance:
    """Entries in which one of these codes stands in a field that holds a code, in whatever case it is written."""
    wanted = {code.casefold() for code in codes}
    return QueryInstance(lambda row: _holds_code(row, wanted), None)


def _holds_code(row: object, wanted: set[str]) -> bool:
    assert isinstance(row, dict)
    kind = kind_of(str(row.get("kind")), row)
    fields = kind.fields if kind is not None else {}
    return any(
        field.holds == "code" and name != "ref" and str(row.get(name, "")).casefold() in wanted
        for name, field in fields.items()
    )


def _says(low: str) -> QueryInstance:
    return QueryInstance(
        lambda row: any(low in str(value).casefold() for name, value in row.items() if name != "id"), None
    )


def _codes(farm: Farm, *, crop: str | None = None, bed: str | None = None) -> set[str]:
    """The codes of the trays, plantings and lots of a crop, or of the plantings and lots of a bed."""
    trays = {tray.code for tray in farm.trays.all() if crop is not None and tray.crop == crop}
    plantings = {p.code for p in farm.plantings.all() if crop in (None, p.crop) and bed in (None, p.bed)}
    lots = {lot.code for lot in farm.lots.all() if crop in (None, lot.crop) and bed in (None, lot.bed)}
    return trays | plantings | lots
