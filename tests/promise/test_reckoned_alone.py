"""`reckon promise` and `reckon spare`: the same numbers from the shell, with no farm."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tui.cli import main


def asked(capsys: pytest.CaptureFixture[str], *args: str) -> Any:
    assert main(["reckon", *args, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_what_may_be_promised_by_when_is_that_of_the_printed_table(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # Stevenson, Operations Management: pumps, 64 on hand, lots of 70
    found = asked(
        capsys, "promise", "--have", "64", "--supply", "0,0,70,0,70,0,70,70", "--orders", "33,20,10,4,2"
    )
    assert [row["of_each_supply"] for row in found["weeks"]] == [11, None, 56, None, 68, None, 70, 70]
    assert [row["can_be_promised"] for row in found["weeks"]] == [11, 11, 67, 67, 135, 135, 205, 275]
    assert main(["reckon", "promise", "--have", "64", "--supply", "0,0,70", "--orders", "33,20,10,4,2"]) == 0
    assert "later orders have the rest" in capsys.readouterr().out


def test_so_many_are_to_be_had_that_enough_are_left(capsys: pytest.CaptureFixture[str]) -> None:
    # scipy 1.17.1: binom.sf(119, 142, .9) = .98585, binom.sf(119, 132, .9) = .43439
    found = asked(capsys, "spare", "--good", "120", "--left", "90%", "--sure", "0.98", "--have", "132")
    assert found == {"good": 120, "have": 142, "chance": 0.98585, "asked_have": 132, "asked_chance": 0.43439}


def test_a_common_setback_is_in_the_sum(capsys: pytest.CaptureFixture[str]) -> None:
    # exact convolution of two binomials, with and without a 10 % chance of a fifth less of both
    heaps = ("spare", "--good", "80", "--heaps", "60@0.9,40@0.8")
    assert asked(capsys, *heaps)["chance"] == pytest.approx(0.96583, abs=1e-5)
    assert asked(capsys, *heaps, "--setback", "0.1@0.2")["chance"] == pytest.approx(0.87009, abs=1e-5)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("spare", "--good", "80"), "Say what share is left"),
        (("spare", "--good", "80", "--left", "1.2"), "is no share"),
        (("promise", "--have", "x", "--supply", "1", "--orders", "1"), "is no number"),
    ],
)
def test_bad_input_gets_a_sentence(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], says: str
) -> None:
    try:
        status = main(["reckon", *args])
    except SystemExit as ended:
        status = int(ended.code or 0)
    assert status in (1, 2)
    assert says in capsys.readouterr().err
