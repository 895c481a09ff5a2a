"""The book of an open session as a whole: what is damaged, its backups, and what other machines wrote."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from core.audit import audit
from core.book import backup, repair
from core.book import merge as merging
from core.book.book import Book
from core.book.daily import DayBackups, failed
from core.book.entry import Entry
from core.book.lines import Flat
from core.book.repair import Restored
from core.farm import Farm
from core.folded import Folded
from core.matters import matters_under
from core.problems import Problem, raised
from core.promising.promised_twice import lacking_now, promised_twice
from core.promising.shortages import Lacking
from core.text import clean
from core.validity import invalid, is_newer
from core.weather.station_sync import bring

if TYPE_CHECKING:
    from core.session import Session

MANY = 100
"""Entries from which on two books without one in common are two farms': more than setting up takes."""


@dataclass(frozen=True, slots=True)
class MergeReport:
    """What a merge brought: entries added, those already here, lines set aside, matters it raised to settle,
    files beside the logs, and what could not be brought in.
    """

    added: int
    already: int
    set_aside: tuple[Problem, ...]
    to_settle: tuple[Problem, ...]
    beside: tuple[str, ...] = ()
    stopped: tuple[Problem, ...] = ()


class Upkeep:
    """What is done to the book of a session and not to the farm."""

    def __init__(self, session: Session, book: Book, folded: Folded, backups: DayBackups) -> None:
        self._session, self._book, self._folded, self._backups = session, book, folded, backups

    def check(self) -> list[Problem]:
        """Everything in the book that is damaged or does not add up."""
        return audit(self._book, self._folded.whole(), self._session.guard)

    def remarks(self) -> list[str]:
        """What `check` came upon that is no damage: writings cut off before anybody was told they are written."""
        return self._book.remarks()

    def merge(self, other: Path, *, sure: bool = False) -> MergeReport:
        """Bring in another machine's entries: a farm folder, a log, or a file made by `since`.

        What looks like the book of another farm is refused with a question, unless she is `sure`.
        """
        before = matters_under(self._session.guard, self._session.farm)
        lacking = self._lacking()
        known = {order.made_by for order in self._session.farm.orders.all()}
        farm = self._folded.whole()
        another = None if sure else lambda flats: why_another_farm(farm, flats, other)
        done = merging.merge(self._book, other, _misshapen, self._folded.progress, another)
        if done.added:
            self._backups.written()
        self._folded.refresh()
        to_settle = (
            *raised(before, matters_under(self._session.guard, self._session.farm)),
            *self._promised_twice(lacking, known),
        )
        beside = self._bring_weather(other) if other.is_dir() else ()
        return MergeReport(
            done.added, done.already, tuple(done.set_aside), to_settle, beside, tuple(done.stopped)
        )

    def _lacking(self) -> list[Lacking]:
        """The promises that fall short."""
        session = self._session
        return session.guard("Promises", lambda: lacking_now(session.farm, session.today), lambda _: [])

    def _promised_twice(self, lacking: list[Lacking], known: set[str]) -> list[Problem]:
        """What came with the merge and was promised here as well."""
        session = self._session
        return session.guard(
            "Promises",
            lambda: [*promised_twice(session.farm, session.today, lacking, known)],
            lambda why: [why],
        )

    def _bring_weather(self, source: Path) -> tuple[str, ...]:
        """Take over the station's file where this farm lacks it; what was brought."""
        station = self._session.farm.station
        brought = bring(self._session.folder, source, station) if station else ""
        return (brought,) if brought else ()

    def since(self, start: str, stream: BinaryIO) -> int:
        """Write the log lines after an entry (its id) or from a day on to `stream`; how many."""
        return merging.since(self._book, start, stream)

    def backups(self) -> list[Path]:
        """The dated backups, newest first."""
        return backup.backups(self._session.folder)

    def restore(self, name: str) -> Restored | Problem:
        """Write back what the logs have lost, from the backup of that name or day; what is there stays."""
        found = [path for path in self.backups() if path.name.startswith(name)]
        if not found or not name:
            near = tuple(path.name for path in self.backups()[:3])
            return Problem(
                f"There is no backup {clean(name)}: 'shedbook restore' lists them.", "unknown", near
            )
        done = repair.restore(self._book, found[0])
        self._backups.written()
        self._folded.refresh()
        return replace(done, beside=self._bring_weather(found[0].parent))

    def repair(self) -> Restored:
        """Finish a torn line, write back what only the snapshot holds, and set damaged lines aside with a report.

        A backup that could not be made is tried again.
        """
        done = repair.repair(self._book)
        self._backups.written()
        self._folded.refresh()
        if failed(self._session.folder):
            self._session.back_up(at_once=True)
        return done


def why_another_farm(farm: Farm, flats: list[Flat], other: Path) -> Problem | None:
    """Why a book of which these are the first entries, none of them known here, is not merged before she is asked.

    A netbook that is just set up has no name or the same one, or few entries: it is not asked about.
    """
    told = sorted(
        ((f["on"], f["at"], f["name"]) for f in flats if f["kind"] == "farm" and "name" in f), key=str
    )
    here, there = farm.settings.name, str(told[-1][-1]) if told else ""
    if here and there:
        is_another = here.casefold() != there.casefold()
    else:
        is_another = min(farm.count, len(flats)) >= MANY and any(f["kind"] == "bed" for f in flats)
    if not is_another:
        return None
    which = (
        f"is of '{clean(there)[:40]}', this book of '{here}'" if here and there else "seems another farm's"
    )
    where = clean(str(other))
    return Problem(
        f"Nothing is merged yet: {where} {which}, and they have no entry in common. Two farms cannot be taken apart "
        f"again. If it is one farm all the same: shedbook merge {where} yes",
        "ambiguous",
    )


def _misshapen(entry: Entry) -> Problem | None:
    """Why no farm can have the entry; one of a newer shedbook is kept whatever is in it, and told."""
    return None if is_newer(entry) else invalid(entry)
