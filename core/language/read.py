"""One typed line read into drafts for the book, or into one sentence that says why not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.codes import canonical
from core.crops.library import crops_with
from core.crops.own_crop import own_names
from core.farm import Farm
from core.kinds import problem_with
from core.language.again import asked_again
from core.language.crops import what_about
from core.language.days import take_day
from core.language.line import NO_BOOK, Known, Line, Reading, Refused, either, short
from core.language.own_words import refuse_money, take_by
from core.language.tokens import Token
from core.language.verb import NOT, Verb
from core.language.words import ALONE, CAUSE_OF, FILLERS, SAID_OTHERWISE, is_keyword
from core.marked import with_figures
from core.problems import Problem
from core.subject import loose_words, subjects, sure_words, verbs_called
from core.text import LONGEST, clean, nearest

__all__ = ["Reading", "read_line"]


def read_line(text: str, farm: Farm, day: date, known: Known = NO_BOOK) -> Reading | Problem:
    """What `text` says on this farm today, as drafts of the right shape; or the reason why it cannot be read.

    `day` is today on the farm.
    """
    return understand(text, farm, day, known)[1]


def understand(
    text: str, farm: Farm, day: date, known: Known = NO_BOOK
) -> tuple[Line | None, Reading | Problem]:
    """The line as far as it was understood (its crop, its use), and its reading or problem."""
    if len(text) > LONGEST:
        return None, Problem(f"A line has at most {LONGEST} characters: write it as two.")
    line = Line.of(clean(text), farm, day, known)
    try:
        reading = _read(line)
    except Refused as refused:
        return line, refused.problem
    for draft in reading.drafts:
        if problem := problem_with(draft.kind, draft.fields):
            return line, problem
    return line, reading


def _read(line: Line) -> Reading:
    if not line.words:
        raise Refused("Nothing is written yet: begin with a cut, such as 40 strawflower b3 dry.")
    line.claim, said, token = _verb(line)
    line.said, line.verb = said, said.name
    if token is not None:
        said.take(line, token, said.small)
    if not said.own_words:
        refuse_money(line)
        take_by(line)
    if not said.own_day:
        take_day(line)
    reading = said.read(line)
    return replace(reading, drafts=(*reading.drafts, *asked_again(line, reading.drafts)))


def _verb(line: Line) -> tuple[int, Verb, Token | None]:
    """How surely which verb is meant, and the word that says so, None where no word does.

    A word that means nothing else decides; without one, the first of the words that may mean several things whose
    verb claims the line; without one, the verb that claims a line without any.
    """
    words = [t for t in line.free() if t.is_word]
    sure = sure_words()
    if found := _claimed(line, [(t, sure[t.low]) for t in words if t.low in sure], is_loose=False):
        return found
    loose = loose_words()
    for token in words:
        if found := _claimed(line, [(token, name) for name in loose.get(token.low, ())], is_loose=True):
            return found
    if found := _claimed(line, [(line.words[0], name) for name in loose.get("", ())], is_loose=True):
        return (*found[:2], None)
    raise _no_verb(line)


def _claimed(
    line: Line, may_be: list[tuple[Token, str]], *, is_loose: bool
) -> tuple[int, Verb, Token] | None:
    """Of the verbs that these words may say the one with the highest claim, None where none claims the line."""
    best: tuple[int, Verb, Token] | None = None
    for token, name in may_be:
        for verb in verbs_called(name):
            claim = verb.claim(line, token, is_loose=is_loose)
            if claim > (best[0] if best else NOT):
                best = claim, verb, token
    return best


def _no_verb(line: Line) -> Refused:
    """The refusal of a line that says neither what was done nor what was cut, with what it could have meant."""
    first = next((t for t in line.free() if t.low not in FILLERS), line.words[0])
    shown = short(first.text)
    if first.is_word and (code := canonical(first.low)):
        return what_about(code)
    if first.low in SAID_OTHERWISE and not first.quoted:
        return Refused(with_figures(SAID_OTHERWISE[first.low]), "unknown")
    if (asks := _asks_book(first)) is not None:
        return asks
    if first.low in CAUSE_OF and not first.quoted:
        return Refused(
            f"'{shown}' says why: write what was lost before it, such as: lost 6 {first.low} L041, or of plants: "
            f"lost 6 {first.low} b3 zinnia; of blooms on plants that live: lost 40 % blooms b1-b3 {first.low}."
        )
    if first.is_word and not is_keyword(first.low):
        verbs = [*sure_words(), *(word for word in loose_words() if word)]
        near = tuple(
            dict.fromkeys(
                (*nearest(first.low, verbs, most=2), *crops_with(first.low, own_names(line.farm))[:2])
            )
        )
        hint = (
            f"Did you mean {either(near)}?"
            if near
            else "A line begins with what was done, or with a number cut."
        )
        return Refused(f"'{shown}' is not understood. {hint}", "unknown", near)
    if first.low in ALONE:
        return Refused(ALONE[first.low])
    return Refused(
        f"What was done? '{shown}' alone does not say: a line begins with it, such as cut, hang or sold."
    )


def _asks_book(first: Token) -> Refused | None:
    """Where the line begins with what asks the book ("promise", "takings"): how it is asked; else None."""
    for subject in subjects():
        if first.low in subject.commands and not first.quoted:
            view = subject.view.lower()
            has_view = view and (view.startswith(first.low) or first.low.startswith(view))
            key = f", or {subject.view_key} on the screen" if has_view and subject.view_key else ""
            return Refused(f"'{first.low}' asks the book: shedbook {first.low} in the shell{key}.", "unknown")
    return None
