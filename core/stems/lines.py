"""What leaves or is counted: lost, sold, used, moved, counted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from core.codes import LOT, canonical
from core.farm import Farm, Lot
from core.language.causes import need_cause, take_cause, usual_causes
from core.language.clock import take_clock
from core.language.crops import take_crop
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, whole
from core.language.named_places import one_place, source_of, take_places
from core.language.names import has_lot, is_code, take_lot, take_lots, take_named_lot
from core.language.offers import any_lot, crops, has_code, places, words
from core.language.own_words import refuse_money, take_by, take_own_words
from core.language.paid import take_paid
from core.language.verb import Verb, lost_claim, take_loss
from core.language.words import ALL, USE_OF
from core.places import FRESH_PLACES, USE_OF_FORM, Holding, Place, in_place, place_name
from core.settings.sheets import sheet_bunch
from core.stems import THROWN
from core.stems.buyers import buyers, known_buyers
from core.stems.counting import more_than_cut
from core.stems.holdings import LotHolding, alike, is_past, not_spent, parted
from core.stems.money import with_price
from core.stems.moving import move_all, remark_on_boxes, remark_on_cooler


def lost(line: Line) -> Reading:
    """ "lost 6 mold L041", "lost 6 mold line 2": stems of a lot; "compost L041 L042" all of them."""
    if has_lot(line):
        place = one_place(line, "place")
        if line.words[0].low in THROWN and not any(t.number is not None for t in line.free()):
            return _thrown_out(line, place)
        return _lost_stems(line, take_lot(line, lambda p, held: True, "on hand"), place)
    place = one_place(line, "place")
    if place is None:
        need_cause(line, CAUSES)
        raise Refused(
            "Lost from what? Name a lot, a tray, or a bed and its crop: lost 6 mold L041.",
            near=_newest(line),
        )
    return _lost_stems(line, take_lot(line, lambda p, held: p == place, in_place(place)), place)


def _thrown_out(line: Line, place: Place | None) -> Reading:
    """All that is left of each lot named; unsold, where no cause is written of what is past its days."""
    line.take_words((ALL,))
    cause, lots = take_cause(line), take_lots(line)
    if cause is None and all(is_past(line, lot) for lot in lots):
        cause = "unsold"
        line.remark("unsold, as no cause was written")
    cause = cause or need_cause(line, CAUSES)
    drafts = []
    for lot in lots:
        there = [at for at, held in lot.holdings.items() if held.stems > 0 and not at.is_set_aside]
        for source in there if place is None else [source_of(lot, place)]:
            said = {"lot": lot.code, "source": source, "cause": cause, "ref": lot.made_by}
            drafts.append(line.draft("lost", count=lot.holdings[source].stems, **said))
    if not drafts:
        raise Refused("All of it is set aside for orders: 'back O014' puts it back first.", "impossible")
    return line.reading(*drafts, lot=drafts[-1].fields["lot"])


def _newest(line: Line) -> list[str]:
    return [lot.code for lot in line.farm.lots.live()][::-1][:3]


def _lost_stems(line: Line, lot: Lot, place: Place | None) -> Reading:
    source = source_of(lot, place)
    everything = _all_of(line, lot, source)
    cause = need_cause(line, CAUSES_IN[source.form])
    stems = _stems(line, lot, source, everything)
    return line.reading(
        line.draft("lost", count=stems, lot=lot.code, source=source, cause=cause, ref=lot.made_by),
        lot=lot.code,
    )


def _all_of(line: Line, lot: Lot, source: Place) -> int | None:
    """The stems there are, where the line says "all"."""
    return max(lot.holdings[source].stems, 0) if line.take_words((ALL,)) and source in lot.holdings else None


def _stems(line: Line, lot: Lot, source: Place, default: int | None = None) -> int:
    """The stems a number means: stems everywhere, unless b, bu or bunches are said; `default` where there is none."""
    held = lot.holdings[source]
    bunches = line.take_unit("bunches", "bunches")
    if bunches is not None:
        size = _bunch_of(line, lot, held)
        stems = whole(bunches, "bunches") * size
        line.tell_amount(stems, size)
        return stems
    count = line.take_count("stems", "stems")
    if count is None:
        if default is None:
            raise Refused(f"How many of {lot.code}? Write the number, or 'all': it has {lot.whereabouts}.")
        return default
    if held.unit == "bunches":
        line.tell_amount(count, held.per)
    return count


def _bunch_of(line: Line, lot: Lot, held: Holding) -> int:
    """Stems to a bunch: as it lies, else as the crop's sheet has it."""
    if held.per > 1:
        return held.per
    known = sheet_bunch(line.farm, lot.crop, "fresh" if held.form == "fresh" else "dried")
    if known is None:
        raise Refused(f"How many stems to a bunch? {lot.code} is not bunched: write the number of stems.")
    line.remark(f"bunches of {known}, as the {lot.crop} sheet has it")
    return known


