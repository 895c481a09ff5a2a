"""What was paid for what a line sells: "at 2", "at 9 a bunch", "for 40", "$40"."""

from __future__ import annotations

from typing import NamedTuple

from core.language.line import Line, Refused
from core.language.money import has_sign, is_in_currency, take_cents
from core.language.tokens import Token
from core.language.words import UNIT_WORDS
from core.units import money


class Paid(NamedTuple):
    """An amount in cents, and of what: "all", "one" of what the number of the line counts, "stems" or "bunches"."""

    cents: int
    of: str


def take_paid(line: Line) -> Paid | None:
    """The price said in a line that sells; None where none is. Refused where there are two."""
    found: list[Paid] = []
    for token in line.free():
        if token.taken or token.quoted:
            continue
        after = line.after(token)
        if token.low in ("at", "@", "for") and after is not None:
            is_bunch = after.unit == "bunches"
            if after.unit in ("bunches", "stems") and token.low != "for":
                unit, after.unit = after.unit, ""
            else:
                unit = ""
            cents = None if is_bunch and not unit else take_cents(line, after)
            if cents is None:
                continue
            token.taken = True
            of = unit or _unit_after(line, after)
            found.append(Paid(cents, of or ("all" if token.low == "for" else "one")))
        elif has_sign(token) or is_in_currency(line, token):
            cents = take_cents(line, token)
            if cents is not None:
                found.append(Paid(cents, _unit_after(line, token) or "all"))
    if len(found) > 1:
        raise Refused(
            f"{money(found[0].cents)} and {money(found[1].cents)}: which is the price? Write one.",
            "ambiguous",
        )
    return found[0] if found else None


def _unit_after(line: Line, token: Token) -> str:
    """ "each", "a bunch", "per stem" after an amount, taken."""
    at = line.words.index(token) + 1
    run: list[Token] = []
    while at < len(line.words) and line.words[at].is_word and not line.words[at].taken:
        word = line.words[at]
        if word.low in ("a", "per", "the"):
            run.append(word)
            at += 1
            continue
        unit = "one" if word.low in ("each", "ea", "apiece") else UNIT_WORDS.get(word.low, "")
        if unit in ("one", "stems", "bunches"):
            for used in (*run, word):
                used.taken = True
            return unit
        break
    return ""
