"""From the bucket to the box: hung on a line, wired, tested, boxed."""

from __future__ import annotations

from core.codes import canonical
from core.crops.own_crop import own_names
from core.dialect import told_feet
from core.drying import SUBJECT
from core.drying.dry_test import way_to_dry
from core.drying.hanging import take_hanging
from core.drying.weigh_lines import is_weight, weigh
from core.farm import Lot
from core.fresh.lots import take_fresh_lot
from core.language.clock import take_clock
from core.language.crops import crops_called
from core.language.line import Line, Reading, Refused, whole
from core.language.named_places import PLACE_GLUED, one_place, place_or_last, source_of, take_places
from core.language.names import has_lot, take_lot, take_lots, take_named_lot
from core.language.offers import crops, fresh_lots, hanging_lots, places, words
from core.language.tokens import Number, Token
from core.language.verb import LIKELY, NOT, Verb, first_or_sure
from core.language.words import FILLERS
from core.places import BUCKET, FRESH_PLACES, Place, place_name
from core.settings.sheets import farm_sheet, sheet_bunch
from core.shed.line_room import feet_taken, lines_room

RESULT_OF = {"snap": "snaps", "bend": "bends"}


def hang(line: Line) -> Reading:
    """ "hang", "hang 30 L041 line 2 10s": from the bucket onto a line, all of it if no number is said."""
    per = _take_size(line)
    clock = take_clock(line)
    places = [place for _, place in take_places(line)]
    lines = [place for place in places if place not in FRESH_PLACES]
    if len(boxes := [place for place in lines if place.is_box]) == 1 and _is_boxed(line, boxes[0]):
        return _hang_again(line, boxes[0], [place for place in places if place != boxes[0]], clock)
    if len(boxes) == 1 and len(lines) == 2 and (lot := take_named_lot(line)):
        source_of(lot, boxes[0])  # says where the lot is
    if len(lines) > 1 or len(places) - len(lines) > 1:
        raise Refused(f"{places[0]} and {places[1]}: from one place onto one line, write one of each.")
    to = lines[0] if lines else None
    if to is not None and not to.is_line:
        raise Refused(
            f"Stems are hung on a line, not in {place_name(to)}: write 'line 2'.", near=("line 1", "line 2")
        )
    named = next((place for place in places if place in FRESH_PLACES), None)
    lot = take_fresh_lot(line, "dry", "to hang", named)
    bunches = line.take_unit("bunches", "bunches")
    stems = line.take_count("stems", "stems")
    if bunches is not None:
        size = _size_hung(line, lot, per)
        stems = whole(bunches, "bunches") * size
        line.tell_amount(stems, size)
    source = named or next((place for place in FRESH_PLACES if place in lot.holdings), BUCKET)
    held = lot.holdings.get(source)
    if held is None and named is not None:
        source_of(lot, named)
    if held is None:
        raise Refused(
            f"{lot.code} has nothing in the bucket: {lot.whereabouts}. 'move {lot.code} line 3' takes it to "
            "another line.",
            "impossible",
            ("move",),
        )
    line.refuse_leftovers()
    where = place_or_last(line, to, "line")
    stems = held.stems if stems is None else stems
    if (way := way_to_dry(farm_sheet(line.farm, lot.crop, lot.way, lot.variety))) in ("press", "silica"):
        line.remark(f"{lot.crop} dries {'pressed' if way == 'press' else 'in silica'} by its sheet, not hung")
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


def _take_size(line: Line) -> Number | None:
    """Stems in a bunch: "10s", or the number after "of" ("8 bunches of 10"); None where none is said."""
    if (size := line.take_unit("size", "stems in a bunch")) is not None:
        return size
    for word in line.free():
        number = line.after(word) if word.is_word and word.low == "of" else None
        if number is not None and number.number is not None and not number.unit:
            word.taken = number.taken = True
            return number.number
    return None


def _size_hung(line: Line, lot: Lot, per: Number | None) -> int:
    """Stems to a bunch that is hung: as said ("10s"), else as the crop's sheet has it dried."""
    size = whole(per, "stems in a bunch") if per is not None else sheet_bunch(line.farm, lot.crop, "dried")
    if size is None:
        raise Refused(f"How many stems to a bunch? Write it after the number: hang 3 bunches {lot.code} 10s.")
    return size


def _remark_on_room(line: Line, to: Place, stems: int, per: int) -> None:
    """Where the line is too short for them: by how much, and which line has the most room."""
    rows = {row.line: row for row in lines_room(line.farm, line.on).lines}
    if to not in rows or (free := rows[to].free) is None or feet_taken(stems, per) <= free:
        return
    wanted = feet_taken(stems, per)
    most = max(rows.values(), key=lambda row: row.free or 0.0)
    other = (
        f"; {most.line} has {told_feet(most.free or 0)} free"
        if most.line != to and (most.free or 0) > 0
        else ""
    )
    line.remark(f"{to} is full: they take {told_feet(wanted)} of its {told_feet(max(free, 0))} free{other}")


