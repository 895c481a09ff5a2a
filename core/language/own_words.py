"""Words that a line keeps as they are: who bought, what it was for, whose line it is. Nothing else is kept in them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from core.codes import canonical
from core.language.days import is_of_a_day
from core.language.line import Line, Refused, either, short
from core.language.tokens import Token
from core.language.words import ONLY_AFTER_A_NUMBER, WEEKDAYS, is_keyword
from core.patterns import pattern
from core.text import nearest, nearly

_MONEY = pattern(r"[$£€][0-9.,]*[0-9]|[0-9][0-9.,]*(?:[$£€¢]|usd|eur|gbp|cad|dollars?|bucks)")
_CURRENCY = (
    "dollar",
    "dollars",
    "bucks",
    "usd",
    "cad",
    "euro",
    "euros",
    "eur",
    "gbp",
    "pounds",
    "cents",
    "$",
    "£",
    "€",
)
_INITIALS = pattern(r"[a-z]{1,12}")
_ARTICLES = ("the", "a", "an")
_DAY_WORDS = ("yesterday", "tomorrow", "today", *(day for day in WEEKDAYS if day.endswith("day")))


def refuse_money(line: Line) -> None:
    """Refuse an amount of money: the book keeps none, and it must not end as part of a name or a count."""
    for token in line.free():
        if token.quoted:
            continue
        after = line.after(token)
        in_words = token.number is not None and after is not None and after.low in _CURRENCY
        if in_words or token.low in ("$", "£", "€") or _MONEY.fullmatch(token.low):
            said = f"{token.text} {after.text}" if in_words and after else token.text
            raise Refused(
                f"No money is kept in this line: leave {short(said)} out, or keep it in a note.", "impossible"
            )


def take_by(line: Line) -> None:
    """ "by jo": whose line it is, by a name or initials of letters alone."""
    for token in line.free():
        name = line.after(token)
        if token.low != "by" or not token.is_word or name is None or not name.is_word:
            continue
        if not _INITIALS.fullmatch(name.low) or (
            is_keyword(name.low) and name.low not in ONLY_AFTER_A_NUMBER
        ):
            raise Refused(
                f"'{short(name.text)}' is nobody: write whose line it is in letters, such as: by jo."
            )
        if line.by:
            raise Refused(f"By {line.by} and by {name.low}: write one line for each.", "ambiguous")
        line.by, token.taken, name.taken = name.low, True, True


def take_own_words(line: Line, forms: Collection[str], known: Iterable[str] = ()) -> str | None:
    """The name after the first of `forms`, her own words; None where none of them is there.

    What ends the line and says a day is left for the reader of days. Numbers, codes and the like are no part of a
    name unless it is in quotes. One of `known` is meant by any plain beginning; a name that hardly differs from one is
    asked about: it may be a slip.
    """
    start = next((t for t in line.free() if t.is_word and t.low in forms), None)
    if start is None:
        return None
    start.taken = True
    words = [t for t in line.free() if t.start > start.start]
    while words and is_of_a_day(line, words[-1]):
        words.pop()
    if len(words) > 1 and words[0].low in _ARTICLES and words[0].is_word:
        words.pop(0).taken = True
    if not words:
        raise Refused(f"{start.text.capitalize()} whom or what? Write it after '{start.text}'.")
    quoted = [t for t in words if t.quoted]
    if quoted:
        if words[0] is not quoted[0]:
            raise Refused(f"Where does the name begin? Put all of it in quotes: '{short(quoted[0].text)}'.")
        quoted[0].taken = True
        return quoted[0].text
    for token in words:
        _refuse_no_name(token, start.low)
    for token in words:
        token.taken = True
    name = line.text[words[0].start : words[-1].end]
    if (meant := as_known(name, known, start.low)) is None:
        return name
    if meant.lower() != name.lower():
        line.remark(f"{start.low} {meant}")
    return meant


def _refuse_no_name(token: Token, after: str) -> None:
    shown = short(token.text)
    if token.number is not None or any(c.isdigit() for c in token.low) or canonical(token.low):
        raise Refused(
            f"What is {shown} after '{after}'? Where it belongs to the name, put the name in quotes."
        )
    if token.low not in _DAY_WORDS and (day := nearly(token.low, _DAY_WORDS)):
        raise Refused(
            f"'{shown}' is no day. Did you mean {either(day)}? Where it belongs to the name, put the name in quotes.",
            "unknown",
            day,
        )
    if token.low in ("tomorrow", "anyway", "please", "cash", "paid", "invoice"):
        raise Refused(
            f"'{shown}' is no part of a name after '{after}': leave it out, or put the name in quotes."
        )


LIKE_KNOWN = 0.75
"""Likeness from which a new name is asked about."""
LEAST_BEGINNING = 2
"""Letters of a name that are a beginning of it."""


def as_known(said: str, known: Iterable[str], in_quotes: str) -> str | None:
    """The known name that is meant: all of it, or any beginning that is plain; None where the name is new.

    Refused where several begin so, and where it differs from a known one by a slip: `in_quotes` is how the line of a
    new name so like it begins, such as "to".
    """
    by_low = {other.lower(): other for other in known}
    low, shown = said.lower(), short(said)
    bare = {other: _without_article(other) for other in by_low}
    begun = [other for other in by_low if bare[other].startswith(low)] if len(low) >= LEAST_BEGINNING else []
    words = [other for other in begun if bare[other].startswith(f"{low} ")]
    meant = [low] if low in by_low else words or begun
    if len(meant) == 1:
        return by_low[meant[0]]
    if meant:
        names = [by_low[other] for other in meant[:6]]
        raise Refused(f"'{shown}' may be {either(names)}: write more of it.", "ambiguous", names)
    if near := [*dict.fromkeys(_like(said, by_low))][:3]:
        raise Refused(
            f"'{shown}' is no buyer yet. Did you mean {either(near)}? A new name so like it is written in quotes: "
            f"{in_quotes} '{shown}'.",
            "unknown",
            near,
        )
    return None


def _without_article(name: str) -> str:
    """ "tea room" of "the tea room"."""
    first, _, rest = name.partition(" ")
    return rest if rest and first in _ARTICLES else name


def _like(said: str, by_low: Mapping[str, str]) -> Iterator[str]:
    """The known names that a name looks like, of which it looks like as many of the first words, or in which all of its
    words stand ("market" in "Saturday market")."""
    low = said.lower()
    yield from (by_low[name] for name in nearest(low, by_low, cutoff=LIKE_KNOWN))
    begun = {" ".join(name.split()[: len(low.split())]): name for name in by_low}
    yield from (by_low[begun[start]] for start in nearest(low, begun, cutoff=LIKE_KNOWN))
    if said.islower():  # of a name in capitals, such as Lane, the market in Lane is no likeness
        yield from (by_low[name] for name in by_low if set(low.split()) < set(name.split()))
