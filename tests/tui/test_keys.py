"""The key table: nothing clashes, everything is told, and the bottom line fits."""

from __future__ import annotations

import pytest

from tui.keys import EVERYWHERE, KINDS, LETTERS, ROWS, VIEWS, key_line, row_key
from tui.lines import LINES
from tui.rows import cells
from tui.widgets.key_line import keys_shown


def wide(line: tuple[tuple[str, str], ...]) -> int:
    return sum(cells(text) for text, _ in line)


@pytest.mark.parametrize("kind", [*ROWS, None])
def test_every_key_of_the_bottom_line_fits_in_80_columns(kind: str | None) -> None:
    shown = "".join(text for text, _ in keys_shown(kind, 80))
    assert len(shown) <= 80
    for key, word in key_line(kind):
        assert f"{key} {word}" in shown


@pytest.mark.parametrize("kind", [*ROWS, None])
def test_a_narrow_screen_keeps_help_and_quit(kind: str | None) -> None:
    line = keys_shown(kind, 40)
    assert wide(line) <= 40
    assert "? help" in "".join(text for text, _ in line)


def test_the_entry_line_and_the_questions_tell_their_keys_in_80_columns() -> None:
    assert wide(keys_shown(None, 80, entry=True)) <= 80
    assert wide(keys_shown("question", 80)) <= 80


def test_no_key_does_two_things_on_one_row() -> None:
    always = [key for k in EVERYWHERE for key in k.keys]
    for kind, keys in ROWS.items():
        pressed = [key for k in keys for key in k.keys] + always
        assert len(pressed) == len(set(pressed)), kind


def test_every_row_key_writes_a_line() -> None:
    assert {(kind, k.id) for kind, keys in ROWS.items() for k in keys} == set(LINES)


def test_every_view_has_rows_and_their_letters() -> None:
    assert set(KINDS) == {*VIEWS, "lot"}
    assert set("shogpil") <= set(LETTERS)
    assert row_key("tray", "s") is not None
    assert row_key("tray", "x") is None
