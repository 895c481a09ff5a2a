"""Frost odds: against NOAA's normals for Clemson, and on made-up stations of every kind of climate."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.freeze_seasons import Half, events
from core.reckon.climate.frost import (
    ANY_MONTH,
    PERCENTS,
    RARE,
    FrostOdds,
    ThresholdOdds,
    frost_json,
    frost_odds,
)
from core.reckon.climate.record import MISSING, Record, record_of
from core.reckon.climate.stations import read_station
from core.units import month_day
from tests.cases import cases
from tests.climate.made import DATA, TODAY, clemson, climate, made, rows

NORTH, SOUTH = Half(False), Half(True)


def odds_of(record: Record, **more: object) -> FrostOdds:
    found = frost_odds(record, **{"method": "weibull", **more})  # type: ignore[arg-type]
    assert isinstance(found, FrostOdds), found
    return found


def at(odds: FrostOdds, threshold: float) -> ThresholdOdds:
    return next(row for row in odds.thresholds if row.threshold_f == threshold)


def day_of_2001(when: object) -> date:
    day = month_day(str(when), 2001)
    assert day is not None, when
    return day


# Published normals


@pytest.mark.parametrize("method", ["weibull", "normal"])
def test_clemson_agrees_with_the_normals_of_noaa(method: str) -> None:
    """NOAA 1981-2010 (filled and adjusted data; ours are raw): p50 within 4 days, p90 6, length 6 and 10."""
    row = at(odds_of(clemson(), method=method), 32)
    ours = {"last_spring": row.last_spring, "first_autumn": row.first_autumn}
    bands = {50: 4, 90: 6}
    checked = 0
    for published in rows("freeze_published_tables"):
        if published["source_key"] != "noaa8110":
            continue
        percent = int(published["prob_pct"])
        if published["season"] == "growing_season_days":
            assert (
                abs(int(row.frost_free_days[percent]) - int(published["date_or_days"]))
                <= {50: 6, 90: 10}[percent]
            )
        else:
            gap = day_of_2001(ours[published["season"]][percent]) - day_of_2001(published["date_or_days"])
            assert abs(gap.days) <= bands[percent]
        checked += 1
    assert checked == 6
    assert row.share_of_seasons == 1.0


def test_why_says_how_far_each_method_lies_from_the_normals_of_the_one_station_at_hand() -> None:
    off = {}
    for method in ("weibull", "normal"):
        row = at(odds_of(clemson(), method=method), 32)
        ours = {"last_spring": row.last_spring, "first_autumn": row.first_autumn}
        off[method] = 0
        for published in rows("freeze_published_tables"):
            if published["source_key"] != "noaa8110":
                continue
            percent, said = int(published["prob_pct"]), published["date_or_days"]
            if published["season"] == "growing_season_days":
                off[method] += abs(int(row.frost_free_days[percent]) - int(said))
            else:
                gap = day_of_2001(ours[published["season"]][percent]) - day_of_2001(said)
                off[method] += abs(gap.days)
    assert off["normal"] < off["weibull"]
    usual = frost_odds(clemson())
    assert isinstance(usual, FrostOdds)
    why = " ".join(usual.because)
    assert f"{off['normal']} days off in all by the curve, {off['weibull']} by ranks" in why


def clemson_from_1970() -> Record:
    """Clemson from August 1970 on: the earlier years, of which there are lows only, before the later."""
    earlier = read_station(DATA / "USC00381770_1970-1980.csv", today=TODAY)
    assert isinstance(earlier, Record), earlier
    lows = {
        day: low
        for record in (earlier, clemson())
        for day in range(record.start, record.end)
        if (low := record.low(day)) is not None
    }
    return record_of(lows, station="USC00381770", latitude=34.66)


def test_the_normal_method_gives_the_table_that_noaa_printed_to_the_day() -> None:
    """NOAA's table for Clemson, 1971-2000: six thresholds, nine chances. It is a normal curve mixed with the share
    of seasons that freeze (CLIM20-01); its one dash, 16 F at 90 %, is where we say rare.
    """
    published = rows("noaa_clemson_last_spring_1971-2000")
    thresholds = {float(row["threshold_F"]) for row in published}
    odds = odds_of(clemson_from_1970(), years=(1971, 2000), method="normal", thresholds=sorted(thresholds))
    gaps = []
    for row in published:
        ours = at(odds, float(row["threshold_F"])).last_spring[int(row["prob_pct"])]
        if row["date"] == "none":
            assert ours == RARE
        else:
            gaps.append((day_of_2001(ours) - day_of_2001(row["date"])).days)
    assert len(gaps) == 53
    assert max(map(abs, gaps)) <= 1
    assert sum(gap == 0 for gap in gaps) >= 35


def test_plotting_positions_lie_in_the_bands_around_that_table() -> None:
    """One year in two within four days, the others within six."""
    odds = odds_of(clemson_from_1970(), years=(1971, 2000))
    for row in rows("noaa_clemson_last_spring_1971-2000"):
        threshold, percent = float(row["threshold_F"]), int(row["prob_pct"])
        if threshold >= 24:
            gap = day_of_2001(at(odds, threshold).last_spring[percent]) - day_of_2001(row["date"])
            assert abs(gap.days) <= (4 if percent == 50 else 6)


def test_the_json_is_as_promised() -> None:
    value = frost_json(odds_of(clemson()))
    assert list(value) == ["station", "seasons", "thresholds"]
    assert value["station"] == "USC00381770"
    assert value["seasons"] == 30
    assert list(value["thresholds"]) == ["36", "32", "28", "24"]
    thirty_two = value["thresholds"]["32"]
    assert list(thirty_two) == ["last_spring", "first_autumn", "frost_free_days", "share_of_seasons"]
    for name in ("last_spring", "first_autumn", "frost_free_days"):
        assert list(thirty_two[name]) == [str(p) for p in PERCENTS]
    assert thirty_two["last_spring"]["50"] == "04-01"
    assert thirty_two["frost_free_days"]["50"] == 211


def test_the_years_asked_for_are_those_of_springs_and_autumns() -> None:
    odds = odds_of(clemson(), years=(1991, 2005))
    assert (odds.first_year, odds.last_year, odds.seasons) == (1991, 2005, 15)
    assert "at 36 F only 9" in str(frost_odds(clemson(), years=(1991, 1999)))
    assert "runs from 1981 to 2010" in str(frost_odds(clemson(), years=(2011, 2020)))
    assert "1991-2020" in str(frost_odds(clemson(), years=(2005, 1991)))
    assert "threshold" in str(frost_odds(clemson(), thresholds=()))


# Which way the percents run


def ladder(latitude: float = 40.0) -> Record:
    """Twenty years, each with one last and one first freeze, a day later from year to year."""
    spring, autumn = (
        (date(2001, 4, 1), date(2001, 10, 1)) if latitude > 0 else (date(2001, 10, 1), date(2001, 4, 1))
    )

    def low(day: date) -> float:
        late = day.year - 2000
        marks = {(spring + timedelta(days=late)), (autumn + timedelta(days=late))}
        return 30 if (day.month, day.day) in {(m.month, m.day) for m in marks} else 45

    return made(low, date(2000, 8, 1), date(2020, 7, 31), latitude=latitude)


def test_ten_percent_is_late_in_spring_and_early_in_autumn() -> None:
    """19 springs, 2 to 20 April: rank i of n stands at i / (n + 1)."""
    row = at(odds_of(ladder(), years=(2001, 2019)), 32)
    # 19 ranks: 10 % lies at rank 18 from the earliest, 2 April + 17 days.
    assert row.last_spring == {p: f"04-{1 + round(20 - p / 5):02d}" for p in PERCENTS}
    assert row.first_autumn == {p: f"10-{1 + round(p / 5):02d}" for p in PERCENTS}
    assert row.frost_free_days == dict.fromkeys(PERCENTS, 183)
    assert (row.springs, row.autumns, row.lengths) == (19, 19, 19)


def test_in_the_south_spring_comes_in_october() -> None:
    row = at(odds_of(ladder(-38.0), years=(2001, 2019)), 32)
    assert row.last_spring == {p: f"10-{1 + round(20 - p / 5):02d}" for p in PERCENTS}
    assert row.first_autumn == {p: f"04-{1 + round(p / 5):02d}" for p in PERCENTS}
    # From October to the April after, the last of them in 2020; 29 February lies in every fourth.
    assert row.frost_free_days[50] == 183
    assert row.lengths == 19
    assert row.share_of_seasons == 1.0


def test_the_half_of_the_earth_is_seen_from_the_warm_months_where_no_latitude_is_known() -> None:
    south = climate(45, 15, 5, latitude=-38)
    asked, told = (odds_of(replace(south, latitude=lat)) for lat in (None, -38.0))
    assert asked.thresholds == told.thresholds
    assert asked.south
    assert "January is the warmer" in asked.because[1]
    assert "latitude -38" in told.because[1]


def _shifted(record: Record) -> Record:
    """The record 184 days later (1 August becomes 1 February) on the other half of the earth."""
    return replace(record, start=record.start + 184, latitude=-(record.latitude or 0.0))


@cases(15)
@given(st.integers(0, 10_000), st.floats(30, 60), st.floats(5, 25), st.floats(1, 8))
def test_the_south_is_the_north_half_a_year_on(seed: int, mean: float, swing: float, noise: float) -> None:
    north = climate(mean, swing, noise, years=12, seed=seed)
    # Whole seasons only: a record cut off within one may be judged a day apart, by 29 February.
    whole = date(2002, 7, 31).toordinal() + 1 - north.start
    north = replace(north, lows=north.lows[:whole], highs=north.highs[:whole])
    one, other = odds_of(north), odds_of(_shifted(north))
    for a, b in zip(one.thresholds, other.thresholds, strict=True):
        assert a.frost_free_days == b.frost_free_days
        assert a.share_of_seasons == b.share_of_seasons
        for name in ("last_spring", "first_autumn"):
            for p in PERCENTS:
                x, y = getattr(a, name)[p], getattr(b, name)[p]
                if x in (RARE, ANY_MONTH):
                    assert x == y
                else:
                    gap = NORTH.offset(day_of_2001(x)) - SOUTH.offset(day_of_2001(y))
                    assert abs(gap) <= 1  # 29 February lies elsewhere in the season


# What must always hold


def rank(half: Half, when: object, low: float) -> float:
    return low if isinstance(when, str) and when in (RARE, ANY_MONTH) else half.offset(day_of_2001(when))


@cases(25)
@given(
    st.integers(0, 10_000),
    st.floats(25, 65),
    st.floats(3, 25),
    st.floats(1, 9),
    st.sampled_from([40.0, -40.0]),
    st.sampled_from(["weibull", "normal"]),
    st.floats(0, 0.05),
)
def test_odds_run_one_way(
    seed: int, mean: float, swing: float, noise: float, latitude: float, method: str, gaps: float
) -> None:
    record = climate(mean, swing, noise, years=14, seed=seed, latitude=latitude)
    rng = random.Random(seed)
    for i in range(1, len(record.lows) - 1):
        if rng.random() < gaps:
            record.lows[i] = MISSING
    found = frost_odds(record, method=method)  # type: ignore[arg-type]
    if isinstance(found, Problem):
        assert "Not yet" in found.sentence
        return
    half = Half(found.south)

    def last(row: ThresholdOdds, p: float) -> float:
        return rank(half, row.last_spring[p], -1 if row.last_spring[p] == RARE else 999)

    def first(row: ThresholdOdds, p: float) -> float:
        return rank(half, row.first_autumn[p], 999 if row.first_autumn[p] == RARE else -1)

    told = [row for row in found.thresholds if row.springs >= 10 and row.autumns >= 10]
    for row in told:
        springs, autumns = ([day(row, p) for p in PERCENTS] for day in (last, first))
        assert springs == sorted(springs, reverse=True)
        assert autumns == sorted(autumns)
        lengths = [
            {RARE: 9999, ANY_MONTH: 0}.get(str(v), v) for v in row.frost_free_days.values() if v is not None
        ]
        assert lengths == sorted(lengths, key=float, reverse=True)
        assert row.share_of_seasons is not None and 0 <= row.share_of_seasons <= 1
    for row in found.thresholds:
        assert bool(row.not_yet) is (
            None in (*row.last_spring.values(), *row.first_autumn.values(), *row.frost_free_days.values())
        )
    for warm, cold in pairwise(told):
        for p in PERCENTS:
            assert last(cold, p) <= last(warm, p)
            assert first(cold, p) >= first(warm, p)


@cases(15)
@given(st.integers(0, 10_000), st.floats(30, 60), st.sampled_from([52.0, -33.0]), st.integers(24, 40))
def test_events_are_the_last_and_first_days_of_a_plain_count(
    seed: int, mean: float, latitude: float, threshold: int
) -> None:
    """A slow second way: all cold days of each season, the first and the last of them."""
    record = climate(mean, 15, 6, years=8, seed=seed, latitude=latitude)
    half = Half(latitude < 0)
    found = events(record, threshold, half)
    for season in range(record.first_day.year + 1, record.last_day.year - 1):
        cold = [
            day
            for day in range(half.start(season).toordinal(), half.start(season + 1).toordinal())
            if (record.low_f(day) or 0) <= threshold
        ]
        if not cold:
            assert abs(found.autumns[season]) == abs(found.springs[half.spring_year(season)]) == float("inf")
            continue
        assert half.month_day(int(found.autumns[season])) == _md(cold[0])
        assert half.month_day(int(found.springs[half.spring_year(season)])) == _md(cold[-1])


def _md(day: int) -> str:
    when = date.fromordinal(day)
    return "03-01" if (when.month, when.day) == (2, 29) else f"{when:%m-%d}"


# Kinds of climate


def test_a_hot_coast_is_rare_and_its_first_freeze_may_come_after_new_year() -> None:
    """Two winters in three freeze, on one night in the middle of January."""

    def low(day: date) -> float:
        winter = day.year + (1 if day.month >= 8 else 0)
        return 31 if (day.month, day.day) == (1, 10 + winter % 7) and winter % 3 else 50

    odds = odds_of(made(low, date(1990, 8, 1), date(2020, 7, 31), latitude=29.9))
    row = at(odds, 32)
    assert row.share_of_seasons == pytest.approx(2 / 3, abs=0.01)
    assert row.last_spring[50].startswith("01-1")
    assert row.first_autumn[50].startswith("01-1")
    assert row.last_spring[70] == row.first_autumn[70] == RARE
    assert row.frost_free_days[10] == RARE  # one winter in three has no freeze, so no end to the season
    cold = at(odds, 28)
    assert cold.share_of_seasons == 0
    assert set(cold.last_spring.values()) | set(cold.frost_free_days.values()) == {RARE}


def test_a_last_freeze_may_come_before_new_year() -> None:
    odds = odds_of(
        made(lambda d: 31 if (d.month, d.day) == (12, 20) else 50, date(1990, 8, 1), date(2010, 7, 31))
    )
    assert at(odds, 32).last_spring[50] == at(odds, 32).first_autumn[50] == "12-20"
    assert at(odds, 32).frost_free_days[50] == 365


def test_where_every_month_may_freeze_no_date_is_given() -> None:
    weekly = odds_of(made(lambda d: 30 if d.day % 6 == 1 else 45, date(1990, 1, 1), date(2015, 12, 31)))
    row = at(weekly, 32)
    assert set(row.last_spring.values()) == set(row.first_autumn.values()) == {ANY_MONTH}
    assert set(row.frost_free_days.values()) == {ANY_MONTH}
    polar = odds_of(made(lambda _: 5, date(1990, 1, 1), date(2015, 12, 31), latitude=-75))
    assert set(at(polar, 24).last_spring.values()) == {ANY_MONTH}


def test_a_high_valley_has_dates_as_long_as_there_is_a_week_between_them() -> None:
    """NOAA's table for Fontenelle Dam, Wyoming, has 36 F on or after 27 July in one year of ten."""
    valley = odds_of(
        made(
            lambda d: 35 if (d.month, d.day) in ((7, 27), (8, 4)) else 45,
            date(1990, 1, 1),
            date(2015, 12, 31),
        )
    )
    row = at(valley, 36)
    assert (row.last_spring[10], row.first_autumn[10], row.frost_free_days[10]) == ("07-27", "08-04", 8)
    assert at(valley, 32).last_spring[10] == RARE


