"""What stands is counted in the years in which it bears: annuals this year, perennials again, bulbs once; her own crops
and her own figures of a variety as any other."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from core.problems import Problem
from core.promising.answer import Answer
from core.promising.open_claims import open_claims
from core.promising.telephone import ask
from core.promising.weeks import crop_weeks
from core.session import Session
from tests.farms import Days, farm_in

SET_UP = (
    "farm zone UTC",
    "last frost 14 may",
    "first frost 28 sept",
    "bed b1 50ft",
    "bed b2 50ft",
    "bed b3 50ft",
)
TODAY = date(2026, 8, 3)


def opened(folder: Path, days: Days, *lines: str, on: date = TODAY) -> Session:
    made = farm_in(folder / "farm", {**days, on.isoformat(): (*days.get(on.isoformat(), ()), *lines)})
    return Session.open(made.folder, by="ml", on=on)


def answered(session: Session, text: str) -> Answer:
    replies = ask(session.farm, session.today, text)
    assert not isinstance(replies, Problem), replies.sentence
    return replies[0].answer


ZINNIA: Days = {
    "2026-05-20": (*SET_UP, "plant 25ft zinnia coral b1 100 plants"),
    "2026-07-30": ("40 zinnia coral b1 fresh", "sold 40 L001 to market"),
}


def test_a_promise_for_next_year_does_not_take_this_years_stems_out_of_the_sum(tmp_path: Path) -> None:
    before = answered(opened(tmp_path / "a", ZINNIA), "20 zinnia fresh 08-28")
    after = answered(
        opened(tmp_path / "b", ZINNIA, "order Ann 5 zinnia fresh by 2027-08-10"), "20 zinnia fresh 08-28"
    )
    assert before.free_on_day > 0
    assert (after.answer, after.free_as_usual) == (before.answer, before.free_as_usual)
    # an annual is over with its first frost
    next_year = answered(opened(tmp_path / "c", ZINNIA), "20 zinnia fresh 2027-08-10")
    assert (next_year.answer, next_year.sources) == ("no", ())


YARROW: Days = {
    "2025-06-10": (
        *SET_UP,
        "plant 25ft yarrow b1 90 plants 2023-05-06",
        "200 yarrow b1 dry",
        "sold 200 L001 to market",
    ),
}


def test_a_perennial_is_counted_in_each_of_its_years(tmp_path: Path) -> None:
    day = date(2026, 5, 20)
    this, after = (
        answered(opened(tmp_path / f"{n}", YARROW, on=day), f"50 yarrow fresh {by}")
        for n, by in enumerate(("2026-06-20", "2027-06-20"))
    )
    assert this.free_as_usual > 50
    assert after.free_as_usual > 50
    order = "order Ann 300 yarrow fresh by 2027-06-20"
    beside = answered(opened(tmp_path / "c", YARROW, order, on=day), "50 yarrow fresh 2026-06-20")
    assert beside.free_as_usual == this.free_as_usual


def test_what_was_not_cut_in_its_weeks_is_not_waited_for_until_winter(tmp_path: Path) -> None:
    late = answered(opened(tmp_path, YARROW, on=date(2026, 10, 5)), "20 yarrow fresh 10-07")
    assert late.answer == "no"
    assert late.remarks == ("not counted: P01 in b1: its weeks of cutting have gone by without a cut",)


def test_bulbs_are_once_over(tmp_path: Path) -> None:
    days = {
        "2025-10-15": (*SET_UP, "plant 10ft tulip b1 100 plants"),
        "2026-05-06": ("90 tulip b1 fresh", "sold 90 L001 to market"),
    }
    rest = answered(opened(tmp_path / "a", days, on=date(2026, 5, 7)), "5 tulip fresh 05-10")
    assert rest.free_as_usual <= 10
    again = answered(opened(tmp_path / "b", days, on=date(2026, 5, 20)), "5 tulip fresh 2027-05-10")
    assert again.sources == ()


def test_what_goes_out_in_the_summer_before_is_counted_however_far_ahead_is_asked(tmp_path: Path) -> None:
    days = {"2025-08-22": (*SET_UP, "plant 20ft sweet william b1 90 plants")}
    day = date(2026, 5, 20)
    near = answered(opened(tmp_path / "a", days, on=day), "20 sweet william fresh 06-20")
    order = "order Ann 5 zinnia or sweet william fresh by 10-20"
    far = answered(opened(tmp_path / "b", days, order, on=day), "20 sweet william fresh 06-20")
    assert near.free_as_usual > 20
    assert abs(far.free_as_usual - near.free_as_usual) <= 5


def test_her_own_crops_are_promised_as_any_other(tmp_path: Path) -> None:
    days = {
        "2026-03-02": (*SET_UP, "crop didiscus like ammi"),
        "2026-05-01": ("plant 20ft didiscus b1 80 plants",),
        "2026-07-20": ("30 didiscus b1 dry", "hang L001 line 1"),
        "2026-08-02": ("snap L001", "box L001 3x10 box 1"),
    }
    recipe = "recipe posy bouquet 10min: 6 dry didiscus"
    session = opened(tmp_path, days, recipe, "order Ann 2 posy by 08-20")
    found = answered(session, "5 posy 08-06")
    assert (found.answer, found.free_on_day) == ("no", 3)
    (row,) = [
        row
        for row in crop_weeks(session.farm, TODAY, open_claims(session.farm, TODAY))
        if (row.crop, row.form) == ("didiscus", "dry")
    ]
    assert (row.on_hand, row.promised) == (30, 12)
    assert answered(session, "10 didiscus fresh 08-20").sources


def test_a_variety_goes_by_its_own_figures(tmp_path: Path) -> None:
    days = {"2026-05-20": (*SET_UP, "plant 25ft zinnia coral b1 100 plants")}
    usual = answered(opened(tmp_path / "a", days), "20 zinnia coral fresh 08-28")
    few = answered(
        opened(tmp_path / "b", days, "sheet zinnia coral stems a plant 2"), "20 zinnia coral fresh 08-28"
    )
    assert few.free_as_usual < usual.free_as_usual / 2


def test_what_is_raised_in_a_tray_is_cut_its_days_after_it_goes_out_though_it_is_mostly_drilled(
    tmp_path: Path,
) -> None:
    # sunflower: 45 to 55 days from setting out, 55 to 60 from sowing in the bed (its sheet)
    days = {"2026-05-10": (*SET_UP, "sow 60 sunflower"), "2026-05-18": ("up 60 S01",)}
    session = opened(tmp_path, days, on=date(2026, 5, 28))
    (tray,) = answered(session, "5 sunflower fresh 07-25").sources
    out = date(2026, 5, 28)
    assert "first cut about" in tray.says
    first = tray.says.rpartition("about ")[2]
    days_to = (date(2026, 7, int(first.split()[0])) - out).days
    assert 45 <= days_to <= 58
