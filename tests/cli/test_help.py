"""Help in words: the contents, and what answers a question, in the shell and on the screen."""

from __future__ import annotations

import pytest

from core.language.guide import answers, contents, guide
from core.problems import Problem
from tui.cli import main


def told(question: str) -> list[str]:
    found = answers(question)
    assert not isinstance(found, Problem), found.sentence
    return [line for job in found for line, _ in job.examples]


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("frost", "last frost 14 may"),
        ("how do I pot up", "pot 50 S12 50s"),
        ("harvest", "40 strawflower b3 dry"),
        ("mold", "lost 6 mold L038"),
        ("toss", "lost 6 mold L038"),
        ("hardening", "step S12"),
        ("bunches", "sold 2 bu L035 to corner florist at 9"),
        ("transplanting", "set out S12 b5 20ft"),
        ("humidity", "dusk 52 dew 44 clear"),
        ("by whose", "... by jo"),
    ],
)
def test_a_question_in_words_is_answered_with_the_line_for_it(question: str, line: str) -> None:
    assert line in told(question)


def test_what_the_help_does_not_know_is_said_with_the_nearest() -> None:
    found = answers("frsot")
    assert isinstance(found, Problem) and "frost" in found.sentence


def test_the_contents_name_every_job() -> None:
    assert [begun.name for begun in contents()] == [job.name for job in guide()]
    assert all(begun.words for begun in contents())


def test_the_shell_answers_without_a_farm(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help"]) == 0
    printed = capsys.readouterr().out
    assert printed.index("begin with:") < printed.index("In every line")
    assert max(map(len, printed.splitlines())) <= 78
    assert main(["help", "frost"]) == 0
    answer = capsys.readouterr().out
    assert "last frost 14 may" in answer and "shedbook weather" in answer
    assert main(["help", "xyzzy"]) == 1


@pytest.mark.parametrize("word", ["units", "metric", "celsius", "lengths", "unit"])
def test_units_are_told_in_one_topic(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", word]) == 0
    told = capsys.readouterr().out
    for line in (
        "farm degrees C",
        "farm lengths meters",
        "farm hours 12",
        "low -2C",
        "15 m by 90 cm",
        "12 mm",
    ):
        assert line in told, line


@pytest.mark.parametrize("word", ["low", "bed"])
def test_the_help_of_what_has_units_leads_there(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", word]) == 0
    assert "help units" in " ".join(capsys.readouterr().out.split())