def test_a_high_desert_has_dates_one_year_in_two_and_none_to_be_safe_by() -> None:
    """Nights about 43 F in July, but scattered: 36 F comes in late July in some years and not in others."""
    odds = odds_of(climate(25.5, 18, 4.5, years=40, latitude=43.6))
    row = at(odds, 36)
    assert row.last_spring[10] == ANY_MONTH
    assert row.first_autumn[10] == ANY_MONTH
    assert row.last_spring[90][:2] in ("06", "07")
    assert at(odds, 24).last_spring[50] not in (RARE, ANY_MONTH)


def test_a_mild_maritime_place_has_a_long_wide_season() -> None:
    """Little swing from summer to winter: some winters do not freeze."""
    row = at(odds_of(climate(46, 7, 4, years=40, latitude=51.9)), 28)
    assert 0 < row.share_of_seasons < 1
    assert RARE in row.last_spring.values()


# Missing days and leap days


def plain(day: date) -> float:
    return 30 if (day.month, day.day) in ((4, 20), (10, 10)) else 45


def _without(record: Record, gaps: list[tuple[date, int]]) -> Record:
    lows = {d: v for d in range(record.start, record.end) if (v := record.low(d)) is not None}
    for first, count in gaps:
        for day in range(first.toordinal(), first.toordinal() + count):
            lows.pop(day, None)
    return record_of(lows, station="MADE", latitude=40.0)


