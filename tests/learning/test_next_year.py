"""Next season's first plan: from what was ordered and sold, in beds where its kin has not stood, each line kept or left
out by itself."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.farm import Farm
from core.fold import fold
from core.learning.next_year import DraftRow, first_plan
from core.session import Session, Written
from tests.farms import Pencil, beds, farm_in
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp


def ordered(pencil: Pencil, code: str, crop: str, form: str, count: int, due: date, weeks: int = 0) -> None:
    """An order, every week for so many weeks where that is said."""
    every = {"every_days": 7, "until_on": (due + timedelta(weeks=weeks - 1)).isoformat()} if weeks else {}
    pencil.write("ordered", order=code, buyer="Lane", due_on=due.isoformat(), **every)
    pencil.write("order item", order=code, item=1, crop=crop, form=form, count=count)


def a_season() -> Pencil:
    """Zinnia ordered weekly, statice dry once and told short, yarrow that stands for years, five stems of cosmos."""
    pencil = beds("b1", "b2", "b3", start="2026-05-20", last_frost="05-10", first_frost="10-05")
    pencil.write("set out", planting="P01", crop="zinnia", bed="b1", feet=20, plants=60)
    pencil.write("set out", planting="P02", crop="yarrow", bed="b2", feet=20, plants=30)
    ordered(pencil, "O001", "zinnia", "fresh", 30, date(2026, 7, 22), weeks=8)
    ordered(pencil, "O002", "statice", "dry", 120, date(2026, 10, 10))
    ordered(pencil, "O003", "yarrow", "fresh", 40, date(2026, 7, 10))
    ordered(pencil, "O004", "cosmos", "fresh", 5, date(2026, 8, 10))
    pencil.write("told short", order="O002", item=1, count=50)
    pencil.today = date(2026, 8, 1)
    pencil.write("cut", lot="L001", crop="zinnia", planting="P01", bed="b1", use="fresh", stems=60)
    pencil.write("sold", lot="L001", stems=40, source="bucket", who="corner florist", cents=2000)
    return pencil


def farm_of_season() -> Farm:
    return fold(a_season().entries)


def row_of(rows: list[DraftRow], crop: str) -> DraftRow:
    return next(row for row in rows if row.crop == crop)


def test_each_line_says_what_was_wanted_and_why() -> None:
    rows = first_plan(farm_of_season(), 2026)
    assert {row.crop for row in rows} == {"zinnia", "statice", "yarrow"}
    zinnia = row_of(rows, "zinnia")
    assert zinnia.stems == 35  # 8 times 30 ordered and 40 sold beside it, in eight weeks
    assert (zinnia.start, zinnia.until) == ("2027-07-19", "2027-09-12")
    assert zinnia.line == f"plan 35 zinnia fresh weekly from 2027-07-19 to 2027-09-12 {zinnia.bed}"
    assert "240 stems were ordered (1 order); 40 sold without an order" in zinnia.because
    statice = row_of(rows, "statice")
    assert (statice.stems, statice.by) == (120, "2027-10-09")
    assert "50 of them could not be had" in statice.because
    yarrow = row_of(rows, "yarrow")
    assert yarrow.line == "" and "stands for years" in yarrow.because


def test_no_kin_follows_itself_and_no_plan_goes_where_something_stands_for_years() -> None:
    rows = first_plan(farm_of_season(), 2026)
    assert row_of(rows, "zinnia").bed == "b3" and "no Zinnia stood in b3" in row_of(rows, "zinnia").because
    assert row_of(rows, "statice").bed in ("b1", "b3")
    pencil = a_season()
    pencil.write("set out", planting="P03", crop="zinnia", bed="b3", feet=10, plants=20)
    crowded = row_of(first_plan(fold(pencil.entries), 2026), "zinnia")
    assert crowded.bed is None and crowded.line.endswith("2027-09-12")
    assert "in every free bed its kin stood" in crowded.because
    later = row_of([*first_plan(fold(_moved(a_season(), 3)), 2029)], "zinnia")
    assert later.bed in ("b1", "b3")


def _moved(pencil: Pencil, years: int) -> list:  # type: ignore[type-arg]
    """The same, and the zinnia ordered again so many years later."""
    pencil.write("cleared", planting="P01")
    pencil.today = date(2026 + years, 5, 1)
    ordered(pencil, "O009", "zinnia", "fresh", 30, date(2026 + years, 7, 22), weeks=6)
    return pencil.entries


def test_what_is_cancelled_or_was_of_another_year_is_not_planned_for() -> None:
    pencil = a_season()
    pencil.write("order cancelled", order="O002", buyer="Lane")
    assert "statice" not in {row.crop for row in first_plan(fold(pencil.entries), 2026)}
    assert first_plan(farm_of_season(), 2025) == []


def test_a_market_is_planned_by_what_it_sold_and_not_by_what_was_loaded() -> None:
    pencil = beds("b1", start="2026-07-01", last_frost="05-10", first_frost="10-05")
    pencil.write("set out", planting="P01", crop="zinnia", bed="b1", feet=20, plants=60)
    pencil.write("ordered", order="O001", buyer="market", due_on="2026-08-01")
    pencil.write("order item", order="O001", item=1, crop="zinnia", form="fresh", count=80)
    pencil.write("cut", lot="L001", crop="zinnia", planting="P01", bed="b1", use="fresh", stems=80)
    pencil.write("picked", order="O001", item=1, lot="L001", source="bucket", stems=80)
    pencil.write("handed over", order="O001", item=1, lot="L001", source="for O001", stems=50, who="market")
    (row,) = first_plan(fold(pencil.entries), 2026)
    assert row.stems == 50


def _days() -> dict[str, list[str]]:
    return {
        "2026-01-05": ["last frost 10 may", "first frost 5 oct"],
        "2026-05-20": [*(f"bed b{n} 50ft" for n in range(1, 6)), "plant zinnia b1 20ft 60 plants"],
        "2026-06-01": [
            "order Lane 30 zinnia fresh weekly from 2026-07-22 to 2026-09-09",
            "order Brook 120 statice dry by 2026-10-10",
        ],
        "2026-12-10": ["note the season is over"],
    }


def test_every_line_is_one_the_book_takes_and_then_it_is_gone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session = farm_in(tmp_path / "farm", _days())
    rows = first_plan(session.farm, 2026)
    assert len(rows) == 2
    for row in rows:
        written = session.write(row.line)
        assert isinstance(written, Written), f"{row.line}: {written.sentence}"
    assert first_plan(session.farm, 2026) == []
    session.close()
    shell = Shell(tmp_path / "farm", capsys, "2026-12-10")
    assert "not planned for 2027 already" in " ".join(shell("draft")[1].split())


def test_what_is_left_out_is_asked_no_more_and_comes_back_when_that_is_taken_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    farm_in(tmp_path / "farm", _days()).close()
    shell = Shell(tmp_path / "farm", capsys, "2026-12-10")
    assert {row["crop"] for row in shell.json("draft")["rows"]} == {"zinnia", "statice"}
    text = shell.text("draft", most=100)
    assert "plan 120 statice dry by 2027-10-09" in text and "because 120 stems were ordered (1 order)" in text
    shell.write("leave out zinnia fresh")
    assert {row["crop"] for row in shell.json("draft")["rows"]} == {"statice"}
    shell.write("undo")
    assert len(shell.json("draft")["rows"]) == 2
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 12, 10))
    assert not isinstance(session.write("leave out zinnia fresh 2030"), type(None))
    assert len(first_plan(session.farm, 2026)) == 2


async def test_on_the_screen_a_line_is_kept_or_left_out_by_a_key(tmp_path: Path) -> None:
    farm_in(tmp_path / "farm", _days()).close()
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 12, 10))
    session.write("3 zinnia b1 fresh")
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("season")
        await pilot.press("end", "enter")
        assert "plan 120 statice dry by 2027-10-09" in shown(app)
        assert app.view.listing.choose(("draft", "statice", "dry"))
        await pilot.press("enter")
        assert app.entry.value.startswith("plan 120 statice dry by 2027-10-09")
        await pilot.press("enter")
        assert "statice" not in shown(app).split("The first plan for 2027")[1].split("written")[0]
        assert app.view.listing.choose(("draft", "zinnia", "fresh"))
        await pilot.press("d", "enter")
        assert "nothing that is not planned already" in shown(app)


def test_dried_stems_sold_in_spring_are_planned_for_the_spring_after_next() -> None:
    pencil = beds("b1", start="2025-08-01", last_frost="05-10", first_frost="10-05")
    pencil.write("set out", planting="P01", crop="statice", bed="b1", feet=20, plants=60)
    pencil.write("cut", lot="L001", crop="statice", planting="P01", bed="b1", use="fresh", stems=80)
    pencil.today = date(2026, 3, 7)
    pencil.write("sold", lot="L001", stems=60, source="bucket", who="market", cents=3000)
    (row,) = first_plan(fold(pencil.entries), 2026)
    assert (row.use, row.stems, row.by) == ("dry", 60, "2028-03-04")  # cut and dried in 2027
