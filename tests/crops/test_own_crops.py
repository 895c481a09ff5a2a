"""A crop that the library lacks is hers in one line, and everything works with it from then on."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from core.crops.sheet import FIGURES, KINDS, Sheet
from core.fold import fold
from core.happened import OwnCrop
from core.language.read import Reading, read_line
from core.problems import Problem
from core.settings.sheets import farm_sheet
from tests.cases import some_of
from tests.farms import FIFTY_FEET, TODAY, Pencil, beds, farm_of, on
from tests.language.meaning import farm_spoken_of, rows
from tests.shell import Shell

SET_UP = ("bed b3 50ft", "bed b4 50ft", "last frost 05-14", "first frost 10-01")
TEA_ROSE = "crop tea rose perennial woody, fresh"


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-05-20").begin({"2026-03-01": SET_UP})


def farm_with(*crops: tuple[str, str | None], start: str = "2026-05-20") -> Pencil:
    pencil = beds("b3", "b4", start=start, last_frost="05-14", first_frost="10-01")
    for crop, like in crops:
        pencil.write("crop", crop=crop, **({"like": like} if like else {}))
    return pencil


def said(pencil: Pencil, line: str) -> Reading | Problem:
    return read_line(line, pencil.farm, pencil.today)


def drafts(pencil: Pencil, line: str) -> list[tuple[str, dict[str, object]]]:
    reading = said(pencil, line)
    assert isinstance(reading, Reading), reading.sentence
    return [(draft.kind, dict(draft.fields)) for draft in reading.drafts]


def refusal(pencil: Pencil, line: str) -> str:
    problem = said(pencil, line)
    assert isinstance(problem, Problem), problem
    return problem.sentence


def sheet_of(pencil: Pencil, crop: str) -> Sheet:
    found = farm_sheet(pencil.farm, crop)
    assert found is not None
    return found


# The whole season


def test_a_season_with_a_crop_of_her_own(shell: Shell) -> None:
    shell.write("crop didiscus like ammi, days to first cut 60", on="2026-03-02")
    for day, line in (
        ("2026-03-20", "sow 72 didiscus"),
        ("2026-04-02", "S01 60 up"),
        ("2026-04-10", "prick out S01"),
        ("2026-04-25", "step S01"),
        ("2026-05-10", "plant S01 b3"),
        ("2026-07-12", "40 didiscus b3 dry"),
        ("2026-07-12", "20 didis b3 fresh"),
        ("2026-07-12", "hang didiscus"),
        ("2026-07-13", "sold 5 L002 to corner stand"),
        ("2026-08-02", "snap L001"),
        ("2026-08-02", "box L001 4x10 box 7"),
        ("2026-08-02", "lost 2 mold L001"),
    ):
        shell.write(line, on=day)
    stock = shell.json("stock", on="2026-08-02")["rows"]
    assert {row["crop"] for row in stock} == {"didiscus"}
    assert sum(row["stems"] for row in stock) == 60 - 5 - 2
    assert "didiscus" in shell("today", on="2026-07-13")[1]
    told = shell("history", "L001")[1]
    assert "didiscus is a crop of your own, like ammi" not in told and "sown tray S01: didiscus" in told
    told = shell("entries", "--crop", "didiscus", "--until", "2026-03-02")[1]
    assert "didiscus is a crop of your own, like ammi" in told and "days to first cut is 60" in told


def test_a_plan_for_it_is_reckoned_or_says_which_line_is_missing(shell: Shell) -> None:
    shell.write("crop didiscus like ammi")
    assert shell.json("plan", "40", "didiscus", "dry", "by", "2027-08-30")["plans"][0]["crop"] == "didiscus"
    shell.write("crop cloudflower annual, fresh")
    status, _, err = shell("plan", "40", "cloudflower", "fresh", "by", "2027-08-30")
    assert status and err.count(".") == 1, err  # one sentence
    line = " ".join(err.split()).split("'")[1]
    assert line.startswith("crop cloudflower ") and line.count(",") == 6
    shell.write(line)  # as it stands there, the line is good
    assert shell("plan", "40", "cloudflower", "fresh", "by", "2027-08-30")[0] == 0


def test_its_page_tells_whose_figures_these_are(shell: Shell) -> None:
    shell.write("crop didiscus like ammi, spacing 8 in")
    page = shell.text("crop", "didiscus")
    assert page.startswith("didiscus (a crop of your own, like ammi)")
    sheet = shell.json("crop", "didiscus")
    assert sheet["figures"]["spacing_in"] == {
        "value": 8,
        "source": "own sheet, 2026-05-20",
        "instead_of": {"value": 9, "source": "like ammi"},
    }
    assert sheet["figures"]["days_to_first_cut"]["source"] == "like ammi"
    assert "Sap on skin plus sun burns" in sheet["caution"]  # what may hurt with ammi may hurt with it
    assert "didiscus" in shell.text("crop")  # the list of all crops
    status, _, err = shell("crop", "nicandra")
    assert status == 1 and "To make it yours: crop nicandra annual" in err


def test_undo_takes_the_whole_line_back_when_she_means_it(shell: Shell) -> None:
    shell.write("crop didiscus like ammi, spacing 8")
    status, _, err = shell("write", "undo")
    assert status == 1 and "it is how the farm is set up" in err
    shell.write("undo yes")
    assert shell("crop", "didiscus")[0] == 1


def test_an_entry_is_corrected_by_its_id(shell: Shell) -> None:
    ids = [entry["id"] for entry in shell.write("crop didiscus like ammi, spacing 8")["entries"]]
    shell.write(f"{ids[0][-8:]} was like cosmos")
    shell.write(f"{ids[1][-8:]} was 14")
    sheet = shell.json("crop", "didiscus")
    assert sheet["like"] == "cosmos"
    assert sheet["figures"]["spacing_in"]["value"] == 14


# What is said


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("crop didiscus like ammi", {"like": "ammi"}),
        ("crop Didiscus like false queen annes lace", {"like": "ammi"}),
        ("crop didiscus annual", {"life_cycle": "annual"}),
        ("crop didiscus hardy annual", {"hardiness": "hardy", "life_cycle": "hardy annual"}),
        ("crop didiscus half hardy annual", {"hardiness": "half-hardy", "life_cycle": "half-hardy annual"}),
        ("crop didiscus perennial woody", {"life_cycle": "perennial (shrub)"}),
        ("crop didiscus woody", {"life_cycle": "shrub"}),
        ("crop didiscus tender tuber", {"hardiness": "tender", "life_cycle": "tuber"}),
        ("crop didiscus annual for fresh and dry", {"life_cycle": "annual", "uses": "fresh, dry"}),
        ("crop didiscus days to first cut 90", {"days_to_first_cut": "90"}),
        ("crop didiscus days to maturity 70 to 90 days", {"days_to_first_cut": "70 to 90"}),
        ("crop didiscus spacing 12 in, stems a plant 6-9", {"spacing_in": "12", "stems_per_plant": "6-9"}),
        ("crop didiscus vase life 7 days stage 'half open'", {"vase_life_days": "7", "fresh_stage": "half open"}),
        ("crop didiscus stage half open spacing 9", {"fresh_stage": "half open", "spacing_in": "9"}),
        ("crop didiscus weeks from last frost -2 to 0", {"set_out_weeks": "-2 to 0"}),
    ],
)  # fmt: skip
def test_as_much_as_she_has(line: str, meant: dict[str, str]) -> None:
    (kind, first), *figures = drafts(farm_with(), line)
    assert kind == "crop" and first["crop"] == "didiscus"
    told = {str(f["figure"]): f["value"] for _, f in figures}
    assert ({"like": first["like"]} if "like" in first else {}) | told == meant


def test_what_is_told_later_is_added() -> None:
    pencil = farm_with(("didiscus", "ammi"))
    assert drafts(pencil, "crop didiscus spacing 8") == [
        ("sheet", {"crop": "didiscus", "figure": "spacing_in", "value": "8"})
    ]
    assert drafts(pencil, "crop didiscus like cosmos") == [("crop", {"crop": "didiscus", "like": "cosmos"})]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("crop zinia annual", "Did you mean zinnia?"),
        ("crop larkspurs perennial", "larkspur"),
        ("crop straw like zinnia", "Did you mean strawflower?"),
        ("crop zinnia like cosmos", "The library has zinnia"),
        ("crop gomphrena annual", "as globe amaranth"),
        ("crop didiscus", "like zinnia"),
        ("crop didiscus like didiscus", "like"),
        ("crop didiscus like turnip", "No crop is called 'turnip'"),
        ("crop didiscus like cel", "may be celosia"),
        ("crop didiscus spacing 9000", "between"),
        ("crop didiscus days 12", "Which figure"),
        ("crop line annual", "something else"),
        ("crop b3 annual", "letters"),
        ("crop s12 annual", "letters"),
        ("crop annual", "Write its name first"),
        ("crop didiscus anual", "annual"),
        ("crop a very long name of a flower annual", "too long"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_that_says_what_to_do(line: str, says: str) -> None:
    assert says in refusal(farm_with(), line)


@pytest.mark.parametrize(
    "line",
    [
        "sow 72 nicandra",
        "20 nicandra b3 fresh",
        "plant 20 nicandra b3 5ft",
        "drill nicandra b3 5ft",
        "sheet nicandra spacing 12",
        "plan 40 nicandra fresh by 08-30",
    ],
)
def test_an_unknown_crop_is_refused_with_the_line_that_makes_it_hers(line: str) -> None:
    pencil = farm_with()
    sentence = refusal(pencil, line)
    assert "No crop is called 'nicandra'" in sentence
    assert "crop nicandra annual" in sentence
    assert drafts(pencil, "crop nicandra annual")[0] == ("crop", {"crop": "nicandra"})


def test_a_near_spelling_is_asked_about_before_it_is_made_a_crop() -> None:
    pencil = farm_with()
    assert "Did you mean zinnia?" in refusal(pencil, "sow 72 zinia")
    assert drafts(pencil, "crop 'zinia' like zinnia")[0] == ("crop", {"crop": "zinia", "like": "zinnia"})
    assert "Did you mean gladiolus?" in refusal(pencil, "crop gladiolas annual")
    assert drafts(pencil, "sow 72 delphinium")[0][1]["crop"] == "delphinium"  # never taken for larkspur
    assert drafts(pencil, "sow 72 larkspur")[0][1]["crop"] == "larkspur"


# A name that means something else as well


@pytest.mark.parametrize(
    ("line", "crop", "variety"),
    [
        ("20 rose b3 fresh", "rose", None),
        ("20 roses b3 fresh", "rose", None),
        ("20 rose peach b3 fresh", "rose", "peach"),
        ("20 zinnia rose b4 fresh", "zinnia", "rose"),
        ("20 rose zinnia b4 fresh", "zinnia", "rose"),
        ("20 zinnia deep rose b4 fresh", "zinnia", "deep rose"),
        ("20 sweet william rose b4 fresh anyway", "Sweet William", "rose"),
        ("20 lavender rose b3 fresh", "rose", "lavender"),
        ("20 rose lavender b3 fresh", "rose", "lavender"),
        ("20 rose b4 fresh", "zinnia", "rose"),
    ],
)
def test_a_crop_called_like_a_color(line: str, crop: str, variety: str | None) -> None:
    pencil = farm_with(("rose", None))
    pencil.write("set out", planting="P01", crop="rose", bed="b3", plants=10, feet=10)
    pencil.write("set out", planting="P02", crop="zinnia", variety="rose", bed="b4", plants=10, feet=10)
    if line == "20 rose b4 fresh":  # roses stand elsewhere: never silently the zinnias, nor roses from b4
        assert "stands in bed b3" in refusal(pencil, line)
        return
    fields = drafts(pencil, line)[0][1]
    assert (fields["crop"], fields.get("variety")) == (crop, variety)


def test_two_that_are_colors_are_asked_about() -> None:
    pencil = farm_with(("rose", None))
    assert "both crops" in refusal(pencil, "sow 72 lavender rose")
    fields = drafts(pencil, "sow 72 rose 'lavender'")[0][1]
    assert (fields["crop"], fields["variety"]) == ("rose", "lavender")
    assert drafts(farm_with(), "sow 72 lavender rose")[0][1]["variety"] == "rose"  # no rose is hers


@pytest.mark.parametrize("crop", ["ice plant", "red hot cattail", "pot of gold", "may apple", "penny grass"])
def test_a_name_whose_words_mean_something_in_a_line(crop: str) -> None:
    pencil = farm_with()
    first = drafts(pencil, f"crop {crop} perennial")[0]
    assert first == ("crop", {"crop": crop})
    pencil = farm_with((crop, None))
    kind, fields = drafts(pencil, f"plant 20 {crop} b3 5ft")[0]
    assert (kind, fields["crop"], fields["plants"]) == ("set out", crop, 20)
    kind, fields = drafts(pencil, f"20 {crop} b3 fresh yesterday")[0]
    assert (kind, fields["crop"], fields["stems"]) == ("cut", crop, 20)


def test_a_bed_is_not_called_like_her_crop() -> None:
    assert "means something else" in refusal(farm_with(("didiscus", None)), "bed didiscus 50ft")


# What follows from it


def test_a_likeness_is_followed_and_ends_in_a_circle() -> None:
    pencil = farm_with(("didiscus", "ammi"), ("whitelace", "didiscus"))
    spacing = sheet_of(pencil, "whitelace").spacing_in
    assert spacing is not None and (spacing.value, spacing.source) == (9, "like didiscus")
    pencil.write("sheet", crop="didiscus", figure="spacing_in", value="7")
    spacing = sheet_of(pencil, "whitelace").spacing_in
    assert spacing is not None and (spacing.value, spacing.source) == (7, "like didiscus")
    pencil.write("crop", crop="didiscus", like="whitelace")
    assert sheet_of(pencil, "didiscus").crop == "didiscus"
    assert sheet_of(pencil, "whitelace").days_to_first_cut is None


def test_her_figure_of_weeks_moves_the_sowing_of_a_crop_like_another() -> None:
    pencil = farm_with(("didiscus", "snapdragon"))
    weeks = sheet_of(pencil, "didiscus").sow_weeks_before
    assert weeks is not None and weeks.value == (
        11,
        14,
    )  # as of snapdragon: 8 to 10 in the tray, out 3 to 4 before [S01 S44]
    pencil.write("sheet", crop="didiscus", figure="weeks_in_tray", value="6")
    weeks = sheet_of(pencil, "didiscus").sow_weeks_before
    assert weeks is not None and weeks.value == (9, 10)


@pytest.mark.parametrize(
    ("told", "hardiness"),
    [({}, "tender"), ({"life_cycle": "perennial"}, "hardy"), ({"life_cycle": "tuber"}, "tender"),
     ({"life_cycle": "annual"}, "tender"), ({"life_cycle": "annual", "hardiness": "hardy"}, "hardy")],
)  # fmt: skip
def test_what_nobody_told_is_taken_for_tender(told: dict[str, str], hardiness: str) -> None:
    pencil = farm_with(("didiscus", None))
    for figure, value in told.items():
        pencil.write("sheet", crop="didiscus", figure=figure, value=value)
    assert sheet_of(pencil, "didiscus").hardiness_class == hardiness


def test_of_two_machines_the_later_holds_whatever_came_first() -> None:
    pencil = farm_with(("didiscus", "ammi"))
    pencil.write("crop", crop="didiscus", like="cosmos")
    for entries in (pencil.entries, pencil.entries[::-1]):
        farm = fold(entries)
        assert farm.crops["didiscus"].like == "cosmos"
        assert not farm.matters


def test_a_use_told_is_the_use_of_its_cut() -> None:
    pencil = farm_with(("didiscus", None))
    pencil.write("sheet", crop="didiscus", figure="uses", value="fresh")
    pencil.write("set out", planting="P01", crop="didiscus", bed="b3", plants=10, feet=10)
    assert drafts(pencil, "20 didiscus b3")[0][1]["use"] == "fresh"


def test_a_recipe_of_her_crop() -> None:
    pencil = farm_with(("didiscus", "ammi"))
    pencil.write("recipe", recipe="posy", sort="wreath", size_in=12)
    pencil.write("part", recipe="posy", what="didiscus white", count=5, form="dry")
    assert pencil.farm.recipes["posy"].parts[0].what == "didiscus white"


def test_a_crop_the_library_has_come_to_know_stays_hers() -> None:
    day = TODAY.isoformat()
    spacing = {"figure": "spacing_in", "value": "7"}
    farm = farm_of(
        on(day, "bed", bed="b3", **FIFTY_FEET),
        on(day, "crop", crop="zinnia"),
        on(day, "sheet", crop="zinnia", **spacing),
    )
    found = farm_sheet(farm, "zinnia")
    assert found is not None and found.spacing_in is not None and found.spacing_in.value == 7
    assert found.weeks_in_tray is not None
    reading = read_line("20 zinnia b3 fresh", farm, TODAY)
    assert isinstance(reading, Reading) and reading.drafts[0].fields["crop"] == "zinnia"


@pytest.mark.part
@pytest.mark.usefixtures("reckoned_once")
def test_crops_of_her_own_change_the_meaning_of_no_other_line() -> None:
    """All that growers type in the table of lines is read as before beside crops whose names are made of such words."""
    farm = farm_spoken_of()
    beside = copy.deepcopy(farm)
    for name in ("tea rose", "obedient plant", "red hot poker", "money plant", "nicandra", "lilac"):
        beside.crops[name] = OwnCrop("zinnia")
    for row in some_of([row for row in rows() if not row.said.startswith("crop ")], 0, 4):
        one, other = (read_line(row.said, each, TODAY) for each in (farm, beside))
        assert type(one) is type(other), (row.said, other)
        if isinstance(one, Reading) and isinstance(other, Reading):
            assert one.drafts == other.drafts, row.said


@pytest.mark.parametrize(
    ("line", "figure", "value"),
    [
        ("sheet dahlia spacing 45cm", "spacing_in", "17.72"),
        ("sheet dahlia spacing 45 cm", "spacing_in", "17.72"),
        ("sheet dahlia spacing 1 ft", "spacing_in", "12"),
        ("sheet dahlia lowest -1C", "hardiness_low_f", "30.2"),
        ("sheet dahlia lowest 28F", "hardiness_low_f", "28"),
        ("sheet dahlia vase life 5 to 7 days", "vase_life_days", "5 to 7"),
    ],
)
def test_a_unit_is_reckoned_over(line: str, figure: str, value: str) -> None:
    (_, found), *_ = drafts(farm_with(), line)
    assert (found["figure"], found["value"]) == (figure, value)


@pytest.mark.parametrize("line", ["sheet dahlia spacing 9C", "sheet dahlia days to first cut 45cm"])
def test_a_unit_of_something_else_is_refused(line: str) -> None:
    assert "is not a" in refusal(farm_with(), line)


def test_a_variety_called_as_a_figure_is_keeps_its_own_figure() -> None:
    pencil = farm_with()
    pencil.write("sown", tray="S90", crop="zinnia", variety="Color Guard", cells=60, seeds=60)
    ((kind, found),) = drafts(pencil, "sheet zinnia Color Guard spacing 14")
    assert kind == "variety sheet"
    assert (found["variety"], found["figure"], found["value"]) == ("Color Guard", "spacing_in", "14")


def test_what_stands_is_still_named_where_the_line_that_made_it_a_crop_is_taken_back(shell: Shell) -> None:
    (made,) = shell.write("crop didiscus like ammi")["entries"]
    shell.write("plant didiscus b3 20ft 60 plants")
    shell.write("20 didiscus b3 fresh")
    shell.write(f"strike {made['id'][-8:]}")
    shell.write("12 didiscus b3 fresh")
    shell.write("lost 3 slugs b3 didiscus")
    shell.write("sold 5 didiscus to corner stand")
    assert shell("today")[0] == shell("buckets")[0] == shell("beds")[0] == shell("check")[0] == 0
    shell.write("crop didiscus like ammi")  # and it is one again
    assert shell.json("crop", "didiscus")["like"] == "ammi"


@pytest.mark.parametrize("figure", [name for name in KINDS if FIGURES[name].unit in ("days", "weeks")])
def test_a_time_of_a_sheet_is_taken_in_days_or_weeks_and_in_nothing_else(figure: str) -> None:
    """A week has seven days, and a month no certain number of them."""
    name, pencil = figure.replace("_", " "), farm_with()

    def value(said: str) -> str:
        (_, found), *_ = drafts(pencil, f"sheet dahlia {name} {said}")
        return str(found["value"])

    in_days = FIGURES[figure].unit == "days"
    assert value("2 weeks") == value("14 days") == ("14" if in_days else "2")
    if KINDS[figure] == "Span":
        assert value("2 to 4 weeks") == value("14 to 28 days") == ("14 to 28" if in_days else "2 to 4")
        assert value("2-4 weeks") == ("14-28" if in_days else "2-4")
    for wrong in ("months", "years"):
        assert f"write days or weeks, not {wrong}" in refusal(pencil, f"sheet dahlia {name} 2 {wrong}")


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("sheet zinnia days to first cut 9 weeks", "63"),
        ("sheet zinnia vase days 1 week", "7"),
        ("sheet statice seed keeps 36 months", "3"),
        ("sheet statice prime months 1 year", "12"),
        ("sheet statice days to dry weeks 2", "14"),
    ],
)
def test_a_time_is_reckoned_over(line: str, value: str) -> None:
    (_, found), *_ = drafts(farm_with(), line)
    assert found["value"] == value


def test_the_line_that_a_new_crop_is_offered_is_taken_word_for_word(shell: Shell) -> None:
    told = " ".join(shell("write", "crop sea lace annual")[1].split())
    line = told.partition("such as: ")[2]
    assert line == "crop sea lace days to first cut 80, stems a plant 8, weeks of cutting 4, spacing 9"
    shell.write(line)
    sheet = shell("crop", "sea", "lace")[1]
    for figure in ("80", "8", "4", "9"):
        assert f" {figure}  [own sheet" in sheet, figure


@pytest.mark.parametrize("use", ["fresh", "dry", "wire"])
@pytest.mark.parametrize("kind", ["annual", "perennial"])
def test_a_plan_for_it_names_at_once_all_that_is_missing(use: str, kind: str, shell: Shell) -> None:
    """The one line that is offered gives a plan; without any one of its figures there is none."""
    shell.write(f"crop sea lace {kind}")
    plan = ("plan", "40", "sea", "lace", use, "by", "2028-08-30")
    line = " ".join(shell(*plan)[2].split()).partition("'")[2].rpartition("'")[0]
    first, *more = line.removeprefix("crop sea lace ").split(", ")
    assert len([first, *more]) >= 5, line
    for n in range(first.startswith("weeks in the tray"), len([first, *more])):  # no sowing day, but a plan
        name = f"sea lace {'abcdefgh'[n]}x"
        figures = ", ".join(figure for at, figure in enumerate([first, *more]) if at != n)
        shell.write(f"crop '{name}' {kind} {figures}")
        assert shell("plan", "40", *name.split(), use, "by", "2028-08-30")[0] != 0, figures
    shell.write(line)
    assert shell(*plan)[0] == 0, shell(*plan)[2]
