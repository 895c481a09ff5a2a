"""The field record: what an inspector asks for, printed; the closed beds and the latest of the record as a view."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from core.dialect import is_british, told_rain
from core.field.closed import Closure, closures, dated, told
from core.field.records import (
    ApplicationRow,
    FieldRecord,
    FieldRow,
    JobRow,
    field_record,
    lines_of,
    minutes_by_job,
    posted,
    posted_since,
    year_bounds,
)
from core.text import natural, wrapped
from core.units import ID_SHOWN, day_text, number
from core.wanted import Wanted
from tui.arguments import year
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import strip
from tui.row_keys import Row, RowSort, gap, words_after
from tui.table import CSV, DAY, SCREEN, TEXT, Column, Line, Meaning, Table, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.session import Session


def _decides() -> str:
    """Who decides, in the words of the farm's country."""
    rules = "and the law of your country" if is_british() else "and federal and state rules"
    return (
        f"This record holds what was written. The label, {rules}, decide what has to be kept, for how long, and when a "
        "bed may be entered."
    )


def _plain(hours: float | None) -> str:
    return "" if hours is None else number(hours)


APPLICATIONS = tuple(
    Column(name, head, on=CSV, show=show)
    for name, head, show in (
        ("on", "date", None),
        ("kind", "kind", None),
        ("product", "brand or product name", None),
        ("reg_no", "registration number", None),
        ("active", "active ingredient", None),
        ("amount", "total amount", None),
        ("mix", "mixed in", None),
        ("area", "size of area", None),
        ("crops", "crop or site", None),
        ("place", "location", None),
        ("beds", "beds", None),
        ("target", "against", None),
        ("method", "method", None),
        ("began", "time begun", None),
        ("ended", "time ended", None),
        ("reentry_hours", "restricted-entry interval h", _plain),
        ("reentry_until", "entry from", None),
        ("harvest_hours", "time to harvest h", _plain),
        ("harvest_until", "harvest from", None),
        ("wind", "wind", None),
        ("temperature", "temperature", None),
        ("applicator", "applicator", None),
        ("license", "certification number", None),
        ("posted_until", "shown until", None),
        ("kept_until", "kept until", None),
        ("missing", "not written", lambda missing: ", ".join(missing)),
        ("entry", "entry", None),
    )
)
OTHERS = (
    Column("on", "date", 10),
    Column("what", "what", 12),
    Column("beds", "beds"),
    Column("amount", "how much", show=lambda told: as_water(told), on=TEXT),
    Column("amount", "how much", on=CSV),
    Column("by", "by"),
)
JOBS = (
    Column("job", "job"),
    Column("minutes", "minutes", show=number, right=True),
    Column("times", "times", right=True),
    Column("beds", "by bed", show=lambda beds: _by_bed(beds)),
)


def _by_bed(beds: dict[str, float]) -> str:
    return ", ".join(f"{bed} {number(beds[bed])}" for bed in sorted(beds, key=natural))


def counting(session: Session, since: date, until: date | None = None) -> list[Entry]:
    """The entries of these days that are not taken back."""
    found = session.entries(Wanted(since=since, until=until))
    struck = session.look_back.marks(found).struck
    return [entry for entry in found if entry.id not in struck]


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("year", nargs="?", type=year, help="the year, this one where none is said")
    parser.add_argument("--posted", action="store_true", help="the sprays to be shown to workers now")
    parser.add_argument("--minutes", action="store_true", help="minutes by job and bed")


