"""Crop dates: against published weeks, against typed frost dates, and what must hold for every crop."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.calendar import crop_dates
from core.crops.frost_dates import Frost
from core.crops.hardening import ladder
from core.crops.library import crop_names, sheet, ways
from core.crops.sheet import Sheet
from core.crops.windows import WINDOWS, Calendar, calendar_json
from tests.cases import cases
from tests.farms import DEER_FLAT_DAM

EVERY_WAY = [(crop, way) for crop in crop_names() for way in (None, *ways(crop))]
MAY_15 = date(2026, 5, 15)

FROST = Frost(spring=DEER_FLAT_DAM)


def the_sheet(crop: str, way: str | None = None, **own: tuple[str, str]) -> Sheet:
    found = sheet(crop, way, own)
    assert isinstance(found, Sheet), found
    return found


def span(calendar: Calendar, name: str) -> tuple[date, date]:
    return calendar.windows[name].start, calendar.windows[name].end


def weeks_before(day: date, frost: date) -> float:
    return (frost - day).days / 7


# Weeks from sowing to planting out [S01] and setting out as the trade gives it, worked in the trade notes:
# snapdragon 8-10 weeks, out 3-4 weeks before = sown 11 to 14 weeks before; zinnia 3-5, out 0-2 after = 1 to 5
# before; lisianthus 12-16, out 4-6 before = 16 to 22 before [S164].
@pytest.mark.parametrize(
    ("crop", "sown_before", "out_before"),
    [("snapdragon", (14, 11), (4, 3)), ("zinnia", (5, 1), (0, -2)), ("lisianthus", (22, 16), (6, 4))],
)
def test_published_weeks(crop: str, sown_before: tuple[int, int], out_before: tuple[int, int]) -> None:
    calendar = crop_dates(the_sheet(crop), Frost.average(MAY_15))
    for name, before in (("sow", sown_before), ("set_out", out_before)):
        assert tuple(weeks_before(day, MAY_15) for day in span(calendar, name)) == before


def test_germination_is_not_added_to_the_weeks_in_the_tray() -> None:
    # Rudbeckia: 7-14 days to germinate, 10 weeks from sowing to planting, the first inside the second [S01].
    calendar = crop_dates(the_sheet("rudbeckia"), Frost.average(MAY_15))
    assert calendar.windows["set_out"].start - calendar.windows["sow"].start == timedelta(weeks=10)
    assert any("inside the weeks in the tray" in sentence for sentence in calendar.because)


def test_strawflower_the_early_way() -> None:
    # Common practice: out 6 to 8 weeks before the last frost, sown in the second half of February, first cut
    # within a week of 20 June; last frost 15 May.
    calendar = crop_dates(the_sheet("strawflower", "early"), Frost.average(MAY_15))
    assert span(calendar, "set_out") == (date(2026, 3, 20), date(2026, 4, 3))
    assert date(2026, 2, 15) <= calendar.windows["sow"].start
    assert calendar.windows["sow"].end <= date(2026, 2, 28)
    assert span(calendar, "first_cut") == (date(2026, 6, 13), date(2026, 6, 27))
    # The published way is half-hardy and sets out at the last frost.
    usual = crop_dates(the_sheet("strawflower"), Frost.average(MAY_15))
    assert usual.windows["set_out"].start == MAY_15


def test_hardening_takes_the_ladder_of_the_class() -> None:
    for crop, steps in (("snapdragon", 7), ("cosmos", 8), ("zinnia", 10)):
        calendar = crop_dates(the_sheet(crop), Frost.average(MAY_15))
        assert calendar.windows["set_out"].start - calendar.windows["harden"].start == timedelta(days=steps)


def test_typed_thresholds_hold_each_class_back_to_its_own_date() -> None:
    # Hardy crops hang on the 28 or 24 F date, tender ones on the 10 % 32 F date (common practice).
    zinnia = crop_dates(the_sheet("zinnia"), FROST)
    assert zinnia.windows["set_out"].start == date(2026, 5, 25)
    assert "32 F comes in 10 years of 100" in zinnia.windows["set_out"].because
    assert "moved 27 days on" in zinnia.windows["set_out"].because
    stock = crop_dates(the_sheet("stock"), FROST)  # hardy once hardened [S111]
    assert stock.windows["set_out"].start == date(2026, 3, 18)
    assert "24 F" in stock.windows["set_out"].because
    early = crop_dates(the_sheet("strawflower", "early"), FROST)
    assert early.windows["set_out"].start == date(2026, 3, 18)
    assert "24 F" in early.windows["set_out"].because
    # Sowing moves with setting out: still four to five weeks in the tray at the least.
    assert weeks_before(early.windows["sow"].start, early.windows["set_out"].start) == 4
    # Without the 10 % date at 32 F, the one at 36 F is used; without either, the published weeks stand.
    only_36 = Frost({(32, 50): date(2026, 4, 28), (36, 10): date(2026, 6, 9)})
    assert crop_dates(the_sheet("zinnia"), only_36).windows["set_out"].start == date(2026, 6, 9)
    average = Frost.average(date(2026, 4, 28))
    assert crop_dates(the_sheet("zinnia"), average).windows["set_out"].start == date(2026, 4, 28)


def test_what_really_happened_replaces_the_plan() -> None:
    frost = Frost.average(MAY_15)
    snapdragon = the_sheet("snapdragon")  # 8 to 10 weeks in the tray, out from 17 April
    late = crop_dates(snapdragon, frost, sown=date(2026, 3, 20))
    assert span(late, "sow") == (date(2026, 3, 20), date(2026, 3, 20))
    assert span(late, "set_out") == (date(2026, 5, 15), date(2026, 5, 29))
    too_soon = crop_dates(snapdragon, frost, sown=date(2026, 1, 10))
    assert too_soon.windows["set_out"].start == date(2026, 4, 17)
    assert "27 days past its time in the tray" in too_soon.windows["set_out"].because
    planted = crop_dates(snapdragon, frost, sown=date(2026, 2, 10), set_out=date(2026, 4, 20))
    assert span(planted, "set_out") == (date(2026, 4, 20), date(2026, 4, 20))
    assert span(planted, "first_cut") == (date(2026, 6, 1), date(2026, 7, 17))  # 42 to 88 days on
    bought_in = crop_dates(snapdragon, Frost(), set_out=date(2026, 4, 20))
    assert bought_in.windows["first_cut"].start == date(2026, 6, 1)


def test_crops_only_sown_in_the_bed() -> None:
    poppy = crop_dates(the_sheet("poppy"), Frost.average(MAY_15))
    assert list(poppy.windows) == ["direct_sow", "first_cut", "last_cut"]
    # About 90 days from sowing [S108].
    assert poppy.windows["first_cut"].start - poppy.windows["direct_sow"].start == timedelta(days=90)
    sown = crop_dates(the_sheet("poppy"), Frost.average(MAY_15), sown=date(2026, 4, 2))
    assert span(sown, "direct_sow") == (date(2026, 4, 2), date(2026, 4, 2))
    # Larkspur may be raised or sown in the bed, which it prefers [S26].
    larkspur = crop_dates(the_sheet("larkspur"), Frost.average(MAY_15))
    assert "sow" in larkspur.windows
    assert any(sentence.startswith("Better sown in the bed") for sentence in larkspur.because)
    direct = crop_dates(the_sheet("larkspur"), Frost.average(MAY_15), direct=True)
    assert list(direct.windows) == ["direct_sow", "first_cut", "last_cut"]
    assert span(direct, "direct_sow") == (date(2026, 4, 17), date(2026, 4, 24))


def test_tubers_shrubs_and_bulbs_say_what_cannot_be_reckoned() -> None:
    dahlia = crop_dates(the_sheet("dahlia"), Frost.average(MAY_15))
    assert list(dahlia.windows) == ["set_out", "first_cut", "last_cut"]
    for crop in ("lavender", "hydrangea", "peony", "tulip"):
        calendar = crop_dates(the_sheet(crop), Frost.average(MAY_15))
        assert calendar.windows == {}
        assert "nothing is reckoned from frost" in " ".join(calendar.because)


def test_autumn_frost_ends_the_cutting_of_each_class() -> None:
    autumn = {(36, 50): date(2026, 9, 10), (32, 50): date(2026, 9, 25), (28, 50): date(2026, 10, 10)}
    frost = Frost({(32, 50): MAY_15}, autumn)
    tender = crop_dates(the_sheet("globe amaranth"), frost).windows["last_cut"]
    assert tender.end == date(2026, 9, 25)
    half_hardy = crop_dates(the_sheet("strawflower"), frost).windows["last_cut"]
    assert half_hardy.end == date(2026, 10, 10)
    fallen_back = crop_dates(the_sheet("strawflower"), Frost.average(MAY_15, date(2026, 9, 25))).windows[
        "last_cut"
    ]
    assert fallen_back.end == date(2026, 9, 25)
    assert "the 28 F date is not typed" in fallen_back.because
    # Planted too late for any cut.
    hopeless = crop_dates(the_sheet("globe amaranth"), frost, set_out=date(2026, 8, 1))
    assert "first_cut" not in hopeless.windows
    assert "No cut is to be expected" in " ".join(hopeless.because)


def test_celosia_leaves_its_plug_at_20_to_30_days() -> None:
    # [S140]
    calendar = crop_dates(the_sheet("cockscomb"), Frost.average(MAY_15), sown=date(2026, 4, 10))
    assert span(calendar, "pot_on") == (date(2026, 4, 30), date(2026, 5, 10))
    assert "spoiled after 35" in calendar.windows["pot_on"].because


def test_without_frost_dates_it_says_so() -> None:
    calendar = crop_dates(the_sheet("zinnia"), Frost())
    assert calendar.windows == {}
    assert "not typed yet" in " ".join(calendar.because)


def test_a_window_that_has_passed_is_said() -> None:
    calendar = crop_dates(the_sheet("snapdragon"), Frost.average(MAY_15), today=date(2026, 3, 9))
    assert "The window for sowing closed 10 days ago." in calendar.because


def test_own_figures_move_the_dates() -> None:
    early = the_sheet("strawflower", "early", set_out_weeks=("-5 to -4", "own record"))
    calendar = crop_dates(early, Frost.average(MAY_15))
    assert span(calendar, "set_out") == (date(2026, 4, 10), date(2026, 4, 17))
    assert "own sheet: own record" in calendar.windows["set_out"].because


def test_as_json() -> None:
    said = calendar_json(crop_dates(the_sheet("strawflower", "early"), Frost.average(MAY_15)))
    assert said["crop"] == "strawflower"
    assert said["way"] == "early"
    assert said["windows"]["set_out"] == {"from": "2026-03-20", "to": "2026-04-03"}
    assert {"sow", "harden", "set_out", "first_cut"} <= set(said["windows"])
    assert all(isinstance(sentence, str) for sentence in said["because"])


# What must hold for every crop and every frost date

springs = st.dates(date(2024, 3, 15), date(2030, 6, 20))
crops = st.sampled_from(EVERY_WAY)
odds = st.dictionaries(
    st.tuples(st.sampled_from([24, 28, 32, 36]), st.sampled_from([10, 50, 90])),
    st.integers(-60, 60),
    max_size=6,
)


def frost_from(last: date, spring: dict[tuple[int, int], int], autumn: int | None) -> Frost:
    """The average last frost, other odds as days from it, and an autumn frost so many days after."""
    typed = {key: last + timedelta(days=days) for key, days in spring.items()}
    first = {(32, 50): last + timedelta(days=autumn)} if autumn is not None else {}
    return Frost({**typed, (32, 50): last}, first)


@cases(500)
@given(crops, springs, odds, st.none() | st.integers(90, 200), st.none() | st.integers(0, 200))
def test_windows_come_in_order(
    crop: tuple[str, str | None],
    last: date,
    spring: dict[tuple[int, int], int],
    autumn: int | None,
    sown_days_before: int | None,
) -> None:
    sown = last - timedelta(days=sown_days_before) if sown_days_before is not None else None
    calendar = crop_dates(the_sheet(*crop), frost_from(last, spring, autumn), sown=sown)
    assert list(calendar.windows) == [name for name in WINDOWS if name in calendar.windows]
    assert len(calendar.because) >= max(1, len(calendar.windows))
    for window in calendar.windows.values():
        assert window.start <= window.end
        assert window.because.endswith(".")
    in_order = [
        calendar.windows[name]
        for name in ("sow", "direct_sow", "harden", "set_out", "first_cut", "last_cut")
        if name in calendar.windows
    ]
    for earlier, later in pairwise(in_order):
        assert earlier.start <= later.start
        assert earlier.end <= later.end
    if "set_out" in calendar.windows:
        for name in ("prick_out", "pot_on"):
            if name in calendar.windows:
                assert calendar.windows["sow"].start < calendar.windows[name].start
                assert calendar.windows[name].end <= calendar.windows["set_out"].end


@cases(300)
@given(crops, springs, odds, st.integers(1, 60))
def test_a_later_frost_never_gives_an_earlier_setting_out(
    crop: tuple[str, str | None], last: date, spring: dict[tuple[int, int], int], later: int
) -> None:
    found = the_sheet(*crop)
    first = crop_dates(found, frost_from(last, spring, None)).windows
    second = crop_dates(found, frost_from(last + timedelta(days=later), spring, None)).windows
    assert first.keys() == second.keys()
    for name in first:
        assert first[name].start <= second[name].start
        assert first[name].end <= second[name].end


@given(crops, springs, odds, st.sampled_from([24, 28, 32, 36]), st.integers(1, 40))
def test_one_later_threshold_never_gives_an_earlier_setting_out(
    crop: tuple[str, str | None], last: date, spring: dict[tuple[int, int], int], threshold: int, later: int
) -> None:
    moved = {at: days + later if at[0] == threshold else days for at, days in spring.items()}
    before = crop_dates(the_sheet(*crop), frost_from(last, spring, None)).windows.get("set_out")
    after = crop_dates(the_sheet(*crop), frost_from(last, moved, None)).windows.get("set_out")
    if before is not None and after is not None:
        assert before.start <= after.start
        assert before.end <= after.end


@given(crops, springs, st.integers(0, 60), st.integers(0, 40))
def test_setting_out_later_never_gives_an_earlier_cut(
    crop: tuple[str, str | None], last: date, after: int, later: int
) -> None:
    found = the_sheet(*crop)
    out = last + timedelta(days=after)
    first = crop_dates(found, Frost.average(last), set_out=out).windows
    second = crop_dates(found, Frost.average(last), set_out=out + timedelta(days=later)).windows
    if "first_cut" in first:
        assert first["first_cut"].start <= second["first_cut"].start


def test_no_stay_in_the_tray_is_shorter_than_the_ladder() -> None:
    for crop, way in EVERY_WAY:
        found = the_sheet(crop, way)
        if found.weeks_in_tray is not None:
            assert found.weeks_in_tray.value[0] * 7 >= len(ladder(found.hardiness_class))
