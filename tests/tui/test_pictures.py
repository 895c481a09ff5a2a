"""Every view on the demo farm looks as its picture does, is whole in its window, and is cut nowhere within a word."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tests.cases import first_of
from tui.app import ShedApp
from tui.frame_lines import EXAMPLE
from tui.registry import views
from tui.table import cells

from .pictures import PAGES, SIZES, as_file, file_of, pictures, shown

TYPED_IN = ("all views",)
"""Pages that are narrowed down by what is typed."""
COMMAND = "python -m tests.tui.pictures"


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures") / "farm"
    copy_to(folder)
    return folder


@pytest.mark.parametrize("size", first_of(SIZES, 1))
async def test_every_view_looks_as_its_picture_does(farm: Path, size: tuple[int, int]) -> None:
    found = await pictures(farm, *size)
    assert set(found) == {*views(), *PAGES}
    kept = file_of(*size).read_text(encoding="utf-8")
    assert as_file(found) == kept, f"where this was meant: {COMMAND}"


def _kept() -> Iterator[tuple[int, int, str, list[str]]]:
    for columns, rows in SIZES:
        for part in file_of(columns, rows).read_text(encoding="utf-8").split("~~~~ ")[1:]:
            name, _, text = part.partition("\n")
            yield columns, rows, name, text.rstrip("\n").splitlines()


def test_in_every_picture_stand_the_views_the_entry_line_and_the_keys_and_nothing_is_wider() -> None:
    for columns, rows, name, lines in _kept():
        where = f"{name} at {columns}x{rows}"
        assert len(lines) == rows and max(map(cells, lines)) <= columns, where
        assert lines[0].startswith(" 1 Today"), where
        if name in TYPED_IN:
            assert lines[-3].startswith("go to:  ") and "Esc goes back" in lines[-1], where
            continue
        assert "write:" in lines[-3] and EXAMPLE in lines[-3], where
        assert lines[-1].endswith("q quit") and "w write" in lines[-1], where


def test_what_is_cut_says_so_and_no_word_is_cut() -> None:
    """The word before a ".." stands whole in some picture, as a word does that was not cut itself."""
    lines_of_all = [(name, line) for _, _, name, lines in _kept() for line in lines]
    whole = {
        word.strip(".,;:()") for _, line in lines_of_all for word in line.split() if not word.endswith("..")
    }
    cut = [
        (name, word, line) for name, line in lines_of_all for word in re.findall(r"(\S+)\.\.(?: |$)", line)
    ]
    assert len(cut) > 10
    assert [line for _, word, line in cut if word.strip(".,;:()") not in whole] == []


@pytest.mark.parametrize("size", [(59, 24), (80, 19), (30, 8)])
async def test_in_a_smaller_window_one_line_says_so_and_lines_are_taken(
    session: Session, folder: Path, size: tuple[int, int]
) -> None:
    app = ShedApp(session, None, folder)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert "at least 60 x 20" in " ".join(shown(app).split())
        await pilot.press("w", *"low 38", "enter")
        await pilot.pause()
        assert app.session.recent(1)[0].kind == "low" and "written" in shown(app)
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert "at least" not in shown(app) and "snapdragon" in shown(app)


def test_the_day_of_the_pictures_is_that_of_the_demo() -> None:
    assert str(DEMO_DAY) == "2026-06-23"
