"""The morning page laid out: one screen of lines that says what matters, and folds the rest into lines that open.

Above all else what is wrong and what the night asks; then what to look at for cutting, what is lost by waiting, what is
promised, and the rest. Where all of it has room, all of it is shown, a line each; where not, cuts stand in two columns,
what is least pressing is told together, and each part ends in a line that names what it holds back and opens it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import partial
from math import ceil
from typing import NamedTuple

from core.asks import BOX_IT, Asked, PageLine
from core.dialect import in_words
from core.guard import UNGUARDED, Guard
from core.long_past import CLEAR, in_one_line
from core.text import cut_to, packed, wrap
from core.today import Morning

LINES = 23
"""Lines of a printed page: a screen of 24, less the one on which she types on."""
ALL = frozenset(("alerts", "matters", "cut", "spoils", "promised", "also"))
"""Every part that folds."""
ENTER = "Enter"
COLUMN_GAP = 2
MOST_ALERTS = 3
"""Lines of alerts; more are opened."""
FEW_CROPS = 2
"""So many crops to take care with are named; more are told as "crops"."""
PIECE = 66
"""Columns that one piece may take of what is told together."""
TOGETHER_FROM = 3
"""What so many ask for alike is told together, where there is no room for a line each."""


class Layout(NamedTuple):
    """How the page is laid out: columns, lines, and the parts that are opened, which are shown whole."""

    width: int
    lines: int
    opened: Collection[str]
    hint: str
    """How a part is opened."""


def page(
    found: Morning,
    width: int = 78,
    lines: int = LINES,
    opened: Collection[str] = (),
    guard: Guard = UNGUARDED,
    hint: str = ENTER,
) -> list[PageLine]:
    """The morning as lines no wider than `width`; at most `lines` of them (from 12 on) while nothing is `opened`.

    `hint` says how a part is opened that is told in short.
    """
    layout = Layout(width, lines, opened, hint)
    top: list[PageLine] = []
    for name, part in (
        ("The head", _head),
        ("Alerts", _alerts),
        ("To settle", _to_settle),
        ("To begin", _to_begin),
    ):
        top += guard(name, partial(_listed, part, found, layout), lambda why: [_fault(why.sentence, width)])
    top += [_fault(said, width) for _, said in found.failed]
    blocks = [_block(found, name, layout) for name in ("cut", "spoils", "promised", "also")]
    rest = _fitted([block for block in blocks if block.wants], lines - len(top), layout)
    if not rest and not found.first_things and not found.failed and not found.asked:
        rest = [PageLine("quiet", "Nothing asks for you this morning.")]
    return [*top, *rest]


# what stands above all else


def _head(found: Morning, layout: Layout) -> Iterator[PageLine]:
    title = in_words(found.title[:-5])
    for piece in map(in_words, found.now):
        if len(title) + len(piece) + 3 <= layout.width:
            title = f"{title}   {piece}"
    yield PageLine("title", _cut_to(title, layout.width))


def _alerts(found: Morning, layout: Layout) -> Iterator[PageLine]:
    """What comes first alone, then what wants doing, then in a word or two each what to mind while working."""
    if "alerts" in layout.opened:
        if whole := [*_in_full(found, layout)]:
            yield _heading("alerts", layout, opens=True)
            yield from whole
        return
    for alert in (one for one in found.alerts if one.sort == "first"):
        yield PageLine("caution", _cut_to(f"! {alert.says}", layout.width), folds="alerts", is_late=True)
    pieces = [f"! {piece}" for piece in (*_asked_tonight(found), *_acts(found))]
    minds = [*dict.fromkeys(alert.short for alert in found.alerts if alert.sort == "care")]
    minds += [crop for crop, _ in found.care] if len(found.care) <= FEW_CROPS else ["crops"]
    if minds:
        number = sum(alert.sort == "care" for alert in found.alerts) + len(found.care)
        pieces.append(f"! mind {', '.join(minds)}: {number} ({layout.hint})")
    for line in packed(pieces, "   ", layout.width)[:MOST_ALERTS]:
        yield PageLine(
            "caution", _cut_to(line, layout.width), folds="alerts", is_late=not line.startswith("! mind")
        )


def _asked_tonight(found: Morning) -> Iterator[str]:
    """ "bring in S86 S87 tonight"."""
    told = [one for one in found.asked if one.zone == "tonight"]
    for do in dict.fromkeys(one.do for one in told):
        codes = dict.fromkeys(one.code for one in told if one.do == do)
        yield f"{do} {' '.join(dict.fromkeys(codes))} tonight"


def _acts(found: Morning) -> Iterator[str]:
    for alert in found.alerts:
        if alert.sort == "act":
            yield alert.short


def _in_full(found: Morning, layout: Layout) -> Iterator[PageLine]:
    yield from (_row(one, layout.width) for one in found.asked if one.zone == "tonight")
    said = [alert.says for alert in found.alerts]
    said += [f"{crop}: {caution}" for crop, caution in found.care]
    for text in said:
        for n, line in enumerate(wrap(text, layout.width - 2)):
            yield PageLine("caution" if n == 0 else "quiet", f"{'! ' if n == 0 else '  '}{line}")


def _to_settle(found: Morning, layout: Layout) -> Iterator[PageLine]:
    """One line, which opens all of them."""
    if not found.matters:
        return
    if "matters" in layout.opened:
        yield PageLine("head", f"To settle ({len(found.matters)})", folds="matters")
        for text in found.matters:
            yield from (PageLine("item", f"  {line}") for line in wrap(text, layout.width - 2))
    else:
        text = f"To settle ({len(found.matters)}): {found.matters[0]}"
        yield PageLine("item", _cut_to(text, layout.width), folds="matters")


def _to_begin(found: Morning, layout: Layout) -> Iterator[PageLine]:
    if found.first_things:
        yield PageLine("head", "To begin, write")
        for what, line in found.first_things:
            yield PageLine("item", _cut_to(f"  {what}:  {line}", layout.width), write=line)


# the parts that share the room


class Block(NamedTuple):
    """A part of the page: how many lines it takes at the most (`wants`) and at the least; `lines` makes it in so
    many."""

    name: str
    wants: int
    least: int
    enough: int
    """What it takes to show all of it, told as short as may be."""
    lines: Callable[[int], list[PageLine]]


HEADS = {
    "alerts": "TO TAKE CARE OF",
    "cut": "CHECK FOR CUTTING",
    "spoils": "SPOILS FIRST",
    "promised": "PROMISED",
    "also": "ALSO",
}
SERVED = (
    (("promised",), 3),
    (("also",), 2),
    (("cut", "spoils"), 9),
    (("promised",), 99),
    (("cut", "spoils"), 99),
    (("also",), 99),
)
"""How room is shared where it is short: these parts up to so many lines, a line to each in turn."""


def _block(found: Morning, name: str, layout: Layout) -> Block:
    asked = [one for one in found.asked if one.zone == name]
    if name == "also" and name not in layout.opened:
        asked = in_one_line(asked)
    if name == "cut":
        return _cuts(found, asked, layout)
    if name != "also":
        asked.sort(key=lambda one: one.days)
    rows = [_row(one, layout.width) for one in asked]
    whole = [line for one in asked for line in _in_lines(one, layout)]

    def lines(room: int) -> list[PageLine]:
        if name in layout.opened:
            return [_heading(name, layout, opens=True), *whole]
        if len(whole) + 1 <= room:
            return [_heading(name, layout), *whole]
        if len(rows) + 1 <= room:
            return [_heading(name, layout), *rows]
        if name == "also":
            return _together(asked, room, layout)
        grouped = _alike(asked, layout)
        if len(grouped) + 1 <= room:
            return [_heading(name, layout), *(line for line, _ in grouped)]
        shown = max(room - 2, 0)
        held = [code for _, codes in grouped[shown:] for code in codes]
        return [
            _heading(name, layout),
            *(line for line, _ in grouped[:shown]),
            _more(name, held, layout),
        ]

    wants, enough = (len(of) + 1 if of else 0 for of in (whole, rows))
    return Block(name, wants, min(enough, 1 if name == "also" else 2), enough, lines)


def _fitted(blocks: Sequence[Block], room: int, layout: Layout) -> list[PageLine]:
    """The blocks in so many lines: each what it wants where that fits, else its least and its share of the rest."""
    given = {block.name: block.least for block in blocks}
    has_room = sum(block.wants for block in blocks) <= room
    wants = {block.name: block.wants if has_room else block.enough for block in blocks}
    for names, most in SERVED:
        for _ in range(room):
            for name in names:
                if sum(given.values()) < room and given.get(name, 0) < min(wants.get(name, 0), most):
                    given[name] += 1
    return [line for block in blocks for line in block.lines(given[block.name])]


def _heading(name: str, layout: Layout, end: str = "", *, opens: bool = False) -> PageLine:
    """A part's head; of one that was opened, the way to shut it again."""
    text = HEADS[name]
    end = f"{layout.hint} shuts" if opens and layout.hint == ENTER else end
    if end and len(text) + len(end) + 2 <= layout.width:
        text = f"{text}{end:>{layout.width - len(text)}}"
    return PageLine("head", text, folds=name if opens else "")


