"""What stands already counts first: what comes again by its own record, beds of this season by their day."""

from __future__ import annotations

from datetime import date

import pytest

from core.language.read import Reading, read_line
from core.plans.lines import read_wish
from core.plans.preview import Preview, preview
from core.plans.rows import plan_rows
from core.plans.wish import Wanted
from core.problems import Problem
from tests.farms import Pencil, beds
from tests.plans.other_hand import WORLDS, kept


def farm(start: str = "2025-04-01") -> Pencil:
    return beds("b1", "b2", "b3", start=start, last_frost="05-14", first_frost="09-28")


def stand(
    pencil: Pencil, crop: str, plants: int, on: str, feet: float = 40, first_cut: str | None = None
) -> None:
    """A planting in b1, perhaps first cut on a day; the pencil is then at that day."""
    pencil.today = date.fromisoformat(on)
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=feet, plants=plants)
    if first_cut is not None:
        pencil.today = date.fromisoformat(first_cut)
        pencil.write("cut", lot="L001", crop=crop, bed="b1", planting="P01", use="fresh", stems=20)


def seen(pencil: Pencil, line: str) -> Preview | Problem:
    wish = read_wish(line, pencil.farm, pencil.today)
    assert isinstance(wish, Wanted), wish
    return preview(pencil.farm, wish, pencil.today)


@pytest.mark.parametrize(
    ("crop", "plants", "first_cut", "wish", "sure"),
    [
        ("peony", 90, "2025-06-05", "plan 40 peony fresh by 2026-06-20", 0.9),
        # open for two to three weeks, ten days early or late: no number of bulbs makes one day sure
        ("tulip", 800, "2025-05-02", "plan 100 tulip fresh by 2026-05-15", 0.6),
        ("yarrow", 60, "2025-06-20", "plan 120 yarrow dry by 2026-09-01", 0.95),
    ],
)
def test_what_comes_again_meets_a_wish_with_nothing_sown(
    crop: str, plants: int, first_cut: str, wish: str, sure: float
) -> None:
    pencil = farm()
    stand(pencil, crop, plants, "2025-04-02", first_cut=first_cut)
    pencil.today = date(2026, 3, 1)
    view = seen(pencil, wish)
    assert isinstance(view, Preview), view
    (plan,) = view.plans
    assert (plan.seeds, plan.sow_on, plan.plants_out, plan.stands) == (None, None, 0, ("P01",))
    assert plan.promise.chance >= sure
    # it begins about its day of last year
    assert abs((plan.first_cut[0] - date.fromisoformat(first_cut)).days - 365) <= 11


def test_what_does_not_bear_yet_is_not_counted_on() -> None:
    pencil = farm()
    stand(pencil, "peony", 60, "2025-04-02")
    pencil.today = date(2026, 3, 1)
    refused = seen(pencil, "plan 40 peony fresh by 2026-06-18")
    assert isinstance(refused, Problem)
    assert refused.sentence == "P01, peony in b1, stands already, and is not cut before 2027."


@pytest.mark.parametrize("first_cut", [None, "2026-06-10"])
def test_an_annual_of_this_year_does_not_stand_next_year(first_cut: str | None) -> None:
    pencil = farm("2026-03-01")
    stand(pencil, "larkspur", 40, "2026-04-01", first_cut=first_cut)
    pencil.today = date(2026, 6, 23)
    refused = seen(pencil, "plan 40 larkspur fresh by 2027-06-01")
    assert isinstance(refused, Problem)
    assert "stands already" not in refused.sentence
    assert "too late for 1 Jun" in refused.sentence and "would do" in refused.sentence
    # what is sown for a later day counts on nothing that stands
    view = seen(pencil, "plan 40 larkspur fresh by 2027-08-10")
    assert isinstance(view, Preview) and view.plans[0].stands == () and view.plans[0].seeds


