"""The season page and next season's first plan, on the command line and on the screen."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from core.learning.draft_year import drafted_from
from core.learning.next_year import DraftRow
from core.learning.offered import offered_plan
from core.learning.rows import learned, worth_changing
from core.learning.season_page import SeasonPage, SeasonRow, season_page
from core.season.ahead import Ahead, standing_over
from core.settings.sheets import farm_year, year_of
from core.text import wrapped
from core.units import day_text, money, plain_money
from tui import out
from tui.arguments import season as a_season
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import strip
from tui.row_keys import Row, RowSort, Typed
from tui.season_strip import beside, head_text, months, weeks_a_mark
from tui.season_strip import strip as strip_of
from tui.subjects.learning.figures import LEARNED_TABLE, cost, cost_options, learn, learn_options
from tui.table import CSV, DAY, Column, Line, Meaning, Table, csv_table, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

# next season's first plan

DRAFT = (
    Column("crop", "crop"),
    Column("use", "use"),
    Column("stems", "stems"),
    Column("", "when", show=lambda r: f"{r.start} to {r.until}, weekly" if r.start else r.by or ""),
    Column("bed", "bed"),
    Column("line", "line", on=CSV),
    Column("because", "because", on=CSV),
)


def draft(args: Namespace) -> int:
    """The draft of next season's plan, line by line."""
    session = open_session(args)
    year = args.year or drafted_from(session.farm, session.today)
    of, season = (farm_year(session.farm, each).name for each in (year, year + 1))
    before = farm_year(session.farm, year - 1).name
    rows = offered_plan(session.farm, year, session.today)
    nothing = (
        f"Nothing was ordered or sold in {of} that is not planned for {season} already: 'plan' makes a wish a plan. "
        f"The plan for {of} is drafted from {before}: 'draft {year - 1}'."
    )

    stands = standing_over(session.farm, year + 1)

    def more() -> list[str]:
        lines = ["", f"The first plan for {season}, drafted from {of}."]
        lines += wrapped(
            ["Keep a line by writing it ('shedbook write plan ...'); 'leave out CROP USE' drops it."]
        )
        for row in rows:
            lines += wrapped(["", f"{row.line or row.crop}", f"  because {row.because}"])
        return [*(lines if rows else ()), *_standing(stands, season)]

    return show_table(args, DRAFT, rows, page=more, nothing=nothing, stands=stands)


def _standing(stands: Sequence[Ahead], season: str) -> list[str]:
    """What stands over into that season, by what it does in it; nothing where nothing does."""
    lines = []
    for does in dict.fromkeys(one.does for one in stands):
        named = ", ".join(f"{one.called} {one.bed} ({one.because})" for one in stands if one.does == does)
        lines += wrapped([f"{does}: {named}"])
    return ["", f"Stands over into {season}", *lines] if lines else []


def _draft_options(draft: ArgumentParser) -> None:
    draft.add_argument(
        "year",
        metavar="YYYY",
        nargs="?",
        type=a_season,
        help="the season it is drafted from: 2026 drafts the plan for 2027. Where none is said it is this one, "
        "and until the first sowing of a year the one before",
    )


# the season as a page

STRIP_ROOM = 26
"""Characters for the weeks on paper."""
SEASON_CSV = (
    Column("of", "of"),
    Column("week", "week"),
    Column("cut", "cut"),
    Column("sold", "sold"),
    Column("lost", "lost"),
    Column("cents", "cents"),
)


class SeasonWeek(NamedTuple):
    """One week of one crop, for a table."""

    of: str
    week: str
    cut: int
    sold: int
    lost: int
    cents: int


def _weeks_of(page: SeasonPage) -> list[SeasonWeek]:
    return [SeasonWeek(row.of, *week) for row in page.rows for week in row.weeks]


TABLES = (
    LEARNED_TABLE,
    Table(
        "season",
        (*SEASON_CSV[:-1], Column("cents", "taken", show=plain_money, on=CSV)),
        lambda session: _weeks_of(season_page(session.farm, year_of(session.farm, session.today))),
        "the season so far, week by week",
        heads={
            "of": Meaning("crop, or recipe of pieces"),
            "week": Meaning("Monday of the week", DAY),
            "cut": Meaning("cut, or made, culls among them", "stems or pieces"),
            "lost": Meaning("lost, culls among them", "stems or pieces"),
            "sold": Meaning("sold", "stems or pieces"),
        },
    ),
)


