"""Buckets, Shelf, Bench and a lot's own page at the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from core.fresh.rows import fresh_rows
from core.pieces.bench import bench_rows
from core.session import Session, Written
from tui.app import ShedApp
from tui.keys import EVERYWHERE
from tui.registry import views

from .test_morning import shown, type_line

Open = Callable[[], ShedApp]

WORK = """
2026-05-01 line 1 is 6ft dark fan
2026-05-01 weigh L001 line 1 240g at 7:00
2026-05-03 weigh L001 line 1 140g at 7:00
2026-05-05 weigh L001 line 1 90g at 7:00
2026-05-07 weigh L001 line 1 65g at 7:00
2026-05-09 weigh L001 line 1 52g at 7:00
2026-05-16 shed 72F 58% at 6:00
2026-05-16 cooler 37F at 6:00
2026-05-16 farm wire SWG
2026-05-16 recipe posy bouquet 15min: 4 fresh peony, 1 ribbon
2026-05-16 bought 10 ribbon
2026-05-16 reorder 12 ribbon
"""


@pytest.fixture
def worked(session: Session, opened: Open) -> Open:
    """The farm with a lot weighed, the air read, a recipe and its ribbon."""
    today = session.on
    for line in WORK.strip().splitlines():
        day, _, text = line.partition(" ")
        session.on = date.fromisoformat(day)
        assert isinstance(written := session.write(text), Written), f"{line}: {written}"
    session.on = today
    return opened


async def test_buckets_say_what_is_left_and_move_to_the_cooler(worked: Open, session: Session) -> None:
    app = worked()
    async with app.run_test() as pilot:
        await pilot.press("5")
        text = shown(app)
        assert "cooler 37 F, 1 h ago" in text
        assert "L002" in text and "bucket" in text and "days left" in text
        assert "an estimate: look at the petals" in " ".join(
            part for line in app.view.told() for part, _ in line
        )
        await pilot.press("m")
        assert app.entry.value == "move L002 from bucket to cooler"
        await pilot.press("enter")
        assert "moved 18 of L002 from the bucket to the cooler" in app.status.text
        places = {row.lot: row.place for row in fresh_rows(session.farm, session.today, session.clock)}
        assert places["L002"] == "cooler" and places["L003"] == "bucket"
        app.view.listing.choose(("fresh", "L002", "cooler"))
        await pilot.press("m")
        assert app.entry.value == "move L002 from cooler to bucket"


async def test_the_shelf_shows_how_far_each_lot_has_dried_and_by_what(worked: Open) -> None:
    app = worked()
    async with app.run_test() as pilot:
        await pilot.press("6")
        text = shown(app)
        assert "shed 72 F, 58 % RH, 1 h ago; 5 of 6 ft of line free" in text
        (row,) = (line for line in text.splitlines() if "L001" in line and "line 1" in line and "|" in line)
        assert "=" in row.partition("|")[0] + row.partition("|")[2] or "-|-" in row, row
        assert "5 weighings do not date it yet" in text
        await pilot.press("g")
        assert app.entry.value == "weigh L001 line 1 g"
        await type_line(pilot, "51")
        await pilot.press("enter")
        assert "weighed L001 on line 1: 51 g" in app.status.text


async def test_a_lot_has_a_page_of_its_own_and_esc_goes_back(worked: Open) -> None:
    app = worked()
    async with app.run_test(size=(80, 60)) as pilot:
        await pilot.press("6", "enter")
        assert app.open_view == "lot"
        text = shown(app)
        assert "L001 peony" in text and "12 = 12 on hand + 0 sold + 0 used + 0 lost" in " ".join(text.split())
        assert "o weighed" in text, "the plot"
        assert "Its story" in text and "weighed L001 on line 1: 240 g" in text
        await pilot.press("question_mark")
        assert "On what hangs" in shown(app)
        await pilot.press("escape")
        assert app.open_view == "lot", "help goes back to the page"
        await pilot.press("t")
        assert "snap test of L001 on line 1: snaps" in app.status.text
        assert "snaps" in shown(app), "the page shows what was just written"
        assert ("6 Shelf", "chosen") in app.top.lines[0], "and stands over the shelf still"
        await pilot.press("x")
        assert app.entry.value.startswith("box L001 line 1")
        await pilot.press("escape", "escape")
        assert app.open_view == "shelf"
        await pilot.press("q")
        assert app.return_code == 0


async def test_the_bench_says_what_could_be_made_and_what_to_buy(worked: Open, session: Session) -> None:
    app = worked()
    async with app.run_test() as pilot:
        await pilot.press("7")
        text = shown(app)
        row = next(line for line in text.splitlines() if "posy" in line)
        assert row.split()[-4:] == ["bouquet", "9", "fresh", "peony"], "38 stems are there, and 10 ribbons"
        assert "buy" in next(line for line in text.splitlines() if "ribbon" in line and "10" in line)
        assert "22 gauge SWG, 0.71 mm" in text
        app.view.listing.choose(("recipe", "posy"))
        await pilot.press("k")
        assert app.entry.value == "make  posy"
        await type_line(pilot, "2")
        await pilot.press("enter")
        assert "made 2 posy: M001" in app.status.text
        app.view.listing.choose(("piece", "M001"))
        app.pane.paint()
        assert "M001: 2 of 2 posy on hand" in shown(app)
        await pilot.press("u")
        assert bench_rows(session.farm, session.today).pieces == (), "its parts are back too"
        assert sum(row.stems for row in fresh_rows(session.farm, session.today, session.clock)) == 38


async def test_today_leads_to_the_bench_when_something_is_to_be_bought(worked: Open) -> None:
    app = worked()
    async with app.run_test(size=(80, 40)) as pilot:
        assert "buy ribbon (10 left)" in shown(app)
        row = next(row for row in app.view.listing.rows if row.goes == "bench")
        assert app.view.listing.choose(row.id)
        await pilot.press("enter")
        assert app.open_view == "bench"


async def test_a_long_page_turns_although_the_cursor_can_rest_on_one_row_only(worked: Open) -> None:
    app = worked()
    async with app.run_test() as pilot:
        await pilot.press("6", "enter")
        first = shown(app)
        await pilot.press(*["pagedown"] * 5)
        assert "Its story" in shown(app) and "Its story" not in first
        await pilot.press("home")
        assert "on hand" in shown(app)


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (132, 50)])
async def test_the_page_of_a_lot_fits_every_size(worked: Open, size: tuple[int, int]) -> None:
    app = worked()
    async with app.run_test(size=size) as pilot:
        await pilot.press("6", "enter")
        assert app.open_view == "lot"
        for row in app.view.listing.rows:
            assert sum(len(text) for text, _ in row.line) <= size[0] - 2, row.line


async def test_every_view_says_its_keys_in_the_bottom_line(worked: Open, session: Session) -> None:
    """Where a row has no letters of its own, what Enter does; a list with nothing in it says what works everywhere."""
    session.write("20 peony b1 fresh")
    app = worked()
    always = {word for key in EVERYWHERE if (word := key.short)}
    seen = set()
    async with app.run_test(size=(80, 24)) as pilot:
        for name in views():
            app.action_show(name)
            await pilot.pause()
            if app.view.listing.row is None or not app.view.listing.row.id:
                continue
            seen.add(name)
            line = shown(app).splitlines()[-1]
            own = line[: min(line.index(f" {word}") for word in always)]
            assert len(own.split()) > 2, f"{name}: {line}"
        app.action_show("season")
        await pilot.pause()
        assert "Enter opens" in shown(app).splitlines()[-1]
    assert {"today", "beds", "trays", "season", "buckets"} <= seen
