"""What of the record speaks to a figure, and what does not: still standing, taken out early, struck, corrected."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from core.fold import fold
from core.learning.observed import Seasons, Sort, observed
from core.learning.rows import LearnedRow, beside, learned, worth_changing
from tests.farms import Pencil, beds

ZINNIA = {"crop": "zinnia"}
ALL_ZINNIA = Sort("zinnia", "", "")


def seen(pencil: Pencil, figure: str, sort: Sort = ALL_ZINNIA) -> Seasons:
    """What was seen of a figure, by season."""
    return observed(fold(pencil.entries), pencil.today)[sort].figures.get(figure, {})


def rows_of(pencil: Pencil, figure: str) -> LearnedRow:
    """The row of a figure of zinnia as a whole."""
    rows = learned(fold(pencil.entries), pencil.today, "zinnia")
    return next(row for row in rows if row.figure == figure and row.variety is None)


def on_day(pencil: Pencil, day: str) -> Pencil:
    pencil.today = date.fromisoformat(day)
    return pencil


def a_tray(year: int = 2026, up: int = 58, pencil: Pencil | None = None, code: str = "S01") -> Pencil:
    """A tray of zinnia sown on 20 April, up eight days later, set out on 20 May."""
    pencil = pencil or beds("b1", "b2", start=f"{year}-03-01", last_frost="05-10", first_frost="10-05")
    on_day(pencil, f"{year}-04-20").write("sown", tray=code, **ZINNIA, cells=72, seeds=72)
    on_day(pencil, f"{year}-04-28").write("up", tray=code, count=40)
    on_day(pencil, f"{year}-05-04").write("up", tray=code, count=up)
    on_day(pencil, f"{year}-05-20").write(
        "set out", planting=f"P{code[1:]}", **ZINNIA, bed="b1", feet=20, plants=50, tray=code
    )
    return pencil


def cuts(pencil: Pencil, planting: str, first: str, count: int, every: int, stems: int = 30) -> Pencil:
    """So many cuts of a planting."""
    on_day(pencil, first)
    for _ in range(count):
        lot = f"L{len(pencil.entries):03d}"
        pencil.write("cut", lot=lot, **ZINNIA, planting=planting, bed="b1", use="fresh", stems=stems, culls=3)
        pencil.later(every)
    return pencil


def test_a_tray_says_how_many_days_and_how_many_seeds() -> None:
    pencil = a_tray()
    (up,) = seen(pencil, "germination_days").values()
    assert up.days == [8.0]
    (share,) = seen(pencil, "comes_up_pct").values()
    assert (share.part, share.of) == (58, 72)
    (weeks,) = seen(pencil, "weeks_in_tray").values()
    assert weeks.days == pytest.approx([30 / 7])


def test_a_tray_that_still_comes_up_says_nothing_of_its_share_and_one_that_never_came_says_none() -> None:
    pencil = beds("b1", start="2026-04-20", last_frost="05-10")
    pencil.write("sown", tray="S01", **ZINNIA, cells=72, seeds=72)
    pencil.later(3).write("up", tray="S01", count=5)
    assert not seen(pencil, "comes_up_pct")
    pencil.write("sown", tray="S02", **ZINNIA, cells=40, seeds=40)
    pencil.later(20).write("up", tray="S02", count=0)
    (share,) = seen(pencil, "comes_up_pct").values()
    assert (share.part, share.of) == (5, 112)
    (days,) = seen(pencil, "germination_days").values()
    assert days.days == [3.0]


def test_what_was_counted_again_after_losses_does_not_make_the_seed_worse() -> None:
    pencil = beds("b1", start="2026-04-20", last_frost="05-10")
    pencil.write("sown", tray="S01", **ZINNIA, cells=72, seeds=72)
    pencil.later(8).write("up", tray="S01", count=60)
    pencil.later(8).write("lost", tray="S01", count=20, cause="damping off")
    pencil.later(2).write("up", tray="S01", count=40)
    pencil.later(10)
    (share,) = seen(pencil, "comes_up_pct").values()
    assert share.part == 60


def test_days_to_the_first_cut_end_with_it_or_are_still_waited_for() -> None:
    pencil = on_day(a_tray(), "2026-06-20")
    (season,) = seen(pencil, "days_to_first_cut").values()
    assert (season.days, season.waited) == ([], [31.0])
    cuts(pencil, "P01", "2026-07-19", 1, 3)
    (season,) = seen(pencil, "days_to_first_cut").values()
    assert (season.days, season.waited) == ([60.0], [])


def test_a_planting_cleared_before_its_first_cut_was_waited_for_until_then() -> None:
    pencil = on_day(a_tray(), "2026-07-01")
    pencil.write("cleared", planting="P01")
    on_day(pencil, "2026-12-01")
    (season,) = seen(pencil, "days_to_first_cut").values()
    assert (season.days, season.waited) == ([], [42.0])


def test_what_still_stands_has_more_to_give_and_in_winter_it_has_not() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 10, 3)
    ((count, plants, more),) = seen(pencil, "stems_per_plant")[2026].given
    assert (count, plants, more) == (330.0, 50.0, True)
    assert seen(pencil, "cut_weeks")[2026].waited == pytest.approx([4.0])
    on_day(pencil, "2026-12-20")
    ((_, _, more),) = seen(pencil, "stems_per_plant")[2026].given
    assert not more
    assert seen(pencil, "cut_weeks")[2026].days == pytest.approx([4.0])
    assert seen(pencil, "cut_every_days")[2026].days == pytest.approx([3.0])
    culled = seen(pencil, "culled_pct")[2026]
    assert (culled.part, culled.of) == (30, 330)


def test_what_was_taken_out_while_it_gave_gave_so_many_at_least() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 4, 3)
    pencil.write("cleared", planting="P01")
    on_day(pencil, "2026-12-20")
    ((_, _, more),) = seen(pencil, "stems_per_plant")[2026].given
    assert more


def test_what_the_frost_ended_is_no_full_season_of_cutting() -> None:
    pencil = cuts(a_tray(), "P01", "2026-09-05", 10, 3)
    on_day(pencil, "2026-10-05").write("low", f=24)
    on_day(pencil, "2026-12-20")
    assert seen(pencil, "cut_weeks")[2026].waited == pytest.approx([4.0])
    assert not seen(pencil, "cut_weeks")[2026].days


def test_a_cut_that_is_struck_never_was_and_a_corrected_count_reads_so() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 10, 3)
    on_day(pencil, "2026-12-20")
    first = next(entry for entry in pencil.entries if entry.kind == "cut")
    counted = [entry for entry in pencil.entries if entry.kind == "up"][1]
    before = rows_of(pencil, "comes_up_pct").own
    pencil.write("strike", entry=first.id)
    pencil.entries.append(
        pencil.made("correct", entry=counted.id, of="up", now={"count": 20}, was={"count": 58}, about="S01")
    )
    (season,) = seen(pencil, "days_to_first_cut").values()
    assert season.days == [63.0]
    share = seen(pencil, "comes_up_pct")[2026]
    assert share.part == 40  # the count before it found forty
    assert rows_of(pencil, "comes_up_pct").own < before


def test_drying_lies_between_the_last_test_that_bends_and_the_first_that_snaps() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 1, 1)
    lot = next(entry.fields["lot"] for entry in pencil.entries if entry.kind == "cut")
    on_day(pencil, "2026-07-19").write("hung", lot=lot, stems=30, source="bucket", line="line 1")
    on_day(pencil, "2026-07-27").write("tested", lot=lot, result="bends")
    assert seen(pencil, "drying_days")[2026].waited == [8.0]
    assert (
        "lost_drying_pct" not in observed(fold(pencil.entries), pencil.today)[Sort("zinnia", "", "")].figures
    )
    on_day(pencil, "2026-07-31").write("tested", lot=lot, result="snaps")
    assert seen(pencil, "drying_days")[2026].days == [10.0]
    pencil.write("lost", lot=lot, count=3, cause="shatter", source="line 1")
    pencil.write("sold", lot=lot, stems=27, source="line 1", cents=1350)
    loss = seen(pencil, "lost_drying_pct")[2026]
    assert (loss.part, loss.of) == (3, 30)
    price = seen(pencil, "cents_per_stem")[2026]
    assert price.amount / price.per == pytest.approx(50)


def test_a_perennial_says_when_it_begins_to_flower_and_not_how_many_days_it_takes() -> None:
    pencil = beds("b1", start="2024-05-10", last_frost="05-10")
    pencil.write("set out", planting="P01", crop="peony", bed="b1", feet=20, plants=10)
    for year, first in ((2025, "05-31"), (2026, "06-07")):
        on_day(pencil, f"{year}-{first}").write(
            "cut", lot=f"L{year}", crop="peony", planting="P01", bed="b1", use="fresh", stems=20
        )
    peony = Sort("peony", "", "")
    bloom = seen(pencil, "flowers_weeks", peony)
    assert {year: season.days for year, season in bloom.items()} == {2025: [3.0], 2026: [4.0]}
    assert not seen(pencil, "days_to_first_cut", peony)


def test_varieties_have_figures_of_their_own_beside_those_of_the_crop() -> None:
    pencil = beds("b1", start="2026-04-20", last_frost="05-10")
    for n, (variety, up) in enumerate((("lime", 66), ("coral", 30)), 1):
        code = f"S{n:02d}"
        pencil.write("sown", tray=code, crop="zinnia", variety=variety, cells=72, seeds=72)
        pencil.later(7).write("up", tray=code, count=up)
    pencil.later(30)
    own = {
        row.variety: row.own
        for row in learned(fold(pencil.entries), pencil.today)
        if row.figure == "comes_up_pct"
    }
    assert set(own) == {None, "lime", "coral"}
    assert own["coral"] < own[None] < own["lime"]


def test_a_season_in_which_no_cull_was_written_is_none_without_culls() -> None:
    pencil = beds("b1", start="2025-07-01")
    for n, (year, culls) in enumerate(((2025, None), (2026, 4)), 1):
        on_day(pencil, f"{year}-07-01")
        more = {"culls": culls} if culls else {}
        pencil.write("cut", lot=f"L{n}1", **ZINNIA, bed="b1", use="fresh", stems=20, **more)
        pencil.write("cut", lot=f"L{n}2", **ZINNIA, bed="b1", use="fresh", stems=20)
    told = seen(pencil, "culled_pct")
    assert {year: (season.part, season.of) for year, season in told.items()} == {2026: (4, 44)}


def test_of_a_variety_of_which_no_cull_was_written_nothing_is_said_of_culls() -> None:
    pencil = beds("b1", start="2026-07-01")
    pencil.write("cut", lot="L001", **ZINNIA, variety="lime", bed="b1", use="fresh", stems=20, culls=4)
    pencil.write("cut", lot="L002", **ZINNIA, variety="coral", bed="b1", use="fresh", stems=20)
    told = {
        row.variety: row.n
        for row in learned(fold(pencil.entries), pencil.today, "zinnia")
        if row.figure == "culled_pct"
    }
    assert told == {None: 2, "lime": 1}


def test_money_is_told_as_money() -> None:
    pencil = beds("b1", start="2026-07-01")
    pencil.write("cut", lot="L001", **ZINNIA, bed="b1", use="fresh", stems=20)
    pencil.write("sold", lot="L001", stems=20, source="bucket", cents=4000)
    (row,) = (r for r in learned(fold(pencil.entries), pencil.today) if r.figure == "cents_per_stem")
    assert row.own == 200  # as data in cents
    assert row.advice.startswith("2.00 by 1 season")
    told = beside(row)
    assert told.startswith("by your record 2.00, 1.") and "200" not in told


def test_what_changes_most_of_a_plan_comes_first() -> None:
    rows = [
        made_row("weeks_in_tray", "weeks", (8, 10), 9.8),  # 9 % longer
        made_row("culled_pct", "%", (10, 25), 6.0),  # 94 kept of 100 instead of 82.5
        made_row("comes_up_pct", "%", (60, 80), 35.0),  # half of what was reckoned with
        made_row("stems_per_plant", "stems", (20, 30), 24.0, take=""),
    ]
    assert [row.figure for row in worth_changing(rows)] == ["comes_up_pct", "culled_pct", "weeks_in_tray"]


def made_row(
    figure: str, unit: str, sheet: tuple[float, float], own: float, take: str = "sheet"
) -> LearnedRow:
    return LearnedRow(
        "zinnia", None, None, figure, figure, unit, sheet, "", None, own, own, own, own, own, 2, 9, "lots", 1.0,
        "take" if take else "leave", "", take,
    )  # fmt: skip


def test_a_price_is_that_of_the_crop_and_of_each_variety() -> None:
    pencil = beds("b1", start="2026-07-01")
    for lot, variety, cents in (("L001", "lime", 1200), ("L002", "Coral", 600), ("L003", None, 900)):
        sort = {"variety": variety} if variety else {}
        pencil.write("cut", lot=lot, **ZINNIA, **sort, bed="b1", use="fresh", stems=20)
        pencil.write("sold", lot=lot, stems=20, source="bucket", cents=cents)
    own = {
        row.variety: round(row.own, 1)
        for row in learned(fold(pencil.entries), pencil.today, "zinnia")
        if row.figure == "cents_per_stem"
    }
    assert own == {None: 45.0, "lime": 60.0, "coral": 30.0}


def test_one_season_changes_nothing_and_several_are_advised_in_one_sentence() -> None:
    pencil = beds("b1", "b2", start="2023-03-01", last_frost="05-10", first_frost="10-05")
    for n, year in enumerate((2023, 2024, 2025), 1):
        a_tray(year, pencil=pencil, code=f"S{n:02d}")
        cuts(pencil, f"P{n:02d}", (date(year, 5, 20) + timedelta(days=95)).isoformat(), 8, 3)
        pencil.later(50).write("cleared", planting=f"P{n:02d}")
        row = rows_of(pencil, "days_to_first_cut")
        assert row.sheet is not None and row.seasons == n and row.n == n
        assert row.own < 95
        if n == 1:
            assert not row.take
    assert row.take.startswith("sheet zinnia days to first cut ") and "because 3 seasons" in row.advice


def test_a_vase_that_still_stands_has_stood_so_long_at_least() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 2, 3)
    lots = [entry.fields["lot"] for entry in pencil.entries if entry.kind == "cut"]
    pencil.write("in vase", lot=lots[0], days=5, good=True)
    assert seen(pencil, "vase_life_days")[2026].waited == [5]
    pencil.later(3).write("in vase", lot=lots[0], days=8)
    pencil.write("in vase", lot=lots[1], days=6)
    season = seen(pencil, "vase_life_days")[2026]
    assert (season.days, season.waited) == ([8, 6], [])
    assert pencil.refusal("in vase", lot=lots[0], days=0) is not None
    assert pencil.refusal("in vase", lot="L999", days=4) is not None
    row = rows_of(pencil, "vase_life_days")
    assert row.sheet is not None and row.n == 2 and not row.take