def sold(line: Line) -> Reading:
    """ "sold 20 L041 to corner florist", "sold 2 bu L041": stems, unless bunches are said."""
    paid = take_paid(line)
    refuse_money(line)
    take_by(line)
    who = take_own_words(line, ("to",), known_buyers(line.farm))
    take_day(line)
    is_all = any(t.low == ALL for t in line.free())
    in_bunches = any(t.number is not None and t.unit == "bunches" for t in line.free())
    counted = "bunches" if in_bunches else "" if is_all else "stems"
    return with_price(line, _leaving(line, "sold", who=who), paid, who, counted=counted)


def used(line: Line) -> Reading:
    """ "used 10 L041 for crown"."""
    purpose = take_own_words(line, ("for",))
    take_day(line)
    return _leaving(line, "used", purpose=purpose)


def _leaving(line: Line, kind: str, **why: str | None) -> Reading:
    place = one_place(line, "place")
    _refuse_supplies(line)
    form = _take_form(line)
    everything = bool(line.take_words((ALL,)))
    is_named = _names_lot(line)
    if (
        not is_named
        and (crop := take_crop(line, lambda: _on_hand(line)))
        and (holdings := alike(line, crop, place, form))
    ):
        return _from_first(line, kind, crop, holdings, everything, **why)
    where = (in_place(place) if place else "on hand") + (f" that is {form}" if form else "")
    lot = take_lot(line, lambda p, held: place in (None, p) and form in (None, held.form), where)
    source = source_of(lot, place)
    there = lot.holdings[source].stems if everything and source in lot.holdings else None
    stems = _stems(line, lot, source, there)
    if not is_named:
        not_spent(line, [LotHolding(lot, source)], stems)
    remark_on_boxes(line, (source,))
    return line.reading(
        line.draft(kind, lot=lot.code, stems=stems, source=source, ref=lot.made_by, **why), lot=lot.code
    )


_FORM_OF: Mapping[str, str] = {use: form for form, use in USE_OF_FORM.items()}
"""A use as a line says it -> the form in which stems leave."""


def _take_form(line: Line) -> str | None:
    """The form that a line means, "30 zinnia fresh", "3 bunches statice dry"; None where it says none."""
    forms = dict.fromkeys(USE_OF[t.low] for t in line.take_words(USE_OF))
    if len(forms) > 1:
        raise Refused(f"{either(list(forms), 'and')}: which? Write one line for each.", "ambiguous")
    return _FORM_OF[next(iter(forms))] if forms else None


def _refuse_supplies(line: Line) -> None:
    """Refuse a supply: what is used of one goes with the pieces, or shows at the next count."""
    said = " ".join(t.low if t.number is None else t.text for t in line.free())
    if not _names_lot(line) and (making := next((m for m in line.farm.makings if m in said), "")):
        raise Refused(f"What is left of {making} is counted: count 20 {making}.", near=("count",))


def _on_hand(line: Line) -> Iterator[str]:
    return (lot.crop for lot in line.farm.lots.live())


def _names_lot(line: Line) -> bool:
    return any(t.is_word and is_code(t.low, LOT) for t in line.free())


def _from_first(
    line: Line, kind: str, crop: str, holdings: list[LotHolding], everything: bool, **why: str | None
) -> Reading:
    """So many stems of a crop out of several lots: the earliest to expire leaves first."""
    if everything:
        holdings = not_spent(line, holdings, None)
    first = holdings[0]
    whole = sum(holding.whole for holding in holdings)
    stems = _stems(line, first.lot, first.place, whole if everything else None)
    if not everything:
        first, *_ = holdings = not_spent(line, holdings, stems)
    line.crop, line.use = crop, first.lot.use
    least = "it has least left in the vase" if first.place in FRESH_PLACES else "it was cut first"
    line.remark(f"{first.lot.code} first: {least}")
    drafts = [
        line.draft(kind, lot=lot.code, stems=part, source=place, ref=lot.made_by, **why)
        for (lot, place), part in parted(holdings, crop, stems)
    ]
    remark_on_boxes(line, (Place(draft.fields["source"]) for draft in drafts))
    return line.reading(*drafts, lot=drafts[-1].fields["lot"])


def move(line: Line) -> Reading:
    """ "move 10 L041 line 3", "move L041 from box 1 to box 7", "move all zinnia cooler": all of it where no number is
    said."""
    clock = take_clock(line)
    everything = bool(line.take_words((ALL,)))
    places = take_places(line)
    if everything and not _names_lot(line):
        return move_all(line, places, clock)
    lot = take_lot(line, lambda p, held: True, "to move")
    source, to = _from_and_to(places, lot)
    place = source_of(lot, source, lambda p: p != to and p.form == to.form)
    stems = _stems(line, lot, place, default=lot.holdings[place].stems)
    remark_on_cooler(line, [lot], to)
    remark_on_boxes(line, (place,))
    return line.reading(
        line.draft("moved", lot=lot.code, stems=stems, source=place, place=to, clock=clock, ref=lot.made_by),
        lot=lot.code,
    )


