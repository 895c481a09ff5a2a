"""Lines with slips in them, as a tired hand types them."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st


@st.composite
def slipped(draw: st.DrawFn, lines: Sequence[str], words: Sequence[str]) -> str:
    """One of the lines with words left out, put in or changed for others."""
    line = draw(st.sampled_from(lines)).split()
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(line)))
        line[at : at + draw(st.integers(0, 1))] = draw(st.lists(st.sampled_from(words), max_size=1))
    return " ".join(line)
