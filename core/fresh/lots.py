"""The lot in the bucket or the cooler that a line means: the one named, or the newest."""

from __future__ import annotations

from core.farm import Lot
from core.language.crops import take_crop
from core.language.line import Line, Refused
from core.language.names import take_named_lot
from core.places import BUCKET, FRESH_PLACES, Place, in_place


def take_fresh_lot(line: Line, use: str, doing: str, place: Place | None) -> Lot:
    """The lot named, or the newest in the bucket or the cooler (of the crop named): one cut for `use` before others."""
    if named := take_named_lot(line):
        return named
    crop = take_crop(line)
    wanted = (place,) if place is not None else FRESH_PLACES
    there = [
        lot
        for lot in line.farm.lots.live()
        if crop in (None, lot.crop) and any(p in lot.holdings and lot.holdings[p].stems > 0 for p in wanted)
    ]
    if not there:
        of = f" of {crop}" if crop else ""
        raise Refused(
            f"Nothing{of} is {in_place(place or BUCKET)} {doing}: write the cut first, such as 40 straw b3 dry.",
            "impossible",
        )
    fit = [lot for lot in there if lot.use == use] or there
    # register order is the order of making: the last of the newest day is the newest
    newest = max(enumerate(fit), key=lambda pair: (pair[1].cut_on, pair[0]))[1]
    line.remark(f"{newest.code}: {newest.crop} cut {newest.cut_on}")
    line.crop, line.use = newest.crop, newest.use
    return newest
