"""Amounts of money in a line, as whole cents: "12", "12.50", "6,50", "$12", "€ 4", "1,200", "12 dollars", "90
cents"."""

from __future__ import annotations

from core.kinds import COUNT_MOST
from core.language.line import Line, Refused, short
from core.language.tokens import SIGNS, Token
from core.patterns import pattern

_AMOUNT = pattern(r"[$£€]?([0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:[.,]([0-9]{1,2}))?")
_OTHER_AMOUNT = pattern(r"[$£€]?[0-9][0-9.,]*")
IN_WHOLE = ("dollar", "dollars", "bucks", "pounds", "euros", *SIGNS)
IN_CENTS = ("cents", "cent", "c")
CURRENCIES = (*IN_WHOLE, "cents")
"""Words after a number that make money of it, wherever they stand."""


def cents_in(token: Token) -> int | None:
    """The cents of "12", "12.50", "$12"; None where the word is no amount. Refused where it is one that cannot be."""
    text = token.text
    if token.quoted or not (text[:1].isdigit() or text[:1] in SIGNS):
        return None
    found = _AMOUNT.fullmatch(text)
    if found is None:
        if _OTHER_AMOUNT.fullmatch(text):
            raise Refused(f"{short(text)} is no amount of money: write it as 12 or 12.50.")
        return None
    cents = int(found[1].replace(",", "")) * 100 + int((found[2] or "0").ljust(2, "0"))
    if cents > COUNT_MOST:
        raise Refused(
            f"{short(text)} is too much money: an amount ends at {COUNT_MOST // 100:,}.", "impossible"
        )
    return cents


def is_in_currency(line: Line, token: Token) -> bool:
    """Whether the word of a currency follows the number: "12 dollars"."""
    after = line.after(token)
    return token.number is not None and after is not None and after.low in CURRENCIES


def take_cents(line: Line, token: Token | None) -> int | None:
    """The amount that `token` is, it and the word of a currency after it taken; None where it is no amount."""
    if token is None or token.taken or (token.unit and token.unit != "bunches"):
        return None
    cents = cents_in(token)
    if cents is None:
        return None
    after = line.after(token)
    token.taken = True
    if after is not None and after.low in IN_WHOLE:
        after.taken = True
    elif after is not None and after.low in IN_CENTS:
        after.taken = True
        if cents % 100:
            raise Refused(f"{short(token.text)} {after.text}: write the amount as 0.90.")
        return cents // 100
    return cents


def has_sign(token: Token) -> bool:
    """Whether the word is an amount with the sign of a currency: "$12"."""
    return not token.quoted and token.text[:1] in SIGNS and cents_in(token) is not None


def take_amount(line: Line, what: str) -> int:
    """The one amount left in the line, in cents; refused where there is none, or another."""
    found = [cents for token in line.free() if (cents := take_cents(line, token)) is not None]
    if len(found) > 1:
        raise Refused(
            f"{' and '.join(f'{cents / 100:.2f}' for cents in found[:2])}: which was {what}?", "ambiguous"
        )
    if not found:
        raise Refused(f"How much was {what}? Write the amount, such as 180 or 12.50.")
    return found[0]
