"""Whose order it is: the buyer that a line names, and the order of a buyer that is named in place of its code."""

from __future__ import annotations

from itertools import takewhile

from core.codes import ORDER
from core.crops.library import crop_names
from core.language.crops import crops_called
from core.language.line import Line, Refused, either, short
from core.language.names import is_code
from core.language.own_words import LEAST_BEGINNING, as_known
from core.language.tokens import Token, times
from core.language.words import FILLERS, WEEKDAYS, is_keyword
from core.order_rows import Order
from core.stems.buyers import known_buyers
from core.subject import loose_words, sure_words

BEFORE_BUYER = ("all", "over", "out")
"""Words that may stand between what is done and for whom."""


def take_buyer(line: Line) -> str | None:
    """Whose order it is: a known buyer wherever the name stands, else the words before the first number, or after
    "for". A new one is told; one that hardly differs from a known one is asked about, unless it stands in quotes."""
    words = line.free()
    first = next((i for i, t in enumerate(words) if t.number is not None or times(t.low)), len(words))
    name = words[:first]
    if _ends_as_known(line, name):
        return _begun_or_new(line, name)
    if (found := take_known_buyer(line)) is not None:
        return found
    while name and name[0].is_word and name[0].low in ("for", "to", "from", "the"):
        name.pop(0).taken = True
    if not name:
        start = next((i for i, t in enumerate(words) if t.is_word and t.low in ("for", "to")), len(words))
        name = words[start + 1 :]
        if not name:
            return None
        words[start].taken = True
    if name[0].quoted:
        name[0].taken = True
        line.remark(f"{name[0].text} is a new buyer")
        return name[0].text
    return _begun_or_new(line, name)


def _ends_as_known(line: Line, name: list[Token]) -> bool:
    """Whether words of no meaning of their own, and after them a name that is known, begin the line: "Christmas market"
    is another buyer than "market"."""
    said, known = [t.low for t in name], {buyer.lower() for buyer in known_buyers(line.farm)}
    if " ".join(said) in known or any(t.quoted or not t.is_word for t in name):
        return False
    start = next((i for i in range(1, len(said)) if " ".join(said[i:]) in known), 0)
    return start > 0 and not any(
        is_keyword(word) or word in FILLERS or crops_called(word, line.farm.own_crops)
        for word in said[:start]
    )


def take_day_in_name(line: Line) -> str | None:
    """A buyer whose name begins with a day, where the line begins with it: "Saturday market 40 zinnia"; else None."""
    words = line.free()
    end = next((i for i, t in enumerate(words) if t.number is not None or times(t.low)), len(words))
    is_name = end > 1 and words[0].low in WEEKDAYS and not is_keyword(words[1].low)
    return _begun_or_new(line, words[:end]) if is_name and all(t.is_word for t in words[:end]) else None


def take_known_buyer(line: Line) -> str | None:
    """A buyer who bought or ordered before, by the whole name, wherever it stands; None where none is named."""
    words = line.free()
    known = known_buyers(line.farm)
    names = sorted(((tuple(name.lower().split()), name) for name in known), key=lambda n: -len(n[0]))
    for parts, name in names:
        for i in range(len(words)):
            run = words[i : i + 1] if words[i].quoted else words[i : i + len(parts)]
            said = " ".join(t.low for t in run) if len(run) > 1 else run[0].low
            if said == " ".join(parts) or (run[0].quoted and run[0].low == name.lower()):
                for token in run:
                    token.taken = True
                before = line.after(run[0], -1)
                if before is not None and before.low in ("for", "to", "from"):
                    before.taken = True
                return name
    return None


def words_beside(line: Line, buyer: str) -> list[Token]:
    """The words right after the name of a known buyer, before any number: they may belong to a longer name."""
    names = [t for t in line.words if t.taken]
    parts = buyer.lower().split()
    for i in range(len(names) - len(parts) + 1):
        run = names[i : i + len(parts)]
        if [t.low for t in run] == parts:
            rest = line.words[line.words.index(run[-1]) + 1 :]
            return [
                *takewhile(
                    lambda t: t.is_word and not t.taken and t.number is None and not times(t.low), rest
                )
            ]
    return []


