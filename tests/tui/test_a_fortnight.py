"""What a fortnight of mornings and evenings at the screen had to be guessed is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in
from tests.tui.pictures import shown
from tui.app import ShedApp
from tui.subjects.stems import VIEW as STOCK

FARM = {
    "2026-05-20": (
        "farm zone UTC",
        "last frost 14 may",
        "bed b1 50ft",
        "bed b2 50ft",
        "plant strawflower white b1 15ft 60 plants",
        "plant strawflower apricot b1 15ft 60 plants",
        "plant statice b2 15ft 60 plants",
        "sow 72 cosmos",
        "sow 72 zinnia",
    ),
    "2026-06-10": (
        "10 statice b2 dry",
        "hang L001 line 1",
        "up 60 S01",
        "up 60 S02",
    ),
    "2026-06-22": ("snap L001", "box L001 1x10 box 7", "step S01 S02"),
    "2026-06-23": (),
}


@pytest.fixture
def app(tmp_path: Path) -> ShedApp:
    session: Session = farm_in(tmp_path / "farm", FARM)
    return ShedApp(session, None, session.folder)


async def test_a_line_refused_is_typed_on_at_its_end_wherever_the_gap_was(app: ShedApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "c", *"40")
        assert app.entry.value.startswith("40 strawflower P0")
        await pilot.press("enter")
        if "For which use" in app.status.text:
            await pilot.press(*"dry", "enter")
        assert "cut 40 strawflower" in app.status.text, app.status.text


async def test_the_line_of_a_cut_names_the_crop_beside_the_code(app: ShedApp) -> None:
    """The bed has two of that crop: the code tells which, the crop what, so that its stage card is shown."""
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "c")
        assert app.entry.value.strip().startswith("strawflower P0")
        assert "How many stems" in app.status.text and "strawflower" in shown(app).splitlines()[1]


async def test_a_line_begun_on_a_row_says_the_keys_of_the_list_it_goes_back_to(app: ShedApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "r", "enter")
        assert app.focused is None
        assert " ".join(app.status.text.split()).endswith(" u undoes, e corrects")
        assert app.status.text.count("S01") == 1, "each tray is named once"


async def test_one_bunch_is_one_bunch(app: ShedApp) -> None:
    view = STOCK("-")
    view.load(app.session)
    (row,) = (row for row in view.listing.rows if row.id[:1] == ("stock",))
    text = "".join(part for part, _ in row.line)
    assert " 1 bunch " in text and "bunches" not in text
    lot = app.session.farm.lots.get("L001")
    assert lot is not None and "1 bunch of 10" in lot.whereabouts


async def test_where_no_cut_is_among_the_last_entries_it_is_not_said_that_there_never_was_one(
    app: ShedApp,
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        app.session.recent = lambda *_: []  # type: ignore[method-assign]
        await pilot.press("4")
        assert "No cut was written lately." in shown(app)


async def test_a_letter_that_does_nothing_on_the_row_says_what_it_is_for(app: ShedApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.session.farm.count
        await pilot.press("2", "s")
        assert app.status.text.startswith("s is for: sold; sow; not on this row"), app.status.text
        assert app.session.farm.count == before and app.focused is None