def test_what_its_sheet_lacks_is_told_of_what_stands() -> None:
    pencil = farm()
    stand(pencil, "lavender", 30, "2025-04-02", first_cut="2025-06-20")
    pencil.today = date(2026, 3, 1)
    refused = seen(pencil, "plan 60 lavender dry by 2026-08-20")
    assert isinstance(refused, Problem)
    assert refused.sentence.startswith(
        "P01, lavender in b1, stands already. The sheet of lavender has no stems"
    )
    pencil.write("sheet", crop="lavender", figure="stems_per_plant", value="80 to 120", source="own record")
    view = seen(pencil, "plan 60 lavender dry by 2026-08-20")
    assert isinstance(view, Preview) and view.plans[0].stands == ("P01",)
    # what stands has its room: nothing clashes, and the line says the same as the look before it
    assert view.clashes == ()
    read = read_line("plan 60 lavender dry by 2026-08-20", pencil.farm, pencil.today)
    assert isinstance(read, Reading)
    assert dict(read.drafts[0].fields) == dict(view.drafts[0].fields)
    assert f"kept {round(100 * view.plans[0].promise.chance)} times in 100" in read.remarks


def test_too_few_stand_and_the_chance_says_so() -> None:
    pencil = farm()
    stand(pencil, "peony", 5, "2025-04-02", first_cut="2025-06-05")
    pencil.today = date(2026, 3, 1)
    view = seen(pencil, "plan 40 peony fresh by 2026-06-18")
    assert isinstance(view, Preview)
    assert view.plans[0].promise.chance < 0.5
    assert any("nothing more can be planted" in step.says for step in view.steps)


def test_a_bed_of_this_season_gives_part_and_only_the_rest_is_sown() -> None:
    pencil = farm("2026-03-20")
    alone = seen(pencil, "plan 200 statice dry by 2026-10-01")
    stand(pencil, "statice", 40, "2026-03-25")
    beside = seen(pencil, "plan 200 statice dry by 2026-10-01")
    assert isinstance(alone, Preview) and isinstance(beside, Preview)
    (plan,) = beside.plans
    assert plan.wish.stems == 200 and plan.stands == ("P01",)
    # 40 plants of 6 to 12 stems, planted weeks before any new ones could be
    assert 0 < plan.plants_out < 0.6 * alone.plans[0].plants_out
    first = plan.steps[0]
    assert first.name == "what stands" and "of 200 stems" in first.says and first.source
    fields = beside.drafts[0].fields
    assert (fields["stems"], fields["beside"], "stands" in fields) == (200, "P01", False)


@pytest.mark.parametrize(
    ("crop", "plants", "wish"),
    [
        ("statice", 20, "plan 200 statice dry by 2026-10-01"),
        ("strawflower", 30, "plan 200 strawflower dry by 2026-09-25"),
        ("zinnia", 60, "plan 100 zinnia fresh by 2026-08-05"),
        ("cosmos", 40, "plan 120 cosmos fresh by 2026-08-08"),
    ],
)
def test_what_stands_and_what_is_planted_keep_the_promise_together_as_often_as_it_is_said(
    crop: str, plants: int, wish: str
) -> None:
    pencil = farm("2026-03-20")
    stand(pencil, crop, plants, "2026-04-15")
    pencil.today = date(2026, 4, 15)
    view = seen(pencil, wish)
    assert isinstance(view, Preview), view
    (plan,) = view.plans
    assert plan.plants_out > 0 and plan.stands == ("P01",)
    worlds = {world: kept(plan, world, also=[(plants, date(2026, 4, 15))]) for world in WORLDS}
    assert sum(worlds.values()) / len(worlds) == pytest.approx(plan.promise.chance, abs=0.02), worlds


