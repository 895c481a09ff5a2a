"""What a grower asked and was told wrongly, or not at all: each answer says what is right for what was asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write
from tests.tui.pictures import shown
from tui.app import ShedApp
from tui.keys import key_line, own_keys

FARM = {
    "2026-05-20": (
        "farm zone UTC",
        "last frost 14 may",
        *(f"bed b{n} 50ft" for n in range(1, 4)),
        "plant strawflower b1 25ft 90 plants",
        "plant statice b2 25ft 90 plants",
        "plant zinnia b3 25ft 90 plants",
    ),
    "2026-06-10": (
        "40 strawflower b1 dry",
        "hang L001 line 3",
        "30 statice b2 dry",
        "hang L002 line 1",
        "20 strawflower b1 dry",
        "hang L003 line 1",
        "10 zinnia b3 fresh",
        "sow 72 cosmos",
    ),
    "2026-06-23": (),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", FARM)


def refused(session: Session, line: str) -> str:
    answer = session.write(line)
    assert isinstance(answer, Problem), answer
    return answer.sentence


@pytest.mark.parametrize(
    ("line", "example"), [("last frost", "05-14 or 14 may"), ("first frost", "10-01 or 1 october")]
)
def test_the_example_of_a_frost_is_a_day_of_its_season(farm: Session, line: str, example: str) -> None:
    assert refused(farm, line) == f"On which day? Write it as {example}."


def test_south_of_the_equator_the_example_is_one_there(farm: Session) -> None:
    write(farm, "farm latitude -41")
    for line, example in (("last frost", "10 october"), ("first frost", "1 may")):
        assert example in refused(farm, line)
        write(farm, f"{line} {example}")


def test_what_hangs_on_a_drying_line_alone_is_meant_by_it(farm: Session) -> None:
    assert write(farm, "bends line 3").entries[0].fields["lot"] == "L001"
    assert write(farm, "snap line 3").entries[0].fields["lot"] == "L001"
    assert write(farm, "weigh line 3 400g").entries[0].fields["lot"] == "L001"
    assert write(farm, "box line 3 2x10 box 7").entries[0].fields["source"] == "line 3"


def test_of_several_on_a_line_or_of_none_it_is_told_which_there_are(farm: Session) -> None:
    assert refused(farm, "snap line 1").startswith("Which lot: L002 (statice) or L003 (strawflower)?")
    nothing = refused(farm, "snap line 9")
    assert nothing.startswith("Nothing hangs on line 9") and "L001 hangs on line 3" in nothing


def test_a_snap_of_so_many_is_a_cut_of_snapdragons_still(farm: Session) -> None:
    write(farm, "plant snapdragon b2 10ft")
    assert write(farm, "20 snap b2 fresh").entries[0].fields["crop"] == "snapdragon"


@pytest.mark.parametrize("line", ["sold 1000000000 L001 to Fern", "bed b9 1000000000ft"])
def test_a_number_too_large_is_told_with_its_marks_and_what_to_do(farm: Session, line: str) -> None:
    told = refused(farm, line)
    assert "1,000,000,000 is too large" in told and "10,000,000 at most" in told and "write it again" in told


def test_an_order_brought_back_stands_again(farm: Session) -> None:
    write(farm, "order Fern Hollow 10 zinnia fresh by 6-30 at 1", "cancel O001")
    (says,) = write(farm, "restore O001").says
    assert says == "O001 of Fern Hollow stands again, for 30 Jun"
    order = farm.farm.orders.get("O001")
    assert order is not None and order.is_live and not order.cancelled_on


def test_a_plan_says_each_thing_once_and_its_days_as_days(farm: Session) -> None:
    written = write(farm, "plan 600 statice fresh by 2027-08-25 b2")
    (says,) = written.says
    assert "by 25 Aug 2027" in says and "2027-" not in says
    numbers = [word for word in says.replace(",", "").split() if word.isdigit() and len(word) > 2]
    told = " ".join(written.remarks)
    assert "times in 100" in told
    for number in set(numbers) - {"2026", "2027"}:
        assert f"{number} " not in told, f"{number} is said twice: {says} / {told}"


def test_days_are_told_as_days_in_every_sentence_of_the_book(farm: Session) -> None:
    write(farm, "order Fern Hollow 10 zinnia fresh by 6-30 at 1")
    before = refused(farm, "yesterday 5 statice b2 fresh culls 2 brown 2026-05-19")
    assert "2026-05" not in before.replace("2026-05-19", "")
    told = write(farm, "order Cobble weekly from 7-1 to 8-26 5 zinnia fresh at 1").says[0]
    assert "2026-" not in told and "26 Aug 2026" in told


async def test_a_refused_answer_of_the_first_questions_says_how_it_is_cleared(tmp_path: Path) -> None:
    app = ShedApp(None, lambda by: Session.create(tmp_path / "new", by=by or "me"), tmp_path / "new")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"jm", "enter", *"Barn", "enter", *"foo", "enter")
        assert "ctrl+u clears the answer" in " ".join(app.status.text.split()) and "ctrl+u clears" in shown(
            app
        )
        await pilot.press("ctrl+u", *"5-14", "enter", *"x", "enter")
        assert "1 october" in app.status.text and "14 may" not in app.status.text


async def test_a_step_for_all_is_offered_only_where_a_tray_stands_ready(farm: Session) -> None:
    app = ShedApp(farm, None, farm.folder)

    def offered() -> bool:
        return ("r", "step all") in key_line(own_keys(None, app.view.offers))

    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("1", "2"):
            await pilot.press(key)
            assert not offered() and "step all" not in shown(app)
        await pilot.press("2", "r", "enter")
        assert "No tray is ready for a step" in app.status.text, "pressed all the same it says why"
        await pilot.press("escape", "escape")
        write(farm, "2026-06-14 up 60 S01", "step S01 2026-06-22")
        app.refresh_views()
        for key in ("1", "2"):
            await pilot.press(key)
            assert offered() and "step all" in shown(app)
