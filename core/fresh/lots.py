"""The lot in the bucket or the cooler that a line means: the one named, or the newest."""

from __future__ import annotations

from core.farm import Lot
from core.language.crops import take_crop
from core.language.line import Line, Refused
from core.language.names import take_named_lot
from core.places import BUCKET, FRESH_PLACES, Place, in_place
from core.units import day_text

USE_SAID = {"dry": "drying", "wire": "wiring"}


def take_fresh_lot(line: Line, use: str, doing: str, place: Place | None) -> Lot:
    """The lot named, or the newest in the bucket or the cooler: one cut for `use`, or any of the crop named."""
    if named := take_named_lot(line):
        return named
    wanted = (place,) if place is not None else FRESH_PLACES
    fresh = [
        lot
        for lot in line.farm.lots.live()
        if any(p in lot.holdings and lot.holdings[p].stems > 0 for p in wanted)
    ]
    crop = take_crop(line, lambda: (lot.crop for lot in fresh))
    there = [lot for lot in fresh if crop in (None, lot.crop)]
    if not there:
        of = f" of {crop}" if crop else ""
        raise Refused(
            f"Nothing{of} is {in_place(place or BUCKET)} {doing}: write the cut first, such as 40 straw b3 dry.",
            "impossible",
        )
    fit = [lot for lot in there if lot.use == use]
    if not fit and crop is None:
        codes = [lot.code for lot in there][::-1][:3]
        other = f"{there[-1].code}, {there[-1].crop}, was cut for {there[-1].use}"
        raise Refused(
            f"Nothing that was cut for {USE_SAID.get(use, use)} is there {doing}; {other}. Name it if it is meant.",
            "impossible",
            codes,
        )
    fit = fit or there
    # register order is the order of making: the last of the newest day is the newest
    newest = max(enumerate(fit), key=lambda pair: (pair[1].cut_on, pair[0]))[1]
    line.remark(f"{newest.code}: {newest.crop} cut {day_text(newest.cut_on)}")
    line.crop, line.use = newest.crop, newest.use
    return newest
