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


@pytest.fixture(scope="module")
def farm() -> Farm:
    return write_farm(1, 3).after[-1]


@pytest.mark.parametrize("year", [2021, 2022, 2023])
def test_the_page_adds_up_to_lots_losses_and_takings(farm: Farm, year: int) -> None:
    page = season_page(farm, year)
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
    assert page.stems_before == season_page(farm, year - 1).stems


def test_of_an_old_farm_only_what_mentions_the_year_is_read(farm: Farm) -> None:
    live, past = freeze(farm)
    kept = thaw(live, past)
    for year in (2021, 2022, 2023):
        again = thaw(live, past)
        assert season_page(again, year) == season_page(farm, year)
        assert losses(again, date(2023, 12, 20), year=year) == losses(farm, date(2023, 12, 20), year=year)
        read = thaw(live, past).lots.mentioning(f"{year}-")
        assert {lot.code for lot in read} >= {
            lot.code for lot in farm.lots.all() if lot.cut_on.startswith(f"{year}-")
        }
        assert len(read) < farm.lots.made
    assert len(kept.lots.all()) == farm.lots.made


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


def test_pieces_stand_below_the_crops() -> None:
    made = farm_of(
        on("2026-06-01", "bed", bed="b1", feet=50, width_in=36),
        on("2026-06-02", "cut", lot="L001", crop="zinnia", bed="b1", use="fresh", stems=20, culls=2),
        on("2026-06-02", "recipe", recipe="posy", sort="bouquet"),
        on("2026-06-03", "made", piece="M001", recipe="posy", count=3),
        on("2026-06-03", "piece sold", piece="M001", count=2, cents=3000),
    )
    crop, piece = season_page(made, 2026).rows
    assert (crop.of, crop.cut, crop.lost) == ("zinnia", 22, 2)
    assert (piece.sort, piece.of, piece.cut, piece.sold, piece.cents) == ("piece", "posy", 3, 2, 3000)


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
    assert told["year"] == 2026 and len(told["weeks"]) == 6
    (row,) = told["rows"]
    assert (row["of"], row["cut"], row["sold"], row["lost"], row["cents"]) == ("zinnia", 207, 10, 12, 2000)
    assert row["before"]["cut"] == 147
    text = shell.text("season")
    assert "Season 2026, beside 2025" in text and "+41 %" in text
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
        assert "zinnia" in text and "2026: 207 stems cut (147 the season" in text
        await pilot.press("enter")
        assert "week of 6 Jul: 32 cut, 0 sold, 2 lost, 0.00 taken" in shown(app)
        await pilot.press("end", "enter")
        assert "2025: 147 stems cut (0 the season" in shown(app)
        await pilot.press("end", "enter")
        assert "2026: 207" in shown(app)


def test_the_farm_it_is_read_from_is_not_changed(farm: Farm) -> None:
    before = freeze(farm)[0]
    season_page(farm, 2022)
    assert freeze(farm)[0] == before
    assert fold(()).lots.mentioning("2026-") == []