def _from_and_to(places: list[tuple[str, Place]], lot: Lot) -> tuple[Place | None, Place]:
    """Where the stems come from, if said, and where to. Of two bare places the lot's own is the first."""
    source = [place for role, place in places if role == "from"]
    to = [place for role, place in places if role == "to"]
    bare = [place for role, place in places if not role]
    if len(bare) == 2 and not source and not to:
        bare.sort(key=lambda p: p not in lot.holdings)
    for place in bare:
        (source if (len(bare) > len(to) + 1 and not source) or to else to).append(place)
    if len(to) != 1 or len(source) > 1:
        raise Refused(
            f"Moved where? Name the place it comes to: move {lot.code} line 3.", near=("line", "box")
        )
    return (source[0] if source else None), to[0]


def _counted_place(lot: Lot) -> Place:
    """The one place where the lot is, or where more of it left than there was; where there are several she says it."""
    places = [place for place, held in lot.holdings.items() if held.stems]
    places = [place for place in places if not place.is_set_aside] or places
    if not places:
        raise Refused(
            f"Where is {lot.code}? The book has none left: add the place, such as bucket.", near=("bucket",)
        )
    if len(places) > 1:
        raise Refused(f"{lot.code} has {lot.whereabouts}: say which place.", "ambiguous", places)
    return places[0]


def count(line: Line) -> Reading:
    """ "count 42 L041": what is really there."""
    named = one_place(line, "place")
    # a count may find stems where the book has none
    where = in_place(named) if named else "on hand"
    lot = take_named_lot(line, empty=True) or take_lot(line, lambda p, held: named in (None, p), where)
    source = named or _counted_place(lot)
    had = lot.holdings[source].stems if source in lot.holdings else 0
    expected = max(had, 0)
    if had < 0:
        line.remark(
            f"{-had} more had left {place_name(source)} than it held: with this count that is settled"
        )
    stems = _stems(line, lot, source) if source in lot.holdings else line.need_count("stems", "stems")
    drafts = [
        line.draft("counted", lot=lot.code, source=source, stems=stems, expected=expected, ref=lot.made_by)
    ]
    if over := more_than_cut(lot, source, stems):
        if not line.insists:
            raise Refused(f"{over}. Look again, or add 'anyway' if it is so.", "impossible", (str(expected),))
        drafts.append(line.draft("note", about=lot.code, text=f"anyway: {over}"))
    return line.reading(*drafts, lot=lot.code)


CAUSES_IN = {
    "fresh": ("wilted", "unsold", "gray mold", "blown", "broken", "other"),
    "hanging": ("mold", "shatter", "brown", "brittle", "blown", "broken", "dropped", "other"),
    "wired": ("split", "broken", "soft", "other"),
    "dry": ("moth", "damp", "faded", "mice", "shatter", "broken", "other"),
}
"""Why stems are lost, by the form in which they are: the short list that is offered."""
CAUSES = ("mold", "shatter", "blown", "brown", "broken", "faded", "moth", "wilted", "other")
"""The same where the form is not known."""


def _loss_causes(line: Line, farm: Farm) -> list[str]:
    """Why stems are lost in the places where the lot named has some."""
    codes = [code for t in line.words if (code := canonical(t.low)) and code[0] == LOT]
    forms = []
    for lot in filter(None, (farm.lots.get(code) for code in codes)):
        named = [place for place in lot.holdings if place in line.text.lower()]
        forms += [place.form for place in named or lot.holdings]
    shorts = [CAUSES_IN[form] for form in dict.fromkeys(forms)]
    if not shorts and not has_code(line):
        shorts = [CAUSES, *CAUSES_IN.values()]
    return [cause for short in shorts for cause in usual_causes(farm, short)]


_JOB = "Stock"

VERBS = (
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 6 mold L038", "stems lost, with their cause; also: toss, compost"),),
        (any_lot, _loss_causes),
        claims=lost_claim,
        take=take_loss,
        small=("out", "away"),
    ),
    Verb(
        "sold",
        sold,
        _JOB,
        (
            (
                "sold 20 L035 to corner florist",
                "stems; a crop without a lot: first what expires first",
            ),
            (
                "sold 2 bu L035 to corner florist at 9",
                "at 9.00 a bunch; 'for 18' is the price of all; bu: bunches",
            ),
        ),
        (buyers, any_lot, places, words("to", "stems", "bunches")),
        follow=("to", "yesterday"),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "used",
        used,
        _JOB,
        (("used 10 L041 for crown", "what went into a piece"),),
        (any_lot, places, words("for", "stems", "bunches")),
        follow=("for", "yesterday"),
        own_day=True,
    ),
    Verb(
        "move",
        move,
        _JOB,
        (
            ("move 10 L038 line 3", "to another line or box"),
            ("move L041 cooler", "out of the bucket; 'move all strawflower cooler' takes every lot of it"),
        ),
        (any_lot, words("all"), places, crops),
    ),
    Verb(
        "count",
        count,
        _JOB,
        (("count 34 L038", "what is really there; the difference is kept"),),
        (any_lot, places),
    ),
)
