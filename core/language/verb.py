"""What a verb of a line is: the words it needs, the reader of its lines, what may follow, and its examples."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple, TypeAlias

from core.farm import Farm
from core.language.line import Line, Reading
from core.language.names import has_bed, names_crop
from core.language.tokens import Token
from core.language.words import CAUSE_OF

Offer: TypeAlias = Callable[[Line, Farm], Iterable[str]]
"""Words that may stand in a half-typed line on this farm, the likeliest first."""

Claims: TypeAlias = Callable[[Line, Token], int]
"""How surely a line is this verb's, given the word that may say so (its first word, where the line has no verb)."""

NOT, LEAST, LIKELY, SURE, BEFORE_OTHERS, FIRST, ALWAYS = 0, 1, 2, 10, 20, 30, 40
NEVER = -100
"""Claims on a line, the highest wins. A word that means nothing else is `SURE`, and `FIRST` where the line begins
with it; the same claim twice goes to the word that stands earlier."""


def take_word(line: Line, token: Token, small: tuple[str, ...] = ()) -> None:
    """Take the word that says what is done, and a small word that belongs to it ("set out")."""
    after = line.after(token)
    if after and after.is_word and after.low in small:
        after.taken = True
    token.taken = True


def leave_word(line: Line, token: Token, small: tuple[str, ...] = ()) -> None:
    """Leave the word to the reader: it says more than what is done ("low 34", "line 2 is 40ft")."""


def first_or_sure(line: Line, token: Token) -> int:
    """The claim of a word that means nothing else."""
    return FIRST if token is line.words[0] else SURE


def lost_claim(line: Line, token: Token) -> int:
    """The claim of a loss: "dropped" and other sure words are also its cause, unless the line begins with them.

    A cause says that something was lost only where the line begins with it: "mold 6 L041".
    """
    if token is line.words[0]:
        return FIRST
    return NEVER if token.low in CAUSE_OF else BEFORE_OTHERS


def take_loss(line: Line, token: Token, small: tuple[str, ...] = ()) -> None:
    """Take the word that says that something was lost, unless it is the cause as well."""
    if token.low not in CAUSE_OF:
        take_word(line, token, small)


class Verb(NamedTuple):
    """One way of saying something to the book. Two subjects may have a verb of one name ("lost"): see `claims`."""

    name: str
    read: Callable[[Line], Reading]
    """The line, its verb taken, read into drafts; raises `Refused`."""
    job: str = ""
    """The heading in the guide under which its examples stand."""
    examples: tuple[tuple[str, str], ...] = ()
    """(line as it is typed, what it does)."""
    offers: tuple[Offer, ...] = ()
    """What may stand in its lines, the likeliest first; none for her own words."""
    follow: tuple[str, ...] | Offer = ("yesterday",)
    """Words that may still be added to a line that is whole."""
    small: tuple[str, ...] = ()
    """Small words that belong to the verb before them."""
    own_day: bool = False
    """Whether its reader sees to the day: a date is a value here, or some words are kept as they are."""
    own_words: bool = False
    """Whether all that stands in its lines is kept as it is ("note"): no money is looked for, and no "by jo"."""
    claims: Claims | None = None
    """None: a word of its own is `SURE`, or `FIRST`; a loose word of it counts where no bed and no crop is named."""
    take: Callable[[Line, Token, tuple[str, ...]], None] = take_word

    def claim(self, line: Line, token: Token, *, is_loose: bool) -> int:
        """How surely the line is this verb's, whose word `token` is."""
        if self.claims is not None:
            return self.claims(line, token)
        if is_loose:
            return NOT if has_bed(line) or names_crop(line) else LIKELY
        return first_or_sure(line, token)
