"""The search, and the list of all there is to go to: as she types, without a key that means two things."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.book import drafts
from core.session import Session
from tests.farms import farm_in
from tests.finding.test_find import FARM
from tests.tui.pictures import shown
from tui.app import ShedApp
from tui.registry import commands, views


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", FARM)


def screen(session: Session) -> ShedApp:
    return ShedApp(session, None, session.folder)


FOUND: tuple[tuple[str, str, tuple[str, ...] | None], ...] = (
    ("zin lime", "trays", ("tray", "S01")),
    ("north", "beds", ("bed", "north")),
    ("P01", "beds", ("planting", "P01")),
    ("fern", "order", ("order", "O001")),
    ("quencher", "field", None),
    ("aphids", "field", None),
    ("mold", "lost", None),
    ("cosmos", "plan", ("plan", "N01")),
    ("box 7", "stock", ("box", "box 7")),
    ("posy", "bench", ("recipe", "posy")),
    ("wire 22", "bench", ("making", "wire 22")),
    ("plum", "tubers", ("tuber", "dahlia", "Plum")),
    ("statice seed", "seeds", ("packet", "K001")),
    ("pump", "entries", None),
    ("cobble", "buyer", None),
    ("L001", "lot", None),
    ("scabiosa", "crop", None),
)
"""What is typed, the view it opens, and the row it opens it on."""


async def test_enter_opens_what_was_found_and_esc_leads_back(farm: Session) -> None:
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        for words, view, row in FOUND:
            await pilot.press("8", "slash", *(c if c != " " else "space" for c in words))
            assert app.open_view == "search" and app.entry.value == words
            await pilot.press("enter")
            assert app.open_view == view and app.focused is None and app.entry.value == "", words
            here = app.view.listing.row
            if row is not None:
                assert here is not None and here.id == row
            elif view == "entries":
                assert here is not None and here.value is not None
            if view != "stock":
                await pilot.press("escape")
                assert app.open_view == "stock", words


async def test_an_orders_page_has_its_keys_and_leads_to_its_buyer_and_back(farm: Session) -> None:
    farm.write("pick O001")
    farm.write("handed over O001")
    farm.write("paid O001 4")
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "slash", *"O001", "enter")
        assert app.open_view == "order" and "10 statice" in shown(app) and "6.00 owed" in shown(app)
        await pilot.press("end", "enter")
        assert (
            app.open_view == "buyer"
            and "6.00 owed, 10.00 taken" in shown(app)
            and "L002   statice" in shown(app)
        )
        await pilot.press("enter")
        assert app.open_view == "order"
        await pilot.press("y", "6", "enter")
        assert app.open_view == "order" and "owed" not in shown(app).partition("Enter: all of")[0]
        await pilot.press("escape")
        assert app.open_view == "beds"


async def test_esc_goes_back_to_the_row_and_to_the_line_half_typed(farm: Session) -> None:
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "down", "down")
        here = app.view.listing.row
        await pilot.press("slash", "s", "t", "escape")
        assert app.open_view == "beds" and app.view.listing.row == here and app.focused is None
        await pilot.press("w", *"40 straw".replace(" ", ""), "ctrl+p", "b", "e")
        assert app.open_view == "views" and app.entry.value == "be"
        await pilot.press("escape")
        assert app.open_view == "beds" and app.entry.value == "40straw" and app.focused is app.entry


async def test_what_is_looked_for_is_no_line_of_the_book(farm: Session) -> None:
    before = farm.farm.count
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", *"low", "space", *"41")
        app.keep_line()
        assert drafts.kept(farm.folder) in (None, "")
        await pilot.press("enter", "escape", "escape")
        assert farm.farm.count == before
        await pilot.press("slash", *"L001", "enter", "escape", "w", *"low", "space", *"41", "enter")
        assert farm.farm.count == before + 1 and app.entry.value == ""


async def test_letters_narrow_and_the_arrows_choose(farm: Session) -> None:
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", *"st")
        many = [row.id for row in app.view.listing.rows]
        await pilot.press(*"atice")
        few = [row.id for row in app.view.listing.rows]
        assert set(few) <= set(many) and len(few) < len(many)
        await pilot.press("down")
        chosen = app.view.listing.row
        assert chosen is not None and chosen.id == few[1]
        await pilot.press(*["backspace"] * 20)
        assert app.entry.value == "" and app.open_view == "search"
        await pilot.press("enter")
        assert app.open_view == "search", "nothing is chosen"


@pytest.mark.parametrize(
    "note",
    ["on the north side they wilt", "b1 on Monday: look again", 'b1 the 12" ring rusts', "b1 'so' it is"],
)
async def test_a_note_opens_on_itself_whatever_it_says(farm: Session, note: str) -> None:
    farm.write(f"note {note}")
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash")
        app.entry.fill(note.split()[-2] + " " + note.split()[-1])
        await pilot.pause()
        await pilot.press("enter")
        row = app.view.listing.row
        assert app.open_view == "entries" and row is not None and row.value.kind == "note"
        assert row.value.says.endswith(note.split()[-1].strip("'")), row.value.says


async def test_all_that_was_written_with_the_words_is_one_row(farm: Session) -> None:
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", *"apricot", "end")
        app.view.listing.edge(1)
        await pilot.press("enter")
        assert app.open_view == "entries" and "apricot" in app.view.head


async def test_the_list_of_all_has_every_view_every_line_and_every_command(farm: Session) -> None:
    from core.language.guide import guide

    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("full_stop")
        ids = [row.id for row in app.view.listing.rows if row.id]
        assert {of for sort, of, *_ in ids if sort == "view"} == set(views())
        assert {of for sort, of, *_ in ids if sort == "line"} == {
            line for j in guide() for line, _ in j.examples
        }
        assert {of for sort, of, *_ in ids if sort == "command"} == set(commands())
        await pilot.press(*"orders", "enter")
        assert app.open_view == "orders"
        await pilot.press("full_stop", *"snaps", "enter")
        assert app.focused is app.entry and app.entry.value == "snap "
        await pilot.press("escape", "full_stop", "escape")
        assert app.open_view == "orders"


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_no_line_of_the_search_is_wider_than_the_screen(farm: Session, size: tuple[int, int]) -> None:
    app = screen(farm)
    async with app.run_test(size=size) as pilot:
        for words in ("s", "st", "e", "b", "zzz"):
            await pilot.press("slash", *words)
            for row in app.view.listing.rows:
                assert sum(len(text) for text, _ in row.line) <= size[0]
            await pilot.press("escape")


async def test_another_key_leads_elsewhere_and_leaves_the_search(farm: Session) -> None:
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "slash", *"st", "f1")
        assert app.open_view == "help" and "Beds" in app.view.head and app.focused is None
        await pilot.press("escape", "slash", *"st", "ctrl+z")
        assert app.open_view == "beds" and app.status.asking is not None
        await pilot.press("escape", "slash", *"st", "ctrl+p")
        assert app.open_view == "views" and app.entry.value == ""
        await pilot.press("ctrl+p")
        assert app.open_view == "beds" and app.focused is None


async def test_a_page_opened_over_a_page_that_lies_over_it_leads_out_again(farm: Session) -> None:
    """The lot's page, help over it, and the lot's page again from there: Esc goes back to the stock, and stays."""
    app = screen(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("8", "enter")
        assert app.open_view == "lot"
        await pilot.press("question_mark", "slash", *"L001", "enter")
        assert app.open_view == "lot"
        seen = []
        for _ in range(3):
            await pilot.press("escape")
            seen.append(app.open_view)
        assert seen[-1] == "stock"
