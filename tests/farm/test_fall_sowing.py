"""Hardy annuals sown in fall: when, told on the page and with a plan, where the winters of the place allow it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.crops.library import crop_names, sheet
from core.crops.sheet import Sheet
from core.season.fall_sowing import fall_sowing
from tests.farms import Pencil, asked_of, beds
from tests.shell import Shell

# Harris Seeds, Cool-season flowers: sown or set out six to eight weeks before the first frost, by the mildest zone in
# which each crop of its three lists is first named.
LISTED = {5: ("rudbeckia", "bupleurum"), 6: ("nigella", "larkspur", "bachelor's button")}
LISTED |= {7: ("ammi", "bells of Ireland", "corn cockle", "calendula")}


def cutting_garden(**told: object) -> Pencil:
    """A farm whose first frost is on 1 October, with hardy annuals of the last two years."""
    pencil = beds("b1", "b2", start="2025-04-10", last_frost="05-14", first_frost="10-01")
    for n, crop in enumerate(("larkspur", "ammi", "zinnia"), 1):
        pencil.write("drilled", planting=f"P{n:02}", crop=crop, bed="b1", feet=5)
    if told:
        pencil.write("farm", **told)
    return pencil


def told(pencil: Pencil, day: date) -> dict[str, str]:
    pencil.today = day
    return {
        crop: days
        for task in asked_of(pencil, "season")
        if task.do == "sow in the bed this fall"
        for crop, days in zip(task.crops, task.days, strict=True)
    }


def test_the_crops_and_zones_of_the_list_are_those_of_the_library() -> None:
    found: dict[float, set[str]] = {}
    for crop in crop_names():
        known = sheet(crop)
        assert isinstance(known, Sheet)
        if known.fall_sow_weeks is not None:
            assert known.fall_sow_weeks.value == (6, 8) and known.fall_sow_zone is not None
            found.setdefault(known.fall_sow_zone.value, set()).add(crop)
    assert found == {zone: set(crops) for zone, crops in LISTED.items()}


def test_it_is_told_from_a_week_before_the_first_day_to_the_last() -> None:
    """Eight weeks before 1 October is 6 August, six are 20 August."""
    pencil = cutting_garden(winters=7)
    for day in (date(2026, 7, 29), date(2026, 8, 21)):
        assert told(pencil, day) == {}
    for day in (date(2026, 7, 30), date(2026, 8, 20)):
        assert told(pencil, day) == {"ammi": "6 Aug to 20 Aug", "larkspur": "6 Aug to 20 Aug"}


@pytest.mark.parametrize(
    ("winters", "crops"),
    [(4, ()), (6, ("larkspur",)), (7, ("ammi", "larkspur")), (None, ("ammi", "larkspur"))],
)
def test_winters_that_are_colder_than_it_bears_are_not_told_of(
    winters: int | None, crops: tuple[str, ...]
) -> None:
    pencil = cutting_garden(**({} if winters is None else {"winters": winters}))
    assert tuple(told(pencil, date(2026, 8, 10))) == crops
    found = fall_sowing(pencil.farm, "larkspur", date(2026, 8, 10))
    assert (found is not None) == ("larkspur" in crops)
    if found is not None:
        assert ("'farm winters 6' tells yours" in found.because) == (winters is None)
        assert "S811" in found.because


def test_what_was_sown_this_summer_is_told_no_more() -> None:
    pencil = cutting_garden(winters=7)
    pencil.today = date(2026, 8, 10)
    pencil.write("drilled", planting="P09", crop="larkspur", bed="b2", feet=5)
    assert tuple(told(pencil, date(2026, 8, 11))) == ("ammi",)


def test_without_a_first_frost_nothing_is_reckoned() -> None:
    pencil = beds("b1", start="2025-04-10", last_frost="05-14")
    assert fall_sowing(pencil.farm, "larkspur", date(2026, 8, 10)) is None


def test_a_plan_for_next_summer_says_that_it_may_be_sown_this_fall(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = ("last frost 05-14", "first frost 10-01", "bed b1 50ft")
    shell = Shell(tmp_path / "farm", capsys, "2026-08-01").begin({"2026-07-01": lines})
    told = "r sow it in the bed this fall, 6 Aug to 20 Aug, to flower about 2 to 4 weeks earlier"
    # sown in spring it would not be cut by then, and by the end of August it would
    status, _, refused = shell("write", "plan 60 larkspur fresh by 2027-07-20")
    assert status and "too late for 20 Jul" in refused and told in " ".join(refused.split())
    assert told in shell("write", "plan 60 larkspur fresh by 2027-08-30")[1]
    shell.write("farm winters 5b")
    _, _, refused = shell("write", "plan 60 larkspur fresh by 2027-07-20")
    assert "too late" in refused and "this fall" not in refused
    status, _, refused = shell("write", "farm winters 14")
    assert status and "farm winters 4" in refused


def test_the_page_of_a_morning_in_august_has_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = ("last frost 05-14", "first frost 10-01", "bed b1 50ft", "farm winters 6", "sow larkspur b1 10ft")
    shell = Shell(tmp_path / "farm", capsys, "2026-08-10").begin({"2026-04-10": lines})
    page = shell("today", "--all")[1]
    assert "sow in the bed this fall" in page and "larkspur 6 Aug to 20 Aug" in page


def sown_in_august(tmp_path: Path, capsys: pytest.CaptureFixture[str], crop: str = "larkspur") -> Shell:
    """A farm of zone 6 whose last frost is on 14 May, with ten feet sown in the bed on 15 August."""
    lines = ("last frost 05-14", "first frost 10-01", "bed b1 50ft", "bed b2 50ft", "farm winters 6")
    days = {"2026-07-01": lines, "2026-08-15": (f"sow {crop} b1 10ft",)}
    return Shell(tmp_path / "farm", capsys, "2027-06-30").begin(days)


def test_what_is_sown_in_fall_is_cut_and_promised_in_the_next_year(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sown in spring, from four weeks before the last frost, larkspur is cut 67 to 98 days after it by the weeks in the
    tray of its sheet and 60 to 70 days from setting out, as Cornell has it (sown late February to mid March, set out
    early to mid April, in flower mid June): 20 July to 20 August. Two to four weeks sooner is 22 June to 6 August."""
    shell = sown_in_august(tmp_path, capsys)
    (row,) = shell.json("beds")["rows"][0]["plantings"]
    assert (row["cut_from"], row["at_stage"] != []) == ("2027-06-25", True)
    assert "S1003" in row["because"]
    assert "larkspur" in shell("today", "--all")[1]
    promised = shell("promise", "larkspur", "fresh", "10", "2027-07-20")[1]
    assert "not counted" not in promised and "P01: about" in promised
    shell.write("40 larkspur b1 fresh")
    (row,) = shell.json("beds")["rows"][0]["plantings"]
    assert row["cut_from"] == "2027-06-30"


def test_the_winter_takes_nothing_that_was_sown_to_stand_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = sown_in_august(tmp_path, capsys)
    shell.write("low 2", on="2027-01-20")
    assert "not counted" not in shell("promise", "larkspur", "fresh", "10", "2027-07-20")[1]
