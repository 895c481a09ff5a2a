"""What a grower can say on the telephone: surely, likely or no, and the sum behind it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.promising.answer import Answer
from core.promising.telephone import ask
from core.promising.told import MOST_LINES, reply_json, reply_lines
from core.session import Session
from tests.farms import farm_in

SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 50ft")
FARM = {
    "2026-03-20": (*SET_UP, "sow 72 strawflower apricot"),
    "2026-04-02": ("up 70 S01",),
    "2026-05-20": ("set out S01 b1 20ft", "plant 25ft zinnia coral b2 100 plants"),
    "2026-07-20": ("60 strawflower apricot b1 dry", "hang L001 line 1"),
    "2026-08-04": ("snap L001", "box L001 6x10 box 1", "40 zinnia coral b2 fresh"),
}
TODAY = date(2026, 8, 4)


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    made = farm_in(tmp_path_factory.mktemp("promise") / "farm", FARM)
    return Session.open(made.folder, by="ml", on=TODAY)


def answered(session: Session, text: str) -> Answer:
    replies = ask(session.farm, session.today, text)
    assert not isinstance(replies, Problem), replies.sentence
    return replies[0].answer


def with_lines(tmp_path: Path, *lines: str) -> Session:
    farm = farm_in(tmp_path / "farm", {**FARM, "2026-08-04": (*FARM["2026-08-04"], *lines)})
    return Session.open(farm.folder, by="ml", on=TODAY)


def test_what_lies_in_the_box_is_promised_surely(session: Session) -> None:
    found = answered(session, "60 strawflower dry 08-06")
    assert (found.answer, found.chance) == ("surely", 1.0)
    assert found.turns_on == ()
    assert [(row.code, row.place, row.amount) for row in found.sources if row.kind == "on hand"] == [
        ("L001", "box 1", 60)
    ]


def test_more_than_there_can_be_is_refused_with_what_would_do(session: Session) -> None:
    found = answered(session, "61 strawflower dry 08-06")
    assert found.answer == "no"
    assert (found.short, found.free_on_day, found.short_from) == (1, 60, "2026-08-06")
    # nothing cut now is dry in two days, and a week is too late to buy in
    assert found.acts == ()
    assert found.free_from is not None


def test_what_is_still_in_the_field_counts_by_what_it_gives(session: Session) -> None:
    near, more = (answered(session, f"{n} strawflower dry 09-25") for n in (60, 1500))
    assert near.answer == "surely"
    assert more.answer == "no"
    assert {row.kind for row in near.sources} == {"on hand", "in the field"}
    some = answered(session, f"{near.free_on_day + 15} strawflower dry 09-25")
    assert some.answer == "likely"
    assert some.turns_on[0].startswith("P01: about")
    assert [act.do for act in some.acts] == ["cut to hang", "buy in"]


def test_a_lot_past_its_life_on_the_day_does_not_count(session: Session) -> None:
    today = answered(session, "10 zinnia fresh tomorrow")
    assert ("on hand", "L002") in {(row.kind, row.code) for row in today.sources}
    later = answered(session, "10 zinnia fresh 08-28")
    assert all(row.kind == "in the field" for row in later.sources)


def test_the_color_asked_for_is_the_color_counted(session: Session) -> None:
    assert answered(session, "20 strawflower apricot dry 08-06").answer == "surely"
    assert answered(session, "20 strawflower white dry 08-06").answer == "no"
    assert answered(session, "20 strawflower white or apricot dry 08-06").answer == "surely"


def test_what_is_asked_for_is_read_as_an_order_is(session: Session) -> None:
    bunches = answered(session, "strawflower dry 2bu of 30 08-06")
    assert (bunches.wanted, bunches.answer) == (60, "surely")
    instead = answered(session, "20 strawflower white or apricot or statice dry 08-06")
    assert instead.what == "strawflower white or strawflower apricot or statice dry"


def test_of_several_things_each_is_answered_beside_those_before_it(session: Session) -> None:
    found = ask(session.farm, TODAY, "40 strawflower dry, 21 strawflower apricot dry by 08-06")
    assert not isinstance(found, Problem)
    assert [reply.answer.answer for reply in found] == ["surely", "no"]
    assert reply_json(found)["answer"] == "no"
    first, second, *rest = reply_lines(found)
    assert first == "no 1, surely 1: no: 21 strawflower apricot dry"
    assert second.startswith("no (0 in 100): 21 strawflower apricot dry") and len(rest) == 3


def test_the_answer_is_short_and_begins_with_yes_or_no(session: Session) -> None:
    for text in ("60 strawflower dry 08-06", "900 strawflower dry 09-25", "100 zinnia fresh 08-28"):
        found = ask(session.farm, TODAY, text)
        assert not isinstance(found, Problem)
        lines = reply_lines(found)
        assert len(lines) <= MOST_LINES
        assert all(len(line) < 80 for line in lines)
        assert lines[0].startswith(("surely (", "likely (", "no ("))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("zinnia", "For which day?"),
        ("zinnia fresh 08-28", "How many"),
        ("40 fresh 08-28", "Of what?"),
        ("0 zinnia fresh 08-28", "At least one"),
        ("40 zinnia fresh 08-28 08-29", "By which day?"),
        ("40 zinnia fresh weekly from 08-28 for 3 weeks", "one day at a time"),
        ("40 zinnia plaid fresh 08-28", "plaid"),
    ],
)
def test_what_is_missing_is_asked_for_in_a_sentence(session: Session, text: str, says: str) -> None:
    found = ask(session.farm, TODAY, text)
    assert isinstance(found, Problem)
    assert says in found.sentence


def test_a_frost_that_came_ends_what_it_killed(tmp_path: Path) -> None:
    farm = with_lines(tmp_path, "low 25")
    found = answered(farm, "10 zinnia fresh 08-28")
    assert (found.answer, found.sources) == ("no", ())
    assert answered(farm, "60 strawflower dry 08-06").answer == "surely"


def test_plans_not_yet_sown_make_nothing_sure(tmp_path: Path) -> None:
    day = date(2026, 3, 1)
    lines = {"2026-03-01": (*SET_UP, "plan 200 zinnia coral fresh by 08-20 b2")}
    farm = Session.open(farm_in(tmp_path / "farm", lines).folder, by="ml", on=day)
    found = answered(farm, "120 zinnia fresh 08-20")
    assert found.answer == "likely"
    assert [row.kind for row in found.sources] == ["planned"]
    assert any("planned, and promised only if" in remark for remark in found.remarks)


def test_pieces_are_promised_through_their_parts(tmp_path: Path) -> None:
    farm = with_lines(tmp_path, "recipe posy bouquet 10min: 10 dry strawflower")
    six, seven = answered(farm, "6 posy 08-06"), answered(farm, "7 posy 08-06")
    assert (six.answer, six.free_on_day) == ("surely", 6)
    assert (seven.answer, seven.short) == ("no", 1)


def test_what_stands_and_cannot_be_counted_is_named(tmp_path: Path) -> None:
    no_frost = farm_in(
        tmp_path / "a",
        {"2026-05-20": ("farm zone UTC", "bed b1 50ft", "plant 25ft zinnia coral b1 100 plants")},
    )
    found = answered(Session.open(no_frost.folder, by="ml", on=TODAY), "10 zinnia fresh 08-28")
    assert found.remarks == (
        "not counted: P01 in b1: There is no last frost date yet: write 'last frost 14 may'.",
    )
    lavender = with_lines(tmp_path / "b", "plant 10ft lavender b1 20 plants 2024-05-01")
    assert answered(lavender, "10 lavender dry 09-28").remarks == (
        "not counted: P03 in b1: The sheet of lavender has no stems a plant: write 'sheet lavender stems a plant 8'.",
    )


def test_pieces_that_take_no_stems_are_never_short_of_any(tmp_path: Path) -> None:
    farm = with_lines(tmp_path, "recipe bow bouquet 5min: 1 ribbon")
    assert answered(farm, "3 bow 08-06").answer == "surely"
