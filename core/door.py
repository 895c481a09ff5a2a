"""The one door: the screen and the command line read and write a farm's book through it, and nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from core import fold as folding
from core.amend import AMENDING, named_by
from core.book import daily
from core.book.book import Book, Replaced
from core.book.device import device_mark
from core.book.entry import Draft, Entry
from core.farm import Farm
from core.folded import Folded, Progress
from core.guard import Guard
from core.kinds import sentence
from core.matters import matters
from core.problems import Matter, Problem, ShedbookError, raised
from core.sense import is_newer, nonsense
from core.settings.kinds import zone
from core.subject import kind_of
from core.text import clean
from core.units import instant_text, local_clock, local_day

if TYPE_CHECKING:
    from core.asks import PageLine
    from core.beds.rows import BedRow, ByWarmth
    from core.book.repair import Restored
    from core.boxes.kinds import BoxRow
    from core.crops.sheet import Sheet
    from core.crops.stages import StageCard
    from core.drying.rows import ShelfRow
    from core.fresh.rows import FreshRow
    from core.language.complete import Completion
    from core.lot_page import LotPage
    from core.pieces.bench import Bench, MakingRow
    from core.pieces.orders import Order
    from core.pieces.tracing import Trace
    from core.plans.preview import Preview
    from core.plans.room_weeks import RoomWeeks
    from core.plans.rows import PlanRow
    from core.plans.season_strip import SeasonStrip
    from core.plans.succession import Warmth
    from core.plans.what_if import Compared
    from core.reckon.climate.daily_csv import Unit
    from core.reckon.climate.frost import FrostOdds, Method
    from core.reckon.climate.record import Record
    from core.reckon.climate.stations import Progress as Reading
    from core.shed.air import AirNow
    from core.shed.rows import Shed
    from core.stems.losses import Losses
    from core.stems.rows import StockRow
    from core.today import Morning
    from core.trays.rows import TrayRow
    from core.weather.change import Change
    from core.weather.rows import FarmWeather
    from core.weather.tonight import Tonight

HEAT_UNITS = "heat_units_to_first_cut"
"""The figure of a sheet from which a first cut is reckoned by warmth."""


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
        self.guard = Guard()
        """Under which screens and pages reckon a subject, so that a fault in it stops no other."""
        self._folded = Folded(book, on, progress)
        self._mark = device_mark(book.folder, book.device)
        self._read_station: tuple[tuple[object, ...], Record | Problem] | None = None
        self._read_own: tuple[int, Record | None] | None = None
        self._warmths: dict[tuple[object, ...], Warmth | None] = {}
        self._last_at = ""
        """The instant of what was written here last: lines that come fast are given instants ahead of the clock."""
        self._backups = daily.DayBackups(book.folder, book.device)

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

    def refresh(self) -> bool:
        """Read what other processes and machines wrote; whether there was anything."""
        return self._folded.refresh()

    def morning(self) -> Morning:
        """What today asks; a clock that is plainly wrong stands first among its cautions."""
        from core.asks import Sight
        from core.today import morning

        by_warmth: ByWarmth | None = self.guard("Warmth", self._by_warmth, lambda _: None)
        found = morning(Sight(self.farm, self.today, by_warmth, self._clock()), self.guard)
        wrong_clock = self._book.clock_problem()
        return replace(found, cautions=(wrong_clock.sentence, *found.cautions)) if wrong_clock else found

    def page(self, width: int = 78) -> list[PageLine]:
        """The morning page as lines of at most `width` columns."""
        from core.today import page

        return page(self.morning(), self.farm, width, self.guard)

    def trays(self) -> list[TrayRow]:
        """Every tray that has living plants."""
        from core.trays.rows import tray_rows

        return tray_rows(self.farm, self.today)

    def beds(self) -> list[BedRow]:
        """Every bed, and what stands in it."""
        from core.beds.rows import bed_rows

        return bed_rows(self.farm, self.today, self._by_warmth())

    def shelf(self) -> list[ShelfRow]:
        """Everything that hangs."""
        from core.drying.rows import shelf_rows

        return shelf_rows(self.farm, self.today)

    def fresh(self) -> list[FreshRow]:
        """Everything in the bucket and the cooler, what has least left first."""
        from core.fresh.rows import fresh_rows

        return fresh_rows(self.farm, self.today, self._clock())

    def _clock(self) -> str | None:
        """The farm's time of day; None where the book is read as of a day."""
        return None if self.on is not None else local_clock(datetime.now(UTC), zone(self.farm))

    def shed(self, bunches: int | None = None) -> Shed:
        """The air of the shed, its lines, and whether what comes (or so many `bunches`) finds room on them."""
        from core.shed.rows import shed
        from core.weather.tonight import low_to_expect

        low = low_to_expect(self.farm, self.today)
        return shed(self.farm, self.today, self.beds(), now=self._clock(), low=low, bunches=bunches)

    def bench(self) -> Bench:
        """Heads to wire and wired, pieces, recipes and how many of each can be made, makings."""
        from core.pieces.bench import bench_rows

        return bench_rows(self.farm, self.today)

    def makings(self) -> tuple[MakingRow, ...]:
        """The makings, those to buy first."""
        from core.pieces.bench import making_rows

        return making_rows(self.farm)

    def order(self, text: str, spare_pct: float = 0) -> Order | Problem:
        """What "12 winter-wreath" or "12 wreaths of 14 in" needs, and what is short of it."""
        from core.pieces.lines import read_order
        from core.pieces.orders import short_for

        asked = read_order(text, self.farm, self.today)
        if isinstance(asked, Problem):
            return asked
        recipe, count, size_in = asked
        return short_for(self.farm, recipe, count, self.today, size_in=size_in, spare_pct=spare_pct)

    def trace(self, code: str) -> Trace | Problem:
        """What is in the pieces of a code, back to their lots, beds and sowings."""
        from core.codes import canonical
        from core.pieces.tracing import trace

        piece = self.farm.pieces.get(canonical(code) or code)
        if piece is None:
            return Problem(f"The book has no pieces {clean(code)}.", "unknown")
        return trace(self.farm, piece)

    def room_air(self, *rooms: str) -> list[AirNow]:
        """The air of the rooms named ("shed", "cooler", "room"), of those that were ever read."""
        from core.shed.air import room_air

        return [
            room_air(self.farm, room, self.today, self._clock()) for room in rooms if room in self.farm.air
        ]

    def stock(self) -> list[StockRow]:
        """Everything on hand."""
        from core.stems.rows import stock_rows

        return stock_rows(self.farm, self.today)

    def boxes(self) -> list[BoxRow]:
        """Every box of dry stock, and what it asks for."""
        from core.boxes.kinds import box_rows

        return box_rows(self.farm, self.today)

    def losses(self, crop: str | None = None, year: int | None = None) -> Losses | Problem:
        """What was lost at every hand-over, of all crops or one, of the cuts of all years or one."""
        from core.language.crops import crops_called
        from core.stems.losses import losses

        if crop is not None:
            cut = {lot.crop for lot in self.farm.lots.all()}
            found = [crop] if crop in cut else [name for name in crops_called(crop) if name in cut]
            if len(found) != 1:
                return Problem(
                    f"'{clean(crop)}' is no one crop that was cut here: write more of its name.",
                    "ambiguous" if found else "unknown",
                    tuple(found) or tuple(sorted(cut))[:6],
                )
            crop = found[0]
        return losses(self.farm, self.today, crop=crop, year=year)

    def crop(self, name: str, way: str | None = None) -> Sheet | Problem:
        """The crop sheet with the farm's own figures in it."""
        from core.crops.library import find_crops, sheet
        from core.settings.sheets import farm_sheet

        found = find_crops(name)
        if len(found) == 1 and (own := farm_sheet(self.farm, found[0], way)) is not None:
            return own
        return sheet(name, way)

    def stage_card(self, crop: str, use: str) -> StageCard | None:
        """What to look for when that crop is cut for that use, grown the way it stands in the beds today."""
        from core.crops.stages import USES, stage_card
        from core.settings.sheets import farm_sheet

        ways = {p.way for p in self.farm.plantings.live() if p.crop == crop}
        found = farm_sheet(self.farm, crop, ways.pop() if len(ways) == 1 else None)
        if found is None:
            return None
        return next((stage_card(found, known) for known in USES if known == use), None)

    def entries(self, since: date | None = None) -> list[Entry]:
        """All entries in order, or those dated from `since` on; up to `on` where the book is read as of a day."""
        first = since.isoformat() if since else ""
        found = self._folded.entries()
        if self.on is not None:
            found = folding.as_of(found, self.on.isoformat())
        return [e for e in found if first <= e.on]

    def history(self, code: str) -> list[Entry] | Problem:
        """Every entry that speaks of a lot, tray, planting or bed, and of what it came from."""
        from core.history import history
        from core.record import ask_of

        return history(ask_of(self._book), code)

    def lot(self, code: str) -> LotPage | Problem:
        """A lot's own page: its numbers, places, losses, drying and story."""
        from core.codes import canonical
        from core.lot_page import lot_page

        found = self.farm.lots.get(canonical(code) or code)
        if found is None:
            live = [lot.code for lot in self.farm.lots.live()]
            hint = f" There is {', '.join(live[-3:])}." if live else ""
            return Problem(f"There is no lot {clean(code)}.{hint}", "unknown", tuple(live[-3:]))
        story = self.history(found.code)
        told = [] if isinstance(story, Problem) else story
        return lot_page(
            self.farm, found, self.today, story=told, struck=self.struck_ids(told), clock=self._clock()
        )

    def struck_ids(self, entries: Iterable[Entry]) -> set[str]:
        """Which of these are struck."""
        return {e.id for e in entries if e.id in self._folded.amended.gone}

    def recent(self, most: int = 8) -> list[Entry]:
        """The latest entries that count, newest first."""
        return self._folded.latest()[: -most - 1 : -1]

    def complete(self, text: str) -> Completion:
        """What a half-typed line means so far, and what could follow."""
        from core.language.complete import Completion, complete

        return self.guard(
            "What is typed",
            lambda: complete(text, self.farm, self.today, mark=self._mark, warmth=self._warmth),
            lambda why: Completion("", (), None, None, why.sentence),
        )

    # planning

    def plans(self) -> list[PlanRow]:
        """The kept plans as they stand today, what is due first."""
        from core.plans.rows import plan_rows

        return plan_rows(self.farm, self.today)

    def preview(self, line: str) -> Preview | Problem:
        """What a "plan ..." line comes to, where it finds too little room, and what would be written."""
        from core.plans.lines import read_wish
        from core.plans.preview import preview

        def seen() -> Preview | Problem:
            wanted = read_wish(line, self.farm, self.today)
            if isinstance(wanted, Problem):
                return wanted
            return preview(self.farm, wanted, self.today, mark=self._mark, warmth=self._warmth)

        return self.guard("What the wish comes to", seen, _as_it_is)

    def what_if(self, line: str, name: str, value: float | date) -> Compared | Problem:
        """What else moves in the plan of a line, or in its sowings, when one of its numbers does."""
        from core.plans.lines import read_wish
        from core.plans.preview import moved

        wanted = read_wish(line, self.farm, self.today)
        if isinstance(wanted, Problem):
            return wanted
        return moved(self.farm, wanted, self.today, name, value, warmth=self._warmth)

    def season(self, most_weeks: int = 52) -> SeasonStrip:
        """The kept plans and the room as a strip of weeks."""
        from core.plans.season_strip import season_strip

        return season_strip(self.farm, self.today, most_weeks)

    def room(self, weeks: int = 26) -> RoomWeeks:
        """What is taken of beds, trays and lines in the weeks from this one on."""
        from core.plans.room_weeks import room_weeks

        return room_weeks(self.farm, self.today, weeks)

    def _warmth(self, sheet: Sheet) -> Warmth | None:
        """The warmth a crop may expect by the farm's weather record; None where there is none, or too little."""
        if not self.farm.station:
            return None
        key = (*self.farm.station.values(), sheet.hardiness_class)
        if key not in self._warmths:
            from core.plans.warmth import warmth_of_record

            record = self._station()
            self._warmths[key] = None if isinstance(record, Problem) else warmth_of_record(record, sheet)
        return self._warmths[key]

    # weather

    def weather(self, method: Method = "weibull") -> FarmWeather:
        """The odds of the farm's station, her own ground beside it, and what her windows hang on."""
        from core.weather.rows import farm_weather

        return farm_weather(self.farm, self.today, self._station(), self._own_readings(), method)

    def tonight(self) -> Tonight:
        """The night to come, or before dawn the one that is on: its low, what it puts at risk, and when."""
        from core.weather.tonight import night_on, tonight

        day = self.today
        if self.on is None:
            day = night_on(self.farm, day, local_clock(datetime.now(UTC), zone(self.farm)))
        return tonight(self.farm, day)

    def import_weather(
        self, file: Path, *, unit: Unit | None = None, progress: Reading | None = None
    ) -> Written | Problem:
        """Bring in a station's weather file: the farm keeps a copy, and the book says which it is.

        `progress` is told (bytes read, bytes in all). Raises ShedbookError for disk trouble.
        """
        from core.reckon.climate.stations import read_station
        from core.weather.station_file import draft_of, keep

        newest = max(self.today, local_day(datetime.now(UTC), zone(self.farm)))
        record = read_station(file, today=newest, unit=unit, progress=progress)
        if isinstance(record, Problem):
            return record
        name = keep(self.folder, record)
        self._warmths.clear()
        return self.record([draft_of(record, name, self.today)], remarks=record.remarks)

    def odds_change(self, method: Method = "weibull", *, own: bool = False) -> Change | Problem:
        """What it would change to keep the station's odds as frost dates (`own`: those of her own ground)."""
        from core.weather.change import asked, change_to_odds, frost_entries

        odds = self._odds(method, *asked(self.farm), own=own)
        if isinstance(odds, Problem):
            return odds
        return change_to_odds(self.farm, *odds, self.today, frost_entries(self.entries()))

    def risk_change(self, hardiness: str, threshold_f: float, risk_pct: float) -> Change | Problem:
        """What it would change if a hardiness class waited for another cold, or another chance of it."""
        from core.weather.change import asked, change_of_risk, kept_way

        method, own = kept_way(self.farm)
        odds = self._odds(method, *asked(self.farm, (threshold_f, risk_pct)), own=own)
        known, said = (None, "") if isinstance(odds, Problem) else odds
        return change_of_risk(self.farm, hardiness, threshold_f, risk_pct, known, said, self.today)

    def keep_change(self, change: Change) -> Written | Problem:
        """Write what was shown."""
        return self.record(change.drafts)

    def _odds(
        self, method: Method, thresholds: list[float], percents: list[float], *, own: bool
    ) -> tuple[FrostOdds, str] | Problem:
        """The odds, and in words where they come from."""
        from core.weather.rows import odds_and_source

        return odds_and_source(
            self._station(),
            self._own_readings() if own else None,
            method,
            own_ground=own,
            thresholds=thresholds,
            percents=percents,
        )

    def _station(self) -> Record | Problem:
        """The record of the farm's station, read once."""
        from core.weather.station_file import NONE_YET, load, stamp

        if not self.farm.station:
            return NONE_YET
        latitude = self.farm.settings.get("latitude")
        key = self.farm.station, latitude, stamp(self.folder, self.farm.station)
        if self._read_station is None or self._read_station[0] != key:
            self._read_station = key, load(self.folder, self.farm.station, latitude)
        return self._read_station[1]

    def _own_readings(self) -> Record | None:
        """The lows and highs written in the book, gathered once until more is written."""
        from core.weather.own import own_readings

        if self._read_own is None or self._read_own[0] != self.farm.count:
            own = own_readings(self.entries(), self.farm.settings.get("latitude"))
            self._read_own = self.farm.count, own
        return self._read_own[1]

    def _by_warmth(self) -> ByWarmth | None:
        """How first cuts are reckoned from heat units, where one of the farm's own sheets has them."""
        if not any(HEAT_UNITS in figures for figures in self.farm.sheets.values()):
            return None
        from core.weather.warmth import by_warmth

        return by_warmth(self._station(), self._own_readings())

    # writing

    def write(self, line: str) -> Written | Problem:
        """Write one line; nothing is written where a Problem comes back. Raises ShedbookError for disk trouble."""
        from core.language.read import read_line

        reading = self.guard(
            "Nothing is written: the line",
            lambda: read_line(line, self.farm, self.today, mark=self._mark, warmth=self._warmth),
            _as_it_is,
        )
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

        def wrong(_others: list[Entry]) -> Problem | None:
            self._folded.refresh()
            return None if self._folded.mark == checked else self._wrong(drafts)

        if problem := self._wrong(drafts):
            return problem
        checked = self._folded.mark
        try:
            entries = self._append(drafts, wrong)
        except ShedbookError as refused:
            if refused.problem.code in ("impossible", "unknown", "ambiguous", "unreadable"):
                return refused.problem
            raise
        self._backups.written()
        self._folded.take(entries)
        self._last_at = max([self._last_at, *(entry.at for entry in entries)])
        now = local_clock(datetime.now(UTC), zone(self.farm))
        return Written(tuple(entries), tuple(sentence(e) for e in entries), remarks, lot, now)

    def _timed(self, draft: Draft) -> Draft:
        """The draft with the time of day in it, where its kind has one and it is written as it happens."""
        known = kind_of(draft.kind, draft.fields)
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
            if problem := self._impossible(draft):
                return problem
        # written late, they must also fit what came after them
        late = [d for d in drafts if d.on < self.farm.last_on and not _is_timeless(d)]
        if late:
            return self._new_matter(late, f"Written on {late[0].on} it would not fit what came after it")
        return None

    def _impossible(self, draft: Draft) -> Problem | None:
        """Why the farm cannot have an entry; one that cannot be checked is not written either."""
        return self.guard(
            "Nothing is written: whether it can be",
            lambda: folding.check(self.farm, draft, self.today.isoformat()),
            _as_it_is,
        )

    def _matters(self, farm: Farm) -> list[Matter]:
        """All that wants settling; where what stands crowded cannot be reckoned, at least what the fold came upon."""
        return self.guard("What is to settle", lambda: matters(farm), lambda _: list(farm.matters))

    def _new_matter(self, drafts: Iterable[Draft], why: str) -> Problem | None:
        """A matter to settle that these entries together would raise."""
        now = max(instant_text(datetime.now(UTC)), self._last_at)
        trials = [
            Entry(f"trial {n:04d}", draft.on, now, self.by, draft.kind, draft.fields)
            for n, draft in enumerate(drafts)
        ]
        before, after = self._folded.would_be(trials)
        new = raised(self._matters(before), self._matters(after))
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
            of = next(iter(self._folded.find(named_by(entry))), entry)
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
        strikes = [Draft("strike", today, {"entry": target.id}) for target in targets]
        if problem := self._new_matter(
            strikes, f"'{sentence(targets[0])}' cannot be struck before what rests on it"
        ):
            return problem
        written = self.record(strikes)
        if isinstance(written, Problem):
            return written
        verb = "restored" if targets[0].kind == "strike" else "struck"
        return replace(written, says=tuple(f"{verb}: {sentence(t)}" for t in targets))

    def _struck(self) -> frozenset[str]:
        return self._folded.amended.gone

    def check(self) -> list[Problem]:
        """Everything in the book that is damaged or does not add up."""
        from core.audit import audit

        return audit(self._book, self._folded.whole(), self.guard)

    def remarks(self) -> list[str]:
        """What `check` came upon that is no damage: writings cut off before anybody was told they are written."""
        return self._book.remarks()

    # the book as a whole

    def merge(self, other: Path) -> MergeReport:
        """Bring in another machine's entries: a farm folder, a log, or a file made by `since`."""
        from core.book.merge import merge

        before = self._matters(self.farm)
        done = merge(self._book, other, _misshapen)
        if done.added:
            self._backups.written()
        self._folded.refresh()
        to_settle = tuple(raised(before, self._matters(self.farm)))
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

    def read_only(self) -> Problem | None:
        """Why the book can be read and not written now, None where it can be written."""
        return self._book.read_only()

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
        self._backups.written()
        self._folded.refresh()
        return replace(done, beside=self._bring_weather(found[0].parent))

    def repair(self) -> Restored:
        """Finish a torn line, write back what only the snapshot holds, and set damaged lines aside with a report.

        A backup that could not be made is tried again.
        """
        from core.book.repair import repair

        done = repair(self._book)
        self._backups.written()
        self._folded.refresh()
        if self.backup_trouble():
            self._backups.make(self._machine_day(), self._back_up_weather, at_once=True)
        return done

    def backup_due(self) -> bool:
        """Whether the day's backup is to be made now, while the farm stays open."""
        return self._backups.due(self._machine_day())

    def back_up(self, *, closing: bool = False) -> Problem | None:
        """Make the day's backup where something was written and there is none yet; what is wrong with it, or with the
        book beside its backups. It may run in a thread of its own.
        """
        return self._backups.make(self._machine_day(), self._back_up_weather, closing=closing)

    def backup_trouble(self) -> Problem | None:
        """Why the last backup could not be made, None where it was."""
        return daily.failed(self.folder)

    def _machine_day(self) -> date:
        """The farm's day by the machine's own clock: a book read as of another day is still backed up today."""
        return local_day(datetime.now(UTC), zone(self.farm))

    def _back_up_weather(self) -> None:
        if self.farm.station:
            from core.weather.station_sync import back_up

            back_up(self.folder, self.farm.station)

    def close(self) -> Problem | None:
        """Keep the cached fold and the snapshot for the next opening; losing them loses nothing.

        Where something was written, the day's backup is made; what is wrong with it comes back, as from `back_up`.
        """
        for keep in (self._folded.keep, self._book.snapshot):
            with suppress(OSError, ShedbookError):  # a full or read-only disk: the logs hold everything
                keep()
        return self.back_up(closing=True)


def _is_timeless(draft: Draft) -> bool:
    """Whether it need not fit what came after it: a reading of the weather, and what amends another entry."""
    kind = kind_of(draft.kind, draft.fields)
    return draft.kind in AMENDING or (kind is not None and kind.is_reading)


def _as_it_is(problem: Problem) -> Problem:
    return problem


def _misshapen(entry: Entry) -> Problem | None:
    """Why no farm can have the entry; one of a newer shedbook is kept whatever is in it, and told."""
    return None if is_newer(entry) else nonsense(entry)


def _together(earlier: Entry, later: Entry) -> bool:
    """Whether two entries came from one line: only then do their instants follow each other by a millisecond."""
    try:
        gap = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    except (ValueError, TypeError):  # an instant that no shedbook wrote
        return False
    return gap.total_seconds() <= 0.0011
