"""The crop library: what is in it, that every figure has a source, and how a crop is found."""

import csv
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.library import DATA, crop_names, find_crops, own_value, sheet, ways
from core.crops.sheet import FIGURES, KINDS, OWN_ONLY, Sheet
from core.crops.sources import cited, sources
from core.problems import Problem

EVERY_SHEET = [(crop, way) for crop in crop_names() for way in (None, *ways(crop))]

SOURCE = re.compile(
    r"(one of )?S\d+.*|from memory|common practice.*|derived from .+|(seed trade|a seed firm) \(not named\)"
)


def the_sheet(crop: str, way: str | None = None, **own: tuple[str, str]) -> Sheet:
    found = sheet(crop, way, own)
    assert isinstance(found, Sheet), found
    return found


def test_every_crop_is_there_once_and_two_of_them_two_ways() -> None:
    assert len(crop_names()) >= 110
    assert len(set(crop_names())) == len(crop_names())
    assert [(crop, ways(crop)) for crop in crop_names() if ways(crop)] == [
        ("strawflower", ("early",)),
        ("Sweet William", ("annual",)),
    ]


@pytest.mark.parametrize(("crop", "way"), EVERY_SHEET)
def test_every_figure_is_readable_and_names_its_source(crop: str, way: str | None) -> None:
    found = the_sheet(crop, way)
    assert found.figures()
    for name, figure in found.figures().items():
        assert not isinstance(figure.value, Problem), (name, figure.value)
        assert SOURCE.fullmatch(figure.source), (name, figure.source)
        assert "[" not in figure.text
        for id_ in re.findall(r"\bS\d+\b", figure.source):
            assert id_ in sources(), (name, id_)
    for clash in found.clashes:
        assert clash.figure in KINDS
        assert len(clash.readings) >= 2
        for reading in clash.readings:
            assert SOURCE.fullmatch(reading.source), (clash.figure, reading.source)
            assert all(id_ in sources() for id_ in re.findall(r"\bS\d+\b", reading.source))


def test_every_clash_belongs_to_a_crop_and_every_column_is_a_figure() -> None:
    with (DATA / "clashes.csv").open(encoding="utf-8", newline="") as table:
        assert {row["crop"] for row in csv.DictReader(table)} <= set(crop_names())
    with (DATA / "crops.csv").open(encoding="utf-8", newline="") as table:
        columns = next(csv.reader(table))
    about_the_crop = {"crop", "way", "title", "aliases", "botanical", "sources", "notes"}
    assert set(columns) - about_the_crop == set(KINDS) - set(OWN_ONLY)
    assert set(KINDS) == set(FIGURES)


# Iowa State University Extension, Germination Requirements for Annuals and Vegetables [S01]:
# crop, days to germinate, weeks from sowing to planting out. Where the sheet rests on other sources as well,
# the published span must lie within the sheet's.
IOWA_STATE = [
    ("snapdragon", (7, 14), (8, 10)),
    ("China aster", (7, 10), (6, 8)),
    ("cockscomb", (7, 10), (6, 7)),
    ("bachelor's button", (7, 14), (8, 8)),
    ("cosmos", (5, 7), (4, 6)),
    ("lisianthus", (10, 14), (14, 14)),
    ("globe amaranth", (14, 14), (7, 8)),
    ("sunflower", (5, 7), (3, 4)),
    ("strawflower", (7, 10), (6, 8)),
    ("statice", (7, 10), (8, 10)),
    ("rudbeckia", (7, 14), (10, 10)),
    ("zinnia", (5, 7), (5, 5)),
]


@pytest.mark.parametrize(("crop", "germination", "weeks"), IOWA_STATE)
def test_iowa_state_table(crop: str, germination: tuple[int, int], weeks: tuple[int, int]) -> None:
    found = the_sheet(crop)
    for figure, published in ((found.germination_days, germination), (found.weeks_in_tray, weeks)):
        assert figure is not None
        least, most = figure.value
        assert least <= published[0] <= published[1] <= most
        if figure.source == "S01":
            assert figure.value == published


def test_sowing_weeks_follow_from_tray_and_setting_out() -> None:
    # Worked in the trade notes: snapdragon 8-10 in the tray, out 3-4 before = 11 to 14 [S01 S44];
    # zinnia 3-5, out 0-2 after = 1 to 5; lisianthus 12-16, out 4-6 before = 16 to 22 [S164].
    for crop, weeks in (("snapdragon", (11, 14)), ("zinnia", (1, 5)), ("lisianthus", (16, 22))):
        figure = the_sheet(crop).sow_weeks_before
        assert figure is not None
        assert figure.value == weeks
        assert figure.source.startswith("derived from")


