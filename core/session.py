"""The one session: the screen and the command line read and write a farm's book through it, and nothing else.

It is one class, be it over 400 lines: what it does itself is little, and whoever looks for a
way into the book looks here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from core import results
from core.asks import Sight
from core.book import daily, ids
from core.book.book import Book
from core.book.device import device_mark
from core.book.entry import Draft, Entry
from core.book.logs import Replaced
from core.book.met import Meetings
from core.dialect import keep_typed
from core.farm import Farm
from core.folded import Folded, Progress
from core.guard import Guard
from core.problems import Problem, ShedbookError
from core.settings.local_time import day_there, zone
from core.speech import speak_as
from core.subject import Subject, answerers, part
from core.units import local_clock

if TYPE_CHECKING:
    from core.beds.rows import ByWarmth
    from core.crops.sheet import Sheet
    from core.language.complete import Completion
    from core.language.line import Known, Reading
    from core.look_back import LookBack
    from core.plans.succession import Warmth
    from core.taking_back import TakingBack
    from core.trial import Trial
    from core.undoing import LastLine
    from core.upkeep import MergeReport, Upkeep
    from core.wanted import Wanted
    from core.weather.records import WeatherRecords

HEAT_UNITS = "heat_units_to_first_cut"
"""The figure of a sheet from which a first cut is reckoned by warmth."""

LATELY_MS = 3_600_000
"""What was written within the hour is asked about where it is written once more (ours)."""


@dataclass(frozen=True, slots=True)
class Written:
    """What was just written, on the disk: the entries, each as a sentence, and what was assumed on the way."""

    entries: tuple[Entry, ...]
    says: tuple[str, ...]
    remarks: tuple[str, ...]
    lot: str | None
    clock: str
    """"07:12", the farm's time."""
    answers: tuple[str, ...] = ()
    """Of the remarks what the subjects have to say to it, the verdict on an order first."""
    in_short: str = ""
    """What the line comes to, where its entries one after another are too long to be read."""