def season(args: Namespace) -> int:
    """The season as a page, of this year or another."""
    session = open_session(args)
    page = season_page(session.farm, args.year or year_of(session.farm, session.today), session.today)
    if args.json:
        out.as_json(page)
    elif args.csv:
        weeks = _weeks_of(page)
        out.text(csv_table(SEASON_CSV, weeks))
    elif not page.rows:
        before = page.year - (1 if page.until else 2)
        out.lines(wrapped([f"{page.nothing}: look further back with 'season {before}'."]))
    else:
        each = weeks_a_mark(len(page.weeks), STRIP_ROOM)
        out.lines(
            [
                f"Season {page.title}",
                *printed_table(_season_columns(page, each), page.rows),
                *wrapped(["", page.total, head_text(each)]),
            ]
        )
    return out.DONE


def _season_columns(page: SeasonPage, each: int, width: int = 0) -> tuple[Column, ...]:
    return (
        Column("of", "", 15),
        Column(
            "",
            months(page.weeks, each),
            width,
            lambda r: strip_of(r, page.weeks, each).rstrip() if width else strip_of(r, page.weeks, each),
        ),
        Column("cut", "cut", 6, right=True),
        Column("", "+/-", 6, lambda r: beside(r.cut, r.before.cut), right=True),
        Column("sold", "sold", 6, right=True),
        Column("lost", "lost", 5, right=True),
        Column("cents", "taken", 9, money, right=True),
        Column("", "+/-", 6, lambda r: beside(r.cents, r.before.cents), right=True),
    )


def _season_options(season: ArgumentParser) -> None:
    season.add_argument("year", metavar="YYYY", nargs="?", type=a_season, help="this year where none is said")


SEASON = RowSort("season", "On a crop of the season", view="season")
DRAFT_ROW = RowSort(
    "draft",
    "On a line of the first plan",
    (
        deed(
            "drop",
            "leave out",
            "left out of the plan",
            lambda of: Typed(f"leave out {of[0].crop} {of[0].use} {of[1]}"),
        ),
    ),
    view="season",
)
PIECES_ROW = RowSort("draft pieces", "On pieces of the first plan", view="season")
FIGURE_ROW = RowSort("own figure", "On a figure of your own", view="season")
ROWS = (SEASON, DRAFT_ROW, PIECES_ROW, FIGURE_ROW)
DRAFTED = "draft"
"""The part of the view that holds next season's first plan."""
FIGURES = "figures"
"""The part that holds the figures of her own that are worth taking into a sheet."""


def _draft_row(r: DraftRow, season: int) -> Row:
    """A line of the first plan; pieces are not left out by a key, for that is said of a crop."""
    if r.use == "piece":
        return Row(DRAFT_ROW.id(r.crop, r.use), ((r.line, ""),), PIECES_ROW, (r, season), goes=Typed(r.line))
    return Row(
        DRAFT_ROW.id(r.crop, r.use),
        ((r.line or f"{r.crop}: {r.because}", ""),),
        DRAFT_ROW,
        (r, season),
        goes=Typed(r.line or f"leave out {r.crop} {r.use} {season}"),
    )


