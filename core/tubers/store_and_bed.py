"""What may lie in store and stand in a bed at once: how many are taken out as they are planted, and which are meant."""

from __future__ import annotations

from core.crops.color import called_so
from core.crops.course import stays
from core.farm import Planting
from core.language.crops import need_crop, take_no_variety, take_variety
from core.language.line import Line, Refused, either
from core.language.tokens import Number
from core.settings.sheets import farm_sheet
from core.text import named
from core.tubers.clumps import first, told_origins
from core.tubers.stock import Stock, Tubers, roots_of


def variety_in_store(line: Line, crop: str) -> str | None:
    """The only variety of a crop that lies in store, None where there are several, none, or those of no variety."""
    there = [stock for stock in line.farm.part(Tubers).of(crop, None) if stock.there > 0]
    return there[0].variety if len(there) == 1 else None


def remark_on_store(line: Line, crop: str, variety: str | None, plants: Number | None) -> None:
    """Of tubers, bulbs and corms: how many come out of store, and how many more are planted than lie there."""
    tubers = line.farm.part(Tubers)
    stock = tubers.stock(crop, variety)
    if stock is None or stock.there <= 0:
        if others := [f"{s.there} {s.called}" for s in tubers.of(crop, None) if s.there > 0]:
            line.remark(f"{either(others, 'and')} stay in store: called as there, they come out of it")
        return
    if plants is None:
        line.remark(f"{stock.there} are in store: how many of them? '20 plants' takes them out")
        return
    dry = max(stock.there - stock.in_cold, 0)
    if int(plants) > dry and stock.in_cold and not line.insists:
        raise Refused(
            f"{stock.in_cold} of the {stock.there} {stock.called} in store lie in the cold to flower, {dry} are left "
            "to plant. Add 'anyway' to plant of those in the cold too.",
            "impossible",
            (str(dry),),
        )
    taken = min(stock.there, int(plants))
    more = f", {int(plants) - taken} more than that: bought in?" if plants > taken else ""
    line.remark(f"{taken} out of store{more}; {stock.there - taken} left there")
    if len(stock.clumps) > 1:
        line.remark(f"what came first goes out first: {told_origins(first(stock.clumps, taken))}")


def ask_store_or_bed(line: Line, planting: Planting) -> None:
    """Refuse what may be tubers in store as well as plants in a bed."""
    there = sum(s.there for s in line.farm.part(Tubers).of(planting.crop, None))
    if there > 0:
        word = roots_of(line.farm, planting.crop)
        raise Refused(
            f"In bed {planting.bed} or in store, where {there} are? Of those write '{word}' beside {planting.crop}; of "
            f"plants the bed, {planting.bed}.",
            "ambiguous",
            (word, planting.bed),
        )


def take_stock(line: Line) -> Stock:
    """The stock of the crop and variety named; the only one of the crop where none is, or the one of "no variety"."""
    crop = need_crop(line)
    of_none = take_no_variety(line)
    variety = take_variety(line, crop)
    tubers = line.farm.part(Tubers)
    every = [stock for stock in tubers.all() if stock.crop == crop]
    found = [tubers.stock(crop, variety)] if of_none else called_so(every, variety)
    if len(found) == 1 and found[0] is not None:
        return found[0]
    if not every:
        sheet, word = farm_sheet(line.farm, crop), roots_of(line.farm, crop)
        here = next((p for p in line.farm.plantings.live() if p.crop == crop), None)
        if here is not None and sheet is not None and stays(sheet):
            raise Refused(
                f"No {crop} is in store: {here.code} stands in {here.bed}, write its code.", "unknown"
            )
        first = f"'bought 20 {crop} {word}'"
        first = first if word == "bulbs" else f"'lift b4 {crop}' or {first}"
        raise Refused(f"No {crop} is in store: write {first} first.", "unknown")
    sorts = [stock.variety or "no variety" for stock in every]
    if variety or of_none:
        there = either([stock.called for stock in every], "and")
        raise Refused(
            f"No {named(crop, variety or 'of no variety')} is in store: there is {there}.", "unknown", sorts
        )
    raise Refused(f"Which {crop}: {either(sorts)}?", "ambiguous", sorts)
