"""What lies in store for the winter, by variety."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from core.crops.course import roots
from core.crops.sheet import Sheet
from core.dialect import told_degrees
from core.farm import Farm
from core.settings.sheets import farm_sheet
from core.tubers.clumps import Origin, first
from core.tubers.forcing import chilled_until, flowers
from core.tubers.kinds import MISCOUNTED
from core.tubers.stock import Stock, Tubers, roots_of
from core.units import day_text


class ColdRow(NamedTuple):
    """Bulbs of one variety on their way to flower: in the cold (`out_on` None), or out of it.

    `chilled_by` is the day on which the least of their weeks of cold is over; they flower from `flowers_from` to
    `flowers_to`, reckoned from the day they came out or, in the cold, from `chilled_by`. None: the sheet does not say.
    """

    crop: str
    variety: str | None
    entry: str
    bulbs: int
    since: str
    cold_f: float | None
    chilled_by: str | None
    out_on: str | None
    flowers_from: str | None
    flowers_to: str | None
    because: str
    to_cut: int = 0
    """Of those out of the cold, bulbs that are left to cut: what was cut is of the oldest."""
    due_in_days: int | None = None
    """Of what the morning asks: days until it is to be done, below 0 since then."""
    roots: str = "bulbs"
    """What is forced, in the word of its kind."""


class TuberRow(NamedTuple):
    """One variety: what came into store, what went, what is there. `missing` is what a count found too few."""

    crop: str
    variety: str | None
    there: int
    lifted: int
    bought: int
    gained: int
    planted: int
    lost: int
    missing: int
    causes: dict[str, int]
    lifted_on: str | None
    sold: int = 0
    checked_on: str | None = None
    winter_store: str = ""
    """How the crop is lifted and stored, with its source; "" where nothing is known of it."""
    in_cold: int = 0
    """Of what is there, bulbs in the cold to be forced."""
    forced: int = 0
    """Bulbs that came out of the cold to flower."""
    forcing: tuple[ColdRow, ...] = ()
    forced_cut: int = 0
    """Stems cut of the forced bulbs, culls too."""
    to_cut: int = 0
    """Forced bulbs that are left to cut."""
    roots: str = "tubers"
    """What lies there, in the word of its kind: "bulbs", "corms"."""
    origins: tuple[Origin, ...] = ()
    """Where what is there came from, oldest first; what came first is taken to go out first."""
    washed_on: str | None = None
    stored_on: str | None = None
    stored_in: str = ""
    """Where and in what it lies, in her words."""
    stored_f: float | None = None
    """How warm it lies, degrees F."""


def _winter_store(farm: Farm, stock: Stock) -> str:
    sheet = farm_sheet(farm, stock.crop, variety=stock.variety)
    if sheet is None or sheet.winter_store is None:
        return ""
    return f"{sheet.winter_store.text} [{sheet.winter_store.source}]"


def tuber_rows(farm: Farm) -> list[TuberRow]:
    """Every variety that ever was in store, by crop and variety."""
    rows = []
    for stock in farm.part(Tubers).all():
        causes = {cause: count for cause, count in stock.lost.items() if count and cause != MISCOUNTED}
        rows.append(
            TuberRow(
                stock.crop,
                stock.variety,
                stock.there,
                stock.lifted,
                stock.bought,
                stock.gained,
                stock.planted,
                sum(causes.values()),
                stock.lost.get(MISCOUNTED, 0),
                causes,
                stock.lifted_on,
                stock.sold,
                stock.checked_on,
                _winter_store(farm, stock),
                stock.in_cold,
                stock.forced,
                forcing_rows(farm, stock),
                stock.forced_cut,
                stock.to_cut,
                roots_of(farm, stock.crop),
                first(stock.clumps, stock.there),
                stock.washed_on,
                stock.stored_on,
                stock.stored_in,
                stock.stored_f,
            )
        )
    return rows


def told_store(row: TuberRow) -> str:
    """ "in crates of vermiculite, cellar at 42 F since 22 Oct; washed 20 Oct"; "" where nothing is said of it."""
    told = []
    if row.stored_on is not None:
        warm = f" at {told_degrees(row.stored_f)}" if row.stored_f is not None else ""
        told.append(f"in {row.stored_in}{warm} since {day_text(row.stored_on)}")
    if row.washed_on is not None:
        told.append(f"washed {day_text(row.washed_on)}")
    return "; ".join(told)


def forcing_rows(farm: Farm, stock: Stock) -> tuple[ColdRow, ...]:
    """What of a variety is forced, the first in the cold first, and after it what came out of it."""
    if not stock.cold and not stock.warm:
        return ()
    sheet = farm_sheet(farm, stock.crop, variety=stock.variety)
    rows = (*_in_cold(stock, sheet), *_out_of_it(stock, sheet))
    return tuple(row._replace(roots=roots(sheet)) for row in rows)


def _in_cold(stock: Stock, sheet: Sheet | None) -> Iterator[ColdRow]:
    for chill in sorted(stock.cold, key=lambda one: one.on):
        done = chilled_until(chill, sheet)
        bloom = flowers(done.first, sheet) if done is not None else None
        yield ColdRow(
            stock.crop,
            stock.variety,
            chill.entry,
            chill.count,
            chill.on,
            chill.cold_f,
            done.first if done is not None else None,
            None,
            bloom.first if bloom is not None else None,
            bloom.last if bloom is not None else None,
            "; ".join(due.because for due in (done, bloom) if due is not None),
        )


def _out_of_it(stock: Stock, sheet: Sheet | None) -> Iterator[ColdRow]:
    left, left_of = stock.to_cut, {}
    for out in reversed(stock.warm):
        left_of[out.entry] = min(out.count, left)
        left -= left_of[out.entry]
    for out in stock.warm:
        bloom = flowers(out.on, sheet)
        yield ColdRow(
            stock.crop,
            stock.variety,
            out.entry,
            out.count,
            out.on,
            None,
            None,
            out.on,
            bloom.first if bloom is not None else None,
            bloom.last if bloom is not None else None,
            bloom.because if bloom is not None else "",
            left_of[out.entry],
        )


def standing_forced(farm: Farm) -> tuple[ColdRow, ...]:
    """The forced bulbs that are left to cut: out of the cold, and in no bed."""
    every = (row for stock in farm.part(Tubers).all() for row in forcing_rows(farm, stock))
    return tuple(row for row in every if row.out_on is not None and row.to_cut)


def told_forcing(row: ColdRow) -> str:
    """ "50 in the cold since 5 Oct, chilled by 28 Dec, in flower 11 Jan to 18 Jan"."""
    where = "in the cold" if row.out_on is None else "out of the cold"
    by = f", chilled by {day_text(row.chilled_by)}" if row.chilled_by is not None else ""
    bloom = (
        f", in flower {day_text(row.flowers_from)} to {day_text(row.flowers_to)}" if row.flowers_from else ""
    )
    left = f", {row.to_cut} left to cut" if row.out_on is not None else ""
    return f"{row.bulbs} {where} since {day_text(row.since)}{by}{bloom}{left}"