def test_weeks_count_what_stands() -> None:
    """A bed of 120 cosmos in full flush gives the first weeks; later weeks are sown for, less what it still gives."""
    pencil = farm("2026-03-20")
    line = "plan 60 cosmos fresh a week from 2026-07-25 to 2026-09-11"
    alone = seen(pencil, line)
    stand(pencil, "cosmos", 120, "2026-05-16")
    pencil.today = date(2026, 5, 16)
    again = seen(pencil, line)
    assert isinstance(alone, Preview) and isinstance(again, Preview)
    first = again.weeks[0]
    assert again.plans[0].stands == ("P01",) and not again.plans[0].plants_out
    assert first.plan == 0 and first.expected == first.wanted and "stands already" in first.note
    assert all(plan.stands == () for plan in again.plans[1:])
    assert sum(plan.plants_out for plan in again.plans) < 0.7 * sum(plan.plants_out for plan in alone.plans)
    assert all(week.chance >= 0.9 for week in again.weeks if week.plan == 0)
    assert again.drafts[0].fields["stands"] == "P01" and "sow_on" not in again.drafts[0].fields


def test_what_is_cut_of_what_stands_counts_for_the_plan_beside_it_and_for_no_other() -> None:
    pencil = farm("2026-03-20")
    stand(pencil, "statice", 40, "2026-03-25")
    view = seen(pencil, "plan 400 statice dry by 2026-10-01")
    assert isinstance(view, Preview)
    (draft,) = view.drafts
    pencil.write(draft.kind, **draft.fields)
    other = seen(pencil, "plan 200 statice dry by 2026-10-01")
    assert isinstance(other, Preview) and other.plans[0].stands == ()
    row = plan_rows(pencil.farm, pencil.today)[0]
    assert (row.next, row.set_out and row.set_out.done_on) == ("sow", None)
    pencil.today = date(2026, 7, 20)
    pencil.write("cut", lot="L001", crop="statice", bed="b1", planting="P01", use="dry", stems=90)
    assert plan_rows(pencil.farm, pencil.today)[0].stems_cut == 90


def test_a_wish_that_says_no_way_counts_what_stands_in_any() -> None:
    """Strawflowers grown the early way, out in March, are strawflowers."""
    pencil = farm("2026-03-20")
    pencil.write("set out", planting="P01", crop="strawflower", way="early", bed="b1", feet=20, plants=70)
    pencil.today = date(2026, 6, 23)
    view = seen(pencil, "plan 150 strawflower dry by 2026-09-20")
    assert isinstance(view, Preview) and view.plans[0].stands == ("P01",)
    assert view.plans[0].promise.chance > 0.95
    # 85 days to the first cut of its own way
    assert view.plans[0].first_cut[0] <= date(2026, 6, 13) <= view.plans[0].first_cut[1]


def test_what_one_plan_counts_on_no_other_does() -> None:
    pencil = farm()
    stand(pencil, "peony", 60, "2025-04-02", first_cut="2025-06-05")
    pencil.today = date(2026, 3, 1)
    line = "plan 40 peony fresh by 2026-06-18"
    read = read_line(line, pencil.farm, pencil.today)
    assert isinstance(read, Reading), read
    assert any("nothing is to be sown" in remark for remark in read.remarks)
    (draft,) = read.drafts
    pencil.write(draft.kind, **draft.fields)
    (row,) = plan_rows(pencil.farm, pencil.today)
    assert (row.next, row.sow, row.set_out) == ("cut", None, None)
    assert "P01" in row.because
    assert isinstance(seen(pencil, line), Problem)
    pencil.today = date(2026, 6, 12)
    pencil.write("cut", lot="L002", crop="peony", bed="b1", planting="P01", use="fresh", stems=45)
    assert plan_rows(pencil.farm, pencil.today)[0].next == ""


def test_a_bed_of_a_variety_with_the_color_in_its_name_is_counted_for_the_color() -> None:
    pencil = farm("2026-03-20")
    pencil.today = date(2026, 4, 15)
    pencil.write(
        "set out", planting="P01", crop="larkspur", variety="deep blue", bed="b1", feet=40, plants=300
    )
    blue, white = (
        seen(pencil, f"plan 30 larkspur {color} fresh by 2026-07-01") for color in ("blue", "white")
    )
    assert isinstance(blue, Preview) and blue.plans[0].stands == ("P01",)
    assert isinstance(white, Problem) or white.plans[0].stands == ()
