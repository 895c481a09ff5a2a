"""The first start: a few questions, each answered in the entry line or passed over, then Today."""

from __future__ import annotations

from dataclasses import dataclass

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
        "When is your average last frost in spring?", "all dates hang on it; such as: 14 may", "last frost {}"
    ),
    Question(
        "Which beds do you have?", "a name and a length each, such as: b1 50ft, b2 50ft, b3 30ft", "bed {}"
    ),
)


def lines_of(question: Question, answer: str) -> list[str]:
    """The lines to write for an answer: one for each bed, one for anything else."""
    parts = answer.split(",") if question.line.startswith("bed") else [answer.replace('"', "")]
    return [question.line.format(part.strip()) for part in parts if part.strip()]


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
                    "A few questions to begin. Enter alone skips one, Esc skips all;",
                    "everything can be written or changed later.",
                )
            ),
            (),
            *plain((f"{text} {answer or 'passed over'}" for text, answer in asked), "quiet"),
            (),
            ((f"{number} of {len(asked) + len(left)}  {question.asks}", "bold"),),
            ((f"        {question.hint}", "quiet"),),
        ]
        self.listing.put([Row((), line) for line in lines])


VIEW = FirstRun
