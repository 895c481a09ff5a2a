"""The book of an open session as a whole: what is damaged, its backups, and what other machines wrote."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, BinaryIO, NamedTuple

from core.audit import audit
from core.book import backup, layout, repair
from core.book import merge as merging
from core.book.book import Book
from core.book.copied import Part
from core.book.daily import DayBackups, failed
from core.book.disk import trouble
from core.book.entry import Entry
from core.book.lines import Flat
from core.book.met import Met
from core.book.repair import Restored
from core.farm import Farm
from core.folded import Folded
from core.matters import matters_under
from core.meeting.exchange import About, Outcome, Side, begin
from core.meeting.line import Channel, Moved
from core.problems import Problem, ShedbookError, raised
from core.promising.promised_twice import lacking_now, promised_twice
from core.promising.shortages import Lacking
from core.settings.local_time import day_there
from core.text import clean
from core.validity import invalid, is_newer
from core.weather.station_file import path_of
from core.weather.station_sync import bring, lacks, sound_copy

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from core.meeting.way import Way
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
        self.beside = StationBeside(session, folded)

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
        arriving = self._arriving()
        farm = self._folded.whole()

        def another(flats: list[Flat]) -> Problem | None:
            where = clean(str(other))
            return why_another_farm(farm, _about_those(flats), where, f"shedbook merge {where} yes")

        done = arriving.bring(other, None if sure else another)
        to_settle = arriving.to_settle()
        beside = self._bring_weather(other) if other.is_dir() else ()
        return MergeReport(
            done.added, done.already, tuple(done.set_aside), to_settle, beside, tuple(done.stopped)
        )

    def meet(self, way: Way, *, sure: bool = False, moved: Moved = lambda _share: None) -> Outcome:
        """Bring this book and the one on another machine to the same; `moved` is told the share done.

        What comes of it is in the outcome, also where it stopped; nothing of what looks like another farm's book comes
        or goes unless she is `sure`.
        """
        arriving, outcome = self._arriving(), Outcome()
        side = self._side(arriving, way.called, f"shedbook meet {way.address.text} yes")
        try:
            with way.opened() as line:
                begin(line, side, outcome, sure=sure, moved=moved, first=way.patience)
        except ShedbookError as refused:
            outcome.stopped.append(way.why(refused))
        outcome.to_settle = [*arriving.to_settle()]
        if outcome.is_whole:
            self._note_met(outcome, way)
        return outcome

    def answering(self, line: Channel) -> Side:
        """This book as the side that answers another one on `line`."""
        arriving = self._arriving()
        return self._side(arriving, line.other, "add yes to that", arriving.to_settle)

    def answered(self, outcome: Outcome) -> None:
        """Remember the other side, which has met this one to the end."""
        self._note_met(outcome, None)

    def _side(
        self,
        arriving: Arriving,
        where: str,
        how: str,
        to_settle: Callable[[], Sequence[Problem]] = tuple,
    ) -> Side:
        farm, maker = self._folded.whole(), layout.about_farm(self._book.folder)["device"]
        about = About(farm.settings.name or "", farm.count, len(farm.beds), maker)
        return Side(
            self._book,
            about,
            lambda path, part, moved: arriving.bring(path, part=part, progress=moved),
            lambda there: why_another_farm(farm, there, where, how),
            self.beside,
            to_settle,
        )

    def _note_met(self, outcome: Outcome, way: Way | None) -> None:
        day = day_there(self._session.farm).isoformat()
        how = (way.address.text, way.via, way.there) if way else ("", "", "")
        with suppress(ShedbookError):  # the meeting itself is on both disks
            self._session.met.note(Met(outcome.other, *how, day, outcome.came, outcome.went))

    def _arriving(self) -> Arriving:
        return Arriving(self._session, self._book, self._folded, self._backups)

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


class Arriving:
    """What comes into the book of a session from elsewhere, at once or bit by bit, and what it raises to settle."""

    def __init__(self, session: Session, book: Book, folded: Folded, backups: DayBackups) -> None:
        self._session, self._book, self._folded, self._backups = session, book, folded, backups
        self._before: _Before | None = None

    def bring(
        self,
        other: Path,
        another: merging.AnotherBook | None = None,
        part: Part | None = None,
        progress: merging.Progress | None = None,
    ) -> merging.Merged:
        """Bring in a farm folder, a log, a carried file or the next `part` of a log, as `merge` does."""
        progress = progress or self._folded.progress
        if self._before is None:
            self._before = self._standing()
        done = merging.merge(self._book, other, _misshapen, progress, another, part)
        if done.added:
            self._backups.written()
        return done

    def to_settle(self) -> tuple[Problem, ...]:
        """What has been raised by all that came: the farm is read anew first."""
        if self._before is None:
            return ()
        session, before = self._session, self._before
        self._folded.refresh()
        twice = session.guard(
            "Promises",
            lambda: [*promised_twice(session.farm, session.today, before.lacking, before.orders)],
            lambda why: [why],
        )
        return (*raised(before.matters, matters_under(session.guard, session.farm)), *twice)

    def _standing(self) -> _Before:
        session = self._session
        return _Before(
            matters_under(session.guard, session.farm),
            session.guard("Promises", lambda: lacking_now(session.farm, session.today), lambda _: []),
            {order.made_by for order in session.farm.orders.all()},
        )


class _Before(NamedTuple):
    """How the farm stood before anything came: its matters, the promises that fell short, the ids of its orders."""

    matters: Sequence[Problem]
    lacking: list[Lacking]
    orders: set[str]


class StationBeside:
    """The file of the farm's weather station, as it goes over when two machines meet."""

    def __init__(self, session: Session, folded: Folded) -> None:
        self._session, self._folded = session, folded

    def lacks(self) -> bool:
        """Whether the book speaks of a station whose file is not there; the farm is read anew first."""
        self._folded.refresh()
        station = self._session.farm.station
        return station is not None and lacks(self._session.folder, station)

    def data(self) -> bytes:
        """Its bytes; none where it is lacking."""
        station = self._session.farm.station
        return sound_copy(self._session.folder, station) if station else b""

    def take(self, data: bytes) -> str:
        """Put it down, if it is the station's; what was brought. Raises ShedbookError."""
        station = self._session.farm.station
        if station is None:
            return ""
        try:
            with TemporaryDirectory(prefix="shedbook-meet-") as folder:
                path = path_of(Path(folder), station)
                path.parent.mkdir()
                path.write_bytes(data)
                return bring(self._session.folder, Path(folder), station)
        except OSError as error:
            raise trouble(error, "keep the weather", "the system's folder for what does not last") from error