def _is_boxed(line: Line, box: Place) -> bool:
    """Whether the lot that the line names lies in that box."""
    codes = (canonical(token.low) for token in line.free() if token.is_word)
    lots = (line.farm.lots.get(code) for code in codes if code)
    return any(lot is not None and box in lot.holdings for lot in lots)


def _hang_again(line: Line, box: Place, places: list[Place], clock: str | None) -> Reading:
    """ "hang L035 box 7 line 2": what was boxed damp, back onto a line; all of it if no number is said."""
    lot = take_lot(line, lambda p, held: p == box, f"in {box}")
    held = lot.holdings[box]
    bunches = line.take_unit("bunches", "bunches")
    stems = line.take_count("stems", "stems")
    if bunches is not None:
        stems = whole(bunches, "bunches") * max(held.per, 1)
    if stems is not None and held.per > 1:
        line.tell_amount(stems, held.per)
    stems = held.stems if stems is None else stems
    line.refuse_leftovers()
    if len(places) > 1 or any(not place.is_line for place in places):
        raise Refused(f"From {box} onto one line: hang {lot.code} {box} line 2.", near=("line 1", "line 2"))
    return line.reading(
        line.draft(
            "hung",
            lot=lot.code,
            stems=stems,
            source=box,
            line=place_or_last(line, places[0] if places else None, "line"),
            per=held.per if held.per > 1 else None,
            clock=clock,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def test(line: Line) -> Reading:
    """ "snap L041", "bends L041 L042": the snap test and what it said."""
    result = RESULT_OF[line.verb]
    place = one_place(line, "place")
    lots = take_lots(line) or [take_hanging(line, place, "to test")]
    drafts = []
    for lot in lots:
        hanging = [p for p, held in lot.holdings.items() if p.is_line and held.stems > 0]
        if not hanging:
            raise Refused(f"{lot.code} has nothing on a line to test: {lot.whereabouts}.", "impossible")
        if place is not None and place not in hanging:
            source_of(lot, place)
        at = place or (hanging[0] if len(hanging) == 1 else None)
        if (
            result == "snaps"
            and not line.insists
            and lot.holdings[at or hanging[0]].since == line.on.isoformat()
        ):
            raise Refused(
                f"{lot.code} was hung today: nothing snaps in a day. Add 'anyway' to insist.",
                "impossible",
                ("anyway",),
            )
        drafts.append(line.draft("tested", lot=lot.code, result=result, place=at, ref=lot.made_by))
    return line.reading(*drafts, lot=lots[-1].code)


def _claims_snap(line: Line, token: Token) -> int:
    """ "snap" begins snapdragon as well: it is the test where a lot is named, or nothing else is."""
    if token.low == "snaps" and not has_lot(line) and any(t.number is not None for t in line.words):
        return NOT  # so many snapdragons, not a stem that snaps
    if token.low != "snap":
        return first_or_sure(line, token)
    alone = len(line.words) == 1 or (token is line.words[0] and _only_a_crop(line, token))
    return LIKELY if has_lot(line) or alone or _only_a_line(line, token) else NOT


def _only_a_line(line: Line, snap: Token) -> bool:
    """Whether a drying line is named and nothing else: "snap line 3" is the test."""
    words = [t.low for t in line.words if t is not snap and t.low not in FILLERS]
    return bool(PLACE_GLUED.fullmatch("".join(words))) and words[0].startswith("line")


def _only_a_crop(line: Line, snap: Token) -> bool:
    """Whether the word is followed by the name of a crop alone: "snap larkspur" is the test."""
    words = [t for t in line.words if t is not snap]
    return all(t.is_word for t in words) and bool(
        crops_called(" ".join(t.low for t in words), own_names(line.farm))
    )


def _claims_weigh(line: Line, token: Token) -> int:
    """A line without a verb is a weighing where it has a lot's code and a weight."""
    if token.is_word and token.low in SUBJECT.verbs["weigh"]:
        return first_or_sure(line, token)
    return LIKELY if is_weight(line) else NOT


_JOB = "Hang, wire, box"

VERBS = (
    Verb(
        "hang",
        hang,
        _JOB,
        (
            ("hang", "the newest lot in the bucket onto the line used last"),
            ("hang 30 L041 line 2 10s", "30 stems on line 2 in bunches of 10"),
            ("hang L035 box 7 line 2", "found damp: out of the box, back onto a line"),
        ),
        (fresh_lots, words("line"), crops),
        follow=("line", "yesterday"),
        small=("up",),
    ),
    Verb(
        "snap",
        test,
        _JOB,
        (("snap L038", "the snap test: the stem snaps, it is dry"),),
        (hanging_lots, places),
        claims=_claims_snap,
        small=("test",),
    ),
    Verb("bend", test, _JOB, (("bends L038", "the stem still bends"),), (hanging_lots, places)),
    Verb(
        "weigh",
        weigh,
        _JOB,
        (("weigh L038 412g", "one marked bunch, always the same: the fourth weighing dates its end"),),
        (hanging_lots, words("line", "at")),
        follow=("at", "yesterday"),
        claims=_claims_weigh,
    ),
)
