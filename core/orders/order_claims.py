"""How surely a line is about an order, by where its code stands and which word is beside it."""

from __future__ import annotations

from core.codes import ORDER
from core.language.days import is_of_a_day
from core.language.line import Line
from core.language.names import is_code
from core.language.tokens import Token
from core.language.verb import ALWAYS, FIRST, NOT
from core.orders.buyer_words import order_of_buyer

IS_VALUE = ("by", "at", "for", "due")
"""After "O014 is", beside a number, what says how it is to be."""
ADDED = ("add", "added", "also")
SKIPS = ("skip", "skips", "skipped")
NO_SHOW = ("no-show", "noshow", "uncollected")
NEVER = ("never", "not")
"""Before "collected": that the buyer did not."""


def has_order(line: Line) -> bool:
    return any(t.is_word and is_code(t.low, ORDER) for t in line.words)


def claims_first(line: Line, token: Token) -> int:
    return FIRST if token is line.words[0] else NOT


def is_second(line: Line, token: Token) -> bool:
    """Whether the line begins with an order and goes on with this word: "O014 short 20"."""
    return is_code(line.words[0].low, ORDER) and line.words.index(token) == 1


def claims_add(line: Line, token: Token) -> int:
    """ "add 3 bu statice to O014", "O014 also 3 bu statice"."""
    is_said = token.low in ADDED and (claims_order_named(line, token) or is_second(line, token))
    return ALWAYS + 1 if is_said else NOT


def claims_change(line: Line, token: Token) -> int:
    """ "O014 was ...", "correct O014 ..."."""
    first = line.words[0]
    if token.low == "correct":
        after = line.after(token)
        is_mine = token is first and after is not None and is_code(after.low, ORDER)
        return ALWAYS + 1 if is_mine else NOT
    return ALWAYS + 1 if is_second(line, token) else NOT


def claims_is(line: Line, token: Token) -> int:
    """ "O014 is 20 bu", "O014 is by 10-20": as it "was"."""
    after = line.after(token)
    is_value = after is not None and (after.number is not None or after.low in IS_VALUE)
    return ALWAYS + 1 if token.low == "is" and is_value and is_second(line, token) else NOT


def claims_order(line: Line, token: Token) -> int:
    """ "order Fern Hollow ..."; the other words with which an order may be spoken of begin no new one."""
    return claims_first(line, token) if token.low == "order" else NOT


def claims_order_named(line: Line, token: Token) -> int:
    return ALWAYS if token is line.words[0] and has_order(line) else NOT


def claims_order_or_buyer(line: Line, token: Token) -> int:
    """ "pick O014", "pick Fern": also where it goes on with the name of a buyer for whom something is still to do."""
    if token is not line.words[0] or has_order(line):
        return ALWAYS if is_second(line, token) else claims_order_named(line, token)
    rest = Line(line.text, line.farm, line.today, line.known, line.words[1:], line.on)
    return ALWAYS if order_of_buyer(rest, take=False) is not None else NOT


def claims_short(line: Line, token: Token) -> int:
    return claims_order_or_buyer(line, token) if token.low == "short" else NOT


def claims_skip(line: Line, token: Token) -> int:
    """ "skip O014 7-15", "O014 skips 7-15", "Fern skips 7-15"; "O014 not 7-15" where a day follows."""
    if token.low == "not":
        after = line.after(token)
        is_day = after is not None and (after.text[:1].isdigit() or is_of_a_day(line, after))
        return ALWAYS + 1 if is_day and is_second(line, token) else NOT
    if token.low not in SKIPS:
        return NOT
    before = line.words[: line.words.index(token)]
    if has_order(line) or not before:
        return ALWAYS + 1 if claims_order_or_buyer(line, token) else NOT
    named = Line(line.text, line.farm, line.today, line.known, before, line.on)
    return ALWAYS + 1 if order_of_buyer(named, take=False) is not None else NOT


def claims_not_collected(line: Line, token: Token) -> int:
    """ "never collected O014", "O014 no-show"."""
    before = line.after(token, -1)
    is_never = token.low == "collected" and before is not None and before.low in NEVER
    return ALWAYS + 2 if (token.low in NO_SHOW or is_never) and has_order(line) else NOT
