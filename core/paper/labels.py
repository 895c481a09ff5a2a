"""Labels of lots, trays, plantings and pieces: the code, large and to scan, then crop, day, bed and bunch; on sheets
or on a roll."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from math import ceil
from typing import NamedTuple

from core.codes import canonical
from core.dialect import in_words
from core.farm import Farm, Lot
from core.paper.label_sheets import MOST_LABELS, LabelSheet
from core.paper.marks import MM_PER_POINT, QUIET, Box, Code, Mark, Page, Rule, Text, height_of
from core.places import Holding, Place
from core.problems import Problem
from core.text import clean, named
from core.units import dated_text, plural

SIDE = 21
"""Modules of a code of up to 14 characters (version 1, level M; found by trying, see tests/paper)."""
MODULES = (0.6, 0.55, 0.5)
"""Millimetres of a module: 0.6 is read by a phone at hand's distance off wet paper, less than 0.5 is not (tried on
rendered pages, blurred)."""
INSIDE, AT_EDGE = 2.0, 4.5
"""Millimetres kept free inside a label, and inside the edge of a page, which many printers do not reach (ours)."""
CODE_SIZE, LINE_SIZE = 14.0, 9.0
NARROW = 1.5
"""Millimetres of a usual letter in the smallest size that is printed: so many of them are tried on one line."""
LEAST_BESIDE = 17.0
"""Room for words beside the code, in mm; where there is less they stand under it."""
MOST_SHIFT = 20.0


class Label(NamedTuple):
    """What stands on one label: the code, then lines, the most needed first."""

    code: str
    lines: tuple[str, ...]


def labels_of(farm: Farm, codes: Sequence[str], each: int | None = None) -> list[Label] | Problem:
    """Labels of lots and of what is picked for an order (one for each bunch, else one for each place it lies in), of
    trays, plantings and pieces made together (one for each piece); `each` says how many of each instead."""
    found: list[Label] = []
    for said in codes:
        code = canonical(said) or said
        mine = [*_of_code(farm, code)]
        if not mine and farm.orders.get(code) is not None:
            return Problem(f"Nothing is picked for {code}: 'pick {code}' sets it aside.", "impossible")
        if not mine:
            known = "codes of lots, orders, trays, plantings or pieces, such as L041"
            return Problem(f"There is no {clean(said)[:24]}: give {known}.", "unknown")
        if each is not None:
            mine = [mine[0]._replace(lines=mine[0].lines[:2])] * each
        found += [
            label._replace(lines=(*label.lines, *filter(None, (farm.settings.name,)))) for label in mine
        ]
        if len(found) > MOST_LABELS:
            return Problem(
                f"These are more than {MOST_LABELS} labels: print some of them first.", "impossible"
            )
    return found


def _of_code(farm: Farm, code: str) -> Iterator[Label]:
    """The labels of what has that code; none where nothing has."""
    if (lot := farm.lots.get(code)) is not None:
        yield from _of_lot(farm, lot)
    elif (order := farm.orders.get(code)) is not None:
        for picked in dict.fromkeys(pick.code for pick in order.picks):
            lot = farm.lots.get(picked)
            if lot is not None and (held := lot.holdings.get(order.place)) is not None:
                yield from _lying(farm, lot, order.place, held)
    elif (tray := farm.trays.get(code)) is not None:
        name = named(tray.crop, tray.variety, tray.way)
        yield Label(code, (name, f"sown {dated_text(tray.sown)}", plural(tray.cells, "cell")))
    elif (planting := farm.plantings.get(code)) is not None:
        name = named(planting.crop, planting.variety, planting.way)
        yield Label(code, (name, f"{planting.bed}, since {dated_text(planting.out_on)}"))
    elif (piece := farm.pieces.get(code)) is not None:
        label = Label(code, (piece.recipe, f"made {dated_text(piece.made_on)}"))
        yield from [label] * max(min(piece.on_hand, MOST_LABELS + 1), 1)


def _of_lot(farm: Farm, lot: Lot) -> Iterator[Label]:
    """A label for each place in which stems of the lot lie; where none are left, one label with what it was cut for."""
    lying = [(place, held) for place, held in lot.holdings.items() if held.stems > 0]
    for place, held in lying:
        yield from _lying(farm, lot, place, held)
    if not lying:
        yield Label(lot.code, (*_first(lot), f"cut to {'sell fresh' if lot.use == 'fresh' else lot.use}"))


def _first(lot: Lot) -> tuple[str, str]:
    return named(lot.crop, lot.variety), f"cut {dated_text(lot.cut_on)}, {lot.bed}"


def _lying(farm: Farm, lot: Lot, place: Place, held: Holding) -> Iterator[Label]:
    """Those of what lies in one place: one for each bunch, the last with what is left, or one for all that is loose."""
    whose = (_whose(farm, place),) if place.is_set_aside else ()
    if held.per <= 1 or held.unit == "heads" or held.form == "fresh":
        yield Label(lot.code, (*_first(lot), held.form, *whose))
        return
    bunches = ceil(held.stems / held.per)
    for n in range(1, min(bunches, MOST_LABELS + 1) + 1):
        stems = plural(min(held.per, held.stems - (n - 1) * held.per), "stem")
        yield Label(lot.code, (*_first(lot), f"{held.form}, bunch {n} of {bunches}, {stems}", *whose))


def _whose(farm: Farm, place: Place) -> str:
    """ "for O014 Fern Hollow"."""
    order = farm.orders.get(place.removeprefix("for "))
    return f"{place} {order.buyer}" if order is not None else str(place)


# on paper


def pages(
    labels: Sequence[Label], sheet: LabelSheet, start: int = 1, shift: tuple[float, float] = (0, 0)
) -> list[Page] | Problem:
    """The labels on sheets, from the `start`-th of the first on, moved by `shift` mm right and down."""
    if not 1 <= start <= sheet.each:
        return Problem(f"The sheet has labels 1 to {sheet.each}: begin with one of them.", "impossible")
    if max(map(abs, shift)) > MOST_SHIFT:
        return Problem(
            f"A shift of more than {MOST_SHIFT:g} mm is no matter of paper lying askew.", "impossible"
        )
    corners = list(sheet.corners())
    made: list[list[Mark]] = [[]]
    for n, label in enumerate(labels, start - 1):
        if n and n % sheet.each == 0 and made[-1]:
            made.append([])
        marks = _label(label, sheet, *corners[n % sheet.each], shift)
        if isinstance(marks, Problem):
            return marks
        made[-1] += marks
    return [Page(sheet.width, sheet.height, tuple(marks)) for marks in made]


def trial(sheet: LabelSheet, shift: tuple[float, float] = (0, 0)) -> Page:
    """A sheet for plain paper: the outlines of the labels, and a rule to measure with."""
    wide = min(100.0, sheet.width - 2 * AT_EDGE)
    x, y = (sheet.width - wide) / 2, sheet.height / 2
    marks: list[Mark] = [
        Box(left + shift[0], top + shift[1], sheet.label_width, sheet.label_height)
        for left, top in sheet.corners()
    ]
    marks += [Rule(x, y, x + wide, y), Rule(x, y - 2, x, y + 2), Rule(x + wide, y - 2, x + wide, y + 2)]
    says = (
        f"{wide:g} mm. Print at actual size, not fit to page; hold it on a sheet of labels against the light."
    )
    marks.append(Text(x, y - 3, LINE_SIZE, says, room=wide))
    return Page(sheet.width, sheet.height, tuple(marks))


def _label(
    label: Label, sheet: LabelSheet, left: float, top: float, shift: tuple[float, float]
) -> list[Mark] | Problem:
    """The marks of one label whose corner is there."""
    x0, y0 = max(left + INSIDE, AT_EDGE), max(top + INSIDE, AT_EDGE)
    x1 = min(left + sheet.label_width - INSIDE, sheet.width - AT_EDGE)
    y1 = min(top + sheet.label_height - INSIDE, sheet.height - AT_EDGE)
    if sheet.each == 1:  # a label printer prints to the edge of its roll
        x0, y0, x1, y1 = (
            left + INSIDE,
            top + INSIDE,
            left + sheet.label_width - INSIDE,
            top + sheet.label_height - INSIDE,
        )
    for module in MODULES:
        quiet, side = QUIET * module, SIDE * module
        x, highest = max(x0, left + quiet), max(y0, top + quiet)
        lowest = min(y1, top + sheet.label_height - quiet)
        if side <= lowest - highest + 1e-9 and side <= min(x1, left + sheet.label_width - quiet) - x + 1e-9:
            break
    else:
        least = (SIDE + 2 * QUIET) * MODULES[-1]
        return Problem(
            f"A label of {sheet.label_width:g} by {sheet.label_height:g} mm is too small: its code and the blank "
            f"around it take {least:g} mm each way, and {INSIDE:g} mm inside each edge stay free.",
            "impossible",
        )
    beside = x1 - (x + side + quiet)
    if beside >= LEAST_BESIDE:
        y = highest + (lowest - highest - side) / 2
        words = _words(label, x + side + quiet, y0, beside, y1)
    else:
        y = highest
        words = _words(label, x0, y + side + quiet, x1 - x0, y1)
    code = Code(x + shift[0], y + shift[1], module, label.code)
    return [code, *(mark._replace(x=mark.x + shift[0], y=mark.y + shift[1]) for mark in words)]


def _words(label: Label, x: float, top: float, room: float, bottom: float) -> list[Text]:
    """As many of the lines as there is height for, the first below `top`, the code largest."""
    found: list[Text] = []
    y = top
    wrapped = [
        part for line in label.lines for part in textwrap.wrap(in_words(line), max(int(room / NARROW), 4))
    ]
    for text, size in ((label.code, CODE_SIZE), *((line, LINE_SIZE) for line in wrapped)):
        below = size * MM_PER_POINT * 0.25  # what hangs under the line, as in g and y
        y += size * MM_PER_POINT * 0.75 if not found else height_of(size)
        if y + below > bottom + 1e-9:
            break
        found.append(Text(x, y, size, text, room))
    return found
