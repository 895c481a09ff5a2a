"""The season as a page: nothing is counted twice or left out, and of many seasons only those asked for are read."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import fold
from core.learning.rows import learned
from core.learning.season_page import season_page
from core.orders.takings import takings
from core.past import REGISTERS, Past, part_of
from core.session import Session
from core.stems.losses import losses
from tests.cases import cases
from tests.farms import farm_in, farm_of, on
from tests.learning.five_seasons import write_farm
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp

AFTER = date(2027, 1, 5)


@pytest.fixture(scope="module")
def farm() -> Farm:
    return write_farm(1, 3).after[-1]


@pytest.mark.parametrize("year", [2021, 2022, 2023])
def test_the_page_adds_up_to_lots_losses_and_takings(farm: Farm, year: int) -> None:
    page = season_page(farm, year, AFTER)
    cut: Counter[str] = Counter()
    lost: Counter[str] = Counter()
    for lot in farm.lots.all():
        if lot.cut_on.startswith(str(year)):
            cut[lot.crop] += lot.cut
        for loss in lot.losses:
            if loss.on.startswith(str(year)):
                lost[lot.crop] += loss.stems
    assert {row.of: row.cut for row in page.rows} == cut
    assert {row.of: row.lost for row in page.rows} == lost
    taken = {row.of: (row.stems, row.cents) for row in takings(farm, "crop", year)}
    assert {row.of: (row.sold, row.cents) for row in page.rows} == taken
    for row in page.rows:
        assert sum(week.cut for week in row.weeks) == row.cut
        assert [week.week for week in row.weeks] == sorted({week.week for week in row.weeks})
        assert {week.week for week in row.weeks} <= set(page.weeks)
    assert all(date.fromisoformat(week).weekday() == 0 for week in page.weeks)
    assert page.stems.cut == sum(cut.values())
    assert page.stems_before == season_page(farm, year - 1, AFTER).stems


def test_of_an_old_farm_only_what_mentions_the_year_is_read(farm: Farm) -> None:
    live, past = freeze(farm)
    kept = thaw(live, past)
    for year in (2021, 2022, 2023):
        again = thaw(live, past)
        assert season_page(again, year, AFTER) == season_page(farm, year, AFTER)
        assert losses(again, date(2023, 12, 20), year=year) == losses(farm, date(2023, 12, 20), year=year)
        read = thaw(live, past).lots.mentioning(f"{year}-")
        assert {lot.code for lot in read} >= {
            lot.code for lot in farm.lots.all() if lot.cut_on.startswith(f"{year}-")
        }
        assert len(read) < farm.lots.made
    assert len(kept.lots.all()) == farm.lots.made


def test_one_crop_is_learned_of_alike_however_much_is_read(farm: Farm) -> None:
    day = date(2023, 12, 20)
    every = learned(farm, day)
    for crop in ("statice", "celosia, plume"):
        again = thaw(*freeze(farm))
        assert learned(again, day, crop) == [row for row in every if row.crop == crop]
        assert len(again.lots.mentioning(f'"{crop}"')) < farm.lots.made / 2


ROWS = st.dictionaries(
    st.sampled_from(["L1", "L2", "L3", "L4"]), st.sampled_from(["2024-", "2025-", "2026-"]), max_size=4
)


@given(parts=st.lists(ROWS, min_size=1, max_size=4), word=st.sampled_from(["2024-", "2026-"]))
@cases(60)
def test_what_a_later_part_says_of_a_code_replaces_what_an_earlier_one_said(
    parts: list[dict[str, str]], word: str
) -> None:
    empty: dict[str, dict[str, Any]] = {name: {} for name in REGISTERS}
    past = Past(
        [part_of({**empty, "lots": {c: (0, [c, w]) for c, w in one.items()}}) for one in parts],
        lambda: part_of({**empty, "lots": {}}),
    )
    every = past.rows("lots")
    assert past.mentioning("lots", [word.encode()]) == {
        code: row for code, row in every.items() if word in row[1][1]
    }


def test_what_an_order_of_two_years_made_is_shared_out_alike_however_much_is_read() -> None:
    """What two deliveries made is one sum, and each year's share of it the same whether all is read or one year."""
    made = farm_of(
        on("2025-11-01", "bed", bed="b1", feet=50, width_in=36),
        on(
            "2025-12-01",
            "ordered",
            order="O001",
            buyer="market",
            due_on="2025-12-20",
            until_on="2026-01-03",
            every_days=14,
        ),
        on("2025-12-01", "order item", order="O001", item=1, crop="statice", form="dry", count=10),
        *(
            entry
            for n, day in ((1, "2025-12-20"), (2, "2026-01-03"))
            for entry in (
                on(day, "cut", lot=f"L00{n}", crop="statice", bed="b1", use="fresh", stems=10 * n),
                on(day, "picked", order="O001", item=1, delivery=n, lot=f"L00{n}", stems=7, source="bucket"),
                on(
                    day,
                    "handed over",
                    order="O001",
                    item=1,
                    delivery=n,
                    lot=f"L00{n}",
                    stems=7,
                    source="for O001",
                    who="market",
                ),
            )
        ),
        on("2026-01-04", "paid", order="O001", who="market", cents=1001),
    )
    live, past = freeze(made)
    for farm in (made, thaw(live, past)):
        shares = [sum(row.cents for row in takings(farm, "crop", year)) for year in (2025, 2026)]
        assert sum(shares) == 1001 == sum(row.cents for row in takings(farm, "crop"))
        assert abs(shares[0] - shares[1]) <= 1
        assert season_page(farm, 2026, AFTER).taken == shares[1] == season_page(farm, 2026, AFTER).stems.cents
        assert season_page(farm, 2026, AFTER).stems_before.cents == shares[0]


