"""A morning at the keyboard, in the order she does it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from core.book.lock import Lock
from core.drying.rows import shelf_rows
from core.session import Session
from tests.farms import write
from tui.app import ShedApp
from tui.subjects.trays import TRAY

from .conftest import TODAY

Open = Callable[[], ShedApp]


def shown(app: ShedApp) -> str:
    """Every line of the screen as text."""
    return "\n".join(
        "".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips()
    )


async def type_line(pilot: Pilot[int], line: str) -> None:
    """Type text key by key; only the last key waits for the screen."""
    names = {" ": "space", ".": "full_stop", "?": "question_mark"}
    await pilot.press(*(names.get(c, c) for c in line))


async def until(pilot: Pilot[int], seen: Callable[[], bool]) -> None:
    """Wait for what comes by itself, on a busy machine as well."""
    for _ in range(1200):
        if seen():
            return
        await pilot.pause(0.05)
    raise AssertionError(f"never came:\n{shown(pilot.app)}")  # type: ignore[arg-type]


async def test_it_opens_on_today_and_says_what_to_do(opened: Open) -> None:
    async with opened().run_test() as pilot:
        text = shown(pilot.app)  # type: ignore[arg-type]
        assert "Sat 16 May   night 41 F, tonight 45 F, high 62 F" in text
        assert "step 4 of 7" in text
        assert "SPOILS FIRST" in text and "L002  peony" in text


async def test_a_wide_screen_names_the_farm_as_well(opened: Open) -> None:
    async with opened().run_test(size=(100, 30)) as pilot:
        assert "Long Meadow" in shown(pilot.app)  # type: ignore[arg-type]


async def test_number_keys_open_the_views(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        for key, first in (
            ("2", "snapdragon pink"),
            ("3", "larkspur"),
            ("6", "line 1"),
            ("7", "wire 22"),
            ("8", "L001"),
        ):
            await pilot.press(key)
            assert first in shown(app)
            assert app.focused is None
        await pilot.press("4")
        assert app.focused is None
        await pilot.press("w")
        assert app.focused is app.entry
        await pilot.press("escape", "1")
        assert app.open_view == "today"


async def test_a_step_is_one_key_from_today_or_from_the_trays(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        assert app.view.listing.choose(("tray", "S02"))
        await pilot.press("n")
        assert app.status.text.startswith("written ")
        assert "S02: hardening step 4 done" in app.status.text
        await pilot.press("2")
        assert "####--- 4/7 done" in shown(app)
        await pilot.press("u")
        assert "taken back: S02: hardening step 4 done" in app.status.text
        assert "###---- 3/7" in shown(app)


async def test_a_held_step_asks_why_and_one_key_answers(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "h")
        assert "Hold S02, why?" in app.status.text
        assert len(app.status.lines) == 1
        await pilot.press("q")  # thought better of it: nothing is written, nothing is left
        assert app.focused is None
        await pilot.press("h", "w")
        assert "S02: hardening held, wind" in app.status.text
        assert "3/7 held" in shown(app)


async def test_enter_on_a_line_of_the_brief_goes_to_what_it_speaks_of(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        assert app.view.listing.choose(("tray", "S02"))
        await pilot.press("enter")
        assert app.open_view == "trays"
        assert app.view.listing.row is not None and app.view.listing.row.id == ("tray", "S02")


async def test_setting_out_begins_a_line_and_the_keys_come_back(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "o")
        assert app.entry.value == "set out S02 "
        await type_line(pilot, "b4 20ft")
        assert "set out P" in app.status.text  # the reading, before it is written
        await pilot.press("enter")
        assert "written" in app.status.text and app.entry.value == ""
        assert app.focused is None


async def test_a_cut_is_typed_with_completion_and_its_stage_card(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("4", "w")
        await type_line(pilot, "40 straw b3 w")
        assert app.entry._suggestion == "40 straw b3 wire"
        await pilot.press("tab")
        assert app.entry.value == "40 straw b3 wire"
        await pilot.pause()
        assert "strawflower for wire" in shown(app)
        await pilot.press("enter")
        assert "cut 40 strawflower apricot from bed b3 for wire: L004" in app.status.text


async def test_a_repeated_cut_takes_five_keys_from_any_view_and_three_after_a_cut(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "w")  # in the entry line of another view
        await pilot.press("escape")
        await pilot.press("4", "w", "4", "0", "enter")
        assert "cut 40 peony from bed b1 for dry: L004" in app.status.text
        await pilot.press("4", "5", "enter")
        assert "cut 45 peony from bed b1 for dry: L005" in app.status.text


async def test_in_cut_the_number_keys_change_the_view_until_a_line_is_begun(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("4", "2")
        assert app.open_view == "trays"
        await pilot.press("4", "w", "2")
        assert (app.open_view, app.entry.value) == ("cut", "2")
        await pilot.press("escape", "2")
        assert (app.open_view, app.entry.value) == ("trays", "")


async def test_an_older_cut_is_chosen_with_the_arrows_and_repeated(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("4", "down", "w", "8", "enter")
        assert "cut 8 peony from bed b1 for fresh: L004" in app.status.text


async def test_a_number_repeats_what_was_just_cut_wherever_the_cursor_was(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("4", "down", "w")
        await type_line(pilot, "7 larkspur b2 fresh")
        await pilot.press("enter", "5", "enter")
        assert "cut 5 larkspur from bed b2 for fresh: L005" in app.status.text


async def test_a_line_begun_by_a_key_is_given_up_with_escape(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "o", "escape")
        assert app.entry.value == ""
        await pilot.press("w", "x", "escape")
        assert app.entry.value == "", "no remnant is joined to the next line"
        await pilot.press("w", "up")
        assert app.entry.value == "x", "and nothing typed is lost"


async def test_a_half_typed_line_that_a_key_takes_the_place_of_comes_back_on_up(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "w", "x", "y", "escape", "o")
        assert app.entry.value == "set out S02 "
        await pilot.press("up")
        assert app.entry.value == "xy"


async def test_what_may_follow_is_shown_while_typing(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("w")
        await type_line(pilot, "12 peony b1 dry")
        assert app.status.text.startswith("cut 12 peony from bed b1 for dry")
        assert "culls" in app.status.text
        assert len(app.status.text) <= 80


async def test_from_the_bucket_to_the_line_to_the_box(opened: Open, session: Session) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("6", "b")
        assert "snap test of L001 on line 1: bends" in app.status.text
        await pilot.press("u", "t")
        assert "snap test of L001 on line 1: snaps" in app.status.text
        await pilot.press("x")
        assert app.entry.value.startswith("box L001 line 1")
        await type_line(pilot, "2x5 box 7")
        await pilot.press("enter")
        assert "boxed 2 of L001, 5 in each" in app.status.text
        await pilot.press("5", "end", "h")
        assert app.entry.value == "hang L003 line "
        await pilot.press("2", "enter")
        assert "hung 20 of L003 on line 2" in app.status.text
        assert {r.line for r in shelf_rows(session.farm, session.today)} == {"line 1", "line 2"}


async def test_beds_are_pinched_covered_and_cut_by_keys(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("3", "v")
        assert "covered bed b1" in app.status.text
        app.held.let_go()
        await pilot.press("v")
        assert "uncovered bed b1" in app.status.text
        await pilot.press("down", "n")
        assert "netted P03" in app.status.text
        await pilot.press("up", "c")
        assert app.entry.value.startswith(" peony b1")
        assert app.open_view == "cut"
        await pilot.press("9")
        await pilot.press("end")
        await type_line(pilot, " fresh")
        assert "peony for fresh" in shown(app)
        assert app.entry.value == "9 peony b1 fresh"
        await pilot.press("enter")
        assert "cut 9 peony from bed b1 for fresh" in app.status.text
        assert app.open_view == "beds"


async def test_stock_keys_leave_a_gap_for_the_number(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("8", "down", "s")
        assert app.entry.value == "sold L002 bucket "
        await type_line(pilot, "4 to florist")
        await pilot.press("enter")
        assert "sold 4 stems of L002 from the bucket to florist" in app.status.text


async def test_a_refused_line_stays_to_be_mended(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("w")
        await type_line(pilot, "40 peony b9 dry")
        await pilot.press("enter")
        assert app.status.text.startswith("not written")
        assert "b9" in app.status.text
        assert app.entry.value == "40 peony b9 dry"
        assert app.focused is app.entry


async def test_a_disk_that_refuses_keeps_the_line(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    from core.problems import Problem, ShedbookError

    def full(_line: str, *, answer: bool) -> None:
        raise ShedbookError(Problem("The disk is full: free some room, then press Enter again.", "disk"))

    app = opened()
    monkeypatch.setattr(app.session, "write", full)
    async with app.run_test() as pilot:
        await pilot.press("w")
        await type_line(pilot, "low 34")
        await pilot.press("enter")
        assert "The disk is full" in app.status.text
        assert (app.folder / "draft").read_text() == "low 34"
        assert app.entry.value == "low 34"


async def test_earlier_lines_come_back_on_the_arrows(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("w")
        await type_line(pilot, "wind 9")
        await pilot.press("enter")
        await type_line(pilot, "x")
        await pilot.press("up")
        assert app.entry.value == "wind 9"
        await pilot.press("down")
        assert app.entry.value == "x"


async def test_what_the_helper_writes_appears_and_the_cursor_stays(opened: Open, folder: Path) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "down")
        held = app.view.listing.row
        assert held is not None and held.id == ("tray", "S03")
        Session.open(folder, by="ak", on=TODAY).write("sow 72 statice")
        await until(pilot, lambda: "statice" in shown(app))
        assert app.view.listing.row is not None and app.view.listing.row.id == ("tray", "S03")


async def test_hidden_views_only_note_that_they_are_stale(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "n")
        assert app.views["today"].stale
        await pilot.press("1")
        assert not app.views["today"].stale


async def test_at_midnight_the_day_turns(opened: Open) -> None:
    app = opened()
    async with app.run_test():
        app.session.on = TODAY + timedelta(days=1)
        app.new_day()
        assert "Sun 17 May" in app.prompt.text


async def test_help_tells_every_key_of_the_view_and_goes_back(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        await pilot.press("2", "question_mark")
        told = "\n".join("".join(text for text, _ in row.line) for row in app.view.listing.rows)
        for key in TRAY.keys:
            assert key.words in told
        assert "step S12" in told
        assert all(sum(len(text) for text, _ in row.line) <= 78 for row in app.view.listing.rows)
        await pilot.press("escape")
        assert app.open_view == "trays"
        await pilot.press("w", "f1")
        assert app.open_view == "help"


async def test_the_keys_are_in_one_place_after_another(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        seen = [app.focused.id if app.focused else None]
        for _ in range(2):
            await pilot.press("tab" if app.focused is not app.entry else "escape")
            seen.append(app.focused.id if app.focused else None)
        assert seen == [None, "line", None]


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (132, 50)])
async def test_every_view_fits_every_size(opened: Open, size: tuple[int, int]) -> None:
    app = opened()
    async with app.run_test(size=size) as pilot:
        for key in "1234567890":
            await pilot.press("escape", key)
            for row in app.view.listing.rows:
                assert sum(len(text) for text, _ in row.line) <= size[0] - 2, (app.open_view, row.line)
            lines = shown(app).splitlines()
            assert len(lines) == size[1]
            assert "write:" in lines[-3]
            assert "help" in lines[-1]


async def test_markup_in_the_book_is_only_text(opened: Open) -> None:
    app = opened()
    async with app.run_test() as pilot:
        app.write('farm name "[bold]x[/]"')
        await pilot.pause()
        assert "[bold]x[/]" in shown(app)


async def test_a_farm_from_nothing_asks_five_questions_and_then_says_what_to_write(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    by: list[str] = []

    def create(initials: str) -> Session:
        by.append(initials)
        return Session.create(folder, by=initials, on=TODAY)

    app = ShedApp(None, create, folder)
    async with app.run_test() as pilot:
        await pilot.pause()
        assert "Your initials" in shown(app)
        await type_line(pilot, "jm")
        await pilot.press("enter")
        await pilot.pause()
        assert by == ["jm"]
        await type_line(pilot, "low barn")
        await pilot.press("enter", "enter", "enter")  # the frosts are passed over
        await pilot.pause()
        await type_line(pilot, "b1 50ft, b1 zz")
        await pilot.press("enter")
        await pilot.pause()
        assert app.status.text.startswith("not written")
        assert app.entry.value == "b1 50ft, b1 zz"
        await pilot.press("ctrl+u")
        await type_line(pilot, "b2 30ft")
        await pilot.press("enter")
        await pilot.pause()
        await pilot.pause()
        assert app.open_view == "today"
        assert "your average last frost" in shown(app)
        await pilot.press("enter", "enter")
        assert "written" in app.status.text
        assert app.session.farm.settings.name == "low barn"
        assert set(app.session.farm.beds) == {"b1", "b2"}


async def test_of_two_plantings_of_one_crop_in_one_bed_each_key_writes_on_its_own(
    session: Session, opened: Open
) -> None:
    write(session, "net b2")
    session.on = date(2026, 4, 10)
    codes = [
        write(session, f"plant {crop} b4 5ft anyway").entries[0].fields["planting"]
        for crop in ("snapdragon", "snapdragon", "zinnia", "zinnia")
    ]
    write(session, f"net {codes[2]}")
    write(session, f"net {codes[3]}")
    session.on = TODAY
    app = opened()
    async with app.run_test(size=(100, 60)) as pilot:
        for planting in reversed(codes[:2]):
            assert app.view.listing.choose(("planting", planting)), "each has a line of its own in Today"
            await pilot.press("n")
            assert session.recent(1)[0].fields["planting"] == planting
            await pilot.press("u")
            assert app.view.listing.choose(("planting", planting))
            await pilot.press("enter")
            assert app.open_view == "beds"
            assert app.view.listing.row is not None
            assert app.view.listing.row.id == ("planting", planting)
            await pilot.press("1")
        for planting in codes[2:]:
            assert app.view.listing.choose(("to cut", planting)), "each is to be looked at on its own"
            await pilot.press("c")
            assert app.entry.value.split()[1] == planting
            await pilot.press("escape", "1")


async def test_enter_on_a_bunch_in_the_cooler_leads_to_the_cooler(session: Session, opened: Open) -> None:
    lot = write(session, "30 peony b1 fresh").lot
    assert lot
    write(session, f"move 10 {lot} from bucket to cooler")
    session.on = TODAY + timedelta(days=3)
    app = opened()
    async with app.run_test(size=(100, 60)) as pilot:
        for place in ("cooler", "bucket"):
            assert app.view.listing.choose(("fresh", lot, place)), shown(app)
            await pilot.press("enter")
            assert app.open_view == "buckets"
            assert app.view.listing.row is not None
            assert app.view.listing.row.id == ("fresh", lot, place)
            await pilot.press("1")


async def test_with_the_lock_held_elsewhere_the_screen_shows_all_and_says_so(
    opened: Open, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.waiting.PATIENCE", 600)
    with Lock(folder / "lock"):
        async with opened().run_test() as pilot:
            app: ShedApp = pilot.app  # type: ignore[assignment]
            await pilot.pause()
            assert "step 4 of 7" in shown(app)
            assert app.status.text.startswith("read only") and "The book is held by" in app.status.text
            await pilot.press("w")
            await type_line(pilot, "3 peony b1 fresh")
            await pilot.press("enter")
            assert app.status.text.startswith("waiting  for the other program")
            app.waiting._until = 0.0  # the usual wait is over
            await until(pilot, lambda: app.status.text.startswith("not written"))
            assert "The book is held by" in app.status.text
            assert app.entry.value == "3 peony b1 fresh"
