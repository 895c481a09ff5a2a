"""When a crop blooms here, in one line: "mine bloom 1 july peony", "peony 'coral' blooms 6/12", "b4 blooms 1 july"."""

from __future__ import annotations

from core.language.crops import take_crop, take_variety
from core.language.days import day_said
from core.language.line import Line, Reading, Refused
from core.language.names import take_plantings

_HERS = ("mine", "my", "ours", "our", "about", "from")


def bloom(line: Line) -> Reading:
    """A day of the year for the crop's own sheet, or for one variety's: it goes before the handbook's weeks."""
    line.take_words(_HERS)
    days = []
    for token in line.free():
        if not token.taken and (day := day_said(line, token)) is not None:
            token.taken = True
            days.append(f"{day:%m-%d}")
    if len(days) != 1:
        raise Refused("On what day do they begin? Write it so: peony blooms 1 july.")
    crop = take_crop(line)
    variety = take_variety(line, crop) if crop else None
    if crop is None:
        stand = take_plantings(line)
        if len({planting.crop for planting in stand}) != 1:
            raise Refused("Which crop blooms then? Write it so: peony blooms 1 july.")
        crop = stand[0].crop
        variety = stand[0].variety if len(stand) == 1 else None
    line.refuse_leftovers()
    said = {"figure": "bloom", "value": days[0]}
    if variety is not None:
        return line.reading(line.draft("variety sheet", crop=crop, variety=variety, **said))
    return line.reading(line.draft("sheet", crop=crop, **said))
