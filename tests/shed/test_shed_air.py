"""The air of the shed, written into the book and read back: published values, hours of damp, tonight's cold."""

from __future__ import annotations

import random
from datetime import date
from typing import Any

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.farm import Farm
from core.fold import fold
from core.reckon.climate.air import c_from_f, f_from_c, saturation_kpa
from core.shed.air import AirReading, room_air
from core.shed.damp import Damp, damp_hours
from core.shed.kinds import RANGE_DAYS, READINGS_KEPT
from core.shed.night_air import NightAir, own_offset, rh_at, shed_air
from tests.climate.made import rows
from tests.farms import Pencil, frozen, small_farm

DAY = date(2026, 6, 23)


def book(zone: str = "UTC", start: str = "2026-06-23") -> Pencil:
    pencil = Pencil(start)
    pencil.write("farm", zone=zone)
    return pencil


def read(temp_c: float, rh: float) -> AirReading:
    """The last reading of a farm whose shed is that warm and damp."""
    pencil = book()
    pencil.write("air", room="shed", f=f_from_c(temp_c), rh_pct=rh, clock="06:40")
    reading = shed_air(pencil.farm, DAY).now.reading
    assert reading is not None
    return reading


def vapour_kpa(reading: AirReading) -> float:
    assert reading.dew_point_f is not None
    return saturation_kpa(c_from_f(reading.dew_point_f))


def deficit(reading: AirReading) -> float:
    assert reading.deficit_kpa is not None
    return reading.deficit_kpa


# FAO-56, through the book


def test_fao_56_example_3() -> None:
    """24.5 and 15 C saturated hold 3.075 and 1.705 kPa, 2.39 of the day: half of it is missing at 50 %."""
    warm, cool = read(24.5, 50), read(15, 50)
    assert 2 * deficit(warm) == pytest.approx(3.075, abs=0.001)
    assert 2 * deficit(cool) == pytest.approx(1.705, abs=0.001)
    assert deficit(warm) + deficit(cool) == pytest.approx(2.39, abs=0.001)


def test_fao_56_example_4() -> None:
    """25.6 C dry, 19.5 C wet at 1200 m: vapour 1.91 kPa (from memory), which is 58.2 % RH there."""
    assert vapour_kpa(read(25.6, 100 * 1.91 / saturation_kpa(25.6))) == pytest.approx(1.91, abs=0.001)


def test_fao_56_examples_5_and_6() -> None:
    """25 C at 54 %, 18 C at 82 %: vapour 1.70, deficit of the day 0.91 kPa (figures from memory)."""
    dusk, dawn = read(25, 54), read(18, 82)
    vapour = (vapour_kpa(dusk) + vapour_kpa(dawn)) / 2
    assert vapour == pytest.approx(1.70, abs=0.005)
    assert (saturation_kpa(18) + saturation_kpa(25)) / 2 - vapour == pytest.approx(0.91, abs=0.005)


def test_fao_56_annex_table() -> None:
    """Annex 2, table 2.3: at half saturation half of the printed pressure is missing; 0.001 kPa, 0.002 above 33 C."""
    for row in rows("fao56_svp_formula_table")[::5]:
        temp = float(row["T_C"])
        printed = float(row["e0_kPa_formula_eq11"])
        assert 2 * deficit(read(temp, 50)) == pytest.approx(printed, abs=0.001 if temp <= 33 else 0.002)


@given(st.floats(2, 38), st.floats(20, 100))
def test_dew_points_of_another_library(temp_c: float, rh: float) -> None:
    """psychrolib (ASHRAE) within 0.05 C, where dew and not frost falls."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    theirs = psychrolib.GetTDewPointFromRelHum(temp_c, rh / 100)
    if theirs >= 0:
        dew = read(temp_c, rh).dew_point_f
        assert dew is not None
        assert c_from_f(dew) == pytest.approx(theirs, abs=0.05)


def test_a_printed_dew_point() -> None:
    """psychrolib's own example: 25 C at 80 % has its dew point at 21.3 C."""
    dew = read(25, 80).dew_point_f
    assert dew is not None and c_from_f(dew) == pytest.approx(21.309, abs=0.005)


# what is kept


