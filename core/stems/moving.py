"""Everything of a kind moved at once: "move all zinnia cooler"."""

from __future__ import annotations

from collections.abc import Iterable

from core.boxes.kinds import trouble_in
from core.crops.color import called_so
from core.farm import Lot
from core.fresh.rows import cooler_word
from core.language.crops import take_crop, take_variety
from core.language.line import Line, Reading, Refused
from core.places import COOLER, FRESH_PLACES, Place, place_name
from core.settings.sheets import farm_sheet
from core.stems.holdings import LotHolding


def move_all(line: Line, places: list[tuple[str, Place]], clock: str | None) -> Reading:
    """Every lot (of the crop named) that can come to a place, out of the place named or out of any."""
    source = [place for role, place in places if role == "from"]
    to = [place for role, place in places if role != "from"]
    if len(to) != 1 or len(source) > 1:
        raise Refused(
            "Moved where? Name the one place they come to: move all zinnia cooler.", near=("cooler",)
        )
    crop = take_crop(line)
    if crop is None and not source and to[0] not in FRESH_PLACES:
        raise Refused(f"All of what? Name the crop: move all strawflower {to[0]}.")
    variety = take_variety(line, crop) if crop else None
    holdings = [
        LotHolding(lot, place)
        for lot in called_so((lot for lot in line.farm.lots.live() if crop in (None, lot.crop)), variety)
        for place, held in lot.holdings.items()
        if held.stems > 0 and place in (source or [place]) and not place.is_set_aside
        if place != to[0] and place.form == to[0].form
    ]
    if not holdings:
        of = f" of {crop}" if crop else ""
        raise Refused(f"There is nothing{of} that could come to {place_name(to[0])}.", "impossible")
    remark_on_cooler(line, [holding.lot for holding in holdings], to[0])
    remark_on_boxes(line, (holding.place for holding in holdings))
    drafts = [
        line.draft(
            "moved",
            lot=lot.code,
            stems=lot.holdings[place].stems,
            source=place,
            place=to[0],
            clock=clock,
            ref=lot.made_by,
        )
        for lot, place in holdings
    ]
    return line.reading(*drafts, lot=holdings[-1].lot.code)


def remark_on_boxes(line: Line, places: Iterable[Place]) -> None:
    """What was found in the boxes that stems are taken out of, such as moth, and what to do."""
    for place in dict.fromkeys(places):
        if place.is_box and (found := trouble_in(line.farm, place, line.on)):
            line.remark(found)


def remark_on_cooler(line: Line, lots: list[Lot], to: str) -> None:
    """What the sheet says of a crop that had better not stand in the cooler, or not for long."""
    if to != COOLER:
        return
    for crop in dict.fromkeys(lot.crop for lot in lots):
        sheet = farm_sheet(line.farm, crop)
        if sheet is not None and sheet.cooler is not None:
            line.remark(f"{crop} in the cooler: {cooler_word(sheet.cooler.value)} [{sheet.cooler.source}]")
