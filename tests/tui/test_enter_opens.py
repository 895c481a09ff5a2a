"""Enter on a row opens the thing it is of, in every view."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.mending.rows import book_rows
from tests.farms import farm_in
from tui.app import ShedApp
from tui.registry import PAGES, views
from tui.row_keys import Typed

DAY = date(2026, 6, 23)
FARM = {
    "2026-04-20": (
        "farm zone UTC",
        "last frost 14 may",
        "bed b1 50ft",
        "bed b2 50ft",
        "plant strawflower b1 25ft",
        "sow 72 zinnia",
        "room lights 4",
        "bought 500 wire 22",
        "bought 4 tape",
        "recipe posy bouquet: 4 dry strawflower",
        "plan 60 zinnia fresh by 08-20",
    ),
    "2026-06-01": ("60 strawflower b1 dry", "hang 60 L001 line 1"),
    "2026-06-15": ("snap L001", "box L001 5x10 box 7", "box L001 1x10 box 71"),
    "2026-06-22": ("30 strawflower b1 fresh", "water b1 1 in", "40 min weeding b1"),
}


@pytest.mark.parametrize("name", [name for name in views() if name not in ("cut", "entries")])
async def test_enter_opens_the_thing_of_every_row(name: str, tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 40)) as pilot:
        app.action_show(name)
        rows = [row for row in app.view.listing.rows if row.id and not isinstance(row.goes, Typed)]
        for row in rows:
            app.action_show(name)
            assert app.view.listing.choose(row.id), row.id
            await pilot.press("enter")
            assert app.focused is not app.entry, row.id
            assert app.open_view in PAGES or app.open_view != name or row.folds, row.id
            if app.open_view == "entries":
                assert app.view.listing.row is not None and app.view.listing.row.value is not None, row.id
            was_opened = app.open_view
            await pilot.press("escape")
            assert app.open_view == name or was_opened not in ("entries", *PAGES), row.id


async def test_the_book_opened_on_a_row_shows_all_of_it_whatever_was_sought_before(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 40)) as pilot:
        app.action_show("field")
        await pilot.press("enter")
        assert len([row for row in app.view.listing.rows if row.value]) == 1
        await pilot.press("escape", "2", "e")
        assert len([row for row in app.view.listing.rows if row.value]) > 10
        assert app.view.listing.row is not None and app.view.listing.row.value.kind == "sown"
        await pilot.press("escape")
        assert app.open_view == "trays"


async def test_a_box_is_found_by_its_whole_name(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", FARM)
    assert {row.says.rpartition(" ")[0] for row in book_rows(session.look_back, '"box 7"')} and all(
        "box 71" not in row.says for row in book_rows(session.look_back, '"box 7"')
    )
    assert any("box 71" in row.says for row in book_rows(session.look_back, "box 7"))


async def test_forced_bulbs_stand_under_the_beds_and_enter_opens_what_is_in_store(tmp_path: Path) -> None:
    days = {
        "2026-01-01": (
            "farm zone UTC",
            "last frost 14 may",
            "bed b1 50ft",
            "bought 40 tulip 'Pink Lady' bulbs",
        ),
        "2026-01-02": ("force 30 tulip 'Pink Lady' bulbs 14 weeks",),
        "2026-05-20": ("force 30 tulip 'Pink Lady' bulbs out",),
    }
    session = farm_in(tmp_path / "farm", days)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("beds")
        row = app.view.listing.rows[-1]
        (told,) = (text for text, _ in row.line)
        assert told.startswith("forced tulip Pink Lady: 30 left to cut, in flower") and len(told) <= 80
        assert app.view.listing.choose(row.id)
        assert "30 tulip Pink Lady forced fresh" in " ".join(
            t for line in app.view.detail(row) for t, _ in line
        )
        await pilot.press("enter")
        assert app.open_view == "tubers"