def why_another_farm(farm: Farm, other: About, where: str, how: str) -> Problem | None:
    """Why a book with no entry of ours, which lies `where`, is not merged before she is asked; `how` she says so.

    A netbook that is just set up has no name or the same one, or few entries: it is not asked about.
    """
    here, there = farm.settings.name, other.farm
    if here and there:
        is_another = here.casefold() != there.casefold()
    else:
        is_another = min(farm.count, other.entries) >= MANY and other.beds > 0
    if not is_another:
        return None
    which = (
        f"is of '{clean(there)[:40]}', this book of '{here}'" if here and there else "seems another farm's"
    )
    return Problem(
        f"Nothing is merged yet: {where} {which}, and they have no entry in common. Two farms cannot be taken apart "
        f"again. If it is one farm all the same: {how}",
        "ambiguous",
    )


def _about_those(flats: list[Flat]) -> About:
    """What the first entries of a book tell of its farm."""
    told = sorted(
        ((f["on"], f["at"], f["name"]) for f in flats if f["kind"] == "farm" and "name" in f), key=str
    )
    beds = sum(flat["kind"] == "bed" for flat in flats)
    return About(str(told[-1][-1]) if told else "", len(flats), beds, "")


def _misshapen(entry: Entry) -> Problem | None:
    """Why no farm can have the entry; one of a newer shedbook is kept whatever is in it, and told."""
    return None if is_newer(entry) else invalid(entry)
