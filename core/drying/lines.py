"""From the bucket to the box: hung on a line, wired, tested, boxed."""

from __future__ import annotations

from datetime import date

from core.codes import canonical
from core.farm import BENCH, BOX, BUCKET, FRESH_PLACES, LINE, Farm, Lot
from core.language.clock import take_clock
from core.language.crops import take_crop
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import (
    one_place,
    place_or_last,
    source_of,
    take_lot,
    take_lots,
    take_named_lot,
    take_places,
)
from core.language.tokens import times
from core.language.words import GRADE_OF
from core.pieces.wiring import FRESH_DAYS, GAUGES, HEADS_PER_ROLL, TAPE
from core.reckon.wire_gauges import gauge_text
from core.settings.sheets import farm_sheet
from core.stems.kinds import in_place, place_name, places_of

RESULT_OF = {"snap": "snaps", "bend": "bends"}


def hang(line: Line) -> Reading:
    """ "hang", "hang 30 L041 line 2 10s": from the bucket onto a line, all of it if no number is said."""
    per = line.take_unit("size", "stems in a bunch")
    clock = take_clock(line)
    places = [place for _, place in take_places(line)]
    lines = [place for place in places if place not in FRESH_PLACES]
    if len(boxes := [place for place in lines if place.startswith(BOX)]) == 1 and _is_boxed(line, boxes[0]):
        return _hang_again(line, boxes[0], [place for place in places if place != boxes[0]], clock)
    if len(boxes) == 1 and len(lines) == 2 and (lot := take_named_lot(line)):
        source_of(lot, boxes[0])  # says where the lot is
    if len(lines) > 1 or len(places) - len(lines) > 1:
        raise Refused(f"{places[0]} and {places[1]}: from one place onto one line, write one of each.")
    to = lines[0] if lines else None
    if to is not None and not to.startswith(LINE):
        raise Refused(
            f"Stems are hung on a line, not in {place_name(to)}: write 'line 2'.", near=("line 1", "line 2")
        )
    named = next((place for place in places if place in FRESH_PLACES), None)
    lot = _from_fresh(line, "dry", "to hang", named)
    stems = line.take_count("stems", "stems")
    source = named or next((place for place in FRESH_PLACES if place in lot.holdings), BUCKET)
    held = lot.holdings.get(source)
    if held is None and named is not None:
        source_of(lot, named)
    if held is None:
        raise Refused(
            f"{lot.code} has nothing in the bucket: {places_of(lot)}. 'move {lot.code} line 3' takes it to "
            "another line.",
            "impossible",
            ("move",),
        )
    line.refuse_leftovers()
    where = place_or_last(line, to, LINE)
    stems = held.stems if stems is None else stems
    _remark_on_room(line, where, stems, 0 if per is None else whole(per, "stems in a bunch"))
    return line.reading(
        line.draft(
            "hung",
            lot=lot.code,
            stems=stems,
            source=source,
            line=where,
            per=None if per is None else whole(per, "stems in a bunch"),
            clock=clock,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _remark_on_room(line: Line, to: str, stems: int, per: int) -> None:
    """Where the line is too short for them: by how much, and which line has the most room."""
    from core.shed.line_room import feet_taken, lines_room

    rows = {row.line: row for row in lines_room(line.farm, line.on).lines}
    if to not in rows or (free := rows[to].free) is None or feet_taken(stems, per) <= free:
        return
    wanted = feet_taken(stems, per)
    most = max(rows.values(), key=lambda row: row.free or 0.0)
    other = f"; {most.line} has {most.free:g} ft free" if most.line != to and (most.free or 0) > 0 else ""
    line.remark(f"{to} is full: they take {wanted:g} ft of its {max(free, 0):g} ft free{other}")


def _is_boxed(line: Line, box: str) -> bool:
    """Whether the lot that the line names lies in that box."""
    codes = (canonical(token.low) for token in line.free() if token.is_word)
    lots = (line.farm.lots.get(code) for code in codes if code)
    return any(lot is not None and box in lot.holdings for lot in lots)


def _hang_again(line: Line, box: str, places: list[str], clock: str | None) -> Reading:
    """ "hang L035 box 7 line 2": what was boxed damp, back onto a line; in bunches, all of them if none are said."""
    lot = take_lot(line, lambda p, held: p == box, f"in {box}")
    held = lot.holdings[box]
    stems = line.take_unit("stems", "stems")
    if stems is None:
        bunches = line.take_count("bunches", "bunches")
        stems = held.stems if bunches is None else bunches * max(held.per, 1)
    line.refuse_leftovers()
    if len(places) > 1 or any(not place.startswith(LINE) for place in places):
        raise Refused(f"From {box} onto one line: hang {lot.code} {box} line 2.", near=("line 1", "line 2"))
    return line.reading(
        line.draft(
            "hung",
            lot=lot.code,
            stems=whole(stems, "stems"),
            source=box,
            line=place_or_last(line, places[0] if places else None, LINE),
            per=held.per if held.per > 1 else None,
            clock=clock,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def wire(line: Line) -> Reading:
    """ "wire 24 L041 22g": heads from the bucket onto wire, one 24-inch length doubled through each.

    Two ends of nearly a foot make the stem (common practice). Tape is reckoned only where the farm counts it.
    """
    gauge = line.take_unit("gauge", "gauge")
    named = one_place(line, "place")
    lot = _from_fresh(line, "wire", "to wire", named if named in FRESH_PLACES else None)
    fresh = next((place for place in FRESH_PLACES if place in lot.holdings), None)
    source = named or fresh or source_of(lot, None, lambda place: place in FRESH_PLACES)
    if source not in lot.holdings:
        source_of(lot, source)
    heads = line.take_count("heads", "stems")
    heads = lot.holdings[source].stems if heads is None else heads
    gauge = GAUGES[0] if gauge is None else whole(gauge, "gauge")
    line.remark(gauge_text(gauge, line.farm.settings.get("wire")))
    return line.reading(
        line.draft(
            "wired",
            lot=lot.code,
            heads=heads,
            source=source,
            gauge=gauge,
            wires=heads,
            tape=round(heads / HEADS_PER_ROLL, 3) if TAPE in line.farm.makings else None,
            insisted=_overruled(line, lot, source, gauge) if line.insists else None,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _overruled(line: Line, lot: Lot, source: str, gauge: int) -> str | None:
    """What she overrules by insisting: heads no more fresh, wire of another gauge; None if nothing."""
    age = (line.on - date.fromisoformat(lot.cut_on)).days
    reasons = [
        f"from {place_name(source)}" if source not in FRESH_PLACES else "",
        f"cut {age} days before" if age > FRESH_DAYS else "",
        f"{gauge} gauge" if not GAUGES[0] <= gauge <= GAUGES[1] else "",
    ]
    return ", ".join(filter(None, reasons)) or None


def _from_fresh(line: Line, use: str, doing: str, place: str | None) -> Lot:
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


def test(line: Line) -> Reading:
    """ "snap L041", "bends L041 L042": the snap test and what it said."""
    result = RESULT_OF[line.verb]
    place = one_place(line, "place")
    lots = take_lots(line) or [take_lot(line, lambda p, held: p.startswith(LINE), "on a line to test")]
    drafts = []
    for lot in lots:
        hanging = [p for p, held in lot.holdings.items() if p.startswith(LINE) and held.stems > 0]
        if not hanging:
            raise Refused(f"{lot.code} has nothing on a line to test: {places_of(lot)}.", "impossible")
        if place is not None and place not in hanging:
            source_of(lot, place)
        at = place or (hanging[0] if len(hanging) == 1 else None)
        drafts.append(line.draft("tested", lot=lot.code, result=result, place=at, ref=lot.made_by))
    return line.reading(*drafts, lot=lots[-1].code)


def box(line: Line) -> Reading:
    """ "box L041 12x10 box 7 second": dry bunches (or wired heads) into a box; all whole bunches by default."""
    grade = _take_grade(line)
    named = _bunches_of(line)
    per = line.take_unit("size", "stems in a bunch")
    places = [place for _, place in take_places(line)]
    boxes = [p for p in places if p.startswith(BOX)]
    sources = [p for p in places if not p.startswith(BOX)]
    if len(boxes) > 1 or len(sources) > 1:
        raise Refused("From one place into one box: write one line for each.", "ambiguous")
    lot = take_lot(line, lambda p, held: p == BENCH or p.startswith(LINE), "on a line or the bench to box")
    source = source_of(lot, sources[0] if sources else None, lambda p: p == BENCH or p.startswith(LINE))
    if source != BENCH and not source.startswith(LINE):
        raise Refused(
            f"{lot.code} is not on a line or the bench: it has {places_of(lot)}. Hang it first.",
            "impossible",
            ("hang",),
        )
    bunches = named[0] if named else line.take_count("bunches", "bunches")
    held = lot.holdings[source]
    size = named[1] if named else (whole(per, "stems") if per is not None else _bunch_size(line, lot, source))
    if size < 1:
        raise Refused("A bunch has at least one stem.", "impossible")
    line.refuse_leftovers()
    if bunches is None:
        bunches, loose = divmod(held.stems, size)
        if bunches == 0:
            raise Refused(
                f"{lot.code} has {held.stems} stems {in_place(source)}: not one bunch of {size}. "
                f"Say the size: box {lot.code} 1x{held.stems}.",
                "impossible",
                (f"1x{held.stems}",),
            )
        if loose:
            line.remark(f"{loose} loose stay {in_place(source)}")
    into = place_or_last(line, boxes[0] if boxes else None, BOX)
    _remark_on_boxing(line, lot, source, into)
    return line.reading(
        line.draft(
            "boxed",
            lot=lot.code,
            source=source,
            box=into,
            bunches=bunches,
            per=size,
            grade=grade,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _remark_on_boxing(line: Line, lot: Lot, source: str, into: str) -> None:
    """What had better be seen to first: a stem that has not snapped, a box found damp or with moth."""
    from core.boxes.kinds import box_rows
    from core.pieces.taking import has_snapped

    if source.startswith(LINE) and not has_snapped(lot, source):
        line.remark(
            f"no stem of it has snapped yet: what is boxed damp moulds ('snap {lot.code}' when it does)"
        )
    found = next((row for row in box_rows(line.farm, line.on) if row.box == into), None)
    if found is not None and found.ask in ("treat", "dry", "close"):
        line.remark(f"look at {into} first: {found.says}")


def _take_grade(line: Line) -> str | None:
    """The grade of the bunches, where it is said."""
    grades = list(dict.fromkeys(GRADE_OF[t.low] for t in line.take_words(GRADE_OF)))
    if len(grades) > 1:
        raise Refused(f"{either(grades, 'and')}: write one line for each grade.", "ambiguous", grades)
    return grades[0] if grades else None


def _bunches_of(line: Line) -> tuple[int, int] | None:
    """(12, 10) from "12x10"."""
    for token in line.free():
        if token.is_word and (found := times(token.low)):
            token.taken = True
            return found
    return None


def _bunch_size(line: Line, lot: Lot, source: str) -> int:
    """Stems to a bunch: as hung, one for wired heads, else what the crop's sheet says of dried bunches."""
    held = lot.holdings[source]
    if source == BENCH:
        return 1
    if held.per > 0:
        return held.per
    size = sheet_bunch(line.farm, lot.crop, "dried")
    if size is None:
        raise Refused(
            f"How many {lot.crop} to a bunch? Write it: box {lot.code} {max(held.stems // 10, 1)}x10."
        )
    line.remark(f"bunches of {size}, as the {lot.crop} sheet has it")
    return size


def sheet_bunch(farm: Farm, crop: str, form: str) -> int | None:
    """Stems to a "dried" or "fresh" bunch by the farm's sheet of the crop; None where unknown."""
    sheet = farm_sheet(farm, crop)
    if sheet is None:
        return None
    figure = sheet.stems_per_dried_bunch if form == "dried" else sheet.stems_per_fresh_bunch
    return int(figure.value[0]) if figure else None
