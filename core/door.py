"""The one door: the screen and the command line read and write a farm's book through it, and nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from core import fold as folding
from core.book.book import Book, Replaced
from core.book.device import device_mark
from core.book.entry import Draft, Entry
from core.farm import Farm
from core.folded import Folded, Progress
from core.history import history
from core.kinds import KINDS, problem_with, sentence
from core.problems import Problem, ShedbookError
from core.sense import nonsense
from core.settings.kinds import zone
from core.text import clean
from core.units import instant_text, local_clock, local_day

if TYPE_CHECKING:
    from core.beds.rows import ByWarmth
    from core.book.repair import Restored
    from core.crops.sheet import Sheet
    from core.language.complete import Completion
    from core.plans.succession import Warmth
    from core.weather.records import WeatherRecords

HEAT_UNITS = "heat_units_to_first_cut"
"""The figure of a sheet from which a first cut is reckoned by warmth."""
WEATHER_KINDS = ("low", "high", "tonight", "wind", "dusk")
"""Kinds of which one line may make several entries: they are undone together."""


@dataclass(frozen=True, slots=True)
class Written:
    """What was just written, on the disk: the entries, each as a sentence, and what was assumed on the way."""

    entries: tuple[Entry, ...]
    says: tuple[str, ...]
    remarks: tuple[str, ...]
    lot: str | None
    clock: str
    """"07:12", the farm's time."""


@dataclass(frozen=True, slots=True)
class MergeReport:
    """What a merge brought: entries added, those already here, lines set aside, matters it raised to settle, and
    files beside the logs.
    """

    added: int
    already: int
    set_aside: tuple[Problem, ...]
    to_settle: tuple[Problem, ...]
    beside: tuple[str, ...] = ()


