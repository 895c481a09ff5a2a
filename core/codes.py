"""Short codes that can be written on a tag: S12 a tray, P07 a planting, L041 a lot, M003 pieces made, N01 a plan,
O014 an order, K012 a packet of seed."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import islice

from core.farm import Farm
from core.patterns import pattern
from core.plan_rows import Kept
from core.register import Item, Register, T, as_called, as_given, given_again

TRAY, PLANTING, LOT, PIECE, PLAN, ORDER, PACKET = "S", "P", "L", "M", "N", "O", "K"
MOST_ALIKE = 20
"""Times that one code may be given besides the first."""

GIVEN_TWICE = "given twice"
"""The sort of matter that machines apart gave one code to two things."""

_DIGITS = {TRAY: 2, PLANTING: 2, LOT: 3, PIECE: 3, ORDER: 3, PACKET: 3}
_TAIL = "abcdefghijklmnopqrstuvwxyz"
_CODE = pattern(r"([SPLMOK])(\d{1,6})([a-z]{0,3})(-[2-9]|-1[0-9]|-2[01]|'*)", re.IGNORECASE)


def next_code(farm: Farm, letter: str, mark: str = "", *, after: int = 0) -> str:
    """The next unused code, or that which comes `after` so many more; `mark` is this machine's letter, so that machines
    apart never give the same."""
    return f"{letter}{farm.codes.get(letter, 0) + 1 + after:0{_DIGITS[letter]}d}{mark}"


def canonical(word: str) -> str | None:
    """ "l41" -> "L041", "s3b" -> "S03b", "l3-2" and "l3'" -> "L003-2"; None where the word is no code."""
    found = _CODE.fullmatch(word)
    if not found:
        return None
    letter = found[1].upper()
    return as_called(f"{letter}{int(found[2]):0{_DIGITS[letter]}d}{found[3].lower()}{found[4]}")


def is_new(farm: Farm, code: str, register: Register[T]) -> bool:
    """Whether nothing has that code yet."""
    letter, number = parts(code)
    # above every number given: no need to read what is finished
    return number > farm.codes.get(letter, 0) or register.get(code) is None


def free_code(farm: Farm, code: str, register: Register[T], entry: str) -> str:
    """`code`, or what it is called where another machine has given it already; the clash is a matter.

    Raises ValueError where more have that code than there can be machines.
    """
    letter, number = parts(code)
    if number > farm.codes.get(letter, 0):
        farm.codes[letter] = number
        return code
    return free_name(farm, code, lambda name: register.get(name) is not None, entry)


def free_name(farm: Farm, given: str, is_taken: Callable[[str], bool], entry: str) -> str:
    """`given`, or the first that is free of what it is called where it was given before, which is a matter.

    Raises ValueError where more have that code than there can be machines.
    """
    code = next((name for name in islice(given_again(given), MOST_ALIKE + 1) if not is_taken(name)), None)
    if code is None:
        raise ValueError(f"{given} was given too often")
    if code != given:
        farm.given_twice = True
        farm.note_matter(
            f"The code {given} was given twice, by machines apart; the later is now {code}. Write that on its tag, "
            f"then: settled {code}",
            entry,
            GIVEN_TWICE,
            given,
        )
    return code


def use_up(farm: Farm, code: str) -> None:
    """Take the number of a code that was given and struck as used: later codes go on above it."""
    letter, number = parts(code)
    if letter in _DIGITS or letter in farm.codes:
        farm.codes[letter] = max(number, farm.codes.get(letter, 0))


def parts(code: str) -> tuple[str, int]:
    """("L", 41) of "L041b" and of "L041-2"; number 0 where the code is none of ours."""
    letter, digits = code[:1], as_given(code[1:]).rstrip(_TAIL)
    return letter, int(digits) if len(digits) <= 6 and digits.isascii() and digits.isdigit() else 0


def named(farm: Farm, code: str) -> Item | None:
    """The tray, planting, lot, pieces, plan, order or packet that has that code, finished or not."""
    every: dict[str, Callable[[str], Item | None]] = {
        TRAY: farm.trays.get,
        PLANTING: farm.plantings.get,
        LOT: farm.lots.get,
        PIECE: farm.pieces.get,
        ORDER: farm.orders.get,
        PACKET: farm.packets.get,
        PLAN: lambda code: farm.plans.get(code) or farm.piece_plans.get(code),
    }
    return every[code[0]](code) if code[:1] in every else None


def code_in(word: str) -> str:
    """The code that a word is, in whatever way it is written, be it a plan's; "" where it is none."""
    return canonical(word) or plan_code(word)


def plan_called(farm: Farm, word: str) -> Kept | None:
    """The plan of that code, in whatever way it is written: "n1" is N01."""
    return farm.plans.get(plan_code(word))


def plan_code(word: str) -> str:
    """ "n1" -> "N01"; "" where the word is no code of a plan."""
    code = word.upper()
    digits = as_given(code[1:].rstrip("'")).rstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    if not code.startswith(PLAN) or not digits.isdecimal() or len(digits) > 6:
        return ""
    tail = code[1 + len(digits) :].lower()
    return as_called(f"{PLAN}{int(digits):02d}{tail}")
