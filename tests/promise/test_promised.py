"""What is promised already, and what a promise more would do to it."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from core.plans.typed_wish import preview_of
from core.problems import Problem
from core.promising.answer import Answer
from core.promising.telephone import ask
from core.session import Session
from tests.farms import farm_in

SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft")
FARM = {
    "2026-07-01": (
        *SET_UP,
        "plant 25ft strawflower apricot b1 80 plants",
        "100 strawflower apricot b1 dry",
        "hang L001 line 1",
    ),
    "2026-07-20": ("snap L001", "box L001 10x10 box 1"),
}
TODAY = date(2026, 11, 1)
"""After the frost: what is in the box is all there is."""


def asked(folder: Path, text: str, *orders: str) -> Answer:
    made = farm_in(folder / "farm", {**FARM, "2026-10-20": ("low 20", *orders)})
    session = Session.open(made.folder, by="ml", on=TODAY)
    replies = ask(session.farm, TODAY, text)
    assert not isinstance(replies, Problem), replies.sentence
    return replies[0].answer


def test_what_is_promised_is_not_promised_twice(tmp_path: Path) -> None:
    free = asked(tmp_path / "a", "40 strawflower dry 11-10", "order Fern Hollow 60 strawflower dry by 11-20")
    assert (free.answer, free.promised, free.free_on_day, free.leaves) == ("surely", 60, 40, 0)
    over = asked(tmp_path / "b", "41 strawflower dry 11-10", "order Fern Hollow 60 strawflower dry by 11-20")
    assert (over.answer, over.short) == ("no", 1)


def test_it_says_from_whom_it_would_be_taken(tmp_path: Path) -> None:
    found = asked(tmp_path, "50 strawflower dry 11-10", "order Fern Hollow 60 strawflower dry by 11-20")
    (taken,) = found.takes_from
    assert (taken.buyer, taken.amount, taken.times) == ("Fern Hollow", 10, 100)
    assert found.short_from == "2026-11-10"
    assert found.last_day_to_act == "2026-11-03"


def test_a_cancelled_order_is_promised_no_more(tmp_path: Path) -> None:
    found = asked(
        tmp_path, "100 strawflower dry 11-10", "order Fern Hollow 60 strawflower dry by 11-20", "cancel O001"
    )
    assert (found.answer, found.promised) == ("surely", 0)


def test_what_is_short_before_is_said(tmp_path: Path) -> None:
    found = asked(tmp_path, "5 strawflower dry 11-20", "order Fern Hollow 160 strawflower dry by 11-08")
    assert found.answer == "no"
    assert found.short_from == "2026-11-08"


def test_every_delivery_of_a_standing_order_is_promised(tmp_path: Path) -> None:
    order = "order Fern Hollow 20 strawflower dry weekly from 11-05 for 4 weeks"
    found = asked(tmp_path, "21 strawflower dry 11-03", order)
    assert (found.answer, found.promised, found.free_on_day) == ("no", 80, 20)


def test_the_last_day_to_sow_is_one_on_which_a_plan_is_still_made(tmp_path: Path) -> None:
    day = date(2026, 3, 1)
    farm = farm_in(tmp_path / "farm", {"2026-03-01": SET_UP})
    for what, wished in (("20 strawflower", "fresh"), ("20 strawflower", "dry"), ("40 zinnia", "fresh")):
        session = Session.open(farm.folder, by="ml", on=day)
        replies = ask(session.farm, day, f"{what} {wished} 09-10")
        assert not isinstance(replies, Problem)
        (sow,) = [act for act in replies[0].answer.acts if act.do == "sow"]
        last = date.fromisoformat(sow.by)
        plan = preview_of(f"{what} {wished} by 09-10", session.farm, last)
        assert not isinstance(plan, Problem), plan
        assert plan.plans[0].promise.chance >= 0.7
        late = preview_of(f"{what} {wished} by 09-10", session.farm, last + timedelta(days=45))
        assert isinstance(late, Problem) or late.plans[0].promise.chance < plan.plans[0].promise.chance


def test_pieces_of_any_crop_hold_what_they_take_of_a_crop(tmp_path: Path) -> None:
    recipe = "recipe posy bouquet 10min: 10 any dry"
    free = asked(tmp_path / "a", "100 strawflower dry 11-10", recipe)
    assert free.answer == "surely"
    held = asked(tmp_path / "b", "60 strawflower dry 11-10", recipe, "order Fern Hollow 5 posy by 11-20")
    assert (held.answer, held.free_on_day) == ("no", 50)
    assert held.takes_from[0].buyer == "Fern Hollow"
