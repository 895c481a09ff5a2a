"""The audit of a farm: the book's own, and whether every stem, date and reference adds up."""

from __future__ import annotations

from core.amend import AMENDING, Amendments, amendments
from core.book.audit import audit as audit_book
from core.book.book import Book
from core.book.entry import Entry
from core.book.lines import Flat
from core.cache import freeze_since, thaw
from core.farm import Farm
from core.fold import matters, take_in
from core.folded import STEP
from core.kinds import problem_with, sentence
from core.past import Part, Past
from core.problems import Problem
from core.sense import nonsense
from core.stems.stock import LotBalance, balance


def audit(book: Book, farm: Farm) -> list[Problem]:
    """Everything that is damaged or does not add up; empty for a sound book.

    `farm` is the whole book's, as it was folded from the cached fold. The entries are gone through twice, a part at a
    time: a big book is not held in memory.
    """
    sweep = book.sweep()
    amending: list[Entry] = []

    def look(flats: list[Flat]) -> None:
        amending.extend(Entry.from_dict(flat) for flat in flats if flat["kind"] in AMENDING)

    problems = audit_book(book, sweep, look)
    anew = _Anew(amendments(amending))
    for entries in sweep.in_order():
        problems += _misshapen(entries)
        anew.take(entries)
    problems += [*matters(anew.whole()), *anew.unbalanced(), *anew.half_made()]
    problems += _weather(book, farm)
    if anew.count == farm.count and freeze_since(anew.whole())[0] != freeze_since(farm)[0]:
        problems.append(
            Problem("The cached fold differs from the entries: delete the folder 'fold'.", "damaged")
        )
    return problems


class _Anew:
    """The farm folded from its entries, which come in order, some at a time: what is finished is put away as text."""

    def __init__(self, amended: Amendments) -> None:
        self.count = 0
        self._amended = amended
        self._farm = Farm()
        self._parts: list[Part] = []
        self._held = 0
        self._lots: dict[str, LotBalance] = {}
        self._made: dict[str, Entry] = {}
        self._parts_struck: list[tuple[Entry, Entry]] = []

    def take(self, entries: list[Entry]) -> None:
        """Go on with these."""
        self.count += len(entries)
        self._held += len(entries)
        take_in(self._farm, self._amended.counting(entries))
        for entry in entries:
            piece = str(entry.fields.get("piece"))
            if entry.kind == "made":
                self._made[piece] = entry
            elif entry.id in self._amended.gone and entry.kind in ("used", "spent") and piece in self._made:
                self._parts_struck.append((entry, self._made[piece]))
        if self._held >= STEP:
            self._put_away()

    def whole(self) -> Farm:
        """The farm after all of them."""
        if not self._farm.count:
            self._farm.count = self.count
            self._farm.matters = [*self._amended.matters(), *self._farm.matters]
        return self._farm

    def unbalanced(self) -> list[Problem]:
        """Lots whose stems do not add up."""
        self._balance()
        return [
            Problem(
                f"{b.lot} does not add up: {b.cut} cut, {b.on_hand} on hand, {b.sold} sold, {b.used} used, "
                f"{b.lost} lost.",
                "damaged",
            )
            for b in self._lots.values()
            if not b.adds_up
        ]

    def half_made(self) -> list[Problem]:
        """Pieces of which a part was struck while they still count: the stems are back, and in the piece as well."""
        found = []
        for entry, of in self._parts_struck:
            if of.id not in self._amended.gone:
                said = f"'{sentence(entry)}' is struck, though the pieces still count"
                told = f"{said}: strike {of.id[-8:]} as well, or restore it."
                found.append(Problem(told, "settle", entry=entry.id))
        return found

    def _put_away(self) -> None:
        self._balance()
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


def _weather(book: Book, farm: Farm) -> list[Problem]:
    """A damaged copy of the station's record; that it lies on another machine is no damage."""
    if not farm.station:
        return []
    from core.weather.station_file import load

    found = load(book.folder, farm.station)
    return [found] if isinstance(found, Problem) and found.code == "damaged" else []


def _misshapen(entries: list[Entry]) -> list[Problem]:
    found = ((e, problem_with(e.kind, e.fields) or nonsense(e)) for e in entries)
    return [Problem(wrong.sentence, "damaged", entry=entry.id) for entry, wrong in found if wrong is not None]