def test_ten_missing_days_before_the_freeze_is_found_void_the_season() -> None:
    """The rule of Utah State University: looking on from midsummer, and back from it."""
    record = made(plain, date(2000, 8, 1), date(2015, 7, 31))
    assert len(events(record, 32, NORTH).autumns) == 15
    nine = _without(record, [(date(2005, 9, 28), 9)])
    ten = _without(record, [(date(2005, 9, 28), 10)])
    after = _without(record, [(date(2005, 10, 11), 120)])
    before = _without(record, [(date(2006, 4, 22), 10)])
    assert 2005 in events(nine, 32, NORTH).autumns
    assert 2005 not in events(ten, 32, NORTH).autumns
    assert 2006 in events(ten, 32, NORTH).springs
    assert {2005, 2006} <= set(events(after, 32, NORTH).autumns) & set(events(after, 32, NORTH).springs)
    assert 2006 not in events(before, 32, NORTH).springs
    assert 2006 not in events(before, 32, NORTH).lengths


def test_days_missing_where_no_freeze_has_ever_come_do_no_harm() -> None:
    """Freezes come on 20 April and 10 October: a gap from May to mid-September hides none of them."""
    record = _without(made(plain, date(2000, 8, 1), date(2015, 7, 31)), [(date(2005, 5, 10), 125)])
    found = events(record, 32, NORTH)
    assert 2005 in found.springs and 2005 in found.autumns and 2005 in found.lengths


