"""What can be promised: the question on the telephone, a crop against the weeks, and the morning cut list."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from core.problems import Problem
from core.promising.asks import HANDED
from core.promising.cut_list import CutRow, cut_list
from core.promising.open_claims import open_claims
from core.promising.telephone import Reply, ask, ask_for_order
from core.promising.told import cut_list_lines, reply_json, reply_lines
from core.promising.weeks import CropWeeks, Promise, Week, crop_weeks
from core.text import named
from core.units import day_text
from tui.cli_session import open_session
from tui.command import Command, show_table, tell
from tui.letters import deed
from tui.out import good
from tui.phrases import strip
from tui.row_keys import Row, RowSort, Typed, gap
from tui.table import CSV, SCREEN, TEXT, Column, Line, Table, fields_as_columns
from tui.views.view import View

if TYPE_CHECKING:
    from core.book.entry import Draft
    from core.language.complete import Completion
    from core.session import Session

ON_PAPER = 5
"""Weeks in a printed table of 100 columns, and on a screen of 80; each further takes as many columns as the last."""
WEEK_WIDTH = 6
NOTHING = "Nothing is there or growing that could be promised."

WHAT = (
    Column("crop", "crop", on=TEXT | CSV),
    Column("", "crop", show=lambda row: f"{row.crop} {row.form}", on=SCREEN),
    Column("form", "form", on=TEXT | CSV),
    Column("on_hand", "on hand", 7, right=True),
    Column("promised", "promised", 8, right=True),
    Column("free", "free", 5, right=True),
)


BESIDE_STOCK = tuple(column._replace(on=TEXT | SCREEN | CSV) for column in (WHAT[0], *WHAT[2:]))
"""What is on hand, promised and free, without the weeks."""


def columns_for(rows: Sequence[CropWeeks], width: int = 80) -> tuple[Column, ...]:
    """Those of the crops, one for each week that has room, under its Saturday; and what is promised for later weeks,
    where anything is."""
    weeks = rows[0].weeks if rows else ()
    count = weeks_shown(rows, width)
    after: tuple[Column, ...] = ()
    if any(later(row, ON_PAPER) or later(row, count) for row in rows):
        on_screen = Column("", "later", WEEK_WIDTH, lambda row: later_cell(row, count), right=True, on=SCREEN)
        after = on_screen, Column("", "later", show=lambda row: later_cell(row, ON_PAPER), on=TEXT)
    return (*WHAT, *(_column(n, week, count) for n, week in enumerate(weeks)), *after)


def weeks_shown(rows: Sequence[CropWeeks], width: int) -> int:
    """How many weeks have room on a screen; what is promised for later takes the room of one."""
    count = max(ON_PAPER + min(width - 78, max(width - 80, 0)) // (WEEK_WIDTH + 1), 1)
    return count - 1 if any(later(row, count) for row in rows) else count


def _column(n: int, week: Week, on_screen: int) -> Column:
    on = CSV | (SCREEN if n < on_screen else frozenset()) | (TEXT if n < ON_PAPER else frozenset())
    return Column(
        "weeks",
        day_text(week.saturday),
        WEEK_WIDTH,
        lambda weeks: cell(weeks[n]),
        right=True,
        on=on,
        csv_head=week.saturday,
    )


def later(row: CropWeeks, weeks: int) -> list[Promise]:
    """What is promised of it for after so many weeks."""
    last = row.weeks[:weeks][-1].last if row.weeks[:weeks] else ""
    return [promise for promise in row.promises if promise.due > last]


def later_cell(row: CropWeeks, weeks: int) -> str:
    """What is promised for after so many weeks; "-12" where so many of it are short."""
    found = later(row, weeks)
    short = sum(promise.short for promise in found)
    return f"-{short}" if short else f"{sum(promise.wanted for promise in found) or ''}"


def worth_a_line(rows: Sequence[CropWeeks], weeks: int) -> list[CropWeeks]:
    """Those that have anything but zeros in so many weeks."""
    return [
        row
        for row in rows
        if row.on_hand or row.promises or any(week.free or week.short for week in row.weeks[:weeks])
    ]


def cell(week: Week) -> str:
    """What is free as usual; "-12" where so many of what is promised for the week are short."""
    return f"-{week.short}" if week.short else str(week.free)


def promise(args: Namespace) -> int:
    """Whether so many can be promised for a day; without a line, every crop against the weeks."""
    session = open_session(args)
    farm, day = session.farm, session.today
    if not args.line:
        rows = crop_weeks(farm, day, open_claims(farm, day))
        if not args.json and not args.csv:
            rows = worth_a_line(rows, ON_PAPER)
        return show_table(args, columns_for(rows), rows, page=lambda: list(_told(rows)), nothing=NOTHING)
    replies = good(ask(farm, day, " ".join(args.line)))
    return tell(args, reply_json(replies), reply_lines(replies))


def _told(rows: Sequence[CropWeeks]) -> Iterator[str]:
    if rows:
        yield "free by the Saturday of each week, as usual; -12: so many of what is promised are short"
        if any(later(row, ON_PAPER) for row in rows):
            yield "later: what is promised for after these weeks"


def _options(parser: ArgumentParser) -> None:
    parser.add_argument(
        "line", metavar="LINE", nargs="*", help="what is asked for, such as: lavender dry 40bu 10-15"
    )


def cutlist(args: Namespace) -> int:
    """What to cut this morning, bed by bed."""
    session = open_session(args)
    found = cut_list(session.sight(), open_claims(session.farm, session.today))
    return tell(args, found, cut_list_lines(found))


class FreeRow(NamedTuple):
    """Stems of one crop in one form that are promised to nobody, by one Saturday."""

    crop: str
    form: str
    on_hand: int
    promised: int
    saturday: str
    free: int
    short: int


def free_rows(rows: Sequence[CropWeeks]) -> list[FreeRow]:
    """A row for each crop and week, as a spreadsheet sums them up."""
    return [
        FreeRow(row.crop, row.form, row.on_hand, row.promised, week.saturday, week.free, week.short)
        for row in rows
        for week in row.weeks
    ]


def _free(session: Session) -> list[FreeRow]:
    return free_rows(crop_weeks(session.farm, session.today, open_claims(session.farm, session.today)))


TABLES = (Table("free", fields_as_columns(*FreeRow._fields), _free, "what can be promised, week by week"),)
COMMANDS = {"promise": Command(promise, _options, csv=True), "cutlist": Command(cutlist)}

PROMISED = RowSort("promised", "On a crop that is promised", view="promised")


def _cut(row: CutRow) -> Typed:
    """The cut that is asked for, to be written with what was really cut: "30 of 50"."""
    variety = f'"{row.variety}"' if row.variety and " " in row.variety else row.variety
    asked = f"{row.left or row.asked}"
    of = " ".join(filter(None, (row.crop, variety, row.bed, row.use)))
    return gap(asked, f" of {asked} {of}" if row.left else f" {of}")


ASKED_CUT = RowSort(
    "asked cut",
    "On a cut that is asked for",
    (deed("cut", "cut", "write the cut, with what was really cut", _cut),),
    view="promised",
)
ROWS = (PROMISED, ASKED_CUT)
CUTS = (
    Column("left", "", 3, lambda left: " " if left else "x"),
    Column("bed", "bed", 5),
    Column("", "cut", show=lambda row: f"{named(row.crop, row.variety)} {HANDED[row.use]}"),
    Column("asked", "asked", 6, right=True),
    Column("cut", "done", 6, right=True),
    Column("standing", "there", 6, lambda there: f"~{there}", right=True),
    Column("", "for", 22, lambda row: ", ".join(dict.fromkeys(o.order or "spare" for o in row.promised))),
)


class Promised(View):
    """What is free of every crop, week by week; while an order is typed, whether it can be promised."""

    EMPTY = NOTHING
    BEGINS = "order "
    SORTS = ("asked cut", "promised")
    JOBS = ("Orders",)
    typed: tuple[Reply, ...] = ()
    answered: tuple[Draft, ...] = ()
    """The drafts that `typed` answers."""

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        claims = open_claims(session.farm, session.today)
        every = crop_weeks(session.farm, session.today, claims)
        found = worth_a_line(every, weeks_shown(every, self.width))
        head, rows = self.table(
            columns_for(found, self.width), found, PROMISED, lambda r: (r.crop, r.form), _look
        )
        asked = cut_list(session.sight(), claims).rows
        if not asked:
            return head, rows
        first, cuts = self.table(CUTS, asked, ASKED_CUT, lambda r: (r.planting, r.use), _look_of_cut)
        return first, [*cuts, Row((), ()), Row((), ((head, "head"),)), *rows]

    def detail(self, row: Row) -> list[Line]:
        if row.sort is ASKED_CUT:
            return about_cut(row.value, self.width)
        return about_promised(row.value, self.width)

    def look_at(self, session: Session, text: str, meant: Completion) -> bool:
        """Answer an order that is being typed; with any other text the chosen row again."""
        before, self.typed = self.typed, ()
        if text.lower().startswith(self.BEGINS):
            read = session.understood(text)
            if isinstance(read, Problem):  # whose order it is may come last
                self.typed = self._asked(session, text[len(self.BEGINS) :])
            else:
                drafts = read.drafts
                if drafts == self.answered and before:
                    self.typed = before
                else:
                    self.typed = session.guard(
                        "What can be promised",
                        lambda: ask_for_order(session.farm, session.today, drafts, roughly=True),
                        lambda _why: (),
                    )
                self.answered = drafts
        return self.typed != before

    def _asked(self, session: Session, what: str) -> tuple[Reply, ...]:
        """The answer where no buyer is named yet."""
        found = session.guard(
            "What can be promised",
            lambda: ask(session.farm, session.today, what, briefly=True),
            lambda why: why,
        )
        return () if isinstance(found, Problem) else found

    def told(self) -> list[Line]:
        if not self.typed:
            return super().told()
        first, *more = reply_lines(self.typed)
        return strip(self.width, (first, "bold"), *((line.strip(), "") for line in more))


def about_promised(of: CropWeeks, width: int) -> list[Line]:
    """What there is to say of a crop that may be promised, the most needed first."""
    promised = "; ".join(
        f"{one.order} {one.buyer} {one.wanted} by {day_text(one.due)}"
        + (f", {one.short} short" if one.short else "")
        for one in of.promises
    )
    poor = ", ".join(f"{day_text(week.saturday)} {week.poor}" for week in of.weeks)
    first = f"{of.crop}, {of.form}: {of.on_hand} on hand, {of.promised} promised, {of.free} free today"
    return strip(
        width,
        (first, "bold"),
        (promised, "caution" if any(one.short for one in of.promises) else ""),
        (f"in a poor season free: {poor}" if poor else "", ""),
    )


def about_cut(row: CutRow, width: int) -> list[Line]:
    """What there is to say of a cut that is asked for, the most needed first."""
    promised = "; ".join(
        f"{one.stems} for {f'{one.order} {one.buyer}'.strip() or 'spare'}, {day_text(one.due)}"
        for one in row.promised
    )
    name = f"{row.bed} {named(row.crop, row.variety)}: {row.asked} {HANDED[row.use]}, {row.cut} cut"
    few = f"about {row.standing} stand by the calendar: look further" if row.standing < row.left else ""
    return strip(width, (name, "bold"), (row.stage, ""), (few, "caution"), (promised, ""))


VIEW = Promised


def _look_of_cut(row: CutRow) -> str:
    return "" if row.left else "quiet"


def _look(row: CropWeeks) -> str:
    return "caution" if any(week.short for week in row.weeks) else ""
