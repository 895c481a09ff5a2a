"""A price in one line, and what a price comes to where none is said."""

from __future__ import annotations

from typing import Any

from core.language.line import Line, Reading, Refused
from core.language.own_words import take_by
from core.orders.buyer_words import need_buyer, take_known_buyer
from core.orders.item_words import Said, read_item, take_bare_price
from core.orders.prices import Unit, price_of, price_text
from core.settings.sheets import sheet_bunch
from core.units import money

FORMS_OF_STEMS = ("fresh", "dry", "wired")
UNIT_OF: dict[str, Unit] = {"bunches": "bunch", "stems": "stem", "piece": "piece"}


def price(line: Line) -> Reading:
    """ "price lavender dry 9 a bunch", "price zinnia fresh 0.45 a stem for Fern Hollow", "price corsage 18"."""
    take_by(line)
    priced = Said()
    take_bare_price(line, priced)
    if priced.cents is None:
        raise Refused("At what price? Write the amount: price lavender dry 9 a bunch.")
    buyer = take_known_buyer(line)
    if buyer is None and any(t.is_word and t.low in ("for", "to") for t in line.free()):
        buyer = _named_after_for(line)
    said = read_item(line)
    fields: dict[str, Any] = {"cents": priced.cents, "buyer": buyer}
    if not priced.cents:
        _taken_out(line, said, buyer)
    if said.recipe:
        return line.reading(line.draft("priced", form="piece", recipe=said.recipe, unit="piece", **fields))
    if said.form is None:
        raise Refused(
            f"Fresh, dry or wired? Write which {said.crop} it is the price of.",
            near=("fresh", "dry", "wired"),
        )
    unit = UNIT_OF.get(priced.price_of) or ("stem" if said.form == "wired" or not priced.cents else None)
    if unit is None:
        raise Refused(
            f"A bunch or a stem of {said.crop}? Write it after the amount.", near=("a bunch", "a stem")
        )
    return line.reading(line.draft("priced", form=said.form, crop=said.crop, unit=unit, **fields))


def _taken_out(line: Line, said: Said, buyer: str | None) -> None:
    """That 0 takes a price out, and which; refused where there is none to take out."""
    forms = ("piece",) if said.recipe else FORMS_OF_STEMS if said.form is None else (said.form,)
    what, whose = said.recipe or said.crop, f" for {buyer}" if buyer else ""
    found = [
        one
        for form in forms
        if (one := price_of(line.farm, form, what, buyer)) is not None and one.buyer == (buyer or "")
    ]
    if not found:
        form = f" {said.form}" if said.form and not said.recipe else ""
        raise Refused(
            f"There is no price of {what}{form}{whose} to take out: what is given away is written with its sale "
            "('sold 5 L009 to Ann at 0').",
            "impossible",
        )
    line.remark(f"0 takes the price out{whose}: it was {money(found[0].cents)} a {found[0].unit}")


def _named_after_for(line: Line) -> str:
    """The buyer after "for" or "to", at the end of the line."""
    words = line.free()
    start = next(i for i, t in enumerate(words) if t.is_word and t.low in ("for", "to"))
    rest = Line(line.text, line.farm, line.today, line.known, words[start:], line.on, line.insists, line.verb)
    buyer = need_buyer(rest)
    line.remarks += rest.remarks
    return buyer


def price_said(line: Line, said: Said, form: str, buyer: str | None) -> None:
    """Where no price is said of an item, that of the list, so that it is written with the item."""
    what = said.recipe or said.crop
    if said.cents is not None or (found := price_of(line.farm, form, what, buyer)) is None:
        return
    if found.unit == "bunch" and said.bunches is None:
        per = sheet_bunch(line.farm, said.crop, "fresh" if form == "fresh" else "dried")
        if per is None or (said.number or 0) % per:
            line.remark(f"no price: {what} is priced by the bunch")
            return
    said.cents, said.price_of = found.cents, {"bunch": "bunches", "stem": "stems"}.get(found.unit, "")
    line.remark(f"{what} {price_text(found)}")
