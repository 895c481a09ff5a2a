"""Seed to bed: sown, up, pricked out, potted on, hardened off, set out, and what is done in the beds."""

from __future__ import annotations

from core.book.entry import Draft
from core.codes import PLANTING, TRAY, next_code
from core.farm import Tray
from core.language.crops import need_crop, take_variety, take_way
from core.language.line import Line, Reading, Refused, whole
from core.language.names import (
    need_cause,
    take_bed,
    take_beds,
    take_planting,
    take_plantings,
    take_tray,
    take_trays,
)
from core.language.tokens import Number
from core.settings.sheets import farm_sheet


def sow(line: Line) -> Reading:
    """ "sow 72 strawflower early apricot 128s 144 seeds": 72 cells; one seed a cell unless said."""
    size = line.take_unit("size", "cells to a tray")
    seeds = line.take_unit("seeds", "seeds")
    crop = need_crop(line)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    cells = line.take_count("cells", "cells")
    if cells is None:
        if seeds is None:
            raise Refused(f"How many cells of {crop}? Write the number: sow 72 {crop}.")
        cells = whole(seeds, "seeds")
    return line.reading(
        line.draft(
            "sown",
            tray=next_code(line.farm, TRAY, line.mark),
            crop=crop,
            variety=variety,
            way=way,
            cells=cells,
            seeds=cells if seeds is None else whole(seeds, "seeds"),
            cell_size=_size(size),
        )
    )


def up(line: Line) -> Reading:
    """ "up 60 S12": seedlings counted."""
    tray = take_tray(line)
    count = line.need_count("seedlings up", "cells", "plants", "seeds")
    return line.reading(line.draft("up", tray=tray.code, count=count, ref=tray.made_by))


def prick(line: Line) -> Reading:
    """ "prick 58 S12 72s": all the living ones where no number is said."""
    return _into_cells(line, "pricked out")


def pot(line: Line) -> Reading:
    """ "pot 50 S12 50s"."""
    return _into_cells(line, "potted on")


def _into_cells(line: Line, kind: str) -> Reading:
    size = line.take_unit("size", "cells to a tray")
    tray = take_tray(line)
    count = line.take_count("plants", "plants")
    return line.reading(
        line.draft(
            kind,
            tray=tray.code,
            count=tray.alive if count is None else count,
            cell_size=_size(size),
            ref=tray.made_by,
        )
    )


def _size(value: Number | None) -> int | None:
    return None if value is None else whole(value, "cells to a tray")


def step(line: Line) -> Reading:
    """ "step S12", "step S12 S13": the next step of hardening off is done."""
    trays = take_trays(line)
    return line.reading(
        *(line.draft("step", tray=t.code, step=_next_step(line, t), ref=t.made_by) for t in trays)
    )


def _next_step(line: Line, tray: Tray) -> int:
    """The step that is done now: the one after the last reached by the line's day."""
    from core.crops.hardening import ladder, reached
    from core.trays.rows import ladder_days

    sheet = farm_sheet(line.farm, tray.crop, tray.way)
    kind = sheet.hardiness_class if sheet else "tender"
    last = len(ladder(kind))
    done = reached(ladder_days(tray), line.on, kind).step
    if done == last:
        line.remark(f"{tray.code} has all its {last} steps done: it may be set out")
    return min(done + 1, last)


def hold(line: Line) -> Reading:
    """ "hold S12 wind": no step today, and why."""
    codes_first = take_trays(line)
    cause = need_cause(line, "hold")
    return line.reading(*(line.draft("held", tray=t.code, cause=cause, ref=t.made_by) for t in codes_first))


