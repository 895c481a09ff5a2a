"""The morning cut list: what to cut where, for whom, and when it is done."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from core.promising import field
from core.promising.cut_list import CutList, cut_list
from core.promising.open_claims import open_claims
from core.promising.told import cut_list_lines
from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tests.farms import farm_in, morning_of, write

SET_UP = (
    "farm zone UTC",
    "last frost 14 may",
    "first frost 28 sept",
    "bed b1 50ft",
    "bed b2 50ft",
    "bed b10 50ft",
)
FARM = {
    "2026-05-20": (
        *SET_UP,
        "plant 25ft zinnia coral b10 100 plants",
        "plant 25ft zinnia coral b2 100 plants",
        "plant 25ft strawflower apricot b1 80 plants",
    ),
    "2026-07-30": ("40 zinnia coral b2 fresh", "40 zinnia coral b10 fresh", "30 strawflower apricot b1 dry"),
    "2026-08-02": ("sold 40 L001 to market", "sold 40 L002 to market"),
}
TODAY = date(2026, 8, 3)


def opened(folder: Path, *lines: str) -> Session:
    made = farm_in(folder / "farm", {**FARM, "2026-08-03": lines})
    return Session.open(made.folder, by="ml", on=TODAY)


def listed(session: Session) -> CutList:
    return cut_list(session.sight(), open_claims(session.farm, session.today))


def test_without_orders_it_asks_for_nothing_and_says_what_is_worth_cutting(tmp_path: Path) -> None:
    found = listed(opened(tmp_path))
    assert found.rows == ()
    assert {row.bed for row in found.worth} == {"b1", "b2", "b10"}
    assert found.is_done


def test_what_is_due_tomorrow_is_cut_today_bed_by_bed_and_no_more(tmp_path: Path) -> None:
    found = listed(opened(tmp_path, "order Fern Hollow 50 zinnia fresh by 08-04"))
    assert [row.bed for row in found.rows] == ["b2", "b10"]
    assert sum(row.asked for row in found.rows) == 50
    assert {one.buyer for row in found.rows for one in row.promised} == {"Fern Hollow"}
    assert found.short == ()


def test_what_tomorrow_gives_in_time_is_left_to_tomorrow(tmp_path: Path) -> None:
    assert listed(opened(tmp_path, "order Fern Hollow 10 zinnia fresh by 08-08")).rows == ()


def test_what_lies_in_the_bucket_is_not_cut_again(tmp_path: Path) -> None:
    cut_before = {**FARM, "2026-08-02": (*FARM["2026-08-02"], "60 zinnia coral b2 fresh")}
    made = farm_in(
        tmp_path / "farm", {**cut_before, "2026-08-03": ["order Fern Hollow 50 zinnia fresh by 08-04"]}
    )
    assert listed(Session.open(made.folder, by="ml", on=TODAY)).rows == ()


def test_the_cuts_of_the_day_tick_it_off(tmp_path: Path) -> None:
    order = "order Fern Hollow 20 zinnia fresh by 08-04"
    (asked,) = listed(opened(tmp_path / "a", order)).rows
    assert (asked.asked, asked.cut, asked.left) == (20, 0, 20)
    (some,) = listed(opened(tmp_path / "b", order, f"12 zinnia coral {asked.bed} fresh")).rows
    assert (some.asked, some.cut, some.left) == (20, 12, 8)
    done = listed(
        opened(
            tmp_path / "c", order, f"12 zinnia coral {asked.bed} fresh", f"8 zinnia coral {asked.bed} fresh"
        )
    )
    assert done.is_done
    assert cut_list_lines(done)[2].startswith(f"  [x] {asked.bed}")


def test_fresh_is_cut_in_the_cool_and_what_hangs_when_the_dew_is_gone(tmp_path: Path) -> None:
    found = listed(
        opened(
            tmp_path,
            "order Fern Hollow 10 zinnia fresh by 08-04",
            "order Fern Hollow 600 strawflower dry by 08-26",
        )
    )
    assert [(row.when, row.use) for row in found.rows] == [("cool", "fresh"), ("dry", "dry")]
    lines = cut_list_lines(found)
    assert lines.index("while it is cool, straight into water") < lines.index("once the dew is gone")
    assert all(len(line) < 80 for line in lines)


def test_more_than_is_reckoned_to_stand_is_asked_all_the_same(tmp_path: Path) -> None:
    found = listed(opened(tmp_path, "order Fern Hollow 500 zinnia fresh by 08-04"))
    assert sum(row.asked for row in found.rows) == 500
    assert any(row.standing < row.left for row in found.rows)
    assert [(one.order, one.wanted) for one in found.short] == [("O001", 500)]


def test_the_morning_says_what_will_be_short(tmp_path: Path) -> None:
    def said(session: Session) -> list[str]:
        return [a.do for a in morning_of(session).asked if a.zone == "promised" and "short" in a.do]

    assert said(opened(tmp_path / "a", "order Fern Hollow 10 zinnia fresh by 08-08")) == []
    (short,) = said(opened(tmp_path / "b", "order Fern Hollow 900 zinnia fresh by 08-08"))
    assert short.endswith("of 900 will be short")


def test_what_is_ordered_for_later_and_is_nowhere_is_to_be_planned_from_the_day_of_the_order(
    tmp_path: Path,
) -> None:
    def said(session: Session) -> list[str]:
        return [f"{a.code} {a.name}: {a.do}" for a in morning_of(session).asked if a.do.startswith("plan or")]

    orders = (
        "order Mill Inn 10 bunches tulip fresh weekly from 2027-04-20 to 2027-05-11",
        "order Fern Hollow 10 zinnia fresh by 08-08",
    )
    session = opened(tmp_path, *orders)
    assert said(session) == ["O001 tulip fresh: plan or buy in 100, 4 times from 20 Apr"]
    assert session.write("cancel O001")
    assert said(session) == []


def test_the_morning_says_what_to_cut_for_orders_until_it_is_cut(tmp_path: Path) -> None:
    def said(session: Session) -> list[str]:
        return [f"{a.code} {a.do}" for a in morning_of(session).asked if a.about[:1] == ("asked cut",)]

    order = "order Fern Hollow 20 zinnia fresh by 08-04"
    (line,) = said(opened(tmp_path / "a", order))
    bed = line.split()[0]
    assert line == f"{bed} cut 20 fresh for O001"
    assert said(opened(tmp_path / "b", order, f"12 zinnia coral {bed} fresh")) == [
        f"{bed} cut 8 fresh for O001"
    ]
    assert said(opened(tmp_path / "c", order, f"20 zinnia coral {bed} fresh")) == []


def test_spare_is_asked_for_beside_what_is_promised(tmp_path: Path) -> None:
    found = listed(opened(tmp_path, "order Fern Hollow 20 zinnia fresh by 08-04 spare 10%"))
    assert sum(row.asked for row in found.rows) == 22
    assert {(one.order, one.stems) for row in found.rows for one in row.promised} == {("O001", 20), ("", 2)}


def test_a_standing_order_that_is_short_is_one_line(tmp_path: Path) -> None:
    found = listed(opened(tmp_path, "order Fern Hollow 900 zinnia fresh weekly from 08-05 for 3 weeks"))
    (short,) = found.short
    assert (short.times, short.due, short.last_due) == (3, "2026-08-05", "2026-08-19")
    assert "3 times from 5 Aug to 19 Aug" in short.says


def test_what_is_picked_for_an_order_is_not_cut_for_it_again(tmp_path: Path) -> None:
    cut_before = {**FARM, "2026-08-02": (*FARM["2026-08-02"], "60 zinnia coral b2 fresh")}
    lines = ("order Fern Hollow 50 zinnia fresh by 08-04", "pick O001")
    made = farm_in(tmp_path / "farm", {**cut_before, "2026-08-03": lines})
    session = Session.open(made.folder, by="ml", on=TODAY)
    assert open_claims(session.farm, TODAY) == ()
    assert listed(session).rows == ()


def test_what_was_not_cut_today_is_reckoned_once_for_it_stood_so_this_morning(tmp_path: Path) -> None:
    copy_to(tmp_path / "demo")
    was_cut = 0
    for days in (0, 9, 20):
        day = DEMO_DAY - timedelta(days=days)
        session = Session.open(tmp_path / "demo", by="ml", on=day)
        if not days:
            write(session, "30 snapdragon b11 fresh")
        farm = session.farm
        for planting in farm.plantings.live():
            by = day + timedelta(days=30)
            now, then = (field._standing(farm, planting, day, by, of_morning) for of_morning in (False, True))
            is_same = field._stood_otherwise(planting, day) or repr(now) == repr(then)
            was_cut += repr(now) != repr(then)
            assert is_same, planting.code
    assert was_cut
