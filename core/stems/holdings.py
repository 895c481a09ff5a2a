"""Which of several lots of a crop a line means that names none: the earliest to expire leaves first."""

from __future__ import annotations

from typing import NamedTuple

from core.crops.color import called_so
from core.farm import Lot
from core.fresh.rows import TOO_OLD, fresh_rows
from core.language.crops import take_variety
from core.language.line import Line, Refused, either
from core.places import FRESH_PLACES, Place, in_place, place_name
from core.units import plural


class LotHolding(NamedTuple):
    """The stems of one lot that lie in one place."""

    lot: Lot
    place: Place

    @property
    def whole(self) -> int:
        """Stems that can leave: those in whole bunches where it lies in bunches."""
        held = self.lot.holdings[self.place]
        return held.on_hand * held.per if held.unit == "bunches" else held.stems


def alike(line: Line, crop: str, place: Place | None, form: str | None = None) -> list[LotHolding]:
    """What is on hand of a crop (and of the variety named, in the place or form named), what is to leave first standing
    first.

    Empty where there is none of it. Refused where it is not all alike: of several varieties, or counted by the bunch
    here and by the stem there.
    """
    there = [
        LotHolding(lot, at)
        for lot in line.farm.lots.live()
        if lot.crop == crop
        for at, held in lot.holdings.items()
        if held.stems > 0 and place in (None, at) and form in (None, held.form) and not at.is_set_aside
    ]
    if len(there) < 2:
        return []
    variety = take_variety(line, crop)
    meant = {lot.code for lot in called_so((holding.lot for holding in there), variety)}
    holdings = [holding for holding in there if holding.lot.code in meant]
    if not holdings:
        raise Refused(
            f"There is no {variety} {crop} on hand; there is {_names(there)}.",
            "impossible",
            [holding.lot.code for holding in there][:6],
        )
    codes = [holding.lot.code for holding in holdings[::-1]][:6]
    if len({holding.lot.variety for holding in holdings}) > 1:
        raise Refused(
            f"Which lot? There is {_names(holdings)}: write its code, such as {codes[0]}.", near=codes
        )
    if len({_counted_as(holding) for holding in holdings}) > 1:
        places = [place_name(at) for at in dict.fromkeys(holding.place for holding in holdings)]
        raise Refused(
            f"Which lot? {crop} is in {either(places, 'and')}: write its code, such as {codes[0]}, or the place.",
            near=codes,
        )
    order = _fresh_order(line) if holdings[0].place in FRESH_PLACES else {}
    return sorted(
        holdings, key=lambda h: (order.get((h.lot.code, h.place), 0), h.lot.cut_on, h.lot.code, h.place)
    )


def is_past(line: Line, lot: Lot) -> bool:
    """Whether all that is left of a lot is fresh and past its days."""
    rows = fresh_rows(line.farm, line.on, lots=[lot])
    return len(rows) == len(lot.holdings) and all(row.status in TOO_OLD for row in rows)


def _names(holdings: list[LotHolding]) -> str:
    return either(
        list(dict.fromkeys(f"{h.lot.code} {h.lot.variety or ''}".strip() for h in holdings))[:6], "and"
    )


def _counted_as(holding: LotHolding) -> tuple[str, str, int]:
    held = holding.lot.holdings[holding.place]
    return held.form, held.unit, held.per if held.unit == "bunches" else 0


def _fresh_order(line: Line) -> dict[tuple[str, str], int]:
    return {(row.lot, row.place): n for n, row in enumerate(fresh_rows(line.farm, line.on))}


def not_spent(line: Line, holdings: list[LotHolding], stems: int | None) -> list[LotHolding]:
    """Those that still have days in the vase, and all that is not fresh; what is left out is remarked on.

    Refused where these are not enough for `stems` (None: for all there is), unless she insists: then the others follow.
    """
    if holdings[0].place not in FRESH_PLACES:
        return holdings
    spent = {(row.lot, row.place) for row in fresh_rows(line.farm, line.on) if row.is_spent}
    good = [h for h in holdings if (h.lot.code, h.place) not in spent]
    old = list(dict.fromkeys(h.lot.code for h in holdings if h not in good))
    if not old:
        return holdings
    is_are = "is" if len(old) == 1 else "are"
    there = sum(holding.whole for holding in good)
    if not good or (stems is not None and stems > there):
        if line.insists:
            return [*good, *(h for h in holdings if h not in good)]
        raise Refused(
            f"{either(old, 'and')} {is_are} past the days in the vase; without, there would be "
            f"{plural(there, 'stem')}. "
            "Add 'anyway' to take them all the same.",
            "impossible",
            ("anyway",),
        )
    line.remark(f"{either(old, 'and')} left out: past the days in the vase")
    return good


def parted(holdings: list[LotHolding], crop: str, stems: int) -> list[tuple[LotHolding, int]]:
    """(holding, stems) pairs that come to `stems`, taken from the holdings in their order; refused where they hold
    fewer."""
    there = sum(holding.whole for holding in holdings)
    if stems > there:
        has = "; ".join(f"{h.lot.code} has {h.whole} {in_place(h.place)}" for h in holdings)
        raise Refused(f"{stems} stems of {crop} is more than there is: {has}.", "impossible", [str(there)])
    parts: list[tuple[LotHolding, int]] = []
    for holding in holdings:
        part = min(holding.whole, stems)
        stems -= part
        if part or not parts:
            parts.append((holding, part))
    return parts
