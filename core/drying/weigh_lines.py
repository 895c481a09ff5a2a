"""A weighing in a line: "L041 412g", "weigh L041 line 2 412 g at 6:40", "weigh strawflower 14.5oz"."""

from __future__ import annotations

from core.codes import LOT
from core.drying.hanging import take_hanging
from core.farm import Lot
from core.language.clock import take_clock
from core.language.line import Line, Reading, Refused, either
from core.language.named_places import one_place, source_of
from core.language.names import is_code
from core.language.weights import weights
from core.units import plainly

LIGHTEST = 0.8
"""A bunch lighter than this share of the least that a dry one keeps is asked about (ours)."""


def is_weight(line: Line) -> bool:
    """Whether a line without a verb is a weighing: a lot's code and a weight, "L041 412g"."""
    named = any(t.is_word and is_code(t.low, LOT) for t in line.words)
    return named and any(True for _ in weights(line))


def weigh(line: Line) -> Reading:
    """The weight of a lot's marked bunch as it hangs, the same bunch each time."""
    clock = take_clock(line)
    place = one_place(line, "place")
    found = list(weights(line))
    for weight in found:
        for token in weight.tokens:
            token.taken = True
    lot = take_hanging(line, place, "to weigh")
    if len(found) > 1:
        raise Refused(
            f"{either([w.said for w in found], 'and')}: one bunch has one weight. Write one.", "ambiguous"
        )
    if (bunches := line.take_unit("bunches", "bunches")) not in (None, 1):
        raise Refused(
            f"{plainly(bunches)} bunches: its drying is told by one marked bunch, the same each time. "
            "Weigh that one alone.",
            "impossible",
        )
    grams = found[0].grams if found else line.take_number("grams")
    if grams is None:
        raise Refused(f"How heavy is it? Write the weight of its marked bunch: weigh {lot.code} 412g.")
    if place is None and not any(p.is_line for p in lot.holdings):
        raise Refused(
            f"{lot.code} has nothing on a line to weigh: {lot.whereabouts}.", "impossible", ("hang",)
        )
    source = source_of(lot, place, lambda p: p.is_line)
    line.remark(
        f"weighing {len(lot.weighings) + 1} of {lot.code}"
        if lot.weighings
        else f"first weighing of {lot.code}: mark the bunch and weigh the same one each time"
    )
    if lot.weighings:
        _hold_against(line, lot, grams)
    return line.reading(
        line.draft(
            "weighed",
            lot=lot.code,
            source=source,
            grams=round(grams, 1) if grams != int(grams) else int(grams),
            clock=clock,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _hold_against(line: Line, lot: Lot, grams: float) -> None:
    """Remarks on a weight that is hardly one of the same bunch, drying."""
    from core.drying.keeps import ratio_of  # a cut to be dried is no weight yet

    first, last = lot.weighings[0].grams, lot.weighings[-1].grams
    least = ratio_of(line.farm, lot.crop).library[0]
    if grams > last:
        line.remark(f"heavier than the {plainly(last)} g before: the same bunch, or damp air?")
    elif grams < LIGHTEST * least * first:
        line.remark(
            f"{100 * grams / first:.0f} % of the first {plainly(first)} g, where dry {lot.crop} keeps "
            f"{100 * least:.0f} % or more: the same bunch, or a slip of the pen? 'undo' takes it back."
        )
