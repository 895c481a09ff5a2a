"""Lines of the shed and the bench with slips in them: a sentence or a sound entry, and nothing swallowed."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.fold import apply, check
from core.language.complete import complete
from core.language.guide import guide
from core.language.read import read_line
from core.language.words import keywords
from core.problems import Problem, raised
from core.text import is_clean
from core.validity import invalid
from tests.cases import cases
from tests.farms import TODAY, Pencil, guide_farm

FARM = guide_farm()
EXAMPLES = [example.line for job in guide() for example in job.examples]
ODD = (
    "-5", "0", "1e308", "nan", "99999999999", "25:99", "at", "06:40", "120F", "-300F", "400%", "g", "0g", "99999g",
    "L041", "M001", "L999", "line", "line 99", "box", "box 7", "cooler", "=cmd()", "\x1b[2J", "\u202e", "{lot}", "[x]",
    "'", '"', "a" * 60, "9999-12-31", "2026-02-30", "0x0", "99999x99999", "all", "anyway",
)  # fmt: skip


@st.composite
def slips(draw: st.DrawFn) -> str:
    """A line of the guide with words left out, put in, changed or taken from another line."""
    words = draw(st.sampled_from(EXAMPLES)).split()
    other = draw(st.sampled_from(EXAMPLES)).split()
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(words)))
        new = draw(
            st.one_of(
                st.sampled_from(ODD),
                st.sampled_from(other),
                st.sampled_from(sorted(keywords())),
                st.text(max_size=5),
            )
        )
        words[at : at + draw(st.integers(0, 1))] = [new] if draw(st.booleans()) else []
    return " ".join(words)


@given(slips())
@cases(1500)
def test_a_slip_is_a_sentence_or_a_sound_entry(text: str) -> None:
    done = complete(text, FARM, TODAY)
    assert is_clean(done.says) and is_clean(done.ghost)
    read = read_line(text, FARM, TODAY)
    if isinstance(read, Problem):
        assert read.sentence and is_clean(read.sentence)
        return
    assert read.drafts or read.undo
    pencil: Any = Pencil(TODAY.isoformat())
    for draft in read.drafts:
        refused = None if draft.kind == "strike" else check(FARM, draft, TODAY.isoformat())
        if refused is not None:
            assert refused.sentence and is_clean(refused.sentence)
            return
        assert invalid(draft) is None
    farm = deepcopy(FARM)
    for draft in read.drafts:
        apply(farm, pencil.made(draft.kind, draft.on, **draft.fields))
    assert raised(FARM.matters, farm.matters) == [], "what was taken makes sense to the fold"


@pytest.mark.parametrize("line", EXAMPLES)
@pytest.mark.parametrize("word", ["wombat", "=cmd", "L999", "17:77"])
def test_a_word_that_says_nothing_is_not_swallowed(line: str, word: str) -> None:
    """Said back, or kept in the entry as it was written (a buyer, a note)."""
    read = read_line(f"{line} {word}", FARM, TODAY)
    if isinstance(read, Problem):
        return
    kept = " ".join(str(value) for draft in read.drafts for value in draft.fields.values())
    assert word.lower() in f"{kept} {' '.join(read.remarks)}".lower() or any(
        d.kind == "part" for d in read.drafts
    )