def record(args: Namespace) -> int:
    """The field record of a year; what is to be shown now; or minutes by job."""
    session = open_session(args)
    day = session.today
    first, last = year_bounds(args.year or day.year)
    if args.minutes:
        jobs: list[JobRow] = minutes_by_job(counting(session, first, last))
        return show_table(
            args, JOBS, jobs, nothing="No minutes of this year are written: 40 min weeding b1-b6."
        )
    since, until = (posted_since(day), day) if args.posted else (first, last)
    found = field_record(session.farm, counting(session, since, until))
    rows = posted(found, day) if args.posted else found.applications
    others = () if args.posted else found.others
    rain = 0.0 if args.posted else found.rain_inches
    if args.json or args.csv:
        return show_table(args, APPLICATIONS, rows, others=others, rain_inches=rain)
    what = f"sprays to be shown on {day.isoformat()}" if args.posted else f"field record of {first.year}"
    title = ": ".join(filter(None, (session.farm.settings.name, what)))
    return show_table(args, (), (), page=lambda: list(_printed(rows, others, rain)), nothing=title)


def _printed(rows: Sequence[ApplicationRow], others: Sequence[FieldRow], rain: float) -> Iterator[str]:
    yield from wrapped([_decides()])
    if not rows:
        yield ""
        yield "No spray or feed is written."
    for row in rows:
        yield ""
        yield from wrapped(lines_of(row))
        if row.missing:
            yield from wrapped([f"    Missing for the rules: {', '.join(row.missing)}."])
    if others:
        yield ""
        yield from printed_table(OTHERS, others)
        if rain:
            yield f"Rain in all: {told_rain(rain)}"


def _record(session: Session) -> FieldRecord:
    """All there ever was."""
    return field_record(session.farm, counting(session, date.min))


TABLES = (
    Table(
        "field-record",
        APPLICATIONS,
        lambda session: _record(session).applications,
        "sprays and feeds, with what the federal rules ask for; the label and the rules decide",
        heads={
            "date": Meaning("day of it", DAY),
            "kind": Meaning("sprayed or fed"),
            "brand or product name": Meaning("as on the label"),
            "registration number": Meaning("as on the label"),
            "active ingredient": Meaning("as on the label"),
            "total amount": Meaning("of the product, as written"),
            "mixed in": Meaning("how much water, as written"),
            "size of area": Meaning("as written, else the ground of the beds"),
            "crop or site": Meaning("what stood there"),
            "location": Meaning("where that is"),
            "beds": Meaning("codes of the beds"),
            "against": Meaning("what it was against"),
            "method": Meaning("how it was put on"),
            "time begun": Meaning("the farm's time", "HH:MM"),
            "time ended": Meaning("the farm's time", "HH:MM"),
            "restricted-entry interval h": Meaning("as on the label", "hours"),
            "entry from": Meaning("end of that interval, the farm's time", "YYYY-MM-DD HH:MM"),
            "time to harvest h": Meaning("as on the label", "hours"),
            "harvest from": Meaning("end of that time, the farm's time", "YYYY-MM-DD HH:MM"),
            "wind": Meaning("as written"),
            "temperature": Meaning("as written"),
            "applicator": Meaning("who put it on"),
            "certification number": Meaning("of the applicator"),
            "shown until": Meaning("last day on which it is shown to workers", DAY),
            "kept until": Meaning("day until which its record is kept, at the least", DAY),
            "not written": Meaning("what the rules ask for and is not written"),
            "entry": Meaning("id of the entry"),
        },
    ),
    Table(
        "minutes-by-job",
        tuple(column for column in JOBS if column.head != "by bed"),
        lambda session: minutes_by_job(counting(session, *year_bounds(session.today.year))),
        "minutes of this year, by job",
        heads={
            "job": Meaning("job"),
            "minutes": Meaning("minutes written", "minutes"),
            "times": Meaning("how often it was written"),
        },
    ),
)
COMMANDS = {"record": Command(record, _options, csv=True)}


# the view


def as_water(amount: str) -> str:
    """An amount with its inches told as such: "1 in of water", so that they can be told in millimeters."""
    return amount.replace(" in", " in of water")


class _Shown(NamedTuple):
    """One line of the view: a closed bed, or an entry of the record."""

    when: str
    what: str
    beds: str
    told: str


