"""A pattern compiled late reads as one compiled at once."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.patterns import pattern

TEXT, FLAGS = r"(?P<count>[0-9]+) (stems|bu)", re.IGNORECASE
LATE, AT_ONCE = pattern(TEXT, FLAGS), re.compile(TEXT, FLAGS)


@given(st.text(alphabet="0 1stemsBUu", max_size=14))
def test_a_late_pattern_finds_and_turns_what_the_same_one_does(text: str) -> None:
    for _ in range(2):  # compiled, and then as it was kept
        for method in ("match", "fullmatch", "search"):
            late, at_once = getattr(LATE, method)(text), getattr(AT_ONCE, method)(text)
            assert (late and late.groupdict()) == (at_once and at_once.groupdict())
        assert LATE.sub("*", text) == AT_ONCE.sub("*", text)
        assert (LATE.split(text), LATE.findall(text)) == (AT_ONCE.split(text), AT_ONCE.findall(text))


def test_what_cannot_be_read_as_a_pattern_is_told_when_it_is_used() -> None:
    wrong = pattern("(")
    with pytest.raises(re.error):
        wrong.match("")
