"""Boxes: packed, where they stand, what a look into them found, and what was done against moths."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.boxes.kinds import FREEZE_DAYS, FREEZE_HOW, WARM_HOURS, box_rows, known_boxes
from core.codes import LOT
from core.dialect import told_degrees
from core.farm import Farm, Lot
from core.language.line import Line, Reading, Refused, either, whole
from core.language.named_places import is_box, place_or_last, source_of, take_places
from core.language.names import has_bed, is_code, take_lot
from core.language.offers import has_code, lots_where, places, words
from core.language.tokens import Token, times
from core.language.verb import LIKELY, NOT, Verb, first_or_sure, leave_word
from core.language.words import FILLERS
from core.marked import with_figures
from core.patterns import pattern
from core.pieces.taking import has_snapped
from core.places import BENCH, Place, a_box, in_place
from core.settings.sheets import sheet_bunch
from core.units import tidy

BOX_RESULTS: Mapping[str, tuple[str, ...]] = {
    "sound": ("sound", "ok", "fine", "clean"),
    "moth": ("moth", "moths", "webbing"),
    "beetles": ("beetles", "beetle"),
    "damp": ("damp", "mould", "mold", "mouldy", "moldy"),
    "mice": ("mice", "mouse"),
}


BOX_RESULT_OF: Mapping[str, str] = {form: result for result, forms in BOX_RESULTS.items() for form in forms}
"""What a look into a box found."""


LIGHT_WORDS: Mapping[str, bool] = {"light": True, "lit": True, "dark": False}
"""How a box stands."""
GRADE_OF: Mapping[str, str] = {
    form: grade for grade in ("first", "second", "third") for form in (grade, f"{grade}s", f"{grade}-grade")
}
"""How good the bunches are that go into a box."""

SPANS: dict[str, float] = {
    "day": 24.0,
    "days": 24.0,
    "d": 24.0,
    "week": 168.0,
    "weeks": 168.0,
    "hour": 1.0,
    "hours": 1.0,
    "h": 1.0,
    "hrs": 1.0,
}
"""Words for a length of time -> hours."""
_GLUED = pattern(r"([0-9]+(?:\.[0-9]+)?)([a-z]+)")


def describes_box(line: Line) -> bool:
    """Whether a line that begins with a box says where it stands ("box 7 dark attic"), and packs nothing."""
    first = line.words[0]
    begins = first.is_word and (first.low in LIGHT_WORDS or (first.low == "box" and is_box(line, first)))
    if not begins or not any(t.is_word and t.low == "box" and is_box(line, t) for t in line.words):
        return False
    words = [t for t in line.words if t.is_word]
    packs = any(times(t.low) or any(is_code(t.low, letter) for letter in "SPLM") for t in words)
    return not packs and any(t.low in LIGHT_WORDS for t in words)


def where(line: Line) -> Reading:
    """ "box 7 dark attic", "box 7 is in the light": where a box stands, and whether in the light."""
    box = _boxes(line)[0]
    said = {LIGHT_WORDS[t.low] for t in line.take_words(LIGHT_WORDS)}
    if len(said) > 1:
        raise Refused("Light and dark: which is it?", "ambiguous", ("light", "dark"))
    words = line.free()
    while words and words[0].low in FILLERS:
        words.pop(0)
    while words and words[-1].low in FILLERS:
        words.pop()
    for token in words:
        token.taken = True
    place = " ".join(t.text for t in words) or None
    return line.reading(line.draft("box", box=box, where=place, light=said.pop()))


def check(line: Line) -> Reading:
    """ "check box 7 sound", "check box 7 box 9 moth": what a look into a box, or several, found."""
    boxes = _boxes(line)
    results = list(dict.fromkeys(BOX_RESULT_OF[t.low] for t in line.take_words(BOX_RESULT_OF)))
    line.refuse_leftovers(BOX_RESULT_OF)
    known = tuple(dict.fromkeys(BOX_RESULT_OF.values()))
    if not results:
        raise Refused(f"What was found in {either(boxes, 'and')}: {either(known)}?", near=known)
    if len(results) > 1:
        raise Refused(f"{either(results, 'and')}: write one line for each.", "ambiguous", results)
    return line.reading(*(line.draft("box checked", box=box, result=results[0]) for box in boxes))


def treat(line: Line) -> Reading:
    """ "freeze box 7 7 days", "warm box 7 3 hours": against moths; as long as is usual where nothing is said."""
    frozen = line.verb == "freeze"
    hours = _take_hours(line)
    boxes = _boxes(line)
    if hours is None:
        hours = FREEZE_DAYS * 24 if frozen else WARM_HOURS
        line.remark(f"{FREEZE_DAYS:g} days, as is usual" if frozen else f"{WARM_HOURS:g} hours, as is usual")
    if frozen:
        line.remark(with_figures(FREEZE_HOW))
    if not 0 < hours <= 24 * 366:
        raise Refused(
            f"How long? A week in the freezer, or 3 hours at {told_degrees(125, 130)}.", "impossible"
        )
    how, span = ("frozen", {"days": tidy(hours / 24)}) if frozen else ("warmed", {"hours": tidy(hours)})
    return line.reading(*(line.draft("box treated", box=box, how=how, **span) for box in boxes))


def _boxes(line: Line) -> list[Place]:
    """The boxes named, "box 7" or where nothing else is meant the number alone; at least one."""
    places = [place for _, place in take_places(line)]
    wrong = next((place for place in places if not place.is_box), None)
    if wrong:
        raise Refused(f"{wrong} is no box: write its number, such as box 7.", near=_near(line))
    if not places and (number := line.take_number("box")) is not None:
        places = [a_box(whole(number, "box"))]
    if not places:
        raise Refused("Which box? Write its number, such as box 7.", near=_near(line))
    return list(dict.fromkeys(places))


def _near(line: Line) -> list[Place]:
    """The boxes that ask for something, else all there are."""
    asking = [row.box for row in box_rows(line.farm, line.today) if row.ask]
    return (asking or known_boxes(line.farm))[:6]


def _take_hours(line: Line) -> float | None:
    """The length of time in the line ("7 days", "3h", "a week") in hours."""
    for token in line.free():
        if token.number is not None and token.unit in SPANS:
            token.taken = True
            return float(token.number) * SPANS[token.unit]
        if not token.is_word:
            continue
        glued = _GLUED.fullmatch(token.low)
        if glued and glued[2] in SPANS:
            token.taken = True
            return float(glued[1]) * SPANS[glued[2]]
        if token.low in SPANS:
            before = line.after(token, -1)
            token.taken = True
            if before is not None and before.number is not None and not before.unit:
                before.taken = True
                return float(before.number) * SPANS[token.low]
            return SPANS[token.low]
    return None


# packing


def box(line: Line) -> Reading:
    """ "box L041 12x10 box 7 second": dry bunches (or wired heads) into a box; all whole bunches by default."""
    grade = _take_grade(line)
    named = line.take_times()
    per = line.take_unit("size", "stems in a bunch")
    places = [place for _, place in take_places(line)]
    boxes = [p for p in places if p.is_box]
    sources = [p for p in places if not p.is_box]
    if len(boxes) > 1 or len(sources) > 1:
        raise Refused("From one place into one box: write one line for each.", "ambiguous")
    named_source = sources[0] if sources else None
    lot = take_lot(
        line,
        lambda p, held: (p == BENCH or p.is_line) and named_source in (None, p),
        in_place(named_source) if named_source else "on a line or the bench to box",
    )
    source = source_of(lot, named_source, lambda p: p == BENCH or p.is_line)
    if source != BENCH and not source.is_line:
        raise Refused(
            f"{lot.code} is not on a line or the bench: it has {lot.whereabouts}. Hang it first.",
            "impossible",
            ("hang",),
        )
    bunches = named[0] if named else _counted_bunches(line)
    stems = line.take_count("stems", "stems") if bunches is None else None
    held = lot.holdings[source]
    size = named[1] if named else (whole(per, "stems") if per is not None else _bunch_size(line, lot, source))
    if size < 1:
        raise Refused("A bunch has at least one stem.", "impossible")
    line.refuse_leftovers()
    if stems is not None:
        bunches = _whole_bunches(stems, size)
        line.tell_amount(stems, size)
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
    into = place_or_last(line, boxes[0] if boxes else None, "box")
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


def _counted_bunches(line: Line) -> int | None:
    """The bunches said by a word: "3 bunches", "3 bu", "3b"."""
    said = line.take_unit("bunches", "bunches")
    return None if said is None else whole(said, "bunches")


def _whole_bunches(stems: int, size: int) -> int:
    """So many stems in bunches; refused where they are no whole ones."""
    bunches, loose = divmod(stems, size)
    if loose or not bunches:
        near = (f"{stems} bunches", f"{max(bunches, 1)}x{size}")
        raise Refused(
            f"{stems} stems are no whole bunches of {size}: write {near[0]} if bunches are meant, or {near[1]}.",
            "ambiguous",
            near,
        )
    return bunches


def _remark_on_boxing(line: Line, lot: Lot, source: Place, into: Place) -> None:
    """What had better be seen to first: a stem that has not snapped, a box found damp or with moth."""
    if source.is_line and not has_snapped(lot, source):
        line.remark(
            f"no stem of it has snapped yet: what is boxed damp molds ('snap {lot.code}' when it does)"
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


def _bunch_size(line: Line, lot: Lot, source: Place) -> int:
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


def _claims_box(line: Line, token: Token) -> int:
    """ "box" packs wherever no bed is named."""
    if token.low != "box":
        return first_or_sure(line, token)
    return NOT if has_bed(line) or finds_in_box(line) else LIKELY


def finds_in_box(line: Line) -> bool:
    """Whether the line is of a box, and what a look into it found, and of no lot: "box 7 moths", "damp in box 7"."""
    words = [t for t in line.words if t.is_word]
    found = any(t.low in BOX_RESULT_OF for t in words)
    rest = [t for t in words if t.low not in BOX_RESULT_OF and t.low != "box" and t.low not in FILLERS]
    return found and not rest


def _claims_check(line: Line, token: Token) -> int:
    """ "box 7 moths" is a look into it."""
    if token.low != "box":
        return first_or_sure(line, token)
    return LIKELY + 1 if finds_in_box(line) and not has_bed(line) else NOT


def _claims_where(line: Line, token: Token) -> int:
    """ "box 7 dark attic" says where a box stands."""
    return LIKELY + 1 if not has_bed(line) and describes_box(line) else NOT


def _take_verb(line: Line, token: Token, small: tuple[str, ...]) -> None:
    """Of several "box" words one that is no place is the verb; a single "box 7" says enough."""
    if token.low != "box":
        token.taken = True
        return
    boxes = [t for t in line.free() if t.is_word and t.low == "box"]
    verbs = [t for t in boxes if not is_box(line, t)]
    if verbs or len(boxes) > 1:
        (verbs or boxes)[0].taken = True


def _take_check(line: Line, token: Token, small: tuple[str, ...]) -> None:
    """ "box" is left: it is the box that was looked into."""
    token.taken = token.low != "box"


def _known(line: Line, farm: Farm) -> Sequence[str]:
    return known_boxes(farm)


def _grade_or_light(line: Line, farm: Farm) -> tuple[str, ...]:
    """A lot goes into its box in a grade; a box alone stands somewhere."""
    return ("second", "first", "third") if has_code(line, LOT) else tuple(LIGHT_WORDS)


_JOB = "In store"

VERBS = (
    Verb(
        "box",
        box,
        "Hang, wire, box",
        (("box L038 3x10 box 7", "3 bunches of 10 into box 7; 'second' at the end is their grade"),),
        (lots_where(lambda place: place == BENCH or place.is_line), places, _grade_or_light),
        follow=("box", "second", "yesterday"),
        claims=_claims_box,
        take=_take_verb,
    ),
    Verb(
        "check",
        check,
        _JOB,
        (("check box 7 sound", "looked into; or moth, beetles, damp, mice"),),
        (_known, words(*BOX_RESULTS)),
        claims=_claims_check,
        take=_take_check,
    ),
    Verb(
        "freeze",
        treat,
        _JOB,
        (("freeze box 7 7 days", "a week against moths"),),
        (_known, words("7 days", "days")),
    ),
    Verb(
        "warm",
        treat,
        _JOB,
        (("warm box 7 3 hours", "3 hours at {degrees:125 to 130} against moths, watched all the while"),),
        (_known, words("3 hours", "hours")),
    ),
    Verb(
        "where",
        where,
        _JOB,
        (("box 7 dark attic", "where it stands; 'box 7 is in the light', where color fades"),),
        (_grade_or_light,),
        follow=(),
        claims=_claims_where,
        take=leave_word,
    ),
)
