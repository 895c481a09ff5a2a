"""What takes long to be found is shown as it grows: no key waits for it, and at its end nothing is missed."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from textual.events import Key

from core.book import sought
from core.finding.finder import finder
from core.mending.rows import book_rows
from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tests.bench.seasons import write_seasons
from tests.farms import write
from tui.app import ShedApp
from tui.subjects import mending
from tui.views import search
from tui.widgets import pane

MANY_STEPS = 40
BYTES = 4_000


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    """The demo farm, read in small steps as a big one is."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(sought, "BLOCK", BYTES)
    monkeypatch.setattr(search, "MANY", 0)
    copy_to(tmp_path / "farm")
    return Session.open(tmp_path / "farm", by="ml", on=DEMO_DAY)


@pytest.fixture
def shed(farm: Session) -> Session:
    """The same, read as of no day: as a farm is read on which one works."""
    return Session.open(farm.folder, by="ml")


def found(app: ShedApp) -> list[str]:
    return [row.id[1] for row in app.view.listing.rows if row.id]


async def all_found(app: ShedApp) -> None:
    while app.view.grows:
        await asyncio.sleep(0.01)


class Told(list[str]):
    """What happened, in its order: "step" for each step of a search, and each deed that is watched."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        super().__init__()
        self.at: dict[int, Callable[[], object]] = {}
        """How many steps were taken -> what is done then."""
        step = mending.Entries._step
        times = iter(range(1, 1_000_000))

        def told(view: mending.Entries) -> bool:
            self.append("step")
            self.at.get(next(times), lambda: None)()
            return step(view)

        monkeypatch.setattr(mending.Entries, "_step", told)
        move = pane.Pane.move
        monkeypatch.setattr(pane.Pane, "move", lambda *about: (self.append("moved"), move(*about))[1])


async def test_a_key_typed_while_something_is_looked_for_is_answered_before_the_search_goes_on(
    shed: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = Told(monkeypatch)
    monkeypatch.setattr(pane, "STEPS_SECONDS", 0)  # one step between two looks for a key
    app = ShedApp(shed, None, shed.folder)
    told.at[MANY_STEPS] = lambda: app.post_message(Key("down", None))
    async with app.run_test(size=(80, 24)):
        app.find("zinnia")
        await all_found(app)
        here = app.view.listing.row
        steps_until_answered = told.index("moved")
        assert here is not None and found(app).index(here.id[1]) == 1, "one below the first"
        assert told.count("step") > steps_until_answered + MANY_STEPS, "most of it came after the key"
        assert steps_until_answered <= MANY_STEPS + 20


async def test_at_its_end_all_is_found_that_is_found_at_once(farm: Session) -> None:
    app = ShedApp(farm, None, farm.folder)
    async with app.run_test(size=(80, 24)):
        for words in ("zinnia", "b4", "fern", "L041", "zinnia b4", '"box 7"', "e", "none", "nowhere"):
            app.find(words)
            await all_found(app)
            assert found(app) == [row.id for row in book_rows(farm.look_back, words)], words
            assert f"of all there are: {len(found(app)):,}" in app.view.head


async def test_what_is_found_grows_under_the_cursor_which_stays_on_its_row_and_its_line(
    shed: Session,
) -> None:
    app = ShedApp(shed, None, shed.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        app.find("zinnia")
        while len(app.view.listing.rows) < 50:
            await asyncio.sleep(0.001)
        app.pane.move("turn", 1)
        app.pane.move("move", 1)
        listing = app.view.listing
        row = listing.row
        on_line, before = listing.cursor - listing.top, len(listing.rows)
        assert app.view.grows and "so far" in app.view.head
        await all_found(app)
        await pilot.pause()
        assert len(listing.rows) > 2 * before
        here = listing.row
        assert row is not None and here is not None and here.id == row.id
        assert listing.cursor - listing.top == on_line


async def test_another_search_takes_the_place_of_one_that_runs_and_leaving_ends_it(shed: Session) -> None:
    app = ShedApp(shed, None, shed.folder)
    async with app.run_test(size=(80, 24)):
        app.find("zinnia")
        app.find("larkspur")
        await all_found(app)
        assert found(app) == [row.id for row in book_rows(shed.look_back, "larkspur")]
        app.find("zinnia")
        left = app.view
        assert left.grows
        app.action_show("beds")
        assert not left.grows and not app.view.grows
        app.action_show("entries")
        await all_found(app)
        assert found(app) == [row.id for row in book_rows(shed.look_back, "zinnia")]


async def test_what_was_found_stands_there_while_it_is_looked_for_again(shed: Session) -> None:
    """She corrects an entry far down in what was found: the list does not fall back to its beginning."""
    app = ShedApp(shed, None, shed.folder)
    async with app.run_test(size=(80, 24)):
        app.find("zinnia")
        await all_found(app)
        app.pane.move("edge", 1)
        row, before = app.view.listing.row, found(app)
        write(shed, "note zinnia look well")
        app.refresh_views()
        assert app.view.grows and found(app) == before
        await all_found(app)
        assert len(found(app)) == len(before) + 1
        here = app.view.listing.row
        assert here is not None and row is not None and here.id == row.id


async def test_nothing_wakes_up_once_all_is_found(farm: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    told = Told(monkeypatch)
    app = ShedApp(farm, None, farm.folder)
    async with app.run_test(size=(80, 24)):
        app.find("zinnia")
        await all_found(app)
        taken = len(told)
        await asyncio.sleep(0.1)
        assert len(told) == taken and app.pane._growing is None


async def test_the_notes_of_a_big_book_are_read_between_keys_and_found(farm: Session) -> None:
    app = ShedApp(farm, None, farm.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_search()
        assert app.view.grows, "nothing was read yet"
        await pilot.press(*"fern")
        await all_found(app)
        things = finder(farm.look_back).find("fern")
        assert [row.id[1:] for row in app.view.listing.rows[: len(things)]] == [thing.of for thing in things]


@pytest.mark.long
async def test_in_a_book_of_twenty_seasons_every_key_is_answered_and_all_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_seasons(tmp_path / "big", 200_000, date(2026, 6, 20)).close()
    session = Session.open(tmp_path / "big", by="ml")
    told = Told(monkeypatch)
    app = ShedApp(session, None, session.folder)
    for steps in (10, 20, 30, 40):
        told.at[steps] = lambda: app.post_message(Key("down", None))
    async with app.run_test(size=(80, 24)):
        app.find("zinnia")
        await all_found(app)
        keys = [n for n, what in enumerate(told) if what == "moved"]
        assert len(keys) == 4 and all(b - a > 1 for a, b in pairwise(keys))
        assert told[keys[-1] :].count("step") > 10
        assert found(app) == [row.id for row in book_rows(session.look_back, "zinnia")]