class Session:
    """A farm opened for one person on one machine.

    `on` reads the book as of that day, and dates what is written on it. Raises ShedbookError where the folder
    holds no book that can be read.
    """

    def __init__(
        self, book: Book, *, by: str, on: date | None = None, progress: Progress | None = None
    ) -> None:
        self._book = book
        self.folder = book.folder
        self.on = on
        self.by = by
        self.guard = Guard()
        """Under which screens and pages reckon a subject, so that a fault in it stops no other."""
        results.keep_in(self.folder)
        self._folded = Folded(book, on, progress)
        self.mark = device_mark(self.folder, book.device)
        """This machine's letter, which ends every new code."""
        self._backups = daily.DayBackups(self.folder, book.device)
        self.met = Meetings(self.folder, book.device)
        """The other machines that this one has met with this book."""
        speak_as(self.farm)
        self._signed: set[str] = set()
        """Ids of what this person wrote here and signed for somebody else."""

    @staticmethod
    def open(folder: Path, *, by: str, on: date | None = None, progress: Progress | None = None) -> Session:
        """The farm in `folder`; `progress` is told the share done where a big book has to be folded anew."""
        return Session(Book.open(folder), by=by, on=on, progress=progress)

    @staticmethod
    def create(folder: Path, *, by: str, on: date | None = None) -> Session:
        """A new farm in `folder`, which must be new or empty."""
        return Session(Book.create(folder), by=by, on=on)

    @cached_property
    def _trial(self) -> Trial:
        from core.trial import Trial  # only where something is written

        return Trial(self._folded, self.guard, self.by)

    # reading

    @property
    def farm(self) -> Farm:
        """The farm as it stands; not to be changed."""
        return self._folded.farm

    @property
    def today(self) -> date:
        """The day the book is read and written on: `on`, or the farm-local date."""
        return self.on or day_there(self.farm)

    @property
    def clock(self) -> str | None:
        """The farm's time of day; None where the book is read as of a day."""
        return None if self.on is not None else local_clock(datetime.now(UTC), zone(self.farm))

    @cached_property
    def records(self) -> WeatherRecords:
        """The station's record and her own readings."""
        from core.weather.records import WeatherRecords  # only where the weather's record is asked

        return WeatherRecords(self)

    def _warmth(self, sheet: Sheet) -> Warmth | None:
        """As `WeatherRecords.warmth`; without a station its records are not even loaded."""
        return self.records.warmth(sheet) if self.farm.station else None

    @property
    def _known(self) -> Known:
        """What a line may ask of this book."""
        from core.language.line import Known  # this and the two below only where a line is typed

        return Known(self.mark, self._warmth, self._folded.as_they_count, self.clock, self._lately)

    def _lately(self, by: str) -> list[Entry]:
        """What a person wrote within the last hour and did not take back."""
        since = ids.at_text(ids.now_ms() - LATELY_MS)
        return [e for e in self._folded.latest() if e.at >= since and e.by == (by or self.by)]

    def _by_warmth(self) -> ByWarmth | None:
        if any(HEAT_UNITS in figures for figures in self.farm.sheets.values()):
            return self.records.by_warmth()
        return None

    def sight(self) -> Sight:
        """What the morning is reckoned from."""
        by_warmth: ByWarmth | None = self.guard("Warmth", self._by_warmth, lambda _: None)
        return Sight(self.farm, self.today, by_warmth, self.clock, self._book.clock_problem(), self.met)

    def refresh(self) -> bool:
        """Read what other processes and machines wrote; whether there was anything."""
        if is_new := self._folded.refresh():
            speak_as(self.farm)
        return is_new

    @cached_property
    def look_back(self) -> LookBack:
        """What was written, looked up; up to `on` where the book is read as of a day."""
        from core.look_back import LookBack  # only where entries are looked up

        return LookBack(self._book, self._folded, self.on)

    def entries(self, wanted: Wanted | None = None) -> list[Entry]:
        """All entries in order, or those wanted, as `LookBack.entries`."""
        return self.look_back.entries(wanted)

    def recent(self, most: int = 8) -> list[Entry]:
        """The latest entries that count, newest first."""
        return self._folded.latest()[: -most - 1 : -1]

    def complete(self, text: str) -> Completion:
        """What a half-typed line means so far, and what could follow."""
        from core.language.complete import Completion, complete, shortened

        keep_typed(text)
        found = self.guard(
            "What is typed",
            lambda: complete(text, self.farm, self.today, self._known),
            lambda why: Completion("", (), None, None, why.sentence),
        )
        if not found.undo:
            return found
        last = self.last_line()
        if isinstance(last, Problem):
            says = last.sentence
        else:
            says = f"{'restores' if last.restores else 'takes back'}: {'; '.join(last.says)}"
        return replace(found, says=shortened(says))

    def understood(self, line: str) -> Reading | Problem:
        """What a line would write, or why it cannot; nothing is written."""
        from core.language.read import read_line

        keep_typed(line)
        return self.guard(
            "Nothing is written: the line",
            lambda: read_line(line, self.farm, self.today, self._known),
            lambda problem: problem,
        )

    def write(self, line: str, *, answer: bool = False) -> Written | Problem:
        """Write one line; nothing is written where a Problem comes back. Raises ShedbookError for disk trouble.

        With `answer` the remarks also tell what the subjects have to say to it, as whether an order can be kept.
        """
        reading = self.understood(line)
        if isinstance(reading, Problem):
            return reading
        if reading.undo:
            return self.undo(sure=reading.sure)
        if reading.drafts and reading.drafts[0].kind == "strike":
            done = self.strike(reading.drafts[0].fields["entry"])
            # what comes of it is said as the line puts it, where it does
            return (
                replace(done, says=reading.remarks) if reading.remarks and isinstance(done, Written) else done
            )
        told = self._answers(reading.drafts) if answer else ()
        done = self.record(reading.drafts, remarks=(*reading.remarks, *told), lot=reading.lot, by=reading.by)
        return done if isinstance(done, Problem) else replace(done, answers=told, in_short=reading.in_short)

    def _answers(self, drafts: Sequence[Draft]) -> tuple[str, ...]:
        found: list[str] = []
        for subject in answerers(draft.kind for draft in drafts):
            found += self.guard(
                subject.title, partial(_answers_of, subject, self, drafts), lambda why: [why.sentence]
            )
        return tuple(found)

    def record(
        self, drafts: Iterable[Draft], *, remarks: tuple[str, ...] = (), lot: str | None = None, by: str = ""
    ) -> Written | Problem:
        """Check and write entries, all of them or none; `by` whose they are where they are not this person's."""
        drafts = self._trial.timed(drafts, self.today.isoformat(), self.clock)

        def wrong(_others: list[Entry]) -> Problem | None:
            self._folded.refresh()
            return None if self._folded.mark == checked else self._trial.wrong(drafts, self.today.isoformat())

        if problem := self._trial.wrong(drafts, self.today.isoformat()):
            return problem
        checked = self._folded.mark
        try:
            entries = self._append(drafts, by or self.by, wrong)
        except ShedbookError as refused:
            if refused.problem.code in ("impossible", "unknown", "ambiguous", "unreadable"):
                return refused.problem
            raise
        self._backups.written()
        if by:
            self._signed.update(entry.id for entry in entries)
        self._folded.take(entries)
        speak_as(self.farm)
        now = local_clock(datetime.now(UTC), zone(self.farm))
        return Written(tuple(entries), self._trial.told(entries), remarks, lot, now)

    def _append(
        self, drafts: tuple[Draft, ...], by: str, wrong: Callable[[list[Entry]], Problem | None]
    ) -> list[Entry]:
        try:
            return self._book.append(drafts, by=by, check=wrong, seen_ms=self._trial.newest_ms(drafts))
        except Replaced:  # a log was put back or copied over meanwhile: read everything, then write
            self._folded.refresh()
            return self._book.append(drafts, by=by, check=wrong, seen_ms=self._trial.newest_ms(drafts))

    @cached_property
    def _taking_back(self) -> TakingBack:
        from core.taking_back import TakingBack  # only where something is taken back

        return TakingBack(self, self._book, self._folded, self._trial, self._signed)

    def strike(self, entry_id: str) -> Written | Problem:
        """Strike the entry with that id (its last characters will do); a struck strike restores."""
        return self._taking_back.strike(entry_id)

    def last_line(self) -> LastLine | Problem:
        """What undo would take back: what this person wrote last on this machine, whatever day it is about."""
        return self._taking_back.last_line()

    def undo(self, last: LastLine | None = None, *, sure: bool = False) -> Written | Problem:
        """Take back the last line, or the one that was shown as the last, as `TakingBack.undo`."""
        return self._taking_back.undo(last, sure=sure)

    # the book as a whole

    @cached_property
    def upkeep(self) -> Upkeep:
        """What is done to the book as a whole: the check, merges, backups, repairs."""
        from core.upkeep import Upkeep  # loaded only where it is asked for

        return Upkeep(self, self._book, self._folded, self._backups)

    def check(self) -> list[Problem]:
        """Everything in the book that is damaged or does not add up."""
        return self.upkeep.check()

    def merge(self, other: Path, *, sure: bool = False) -> MergeReport:
        """Bring in another machine's entries, as `Upkeep.merge`; of another farm's book only where she is `sure`."""
        return self.upkeep.merge(other, sure=sure)

    def be_patient(self, seconds: float) -> None:
        """How long a writing waits for another process from now on, before it raises Held."""
        self._book.be_patient(seconds)

    def read_only(self, patience: float = 0.3) -> Problem | None:
        """Why the book can be read and not written now, None where it can be written within `patience` seconds."""
        return self._book.read_only(patience)

    def backup_due(self) -> bool:
        """Whether the day's backup is to be made or added to now, while the farm stays open."""
        return self._backups.due(day_there(self.farm))

    def back_up(self, *, at_once: bool = False) -> Problem | None:
        """Make the day's backup or add to it, where something was written; what is wrong with it, or with the book
        beside its backups. `at_once`, also right after a slow failure. It may run in a thread of its own.
        """
        if not self._backups.waits:
            return None
        return self._backups.make(day_there(self.farm), self._back_up_weather, at_once=at_once)

    def _back_up_weather(self) -> None:
        if self.farm.station:
            from core.weather.station_sync import back_up  # only where there is a station

            back_up(self.folder, self.farm.station)

    def close(self) -> Problem | None:
        """Keep the cached fold and the snapshot for the next opening; losing them loses nothing.

        Where something was written, the day's backup is made; what is wrong with it comes back, as from `back_up`.
        """
        for keep in (self._folded.keep, self._book.snapshot):
            with suppress(OSError, ShedbookError):  # a full or read-only disk: the logs hold everything
                keep()
        results.save()
        return self.back_up()


def _answers_of(subject: Subject, session: Session, drafts: Sequence[Draft]) -> list[str]:
    """What a subject has to tell beside what is written."""
    return [*part(subject, "answers").answers(session.farm, session.today, drafts)]