class Season(View):
    """The season of a year, crops down and weeks across; Enter opens a crop's weeks, another year, the next plan."""

    EMPTY = "Nothing was cut, sold or lost in this season or the one before."
    SORTS = ("season", "draft", "draft pieces", "own figure")

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.years_back = 0
        self.opened: set[str] = set()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        page = season_page(
            session.farm, year_of(session.farm, session.today) - self.years_back, session.today
        )
        room = max(self.width - _BESIDE_STRIP, 8)
        each = weeks_a_mark(len(page.weeks), room)
        columns = _season_columns(page, each, room)
        head, rows = self.table(columns, page.rows, SEASON, lambda r: (r.sort, r.of))
        turn = -1 if self.years_back else 1
        above = [Row((), ((line, "bold"),)) for line in wrapped([f"{page.title}: {page.total}"], self.width)]
        turned = farm_year(session.farm, page.year - turn).name
        other = Row(("season", "year"), ((f"Enter: the season of {turned}", "quiet"),), folds=f"{turn}")
        if not rows:
            above = [Row((), ((line, ""),)) for line in wrapped([f"{page.nothing}."], self.width)]
            if not self.years_back and not season_page(session.farm, page.year - 1).rows:
                return "", []
        if rows:
            above += [Row((), ((line, "quiet"),)) for line in wrapped([head_text(each)], self.width)]
        drafted = page.year if self.years_back else drafted_from(session.farm, session.today)
        below = [*above, *self._figures(session), other, *self._draft(session, drafted)]
        return head, [*(line for row in rows for line in self._with_weeks(row)), Row((), ()), *below]

    def _draft(self, session: Session, year: int) -> list[Row]:
        """Next season's first plan, where it was opened: Enter on a line puts it into the entry line."""
        name = farm_year(session.farm, year + 1).name
        told = f"Enter: the first plan for {name}"
        if DRAFTED not in self.opened:
            return [Row(("season", DRAFTED), ((told, "quiet"),), folds=DRAFTED)]
        found = offered_plan(session.farm, year, session.today)
        head = f"The first plan for {name}" + ("" if found else ": nothing that is not planned already")
        rows = [_draft_row(r, year + 1) for r in found]
        return [Row(("season", DRAFTED), ((head, "bold"),), folds=DRAFTED), *rows]

    def _figures(self, session: Session) -> list[Row]:
        """Her own figures that are worth taking, where they were opened: Enter puts the line into the entry line."""
        if FIGURES not in self.opened:
            told = "Enter: figures of your own that are worth taking into a sheet"
            return [Row(("season", FIGURES), ((told, "quiet"),), folds=FIGURES)]
        found = [*worth_changing(learned(session.farm, session.today))]
        head = "Figures of your own" + ("" if found else ": none that the record bears and a sheet lacks")
        rows = [
            Row(
                FIGURE_ROW.id(r.crop, r.way or "", r.variety or "", r.figure),
                ((r.take, ""),),
                FIGURE_ROW,
                r,
                goes=Typed(r.take),
            )
            for r in found
        ]
        return [Row(("season", FIGURES), ((head, "bold"),), folds=FIGURES), *rows]

    def _with_weeks(self, row: Row) -> list[Row]:
        name = " ".join(row.id)
        own = row._replace(folds=name)
        if name not in self.opened:
            return [own]
        told = (
            f"      week of {day_text(w.week)}: {w.cut} cut, {w.sold} sold, {w.lost} lost, {money(w.cents)} taken"
            for w in row.value.weeks
        )
        return [own, *(Row((), ((text, "quiet"),)) for text in told)]

    def fold(self, name: str, session: Session) -> None:
        if name in ("1", "-1"):
            self.years_back += int(name)
        else:
            self.opened ^= {name}
        self.load(session)

    def detail(self, row: Row) -> list[Line]:
        if row.sort in (DRAFT_ROW, PIECES_ROW):
            return strip(self.width, (row.value[0].line, "bold"), (f"because {row.value[0].because}", ""))
        if row.sort is FIGURE_ROW:
            return strip(self.width, (row.value.take, "bold"), (row.value.advice, ""))
        if row.sort is not SEASON:
            return []
        r: SeasonRow = row.value
        best = max(r.weeks, key=lambda week: week.cut, default=None)
        most = f"most in the week of {day_text(best.week)}: {best.cut}" if best and best.cut else ""
        now = f"{r.cut} cut, {r.sold} sold, {r.lost} lost, {money(r.cents)} taken"
        was = r.before
        before = (
            f"the season before: {was.cut} cut, {was.sold} sold, {was.lost} lost, {money(was.cents)} taken"
        )
        return strip(self.width, (f"{r.of}: {now}", "bold"), (before, ""), (most, ""))


_BESIDE_STRIP = 15 + 6 + 6 + 6 + 5 + 9 + 6 + 7
VIEW = Season

COMMANDS = {
    "draft": Command(draft, _draft_options, csv=True),
    "season": Command(season, _season_options, csv=True),
    "learn": Command(learn, learn_options, csv=True),
    "cost": Command(cost, cost_options, csv=True),
}
