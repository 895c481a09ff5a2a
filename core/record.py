"""Questions to the whole record, asked as TinyDB queries: which entries are of a kind, a crop, a bed, a person, a time.

Loaded only where such a question is asked: the morning has its cached fold.
"""

from __future__ import annotations

import re
from collections.abc import Generator, Iterable, Mapping, Sequence
from functools import reduce
from itertools import chain
from operator import and_
from typing import Any, TypeAlias, TypeVar

from tinydb import where
from tinydb.queries import QueryInstance, QueryLike

from core.amend import Amendments
from core.book.book import Book
from core.book.entry import Entry
from core.book.sought import Clue
from core.book.tiny import BookDB
from core.codes import canonical
from core.crops.library import find_crops
from core.crops.own_crop import own_names
from core.farm import Farm, Lot, Planting
from core.past import encode
from core.patterns import pattern
from core.register import as_called
from core.shared_codes import SharedCodes
from core.subject import kind_of
from core.tubers.stock import Tubers
from core.units import ID_SHOWN
from core.wanted import Wanted

T = TypeVar("T")
CROP_LEAST = 3
"""Letters of a word that may be the beginning of a crop's name."""


Asked: TypeAlias = "tuple[QueryInstance, Clue | None]"
"""What is asked of an entry, and by what the line of one that may hold it is told; None where every line may."""
Steps: TypeAlias = Generator[list[Entry], None, T]
"""Work done in steps of some thousandths of a second, each with the entries that it found, mostly none."""


class Record:
    """The book's table, ready to be asked; what other processes wrote since is in the answers.

    A query is asked of what was corrected as it is now, and of what shares its code with something else as it is
    `called`; struck entries are found as well. `farm` tells which trays, plantings and lots are of a crop or a bed.
    """

    def __init__(self, book: Book, amended: Amendments, called: SharedCodes, farm: Farm) -> None:
        self._book = book
        self._table = BookDB(book).table(BookDB.default_table_name)
        self._amended, self._called, self._farm = amended, called, farm
        self._corrected = amended.corrected()

    def ask(self, query: QueryLike, clues: Sequence[Clue | None] = ()) -> list[Entry]:
        """The entries for which a query holds, in the order of the fold, with all that was corrected in them; `clues`
        are what the lines of such entries have, None of what cannot be told of a line."""
        told = [clue for clue in clues if clue is not None]
        if told and not self._farm.given_twice:
            rows = chain.from_iterable(self._book.sought(told, self._corrected))
            found = [row for row in rows if self._holds(query, row)]
        else:
            found = [*self._table.search(QueryInstance(lambda row: self._holds(query, row), None))]
        return self._amended.ordered(map(self._now, found))

    def lifted_from(self, planting: str) -> list[str]:
        """The plantings from which the tubers were lifted that a planting was planted with."""
        origins = self._farm.part(Tubers).origins.get(planting, ())
        return [origin.planting for origin in origins if origin.planting is not None]

    def _holds(self, query: QueryLike, row: Mapping[str, Any]) -> bool:
        is_otherwise = row["id"] in self._corrected or self._called.concerns(row)
        return bool(query(self._now(row).as_dict() if is_otherwise else row))

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
        clues = []
        if wanted.crop:
            asked, clue = _at_once(self._of_crop(wanted.crop))
            query &= asked
            clues.append(clue)
        if wanted.bed:
            asked, clue = _at_once(self._of_bed(wanted.bed))
            query &= asked
            clues.append(clue)
        if wanted.word:
            query &= _says(wanted.word.casefold())
            clues.append(_clue(wanted.word.casefold()))
        return self.ask(query, clues)

    def _of_crop(self, crop: str) -> Steps[Asked]:
        codes = yield from _codes(self._farm, crop=crop)
        return (where("crop") == crop) | speaks_of(codes), _clue(crop.casefold(), codes)

    def _of_bed(self, bed: str) -> Steps[Asked]:
        codes = yield from _codes(self._farm, bed=bed)
        return speaks_of({bed, *codes}), _clue(bed.casefold(), codes)

    def sought(self, text: str) -> Steps[None]:
        """The entries in which every word of `text` stands: a lot or another code, a bed, a crop, or any word of it;
        words in quotes stand there side by side, and whole ("box 7" is not in box 71). Those written last come before
        the others."""
        asked: list[Asked] = []
        for phrase, word in _WORDS.findall(text.casefold()):
            asked.append((yield from self._sought(phrase, word)))
        if not asked:
            return
        query = reduce(and_, (one for one, _ in asked))
        clues = [] if self._farm.given_twice else [clue for _, clue in asked if clue is not None]
        for rows in self._book.sought(clues, self._corrected):
            yield [self._now(row) for row in rows if self._holds(query, row)]

    def _sought(self, phrase: str, word: str) -> Steps[Asked]:
        if phrase:
            return _says_whole(phrase), _clue(phrase)
        if (code := canonical(word)) is not None:
            return speaks_of([code]), Clue((_as_begun(code),))
        if word in self._farm.beds:
            return (yield from self._of_bed(word))
        says = _says(word) | _ends(word) if len(word) == ID_SHOWN else _says(word)
        clue = _clue(word)  # an id stands in its line as it is
        if len(word) < CROP_LEAST or len(crops := find_crops(word, own=own_names(self._farm))) != 1:
            return says, clue
        speaks, of_crop = yield from self._of_crop(crops[0])
        if clue is None or of_crop is None:
            return says | speaks, None
        # where the crop's name stands, most often the typed beginning of it does too
        more = tuple(name for name in of_crop.words if not any(one in name for one in clue.words))
        return says | speaks, Clue(clue.words + more, of_crop.codes)


