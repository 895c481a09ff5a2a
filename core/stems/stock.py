"""What there is: every lot in every place, with its form, its unit and its age."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.farm import Farm, Lot


@dataclass(frozen=True, slots=True)
class StockRow:
    """One lot in one place. `on_hand` counts `unit` (stems, heads or bunches); `stems` are always stems.

    `age_days` runs from the cut. A negative number is a matter to settle: more went out than there was.
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
    place: str
    bed: str


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
        StockRow(
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
        )
        for lot in farm.lots.live()
        for place, held in lot.holdings.items()
    ]
    return sorted(rows, key=lambda r: (r.cut_on, r.lot, r.place))


def balance(lot: Lot) -> LotBalance:
    """The lot's stems, by where they are."""
    return LotBalance(lot.code, lot.cut, lot.on_hand, lot.sold, lot.used, sum(lot.lost.values()))


def unbalanced(farm: Farm) -> list[LotBalance]:
    """Lots, finished ones too, whose stems do not add up: none, unless the program is at fault."""
    return [b for b in map(balance, farm.lots.all()) if not b.adds_up]
