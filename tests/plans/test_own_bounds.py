"""A farm's own threshold and risk for each hardiness class, and what every window hangs on."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from core.crops.calendar import crop_dates, cutting_ends
from core.crops.frost_dates import Frost
from core.crops.library import crop_names, sheet
from core.crops.sheet import Sheet
from core.crops.windows import calendar_json
from tests.farms import DEER_FLAT_DAM

FROST = Frost(DEER_FLAT_DAM, {(32, 50): date(2026, 10, 2), (28, 50): date(2026, 10, 16)})


def the_sheet(crop: str, way: str | None = None) -> Sheet:
    found = sheet(crop, way)
    assert isinstance(found, Sheet)
    return found


def test_moving_the_risk_moves_the_season() -> None:
    zinnia = the_sheet("zinnia")
    usual = crop_dates(zinnia, FROST)
    bolder = crop_dates(zinnia, FROST, bounds={"tender": ((32, 50),)})
    careful = crop_dates(zinnia, FROST, bounds={"tender": ((36, 10),)})
    starts = [found.windows["set_out"].start for found in (bolder, usual, careful)]
    assert starts == [date(2026, 4, 28), date(2026, 5, 25), date(2026, 6, 9)]
    assert "the farm's own choice" in careful.windows["set_out"].because
    assert "common practice" in usual.windows["set_out"].because


def test_another_class_is_not_moved() -> None:
    larkspur = the_sheet("larkspur")
    assert crop_dates(larkspur, FROST, bounds={"tender": ((36, 10),)}) == crop_dates(larkspur, FROST)


def test_an_own_date_that_is_not_known_gives_way_to_the_usual_one_and_says_so() -> None:
    found = crop_dates(the_sheet("zinnia"), FROST, bounds={"tender": ((32, 20),)})
    assert found.windows["set_out"].start == date(2026, 5, 25)
    assert "32 F at 20 %, the farm's own choice, is not known" in found.windows["set_out"].because


def test_every_window_says_which_date_it_hangs_on() -> None:
    tender = crop_dates(the_sheet("zinnia"), FROST, bounds={"tender": ((36, 10),)})
    for name in ("sow", "harden", "set_out", "first_cut"):
        assert tender.windows[name].anchor == "36 F at 10 %, 9 Jun"
    half_hardy = crop_dates(the_sheet("strawflower"), FROST)
    assert half_hardy.windows["set_out"].anchor == "32 F at 50 %, 28 Apr; after 28 F at 50 %, 11 Apr"
    assert half_hardy.windows["last_cut"].anchor.startswith("the first 28 F in fall, 16 Oct")
    assert crop_dates(the_sheet("poppy"), FROST).windows["direct_sow"].anchor == "32 F at 50 %, 28 Apr"
    assert calendar_json(tender)["hangs_on"]["sow"] == "36 F at 10 %, 9 Jun"
    happened = crop_dates(
        the_sheet("zinnia"), Frost(DEER_FLAT_DAM), sown=date(2026, 4, 20), set_out=date(2026, 5, 27)
    )
    assert all(window.anchor == "" for window in happened.windows.values())


def test_the_day_that_ends_cutting() -> None:
    assert cutting_ends(the_sheet("zinnia"), FROST) == (
        date(2026, 10, 2),
        "the first 32 F in fall, 2 Oct (50 years of 100)",
    )
    assert cutting_ends(the_sheet("zinnia"), Frost(DEER_FLAT_DAM)) is None


@given(st.sampled_from(crop_names()), st.sampled_from([24, 28, 32, 36]))
def test_a_lower_risk_never_sets_out_earlier(crop: str, threshold: int) -> None:
    found = the_sheet(crop)
    days = []
    for risk in (50, 10):
        chosen = {found.hardiness_class: ((threshold, risk),)}
        window = crop_dates(found, FROST, bounds=chosen).windows.get("set_out")
        days.append(window.start if window else date.min)
    assert days[0] <= days[1]