def test_a_gap_beyond_the_freeze_counts_where_other_freezes_come_later() -> None:
    """As at the end of a record: else a gap in winter would let through early autumns only."""

    def low(day: date) -> float:
        return 30 if (day.month, day.day) == (12, 5 + 4 * (day.year % 5)) else 50

    record = _without(made(low, date(2000, 8, 1), date(2015, 7, 31)), [(date(2005, 12, 8), 12)])
    autumns = events(record, 32, NORTH).autumns  # 5 December 2005 was seen, 9 to 21 December could not be
    assert 2005 not in autumns
    assert len(autumns) == 14


def test_a_season_cut_off_by_the_end_of_the_record_is_left_out_where_freezes_come_later() -> None:
    def low(day: date) -> float:
        winter = day.year + (1 if day.month >= 8 else 0)
        early = (day.month, day.day) == (12, 5) and winter % 2 == 0
        late = (day.month, day.day) == (1, 20) and winter % 2
        return 30 if early or late else 50

    whole = made(low, date(2000, 8, 1), date(2016, 7, 31))
    cut = made(low, date(2000, 8, 1), date(2015, 12, 31))
    assert 2015 in events(whole, 32, NORTH).autumns
    # Its freeze of 5 December was seen, but a freeze in January would not have been.
    assert 2015 not in events(cut, 32, NORTH).autumns
    early_only = made(plain, date(2000, 8, 1), date(2015, 12, 31))
    assert 2015 in events(early_only, 32, NORTH).autumns


