"""A figure may be one variety's alone: it goes before the crop's, everywhere."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.beds.rows import bed_rows
from core.crops.figure_words import PHRASES, WORDS
from core.crops.sheet import FIGURES, KINDS
from core.language.read import Reading, read_line
from core.problems import Problem
from core.settings.sheets import farm_sheet
from tests.farms import Pencil, beds
from tests.shell import Shell


def two_zinnias() -> Pencil:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="10-01")
    for code, variety in (("P01", "lime"), ("P02", "red")):
        pencil.write("set out", planting=code, crop="zinnia", variety=variety, bed="b1", plants=20, feet=10)
    return pencil


def first_cuts(pencil: Pencil) -> dict[str | None, date]:
    (bed,) = bed_rows(pencil.farm, date(2026, 6, 1))
    return {row.variety: date.fromisoformat(row.cut_from or "") for row in bed.plantings}


def lime(pencil: Pencil, value: str, variety: str = "lime", figure: str = "days_to_first_cut") -> None:
    pencil.write("variety sheet", crop="zinnia", variety=variety, figure=figure, value=value)


def test_a_variety_s_days_move_its_first_cut_and_no_other() -> None:
    pencil = two_zinnias()
    before = first_cuts(pencil)
    lime(pencil, "70")
    after = first_cuts(pencil)
    assert after["lime"] == date(2026, 5, 20) + timedelta(days=70) != before["lime"]
    assert after["red"] == before["red"]


def test_it_goes_before_the_crop_s_figure_whichever_was_written_last() -> None:
    pencil = two_zinnias()
    lime(pencil, "70", variety="Lime")
    pencil.write("sheet", crop="zinnia", figure="days_to_first_cut", value="55")
    assert first_cuts(pencil) == {
        "lime": date(2026, 5, 20) + timedelta(days=70),
        "red": date(2026, 5, 20) + timedelta(days=55),
    }
    sheet = farm_sheet(pencil.farm, "zinnia", None, "LIME")
    assert sheet is not None and sheet.days_to_first_cut is not None
    assert sheet.days_to_first_cut.source == "own sheet of Lime, 2026-05-20"


@pytest.mark.parametrize(
    ("line", "kind", "variety", "figure", "value"),
    [
        ("sheet zinnia lime days to first cut 70", "variety sheet", "lime", "days_to_first_cut", "70"),
        ("sheet zinnia 'Lime Ball' days to maturity 70 days", "variety sheet", "Lime Ball", "days_to_first_cut", "70"),
        ("sheet zinnia lime height 24 to 30 in", "variety sheet", "lime", "height_in", "24 to 30"),
        ("sheet zinnia lime height 3 ft", "variety sheet", "lime", "height_in", "36"),
        ("sheet zinnia lime color pale green", "variety sheet", "lime", "color", "pale green"),
        ("sheet zinnia lime colour 'pale green'", "variety sheet", "lime", "color", "pale green"),
        ("sheet snapdragon white group 2", "variety sheet", "white", "flowering_group", "2"),
        ("sheet sunflower orange day length neutral", "variety sheet", "orange", "flowering_group", "neutral"),
        ("sheet sunflower orange form single", "variety sheet", "orange", "form", "single"),
        ("sheet zinnia days to first cut 70", "sheet", None, "days_to_first_cut", "70"),
        ("sheet zinnia stems a plant 9 to 12", "sheet", None, "stems_per_plant", "9 to 12"),
        ("sheet zinnia spacing 9in", "sheet", None, "spacing_in", "9"),
        ("sheet zinnia vase life 7-10 own trial", "sheet", None, "vase_life_days", "7-10"),
    ],
)  # fmt: skip
def test_in_her_words(line: str, kind: str, variety: str | None, figure: str, value: str) -> None:
    pencil = two_zinnias()
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    (draft,) = reading.drafts
    assert draft.kind == kind
    fields = draft.fields
    assert (fields.get("variety"), fields["figure"], fields["value"]) == (variety, figure, value)
    assert pencil.refusal(draft.kind, **fields) is None


@pytest.mark.parametrize(
    "line",
    [
        "sheet zinnia lime days 70",
        "sheet zinnia lime height 24 mph",
        "sheet zinnia lmie days to first cut 70",
        "sheet strawflower early apricot spacing 9",
        "sheet zinnia lime spacing",
    ],
)
def test_what_is_not_plain_is_refused(line: str) -> None:
    pencil = two_zinnias()
    assert isinstance(read_line(line, pencil.farm, pencil.today), Problem)


def test_every_name_of_a_figure_is_one_figure_s() -> None:
    assert set(WORDS) <= set(KINDS)
    said = [phrase for phrases in WORDS.values() for phrase in phrases]
    assert len(said) == len(set(said))
    for figure, phrases in WORDS.items():
        assert all(PHRASES[phrase] == figure for phrase in phrases), figure
    for name in FIGURES:
        assert PHRASES[name.replace("_", " ")] == name


def test_the_page_of_a_crop_tells_its_varieties(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-05-20").begin(
        {"2026-05-20": ("bed b1 50ft", "last frost 05-14")}
    )
    shell.write("sheet zinnia 'Lime Ball' days to first cut 70")
    page = shell.text("crop", "zinnia")
    assert "Lime Ball" in page and "70" in page
    told = shell.json("crop", "zinnia")["varieties"]["Lime Ball"]["days_to_first_cut"]
    assert told == {"value": "70", "source": "own sheet of Lime Ball, 2026-05-20"}
    shell.write("undo yes")
    assert shell.json("crop", "zinnia")["varieties"] == {}


def test_a_plan_for_the_variety_reckons_with_its_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-01-20").begin(
        {"2026-01-20": ("bed b1 50ft", "last frost 05-14")}
    )
    shell.write("sheet zinnia lime stems a plant 2")
    wish = ("fresh", "by", "08-20")
    of = {sort: shell.json("plan", "60", "zinnia", sort, *wish)["plans"][0] for sort in ("lime", "red")}
    assert of["lime"]["plants"] > 2 * of["red"]["plants"]