def set_out(line: Line) -> Reading:
    """ "set out S12 b3 20ft": all the living plants, and the feet they need, unless said."""
    feet = line.take_unit("ft", "feet")
    bed = take_bed(line)
    tray = take_tray(line)
    plants = line.take_count("plants", "plants")
    plants = tray.alive if plants is None else plants
    line.refuse_leftovers()
    if bed is None:
        raise Refused(
            f"Into which bed is {tray.code} set out? Write its code.", near=list(line.farm.beds)[:6]
        )
    return line.reading(
        line.draft(
            "set out",
            planting=next_code(line.farm, PLANTING, line.mark),
            crop=tray.crop,
            variety=tray.variety,
            way=tray.way,
            tray=tray.code,
            bed=bed,
            plants=plants,
            feet=_feet_for(line, tray, bed, plants) if feet is None else _long(feet),
            ref=tray.made_by,
        )
    )


def _feet_for(line: Line, tray: Tray, bed: str, plants: int) -> Number:
    """The feet that the plants take at the crop's spacing in a bed of that width."""
    from core.crops.spacing import feet_for_plants

    sheet = farm_sheet(line.farm, tray.crop, tray.way)
    if sheet is None or sheet.spacing_in is None or sheet.spacing_in.value <= 0:
        raise Refused(
            f"How many feet of bed {bed} do {plants} {tray.crop} take? Write it: 20ft.", near=("20ft",)
        )
    spacing = sheet.spacing_in.value
    feet = feet_for_plants(plants, line.farm.beds[bed].width_in, spacing)
    line.remark(f"{plants} plants at {spacing:g} in take {feet:g} ft of bed {bed}")
    return feet


def _long(feet: Number) -> Number:
    if feet <= 0:
        raise Refused("A length in a bed is above 0 ft.", "impossible")
    return feet


def plant(line: Line) -> Reading:
    """ "plant zinnia b4 25ft 60 plants": bought in, or standing there when the book began; no tray."""
    return _into_bed(line, "set out")


def drill(line: Line) -> Reading:
    """ "drill larkspur b5 30ft": sown where it is to stand."""
    return _into_bed(line, "drilled")


def _into_bed(line: Line, kind: str) -> Reading:
    feet = line.take_unit("ft", "feet")
    plants = line.take_unit("plants", "plants") if kind == "set out" else None
    bed = take_bed(line)
    crop = need_crop(line)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    if plants is None and kind == "set out":
        plants = line.take_number("plants")
    line.refuse_leftovers()
    if bed is None:
        raise Refused(f"In which bed is the {crop}? Write its code.", near=list(line.farm.beds)[:6])
    if feet is None:
        raise Refused(f"How many feet of bed {bed} has the {crop}? Write it: 25ft.", near=("25ft",))
    return line.reading(
        line.draft(
            kind,
            planting=next_code(line.farm, PLANTING, line.mark),
            crop=crop,
            variety=variety,
            way=way,
            bed=bed,
            feet=_long(feet),
            plants=None if plants is None else whole(plants, "plants"),
        )
    )


def pinch(line: Line) -> Reading:
    """ "pinch b3", "pinch b3 zinnia"."""
    planting = take_planting(line)
    return line.reading(line.draft("pinched", planting=planting.code, ref=planting.made_by))


def net(line: Line) -> Reading:
    """ "net b3": a net lies over all that stands in the bed, unless a crop is named."""
    stand = take_plantings(line)
    fresh = [p for p in stand if "netted" not in p.jobs] or stand
    if len(fresh) > 1:
        line.remark(f"over {', '.join(p.crop for p in fresh)}")
    return line.reading(*(line.draft("netted", planting=p.code, ref=p.made_by) for p in fresh))


def clear(line: Line) -> Reading:
    """ "clear b3 zinnia": the planting is done, its feet are free."""
    planting = take_planting(line)
    return line.reading(line.draft("cleared", planting=planting.code, ref=planting.made_by))


def cover(line: Line) -> Reading:
    """ "cover b3 b4"."""
    return line.reading(*_beds(line, "covered"))


def uncover(line: Line) -> Reading:
    """ "uncover b3 b4"."""
    return line.reading(*_beds(line, "uncovered"))


def _beds(line: Line, kind: str) -> list[Draft]:
    return [line.draft(kind, bed=bed) for bed in take_beds(line)]
