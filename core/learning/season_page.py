"""The season as one page: of every crop what was cut, sold, lost and taken, week by week, beside the season before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from itertools import chain
from typing import Literal, NamedTuple, TypeAlias

from core.farm import Farm, Lot, Piece
from core.orders.takings import sales_of, sellable
from core.past_seasons.kinds import PastSeasons
from core.settings.sheets import farm_year
from core.units import day_text, monday_of, money

Sort: TypeAlias = Literal["crop", "piece"]
STEMS: Sort = "crop"
PIECES: Sort = "piece"


class Sums(NamedTuple):
    """Stems cut (of pieces: made), sold and lost, culls among them; and what was taken, in cents."""

    cut: int = 0
    sold: int = 0
    lost: int = 0
    cents: int = 0

    def and_of(self, other: Sums) -> Sums:
        """Both together."""
        return Sums(*(one + more for one, more in zip(self, other, strict=True)))


class WeekSums(NamedTuple):
    """The sums of one week, which begins on that Monday."""

    week: str
    cut: int
    sold: int
    lost: int
    cents: int


class SeasonRow(NamedTuple):
    """A crop, or the pieces of a recipe, in one year: its sums, those of the year before, and the weeks in which there
    was anything."""

    of: str
    sort: Sort
    cut: int
    sold: int
    lost: int
    cents: int
    before: Sums
    weeks: tuple[WeekSums, ...]


class SeasonPage(NamedTuple):
    """A year: its Mondays from the first week in which there was anything to the last, its rows, the most cut first,
    and the sums of stems in that year and in the one before; up to the same day, `until`, where it is not over.
    `taken` and `taken_before` are the cents of all rows, pieces among them."""

    year: int
    until: str | None
    weeks: tuple[str, ...]
    rows: tuple[SeasonRow, ...]
    stems: Sums
    stems_before: Sums
    taken: int
    taken_before: int
    name: str
    """As it is told: "2026", in the south "2026-27"."""
    name_before: str

    @property
    def title(self) -> str:
        """ "2026, beside 2025, both to 23 Jun"."""
        return f"{self.name}, beside {self.name_before}" + (
            f", both to {day_text(self.until)}" if self.until else ""
        )

    @property
    def nothing(self) -> str:
        """What is said where it has no rows: the days of the year before that were not looked at are named."""
        if self.until is None:
            return f"Nothing was cut, sold or lost in {self.name} or {self.name_before}"
        so_far = f"Nothing was cut, sold or lost in {self.name} so far"
        return f"{so_far}, or in {self.name_before} to {day_text(self.until)}"

    @property
    def total(self) -> str:
        """What became of all stems, and what all rows together took."""
        now, before = self.stems, self.stems_before
        return (
            f"{now.cut} stems cut ({before.cut} the season before), {now.sold} sold ({before.sold}), {now.lost} lost "
            f"({before.lost}), {money(self.taken)} taken ({money(self.taken_before)})"
        )


Weeks: TypeAlias = dict[tuple[Sort, str], dict[str, Sums]]


def season_page(farm: Farm, year: int, day: date | None = None) -> SeasonPage:
    """The page of a year; one that is not over on `day` stands beside the year before up to the same day."""
    span, earlier = farm_year(farm, year), farm_year(farm, year - 1)
    until = day if day is not None and span.first <= day.isoformat() < span.last else None
    lots, pieces = sellable(farm, year, year - 1)
    now = _weeks(farm, year, lots, pieces, span.last)
    before = _weeks(farm, year - 1, lots, pieces, _a_year_before(until) if until else earlier.last)
    rows = []
    for sort, of in {**now, **before}:
        weeks = now.get((sort, of), {})
        cut, sold, lost, cents = _sum(weeks)
        told = tuple(WeekSums(week, *sums) for week, sums in sorted(weeks.items()))
        rows.append(SeasonRow(of, sort, cut, sold, lost, cents, _sum(before.get((sort, of), {})), told))
    rows.sort(key=lambda row: (row.sort, -row.cut, -row.before.cut, row.of))
    return SeasonPage(
        year,
        until.isoformat() if until else None,
        _mondays([week.week for row in rows for week in row.weeks]),
        tuple(rows),
        _of_stems(now),
        _of_stems(before),
        sum(row.cents for row in rows),
        sum(row.before.cents for row in rows),
        span.name,
        earlier.name,
    )


def _a_year_before(day: date) -> str:
    """The same day of the year before, also where that has no 29 February."""
    return f"{day.year - 1:04d}-{day:%m-%d}"


def _sum(weeks: dict[str, Sums]) -> Sums:
    found = Sums()
    for sums in weeks.values():
        found = found.and_of(sums)
    return found


def _of_stems(weeks: Weeks) -> Sums:
    found = Sums()
    for (sort, _), one in weeks.items():
        if sort == STEMS:
            found = found.and_of(_sum(one))
    return found


def _mondays(told: list[str]) -> tuple[str, ...]:
    if not told:
        return ()
    first, last = date.fromisoformat(min(told)), date.fromisoformat(max(told))
    return tuple((first + timedelta(weeks=n)).isoformat() for n in range((last - first).days // 7 + 1))


def _weeks(farm: Farm, year: int, lots: Sequence[Lot], pieces: Sequence[Piece], last: str) -> Weeks:
    """(sort, crop or recipe) -> Monday -> sums, of what happened in the year up to its day `last`."""
    found: Weeks = defaultdict(lambda: defaultdict(Sums))
    first = farm_year(farm, year).first
    mondays: dict[str, str] = {}

    def add(sort: Sort, of: str, on: str, sums: Sums) -> None:
        if first <= on <= last:
            if on not in mondays:
                mondays[on] = monday_of(date.fromisoformat(on)).isoformat()
            weeks = found[sort, of]
            weeks[mondays[on]] = weeks[mondays[on]].and_of(sums)

    for lot in lots:
        add(STEMS, lot.crop, lot.cut_on, Sums(cut=lot.cut))
        for loss in lot.losses:
            add(STEMS, lot.crop, loss.on, Sums(lost=loss.stems))
    for piece in pieces:
        add(PIECES, piece.recipe, piece.made_on, Sums(cut=piece.count))
    for sold in sales_of(farm, year, chain(lots, pieces)):
        sort, of = (STEMS, sold.of.crop) if isinstance(sold.of, Lot) else (PIECES, sold.of.recipe)
        add(sort, of, sold.sale.on, Sums(sold=sold.sale.number, cents=sold.cents or 0))
    for past in farm.part(PastSeasons).weeks.values():
        if first <= past.week <= last:
            weeks = found[STEMS, past.crop]
            sums = Sums(past.cut + past.culls, past.stems, past.culls, past.cents)
            weeks[past.week] = weeks[past.week].and_of(sums)
    return found
