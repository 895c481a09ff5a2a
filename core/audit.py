"""The audit of a farm: the book's own, and whether every stem, date and reference adds up."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from collections.abc import Set as AbstractSet

from core.amend import AMENDING, Amendments, amendments
from core.book.audit import audit as audit_book
from core.book.book import Book
from core.book.entry import Entry
from core.book.lines import Flat
from core.book.sweep import Sweep
from core.cache import freeze_since, thaw
from core.farm import Farm
from core.fold import NOT_TAKEN_IN, take_in
from core.folded import STEP
from core.guard import UNGUARDED, Guard
from core.kinds import sentence
from core.matters import matters
from core.past import Part, Past
from core.problems import Problem
from core.stems.rows import LotBalance, balance
from core.units import ID_SHOWN
from core.validity import invalid, is_newer
from core.weather.station_file import load

SHAPE, STEMS, PIECES = "The shape of the entries", "Whether every stem adds up", "Pieces taken back in part"


def audit(book: Book, farm: Farm, guard: Guard = UNGUARDED) -> list[Problem]:
    """Everything that is damaged or does not add up; empty for a sound book. Each part of it is guarded.

    `farm` is the whole book's, as it was folded from the cached fold. The entries are gone through twice, a part at a
    time: a big book is not held in memory.
    """
    sweep = book.through(Sweep)
    amending: list[Entry] = []

    def look(flats: list[Flat]) -> None:
        amending.extend(Entry.from_dict(flat) for flat in flats if flat["kind"] in AMENDING)

    found = guard("The files of the book", lambda: audit_book(book, sweep, look), _told)
    if not sweep.is_done:  # a fault there keeps nothing else from being looked at
        sweep = book.through(Sweep)
        amending.clear()
        for _, flats in sweep.blocks():
            look(flats)
    anew = _Anew(amendments(amending), guard)
    for entries in anew.amended.in_place(sweep.in_order(), _of_ids(book, anew.amended.moved())):
        anew.take(entries)
    parts: tuple[tuple[str, Callable[[], Sequence[Problem]]], ...] = (
        (SHAPE, anew.misshapen),
        ("What is to settle", lambda: matters(anew.whole())),
        (STEMS, anew.unbalanced),
        (PIECES, anew.half_made),
        ("The weather record", lambda: _weather(book, farm)),
        ("The cached fold", lambda: _cache(anew.whole(), farm)),
    )
    return [*found, *(problem for name, part in parts for problem in guard(name, part, _told))]


def _of_ids(book: Book, ids: AbstractSet[str]) -> list[Entry]:
    """The entries of these ids, in one passage through the book."""
    if not ids:
        return []
    blocks = book.through(Sweep).blocks()
    return [Entry.from_dict(flat) for _, flats in blocks for flat in flats if flat["id"] in ids]


def _told(why: Problem) -> list[Problem]:
    return [why]


class _Anew:
    """The farm folded from its entries, which come in order, some at a time: what is finished is put away as text.

    What is looked at on the way is guarded: it is told once that it failed, and the rest goes on.
    """

    def __init__(self, amended: Amendments, guard: Guard) -> None:
        self.count = 0
        self.amended = amended
        self._corrected = amended.corrected()
        self._guard = guard
        self._failed: dict[str, Problem] = {}
        self._farm = Farm()
        self._parts: list[Part] = []
        self._held = 0
        self._misshapen: list[Problem] = []
        self._lots: dict[str, LotBalance] = {}
        self._made: dict[str, Entry] = {}
        self._parts_struck: list[tuple[Entry, Entry]] = []

    def take(self, entries: list[Entry]) -> None:
        """Go on with these."""
        self.count += len(entries)
        self._held += len(entries)
        take_in(self._farm, entries, self.amended)
        self._look(SHAPE, lambda: self._misshapen.extend(_misshapen(self._doubtful(entries))))
        self._look(PIECES, lambda: self._note_pieces(entries))
        if self._held >= STEP:
            self._put_away()

    def whole(self) -> Farm:
        """The farm after all of them."""
        if not self._farm.count:
            self._farm.count = self.count
            self._farm.matters = [*self.amended.matters(), *self._farm.matters]
        return self._farm

    def misshapen(self) -> list[Problem]:
        """Entries that no farm can have."""
        return [*self._misshapen, *self._failure(SHAPE)]

    def unbalanced(self) -> list[Problem]:
        """Lots whose stems do not add up."""
        self._look(STEMS, self._balance)
        found = [
            Problem(
                f"{b.lot} does not add up: {b.cut} cut, {b.on_hand} on hand, {b.sold} sold, {b.used} used, "
                f"{b.lost} lost.",
                "damaged",
            )
            for b in self._lots.values()
            if not b.adds_up
        ]
        return [*found, *self._failure(STEMS)]

    def half_made(self) -> list[Problem]:
        """Pieces of which a part was struck while they still count: the stems are back, and in the piece as well."""
        found = []
        for entry, of in self._parts_struck:
            if of.id not in self.amended.gone:
                said = f"'{sentence(entry)}' was taken back, though the pieces still count"
                told = f"{said}: take back {of.id[-ID_SHOWN:]} as well, or restore it."
                found.append(Problem(told, "settle", entry=entry.id))
        return [*found, *self._failure(PIECES)]

    def _look(self, part: str, look: Callable[[], None]) -> None:
        if part not in self._failed:
            self._guard(part, look, lambda why: self._failed.update({part: why}))

    def _failure(self, part: str) -> list[Problem]:
        return [self._failed[part]] if part in self._failed else []

    def _doubtful(self, entries: list[Entry]) -> list[Entry]:
        """Those that the fold did not take in as they stand, or not without a word: all others have a good shape."""
        noted = {matter.entry for matter in self._farm.matters if matter.key[0] in NOT_TAKEN_IN}
        gone, corrected = self.amended.gone, self._corrected
        return [
            e for e in entries if e.kind in AMENDING or e.id in noted or e.id in gone or e.id in corrected
        ]

    def _note_pieces(self, entries: list[Entry]) -> None:
        for entry in entries:
            piece = str(entry.fields.get("piece"))
            if entry.kind == "made":
                self._made[piece] = entry
            elif entry.id in self.amended.gone and entry.kind in ("used", "spent") and piece in self._made:
                self._parts_struck.append((entry, self._made[piece]))

    def _put_away(self) -> None:
        self._look(STEMS, self._balance)
        live, part = freeze_since(self._farm)
        self._parts.append(part)
        self._farm = thaw(live, Past(self._parts, lambda: part))
        self._held = 0

    def _balance(self) -> None:
        """What is put away does not change until it is spoken of again, which takes it out."""
        for _, lot in self._farm.lots.at_hand().values():
            found = balance(lot)
            if not found.adds_up:
                self._lots[lot.code] = found
            else:
                self._lots.pop(lot.code, None)


def _cache(anew: Farm, farm: Farm) -> list[Problem]:
    if anew.count != farm.count or json.loads(freeze_since(anew)[0]) == json.loads(freeze_since(farm)[0]):
        return []  # in which order codes and sheets came into it is nothing
    return [Problem("The cached fold differs from the entries: delete the folder 'fold'.", "damaged")]


def _weather(book: Book, farm: Farm) -> list[Problem]:
    """A damaged copy of the station's record; that it lies on another machine is no damage."""
    if not farm.station:
        return []

    found = load(book.folder, farm.station)
    return [found] if isinstance(found, Problem) and found.code == "damaged" else []


def _misshapen(entries: list[Entry]) -> list[Problem]:
    found = ((e, None if is_newer(e) else invalid(e)) for e in entries)
    return [Problem(wrong.sentence, "damaged", entry=entry.id) for entry, wrong in found if wrong is not None]