def test_scattered_gaps_do_not_make_a_mild_coast_look_frosty() -> None:
    """About 15 days a year are missing: seasons with and without a freeze must be left out alike."""
    whole = climate(57, 13, 5, years=60, latitude=30.0, seed=3)
    rng = random.Random(5)
    gappy = replace(whole, lows=whole.lows[:])
    for i in range(1, len(gappy.lows) - 1):
        if rng.random() < 0.04:
            gappy.lows[i] = MISSING
    full, holed = (at(odds_of(record), 32) for record in (whole, gappy))
    assert 0.3 < full.share_of_seasons < 0.8
    assert holed.share_of_seasons == pytest.approx(full.share_of_seasons, abs=0.1)
    assert holed.springs > 45


def test_days_missing_in_summer_hide_no_freeze() -> None:
    def low(day: date) -> float | None:
        return None if day.month == 7 else 50.0

    row = at(odds_of(made(low, date(1990, 8, 1), date(2010, 7, 31))), 32)
    assert row.share_of_seasons == 0
    assert row.springs == 20
    winters_missing = made(lambda d: None if d.month == 1 else 50.0, date(1990, 8, 1), date(2010, 7, 31))
    assert "Not yet" in str(frost_odds(winters_missing))


def test_a_threshold_with_too_few_seasons_stays_and_says_why() -> None:
    """Februaries are missing: 36 F comes back in April and can be told, 24 F would have come in February."""

    def low(day: date) -> float | None:
        if day.month == 2:
            return None
        return (
            35
            if (day.month, day.day) in ((4, 20), (10, 10))
            else 20
            if (day.month, day.day) == (1, 5)
            else 45
        )

    odds = odds_of(made(low, date(1990, 8, 1), date(2010, 7, 31)))
    assert [row.threshold_f for row in odds.thresholds] == [36, 32, 28, 24]
    assert [bool(row.not_yet) for row in odds.thresholds] == [False, True, True, True]
    cold = frost_json(odds)["thresholds"]["24"]
    assert cold["last_spring"] == cold["frost_free_days"] == {str(p): None for p in PERCENTS}
    assert cold["first_autumn"]["50"] == "01-05"  # it came before February
    assert cold["not_yet"].startswith("not yet: 0 springs, 20 falls and 0 seasons")
    assert "not_yet" not in frost_json(odds)["thresholds"]["36"]
    assert sum("not yet: 0 springs" in why for why in odds.because) == 3


