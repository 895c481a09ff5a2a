"""Plan and Weather at the keyboard: the season on its strip, a wish seen while it is typed, the page of the odds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from core.plans.rows import plan_rows
from core.session import Session, Written
from tests.climate.made import DATA
from tui.app import ShedApp
from tui.frame_lines import top_line
from tui.registry import NUMBER_KEYS, views
from tui.subjects.plans import month_heads
from tui.subjects.weather import import_record
from tui.table import cells

from .test_morning import shown, type_line

pytestmark = pytest.mark.usefixtures("reckoned_once")

Open = Callable[[], ShedApp]
SUNFLOWER = "plan 60 sunflower gold fresh by 09-19"
BEHIND = "plan 60 sunflower lemon fresh by 08-05"


@pytest.fixture
def planned(session: Session, opened: Open) -> Open:
    """The farm with a plan for September, one that is behind, and its room told."""
    today = session.on
    for day, line in ((date(2026, 4, 2), BEHIND), (today, SUNFLOWER), (today, "room lights 2")):
        session.on = day
        assert isinstance(session.write(line), Written), line
    session.on = today
    return opened


def strip_of(app: ShedApp, code: str) -> str:
    """The row of a plan on the screen."""
    return next(line for line in shown(app).splitlines() if line[2:].startswith(code))


def said(app: ShedApp) -> str:
    """The lines under the list as one text."""
    return " ".join(" ".join("".join(text for text, _ in line) for line in app.view.below()[1:]).split())


async def wish(app: ShedApp, pilot: Pilot[int], words: str) -> None:
    """Stands in the line but for its last three letters, which are typed: each is a plan reckoned anew."""
    app.entry.fill(app.entry.value + words[:-3])
    await type_line(pilot, words[-3:])
    await pilot.pause()


async def test_the_season_is_a_strip_of_weeks(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        text = shown(app)
        assert all(len(line.rstrip()) <= 80 for line in text.splitlines())
        assert "S===" in strip_of(app, "N01") and "CC" in strip_of(app, "N01")
        assert strip_of(app, "N01").isascii()
        months = next(line for line in text.splitlines() if "Jun" in line and "Sep" in line)
        # drilled in the week of 13 July: "S" stands under that month
        assert months.index("Jul") <= strip_of(app, "N02").index("S") < months.index("Aug")


async def test_the_strip_below_says_why_and_moves_with_the_cursor(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        first = said(app)
        assert "because it is to be cut from" in first and "60 stems, fresh" in first
        await pilot.press("down")
        assert said(app) != first


async def test_the_room_stands_under_the_plans(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "end")
        assert "ft of line" in said(app) and "r says how much there is" in said(app)
        await pilot.press("r")
        assert app.entry.value == "room line ft" and app.entry.cursor_position == len("room line ")
        await type_line(pilot, "120")
        await pilot.press("enter")
        assert "room: line 120" in app.status.text
        assert "of 120 taken this week" in said(app)


async def test_what_is_short_is_marked_and_named(planned: Open, session: Session) -> None:
    assert isinstance(session.write("room hardening 0"), Written)
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        row = next(line for line in shown(app).splitlines() if "trays, outside" in line)
        assert "!" in row
        await pilot.press("end", "up")
        assert "2 tray spaces for hardening short" in said(app)


async def test_kept_plans_that_are_short_of_room_say_what_would_do(planned: Open, session: Session) -> None:
    for line in (
        "bed b8 20ft",
        "bed b9 30ft",
        "plan 40 cosmos fresh by 09-19 b8",
        "plan 40 cosmos fresh by 09-20 b8",
    ):
        assert isinstance(session.write(line), Written), line
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        assert app.view.listing.choose(("plan", "N04"))
        await pilot.pause()
        assert "1 ft of bed short" in said(app) and "Would do: 39 stems of N04 instead of 40." in said(app)


async def test_a_wish_short_of_several_kinds_of_room_says_what_would_do_for_each(
    planned: Open, session: Session
) -> None:
    assert isinstance(session.write("room lights 0"), Written)
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "w")
        await wish(app, pilot, "300 cosmos fresh by 09-19 b4")
        assert "too little room; would do for bed:" in said(app) and "lights: " in said(app)
        assert "no last" not in said(app) and "..." not in said(app)


async def test_a_plan_whose_cut_comes_too_late_says_by_how_much(planned: Open, session: Session) -> None:
    session.on = date(2026, 6, 20)
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        assert app.view.listing.choose(("plan", "N01"))
        await pilot.pause()
        assert "too late for 5 Aug" in said(app)


async def test_a_plan_is_changed_in_place_with_one_key_and_the_change_taken_back(
    planned: Open, session: Session
) -> None:
    before = session.farm.plans["N01"]
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9")
        assert app.view.listing.choose(("plan", "N01"))
        await pilot.press("c")
        assert app.entry.value == "N01 was "
        await type_line(pilot, str(2 * before.stems))
        await pilot.press("enter")
        changed = app.session.farm.plans["N01"]
        assert changed.stems == 2 * before.stems and (changed.plants or 0) > (before.plants or 0)
        assert f"{changed.stems} stems, fresh" in said(app)
        await pilot.press("escape", "u")
        assert app.session.farm.plans["N01"].stems == before.stems


async def test_a_farm_without_beds_is_told_how_one_is_written(tmp_path: Path) -> None:
    empty = Session.create(tmp_path / "empty", by="jm", on=date(2026, 6, 23))
    assert isinstance(empty.write("last frost 14 may"), Written)
    app = ShedApp(empty, None, tmp_path / "empty")
    async with app.run_test() as pilot:
        await pilot.press("9")
        assert "nothing in the weeks to come" in said(app) and "bed b1 50ft" in said(app)


async def test_a_wish_begins_with_one_key_is_seen_while_typed_and_kept_with_enter(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "w")
        assert app.entry.value == "plan "
        await wish(app, pilot, "600 sunflower fresh by 09-19 b4")
        assert "sunflower, 600 stems by 19 Sep" in said(app)
        assert "bed b4 has 30 free" in said(app) and "Would do:" in said(app)
        assert len(plan_rows(app.session.farm, app.session.today)) == 2
        await pilot.press("enter")
        assert "10 times the most so far" in app.status.text  # a slip, perhaps: she says that it is none
        await type_line(pilot, " anyway")
        await pilot.press("enter")
        assert "planned N03" in app.status.text
        assert strip_of(app, "N03") and "as typed" not in shown(app)
        await pilot.press("u")
        assert len(plan_rows(app.session.farm, app.session.today)) == 2


async def test_w_begins_a_plan_and_esc_leaves_nothing_behind(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "w")
        assert app.entry.value == "plan "
        await pilot.press("escape")
        assert app.entry.value == "" and app.focused is None


async def test_a_weekly_wish_is_seen_sowing_by_sowing(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "w")
        await wish(app, pilot, "60 sunflower fresh a week from 08-03 to 09-13")
        assert "6 sowings (" in said(app) and "spaced by the days of the crop's sheet" in said(app)


async def test_a_plan_is_done_or_dropped_by_a_key(planned: Open) -> None:
    app = planned()
    async with app.run_test() as pilot:
        await pilot.press("9", "n")
        assert app.entry.value.startswith("drill sunflower 'lemon' ")
        await type_line(pilot, " b4")
        await pilot.press("enter")
        assert "drilled" in app.status.text
        assert "drilled P" in said(app) or "drilled P" in shown(app)
        row = app.view.listing.row
        assert row is not None
        await pilot.press("d", "y")
        assert f"dropped plan {row.id[1]}" in app.status.text
        assert len(plan_rows(app.session.farm, app.session.today)) == 1


async def test_a_farm_without_plans_says_what_to_write(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("9")
        assert "plan 120 strawflower dry by 09-19" in shown(app)
        before = app.session.farm.count
        await pilot.press("d", "n")
        assert "not on this row" in app.status.text and app.session.farm.count == before


async def test_today_speaks_of_a_plan_that_is_behind_and_leads_to_it(planned: Open, session: Session) -> None:
    session.on = date(2026, 6, 9)
    app = planned()
    async with app.run_test() as pilot:
        assert "days late" in shown(app) and "N01" in shown(app)
        assert app.view.listing.choose(("plan", "N01"))
        await pilot.press("enter")
        assert app.open_view == "plan"
        assert app.view.listing.row is not None and app.view.listing.row.id == ("plan", "N01")
        await pilot.press("1", "d")
        assert app.session.farm.plans["N01"].is_live, "no key of Today gives a plan up"
        await pilot.press("escape", "n")
        assert app.entry.value.startswith("drill sunflower 'lemon'")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 15), (132, 50)])
async def test_both_views_fit_every_screen(planned: Open, size: tuple[int, int]) -> None:
    app = planned()
    async with app.run_test(size=size) as pilot:
        for key, name in (("9", "plan"), ("0", "weather")):
            await pilot.press(key)
            assert app.open_view == name
            lines = shown(app).splitlines()
            assert len(lines) == size[1] and all(len(line.rstrip()) <= size[0] for line in lines)


async def test_weather_shows_tonight_and_that_there_is_no_station_yet(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("0")
        text = " ".join(shown(app).split())
        assert "shedbook weather import" in text and "Not yet" in text
        assert "Tonight: forecast 45 F" in said(app)


async def test_weather_shows_the_odds_of_the_station_and_its_plot(opened: Open, session: Session) -> None:
    station = DATA / "USC00381770_1981-2010.csv"
    assert isinstance(import_record(session, Path(station)), Written)
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("0")
        assert "Last in spring" in shown(app) and "1981 to 2010" in shown(app)
        seen = ""
        for _ in range(6):
            await pilot.press("pagedown")
            seen += shown(app)
        assert "|---" in seen and "Your own thermometer" in seen and "What your windows hang on" in seen


async def test_both_views_have_their_page_of_help(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("9", "question_mark")
        await pilot.pause()
        assert "On a plan" in shown(app) and "give the plan up" in shown(app)
        await pilot.press("question_mark", "0", "question_mark")
        await pilot.pause()
        assert "Weather and frost" in shown(app)


@pytest.mark.parametrize("view", views())
def test_the_top_line_names_every_view_in_80_columns_and_the_farm_where_there_is_room(view: str) -> None:
    titles = {name: listed.says for name, listed in views().items()}
    numbered = [listed.says for listed in views().values() if listed.key in [*NUMBER_KEYS]]
    text = "".join(part for part, _ in top_line(view, "Hither Mill Farm", 80))
    assert cells(text) == 80
    assert all(f"{n % 10} {name}" in text for n, name in enumerate(numbered, start=1))
    assert "".join(part for part, _ in top_line(view, "Hither Mill Farm", 110)).endswith("Hither Mill Farm")
    narrow = "".join(part for part, _ in top_line(view, "Hither Mill Farm", 40))
    assert cells(narrow) == 40 and titles[view] in narrow


def test_months_stand_over_their_first_weeks() -> None:
    mondays = [date(2026, 6, 22) + timedelta(days=7 * i) for i in range(12)]
    assert month_heads(mondays) == "  Jul Aug  S"[:9] + "   "