def test_a_past_season_that_was_brought_in_stands_beside_this_one() -> None:
    made = farm_of(
        on("2026-06-01", "bed", bed="b1", feet=50, width_in=36),
        on("2025-07-01", "past cut", crop="zinnia", stems=90, culls=10, row="r1", table="t1"),
        on("2025-07-08", "past sale", crop="zinnia", stems=80, cents=4000, row="r2", table="t1"),
        on("2025-04-01", "past sowing", crop="zinnia", seeds=100, up=50, row="r3", table="t1"),
        on("2025-04-02", "past sowing", crop="zinnia", seeds=500, row="r4", table="t1"),
        on("2026-07-02", "cut", lot="L001", crop="zinnia", bed="b1", use="fresh", stems=18, culls=2),
    )
    (row,) = season_page(made, 2026, AFTER).rows
    assert (row.cut, row.before) == (20, (100, 80, 10, 4000))
    (row,) = season_page(made, 2025, AFTER).rows
    assert [(week.cut, week.sold) for week in row.weeks] == [(100, 0), (0, 80)]
    own = {one.figure: one for one in learned(made, date(2026, 12, 1), "zinnia")}
    assert own["comes_up_pct"].own < 75 and own["cents_per_stem"].own == 50.0
    assert own["culled_pct"].seasons == 2


