"""`shedbook help`: the contents of the help, or what answers a question in words."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator

from core.dialect import in_words
from core.language.guide import EVERY_LINE, IN_EVERY_LINE, Job, answers, contents
from core.problems import Problem
from core.text import wrap
from tui import out
from tui.cli_session import speak_as_named
from tui.command import Command
from tui.registry import commands

_WIDE = 34
"""Columns for a line; what it does stands beside."""


def tell(args: Namespace) -> int:
    """The contents, or the lines and the commands that answer the words asked."""
    speak_as_named(args)
    question = " ".join(args.words)
    if not question:
        out.lines(_contents())
        return out.DONE
    found = answers(question)
    verbs = [(f"shedbook {name}", says) for name, says in _commands_with(args.words)]
    if isinstance(found, Problem):
        if not verbs:
            return out.refuse(found)
        found = ()
    out.lines(text for job in found for text in _told(job))
    if verbs:
        out.lines(("In the shell", *(text for pair in verbs for text in _beside(*pair))))
    return out.DONE


def _contents() -> Iterator[str]:
    yield from wrap(
        "Lines are written on the screen, by 'shedbook write LINE' or from a file. They begin with:", hang=0
    )
    yield ""
    for name, words in contents():
        yield from _beside(f"  {name}", ", ".join(words), wide=22)
    yield ""
    yield from _told(Job(EVERY_LINE, IN_EVERY_LINE))
    yield ""
    yield from wrap(
        "'shedbook help frost', 'shedbook help pot up' and the like tell the lines for it; on the screen 'help frost' "
        "in the entry line, or ?. 'shedbook --help' lists the commands of the shell.",
        hang=0,
    )


def _told(job: Job) -> Iterator[str]:
    yield job.name
    for line, does in job.examples:
        yield from _beside(f"  {line}", does)


def _beside(left: str, right: str, wide: int = _WIDE) -> list[str]:
    left = in_words(left)  # before it is given its room
    first, *more = wrap(right, 78 - wide, hang=0)
    if len(left) >= wide:
        return [left, *(" " * wide + text for text in (first, *more))]
    return [f"{left:{wide}}{first}", *(" " * wide + text for text in more)]


def _commands_with(words: list[str]) -> list[tuple[str, str]]:
    """The commands whose name or line of help has one of the words."""
    asked = [word.lower() for word in words if len(word) > 3]
    return [
        (name, listed.says)
        for name, listed in commands().items()
        if name != "help" and any(word in name or word in listed.says.lower() for word in asked)
    ]


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("words", metavar="WORD", nargs="*", help="what is asked, such as: frost")


COMMANDS = {"help": Command(tell, _options, json=False, shared=False)}
