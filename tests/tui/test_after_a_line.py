"""After a line is written the screen says which keys take it back from where she is, and they do."""

from __future__ import annotations

from pathlib import Path

from tests.farms import farm_in
from tests.keys import FARM
from tui.app import ShedApp


async def test_in_the_entry_line_ctrl_z_undoes_as_it_is_told(
    tmp_path: Path,
) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"w45", "space", *"str", "space", *"b3", "enter")
        await pilot.pause()
        assert "ctrl+z undoes" in app.status.text and " u undoes" not in app.status.text
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert session.entries()[-1].kind == "strike"


async def test_a_letter_after_a_written_line_begins_the_next(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"w45", "space", *"str", "space", *"b3", "enter")
        await pilot.pause()
        before = len(session.entries())
        await pilot.press(*"up")
        await pilot.pause()
        assert app.entry.value == "up" and len(session.entries()) == before


async def test_from_a_list_u_undoes_and_is_told(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("6", "t")
        await pilot.pause()
        assert "u undoes, e corrects" in app.status.text and "ctrl+z" not in app.status.text
        await pilot.press("u")
        await pilot.pause()
        assert session.entries()[-1].kind == "strike"