def _more(name: str, codes: Sequence[str], layout: Layout) -> PageLine:
    text = f"  and {len(codes)} more ({layout.hint}): {' '.join(codes)}"
    return PageLine("item", _cut_to(text, layout.width), folds=name)


def _row(one: Asked, width: int) -> PageLine:
    """ "  L484  baby's breath white      50  bucket   sell today       1-3 days left"."""
    return PageLine(
        "item", _cut_to(_told(one), width), one.about, one, opens="" if one.about else one.opens,
        folds="also" if one.kin == CLEAR and not one.about else "",
        is_late=one.zone in ("spoils", "tonight") and one.days <= 0,
    )  # fmt: skip


def _told(one: Asked) -> str:
    if not one.about:
        return f"  {one.do} {one.code}"
    text = f"  {one.code:5} {_cut_to(one.name, 21):21} "
    if one.amount or one.place:
        return f"{text}{one.amount:>4}  {one.place:7} {one.do:15}  {one.when}".rstrip()
    return f"{text}{one.do}{': ' if one.when else ''}{one.when}"


def _in_lines(one: Asked, layout: Layout) -> list[PageLine]:
    """A row with all its words."""
    first, *more = wrap(_told(one), layout.width, hang=4)
    row = _row(one, layout.width)._replace(text=first)
    return [row, *(PageLine("item", text) for text in more)]


