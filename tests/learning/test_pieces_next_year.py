"""Pieces that were ordered or sold, in next season's first plan: opened into the stems they take."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path

from core.learning.next_year import DraftRow, first_plan
from core.session import Session, Written
from tests.farms import farm_in
from tests.tui.test_morning import shown
from tui.app import ShedApp

WREATH = "recipe winter-wreath wreath 12in: 30 dry statice, 10 any filler dry, 1 ring 12in"
CORSAGE = "recipe small-corsage corsage: 3 wired strawflower, 1 pin"


def _days(*of_summer: str, fall: tuple[str, ...] = ()) -> dict[str, tuple[str, ...]]:
    beds = ("bed b1 50ft", "bed b2 50ft", "bed b3 50ft", "bed b4 50ft")
    return {
        "2026-01-05": ("last frost 10 may", "first frost 5 oct", *beds, WREATH, CORSAGE),
        "2026-05-20": ("plant yarrow b1 20ft 30 plants", "plant ammi b2 20ft 60 plants"),
        "2026-07-20": ("60 yarrow b1 dry", "20 ammi b2 dry", "hang L001", "hang L002", *of_summer),
        "2026-08-20": ("snap L001", "snap L002"),
        "2026-12-10": ("note the season is over", *fall),
    }


def _planned(session: Session, year: int = 2026) -> dict[tuple[str, str], DraftRow]:
    return {(row.crop, row.use): row for row in first_plan(session.farm, year)}


def test_an_order_for_pieces_asks_for_the_stems_of_their_recipe(tmp_path: Path) -> None:
    days = _days("order Lane 6 winter-wreath by 12-01", "order Lane 8 small-corsage by 9-12")
    with_pieces = _planned(farm_in(tmp_path / "farm", days))
    statice = with_pieces["statice", "dry"]
    assert (statice.stems, statice.by) == (180, "2027-11-30")  # 6 of 30, a year on
    assert "180 for 6 winter-wreath" in statice.because
    assert with_pieces["strawflower", "wire"].stems == 24
    # a filler was said of no crop, and no wreath was made yet: what was cut most here and would do, in equal parts
    assert with_pieces["yarrow", "dry"].stems == with_pieces["ammi", "dry"].stems == 30
    assert "30 for 6 winter-wreath" in with_pieces["ammi", "dry"].because


def test_pieces_that_could_not_be_had_are_told(tmp_path: Path) -> None:
    days = _days("order Lane 6 small-corsage by 9-12", fall=("short 2 small-corsage O001",))
    row = _planned(farm_in(tmp_path / "farm", days))["strawflower", "wire"]
    assert row.stems == 18 and "18 for 6 small-corsage, 2 of which could not be had" in row.because


def test_what_is_grown_of_a_crop_for_several_uses_stands_together(tmp_path: Path) -> None:
    days = _days("order Lane 6 small-corsage by 9-12", "order Brook 40 strawflower dry by 10-3")
    planned = _planned(farm_in(tmp_path / "farm", days))
    wired, dried = planned["strawflower", "wire"], planned["strawflower", "dry"]
    assert wired.bed is not None and wired.bed == dried.bed


def test_any_filler_is_what_such_pieces_took_here(tmp_path: Path) -> None:
    days = _days("order Lane 6 winter-wreath by 12-01")
    session = farm_in(tmp_path / "farm", days)
    assert _planned(session)["ammi", "dry"].stems == 30
    assert isinstance(session.write("recipe winter-wreath wreath 12in: 10 any filler dry"), Written)
    made = session.write("make 2 winter-wreath")
    assert isinstance(made, Written), made.sentence
    (piece,) = session.farm.pieces.all()
    by_crop: dict[str, int] = Counter()
    for stems in piece.stems:
        lot = session.farm.lots.get(stems.lot)
        assert lot is not None
        by_crop[lot.crop] += stems.stems
    asked = {crop: row.stems for (crop, use), row in _planned(session).items() if use == "dry"}
    assert sum(asked.values()) == 60
    assert asked == {crop: 3 * stems for crop, stems in by_crop.items()}


def test_pieces_that_are_planned_already_are_not_asked_again(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", _days("order Lane 6 small-corsage by 9-12"))
    assert ("strawflower", "wire") in _planned(session)
    answer = session.write("plan 6 small-corsage by 2027-09-11")
    assert isinstance(answer, Written), answer.sentence
    assert not _planned(session)


def test_stems_for_a_piece_plan_are_beside_those_that_are_ordered_loose(tmp_path: Path) -> None:
    days = _days("order Lane 6 small-corsage by 9-12", "order Brook 40 strawflower wired by 9-12")
    session = farm_in(tmp_path / "farm", days)
    assert _planned(session)["strawflower", "wire"].stems == 58
    assert isinstance(session.write("plan 6 small-corsage by 2027-09-11"), Written)
    assert _planned(session)["strawflower", "wire"].stems == 40


def test_pieces_of_which_nobody_can_say_what_they_take_are_a_line_of_their_own(tmp_path: Path) -> None:
    days = _days()
    days["2026-01-05"] += ("recipe june-crown crown: 30 any foliage fresh",)
    days["2026-05-20"] += ("order Lane 2 june-crown by 6-20",)
    row = _planned(farm_in(tmp_path / "farm", days))["june-crown", "piece"]
    assert (row.stems, row.line) == (2, "plan 2 june-crown by 2027-06-19")
    assert "2 were ordered or sold; nothing that was cut here will do for any foliage" in row.because


async def test_on_the_screen_they_stand_in_the_plan_and_the_crop_is_put_into_the_line(tmp_path: Path) -> None:
    farm_in(tmp_path / "farm", _days("order Lane 6 small-corsage by 9-12")).close()
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 12, 10))
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("season")
        await pilot.press("end", "enter")
        assert app.view.listing.choose(("draft", "strawflower", "wire"))
        await pilot.press("enter")
        assert app.entry.value.startswith("plan 18 strawflower wire by 2027-09-11")
        assert "18 for 6 small-corsage" in " ".join(shown(app).split())
