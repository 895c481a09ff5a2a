"""The look back on the command line and on the screen: her own figures beside the sheet's."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from core.learning.cost import Cost
from core.learning.cost import cost as cost_of
from core.learning.planned import PlannedRow, ShortRow, TurnRow, planned_rows, short_rows, turn_rows
from core.learning.rows import LearnedRow, called, learned, learned_of, worth_changing
from core.learning.season_page import SeasonPage, SeasonRow, season_page
from core.stems.losses import HAND_OVERS, crop_that_was_cut
from core.text import named, wrapped
from core.units import day_text, money, number, plain_money, plural
from tui import out
from tui.arguments import year
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.out import good
from tui.phrases import strip
from tui.row_keys import Row, RowSort
from tui.season_strip import beside, head_text, months, weeks_a_mark
from tui.season_strip import strip as strip_of
from tui.subjects.stems import NOTHING_LOST
from tui.table import CSV, DAY, TEXT, Column, Line, Meaning, Table, csv_table, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

NOTHING = "The record says nothing of that yet: sow, count what is up, set out, cut, and write each with its number."


def _span(span: tuple[float, float] | None) -> str:
    if span is None:
        return "none"
    low, high = span
    return number(low) if low == high else f"{number(low)} to {number(high)}"


LEARNED = (
    Column("", "of", show=called),
    Column("label", "figure"),
    Column("sheet", "sheet", show=_span),
    Column("own", "yours", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low, r.high)), on=TEXT),
    Column("low", "low", show=number, on=CSV),
    Column("high", "high", show=number, on=CSV),
    Column("seasons", "seasons"),
    Column("n", "n"),
    Column("take", "to take it", on=CSV),
)


def learn(args: Namespace) -> int:
    """Her own figures of one crop, or those of all crops that are worth changing."""
    session = open_session(args)
    name = " ".join(args.crop)
    farm, day = session.farm, session.today
    rows = good(learned_of(farm, day, name)) if name else learned(farm, day)
    shown = rows if name or args.all or args.json or args.csv else [*worth_changing(rows)]
    nothing = NOTHING if not rows else _no_change(rows)
    return show_table(args, LEARNED, shown, page=lambda: [*_page(rows, shown, bool(name))], nothing=nothing)


def _no_change(rows: Sequence[LearnedRow]) -> str:
    crops = plural(len({row.crop for row in rows}), "crop")
    return (
        f"Nothing to change: the record speaks to {plural(len(rows), 'figure')} of {crops} ('learn --all')."
    )


def _page(rows: Sequence[LearnedRow], shown: Sequence[LearnedRow], with_all: bool) -> Iterator[str]:
    told = [row for row in shown if row.take]
    for row in told:
        yield from wrapped(["", f"{called(row)}, {row.label}: {row.advice}", f"  {row.take}"])
    if with_all:
        others = [row for row in shown if not row.take]
        if others:
            yield ""
        yield from wrapped(f"{called(row)}, {row.label}: {row.advice}" for row in others)
    elif len(shown) < len(rows):
        yield ""
        yield f"{plural(len(rows) - len(shown), 'other figure')} need no change: learn --all, or learn CROP."


def _options(learn: ArgumentParser) -> None:
    learn.add_argument(
        "crop", metavar="CROP", nargs="*", help="any unambiguous beginning; none tells what to change"
    )
    learn.add_argument("--all", action="store_true", help="every figure that the record speaks to")


# what cost her

COST = (
    Column("crop", "crop"),
    Column("factor", "by"),
    Column("level", "which"),
    Column("cause", "lost to"),
    Column("lost", "lost"),
    Column("stems", "of"),
    Column("other_lost", "others"),
    Column("other_stems", "of"),
    Column("more_pct", "% more", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low_pct, r.high_pct)), on=TEXT),
    Column("cost", "cost"),
)
LOSSES = (
    Column("crop", "crop"),
    Column("form", "lost at", show=lambda form: HAND_OVERS.get(form, form)),
    Column("cause", "cause"),
    Column("stems", "stems"),
    Column("of", "of"),
    Column("share_pct", "%", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low_pct, r.high_pct))),
)
MOST_TOLD = 8
"""What went with losses, told on paper: the costliest; JSON and CSV have all."""


def cost(args: Namespace) -> int:
    """What cost her, of the cuts of all years or of one."""
    session = open_session(args)
    farm, day = session.farm, session.today
    crop = good(crop_that_was_cut(farm, args.crop)) if args.crop else None
    found = cost_of(farm, args.year, crop)
    planned = planned_rows(farm, day, args.year)
    turns = turn_rows(farm, args.year or day.year)
    if crop:
        planned = [row for row in planned if row.crop == crop]
        turns = [row for row in turns if row.crop == crop]
    short = short_rows(farm, args.year)
    if args.json:
        out.rows(
            found.rows,
            comparisons=found.comparisons,
            losses=found.losses,
            planned=planned,
            turns=turns,
            short=short,
        )
    elif args.csv:
        out.text(csv_table(COST, found.rows))
    else:
        out.lines(_cost_page(found, planned, turns, short))
    return out.DONE


def _cost_page(
    found: Cost, planned: Sequence[PlannedRow], turns: Sequence[TurnRow], short: Sequence[ShortRow]
) -> Iterator[str]:
    if found.losses:
        yield from printed_table(LOSSES, found.losses)
    else:
        yield NOTHING_LOST
    if found.comparisons:
        yield from ("", f"What went with losses ({plural(found.comparisons, 'comparison')} made)")
    if found.comparisons and not found.rows:
        yield "  nothing that the numbers bear"
    for row in found.rows[:MOST_TOLD]:
        more = f"{number(row.low_pct)} to {number(row.high_pct)} more in 100"
        yield from wrapped([f"  {row.says}: {more}, some {plural(row.cost, 'stem')}"])
    if planned:
        yield from ("", "Planned against done")
        yield from wrapped(f"  {row.plan} {named(row.crop, row.variety)}: {row.says}" for row in planned)
    if uneven := [row for row in turns if row.follows != "in turn"]:
        yield from ("", "Successions")
        yield from wrapped(f"  {row.crop}: {row.says}" for row in uneven)
    if short:
        yield from ("", "Told short to buyers")
        yield from wrapped(f"  {row.number} {row.of} ({', '.join(row.orders)})" for row in short)


def _cost_options(cost: ArgumentParser) -> None:
    cost.add_argument("--crop", metavar="CROP", help="of one crop only: any beginning of its name")
    cost.add_argument("--year", metavar="YYYY", type=year, help="of what was cut in that year")


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
    Table(
        "learned",
        LEARNED,
        lambda session: learned(session.farm, session.today),
        "your own figures by your record",
        heads={"of": Meaning("crop, and variety")},
    ),
    Table(
        "season",
        (*SEASON_CSV[:-1], Column("cents", "taken", show=plain_money, on=CSV)),
        lambda session: _weeks_of(season_page(session.farm, session.today.year)),
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
    page = season_page(session.farm, args.year or session.today.year)
    if args.json:
        out.as_json(page)
    elif args.csv:
        out.text(csv_table(SEASON_CSV, _weeks_of(page)))
    elif not page.rows:
        out.lines([_nothing_in(page.year)])
    else:
        each = weeks_a_mark(len(page.weeks), STRIP_ROOM)
        out.lines(
            [
                f"Season {page.year}, beside {page.year - 1}",
                *printed_table(_season_columns(page, each), page.rows),
                *wrapped(["", _stems_text(page), head_text(page, each)]),
            ]
        )
    return out.DONE


def _nothing_in(year: int) -> str:
    return f"Nothing was cut, sold or lost in {year} or {year - 1}: the season before last is 'season {year - 2}'."


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
        Column("", "", 6, lambda r: beside(r.cut, r.before.cut), right=True),
        Column("sold", "sold", 6, right=True),
        Column("lost", "lost", 5, right=True),
        Column("cents", "taken", 9, money, right=True),
        Column("", "", 6, lambda r: beside(r.cents, r.before.cents), right=True),
    )


def _stems_text(page: SeasonPage) -> str:
    now, before = page.stems, page.stems_before
    return (
        f"{now.cut} stems cut ({before.cut} the season before), {now.sold} sold ({before.sold}), {now.lost} lost "
        f"({before.lost}), {money(now.cents)} taken ({money(before.cents)})"
    )


def _season_options(season: ArgumentParser) -> None:
    season.add_argument("year", metavar="YYYY", nargs="?", type=year, help="this year where none is said")


SEASON = RowSort("season", "On a crop of the season", view="season")
ROWS = (SEASON,)


class Season(View):
    """The season of a year, crops down and weeks across; Enter opens a crop's weeks, on the last row another year."""

    EMPTY = "Nothing was cut, sold or lost in this season or the one before."
    SORTS = ("season",)

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.years_back = 0
        self.opened: set[str] = set()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        page = season_page(session.farm, session.today.year - self.years_back)
        room = max(self.width - _BESIDE_STRIP, 8)
        each = weeks_a_mark(len(page.weeks), room)
        columns = _season_columns(page, each, room)
        head, rows = self.table(columns, page.rows, SEASON, lambda r: (r.sort, r.of))
        turn = -1 if self.years_back else 1
        above = [
            Row((), ((line, "bold"),)) for line in wrapped([f"{page.year}: {_stems_text(page)}"], self.width)
        ]
        other = Row(
            ("season", "year"), ((f"Enter: the season of {page.year - turn}", "quiet"),), folds=f"{turn}"
        )
        if not rows and not self.years_back:
            return "", []
        return head, [*(line for row in rows for line in self._with_weeks(row)), Row((), ()), *above, other]

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
    "season": Command(season, _season_options, csv=True),
    "learn": Command(learn, _options, csv=True),
    "cost": Command(cost, _cost_options, csv=True),
}
