"""The lines by job, each with what it does: for the help of the screen and of the command line, asked in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from core.language.line import either
from core.language.verb import Verb
from core.language.words import FILLERS, SAID_OTHERWISE
from core.marked import with_figures
from core.problems import Problem
from core.subject import Subject, subjects, verbs_of
from core.text import clean, nearest


class Example(NamedTuple):
    """One line as it is typed, and what it does."""

    line: str
    does: str


class Job(NamedTuple):
    """A job of the day and its lines."""

    name: str
    examples: tuple[Example, ...]


class Begun(NamedTuple):
    """A job in the contents of the help: the words that its lines begin with."""

    name: str
    words: tuple[str, ...]


IN_EVERY_LINE = (
    Example("40 ... 2 bu ... 2b", "a bare number is stems; b, bu or bunches after it are bunches"),
    Example("... yesterday", "the day it was: mon, 20 june, 6/20 (the month first), 2026-06-20"),
    Example("... by jo", "whose line it is, where it is not yours"),
    Example("... anyway", "it is so, though it was asked about"),
    Example("straw", "a crop by any beginning that is plain; where a bed is named, what stands there"),
    Example("'Apricot Blush'", "a new variety, or a name like one that is there, in quotes"),
)
"""What may stand in any line; the words come in any order."""
EVERY_LINE = "In every line"

IN_UNITS = (
    Example("farm degrees C", "degrees are told, and read without a letter, in C; or the other way"),
    Example("farm lengths meters", "beds, widths, rain and wind are metric; or the other way"),
    Example("farm hours 12", "the clock with am and pm; or 24"),
    Example("low -2C", "any line takes degrees with their letter, whatever the farm has"),
    Example("bed b9 15 m by 90 cm", "any line takes m, cm and mm, and ft and in too"),
    Example("rain 12 mm", "so with rain and water"),
    Example("wind 5 m/s", "or km/h, or miles"),
    Example("40 zinnia b4 fresh at 6:40pm", "any line takes the time by either clock"),
)
"""How the farm's units are set, and that any line takes the others."""
UNITS = "Units: degrees, lengths, the clock"
_UNIT_WORDS = frozenset(
    ("units", "metric", "imperial", "degrees", "celsius", "centigrade", "fahrenheit", "lengths")
)

_SMALL_TALK = "how do does i my me we can what when where is are it to of an be should write tell about"
_ASKING = FILLERS | frozenset(_SMALL_TALK.split())
"""Words of a question that say nothing of what is asked."""


def guide() -> tuple[Job, ...]:
    """Every job with its lines, as the verbs of all subjects tell them.

    Words may stand in any order; a crop is named by any beginning that is not another's; "anyway" insists.
    """
    jobs: dict[str, list[Example]] = {}
    for _, verb in _verbs():
        for example in verb.examples:
            jobs.setdefault(verb.job, []).append(Example(*map(with_figures, example)))
    return tuple(Job(name, tuple(examples)) for name, examples in jobs.items())


def contents() -> tuple[Begun, ...]:
    """The page of contents: every job, and what its lines begin with."""
    begun: dict[str, dict[str, None]] = {}
    for _, verb in _verbs():
        if verb.examples:
            words = begun.setdefault(verb.job, {})
            for line, _ in verb.examples:
                first = line.split()[0]
                words.setdefault(first if first.isalpha() and len(first) > 1 else verb.name)
    return tuple(Begun(job, tuple(names)) for job, names in begun.items())


def answers(question: str) -> tuple[Job, ...] | Problem:
    """The lines that answer a question in words ("frost", "how do I pot up"): those in which most of its words are.

    A word may be the beginning of one that is told, or another form in which the verb is written. Where none is
    found the Problem names the nearest.
    """
    asked = [word for word in _words(question) if word not in _ASKING] or _words(question)
    if not asked:
        return Problem("What is asked? Write a word, such as: help frost.")
    told = [
        (verb.job, Example(*map(with_figures, one)), _of(subject, verb, one))
        for subject, verb in _verbs()
        for one in verb.examples
    ]
    told += [(EVERY_LINE, one, (set(), set(_words(" ".join(one))))) for one in IN_EVERY_LINE]
    told += [(UNITS, one, (set(_UNIT_WORDS), set(_words(" ".join(one))))) for one in IN_UNITS]
    scores = [sum(_score(word, named, mentioned) for word in asked) for _, _, (named, mentioned) in told]
    most = max(scores)
    if not most and asked[0] in SAID_OTHERWISE:
        return Problem(with_figures(SAID_OTHERWISE[asked[0]]), "unknown")
    if not most:
        known = {word for _, _, (named, mentioned) in told for word in named | mentioned}
        near = nearest(asked[0], known)
        hint = f"Did you mean {either(near)}?" if near else "The contents tell what there is: help."
        return Problem(f"The help says nothing of '{clean(asked[0])[:24]}'. {hint}", "unknown", near)
    jobs: dict[str, list[Example]] = {}
    for (job, example, _), score in zip(told, scores, strict=True):
        if score == most:
            jobs.setdefault(job, []).append(example)
    return tuple(Job(job, tuple(examples)) for job, examples in jobs.items())


SAID, TOLD = 3, 1
"""What a word of the question counts for where it says the verb or the job, and where it is only mentioned."""


def _score(word: str, named: set[str], mentioned: set[str]) -> int:
    stem = word.removesuffix("s") if len(word) > 3 else word
    if any(known == word or known.startswith(stem) for known in named if len(stem) > 2 or known == word):
        return SAID
    return TOLD if len(stem) > 2 and any(known.startswith(stem) for known in mentioned) else 0


def _of(subject: Subject, verb: Verb, example: tuple[str, str]) -> tuple[set[str], set[str]]:
    """(the words that name the verb and its job, the words of the example)."""
    forms = (*subject.verbs.get(verb.name, ()), *subject.loose.get(verb.name, ()))
    return set(_words(" ".join((verb.name, verb.job, *forms, *verb.small)))), set(_words(" ".join(example)))


def _verbs() -> Iterator[tuple[Subject, Verb]]:
    for subject in subjects():
        for verb in verbs_of(subject):
            yield subject, verb


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z][a-z-]*", text.lower())