_RUN = pattern("[a-z0-9]+")
AS_NOTHING = "none"
"""How a field without a value reads as text, which in a log it is not."""


def _clue(text: str, codes: Iterable[str] = ()) -> Clue | None:
    """By what the line of an entry is told in which this text (in small letters) or one of these codes may stand; None
    where that cannot be told of any."""
    begun = frozenset(map(_as_begun, codes))
    if not text.isascii():
        return Clue(codes=begun)  # no ASCII line has it
    run = max(_RUN.findall(text), key=len, default="")
    return Clue((run.encode(),), begun) if run and run not in AS_NOTHING else None


def _as_begun(code: str) -> bytes:
    """A code as it stands in a log, without what tells it from others that were given it too."""
    return code.casefold().partition("-")[0].encode()


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


def _codes(farm: Farm, *, crop: str | None = None, bed: str | None = None) -> Steps[set[str]]:
    """The codes of the trays, plantings and lots of a crop, or of the plantings and lots of a bed."""
    word = encode(crop or bed)
    found: set[str] = set()
    if crop is not None:
        for trays in farm.trays.mentioned(word):
            found.update(tray.code for tray in trays if tray.crop == crop)
            yield []
    for items in chain[list[Planting] | list[Lot]](farm.plantings.mentioned(word), farm.lots.mentioned(word)):
        found.update(one.code for one in items if crop in (None, one.crop) and bed in (None, one.bed))
        yield []
    return found


def _at_once(steps: Generator[object, None, T]) -> T:
    """What comes of work in steps, where nobody waits for a key."""
    while True:
        try:
            next(steps)
        except StopIteration as done:
            result: T = done.value
            return result


_WORDS = pattern(r'"([^"]+)"|(\S+)')


def _says_whole(phrase: str) -> QueryInstance:
    whole = re.compile(rf"(?<!\w){re.escape(phrase)}(?!\w)")
    return QueryInstance(
        lambda row: any(whole.search(str(v).casefold()) for name, v in row.items() if name not in UNREAD),
        None,
    )