def _alike(asked: Sequence[Asked], layout: Layout) -> list[tuple[PageLine, list[str]]]:
    """Lines with the codes each tells: one for each, but one for all that ask for the same in the same place, as
    sixteen snap tests, line by line."""
    kin: dict[tuple[str, str], list[Asked]] = {}
    for one in asked:
        kin.setdefault((one.do, one.place), []).append(one)
    lines: list[tuple[PageLine, list[str]]] = []
    for (do, place), members in kin.items():
        if len(members) < TOGETHER_FROM or not place.startswith("line"):
            lines += [(_row(one, layout.width), [one.code]) for one in members]
        else:
            codes = [one.code for one in members]
            first = _row(members[0], layout.width)
            text = _cut_to(f"  {place:7} {do:20} {' '.join(codes)}   {members[0].when}", layout.width)
            lines.append((first._replace(text=text, about=(), asked=None, folds="spoils"), codes))
    return lines


def _together(asked: Sequence[Asked], room: int, layout: Layout) -> list[PageLine]:
    """What asks alike in one piece, and the pieces packed into few lines: "plant out S84; pinch b12 b13; buy tape"."""
    kin: dict[str, dict[str, None]] = {}
    for one in asked:
        kin.setdefault(_kin(one), {})[one.code] = None
    pieces = []
    for do, codes in kin.items():
        piece = f"{do} {' '.join(codes)}" if do != "buy" else f"buy {', '.join(codes)}"
        pieces.append(_cut_to(piece, PIECE))
    width = layout.width - len(HEADS["also"]) - 2
    shown = packed(pieces, "; ", width)
    kept = len(pieces)
    while len(shown) > max(room, 1) and kept > 1:
        kept -= 1
        shown = packed([*pieces[:kept], f"and {len(pieces) - kept} more ({layout.hint})"], "; ", width)
    found = []
    for n, line in enumerate(shown):
        text = f"{HEADS['also'] if n == 0 else '':4}  {line}"
        found.append(PageLine("item", _cut_to(text, layout.width), folds="also"))
    return found


