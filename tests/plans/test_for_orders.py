"""Plans for what an order asks for: each item one plan, which says so, and tells when the order changes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.asks import Asked
from core.plans.rows import PlanRow, plan_rows
from core.problems import Problem
from core.promising.open_claims import open_claims
from core.promising.weeks import crop_weeks
from core.session import Session
from core.today import morning
from core.units import short_day
from tests.farms import farm_in, refused, write
from tests.shell import Shell

DAYS = {
    "2026-03-01": (
        "last frost 14 may",
        "first frost 25 sep",
        "bed b1 100ft",
        "order Fern Hollow 120 strawflower apricot dry, 40 zinnia fresh by 9-19",
        "order Lane 5x10 zinnia fresh weekly from 7-15 to 8-26",
    )
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def rows(book: Session) -> dict[str, PlanRow]:
    return {row.plan: row for row in plan_rows(book.farm, book.today)}


def changed(book: Session) -> dict[str, str]:
    return {row.plan: row.order_changed for row in rows(book).values() if row.order_changed}


def test_an_order_is_planned_item_by_item_as_each_would_be_by_itself(book: Session) -> None:
    alone = [
        book.understood(line)
        for line in ("plan 120 strawflower apricot dry by 9-19", "plan 40 zinnia fresh by 9-19")
    ]
    write(book, "plan O001")
    assert {(r.plan, r.crop, r.stems, r.by, r.serves) for r in rows(book).values()} == {
        ("N01", "strawflower", 120, "2026-09-19", "O001"),
        ("N02", "zinnia", 40, "2026-09-19", "O001"),
    }
    for row, reading in zip((rows(book)["N01"], rows(book)["N02"]), alone, strict=True):
        assert not isinstance(reading, Problem)
        fields = reading.drafts[0].fields
        assert (row.plants, row.seeds) == (fields["plants"], fields["seeds"])
    assert "not planned for already" in refused(book, "plan O001")
    write(book, "undo")
    assert rows(book) == {}


def test_one_item_and_what_is_ordered_more(book: Session) -> None:
    write(book, "plan O001 zinnia")
    assert [(r.crop, r.stems) for r in rows(book).values()] == [("zinnia", 40)]
    write(book, "order O001 30 statice dry", "plan O001")
    assert {(r.crop, r.stems) for r in rows(book).values()} == {
        ("zinnia", 40),
        ("strawflower", 120),
        ("statice", 30),
    }


def test_weekly_deliveries_are_planned_by_the_week(book: Session) -> None:
    write(book, "plan O002")
    found = rows(book).values()
    assert found and {r.serves for r in found} == {"O002"}
    alone = book.understood("plan 50 zinnia fresh a week from 7-15 to 8-26")
    assert not isinstance(alone, Problem) and len(alone.drafts) == len(found)


def test_what_cannot_be_planned_is_named_and_the_rest_is_planned(book: Session) -> None:
    write(book, "order wedding 30 zinnia fresh by 4-10")
    assert refused(book, "plan O003").startswith("O003 cannot be planned for. 30 zinnia fresh: ")
    write(book, "order Ann 60 statice dry, 3 wreath by 9-30")
    remarks = write(book, "plan O004").remarks
    assert {r.crop for r in rows(book).values()} == {"statice"}
    assert any(r.startswith("not planned: 3 wreath: ") for r in remarks)
    assert "O004 cannot be planned for. 3 wreath: " in refused(book, "plan O004")


def test_an_order_that_changes_tells_its_plans_until_they_are_changed_too(book: Session) -> None:
    write(book, "plan O001")
    assert changed(book) == {}
    write(book, "O001 was 200 strawflower")
    assert list(changed(book)) == ["N01"] and "'N01 was 200'" in changed(book)["N01"]
    write(book, "N01 was 200")
    assert changed(book) == {} and rows(book)["N01"].stems == 200
    write(book, "O001 was by 9-1")
    assert set(changed(book)) == {"N01", "N02"} and "'N02 was by 9-1'" in changed(book)["N02"]
    write(book, "N01 was by 9-1", "N02 was by 9-1")
    assert changed(book) == {}
    write(book, "drop O001 zinnia")
    assert list(changed(book)) == ["N02"] and "for nobody" in changed(book)["N02"]
    write(book, "cancel O001")
    assert set(changed(book)) == {"N01", "N02"}
    asked = {one.code: one.do for one in morning_of(book) if one.about[:1] == ("plan",)}
    assert asked == {"N01": "O001 cancelled", "N02": "O001 cancelled"}
    write(book, "drop N01", "drop N02")
    assert changed(book) == {}


def morning_of(book: Session) -> tuple[Asked, ...]:
    return morning(book.sight()).asked


def test_an_order_that_was_taken_back_tells_its_plan(book: Session) -> None:
    write(book, "order Ann 60 statice dry by 9-30", "plan O003")
    head = next(e for e in book.entries() if e.kind == "ordered" and e.fields["order"] == "O003")
    done = book.strike(head.id)
    assert not isinstance(done, Problem), done
    (said,) = changed(book).values()
    assert "O003" in said and "taken back" in said


def test_plans_of_old_books_are_for_no_order(book: Session) -> None:
    write(book, "plan 60 statice dry by 9-30")
    (row,) = rows(book).values()
    assert (row.serves, row.serves_says, row.order_changed) == ("", "", "")


def test_plan_list_page_order_and_json_say_which_order_and_how_much(
    book: Session, capsys: pytest.CaptureFixture[str]
) -> None:
    write(book, "plan O001")
    book.close()
    shell = Shell(book.folder, capsys, "2026-03-01")
    assert "N01 for O001 Fern Hollow: 120 strawflower apricot by 19 Sep" in shell.text("plan", most=200)
    assert "for O001 Fern Hollow, 40 of it" in shell.text("plan", "N02", most=200)
    assert shell.json("plan", "N01")["serves"] == "O001"
    assert "planned: N01, 120 strawflower apricot by 19 Sep" in shell.text("order", "O001")
    told = shell.json("order", "O001")["plans"]
    assert [(p["plan"], p["item"], p["number"]) for p in told] == [
        ("N01", "strawflower apricot", 120),
        ("N02", "zinnia", 40),
    ]
    seen = shell.json("plan", "O002")
    assert seen["written"] is False and {e["order"] for e in seen["entries"]} == {"O002"}
    assert "nothing is written" in shell.text("plan", "O002")


IN_THE_SHED = {
    "2026-05-01": ("last frost 14 may", "first frost 25 sep", "bed b1 100ft", "bed b2 50ft"),
    "2026-05-20": ("plant statice b1 30ft blue",),
    "2026-07-20": ("60 statice b1 dry", "hang L001 line 1"),
    "2026-08-01": ("snap L001", "box L001 6x10 box 7", "cleared b1"),
}


def test_what_is_on_hand_needs_no_plan_and_only_what_is_lacking_is_planned(tmp_path: Path) -> None:
    book = farm_in(tmp_path / "shed", IN_THE_SHED)
    write(book, "order Fern Hollow 40 statice blue dry by 12-1", "order Lane 900 statice dry by 2027-10-15")
    assert refused(book, "plan O001") == "O001 needs no plan. 40 statice blue dry: 40 on hand."
    told = write(book, "plan O002").remarks
    (row,) = rows(book).values()
    assert 0 < row.stems < 900 and "20 on hand" in told[0], "sixty, less the forty promised before"
    assert "not planned for already" in refused(book, "plan O002")


def test_what_stands_in_the_bed_is_shared_as_a_promise_shares_it(tmp_path: Path) -> None:
    book = farm_in(
        tmp_path / "shed",
        {
            "2026-05-01": ("last frost 14 may", "first frost 25 sep", "bed b1 100ft"),
            "2026-05-20": ("plant zinnia b1 20ft deep coral",),
            "2026-07-25": ("20 zinnia b1 fresh",),
        },
    )
    write(book, "order Ann 30 zinnia coral or pink fresh by 7-31 spare 10%")
    says = refused(book, "plan O001")
    assert (
        says.startswith("O001 needs no plan. 30 zinnia coral or pink fresh: ")
        and "from P01 in bed b1" in says
    )
    # what others are promised before is not there for a second: by the same reckoning it is no promise either
    write(book, "order Bea 4000 zinnia fresh by 7-30")
    write(book, "order Cas 30 zinnia coral fresh by 7-31")
    assert "O003 cannot be planned for" in refused(book, "plan O003")


def test_a_weekly_order_says_which_deliveries_its_plan_does_not_cover_as_the_morning_does(
    tmp_path: Path,
) -> None:
    book = farm_in(
        tmp_path / "shed",
        {
            "2026-01-12": (
                "last frost 18 may",
                "first frost 28 sep",
                "bed b1 100ft",
                "order Lane 40 zinnia fresh, 30 sunflower fresh weekly from 7-10 to 9-11",
            )
        },
    )
    remarks = write(book, "plan O001").remarks
    zinnia, sunflower = (
        next(told for told in remarks if told.startswith(f"not covered of {crop}"))
        for crop in ("zinnia", "sunflower")
    )
    assert "10 Jul (" in zinnia and " of 40)" in zinnia and "Aug" not in zinnia
    assert "10 Jul (none)" in sunflower and "17 Jul (" in sunflower and "24 Jul" not in sunflower
    # each week ends with its delivery: the last gets as much as any other
    last = max(row.by for row in rows(book).values())
    assert last == "2026-09-11"
    # nothing is told that the morning does not count as short, nor left out that is short by most of it
    short = {
        (promise.due, row.crop)
        for row in crop_weeks(book.farm, book.today, open_claims(book.farm, book.today))
        for promise in row.promises
        if promise.short > promise.wanted / 2
    }
    assert short and all(
        short_day(date.fromisoformat(due)) in {"zinnia": zinnia, "sunflower": sunflower}[crop]
        for due, crop in short
    )


def test_a_delivery_for_which_it_is_too_late_is_named(tmp_path: Path) -> None:
    book = farm_in(
        tmp_path / "shed",
        {
            "2026-06-08": (
                "last frost 18 may",
                "first frost 28 sep",
                "bed b1 100ft",
                "order Lane 30 sunflower fresh weekly from 6-10 to 8-26",
            )
        },
    )
    (told,) = (one for one in write(book, "plan O001").remarks if one.startswith("not covered"))
    assert "10 Jun (none)" in told and "17 Jun (none)" in told and "Aug" not in told