@pytest.mark.parametrize(("crop", "way"), EVERY_SHEET)
def test_ranges_run_forward_and_shares_are_shares(crop: str, way: str | None) -> None:
    found = the_sheet(crop, way)
    for name, figure in found.figures().items():
        if isinstance(figure.value, tuple):
            assert figure.value[0] <= figure.value[1], name
    if found.doubles_share is not None:
        assert 0 < found.doubles_share.value[0] <= found.doubles_share.value[1] <= 1


def test_strawflower_the_early_way_is_common_practice_beside_the_published_one() -> None:
    usual, early = the_sheet("strawflower"), the_sheet("strawflower", "early")
    assert usual.hardiness_class == "half-hardy"
    assert early.hardiness_class == "hardy"
    assert early.set_out_weeks is not None
    assert early.set_out_weeks.value == (-8, -6)
    assert early.set_out_weeks.source == "common practice"
    assert early.drying_days is not None
    assert early.drying_days.value == (14, 21)
    assert early.fresh_stage is not None
    assert "wiggle test held 6-8 in down" in early.fresh_stage.value
    assert early.direct_sow_weeks is None
    assert early.germination_days == usual.germination_days


@pytest.mark.parametrize(
    ("crop", "figure", "one", "other"),
    [
        ("zinnia", "storage_temp_f", "S103", "S20 S21"),
        ("statice", "germination_days", "S01", "a seed firm (not named)"),
        ("strawflower", "light", "S01", "seed trade (not named)"),
        ("strawflower", "hardiness_low_f", "S109", "common practice"),
        ("sunflower", "ethylene", "S102", "from memory"),
        ("celosia, crested", "dry_stage", "S101", "one of S40 S90 S100"),
    ],
)
def test_where_sources_clash_the_sheet_carries_both(crop: str, figure: str, one: str, other: str) -> None:
    clash = next(clash for clash in the_sheet(crop).clashes if clash.figure == figure)
    assert {one, other} <= {reading.source for reading in clash.readings}


def test_trays_that_cannot_wait() -> None:
    # Celosia leaves the plug at 20-30 days, at most 4-5 weeks [S140]; stock within days of being ready [S44].
    celosia = the_sheet("celosia, plume").cannot_wait
    assert celosia is not None
    assert (celosia.move_from_day, celosia.move_by_day, celosia.spoiled_after_day) == (20, 30, 35)
    assert celosia.source == "S140"
    stock = the_sheet("stock").cannot_wait
    assert stock is not None
    assert stock.move_by_day == 70
    # Zinnia and lisianthus lost nothing when held three weeks [S28].
    assert the_sheet("zinnia").cannot_wait is None
    assert the_sheet("lisianthus").cannot_wait is None


# Finding a crop


@pytest.mark.parametrize(
    ("text", "crop"),
    [
        ("straw", "strawflower"),
        ("GOMPHRENA", "globe amaranth"),
        ("cornflower", "bachelor's button"),
        ("bachelors", "bachelor's button"),
        ("cockscomb", "celosia, crested"),
        ("billy", "craspedia"),
        ("statice", "statice"),
        ("zin", "zinnia"),
        ("celosia pl", "celosia, plume"),
        ("annie", "sweet Annie"),
        ("amaranth", "amaranth"),
        ("scabiosa", "scabiosa"),
        ("starflower", "starflower"),
        ("ammi / false Queen Anne's lace", "ammi"),
    ],
)
def test_a_crop_is_found_by_any_unambiguous_beginning(text: str, crop: str) -> None:
    assert find_crops(text) == [crop]


def test_ambiguous_and_unknown_beginnings() -> None:
    assert find_crops("cel") == ["celosia, crested", "celosia, plume", "celosia, wheat"]
    assert set(find_crops("sweet")) == {"sweet pea", "Sweet William", "sweet Annie"}
    assert find_crops("") == find_crops("turnip") == []
    several = sheet("cel")
    assert isinstance(several, Problem)
    assert several.code == "ambiguous"
    none = sheet("zinia")
    assert isinstance(none, Problem)
    assert (none.code, none.nearest) == ("unknown", ("zinnia",))


