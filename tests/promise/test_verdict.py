"""Whether an order can be kept is said first, of many items the worst; of a standing order by its worst delivery."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.promising.answers import answers
from core.promising.kept import kept
from core.promising.telephone import ask
from core.promising.told import reply_lines
from core.session import Session
from tests.farms import farm_in, write
from tui.app import ShedApp

TODAY = date(2026, 8, 4)
FARM = {
    "2026-05-20": (
        *("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft"),
        "plant 25ft zinnia coral b1 100 plants",
    ),
    "2026-06-10": ("60 strawflower b1 dry anyway", "hang L001 line 1"),
    "2026-07-01": ("snap L001", "box L001 6x10 box 7"),
    "2026-08-03": ("40 zinnia coral b1 fresh",),
}
BRIDE = (
    "order Bride Ann 2 bu of 10 strawflower dry, 60 zinnia pink, 30 peony, 20 zinnia coral, "
    "1 bu of 10 strawflower dry by 08-20"
)
VERDICT = "no 2, surely 3: no: 60 zinnia pink fresh, 30 peony fresh"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    farm_in(tmp_path / "farm", FARM)
    return Session.open(tmp_path / "farm", by="ml", on=TODAY)


def told(session: Session, line: str) -> list[str]:
    reading = session.understood(line)
    assert not hasattr(reading, "sentence"), reading
    return [*answers(session.farm, TODAY, reading.drafts)]  # type: ignore[union-attr]


def test_of_many_items_the_verdict_comes_first_and_the_worst_is_named(session: Session) -> None:
    first, *each = told(session, BRIDE)
    assert first == VERDICT
    assert [line[:20] for line in each] == ["no (0 in 100): 60 zi", "no (0 in 100): 30 pe"]


def test_the_worst_delivery_decides_and_is_named(session: Session) -> None:
    """Of 60 dry stems the first two Tuesdays have 25 each; the third, and the fourth, have too few."""
    line = "order Ann 25 strawflower dry weekly from 8-11 for 4 weeks"
    (only,) = told(session, line)
    assert only.startswith("no (0 in 100): 25 strawflower dry for Tue 1 Sep, the worst of 4 deliveries")
    enough = told(session, "order Ann 15 strawflower dry weekly from 8-11 for 4 weeks")
    assert enough == ["all of it can surely be promised"]


def test_the_page_of_an_order_says_how_surely_each_item_is_kept(session: Session) -> None:
    write(session, BRIDE)
    order = session.farm.orders.get("O001")
    assert order is not None
    assert {place: says.partition(" ")[0] for place, says in kept(session.farm, TODAY, order).items()} == {
        1: "surely", 2: "no", 3: "no", 4: "surely", 5: "surely",
    }  # fmt: skip
    write(session, "order Lou 45 strawflower dry by 08-20")
    later = session.farm.orders.get("O002")
    assert later is not None
    assert kept(session.farm, TODAY, later)[1] == "no (0 in 100)", "30 go to Bride Ann, who ordered first"
    assert kept(session.farm, TODAY, order)[1].startswith("surely")


@pytest.mark.parametrize("view", ["today", "beds", "promised"])
async def test_the_screen_says_the_verdict_as_soon_as_it_is_written(view: str, session: Session) -> None:
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show(view)
        app.action_write()
        app.entry.fill(BRIDE)
        await pilot.pause()
        if view == "promised":
            typed = app.view.told()[0][0][0]
            assert typed.startswith("no 2,") and "no: 60 zinnia pink fresh, 30 peony fresh" in typed
        await pilot.press("enter")
        await pilot.pause()
        head, _, text = " ".join(app.status.text.split()).partition(VERDICT)
        assert head.startswith("written ") and len(head) < 20 and "Bride Ann" in text


def test_what_stands_mixed_is_said_where_a_color_is_asked_for(tmp_path: Path) -> None:
    more = ("bed b2 50ft", "plant 25ft zinnia mixed b1 100 plants", "plant 10ft zinnia b2 40 plants")
    farm_in(
        tmp_path / "farm",
        {"2026-05-20": (*FARM["2026-05-20"][:4], *more), "2026-05-21": ("sow 72 zinnia mix",)},
    )
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 6, 23))

    def lines(text: str) -> list[str]:
        found = ask(session.farm, session.today, text)
        assert not isinstance(found, Problem)
        return [line.strip() for line in reply_lines(found)]

    asked = lines("60 zinnia coral or pink fresh 09-12")
    assert asked[1].startswith("none of it can be counted on")
    assert asked[-3:] == [
        "not counted: P01 in b1, mixed",
        "not counted: P02 in b2, no color said",
        "not counted: S01 in trays, mixed",
    ]
    assert not any("not counted" in line for line in lines("60 zinnia fresh 09-12"))


def test_what_lies_mixed_in_the_shed_is_said_where_a_color_is_asked_for(tmp_path: Path) -> None:
    planted = ("plant 20ft strawflower apricot b1 60 plants", "plant 20ft strawflower mixed b1 60 plants")
    boxed = ("snap L001", "box L001 6x10 box 7", "snap L002", "box L002 6x10 box 8")
    farm_in(
        tmp_path / "farm",
        {
            "2026-05-20": (*FARM["2026-05-20"][:4], *planted),
            "2026-07-10": ("60 strawflower apricot b1 dry", "60 strawflower mixed b1 dry"),
            "2026-07-11": ("hang L001 line 1", "hang L002 line 1"),
            "2026-07-28": boxed,
            "2026-08-03": (
                "40 strawflower mixed b1 dry",
                "hang L003 line 1",
                "20 strawflower mixed b1 fresh",
            ),
        },
    )
    session = Session.open(tmp_path / "farm", by="ml", on=TODAY)

    def uncounted(text: str) -> list[str]:
        found = ask(session.farm, session.today, text)
        assert not isinstance(found, Problem), found.sentence
        return [line for line in found[0].answer.uncounted if "L0" in line]

    assert uncounted("50 strawflower apricot dry 09-12") == ["not counted: L002, L003, mixed (97 stems)"]
    assert uncounted("5 strawflower apricot fresh 08-05") == ["not counted: L004, mixed (20 stems)"]
    assert uncounted("50 strawflower dry 09-12") == []