def test_in_winter_what_was_brought_in_is_found_in_its_own_year(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing was done yet in the new year, nor up to the same day in the one before: that is no empty year."""
    shell = Shell(tmp_path / "farm", capsys, "2026-02-03").begin({"2026-02-02": ("bed b1 50ft",)})
    table = tmp_path / "sales.csv"
    table.write_text("Date,Flower,Bunches,Unit price\n2025-07-04,zinnia,12,9.00\n")
    shell.json("bring", str(table), "--per", "10")
    told = " ".join(shell.text("season").split())
    assert "in 2026 so far, or in 2025 to 3 Feb: look further back with 'season 2025'" in told
    assert "120 sold (0), 0 lost (0), 108.00 taken" in " ".join(shell.text("season", "2025").split())


async def test_on_the_screen_a_year_without_anything_leads_to_the_one_before(tmp_path: Path) -> None:
    days = {"2025-05-01": ("bed b1 50ft", "plant zinnia b1 20ft"), "2025-07-06": ("20 zinnia b1 fresh",)}
    farm_in(tmp_path / "farm", days).close()
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 2, 3))
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("season")
        await pilot.pause()
        assert "in 2026 so far, or in 2025 to 3 Feb." in shown(app)
        await pilot.press("end", "up", "enter")
        assert "beside 2024: 20 stems cut" in shown(app)


def test_pieces_stand_below_the_crops() -> None:
    made = farm_of(
        on("2026-06-01", "bed", bed="b1", feet=50, width_in=36),
        on("2026-06-02", "cut", lot="L001", crop="zinnia", bed="b1", use="fresh", stems=20, culls=2),
        on("2026-06-02", "recipe", recipe="posy", sort="bouquet"),
        on("2026-06-03", "made", piece="M001", recipe="posy", count=3),
        on("2026-06-03", "piece sold", piece="M001", count=2, cents=3000),
    )
    crop, piece = season_page(made, 2026, AFTER).rows
    assert (crop.of, crop.cut, crop.lost) == ("zinnia", 22, 2)
    assert (piece.sort, piece.of, piece.cut, piece.sold, piece.cents) == ("piece", "posy", 3, 2, 3000)


def test_what_was_taken_in_all_has_the_pieces_in_it_this_year_and_the_one_before() -> None:
    made = farm_of(
        on("2025-06-01", "bed", bed="b1", feet=50, width_in=36),
        on("2025-06-01", "recipe", recipe="posy", sort="bouquet"),
        *(
            entry
            for n, year in ((1, 2025), (2, 2026))
            for entry in (
                on(f"{year}-06-02", "cut", lot=f"L00{n}", crop="zinnia", bed="b1", use="fresh", stems=20),
                on(f"{year}-06-03", "sold", lot=f"L00{n}", stems=5, cents=100 * n, source="bucket"),
                on(f"{year}-06-03", "made", piece=f"M00{n}", recipe="posy", count=3),
                on(f"{year}-06-03", "piece sold", piece=f"M00{n}", count=2, cents=1000 * n),
            )
        ),
    )
    page = season_page(made, 2026, AFTER)
    assert (page.taken, page.taken_before) == (2200, 1100)
    assert page.taken == sum(row.cents for row in takings(made, "crop", 2026))
    assert page.taken_before == sum(row.cents for row in takings(made, "crop", 2025))
    assert "5 sold (5), 0 lost (0), 22.00 taken (11.00)" in page.total


def _two_seasons(folder: Path) -> None:
    days: dict[str, list[str]] = {"2025-05-01": ["bed b1 50ft", "plant zinnia b1 20ft 40 plants"]}
    for year, stems in ((2025, 20), (2026, 30)):
        for n in range(6):
            day = date(year, 7, 6) + timedelta(days=7 * n)
            days[day.isoformat()] = [f"{stems + n} zinnia b1 fresh culls 2"]
    days["2026-08-11"] = ["sold 10 L012 to market at 2"]
    farm_in(folder, days).close()


def test_the_page_is_printed_as_json_as_csv_and_on_one_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _two_seasons(tmp_path / "farm")
    shell = Shell(tmp_path / "farm", capsys, "2026-08-12")
    told = shell.json("season", "2026")
    assert told["year"] == 2026 and told["until"] == "2026-08-12" and len(told["weeks"]) == 6
    (row,) = told["rows"]
    assert (row["of"], row["cut"], row["sold"], row["lost"], row["cents"]) == ("zinnia", 207, 10, 12, 2000)
    assert row["before"]["cut"] == 147
    text = shell.text("season")
    assert "Season 2026, beside 2025, both to 12 Aug" in text and "+41 %" in text
    assert "207 stems cut (147 the season before)" in text
    csv = shell("season", "2026", "--csv")[1].splitlines()
    assert csv[0] == "of,week,cut,sold,lost,cents" and len(csv) == 7
    assert "Nothing was cut" in shell("season", "2019")[1]
    assert shell("season", "20x6")[0] == 2


async def test_the_season_is_a_view_whose_rows_open_and_lead_to_the_year_before(tmp_path: Path) -> None:
    _two_seasons(tmp_path / "farm")
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 8, 12))
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("season")
        await pilot.pause()
        text = shown(app)
        assert "zinnia" in text and "beside 2025, both to 12 Aug: 207 stems cut (147" in text
        await pilot.press("enter")
        assert "week of 6 Jul: 32 cut, 0 sold, 2 lost, 0.00 taken" in shown(app)
        await pilot.press("end", "up", "enter")
        assert "beside 2024: 147 stems cut (0 the" in shown(app)
        await pilot.press("end", "up", "enter")
        assert ": 207 stems cut" in shown(app)


def test_the_farm_it_is_read_from_is_not_changed(farm: Farm) -> None:
    before = freeze(farm)[0]
    season_page(farm, 2022, AFTER)
    assert freeze(farm)[0] == before
    assert fold(()).lots.mentioning("2026-") == []


def test_a_season_that_is_not_over_stands_beside_the_same_days_of_the_one_before() -> None:
    made = farm_of(
        on("2025-06-01", "bed", bed="b1", feet=50, width_in=36),
        *(
            on(f"{year}-{day}", "cut", lot=f"L{year}{n}", crop="zinnia", bed="b1", use="fresh", stems=20)
            for year in (2025, 2026)
            for n, day in enumerate(("07-01", "07-10", "09-01"))
        ),
    )
    (row,) = season_page(made, 2026, date(2026, 7, 5)).rows
    assert row.before.cut == 20
    (row,) = season_page(made, 2026, date(2026, 12, 31)).rows
    assert row.before.cut == 60
    (row,) = season_page(made, 2025, date(2026, 7, 5)).rows
    assert (row.cut, row.before.cut) == (60, 0)