@given(st.sampled_from(crop_names()))
def test_a_whole_name_always_finds_itself_alone(crop: str) -> None:
    assert find_crops(crop) == [crop]
    assert find_crops(crop.upper()) == [crop]
    title = the_sheet(crop).title
    assert find_crops(title) == [crop]


@given(st.sampled_from(crop_names()), st.data())
def test_any_beginning_of_any_word_of_a_name_finds_the_crop_among_others(
    crop: str, data: st.DataObject
) -> None:
    word = data.draw(st.sampled_from(re.findall(r"[A-Za-z]{3,}", crop.replace("'", ""))))
    beginning = word[: data.draw(st.integers(1, len(word)))]
    found = find_crops(beginning)
    names = {name.lower() for name in crop_names()}  # "amaranth", "lily": a whole name is that crop
    assert crop in found or beginning.lower() in names
    beginning = crop[: data.draw(st.integers(1, len(crop)))]
    assert crop in find_crops(beginning) or beginning.lower() in names


@given(st.text(max_size=20))
def test_no_text_breaks_the_search(text: str) -> None:
    assert set(find_crops(text)) <= set(crop_names())
    assert isinstance(sheet(text), Sheet | Problem)


def test_an_unknown_way_says_which_there_are() -> None:
    wrong = sheet("strawflower", "late")
    assert isinstance(wrong, Problem)
    assert wrong.nearest == ("early",)
    assert isinstance(sheet("zinnia", "early"), Problem)


# The farm's own sheet


def test_an_own_figure_stands_in_and_keeps_the_library_s_beside_it() -> None:
    own = the_sheet("strawflower", spacing_in=("9", "own record 2025"))
    assert own.spacing_in is not None
    assert own.spacing_in.value == 9
    assert own.spacing_in.source == "own sheet: own record 2025"
    assert own.spacing_in.instead_of is not None
    assert own.spacing_in.instead_of.value == 10
    library = the_sheet("strawflower").spacing_in
    assert library is not None
    assert library.value == 10


def test_own_weeks_in_the_tray_move_the_sowing() -> None:
    early = the_sheet("strawflower", "early", weeks_in_tray=("6 to 7", "own record"))
    assert early.sow_weeks_before is not None
    assert early.sow_weeks_before.value == (12, 15)
    assert "own sheet" in early.sow_weeks_before.source


def test_own_figures_that_will_not_do_are_refused_with_what_would() -> None:
    unknown = own_value("zinnia", "spaceing_in", "9")
    assert isinstance(unknown, Problem)
    assert unknown.nearest[0] == "spacing_in"
    for figure, text in (
        ("weeks_in_tray", "some"),
        ("weeks_in_tray", "8 to 6"),
        ("spacing_in", "9 in"),
        ("hardiness", "tough"),
        ("fresh_stage", " "),
    ):
        problem = own_value("zinnia", figure, text)
        assert isinstance(problem, Problem), (figure, text)
        assert problem.sentence.count(".") >= 1
        assert isinstance(sheet("zinnia", own={figure: (text, "")}), Problem)
    for figure, text in (("weeks_in_tray", "3-4"), ("set_out_weeks", "-2 to 0"), ("hardiness", "half-hardy")):
        assert not isinstance(own_value("zinnia", figure, text), Problem)


# Cautions


def caution(crop: str) -> str | None:
    figure = the_sheet(crop).caution
    return figure.text if figure is not None else None


def test_cautions_where_the_work_can_hurt() -> None:
    ammi = caution("ammi")
    assert ammi is not None
    assert "sun" in ammi  # sap and sun burn [S61]
    for crop in (
        "yarrow",
        "feverfew",
        "marigold",
        "calendula",
        "zinnia",
        "strawflower",
        "dahlia",
        "sunflower",
    ):
        said = caution(crop)
        assert said is not None
        assert "aisy family" in said  # [S60 S61]
    for crop in ("larkspur", "poppy", "sweet pea", "hydrangea", "nigella"):
        said = caution(crop)
        assert said is not None
        assert "oison" in said  # [S40 S108]
    assert caution("statice") is None


def test_every_known_hazard_has_its_caution() -> None:
    for crop in crop_names():
        found = the_sheet(crop)
        if found.hazard is not None and found.hazard.value != "none known":
            assert found.caution is not None, crop


def test_sources_can_be_looked_up() -> None:
    assert len(sources()) == len({source.title for source in sources().values()})
    assert [source.id for source in cited("one of S01 S44")] == ["S01", "S44"]
    assert cited("common practice") == ()
    assert all(source.grade[0] in "ABC" and source.title for source in sources().values())