class Door:
    """A farm opened for one person on one machine.

    `on` reads the book as of that day, and dates what is written on it. Raises ShedbookError where the folder
    holds no book that can be read.
    """

    def __init__(
        self, book: Book, *, by: str, on: date | None = None, progress: Progress | None = None
    ) -> None:
        self._book = book
        self.on = on
        self.by = by
        self._folded = Folded(book, on, progress)
        self._mark = device_mark(book.folder, book.device)
        self._records: WeatherRecords | None = None
        self._last_at = ""
        """The instant of what was written here last: lines that come fast are given instants ahead of the clock."""

    @staticmethod
    def open(folder: Path, *, by: str, on: date | None = None, progress: Progress | None = None) -> Door:
        """The farm in `folder`; `progress` is told the share done where a big book has to be folded anew."""
        return Door(Book.open(folder), by=by, on=on, progress=progress)

    @staticmethod
    def create(folder: Path, *, by: str, on: date | None = None) -> Door:
        """A new farm in `folder`, which must be new or empty."""
        return Door(Book.create(folder), by=by, on=on)

    # reading

    @property
    def folder(self) -> Path:
        return self._book.folder

    @property
    def farm(self) -> Farm:
        """The farm as it stands; not to be changed."""
        return self._folded.farm

    @property
    def today(self) -> date:
        """The day the book is read and written on: `on`, or the farm-local date."""
        return self.on or local_day(datetime.now(UTC), zone(self.farm))

    @property
    def real_day(self) -> date:
        """The farm-local date, whatever day the book is read on."""
        return local_day(datetime.now(UTC), zone(self.farm))

    @property
    def clock(self) -> str | None:
        """The farm's time of day; None where the book is read as of a day."""
        return None if self.on is not None else local_clock(datetime.now(UTC), zone(self.farm))

    @property
    def mark(self) -> str:
        """This machine's letter, which ends every new code."""
        return self._mark

    @property
    def clock_problem(self) -> Problem | None:
        """What is plainly wrong with this machine's clock."""
        return self._book.clock_problem()

    @property
    def records(self) -> WeatherRecords:
        """The station's record and her own readings."""
        if self._records is None:
            from core.weather.records import WeatherRecords

            self._records = WeatherRecords(self)
        return self._records

    def warmth(self, sheet: Sheet) -> Warmth | None:
        """The warmth a crop may expect by the station's record; None where there is none, or too little."""
        return self.records.warmth(sheet) if self.farm.station else None

    def by_warmth(self) -> ByWarmth | None:
        """How first cuts are reckoned from heat units, where one of the farm's own sheets has them."""
        if any(HEAT_UNITS in figures for figures in self.farm.sheets.values()):
            return self.records.by_warmth()
        return None

    def refresh(self) -> bool:
        """Read what other processes and machines wrote; whether there was anything."""
        return self._folded.refresh()

    def entries(self, since: date | None = None) -> list[Entry]:
        """All entries in order, or those dated from `since` on; up to `on` where the book is read as of a day."""
        first = since.isoformat() if since else ""
        found = self._book.entries()
        if self.on is not None:
            found = folding.as_of(found, self.on.isoformat())
        return [e for e in found if first <= e.on]

    def history(self, code: str) -> list[Entry] | Problem:
        """Every entry that speaks of a lot, tray, planting or bed, and of what it came from."""
        return history(self._book.entries(), code)

    def struck_ids(self, entries: Iterable[Entry]) -> set[str]:
        """Which of these are struck, by the strikes among them and among the latest."""
        strikes = {e.id: e for e in [*entries, *self._folded.tail] if e.kind == "strike"}
        return folding.struck(list(strikes.values()))[0]

    def recent(self, most: int = 8) -> list[Entry]:
        """The latest entries that count, newest first."""
        counting = [e for e in self._folded.tail if e.kind != "strike" and e.id not in self._struck()]
        return counting[: -most - 1 : -1]

    def complete(self, text: str) -> Completion:
        """What a half-typed line means so far, and what could follow."""
        from core.language.complete import complete

        return complete(text, self.farm, self.today, mark=self._mark, warmth=self.warmth)

    # writing

    def write(self, line: str) -> Written | Problem:
        """Write one line; nothing is written where a Problem comes back. Raises ShedbookError for disk trouble."""
        from core.language.read import read_line

        reading = read_line(line, self.farm, self.today, mark=self._mark, warmth=self.warmth)
        if isinstance(reading, Problem):
            return reading
        if reading.undo:
            return self.undo()
        if reading.drafts and reading.drafts[0].kind == "strike":
            return self.strike(reading.drafts[0].fields["entry"])
        return self.record(reading.drafts, remarks=reading.remarks, lot=reading.lot)

    def record(
        self, drafts: Iterable[Draft], *, remarks: tuple[str, ...] = (), lot: str | None = None
    ) -> Written | Problem:
        """Check and write entries, all of them or none."""
        drafts = tuple(self._timed(draft) for draft in drafts)

        def wrong(others: list[Entry]) -> Problem | None:
            if others:
                self._folded.take(others)
            return self._wrong(drafts)

        if problem := self._wrong(drafts):
            return problem
        try:
            entries = self._append(drafts, wrong)
        except ShedbookError as refused:
            if refused.problem.code in ("impossible", "unknown", "ambiguous", "unreadable"):
                return refused.problem
            raise
        self._folded.take(entries)
        self._last_at = max([self._last_at, *(entry.at for entry in entries)])
        now = local_clock(datetime.now(UTC), zone(self.farm))
        return Written(tuple(entries), tuple(sentence(e) for e in entries), remarks, lot, now)

    def _timed(self, draft: Draft) -> Draft:
        """The draft with the time of day in it, where its kind has one and it is written as it happens."""
        known = KINDS.get(draft.kind)
        if self.on is not None or known is None or "clock" not in known.fields or "clock" in draft.fields:
            return draft
        if draft.on != self.today.isoformat():
            return draft
        return replace(
            draft, fields={**draft.fields, "clock": local_clock(datetime.now(UTC), zone(self.farm))}
        )

    def _append(
        self, drafts: tuple[Draft, ...], wrong: Callable[[list[Entry]], Problem | None]
    ) -> list[Entry]:
        try:
            return self._book.append(drafts, by=self.by, check=wrong)
        except Replaced:  # a log was put back or copied over meanwhile: read everything, then write
            self._folded.refresh()
            return self._book.append(drafts, by=self.by, check=wrong)

    def _wrong(self, drafts: Iterable[Draft]) -> Problem | None:
        drafts = tuple(drafts)
        for draft in drafts:
            if problem := folding.check(self.farm, draft, self.today.isoformat()):
                return problem
        # written late, they must also fit what came after them
        late = [d for d in drafts if d.on < self.farm.last_on and d.kind not in WEATHER_KINDS]
        if late:
            return self._new_matter(late, f"Written on {late[0].on} it would not fit what came after it")
        return None

    def _new_matter(self, drafts: Iterable[Draft], why: str) -> Problem | None:
        """A matter to settle that these entries together would raise."""
        now = max(instant_text(datetime.now(UTC)), self._last_at)
        trials = [
            Entry(f"trial {n:04d}", draft.on, now, self.by, draft.kind, draft.fields)
            for n, draft in enumerate(drafts)
        ]
        before = {m.sentence for m in folding.matters(self.farm)}
        new = [m for m in folding.matters(self._folded.would_be(trials)) if m.sentence not in before]
        return Problem(f"{why}: {new[0].sentence}", "impossible") if new else None

    def strike(self, entry_id: str) -> Written | Problem:
        """Strike the entry with that id (its last characters will do); a struck strike restores."""
        entry_id = entry_id.strip().lower()
        found = self._folded.find(entry_id) if len(entry_id) >= 4 else []
        if not found:
            return Problem(
                f"There is no entry {clean(entry_id)}: 'entries' lists them with their ids.", "unknown"
            )
        if len(found) > 1:
            near = tuple(e.id for e in found[:3])
            return Problem(
                f"{len(found)} entries end with {clean(entry_id)}: give more of the id.", "ambiguous", near
            )
        return self._strike(self._with_parts(found[0]))

    def _with_parts(self, entry: Entry) -> list[Entry]:
        """The entry, and with pieces made (or struck) what went into them: all of it was written in one line."""
        of = entry
        if entry.kind == "strike":
            of = next(iter(self._folded.find(folding.named_by(entry))), entry)
        if of.kind != "made":
            return [entry]
        gone = self._struck()
        mine = sorted((e for e in self._book.entries() if e.by == entry.by), key=lambda e: e.at)
        whole = [entry]
        for later in mine[mine.index(entry) + 1 :]:
            if not _together(whole[-1], later):
                break
            whole.append(later)
        return [e for e in whole if e is entry or e.id not in gone]

    def undo(self) -> Written | Problem:
        """Strike the last thing this person wrote that still counts."""
        gone = self._struck()
        mine = [e for e in self._folded.tail if e.by == self.by and e.kind != "strike" and e.id not in gone]
        if not mine:
            return Problem("There is nothing left to undo.", "impossible")
        mine.sort(key=lambda e: e.at)
        last = [mine[-1]]
        while len(mine) > len(last) and _together(mine[-len(last) - 1], last[0]):
            last.insert(0, mine[-len(last) - 1])
        return self._strike(last)

    def _strike(self, targets: list[Entry]) -> Written | Problem:
        today = self.today.isoformat()
        gone = self._struck()
        if any(target.id in gone for target in targets):
            return Problem("That entry is struck already.", "impossible")
        strikes = [Draft("strike", max(today, target.on), {"entry": target.id}) for target in targets]
        if problem := self._new_matter(
            strikes, f"'{sentence(targets[0])}' cannot be struck before what rests on it"
        ):
            return problem
        written = self.record(Draft("strike", today, {"entry": t.id}) for t in targets)
        if isinstance(written, Problem):
            return written
        verb = "restored" if targets[0].kind == "strike" else "struck"
        return replace(written, says=tuple(f"{verb}: {sentence(t)}" for t in targets))

    def _struck(self) -> set[str]:
        return folding.struck([e for e in self._folded.tail if e.kind == "strike"])[0]

    def check(self) -> list[Problem]:
        """Everything in the book that is damaged or does not add up."""
        from core.audit import audit

        return audit(self._book, self.farm)

    # the book as a whole

    def merge(self, other: Path) -> MergeReport:
        """Bring in another machine's entries: a farm folder, a log, or a file made by `since`."""
        from core.book.merge import merge

        before = {m.sentence for m in folding.matters(self.farm)}
        done = merge(self._book, other, _misshapen)
        self._folded.refresh()
        to_settle = tuple(m for m in folding.matters(self.farm) if m.sentence not in before)
        beside = self._bring_weather(other) if other.is_dir() else ()
        return MergeReport(done.added, done.already, tuple(done.set_aside), to_settle, beside)

    def _bring_weather(self, source: Path) -> tuple[str, ...]:
        """Take over the station's file where this farm lacks it; what was brought."""
        if not self.farm.station:
            return ()
        from core.weather.station_sync import bring

        brought = bring(self.folder, source, self.farm.station)
        return (brought,) if brought else ()

    def since(self, start: str, stream: BinaryIO) -> int:
        """Write the log lines after an entry (its id) or from a day on to `stream`; how many."""
        from core.book.merge import since

        return since(self._book, start, stream)

    def backups(self) -> list[Path]:
        """The dated backups, newest first."""
        from core.book.backup import backups

        return backups(self.folder)

    def restore(self, name: str) -> Restored | Problem:
        """Write back what the logs have lost, from the backup of that name or day; what is there stays."""
        from core.book.repair import restore

        found = [path for path in self.backups() if path.name.startswith(name)]
        if not found or not name:
            near = tuple(path.name for path in self.backups()[:3])
            return Problem(
                f"There is no backup {clean(name)}: 'shedbook restore' lists them.", "unknown", near
            )
        done = restore(self._book, found[0])
        self._folded.refresh()
        return replace(done, beside=self._bring_weather(found[0].parent))

    def repair(self) -> Restored:
        """Finish a torn line, write back what only the snapshot holds, and set damaged lines aside with a report."""
        from core.book.repair import repair

        done = repair(self._book)
        self._folded.refresh()
        return done

    def close(self, *, backup: bool = False) -> Problem | None:
        """Keep the cached fold and the snapshot for the next opening; losing them loses nothing.

        With `backup`, today's backup is made as well where there is none yet. What is wrong with the book beside
        its backups comes back.
        """
        try:
            self._folded.keep()
            self._book.snapshot()
            return self._back_up() if backup and self.farm.count else None
        except (OSError, ShedbookError):
            return None  # a full or read-only disk: the logs hold everything

    def _back_up(self) -> Problem | None:
        from core.book.backup import backup

        # by the machine's own clock: a book read as of another day is still backed up today
        day = local_day(datetime.now(UTC), zone(self.farm))
        newest = self.backups()
        problem = None
        if not newest or not newest[0].name.startswith(day.isoformat()):
            problem = backup(self._book, day).problem
        if self.farm.station:
            from core.weather.station_sync import back_up

            back_up(self.folder, self.farm.station)
        return problem


def _misshapen(entry: Entry) -> Problem | None:
    return problem_with(entry.kind, entry.fields) or nonsense(entry)


def _together(earlier: Entry, later: Entry) -> bool:
    """Whether two entries came from one line: only then do their instants follow each other by a millisecond."""
    try:
        gap = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    except (ValueError, TypeError):  # an instant that no shedbook wrote
        return False
    return gap.total_seconds() <= 0.0011
