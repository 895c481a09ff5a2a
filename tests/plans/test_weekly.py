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
    # One stem a plant, cut for one week at the least: 7 to 10 days between sowings [S286].
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
    assert "first cut of strawflower is to be expected 2 Aug" in none.note and "the early way" in none.note
    assert 0 < first.expected < 100 and "first flush" in first.note
    assert (last.days, last.wanted, last.expected) == (6, 86, 86)
    assert last.note == "a short week: 6 days, to the first frost, 28 Sep"


def test_days_left_over_are_a_short_week_of_as_many_stems_as_they_come_to() -> None:
    for days, wanted in ((1, 14), (3, 43), (4, 57), (6, 86)):
        made = weekly("sunflower", "fresh", date(2026, 8, 3), date(2026, 8, 16) + timedelta(days=days))
        last = made.weeks[-1]
        assert (len(made.weeks), last.days, last.wanted) == (3, days, wanted)
        assert f"a short week: {days} day" in last.note and "frost" not in last.note
        # Under four days are not sown for: the last sowing's plants are still giving then.
        assert len(made.plans) == (3 if days >= 4 else 2)


def test_sunflowers_of_one_week_still_give_in_the_next_and_a_sowing_makes_up_the_rest() -> None:
    # Cut for 1 to 2 weeks, 10 days in a usual year: two thirds of a sowing in its own week, the rest in the next.
    made = weekly("sunflower", "fresh", date(2026, 7, 20), date(2026, 9, 6))
    first, others = made.plans[0].plants_out, [plan.plants_out for plan in made.plans[2:]]
    assert all(0.6 * first < count < 0.95 * first for count in others)
    # 130 to 150 seeds for 100 stems are what growers sow (common practice); a plant here is one that is set out
    assert all(120 <= count <= 170 for count in others)
    # all sowings come early together or late together: within the row nine weeks in ten have what is wanted
    assert all(week.chance > 0.88 for week in made.weeks[2:-1])


def test_a_crop_that_cannot_be_planted_later_says_when_it_gives_out() -> None:
    made = weekly("strawflower", "dry", date(2026, 7, 1), way="early")
    assert made.weeks[-1].expected < 100
    assert "cannot be planted later" in made.weeks[-1].note
    assert len({plan.in_bed_from for plan in made.plans}) == len(made.plans)


def test_weekly_zinnias_begin_when_zinnias_do_and_a_second_sowing_follows() -> None:
    # Set out 14 May, 30 to 70 days to the first cut: early July in a usual year, some years in June, some in late July.
    made = weekly("zinnia", "fresh", date(2026, 7, 1))
    first, second = made.plans
    assert first.set_out_on == date(2026, 5, 14) and first.cut_to < second.cut_from
    begun = [week for week in made.weeks if week.plan is not None]
    assert begun[0].start <= date(2026, 7, 8) and begun[0].is_short and "first flush" in begun[0].note
    full = next(week for week in begun if not week.is_short)
    assert date(2026, 7, 15) <= full.start <= date(2026, 7, 29)
    assert [week.chance for week in begun[:5]] == sorted(week.chance for week in begun[:5])
    assert max(week.chance for week in begun) > 0.9


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
    assert every(the_sheet("sunflower")) == Every(7, 10, "S286")
    found = every(the_sheet("zinnia"))  # 8 to 12 weeks of cutting
    assert isinstance(found, Every) and (found.least, found.most) == (56, 84)
    assert usual_gap(the_sheet("nigella")) == "usual: a sowing every 21 days (one of S44 S49)"
    assert usual_gap(the_sheet("sunflower")) == "usual: a sowing every 7 to 10 days (S286)"


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
