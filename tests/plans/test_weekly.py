"""So many stems every week, and sowings spaced so that the cuts come evenly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from math import cos, pi

from hypothesis import given
from hypothesis import strategies as st

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.plans.succession import (
    Every,
    day_to_begin,
    every,
    sowings_for_cuts,
    units_between,
    usual_gap,
    warmth_of,
)
from core.plans.weekly import WeeklyPlan, plan_weekly
from core.plans.wish import Ask, Wish
from core.problems import Problem

FROST = Frost.average(date(2026, 5, 14), date(2026, 9, 28))


def the_sheet(crop: str, way: str | None = None) -> Sheet:
    found = sheet(crop, way)
    assert isinstance(found, Sheet)
    return found


def weekly(crop: str, use: str, start: date, until: date | None = None, way: str | None = None) -> WeeklyPlan:
    ask = Ask(Wish(crop, 100, use, start, way=way), the_sheet(crop, way), FROST)
    made = plan_weekly(ask, start, until)
    assert isinstance(made, WeeklyPlan), made
    return made


def test_sunflowers_every_week_are_sown_every_week() -> None:
    # One stem a plant, cut for one week at the least: 7 to 14 days between sowings [S92].
    made = weekly("sunflower", "fresh", date(2026, 7, 20), date(2026, 9, 6))
    assert len(made.plans) == len(made.weeks) == 7
    sown = [plan.sow_on for plan in made.plans if plan.sow_on is not None]
    assert all((later - earlier).days == 7 for earlier, later in pairwise(sown))
    assert all(week.expected == 100 for week in made.weeks)


def test_ten_weeks_of_strawflower_come_of_one_planting_and_the_first_weeks_fall_short() -> None:
    made = weekly("strawflower", "fresh", date(2026, 7, 1))
    assert made.until == date(2026, 9, 28)
    assert len(made.plans) == 1
    none, first, last = made.weeks[0], made.weeks[5], made.weeks[-1]
    assert (none.expected, none.plan) == (0, None)
    assert "first cut of strawflower may be as late as 7 Aug" in none.note and "the early way" in none.note
    assert 0 < first.expected < 100 and "first flush" in first.note
    assert (last.days, last.wanted, last.expected) == (6, 86, 86)
    assert last.note == "a short week: 6 days, to the first frost, 28 Sep"


def test_days_left_over_are_a_short_week_of_as_many_stems_as_they_come_to() -> None:
    for days, wanted in ((1, 14), (3, 43), (4, 57), (6, 86)):
        made = weekly("sunflower", "fresh", date(2026, 8, 3), date(2026, 8, 16) + timedelta(days=days))
        last = made.weeks[-1]
        assert (len(made.weeks), last.days, last.wanted) == (3, days, wanted)
        assert f"a short week: {days} day" in last.note and "frost" not in last.note
        # Under four days are not sown for: the last sowing's plants are cut by then.
        assert len(made.plans) == (3 if days >= 4 else 2)
        assert (last.expected == wanted) == (days >= 4)


def test_plants_for_a_short_week_give_its_stems() -> None:
    # 4 of the 7 days on which a sunflower sown for them is cut: 57 stems / 0.85 = 68; / (4/7) = 119 plants on
    # average. Each gives its one stem in time or not: of 136 are 68 or more in time 19 times in 20.
    made = weekly("sunflower", "fresh", date(2026, 8, 3), date(2026, 8, 20))
    assert (made.plans[-1].to_cut, made.plans[-1].plants) == (68, 136)
    assert made.plans[-1].cut_to == date(2026, 8, 20)


def test_a_crop_that_cannot_be_planted_later_says_when_it_gives_out() -> None:
    made = weekly("strawflower", "dry", date(2026, 7, 1), way="early")
    assert made.weeks[-1].expected < 100
    assert "cannot be planted later" in made.weeks[-1].note
    assert len({plan.in_bed_from for plan in made.plans}) == len(made.plans)


def test_zinnia_is_followed_by_a_second_sowing() -> None:
    made = weekly("zinnia", "fresh", date(2026, 8, 5))
    assert len(made.plans) == 2
    first, second = made.plans
    assert first.cut_to < second.cut_from
    # The first serves a week of half a flush as well (its leanest, 13/14 of the others), and is that much larger.
    assert (first.plants, second.plants) == (40, 37)
    assert [week.expected for week in made.weeks] == [100] * 7 + [86]


def test_weeks_that_cannot_be_asked() -> None:
    ask = Ask(Wish("zinnia", 100, "fresh", date(2026, 8, 1)), the_sheet("zinnia"), FROST)
    for start, until in ((date(2026, 8, 1), date(2026, 8, 3)), (date(2026, 8, 1), date(2028, 8, 1))):
        assert isinstance(plan_weekly(ask, start, until), Problem)
    assert isinstance(plan_weekly(ask, date(2026, 5, 1), date(2026, 5, 20)), Problem)
    no_autumn = Ask(ask.wish, ask.sheet, Frost.average(date(2026, 5, 14)))
    for stems, today in ((0, date(2026, 3, 1)), (100, date(2026, 8, 2))):
        asked = replace(ask, wish=replace(ask.wish, stems=stems), today=today)
        assert isinstance(plan_weekly(asked, date(2026, 8, 1)), Problem)
    for start, why in ((date(2026, 9, 25), "less than a week"), (date(2026, 10, 5), "comes before")):
        late = plan_weekly(ask, start)
        assert isinstance(late, Problem) and "first" in late.sentence and why in late.sentence
    refused = plan_weekly(no_autumn, date(2026, 8, 1))
    assert isinstance(refused, Problem) and "say until when" in refused.sentence


# Successions


def test_published_days_between_sowings() -> None:
    assert every(the_sheet("sunflower")) == Every(7, 14, "S92")
    found = every(the_sheet("zinnia"))  # 8 to 12 weeks of cutting
    assert isinstance(found, Every) and (found.least, found.most) == (56, 84)
    assert usual_gap(the_sheet("nigella")) == "usual: a sowing every 21 days (one of S44 S49)"
    assert usual_gap(the_sheet("sunflower")) == "usual: a sowing every 7 to 14 days (S92)"


def a_year(day: date) -> float:
    """Heat units of an invented cold-winter place: 0 in January, 30 in the middle of July."""
    return max(0.0, 15 - 18 * cos(2 * pi * (day.timetuple().tm_yday - 15) / 365))


def test_even_cuts_are_sown_at_uneven_gaps() -> None:
    cuts = [date(2026, 7, 15) + timedelta(days=14 * i) for i in range(6)]
    sowings = sowings_for_cuts(cuts, 900, a_year)
    assert isinstance(sowings, list)
    gaps = [(later - earlier).days for earlier, later in pairwise(sowings)]
    # The warming season: two weeks at the cut are more days of cold spring than of summer.
    assert gaps[0] > 14 > gaps[-1] or gaps[0] > gaps[-1]
    assert len(set(gaps)) > 1
    for sowing, cut in zip(sowings, cuts, strict=True):
        assert units_between(sowing, cut, a_year) >= 900
        assert units_between(sowing + timedelta(days=1), cut, a_year) < 900


@given(st.integers(1, 30), st.integers(1, 60), st.floats(1, 30))
def test_in_steady_warmth_days_and_heat_units_agree(step: int, days: int, warmth: float) -> None:
    cuts = [date(2026, 7, 1) + timedelta(days=step * i) for i in range(4)]
    need = warmth_of(days, date(2026, 5, 1), lambda _day: warmth)
    sowings = sowings_for_cuts(cuts, need - warmth / 2, lambda _day: warmth)
    assert sowings == [cut - timedelta(days=days) for cut in cuts]


@given(st.floats(1, 2500), st.dates(date(2026, 6, 1), date(2026, 10, 1)), st.integers(0, 60))
def test_a_later_cut_is_never_begun_earlier(need: float, cut: date, later: int) -> None:
    first, second = day_to_begin(cut, need, a_year), day_to_begin(cut + timedelta(days=later), need, a_year)
    assert isinstance(first, date) and isinstance(second, date)
    assert first <= second


def test_warmth_that_is_never_had() -> None:
    assert isinstance(day_to_begin(date(2026, 7, 1), 100, lambda _day: 0.0), Problem)
    assert isinstance(day_to_begin(date(2026, 7, 1), 0, a_year), Problem)
    assert isinstance(sowings_for_cuts([date(2026, 7, 1)], 1e6, a_year), Problem)
