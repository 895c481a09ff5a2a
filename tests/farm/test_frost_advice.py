"""What the nights ask, before the frost and after it; and what the course of a crop asks in its bed."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.asks import Sight
from core.beds.rows import PlantingRow, bed_rows
from core.crops.hardening import guard_f, ladder
from core.drying.dry_test import dry_test, way_to_dry
from core.session import Session, Written
from core.today import morning
from core.trays.rows import TrayRow, tray_rows
from core.weather.tonight import tonight
from tests.crops.test_calendar import the_sheet
from tests.farms import Pencil, asked_of, beds, farm_in


def _hardened(crop: str, steps: int, start: str = "2026-05-01") -> Pencil:
    """A tray of the crop that has done so many steps of its ladder, one a day from `start` on."""
    pencil = beds("b1", "b2", start="2026-03-01", last_frost="05-14", first_frost="10-01")
    pencil.write("sown", tray="S01", crop=crop, cells=72, seeds=72)
    pencil.later(20).write("up", tray="S01", count=66)
    pencil.today = pencil.today.fromisoformat(start)
    for step in range(steps):
        pencil.write("step", tray="S01", step=step + 1)
        pencil.later(1)
    return pencil


def _tray(pencil: Pencil) -> TrayRow:
    (row,) = tray_rows(pencil.farm, pencil.today)
    return row


def _planting(pencil: Pencil, bed: str) -> PlantingRow:
    row = next(row for row in bed_rows(pencil.farm, pencil.today) if row.bed == bed)
    return row.plantings[0]


@pytest.mark.parametrize(("crop", "steps"), [("zinnia", 10), ("cosmos", 8), ("strawflower", 8)])
def test_nothing_goes_out_into_a_frost_that_tonight_brings_in(crop: str, steps: int) -> None:
    """On 15 May, with 31 F forecast, hardened trays were told to go out and to come in at once."""
    pencil = _hardened(crop, steps, "2026-05-20").later(5)
    assert _tray(pencil).ask == "plant out"
    pencil.write("tonight", f=31)
    row = _tray(pencil)
    assert (row.ask, row.tonight) == ("wait: tonight 31 F", "bring in")
    assert "plant out" not in [task.do for task in asked_of(pencil, "trays")]


def test_the_first_nights_of_soft_stock_are_40_45_and_50_f_and_a_frame_keeps_some_of_the_cold_off() -> None:
    """40, 45, 50 F for hardy, half-hardy and tender (common practice); hardened stock has the guards of old."""
    out, frame = ladder("tender")[7], ladder("tender")[6]
    assert [guard_f(kind, out) for kind in ("hardy", "half-hardy", "tender")] == [40, 45, 50]
    assert [guard_f(kind, frame) for kind in ("hardy", "half-hardy", "tender")] == [35, 40, 45]
    assert [guard_f(kind) for kind in ("hardy", "half-hardy", "tender")] == [32, 40, 50]


def test_a_cold_day_holds_a_tender_tray_and_no_hardy_one() -> None:
    """Tender seedlings do not stand outside below 45 F [S81]."""
    for crop, holds in (("zinnia", True), ("snapdragon", False)):
        pencil = _hardened(crop, 2)
        pencil.write("high", f=43)
        assert bool(_tray(pencil).hold) is holds


def test_a_tray_that_was_kept_in_is_not_brought_in() -> None:
    pencil = _hardened("zinnia", 9)
    pencil.write("tonight", f=38)
    assert _tray(pencil).tonight == "bring in"
    pencil.write("held", tray="S01", cause="cold")
    assert _tray(pencil).tonight == ""


def _in_fall(crop: str) -> Pencil:
    pencil = beds("b1", start="2026-06-01", last_frost="05-14", first_frost="10-01")
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=20, plants=60)
    pencil.later(75).write("cut", lot="L001", crop=crop, bed="b1", planting="P01", use="fresh", stems=20)
    return pencil


@pytest.mark.parametrize("crop", ["zinnia", "dahlia", "cosmos", "globe amaranth", "celosia, plume"])
def test_tender_crops_are_cut_until_frost_has_come_whatever_the_average_says(crop: str) -> None:
    pencil = _in_fall(crop)
    pencil.today = pencil.today.replace(month=10, day=8)
    pencil.write("low", f=44)
    assert _planting(pencil, "b1").at_stage, "a week past the average first frost, at 44 F"
    pencil.write("tonight", f=30)
    assert _planting(pencil, "b1").job == "cut all tonight"
    (row,) = asked_of(pencil, "at_stage")
    assert row.is_last_chance
    pencil.later(1).write("low", f=28)
    assert _planting(pencil, "b1").at_stage == ()
    assert _planting(pencil, "b1").job == "look"
    pencil.later(8)
    lifted = crop == "dahlia"
    assert _planting(pencil, "b1").job == ("lift" if lifted else "clear")
    assert _planting(pencil, "b1").due


def test_a_crop_that_was_cut_after_a_frost_has_come_through() -> None:
    pencil = _in_fall("zinnia")
    pencil.today = pencil.today.replace(month=10, day=2)
    pencil.write("covered", bed="b1")
    pencil.later(1).write("low", f=31)
    assert _planting(pencil, "b1").job != "look", "under its cover"
    pencil.write("uncovered", bed="b1")
    pencil.later(2).write("low", f=31)
    assert _planting(pencil, "b1").job == "look", "with no cover on it"
    pencil.later(1).write("cut", lot="L002", crop="zinnia", bed="b1", planting="P01", use="fresh", stems=9)
    assert _planting(pencil, "b1").at_stage


@pytest.mark.parametrize("crop", ["snapdragon", "larkspur", "bachelor's button", "stock", "lisianthus"])
def test_hardy_crops_are_not_covered_at_29_to_31_f(crop: str) -> None:
    """26 F and lower once hardened [S110]; a leaf may be 3 F colder than the air (common practice)."""
    pencil = beds("b1", start="2026-04-20", last_frost="05-14")
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=20)
    for low in (29, 30, 31):
        pencil.write("tonight", f=low)
        assert "tonight" not in _planting(pencil, "b1").job, (crop, low)
    pencil.write("tonight", f=20)
    assert _planting(pencil, "b1").job == "cover tonight"


def test_a_biennial_planted_in_august_is_netted_in_spring() -> None:
    pencil = beds("b1", start="2026-08-20", last_frost="05-14")
    pencil.write("set out", planting="P01", crop="Sweet William", bed="b1", feet=20, plants=60)
    pencil.later(40)
    assert not _planting(pencil, "b1").due
    pencil.today = pencil.today.replace(year=2027, month=4, day=2)
    row = _planting(pencil, "b1")
    assert (row.job, row.due) == ("net", True)


def test_what_is_pressed_is_not_hung_and_thick_heads_are_tried_at_their_base() -> None:
    assert way_to_dry(the_sheet("cosmos")) == "press"
    assert way_to_dry(the_sheet("strawflower")) == "hang"
    pencil = beds("b1", start="2026-05-20", last_frost="05-14")
    pencil.write("set out", planting="P01", crop="cosmos", bed="b1", feet=20)
    pencil.later(60).write("cut", lot="L001", crop="cosmos", bed="b1", planting="P01", use="dry", stems=20)
    assert [one.do for one in morning(Sight(pencil.farm, pencil.today)).asked if one.code == "L001"] == [
        "press"
    ]
    for crop in ("celosia, crested", "peony", "sunflower", "dahlia", "hydrangea"):
        assert dry_test(crop).name == "press the head"
    assert dry_test("statice").name == "snap test"


def test_a_tray_sent_out_in_haste_is_remarked_on_at_the_line_and_written_all_the_same(tmp_path: Path) -> None:
    days = {
        "2026-04-10": ("last frost 05-14", "farm zone UTC", "bed b1 50ft", "sow 50 zinnia"),
        "2026-04-24": ("up 44 S01",),
        "2026-05-02": ("step S01",),
        "2026-05-03": ("tonight 34",),
    }
    session: Session = farm_in(tmp_path / "farm", days)
    written = session.write("set out S01 b1 20ft")
    assert isinstance(written, Written)
    told = "; ".join(written.remarks)
    assert "1 of 10 hardening steps" in told and "its window opens on" in told and "forecast 34 F" in told


def test_winter_asks_for_seed_tubers_and_the_sowings_that_are_coming() -> None:
    pencil = beds("b1", start="2026-03-01", last_frost="05-14")
    pencil.write("sown", tray="S01", crop="snapdragon", cells=72, seeds=72)
    pencil.later(60).write("set out", planting="P01", crop="dahlia", bed="b1", feet=20)
    assert asked_of(pencil, "season") == ()
    pencil.today = pencil.today.replace(month=12, day=3)
    by = {task.do: task.crops for task in asked_of(pencil, "season")}
    assert by == {"order seed:": ("snapdragon",), "look over tubers of": ("dahlia",)}
    pencil.today = pencil.today.replace(year=2027, month=2, day=5)
    by = {task.do: task.crops for task in asked_of(pencil, "season")}
    assert by == {
        "sow": ("snapdragon",),
        "test old seed of": ("snapdragon",),
        "look over tubers of": ("dahlia",),
    }
    # not every morning of the month, and nothing is ordered that is to be sown now
    pencil.today = pencil.today.replace(day=10)
    assert {task.do: task.crops for task in asked_of(pencil, "season")} == {"sow": ("snapdragon",)}


def test_each_crop_is_sown_from_its_own_day_and_not_asked_for_once_it_is_sown() -> None:
    """Statice waits for March where snapdragon goes in February; what stands in a tray is neither sown nor ordered."""
    pencil = beds("b1", start="2025-02-20", last_frost="05-14")
    for crop in ("snapdragon", "statice", "zinnia"):
        pencil.write("sown", tray=f"S{len(crop)}", crop=crop, cells=72, seeds=72)
    pencil.today = pencil.today.replace(year=2026, month=2, day=10)
    (sow,) = (task for task in asked_of(pencil, "season") if task.do == "sow")
    assert dict(zip(sow.crops, sow.days, strict=True)) == {"snapdragon": "now", "statice": "from 5 Mar"}
    pencil.write("sown", tray="S99", crop="snapdragon", cells=72, seeds=72)
    asked = {task.do: task.crops for task in asked_of(pencil, "season")}
    # statice is sown on 5 March; zinnia, in April, is ordered in the first week of a month or eight weeks before
    assert asked == {"sow": ("statice",), "order seed:": ("statice",)}
    for day, ordered in (((3, 3), ("zinnia",)), ((3, 20), ("zinnia",))):
        pencil.today = date(2026, *day)
        orders = [task.crops for task in asked_of(pencil, "season") if task.do == "order seed:"]
        assert orders == [ordered], day


def test_a_held_step_and_one_that_slid_back_say_why_in_the_line() -> None:
    pencil = _hardened("cosmos", 6, "2026-05-10")
    pencil.write("tonight", f=36)
    row = _tray(pencil)
    assert (row.ask, row.ask_because) == ("hold step 7 of 8", "36 F tonight: stays at 8 h")
    pencil.write("held", tray="S01", cause="cold")
    pencil.later(1).write("tonight", f=36)
    pencil.write("held", tray="S01", cause="cold")
    pencil.later(1).write("tonight", f=55)
    row = _tray(pencil)
    assert row.ask == "step 6 of 8"
    assert row.ask_because == "8 h, back one: 2 days missed"
    pencil.write("step", tray="S01", step=6)
    pencil.later(1)
    assert "back" not in _tray(pencil).ask_because


def test_the_coldest_of_the_nights_to_come_is_told_with_what_it_would_hurt() -> None:
    pencil = beds("b1", "b2", start="2026-05-20", last_frost="05-14", first_frost="10-01")
    for n, bed in enumerate(("b1", "b2"), start=1):
        pencil.write("set out", planting=f"P{n:02}", crop="zinnia", bed=bed, feet=10, plants=40)
    pencil.later(1).write("tonight", f=50)
    for night, low in (("2026-05-23", 31), ("2026-05-24", 28), ("2026-05-25", 33)):
        pencil.write("forecast", night=night, f=low)
    found = morning(Sight(pencil.farm, pencil.today))
    acts = [alert.short for alert in found.alerts if alert.sort == "act"]
    assert acts == ["frost Sun night: b1 b2"]
    assert any("Sun 28 F" in piece for piece in found.now)
    assert sum("night" in alert.says and "at risk" in alert.says for alert in found.alerts) == 3


def test_two_plantings_of_one_crop_in_a_bed_are_told_apart() -> None:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="10-01")
    for code, variety in (("P01", "lime"), ("P02", "coral")):
        pencil.write("set out", planting=code, crop="zinnia", variety=variety, bed="b1", feet=10, plants=40)
    pencil.later(11).write(
        "set out", planting="P03", crop="zinnia", variety="coral", bed="b1", feet=5, plants=20
    )
    (bed,) = bed_rows(pencil.farm, pencil.today)
    assert [p.called for p in bed.plantings] == ["zinnia lime", "zinnia coral 20 May", "zinnia coral 31 May"]
    pencil.later(22)
    pinched = [one.name for one in morning(Sight(pencil.farm, pencil.today)).asked if one.do == "pinch"]
    assert pinched == ["zinnia lime", "zinnia coral 20 May", "zinnia coral 31 May"]


def test_what_stands_for_years_is_offered_before_its_first_cut_is_on_record() -> None:
    """Tulips of last fall: from three weeks before the last frost (from memory); a second bed of peonies by the first
    cut of the other."""
    pencil = beds("b1", "b2", "b3", start="2023-04-10", last_frost="05-14", first_frost="10-01")
    pencil.write("set out", planting="P01", crop="peony", bed="b1", feet=10, plants=10)
    pencil.write("set out", planting="P02", crop="peony", bed="b2", feet=10, plants=10)
    pencil.today = pencil.today.fromisoformat("2025-10-20")
    pencil.write("set out", planting="P03", crop="tulip", bed="b3", feet=10, plants=200)
    pencil.today = pencil.today.fromisoformat("2026-04-22")
    assert _planting(pencil, "b3").at_stage == ()
    pencil.later(1)
    tulip = _planting(pencil, "b3")
    assert tulip.at_stage == ("fresh",) and "-3 to 0 weeks from the last frost" in tulip.because
    assert [one.about for one in morning(Sight(pencil.farm, pencil.today)).asked if one.zone == "cut"] == [
        ("to cut", "P03")
    ]
    assert _planting(pencil, "b1").cut_from == "2026-05-28"  # two weeks after the last frost
    pencil.today = pencil.today.fromisoformat("2026-06-02")
    pencil.write("cut", lot="L001", crop="peony", bed="b1", planting="P01", use="fresh", stems=20)
    other = _planting(pencil, "b2")
    assert (other.cut_from, other.because) == ("2026-06-02", "first cut of P01 in b1 2 Jun")


def test_a_tray_that_spoils_is_told_when_that_is_near_and_to_be_potted_on_where_it_is_too_soft_to_go_out() -> (
    None
):
    """Celosia is spoiled by waiting in its cells; its ladder has ten steps."""
    pencil = beds("b1", start="2026-04-20", last_frost="05-14", first_frost="10-01")
    pencil.write("sown", tray="S01", crop="celosia, plume", cells=72, seeds=72)
    told = {}
    for _ in range(60):
        pencil.later(1)
        for one in asked_of(pencil, "trays"):
            if one.days is not None:
                told[one.days] = one.do
    assert max(told) <= 9
    assert {do for days, do in told.items() if 0 <= days <= 8} == {"pot on"}


@pytest.mark.parametrize(
    ("crop", "still_seed", "up"),
    [
        # days to germinate: larkspur 14 to 28 (S332), zinnia 5 to 7 (Iowa State, S01)
        ("larkspur", 13, 14),
        ("zinnia", 4, 5),
    ],
)
def test_seed_in_the_ground_is_not_covered_before_it_can_be_up(crop: str, still_seed: int, up: int) -> None:
    pencil = beds("b1", start="2026-05-01", last_frost="05-14", first_frost="10-01")
    drilled = pencil.today
    pencil.write("drilled", planting="P01", crop=crop, bed="b1", feet=20)
    for days, asks in ((0, False), (still_seed, False), (up, True)):
        pencil.today = drilled + timedelta(days=days)
        pencil.write("tonight", f=20)
        assert (_planting(pencil, "b1").job == "cover tonight") is asks, days
        assert bool(tonight(pencil.farm, pencil.today).at_risk) is asks


def test_frost_on_seed_in_the_ground_has_blackened_nothing() -> None:
    pencil = beds("b1", "b2", start="2026-05-01", last_frost="05-14", first_frost="10-01")
    pencil.write("drilled", planting="P01", crop="zinnia", bed="b1", feet=20)
    pencil.write("set out", planting="P02", crop="zinnia", bed="b2", feet=20, plants=60)
    pencil.later(2).write("low", f=27)
    assert (_planting(pencil, "b1").job, _planting(pencil, "b2").job) == ("net", "look")