def test_readings_stand_in_order_of_time_whatever_the_order_of_writing() -> None:
    pencil = book()
    for clock, f in (("18:00", 80), ("06:40", 61), (None, 63), ("12:00", 75)):
        fields: dict[str, Any] = {"room": "shed", "f": f, **({"clock": clock} if clock else {})}
        pencil.write("air", **fields)
    assert [row[2] for row in pencil.farm.air["shed"]] == [61, 63, 75, 80]


@given(st.randoms(use_true_random=False))
def test_the_order_of_arrival_changes_nothing(shuffled: random.Random) -> None:
    pencil = book(start="2026-06-20")
    for n in range(12):
        day = f"2026-06-{20 + n % 4}"
        pencil.entries.append(
            pencil.made("air", day, room="shed", f=60 + n, rh_pct=50 + n, clock=f"{n * 7 % 24:02d}:30")
        )
        pencil.entries.append(pencil.made("air range", day, room="shed", low_f=50 + n, high_f=80 - n))
    arrived = list(pencil.entries)
    shuffled.shuffle(arrived)
    assert frozen(fold(arrived)) == frozen(fold(pencil.entries))


def test_two_ranges_of_one_day_are_one() -> None:
    pencil = book()
    pencil.write("air range", room="shed", low_f=58, high_f=84, low_rh=41)
    pencil.write("air range", room="shed", low_f=60, high_f=86, high_rh=68)
    assert pencil.farm.air_ranges["shed"] == {"2026-06-23": (58, 86, 41, 68)}


