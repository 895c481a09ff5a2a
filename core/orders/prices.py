"""Prices by form and crop, or by the piece, and for one buyer where that is another; what something costs by them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

from core.book.entry import Draft, Entry
from core.crops.library import crop_names
from core.farm import Farm
from core.kinds import Kind, may, needs
from core.problems import Problem
from core.refusals import unknown
from core.units import money

Unit: TypeAlias = Literal["bunch", "stem", "piece"]
UNITS: tuple[Unit, ...] = ("bunch", "stem", "piece")
MOST_PRICES = 2000


class Price(NamedTuple):
    """What a bunch, a stem or a piece costs, in cents; `what` is a crop or a recipe, `buyer` "" for everybody."""

    form: str
    what: str
    buyer: str
    cents: int
    unit: Unit


@dataclass(slots=True)
class Prices:
    """The prices that hold now, in the order in which they were written."""

    kept: list[Price] = field(default_factory=list)


def price_of(farm: Farm, form: str, what: str, buyer: str | None) -> Price | None:
    """What it costs for that buyer: her own price, else everybody's; None where there is none."""
    found = [price for price in farm.part(Prices).kept if (price.form, price.what) == (form, what)]
    own = next((price for price in found if buyer and price.buyer == buyer), None)
    return own or next((price for price in found if not price.buyer), None)


def price_text(found: Price) -> str:
    """ "at 9.00 a bunch, as priced for Fern Hollow"."""
    return f"at {money(found.cents)} a {found.unit}, as priced{f' for {found.buyer}' if found.buyer else ''}"


def share(cents: int, number: int, of: int) -> int:
    """The part of a sum that falls to `number` of `of`; half a cent up."""
    return (2 * cents * number + of) // (2 * of) if of else 0


def _check_priced(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["unit"] not in UNITS:
        return unknown("unit", f["unit"], list(UNITS))
    if f["form"] not in ("fresh", "dry", "wired", "piece") or (f["form"] == "piece") != ("recipe" in f):
        return Problem("A price is of a crop fresh, dry or wired, or of a piece.", "impossible")
    if ("crop" in f) == ("recipe" in f) or (f["unit"] == "piece") != ("recipe" in f):
        return Problem("A crop is priced by the bunch or the stem, a recipe by the piece.", "impossible")
    if "crop" in f and f["crop"] not in (*crop_names(), *farm.crops):
        return unknown("crop", f["crop"], [*farm.crops, *crop_names()])
    if len(farm.part(Prices).kept) >= MOST_PRICES:
        return Problem(f"There are {MOST_PRICES} prices: take one out first, with 0.", "impossible")
    return None


def _priced(farm: Farm, entry: Entry) -> None:
    """0 takes a price out."""
    f = entry.fields
    price = Price(f["form"], f.get("crop") or f["recipe"], f.get("buyer", ""), f["cents"], f["unit"])
    kept = [one for one in farm.part(Prices).kept if one[:3] != price[:3]]
    if price.cents and price.unit in UNITS and len(kept) < MOST_PRICES:
        kept.append(price)
    farm.part(Prices).kept = kept


PRICING = (
    Kind(
        "priced",
        "price of[ {crop}][ {recipe}], {form}: {cents} a {unit}[ for {buyer}]",
        needs(form="code", cents="count", unit="code") | may(crop="text", recipe="text", buyer="text"),
        _priced,
        check=_check_priced,
    ),
)
