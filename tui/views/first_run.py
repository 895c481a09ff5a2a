"""The first start: a few questions, each answered in the entry line or passed over, then Today."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core.language.line import Reading
from core.marked import with_figures
from core.patterns import pattern
from core.problems import Problem
from tui.phrases import plain
from tui.row_keys import Row
from tui.table import Line
from tui.views.view import Page


@dataclass(frozen=True, slots=True)
class Question:
    """One question; `line` makes the lines to write of an answer ("{}"), "" for the initials."""

    asks: str
    hint: str
    line: str


QUESTIONS: tuple[Question, ...] = (
    Question("Your initials, to stand beside what you write?", "two or three letters, such as jm", ""),
    Question("What is the farm called?", "any name, such as: Long Meadow", 'farm name "{}"'),
    Question(
        "When is your average last frost in spring?",
        "all dates hang on it; such as: 14 may; in the south: 10 oct",
        "last frost {}",
    ),
    Question(
        "When is your average first frost in fall?",
        "it ends the season; such as: 1 october",
        "first frost {}",
    ),
    Question(
        "Which beds do you have?",
        "name and length: b1 {typed_feet:50}, b2 {typed_feet:30}; or thirty: b1-b30 {typed_feet:50} x {typed_size:30}",
        "bed {}",
    ),
)


def lines_of(question: Question, answer: str) -> list[str]:
    """The lines to write for an answer: one for each bed, one for anything else."""
    parts = answer.split(",") if question.line.startswith("bed") else [answer.replace('"', "")]
    return [question.line.format(part.strip()) for part in parts if part.strip()]


INITIALS = pattern(r"[^\W\d_]{1,4}")
INITIALS_WRONG = "Initials are one to four letters, such as jm."


def what_is_wrong(question: Question, answer: str, read: Callable[[str], Reading | Problem]) -> str:
    """Why an answer cannot be of the kind that is asked for, "" where it can; `read` reads a line of a new farm.

    What only the book can refuse (a bed that is none, a frost in the wrong half of the year) it refuses itself.
    """
    if question.line == "":
        return "" if not answer or INITIALS.fullmatch(answer) else INITIALS_WRONG
    if question.line.startswith("farm name") and answer:
        if isinstance(read(f"last frost {answer}"), Reading):
            return f"'{answer}' is a day: what is the farm called?"
        if isinstance(read(f"bed {answer}"), Reading) or not any(c.isalpha() for c in answer):
            return f"'{answer}' is no name of a farm: what is it called?"
    return ""


class FirstRun(Page):
    """Questions above, answers in the entry line."""

    def ask(self, asked: list[tuple[str, str]], left: list[Question]) -> None:
        """Show what was answered so far and the next question."""
        question, number = left[0], len(asked) + 1
        lines: list[Line] = [
            (("shedbook", "title"), (": the working book of your farm", "")),
            (),
            *plain(
                (
                    "A few questions to begin. Enter alone skips one, Up goes back to the last,",
                    "Esc skips all; everything can be written or changed later.",
                )
            ),
            (),
            *plain((f"{text} {answer or 'passed over'}" for text, answer in asked), "quiet"),
            (),
            ((f"{number} of {len(asked) + len(left)}  {question.asks}", "bold"),),
            ((f"        {with_figures(question.hint)}", "quiet"),),
        ]
        self.listing.put([Row((), line) for line in lines])


VIEW = FirstRun