def _kin(one: Asked) -> str:
    """What those told in one piece have in common."""
    if one.kin:
        return one.kin
    return f"{one.do} {one.place}" if one.place.startswith("line") and one.do != BOX_IT else one.do


# what to look at for cutting


def _cuts(found: Morning, asked: Sequence[Asked], layout: Layout) -> Block:
    due = sorted((one for one in asked if one.days <= 0), key=lambda one: (one.when != "cut!", one.days))
    later = [one for one in asked if one.days > 0]
    half = (layout.width - COLUMN_GAP) // 2
    wide = half >= 36
    tail = [_later(later, layout)] if later else []
    legend = f"f fresh  d dry  w wire   {len(due)} of {len(asked)} plantings"

    def lines(room: int) -> list[PageLine]:
        if "cut" in layout.opened:
            return [
                _heading("cut", layout, opens=True),
                *(_cut_row(one, layout.width) for one in asked),
            ]
        head = _heading("cut", layout, legend)
        room -= 1
        if len(due) + len(tail) <= room:
            return [head, *(_cut_row(one, layout.width) for one in due), *tail]
        rows = ceil(len(due) / 2) if wide else len(due)
        if rows + len(tail) <= room:
            return [head, *_columns(due, rows, half, layout), *tail]
        rows = max(room - 1 - len(tail), 0)
        shown = rows * 2 if wide else rows
        held = [one.code for one in due[shown:]]
        return [head, *_columns(due[:shown], rows, half, layout), _more("cut", held, layout), *tail][
            : room + 1
        ]

    wants = len(due) + len(tail) + 1 if asked else 0
    enough = ceil(len(due) / 2) + len(tail) + 1 if asked and wide else wants
    return Block("cut", wants, min(wants, 2 + len(tail)), enough, lines)


def _columns(due: Sequence[Asked], rows: int, half: int, layout: Layout) -> list[PageLine]:
    """In two columns where there is the width, the most pressing down the left one."""
    if len(due) <= rows:
        return [_cut_row(one, layout.width) for one in due]
    lines = []
    for n in range(rows):
        left = _cut_row(due[n], half)
        if n + rows < len(due):
            left = left._replace(beside=_cut_row(due[n + rows], half), at=half + COLUMN_GAP)
        lines.append(left)
    return lines


def _cut_row(one: Asked, width: int) -> PageLine:
    """ "  b16 strawflower white      f d w  3 d"."""
    name = min(max(width - 17, 10), 24)
    text = f"  {one.code:3} {_cut_to(one.name, name):{name}} {one.amount:5} {one.when}"
    return PageLine("item", _cut_to(text, width), one.about, one, is_late=one.when == "cut!")


def _later(later: Sequence[Asked], layout: Layout) -> PageLine:
    codes = " ".join(dict.fromkeys(one.code for one in later))
    return PageLine("item", _cut_to(f"  cut lately: {codes}", layout.width), folds="cut")


# small things


def _listed(
    part: Callable[[Morning, Layout], Iterator[PageLine]], found: Morning, layout: Layout
) -> list[PageLine]:
    return [*part(found, layout)]


def _fault(said: str, width: int) -> PageLine:
    return PageLine("caution", _cut_to(f"! {said}", width))


def _cut_to(text: str, width: int) -> str:
    return cut_to(in_words(text), width)