def test_old_readings_and_ranges_are_let_go() -> None:
    pencil = book()
    for n in range(READINGS_KEPT + 5):
        pencil.entries.append(pencil.made("air", room="shed", f=60, rh_pct=1 + n % 99))
    for n in range(RANGE_DAYS + 10):
        day = date.fromordinal(DAY.toordinal() + n).isoformat()
        pencil.entries.append(pencil.made("air range", day, room="shed", low_f=50, high_f=70))
    farm = pencil.farm
    assert not farm.matters
    assert len(farm.air["shed"]) == READINGS_KEPT and farm.air["shed"][0][3] == 6
    assert len(farm.air_ranges["shed"]) == RANGE_DAYS


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        ("air", {"room": "shed", "rh_pct": 101}, "101 % is no humidity"),
        ("air", {"room": "shed", "rh_pct": 0}, "0 % is no humidity"),
        ("air", {"room": "shed", "f": 900}, "900 F is no air temperature"),
        ("air", {"room": "shed"}, "degrees, humidity or both"),
        ("air", {"room": "attic", "f": 70}, "not in 'attic'"),
        ("air range", {"room": "shed", "low_f": 84, "high_f": 58}, "which is which"),
        ("air range", {"room": "shed", "low_rh": 68, "high_rh": 41}, "which is which"),
        ("air range", {"room": "shed"}, "its low and its high"),
        ("line", {"line": "line 2", "feet": 0}, "more than 0"),
        ("line", {"line": "box 2", "feet": 10}, "which line"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(kind: str, fields: dict[str, Any], says: str) -> None:
    refused = book().refusal(kind, **fields)
    assert refused is not None
    assert says in refused.sentence and refused.sentence.count(". ") <= 1


# least and most


def test_the_day_and_the_week_take_readings_and_the_ranges_that_lie_in_them() -> None:
    pencil = book(start="2026-06-17")
    pencil.write("air range", room="shed", low_f=30, high_f=99)  # since when, nobody knows
    pencil.later(2).write("air range", room="shed", low_f=48, high_f=90, low_rh=30, high_rh=80)
    pencil.later(3).write("air range", room="shed", low_f=55, high_f=82)
    pencil.write("air", room="shed", f=81, rh_pct=45, clock="18:00")
    pencil.later(1).write("air range", room="shed", low_f=57, high_f=84, high_rh=71)
    pencil.write("air", room="shed", f=62, rh_pct=70, clock="06:40")
    air = room_air(pencil.farm, "shed", DAY, "06:45")
    assert (air.day.low_f, air.day.high_f, air.day.low_rh, air.day.high_rh) == (57, 84, 45, 71)
    assert (air.week.low_f, air.week.high_f, air.week.low_rh, air.week.high_rh) == (48, 90, 30, 80)
    assert (air.day.readings, air.day.ranges, air.week.ranges) == (2, 1, 3)


# hours of damp


def test_damp_between_near_readings_goes_straight() -> None:
    """60 to 70 % in 4 h crosses 65 half way: 2 h, and then 3 h more above."""
    found = damp_hours([(7, 60), (3, 70), (0, 66)], [], 65, 24)
    assert found.least == pytest.approx(5) and found.known == 7
    assert found.most == pytest.approx(5 + 17)


def test_readings_far_apart_say_nothing_of_the_hours_between() -> None:
    found = damp_hours([(20, 90), (4, 90)], [], 65, 24)
    assert (found.least, found.most, found.known) == (0, 24, 0)
    assert found.says.startswith("not known")


def test_a_range_below_the_limit_or_above_it_tells_of_the_hours_between() -> None:
    assert damp_hours([], [(24, 0, 40, 60)], 65, 24) == Damp(65, 24, 0, 0, 24)
    assert damp_hours([], [(24, 0, 70, 90)], 65, 24) == Damp(65, 24, 24, 24, 24)
    # across the limit it only says that it was so at some time
    assert damp_hours([], [(24, 0, 40, 90)], 65, 24) == Damp(65, 24, 0, 24, 0)


def test_a_window_cuts_a_stretch_that_began_before_it() -> None:
    found = damp_hours([(26, 75), (22, 75)], [], 65, 24)
    assert (found.least, found.known) == (2, 2)


_READINGS = st.lists(st.tuples(st.floats(0, 200), st.floats(1, 100)), max_size=12).map(
    lambda found: sorted(found, key=lambda one: -one[0])
)


@given(_READINGS, st.floats(20, 90), st.floats(0, 30))
def test_hours_of_damp_stay_within_their_window(
    readings: list[tuple[float, float]], limit: float, more: float
) -> None:
    found = damp_hours(readings, [], limit, 24)
    assert -1e-9 <= found.least <= found.known + 1e-9 <= 24 + 1e-6
    assert found.least - 1e-9 <= found.most <= 24 + 1e-6
    higher = damp_hours(readings, [], limit + more, 24)
    assert higher.least <= found.least + 1e-6 and higher.most <= found.most + 1e-6


def test_how_long_it_has_stood_damp() -> None:
    pencil = book(start="2026-06-22")
    pencil.write("air", room="shed", rh_pct=60, clock="20:00")
    pencil.write("air", room="shed", rh_pct=70, clock="22:00")
    pencil.later(1).write("air", room="shed", rh_pct=72, clock="03:00")
    pencil.write("air", room="shed", rh_pct=74, clock="06:40")
    air = room_air(pencil.farm, "shed", DAY, "06:45")
    assert air.is_damp
    assert air.standing_hours == pytest.approx(9 + 40 / 60, abs=0.01)
    assert not room_air(pencil.farm, "shed", DAY, "19:00").is_damp


@pytest.mark.parametrize(("day", "hours"), [("2026-03-08", 4.0), ("2026-11-01", 6.0), ("2026-06-23", 5.0)])
def test_a_night_in_which_the_clocks_change_has_its_own_hours(day: str, hours: float) -> None:
    """From 23:30 to 04:30 are 5 h, one less in the night of spring and one more in that of autumn."""
    evening = date.fromordinal(date.fromisoformat(day).toordinal() - 1).isoformat()
    pencil = book("America/New_York", start=evening)
    pencil.write("air", room="shed", rh_pct=80, clock="23:30")
    pencil.later(1).write("air", room="shed", rh_pct=80, clock="04:30")
    air = room_air(pencil.farm, "shed", date.fromisoformat(day), "04:30")
    assert air.damp_day.least == pytest.approx(hours)
    assert air.standing_hours == pytest.approx(hours)


# tonight


@given(st.floats(0.3, 4), st.floats(-10, 40), st.floats(0, 40))
def test_humidity_at_a_lower_temperature_never_falls(vapour: float, temp_c: float, colder: float) -> None:
    assert rh_at(vapour, temp_c - colder) >= rh_at(vapour, temp_c) - 1e-9


def evening(f: float, rh: float, tonight: float | None) -> Farm:
    pencil = book()
    pencil.write("air", room="shed", f=f, rh_pct=rh, clock="18:00")
    if tonight is not None:
        pencil.write("tonight", f=tonight)
    return pencil.farm


def night(farm: Farm) -> NightAir:
    found = shed_air(farm, DAY, "18:00").night
    assert found is not None
    return found


def test_cold_to_come_makes_the_present_air_damp() -> None:
    """72 F at 55 % holds 1.475 kPa. Half way to 48 F, at 60 F, air holds 1.767 at most: 83 %; at 48 F dew falls."""
    found = night(evening(72, 55, 48))
    assert found.shed_low_f == 60
    assert found.rh == pytest.approx(100 * 0.55 * saturation_kpa(22.222) / saturation_kpa(15.556), abs=0.1)
    assert found.rh == pytest.approx(83.2, abs=0.5)
    assert found.open_rh == 100
    assert found.warns and "Close up" in found.says and "half of the way" in found.because


def test_dry_air_stays_dry_enough() -> None:
    found = night(evening(80, 35, 62))
    assert not found.warns and found.rh < 50 and "keeps drying" in found.says


def test_a_warm_night_changes_nothing() -> None:
    found = night(evening(60, 50, 75))
    assert found.shed_low_f == 60 and found.rh == pytest.approx(50)


@pytest.mark.parametrize("farm", [evening(72, 55, None), book().farm])
def test_what_is_missing_is_said(farm: Farm) -> None:
    air = shed_air(farm, DAY, "18:00")
    assert air.night is None and "needs" in air.night_says


def test_a_reading_of_yesterday_says_nothing_of_tonight() -> None:
    pencil = book(start="2026-06-22")
    pencil.write("air", room="shed", f=72, rh_pct=55, clock="12:00")
    pencil.later(1).write("tonight", f=48)
    air = shed_air(pencil.farm, DAY, "18:00")
    assert air.night is None and "30 h old" in air.now.says[0]


def own_nights(count: int) -> Pencil:
    pencil = book(start="2026-06-10")
    pencil.write("air range", room="shed", low_f=60, high_f=80)
    for n in range(count):
        pencil.later(1).write("low", f=45 + n)
        pencil.write("air range", room="shed", low_f=45 + n + 7, high_f=80)
    return pencil


def test_her_own_nights_say_how_far_the_shed_follows() -> None:
    few, enough = own_nights(4), own_nights(5)
    assert own_offset(few.farm, few.today) is None
    assert own_offset(enough.farm, enough.today) == (5, 7)
    enough.write("air", room="shed", f=72, rh_pct=55, clock="18:00")
    enough.write("tonight", f=48)
    found = shed_air(enough.farm, enough.today, "18:00").night
    assert found is not None
    assert found.shed_low_f == 55 and "5 of your nights" in found.because


# what suffers first


def test_thick_kinds_big_bunches_the_newest_and_the_dry_are_named() -> None:
    pencil = small_farm("2026-06-01")
    for code, crop, hung, per in (
        ("L001", "strawflower", 5, 10),
        ("L002", "celosia, crested", 5, 5),
        ("L003", "strawflower", 19, 10),
        ("L004", "hydrangea", 20, 3),
        ("L005", "statice", 5, 25),
        ("L006", "strawflower", 2, 10),
    ):
        on = f"2026-06-{hung:02d}"
        pencil.today = date.fromisoformat(on)
        pencil.write("cut", lot=code, crop=crop, bed="b1", use="dry", stems=50)
        pencil.write("hung", lot=code, stems=50, source="bucket", line="line 1", per=per)
    pencil.today = date(2026, 6, 20)
    pencil.write("tested", lot="L006", result="snaps")
    found = {one.lot: one.why for one in shed_air(pencil.farm, pencil.today).at_risk}
    assert next(iter(found)) == "L004", "newest and thick"
    assert "L001" not in found
    assert found["L002"] == ("thick: may take 21 days",)
    assert found["L003"] == ("hung 1 day ago",)
    assert found["L004"] == ("hung today", "thick: may take 21 days")
    assert found["L005"] == ("bunches of 25",)
    assert "picks up damp" in found["L006"][0]
