"""What may stand in a half-typed line: crops, beds, varieties, trays, lots, and words, the likeliest first."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from core.codes import LOT, canonical
from core.crops.library import crop_names, ways
from core.farm import Farm
from core.language.causes import usual_causes
from core.language.crops import varieties_of
from core.language.line import Line
from core.language.verb import Offer
from core.language.words import COLOURS
from core.places import FRESH_PLACES, Place


def words(*said: str) -> Offer:
    """The same words on every farm."""
    return lambda line, farm: said


def crops(line: Line, farm: Farm) -> Iterator[str]:
    """What stands in the beds, then every crop there is; none where a code or a crop is named already."""
    if not line.crop_named and not has_code(line):
        yield from (p.crop for p in farm.plantings.live())
        yield from farm.own_crops
        yield from crop_names()


def has_code(line: Line, letters: str = "SPLM") -> bool:
    """Whether a code that begins with one of `letters` is named already."""
    return any((canonical(t.low) or " ")[0] in letters for t in line.words)


def beds(line: Line, farm: Farm) -> Iterator[str]:
    """The beds in which the crop named stands, then all of them."""
    yield from (p.bed for p in farm.plantings.live() if p.crop == line.crop)
    yield from farm.beds


def varieties(line: Line, farm: Farm) -> Iterator[str]:
    """Ways of growing, varieties and colors of the crop named."""
    if line.crop is not None:
        yield from ways(line.crop)
        yield from (v if " " not in v else f"'{v}'" for v in varieties_of(farm, line.crop))
        yield from COLOURS


def trays(line: Line, farm: Farm) -> Iterator[str]:
    """The codes of the living trays."""
    return (t.code for t in farm.trays.live())


def makings(line: Line, farm: Farm) -> Iterator[str]:
    """The makings on record."""
    return iter(farm.makings)


def lots_where(held: Callable[[Place], bool]) -> Offer:
    """The codes of lots with something in such a place, the newest first."""

    def lots(line: Line, farm: Farm) -> list[str]:
        if has_code(line, LOT):
            return []
        fit = [lot.code for lot in farm.lots.live() if any(held(place) for place in lot.holdings)]
        return fit[::-1]

    return lots


def causes(short: tuple[str, ...]) -> Offer:
    """The causes of a short list, those this farm wrote most often first."""
    return lambda line, farm: usual_causes(farm, short)


any_lot = lots_where(lambda place: True)
fresh_lots = lots_where(lambda place: place in FRESH_PLACES)
hanging_lots = lots_where(lambda place: place.is_line)
places = words("line", "box", "bucket", "cooler", "bench")
in_bed = (beds, crops, varieties)