def test_seasons_are_not_counted_from_halves_of_different_years() -> None:
    """Springs are known in odd years, autumns in even ones: dates, but no length of any season."""

    def low(day: date) -> float | None:
        hidden = (4, 5) if day.year % 2 == 0 else (9, 10)
        return None if day.month in hidden else plain(day)

    row = at(odds_of(made(low, date(1980, 8, 1), date(2015, 7, 31))), 32)
    assert (row.springs, row.autumns, row.lengths) == (18, 18, 0)
    assert row.last_spring[50] == "04-20" and row.first_autumn[50] == "10-10"
    assert set(row.frost_free_days.values()) == {None}


def test_too_few_seasons_give_no_odds() -> None:
    found = frost_odds(made(plain, date(2000, 8, 1), date(2008, 7, 31)))
    assert isinstance(found, Problem)
    assert "8 springs and 8 falls" in found.sentence
    assert "need 10" in found.sentence


def test_a_freeze_on_29_february_counts_as_1_march() -> None:
    record = made(lambda d: 30 if (d.month, d.day) == (2, 29) else 45, date(1990, 8, 1), date(2020, 7, 31))
    springs = events(record, 32, NORTH).springs
    assert {NORTH.month_day(int(o)) for o in springs.values() if o >= 0} == {"03-01"}


@pytest.mark.parametrize(("tenths", "freezes"), [(0, True), (1, False), (-1, True)])
def test_32_f_is_0_c_to_the_tenth(tenths: int, freezes: bool) -> None:
    start = date(2000, 8, 1).toordinal()
    lows = dict.fromkeys(range(start, start + 365), 100)
    lows[start + 100] = tenths
    assert (events(record_of(lows, latitude=52.0), 32, NORTH).share == 1.0) is freezes


@pytest.mark.parametrize(("threshold", "tenths"), [(36, 22), (32, 0), (28, -22), (24, -44)])
def test_thresholds_are_those_of_the_archives_in_tenths_of_c(threshold: float, tenths: int) -> None:
    """36, 32, 28, 24 F are 2.2, 0, -2.2, -4.4 C in GHCN-Daily."""
    start = date(2000, 8, 1).toordinal()
    for low, share in ((tenths, 1.0), (tenths + 1, 0.0)):
        lows = dict.fromkeys(range(start, start + 365), 150)
        lows[start + 150] = low
        assert events(record_of(lows, latitude=52.0), threshold, NORTH).share == share
