"""The lines by job, each with what it does: for the help of the screen and for the README."""

from __future__ import annotations

from typing import NamedTuple

from core.subject import verbs


class Example(NamedTuple):
    """One line as it is typed, and what it does."""

    line: str
    does: str


class Job(NamedTuple):
    """A job of the day and its lines."""

    name: str
    examples: tuple[Example, ...]


def guide() -> tuple[Job, ...]:
    """Every job with its lines, as the verbs of all subjects tell them.

    Words may stand in any order; a crop is named by any beginning that is not another's; "anyway" insists.
    """
    jobs: dict[str, list[Example]] = {}
    for verb in verbs():
        for example in verb.examples:
            jobs.setdefault(verb.job, []).append(Example(*example))
    return tuple(Job(name, tuple(examples)) for name, examples in jobs.items())