def longer_name(refused: Refused, buyer: str, beside: list[Token]) -> Refused:
    """The refusal of a line in which nothing understands the word after a known buyer: it may be a new one, whose name
    begins so."""
    left = [*takewhile(lambda t: not t.taken, beside)]
    if not left or refused.problem.code != "unknown" or is_keyword(left[0].low):
        return refused
    if {*refused.problem.nearest} & {*crop_names()}:
        return refused  # a slip in the crop
    name = " ".join((buyer, *(t.text for t in left)))
    return Refused(
        f"'{short(left[0].text)}' is not understood after {short(buyer)}, who is known. A new buyer whose name begins "
        f"so is written in quotes: order '{short(name)}'.",
        "unknown",
        (f"'{name}'",),
    )


def take_begun_buyer(line: Line) -> str | None:
    """A buyer who bought or ordered before, where the words left in the line are the beginning of the name; None where
    there are none, or they are no such beginning."""
    words = [token for token in line.free() if token.is_word and token.low not in FILLERS]
    if not words:
        return None
    found = as_known(" ".join(t.text for t in words), known_buyers(line.farm), "paid")
    for token in words if found is not None else ():
        token.taken = True
    return found


def _begun_or_new(line: Line, words: list[Token]) -> str:
    for token in words:
        if token.number is not None or is_code(token.low, ORDER):
            raise Refused(
                f"What is {short(token.text)} in the name of a buyer? Where it belongs there, put the name in quotes."
            )
    name = " ".join(t.text for t in words)
    low, shown = name.lower(), short(name)
    if (found := as_known(name, known_buyers(line.farm), "order")) is not None:
        for token in words:
            token.taken = True
        return found
    begins_as_verb = len(words) > 1 and words[0].low in (*sure_words(), *loose_words())
    if any(
        is_keyword(t.low) and t.low not in (*FILLERS, *WEEKDAYS) for t in words[begins_as_verb:]
    ) or low in (
        *crop_names(),
        *line.farm.crops,
    ):
        raise Refused(
            f"Who ordered it? '{shown}' is no buyer yet: begin with the name, and each item with its number, or put "
            "the name in quotes.",
            "unknown",
        )
    if crop := next((t.low for t in words if t.low in (*crop_names(), *line.farm.crops)), ""):
        raise Refused(
            f"'{shown}' has the crop {crop} in it: put a buyer of that name in quotes, or write the number before "
            "the crop.",
            "unknown",
        )
    for token in words:
        token.taken = True
    line.remark(f"{name} is a new buyer")
    return name


def need_buyer(line: Line) -> str:
    """The buyer of the line, or the question who it is."""
    buyer = take_buyer(line)
    if buyer is None:
        near = known_buyers(line.farm)[::-1][:3]
        raise Refused(
            "Who ordered it? Begin with the buyer: order Fern Hollow 20 bu lavender dry by 10-15.", near=near
        )
    return buyer


def order_of_buyer(line: Line, *, take: bool = True) -> Order | None:
    """The order due first of the buyer with whose name the line goes on, of whom something is still to be done: "pick
    Fern"; None where it goes on otherwise."""
    words = [t for t in line.free() if t.is_word and t.low not in (*FILLERS, *BEFORE_BUYER)]
    live = [order for order in line.farm.orders.live() if not order.cancelled_on and not order.is_delivered]
    for token in line.free():
        if token.quoted and (mine := [order for order in live if order.buyer.lower() == token.low]):
            token.taken = token.taken or take
            return _due_first(mine)
    for end in range(len(words), 0, -1):
        said = " ".join(t.low for t in words[:end])
        if len(said) < LEAST_BEGINNING or is_keyword(words[0].low):
            return None
        mine = [order for order in live if order.buyer.lower().startswith(said)]
        if not mine or (end == 1 and crops_called(said, line.farm.own_crops)):
            continue
        buyers = list(dict.fromkeys(order.buyer for order in mine))
        if len(buyers) > 1 and take:
            raise Refused(f"'{said}' may be {either(buyers[:6])}: write more of it.", "ambiguous", buyers[:6])
        for token in words[:end] if take else ():
            token.taken = True
        return _due_first(mine)
    return None


def _due_first(orders: list[Order]) -> Order:
    return min(orders, key=lambda order: (dict(order.deliveries())[order.next_delivery], order.made_by))
