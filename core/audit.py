"""The audit of a farm: the book's own, and whether every stem, date and reference adds up."""

from __future__ import annotations

from core.amend import amendments
from core.book.audit import audit as audit_book
from core.book.book import Book
from core.book.entry import Entry
from core.farm import Farm
from core.fold import fold, matters
from core.kinds import problem_with, sentence
from core.problems import Problem
from core.sense import nonsense
from core.stems.stock import unbalanced


def audit(book: Book, farm: Farm) -> list[Problem]:
    """Everything that is damaged or does not add up; empty for a sound book."""
    entries = book.entries()
    problems = [*audit_book(book), *_misshapen(entries)]
    anew = fold(entries)
    problems += matters(anew)
    problems += [
        Problem(
            f"{b.lot} does not add up: {b.cut} cut, {b.on_hand} on hand, {b.sold} sold, {b.used} used, {b.lost} lost.",
            "damaged",
        )
        for b in unbalanced(anew)
    ]
    problems += _half_made(entries)
    problems += _weather(book, farm)
    if anew.count == farm.count and _counts(anew) != _counts(farm):
        problems.append(
            Problem("The cached fold differs from the entries: delete the folder 'fold'.", "damaged")
        )
    return problems


def _half_made(entries: list[Entry]) -> list[Problem]:
    """Pieces of which a part was struck while they still count: the stems are back, and in the piece as well."""
    gone = amendments(entries).gone
    made: dict[str, Entry] = {}
    found = []
    for entry in entries:
        piece = entry.fields.get("piece")
        if not isinstance(piece, str):
            continue
        if entry.kind == "made":
            made[piece] = entry
        elif entry.kind in ("used", "spent") and entry.id in gone and piece in made:
            of = made[piece].id
            said = f"'{sentence(entry)}' is struck, though the pieces still count"
            if of not in gone:
                told = f"{said}: strike {of[-8:]} as well, or restore it."
                found.append(Problem(told, "settle", entry=entry.id))
    return found


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


def _counts(farm: Farm) -> dict[str, float]:
    """Stems of every lot, pieces and makings on hand."""
    lots = {lot.code: lot.on_hand for lot in farm.lots.live()}
    return {**farm.makings, **lots, **{piece.code: piece.on_hand for piece in farm.pieces.live()}}
