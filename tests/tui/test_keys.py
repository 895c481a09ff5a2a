"""The keys: nothing clashes, every key writes a line, everything is told, and the bottom line fits."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.language.guide import guide
from core.session import Session
from core.subject import subjects
from demo_farm.open import copy_to
from tui.frame_lines import fitting
from tui.keys import ENTRY, EVERYWHERE, QUESTION, SEEKING, key_line, pairs
from tui.letters import LETTERS, OF_DEED
from tui.registry import NUMBER_KEYS, PAGES, row_sort, view_class, views
from tui.row_keys import RowSort, Typed
from tui.table import cells

SORTS = [row_sort(name) for subject in subjects() for name in subject.rows]


def wide(line: tuple[tuple[str, str], ...]) -> int:
    return sum(cells(text) for text, _ in line)


def shown(sort: RowSort | None, width: int) -> tuple[tuple[str, str], ...]:
    own = sort.keys if sort else ()
    return fitting(key_line(own), width, own=len(pairs(own)))


@pytest.mark.parametrize("sort", [*SORTS, None], ids=lambda sort: sort.name if sort else "none")
def test_every_key_of_the_bottom_line_fits_in_80_columns(sort: RowSort | None) -> None:
    text = "".join(text for text, _ in shown(sort, 80))
    assert len(text) <= 80
    for key, word in key_line(sort.keys if sort else ()):
        assert f"{key} {word}" in text


@pytest.mark.parametrize("sort", [*SORTS, None], ids=lambda sort: sort.name if sort else "none")
def test_a_narrow_screen_keeps_help_and_quit(sort: RowSort | None) -> None:
    line = shown(sort, 40)
    assert wide(line) <= 40
    assert "? help" in "".join(text for text, _ in line)


def test_the_entry_line_and_the_questions_tell_their_keys_in_80_columns() -> None:
    for keys in (ENTRY, QUESTION, SEEKING):
        assert fitting(pairs(keys), 80) == fitting(pairs(keys), 200)


def test_no_key_does_two_things_on_one_row() -> None:
    always = [key for k in EVERYWHERE for key in k.keys] + list(NUMBER_KEYS)
    for sort in SORTS:
        pressed = [key for k in sort.keys for key in k.keys] + always
        assert len(pressed) == len(set(pressed)), sort.name


def test_a_key_of_a_view_does_nothing_else_on_any_row_of_it_and_is_told() -> None:
    always = [key for k in EVERYWHERE for key in k.keys] + list(NUMBER_KEYS)
    for name in views():
        view = view_class(name)
        for sort in map(row_sort, view.SORTS):
            pressed = [key for k in (*sort.keys, *view.KEYS) for key in k.keys] + always
            assert len(pressed) == len(set(pressed)), (name, sort.name)
    own = (*row_sort("tray").keys, *view_class("trays").KEYS)
    text = "".join(text for text, _ in fitting(key_line(own), 80, own=len(pairs(own))))
    assert "r step all" in text and "q quit" in text


DAYS = (date(2026, 4, 20), date(2026, 6, 24), date(2026, 10, 12))


def test_a_letter_that_writes_at_once_does_nothing_else_in_a_view(tmp_path: Path) -> None:
    """On the demo farm in spring, summer and fall: pressed on another row than she thinks, a key asks or begins a
    line."""
    copy_to(tmp_path / "farm")
    at_once: set[tuple[str, str, str]] = set()
    for day in DAYS:
        session = Session.open(tmp_path / "farm", by="ml", on=day)
        for name in views():
            view = view_class(name)("-")
            view.load(session)
            rows = [row for one in view.listing.rows for row in (one, one.beside) if row is not None]
            for row in rows:
                for key in row.keys if (value := view.value(row)) is not None else ():
                    does = key.line(value)
                    if isinstance(does, Typed) and does.send:
                        at_once.add((name, *key.keys, key.id))
    assert {("today", "n", "next"), ("shelf", "t", "snap"), ("beds", "v", "cover")} <= at_once
    for name, letter, of in at_once:
        keys = [*view_class(name).KEYS, *(k for sort in view_class(name).SORTS for k in row_sort(sort).keys)]
        assert {k.id for k in keys if letter in k.keys} == {of}, (name, letter)


def test_a_sort_of_row_has_one_home_and_its_view_tells_its_keys() -> None:
    names = [sort.name for sort in SORTS]
    assert len(names) == len(set(names)) > 15
    for sort in SORTS:
        assert sort.view in views(), sort.name
        if sort.keys and sort.name not in ("planned", "to cut"):  # rows of Today
            assert sort.name in view_class(sort.view).SORTS, sort.name


def test_every_number_opens_one_view() -> None:
    # views without a key stand in the list of views
    assert [view.key for view in views().values() if view.key] == [*NUMBER_KEYS, "O", "P", "T", "S", "F", "e"]
    assert [view.says for view in views().values()][:3] == ["Today", "Trays", "Beds"]
    for name, listed in views().items():
        assert view_class(name).__module__ == listed.module


def test_the_jobs_that_a_view_is_about_stand_in_the_guide() -> None:
    """Else its help would be one line that says that something went wrong."""
    known = {job.name for job in guide()}
    assert {job for name in (*views(), *PAGES) for job in view_class(name).JOBS} <= known


def test_a_letter_does_one_thing_everywhere_it_can_be_done() -> None:
    """They stand in one table; a deed has one letter, and those of losses, moves and money do nothing else."""
    deeds = [deed for each in LETTERS for deed in each.deeds]
    assert len(deeds) == len(set(deeds)) and len({each.letter for each in LETTERS}) == len(LETTERS)
    keys = [k for sort in SORTS for k in sort.keys] + [k for name in views() for k in view_class(name).KEYS]
    assert {k.id for k in keys} == set(deeds), "and none stands there for nothing"
    assert all(k.keys == (OF_DEED[k.id],) for k in keys)
    for letter in "glmovy":
        assert len({k.id for k in keys if k.keys == (letter,)}) == 1, letter
