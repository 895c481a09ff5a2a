"""Recipes and pieces as she writes them: one line each, taken back whole, and one sentence where it cannot be."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from core.kinds import sentence
from core.pieces.bench import bench_rows
from core.pieces.orders import Order, order_called
from core.pieces.tracing import Trace, trace_called
from core.problems import Problem
from core.session import Session, Written
from core.stems.rows import stock_rows
from tests.farms import farm_in, frozen, write

DAY = date(2026, 8, 20)
WREATH = "recipe winter-wreath wreath 12in 60min: 30 dry statice, 5 dry strawflower apricot, 1 ring 12in, 2 wire 22"
POSY = "recipe posy bouquet 15min: 10 dry statice"
PARTS = [
    ["statice", 30, "dry"],
    ["strawflower apricot", 5, "dry"],
    ["ring 12in", 1, "making"],
    ["wire 22", 2, "making"],
]


def refused(session: Session, line: str) -> Problem:
    before = frozen(session.farm)
    problem = session.write(line)
    assert isinstance(problem, Problem), f"{line}: {problem}"
    assert frozen(session.farm) == before
    assert "\n" not in problem.sentence and problem.sentence.endswith((".", "?"))
    return problem


DAYS = {
    "2026-05-01": (
        "farm zone UTC", "bed b1 50ft", "bed b2 50ft",
        "plant strawflower b1 25ft on 2026-04-01", "plant statice b2 25ft on 2026-04-01",
    ),
    "2026-07-01": ("40 strawflower b1 dry apricot", "hang line 1", "60 statice b2 dry", "hang line 3"),
    "2026-07-15": ("snap L001", "snap L002", "box L001 4x10 box 1", "box L002 6x10 box 2"),
    "2026-08-10": ("30 statice b2 dry", "hang line 3"),
    "2026-08-20": ("bought 500 wire 22", "bought 3 ring 12 in"),
}  # fmt: skip
"""Statice in box 2 and on line 3, strawflower apricot in box 1, wire and rings."""


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """That farm on 20 August."""
    return farm_in(tmp_path / "farm", DAYS)


@pytest.fixture(scope="module")
def same_door(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """The same for what changes nothing: its recipe written, and one of heads."""
    opened = farm_in(tmp_path_factory.mktemp("same") / "farm", DAYS)
    write(opened, WREATH, "recipe headed as wired head")
    return opened


def parts(session: Session, name: str = "winter-wreath") -> list[list[object]]:
    return [list(part) for part in session.farm.recipes[name].parts]


def test_one_line_writes_a_recipe_and_its_parts(session: Session) -> None:
    written = write(session, WREATH)
    assert [e.kind for e in written.entries] == ["recipe", "part", "part", "part", "part"]
    found = session.farm.recipes["winter-wreath"]
    assert (found.sort, found.size_in, found.minutes, parts(session)) == ("wreath", 12, 60, PARTS)


@pytest.mark.parametrize(
    ("line", "name", "sort", "parts"),
    [
        ("recipe posy bouquet: 3 bunches dry statice", "posy", "bouquet", [["statice", 30, "dry"]]),
        ("recipe posy bouquet: 3x8 statice dry", "posy", "bouquet", [["statice", 24, "dry"]]),
        ("recipe bride bouquet 50min: 20 fresh zinnia and 6 any grasses dry", "bride", "bouquet",
         [["zinnia", 20, "fresh"], ["any grass", 6, "dry"]]),
        ("recipe dry-crown: 20 dry any, 2 wire 20, 0.3 tape", "dry-crown", "crown",
         [["any", 20, "dry"], ["wire 20", 2, "making"], ["tape", 0.3, "making"]]),
        ("recipe bh boutonniere: 1 wired strawflower; 3 any filler dry; 1 pin", "bh", "boutonniere",
         [["strawflower", 1, "wired"], ["any filler", 3, "dry"], ["pin", 1, "making"]]),
        ("recipe sash wreath: 5 dry statice, 5 dry statice, 2 gold ribbon", "sash", "wreath",
         [["statice", 10, "dry"], ["gold ribbon", 2, "making"]]),
        ("recipe w wreath: 4 dry statice 'Rosy Mist'", "w", "wreath", [["statice Rosy Mist", 4, "dry"]]),
        ("recipe crown-b as crown", "crown-b", "crown",
         [["any", 32, "dry"], ["wire 20", 2, "making"], ["tape", 0.46, "making"]]),
        ("recipe wreath-12 as wreath 12in", "wreath-12", "wreath",
         [["any", 120, "dry"], ["wire 26", 12, "making"], ["ring 12in", 1, "making"]]),
        ("recipe bride as bridal bouquet dry", "bride", "bouquet", [["any", 40, "dry"], ["ribbon", 1, "making"]]),
    ],
)  # fmt: skip
def test_a_recipe_in_her_own_words(
    session: Session, line: str, name: str, sort: str, parts: list[list[object]]
) -> None:
    write(session, line)
    found = session.farm.recipes[name]
    assert (found.sort, [list(part) for part in found.parts]) == (sort, parts)


def test_a_copy_of_her_own_recipe_for_another_ring(session: Session) -> None:
    write(session, WREATH)
    write(session, "recipe big-wreath as winter-wreath 18in")
    found = session.farm.recipes["big-wreath"]
    assert (found.size_in, found.minutes) == (18, 90)
    assert parts(session, "big-wreath") == [
        ["statice", 45, "dry"],
        ["strawflower apricot", 8, "dry"],
        ["ring 18in", 1, "making"],
        ["wire 22", 3, "making"],
    ]


def test_the_library_says_where_its_numbers_come_from(session: Session) -> None:
    remarks = " ".join(write(session, "recipe wreath-12 as wreath 12in").remarks)
    assert "[S74]" in remarks and "common practice" in remarks and "starting point" in remarks


def test_a_recipe_written_again_is_changed_and_undo_brings_the_old_one_back(session: Session) -> None:
    write(session, WREATH)
    written = write(session, "recipe winter-wreath 45min")
    assert [e.kind for e in written.entries] == ["recipe"] and parts(session) == PARTS
    write(session, "recipe winter-wreath: 20 dry statice, 1 ring 12in, 3 wire 22")
    assert parts(session) == [["statice", 20, "dry"], ["ring 12in", 1, "making"], ["wire 22", 3, "making"]]
    found = session.farm.recipes["winter-wreath"]
    assert (found.sort, found.size_in, found.minutes) == ("wreath", 12, 45)
    write(session, "undo")
    assert parts(session) == PARTS


def test_the_name_alone_of_a_recipe_changes_nothing_and_tells_it(session: Session) -> None:
    write(session, WREATH)
    says = refused(session, "recipe winter-wreath").sentence
    assert says.startswith(
        "winter-wreath is on record, a wreath of 30 dry statice, 5 dry strawflower apricot, 1 ring"
    )
    write(session, "recipe winter-wreath 70min")


def test_one_part_is_changed_put_in_or_taken_out(session: Session) -> None:
    write(session, WREATH)
    write(session, "part winter-wreath 25 dry statice")
    write(session, "part winter-wreath 6 any filler dry, 4 wire 22")
    write(session, "part winter-wreath 0 dry strawflower apricot")
    assert parts(session) == [
        ["statice", 25, "dry"], ["ring 12in", 1, "making"], ["wire 22", 4, "making"], ["any filler", 6, "dry"],
    ]  # fmt: skip


def test_a_recipe_is_dropped_and_comes_back_with_its_parts(session: Session) -> None:
    write(session, WREATH)
    write(session, "drop winter-wreath")
    assert bench_rows(session.farm, session.today).recipes == () and parts(session) == []
    assert "no parts yet" in refused(session, "make 1 winter-wreath").sentence
    assert "dropped already" in refused(session, "drop winter-wreath").sentence
    write(session, "undo")
    assert parts(session) == PARTS


def test_a_gauge_is_told_with_its_mm_when_heads_are_wired(session: Session) -> None:
    write(session, "24 strawflower b1 wire")
    problem = refused(session, "wire 5 L004 18g")
    assert "20 gauge: 0.91 mm if SWG, 0.81 mm if AWG" in problem.sentence
    write(session, "farm wire AWG")
    assert "22 gauge AWG, 0.64 mm" in write(session, "wire 5 L004").remarks


def test_making_takes_the_parts_and_the_line_is_undone_whole(session: Session) -> None:
    write(session, WREATH)
    before = frozen(session.farm)
    written = write(session, "make 2 winter-wreath 80min")
    assert written.says == (
        "made 2 winter-wreath in 80 min: M001",
        "used 10 stems of L001 from box 1 in M001",
        "used 60 stems of L002 from box 2 in M001",
        "2 of ring 12in used in M001",
        "4 of wire 22 used in M001",
    )
    assert any("oldest first" in remark for remark in written.remarks)
    assert session.farm.makings == {"wire 22": 496, "ring 12in": 1}
    write(session, "undo")
    after = session.farm
    assert after.pieces.get("M001") is None and after.makings == {"wire 22": 500, "ring 12in": 3}
    after.count -= 10  # five entries and their five strikes
    assert frozen(after) == before
    assert Session.open(session.folder, by="ml", on=DAY).check() == []


def test_striking_the_making_by_its_id_strikes_and_restores_all_of_it(session: Session) -> None:
    write(session, WREATH)
    made = write(session, "make 1 winter-wreath")
    write(session, "low 60")
    standing = {r.place: r.stems for r in stock_rows(session.farm, session.today)}
    struck = session.strike(made.entries[0].id)
    assert isinstance(struck, Written) and len(struck.entries) == 5
    assert {r.place: r.stems for r in stock_rows(session.farm, session.today)}["box 2"] == 60
    restored = session.strike(struck.entries[0].id)
    assert isinstance(restored, Written) and len(restored.entries) == 5
    assert {r.place: r.stems for r in stock_rows(session.farm, session.today)} == standing
    assert session.check() == []


def test_what_was_sold_holds_its_making_in_the_book(session: Session) -> None:
    write(session, WREATH)
    made = write(session, "make 1 winter-wreath")
    write(session, "sold M001 to corner florist")
    problem = session.strike(made.entries[0].id)
    assert isinstance(problem, Problem) and "cannot be taken back before what rests on it" in problem.sentence


def test_pieces_are_sold_and_lost_by_their_code(session: Session) -> None:
    write(session, WREATH)
    write(session, "make 2 winter-wreaths")
    assert "cannot be dated" in refused(session, "sold 1 m1 yesterday").sentence
    assert write(session, "lost 1 M001 broken").says == ("lost 1 of M001, broken",)
    assert write(session, "sold M001 to corner florist").says == ("sold 1 of M001 to corner florist",)
    assert "nothing on hand" in refused(session, "sold M001").sentence


def test_pieces_are_sold_across_those_made_at_several_times_and_the_money_is_whole(session: Session) -> None:
    write(session, POSY)
    write(session, "make 1 posy", "make 1 posy", "make 1 posy")
    assert "3 posy are there" in refused(session, "sold 4 posy").sentence
    said = write(session, "sold 2 posys to Lane for 45.01").says
    assert said == ("sold 1 of M001 for 22.50 to Lane", "sold 1 of M002 for 22.51 to Lane")
    assert write(session, "used 1 bouquet for a gift").says == ("lost 1 of M003, given away",)
    assert session.check() == []


def test_pieces_are_named_by_code_and_recipe_at_once_and_a_buyer_by_a_word_of_theirs(
    session: Session,
) -> None:
    write(session, POSY)
    write(session, "make 1 posy", "make 1 posy")
    assert write(session, "lost 1 posy broken").says == ("lost 1 of M001, broken",)
    assert write(session, "sold 1 posy M002 at 40").says == ("sold 1 of M002 for 40.00",)
    write(session, "make 1 posy")
    sold = write(session, "sold 5 L001 to Bouquet House").entries
    assert [entry.kind for entry in sold] == ["sold"]


def test_pieces_made_yesterday_must_fit_what_came_after(session: Session) -> None:
    write(session, WREATH)
    write(session, "sold 3 bunches L002 box 2")
    problem = refused(session, "make 2 winter-wreath yesterday")
    assert "30 dry statice short" in problem.sentence
    assert write(session, "make 1 winter-wreath").entries[0].on == "2026-08-20"


def test_a_recipe_holds_for_any_day_and_late_making_is_written_with_its_own(session: Session) -> None:
    write(session, WREATH)
    written = write(session, "make 1 winter-wreath on 2026-08-12")
    assert {e.on for e in written.entries} == {"2026-08-12"}
    problem = refused(session, "make 1 winter-wreath on 2026-07-14")
    assert "short" in problem.sentence or "fit" in problem.sentence


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("recipe", "What is the recipe called"),
        ("recipe Winter_Wreath wreath: 1 ring", "one word of letters"),
        ("recipe dry wreath: 1 ring", "means something else"),
        ("recipe L001 wreath: 1 ring", "means something else"),
        ("recipe hat: 3 dry statice", "What is hat"),
        ("recipe w wreath", "What goes into w"),
        ("recipe w wreath 100 dry statice", "Write a colon before the parts"),
        ("recipe w wreath: 100 statice", "In which form"),
        ("recipe w wreath: dry statice", "How many dry statice"),
        ("recipe w wreath: 3 dry statise", "Did you mean statice"),
        ("recipe w wreath: 3 gizmos", "no crop, and no making"),
        ("recipe w wreath: 3 dry statice wired", "in one part"),
        ("recipe w wreath: 0 dry statice", "is no part"),
        ("recipe w wreath: 1.5 dry statice", "no whole number"),
        ("recipe w wreath -2in: 3 dry statice", "more than 0"),
        ("recipe w as hat", "As which recipe"),
        ("recipe w as", "As which recipe"),
        ("recipe w as market 12in", "has no size"),
        ("recipe w as wreath: 3 dry statice", "not both"),
        ("recipe w as wreath 90in sideways", "not understood"),
        ("part winter-wreath", "Which part"),
        ("part ghost 3 dry statice", "no recipe ghost"),
        ("part winter-wreath 0 dry zinnia", "to take out"),
        ("make", "Make what"),
        ("make 2 ghost", "no recipe ghost"),
        ("make 0 winter-wreath", "Say how many winter-wreath, from 1"),
        ("make 2.5 winter-wreath", "no whole number"),
        ("make 3 winter-wreath", "30 dry statice short for 3 winter-wreath (90 needed, 60 there): make 2"),
        ("make 2 winter-wreath -5min", "more than 0"),
        ("make 2 winter-wreath blue", "not understood"),
        ("make 1 headed", "stay in their lot"),
        ("sold 1 M007", "no pieces M007"),
        ("lost 1 M007 broken", "no pieces M007"),
        ("reorder 20 wier 22", "Did you mean wire"),
        ("reorder 20 ribbon", "No ribbon is in the book"),
        ("reorder ring 12in", "How many"),
        ("farm wire iron", "SWG"),
    ],
)
def test_what_cannot_be_read_or_be_is_one_sentence_and_loses_nothing(
    same_door: Session, line: str, says: str
) -> None:
    assert says in refused(same_door, line).sentence


def test_the_bench_the_order_and_the_trace_come_through_the_door(session: Session) -> None:
    write(session, WREATH)
    write(session, "farm wire SWG")
    write(session, "reorder 500 wire 22")
    (row,) = bench_rows(session.farm, session.today).recipes
    assert (row.can_make, row.limited_by) == (2, "dry statice")
    assert [(r.making, r.status, r.says) for r in bench_rows(session.farm, session.today).makings] == [
        ("wire 22", "buy", "22 gauge SWG, 0.71 mm"),
        ("ring 12in", "", ""),
    ]
    order = order_called(session.farm, "12 winter-wreaths of 12 in", session.today)
    assert isinstance(order, Order) and order.is_short and "300 dry statice, 20 dry" in order.sentence
    order = order_called(session.farm, "2 wreaths of 14 in", session.today)
    assert isinstance(order, Order) and order.recipe == "wreath" and order.parts[0].needed == 280
    assert isinstance(order_called(session.farm, "12 hats", session.today), Problem) and isinstance(
        order_called(session.farm, "", session.today), Problem
    )
    write(session, "make 1 winter-wreath")
    found = trace_called(session.farm, "m1")
    assert isinstance(found, Trace) and [(p.lot, p.bed) for p in found.stems] == [
        ("L001", "b1"),
        ("L002", "b2"),
    ]
    assert isinstance(trace_called(session.farm, "M099"), Problem)


def test_the_history_of_pieces_goes_back_to_the_beds_and_leaves_other_sales_out(session: Session) -> None:
    write(session, WREATH)
    write(session, "sold 1 bunch L001 box 1")
    write(session, "make 1 winter-wreath")
    write(session, "note M001 for the church")
    write(session, "sold M001 to corner florist")
    story = session.look_back.history("M001")
    assert not isinstance(story, Problem)
    says = [sentence(e) for e in story]
    assert says[0].startswith("set out P01: strawflower") and says[-1] == "sold 1 of M001 to corner florist"
    assert (
        "boxed 6 of L002, 10 in each, from line 3 into box 2" in says
        and "note on M001: for the church" in says
    )
    assert not any("sold 10 stems" in said for said in says)
    assert isinstance(session.look_back.history("M099"), Problem)


def test_machines_apart_that_make_from_the_last_bunch_settle_it_after_the_merge(
    session: Session, tmp_path: Path
) -> None:
    write(session, WREATH)
    session.close()
    netbook = tmp_path / "netbook"
    shutil.copytree(session.folder, netbook, ignore=shutil.ignore_patterns("device*", "fold"))
    here = Session.open(session.folder, by="ml", on=DAY)
    there = Session.open(netbook, by="ka", on=DAY)
    write(here, "make 2 winter-wreath")
    write(there, "make 2 winter-wreath")
    there.close()
    report = here.merge(netbook)
    assert report.added == 5
    said = " ".join(p.sentence for p in report.to_settle)
    assert "60 more stems of L002" in said and "1 more of ring 12in" in said
    assert [row.on_hand for row in bench_rows(here.farm, here.today).pieces] == [2, 2]
    assert here.farm.makings["ring 12in"] == -1
    write(here, "count 0 ring 12in")
    assert here.farm.makings["ring 12in"] == 0


def test_pieces_are_not_made_more_or_fewer_by_a_correction(session: Session) -> None:
    """What went in stays in: nine swags out of the stems of one would come from nothing."""
    write(session, "recipe swag wreath 20min: 10 dry strawflower, 5 dry statice", "make 2 swag")
    for line in ("M001 was 9", "M001 was 1"):
        refused = session.write(line)
        assert isinstance(refused, Problem) and "write 'make' again" in refused.sentence
    assert session.check() == []
