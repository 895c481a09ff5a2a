"""What stands in each bed today, its age and its next job."""

from __future__ import annotations

from datetime import date, timedelta

from core.beds.rows import PlantingRow, bed_rows
from core.settings.sheets import farm_sheet
from tests.farms import Pencil, asked_of, beds, small_farm


def _planting(pencil: Pencil, bed: str = "b1") -> PlantingRow:
    return next(b for b in bed_rows(pencil.farm, pencil.today) if b.bed == bed).plantings[0]


def test_a_bed_knows_its_free_feet_and_refuses_more() -> None:
    pencil = small_farm()
    row = bed_rows(pencil.farm, pencil.today)[0]
    assert (row.feet, row.free_feet) == (50, 25)
    refused = pencil.refusal("set out", planting="P03", crop="cosmos", bed="b1", feet=30)
    assert refused is not None and "25 ft free" in refused.sentence and refused.nearest == ("25ft",)


def test_an_unknown_bed_is_refused_with_the_nearest() -> None:
    refused = small_farm().refusal("set out", planting="P03", crop="cosmos", bed="b11", feet=5)
    assert refused is not None and refused.code == "unknown" and "b1" in refused.nearest


def test_the_next_job_goes_net_pinch_cut_clear() -> None:
    pencil = small_farm()
    zinnia = _planting(pencil, "b2")
    assert (zinnia.job, zinnia.due) == ("net", False)
    pencil.later(14)
    assert _planting(pencil, "b2").due
    pencil.write("netted", planting="P02")
    assert _planting(pencil, "b2").job == "pinch"
    pencil.later(7).write("pinched", planting="P02")
    assert _planting(pencil, "b2").job == "cut"
    assert pencil.refusal("pinched", planting="P02") is not None
    pencil.later(150)
    pencil.write("low", f=34)
    assert _planting(pencil, "b2").job == "cut", "it goes on until frost has come"
    pencil.later(10).write("low", f=27)
    assert _planting(pencil, "b2").job == "look"
    pencil.later(4)
    assert _planting(pencil, "b2").job == "clear"


def test_a_cold_night_forecast_asks_for_a_cover_and_a_cover_answers_it() -> None:
    """Zinnia is hurt by any frost [S109]; leaves lie a few degrees under the thermometer (common practice)."""
    pencil = small_farm()
    pencil.write("tonight", f=35)
    assert _planting(pencil, "b2").job == "cover tonight"
    pencil.write("covered", bed="b2")
    assert _planting(pencil, "b2").job != "cover tonight"
    assert pencil.refusal("covered", bed="b2") is not None
    pencil.later(1).write("uncovered", bed="b2")


def test_at_stage_from_the_reckoned_first_cut_and_then_by_her_own() -> None:
    """Strawflower, published way: 75 to 85 days from setting out to the first cut (crop table)."""
    pencil = small_farm("2026-05-20").later(74)
    assert _planting(pencil).at_stage == ()
    pencil.later(1)
    assert _planting(pencil).at_stage == ("fresh", "dry", "wire")
    early = small_farm("2026-05-20").later(60)
    early.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=12)
    assert _planting(early).at_stage == ("fresh", "dry", "wire")
    assert _planting(early).cut_from == early.today.isoformat()


def test_cleared_ground_is_free_again_and_its_planting_is_over() -> None:
    pencil = small_farm()
    pencil.later(5).write("cleared", planting="P01")
    assert bed_rows(pencil.farm, pencil.today)[0].free_feet == 50
    assert pencil.refusal("pinched", planting="P01") is not None


def test_what_was_drilled_is_reckoned_from_its_sowing_in_the_bed_and_from_no_tray() -> None:
    """Single-stem sunflower is cut some 55 to 60 days from sowing in the bed (crop table's notes)."""
    pencil = small_farm("2026-05-20")
    pencil.write("drilled", planting="P03", crop="sunflower", bed="b1", feet=10)
    row = next(p for b in bed_rows(pencil.farm, pencil.today) for p in b.plantings if p.crop == "sunflower")
    sheet = farm_sheet(pencil.farm, "sunflower")
    assert sheet is not None and sheet.days_from_sowing is not None
    least = round(sheet.days_from_sowing.value[0])
    assert row.cut_from == (pencil.today + timedelta(days=least)).isoformat()


def test_every_job_that_is_due_is_asked_for_not_the_oldest_alone() -> None:
    """A net not laid yet hides no pinch: zinnia is due for both three weeks after it was set out."""
    pencil = beds("b1", start="2026-05-01", last_frost="05-14")
    pencil.write("set out", planting="P01", crop="zinnia", bed="b1", feet=20)
    pencil.later(24)
    assert {task.job for task in asked_of(pencil, "beds")} == {"net", "pinch"}
    pencil.write("netted", planting="P01")
    assert [task.job for task in asked_of(pencil, "beds")] == ["pinch"]


def test_tubers_are_not_told_to_be_lifted_in_the_next_spring() -> None:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14")
    pencil.write("set out", planting="P01", crop="dahlia", bed="b1", feet=20)
    pencil.later(124).write("low", f=25)
    asked = {}
    for days in (8, 40, 60, 170):
        pencil.today = date(2026, 9, 21) + timedelta(days=days)
        asked[days] = [task.job for task in asked_of(pencil, "beds")]
    assert asked == {8: ["lift"], 40: ["lift"], 60: ["clear"], 170: ["clear"]}


def test_a_planting_of_no_plant_holds_no_feet() -> None:
    """Nobody plants none; in a book where it was written so, nothing stands there."""
    pencil = small_farm()
    none = {"planting": "P03", "crop": "statice", "bed": "b1", "feet": 5, "plants": 0}
    refused = pencil.refusal("set out", **none)
    assert refused is not None and "at least one plant" in refused.sentence
    pencil.entries.append(pencil.made("set out", **none))
    assert [row.free_feet for row in bed_rows(pencil.farm, pencil.today)] == [25, 25]
    assert pencil.refusal("set out", planting="P04", crop="statice", bed="b1", feet=25) is None