SCREEN_COLUMNS = (
    Column("when", "when", 6, on=SCREEN),
    Column("what", "what", 22, on=SCREEN),
    Column("beds", "beds", 12, on=SCREEN),
    Column("told", "how", on=SCREEN),
)
CLOSED = RowSort(
    "closed bed",
    "On a closed bed",
    (deed("note", "note", "a note about the bed", lambda r: words_after(f"note {r.bed} ")),),
    view="field",
)
WRITTEN = RowSort(
    "field entry",
    "On an entry of the field",
    (
        deed("again", "again", "the same again, on other beds", lambda r: gap(f"{_again(r)} ")),
        deed(
            "correct",
            "correct",
            "what was written wrong",
            lambda r: words_after(f"{r.entry[-ID_SHOWN:]} was "),
        ),
    ),
    view="field",
)
ROWS = (CLOSED, WRITTEN)


def _again(r: ApplicationRow | FieldRow) -> str:
    if isinstance(r, ApplicationRow):
        return f"{'spray' if r.kind == 'sprayed' else 'feed'} '{r.product}'"
    return {"watered": "water", "rain": "rain", "soil tested": "soil"}.get(r.what, f"worked '{r.what}'")


class Field(View):
    """Closed beds first, then the year's record, newest first."""

    EMPTY = "Nothing is written of the field yet, such as: water b3 {rain:1}, or: 40 min weeding b3"
    SORTS = ("closed bed", "field entry")
    JOBS = ("The field",)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        day = session.today
        shut = closures(session.farm, day, session.clock)
        found = field_record(session.farm, counting(session, *year_bounds(day.year)))
        written: list[ApplicationRow | FieldRow] = [*found.applications, *found.others]
        written.sort(key=lambda row: (row.on, row.entry), reverse=True)
        head, closed = self.table(
            SCREEN_COLUMNS, [_shut(one) for one in shut], CLOSED, lambda r: (r.beds,), lambda r: "caution"
        )
        closed = [row._replace(value=one) for row, one in zip(closed, shut, strict=True)]
        shown = {row.entry: row for row in written}
        head, rest = self.table(SCREEN_COLUMNS, [_line(row) for row in written], WRITTEN, lambda r: (r.when,))
        rest = [
            row._replace(id=WRITTEN.id(entry[-ID_SHOWN:]), value=value)
            for row, (entry, value) in zip(rest, shown.items(), strict=True)
        ]
        return head, [*closed, *rest]

    def detail(self, row: Row) -> list[Line]:
        if isinstance(row.value, Closure):
            return _of_closed(self.width, row.value)
        if isinstance(row.value, ApplicationRow):
            lines = [text.strip() for text in lines_of(row.value)]
            return strip(self.width, (lines[0], "bold"), ("; ".join(lines[1:]), ""))
        found: FieldRow = row.value
        return strip(
            self.width, (f"{found.on} {found.what} {found.beds} {as_water(found.amount)}, {found.by}", "bold")
        )


VIEW = Field


def _shut(one: Closure) -> _Shown:
    return _Shown("now", "closed", one.bed, f"until {told(one.opens)}")


def _line(row: ApplicationRow | FieldRow) -> _Shown:
    if isinstance(row, ApplicationRow):
        until = f"open {dated(row.reentry_until)}" if row.reentry_until else row.amount
        return _Shown(day_text(row.on), f"{row.kind} {row.product}", row.beds, until)
    return _Shown(day_text(row.on), row.what, row.beds, as_water(row.amount))


def _of_closed(width: int, one: Closure) -> list[Line]:
    work = f"Nobody works in {one.bed} until {told(one.until)}. " if one.until else ""
    cut = f"It is not cut until {told(one.harvest_until)}." if one.harvest_until else ""
    return strip(
        width,
        (f"{one.bed} is closed: {one.because}", "bold"),
        (work + cut, "caution"),
        ("The label and state rules decide; hands off before, whatever the book says.", "quiet"),
    )
