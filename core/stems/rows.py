"""What there is: every lot in every place, with its form, its unit and its age; how long what is boxed will keep."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal, TypeAlias

from core.crops.sheet import Figure, Sheet
from core.farm import Farm, Lot
from core.places import Holding, Place
from core.settings.sheets import farm_sheet

KeepingStatus: TypeAlias = Literal["", "prime", "sell first", "discount", "compost"]
"""How what is boxed sells; "" for what is in no box."""

PRIME_MONTHS = Figure(12.0, "common practice, S106")
"""Months in the box at full color, where the crop's sheet has none; arrangements keep a year or more [S106]."""
DISCOUNT_AFTER_PRIME = 6.0
"""Months past the prime until it sells at a discount: 18 months boxed (common practice)."""
COMPOST_AFTER_PRIME = 12.0
"""Months past the prime until it sells no more: 24 months boxed (common practice)."""
PRIME: Final = "prime"
SELL_FIRST: Final = "sell first"
DISCOUNT: Final = "discount"
COMPOST: Final = "compost"
DAYS_A_MONTH = 365.25 / 12
MOST_MONTHS = 1200.0
"""A slip of the pen in a sheet does not lead past the calendar."""


@dataclass(frozen=True, slots=True)
class StockRow:
    """One lot in one place. `on_hand` counts `unit` (stems, heads or bunches); `stems` are always stems.

    `age_days` runs from the cut. A negative number is a matter to settle: more went out than there was. What is
    boxed has the day it was boxed, its days in store, the last day of its prime, the days after which it sells at
    a discount and not at all, its `status` ("prime", "sell first", "discount", "compost"; "" elsewhere) and the
    days until that changes. `light` is True where its box stands in the light.
    """

    lot: str
    crop: str
    variety: str | None
    form: str
    unit: str
    on_hand: int
    per: int
    stems: int
    cut_on: str
    age_days: int
    place: Place
    bed: str
    stage: str | None
    grade: str | None
    boxed_on: str | None
    store_days: int | None
    prime_until: str | None
    discount_after: str | None
    compost_after: str | None
    status: KeepingStatus
    changes_in_days: int | None
    light: bool | None
    because: str


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long a boxed lot keeps: last day of its prime, last day at full price, last day it sells; and why."""

    prime_until: date
    discount_after: date
    compost_after: date
    because: str

    def status(self, day: date) -> tuple[KeepingStatus, int | None]:
        """(what it is on that day, days until it is something else or None)."""
        steps: tuple[tuple[KeepingStatus, date], ...] = (
            (PRIME, self.prime_until),
            (SELL_FIRST, self.discount_after),
            (DISCOUNT, self.compost_after),
        )
        for word, last in steps:
            if day <= last:
                return word, (last - day).days + 1
        return COMPOST, None


@dataclass(frozen=True, slots=True)
class LotBalance:
    """Where all the stems of one lot are: cut = on hand + sold + used + lost."""

    lot: str
    cut: int
    on_hand: int
    sold: int
    used: int
    lost: int

    @property
    def adds_up(self) -> bool:
        return self.cut == self.on_hand + self.sold + self.used + self.lost


def stock_rows(farm: Farm, day: date) -> list[StockRow]:
    """All that is on hand, the oldest cut first: what was cut first leaves first."""
    rows = [
        _row(farm, lot, place, held, day) for lot in farm.lots.live() for place, held in lot.holdings.items()
    ]
    return sorted(rows, key=lambda r: (r.cut_on, r.lot, r.place))


def _row(farm: Farm, lot: Lot, place: Place, held: Holding, day: date) -> StockRow:
    boxed_on = date.fromisoformat(held.since) if place.is_box else None
    kept = keeping(boxed_on, farm_sheet(farm, lot.crop, lot.way, lot.variety)) if boxed_on else None
    status, changes = kept.status(day) if kept else ("", None)
    box = farm.boxes.get(place)
    return StockRow(
        lot=lot.code,
        crop=lot.crop,
        variety=lot.variety,
        form=held.form,
        unit=held.unit,
        on_hand=held.on_hand,
        per=held.per,
        stems=held.stems,
        cut_on=lot.cut_on,
        age_days=(day - date.fromisoformat(lot.cut_on)).days,
        place=place,
        bed=lot.bed,
        stage=lot.stage,
        grade=held.grade or None,
        boxed_on=boxed_on.isoformat() if boxed_on else None,
        store_days=(day - boxed_on).days if boxed_on else None,
        prime_until=kept.prime_until.isoformat() if kept else None,
        discount_after=kept.discount_after.isoformat() if kept else None,
        compost_after=kept.compost_after.isoformat() if kept else None,
        status=status,
        changes_in_days=changes,
        light=box.light if box else None,
        because=kept.because if kept else "",
    )


def keeping(boxed_on: date, sheet: Sheet | None) -> Keeping:
    """How long what was boxed on that day keeps, by the farm's sheet of the crop."""
    prime = sheet.prime_months if sheet is not None and sheet.prime_months is not None else PRIME_MONTHS
    discount = sheet.discount_months if sheet is not None else None
    compost = sheet.compost_months if sheet is not None else None
    if discount is None:
        discount = Figure(prime.value + DISCOUNT_AFTER_PRIME, "common practice")
    if compost is None:
        compost = Figure(max(prime.value + COMPOST_AFTER_PRIME, discount.value), "common practice")
    whose = sheet.crop if sheet is not None and prime is not PRIME_MONTHS else "most kinds"
    return Keeping(
        months_on(boxed_on, prime.value),
        months_on(boxed_on, discount.value),
        months_on(boxed_on, compost.value),
        f"{whose}: {prime.text} months of prime ({prime.source}), a discount after {discount.text} "
        f"({discount.source}), compost after {compost.text} ({compost.source})",
    )


def months_on(day: date, months: float) -> date:
    """The day so many months on: the same day of the month, or its last; parts of a month as days."""
    whole, part = divmod(min(max(months, 0.0), MOST_MONTHS), 1)
    years, month = divmod(day.month - 1 + int(whole), 12)
    year = day.year + years
    there = date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
    return there + timedelta(days=round(part * DAYS_A_MONTH))


def balance(lot: Lot) -> LotBalance:
    """The lot's stems, by where they are."""
    return LotBalance(lot.code, lot.cut, lot.on_hand, lot.sold, lot.used, sum(lot.lost.values()))


def unbalanced(farm: Farm) -> list[LotBalance]:
    """Lots, finished ones too, whose stems do not add up: none, unless the program is at fault."""
    return [b for b in map(balance, farm.lots.all()) if not b.adds_up]
