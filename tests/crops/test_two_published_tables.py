"""The library against the outside: for each crop two tables or sheets published apart from one another.

A figure agrees where its span meets the published one, or misses it by no more than what `TOLERANCE` allows.
"""

import re

import pytest

from core.crops.library import sheet
from core.crops.sheet import Sheet, value_text

IOWA = "Iowa State University Extension, Germination Requirements for Annuals and Vegetables"
PLANTING_GUIDE = "a seed firm's flower seed planting guide"
PLUGS = "a plug grower's seed crop information"
WILDSEED = "wildseed pages, Texas A&M AgriLife"
VERMONT = "University of Vermont, Perennials for Cut Flowers"
DESIGN = "Floral Design Institute, flower library"
CALYX = "Calyx Flowers, floral library"
DAVIS = "UC Davis, Recommendations for Maintaining Postharvest Quality"
HARVEST = "Harvest to Table, When to seed start annual flowers"
RODALE = "Organic Gardening, Guide to starting annual flower seeds"
FLORALIFE = "FloraLife, care pages"
COMMISSION = "California Cut Flower Commission"
WILLS = "Wills and others 1998, table of storage of cut flowers"

TOLERANCE = {
    "germination_temp_f": 5,
    "germination_days": 3,
    "weeks_in_tray": 1,
    "flowers_weeks": 1,
    "chill_weeks": 1,
    "vase_life_days": 2,
    "storage_temp_f": 2,
}
"""Degrees F, days or weeks by which a figure may miss a published one: tables round to 5 F and to weeks."""

Reading = tuple[float, float, str]

PUBLISHED: list[tuple[str, str, Reading, Reading]] = [
    # to germinate, degrees F
    ("China aster", "germination_temp_f", (70, 70, IOWA), (60, 85, PLANTING_GUIDE)),
    ("celosia, crested", "germination_temp_f", (70, 75, IOWA), (55, 80, PLANTING_GUIDE)),
    ("bachelor's button", "germination_temp_f", (65, 70, IOWA), (65, 80, PLANTING_GUIDE)),
    ("cosmos", "germination_temp_f", (70, 70, IOWA), (60, 80, PLANTING_GUIDE)),
    ("globe amaranth", "germination_temp_f", (70, 70, IOWA), (60, 80, PLANTING_GUIDE)),
    ("ageratum", "germination_temp_f", (70, 75, IOWA), (75, 78, PLUGS)),
    ("coneflower", "germination_temp_f", (75, 75, "HortTechnology 14:368, 2004"), (50, 80, PLANTING_GUIDE)),
    ("columbine", "germination_temp_f", (70, 75, PLUGS), (70, 85, PLANTING_GUIDE)),
    ("yarrow", "germination_temp_f", (65, 70, PLUGS), (65, 75, "cultural guide, fern-leaf yarrow")),
    ("celosia, plume", "germination_temp_f", (70, 75, IOWA), (75, 75, RODALE)),
    # from sowing to setting out, weeks: what is set out on the last frost was sown so long before it
    ("snapdragon", "weeks_in_tray", (8, 10, IOWA), (8, 10, HARVEST)),
    ("statice", "weeks_in_tray", (8, 10, IOWA), (6, 8, HARVEST)),
    ("strawflower", "weeks_in_tray", (6, 8, IOWA), (6, 8, HARVEST)),
    ("sunflower", "weeks_in_tray", (3, 4, IOWA), (3, 4, HARVEST)),
    ("celosia, crested", "weeks_in_tray", (6, 7, IOWA), (4, 6, RODALE)),
    ("bachelor's button", "weeks_in_tray", (8, 8, IOWA), (6, 8, HARVEST)),
    ("globe amaranth", "weeks_in_tray", (7, 8, IOWA), (6, 8, RODALE)),
    ("cosmos", "weeks_in_tray", (4, 6, IOWA), (4, 6, RODALE)),
    ("ageratum", "weeks_in_tray", (6, 8, RODALE), (6, 8, HARVEST)),
    # begins to flower, weeks from the last frost: May, June, July in Maine and the day in Kansas City (S292, S293)
    ("peony", "flowers_weeks", (-2, 6, "Maine, May to June"), (3.6, 3.6, "Kansas City, 7 May 2016")),
    ("columbine", "flowers_weeks", (-2, 6, "Maine, May to June"), (1.9, 1.9, "Kansas City, 25 April 2016")),
    ("bee balm", "flowers_weeks", (7, 15, "Maine, July to August"), (8, 8, "Kansas City, 7 June 2016")),
    ("phlox", "flowers_weeks", (7, 15, "Maine, July to August"), (10.9, 10.9, "Kansas City, 27 June 2016")),
    ("false indigo", "flowers_weeks", (2, 6, "Maine, June"), (1.9, 1.9, "Kansas City, 25 April 2016")),
    (
        "Shasta daisy",
        "flowers_weeks",
        (2, 11, "Maine, June to July"),
        (8.6, 8.6, "Kansas City, 11 June 2016"),
    ),
    (
        "coral bells",
        "flowers_weeks",
        (2, 11, "Maine, June to July"),
        (2.3, 2.3, "Kansas City, 28 April 2016"),
    ),
    ("butterfly weed", "flowers_weeks", (7, 11, "Maine, July"), (10.7, 10.7, "Kansas City, 26 June 2016")),
    (
        "perennial rudbeckia",
        "flowers_weeks",
        (7, 20, "Maine, July to September"),
        (10.3, 10.3, "Kansas City, 23 June 2016"),
    ),
    # kept cold, weeks
    ("tulip", "chill_weeks", (12, 15, "Missouri Botanical Garden"), (12, 13, "University of Delaware")),
    ("daffodil", "chill_weeks", (14, 14, "Chicago Botanic Garden"), (12, 12, "Dayton Nursery")),
    # to germinate, days
    ("ageratum", "germination_days", (7, 10, IOWA), (7, 14, "annual seed start dates")),
    ("China aster", "germination_days", (7, 10, IOWA), (7, 14, "annual seed start dates")),
    ("bachelor's button", "germination_days", (7, 14, IOWA), (7, 14, "annual seed start dates")),
    ("foxglove", "germination_days", (20, 30, WILDSEED), (14, 21, "seed packets")),
    ("larkspur", "germination_days", (15, 30, WILDSEED), (14, 28, "how to grow delphinium and larkspur")),
    # in the vase, days
    ("astilbe", "vase_life_days", (4, 12, VERMONT), (7, 14, DESIGN)),
    ("allium", "vase_life_days", (7, 14, VERMONT), (5, 7, DESIGN)),
    ("monkshood", "vase_life_days", (7, 10, VERMONT), (7, 10, DESIGN)),
    ("yarrow", "vase_life_days", (7, 12, VERMONT), (10, 14, DESIGN)),
    ("lilac", "vase_life_days", (5, 10, CALYX), (3, 7, "California Cut Flower Commission")),
    ("goldenrod", "vase_life_days", (7, 10, CALYX), (7, 10, "Floral Design Institute, of solidaster")),
    ("speedwell", "vase_life_days", (7, 7, CALYX), (5, 7, DESIGN)),
    ("sedum", "vase_life_days", (8, 8, CALYX), (14, 21, "Falling Springs Flowers")),
    ("tuberose", "vase_life_days", (7, 10, DESIGN), (7, 10, "Hort. Environ. Biotechnol. 60:281, 2019")),
    ("dusty miller", "vase_life_days", (10, 14, DESIGN), (7, 10, "FloraLife")),
    ("trachelium", "vase_life_days", (7, 10, DESIGN), (7, 10, "Flowers and Plants Association")),
    ("bupleurum", "vase_life_days", (7, 10, CALYX), (7, 10, "Florismart")),
    ("crocosmia", "vase_life_days", (7, 14, DESIGN), (7, 14, "Florismart")),
    ("ornamental kale", "vase_life_days", (10, 14, DESIGN), (5, 7, "Super Floral Retailing, 2013")),
    ("garden rose", "vase_life_days", (4, 16, CALYX), (3, 7, "Super Floral Retailing, 2009")),
    ("nigella", "vase_life_days", (7, 10, DESIGN), (7, 10, CALYX)),
    ("China aster", "vase_life_days", (5, 10, DESIGN), (6, 10, CALYX)),
    ("coneflower", "vase_life_days", (7, 10, DESIGN), (5, 12, CALYX)),
    ("craspedia", "vase_life_days", (10, 12, COMMISSION), (5, 14, "Super Floral Retailing, 2010")),
    ("ranunculus", "vase_life_days", (3, 7, CALYX), (5, 7, FLORALIFE)),
    ("tulip", "vase_life_days", (5, 7, FLORALIFE), (3, 7, COMMISSION)),
    ("lily-of-the-valley", "vase_life_days", (3, 6, DESIGN), (3, 6, "Florismart")),
    # in the cooler, degrees F
    ("liatris", "storage_temp_f", (32, 34, DAVIS), (36, 38, DESIGN)),
    ("eucalyptus", "storage_temp_f", (32, 34, DAVIS), (36, 38, DESIGN)),
    ("alstroemeria", "storage_temp_f", (34, 36, DAVIS), (32, 39, WILLS)),
    ("freesia", "storage_temp_f", (32, 34, DAVIS), (32, 39, WILLS)),
    ("iris", "storage_temp_f", (32, 32, DAVIS), (32, 39, WILLS)),
    ("delphinium", "storage_temp_f", (32, 34, DAVIS), (32, 41, WILLS)),
    ("garden rose", "storage_temp_f", (32, 34, CALYX), (32, 39, WILLS)),
    ("lilac", "storage_temp_f", (36, 39, CALYX), (36, 38, DESIGN)),
    ("goldenrod", "storage_temp_f", (36, 41, CALYX), (36, 38, "Floral Design Institute, of solidaster")),
    ("statice", "storage_temp_f", (36, 39, WILLS), (36, 38, DAVIS)),
]

STORED_AND_HURT = [
    # crop, hurt by ethylene, source
    ("Michaelmas daisy", "no", DAVIS),
    ("goldenrod", "no", f"{DAVIS}, of solidaster"),
    ("freesia", "yes", DAVIS),
    ("tuberose", "no", DAVIS),
    ("alstroemeria", "yes", DAVIS),
    ("carnation", "yes", DAVIS),
    ("daffodil", "yes", DAVIS),
    ("anemone", "yes", f"{DAVIS}; USDA Agriculture Handbook 66"),
    ("iris", "no", DAVIS),
    ("sunflower", "yes", DAVIS),
    ("gerbera", "no", DAVIS),
    ("liatris", "no", DAVIS),
    ("eucalyptus", "no", DAVIS),
    ("baby's breath", "yes", f"{DAVIS}, of the perennial kind"),
    ("China aster", "no", "Floral Design Institute; UC Davis of the daisy family"),
    ("dahlia", "no", "Dole and others, postharvest handling of cut dahlia, lupine, poppy and rudbeckia"),
    ("rudbeckia", "no", "Dole and others, postharvest handling of cut dahlia, lupine, poppy and rudbeckia"),
    (
        "Iceland poppy",
        "no",
        "Dole and others, postharvest handling of cut dahlia, lupine, poppy and rudbeckia",
    ),
]


def the_sheet(crop: str) -> Sheet:
    found = sheet(crop)
    assert isinstance(found, Sheet), found
    return found


def span_of(crop: str, figure: str) -> tuple[float, float]:
    value = the_sheet(crop).figures()[figure].value
    if isinstance(value, tuple):
        return value
    numbers = [float(number) for number in re.findall(r"\d+", value_text(value))]
    return min(numbers), max(numbers)


GROWING = ("germination_temp_f", "germination_days", "weeks_in_tray", "flowers_weeks", "chill_weeks")


def test_twenty_five_crops_and_more_are_compared() -> None:
    assert len({crop for crop, figure, *_ in PUBLISHED if figure in GROWING}) >= 25
    assert all(one[2] != other[2] for *_, one, other in PUBLISHED)


@pytest.mark.parametrize(("crop", "figure", "one", "other"), PUBLISHED)
def test_a_figure_agrees_with_two_published_tables(
    crop: str, figure: str, one: Reading, other: Reading
) -> None:
    least, most = span_of(crop, figure)
    for first, last, source in (one, other):
        missed = max(first - most, least - last, 0)
        assert missed <= TOLERANCE[figure], f"{source}: {first} to {last}"


@pytest.mark.parametrize(("crop", "hurt", "source"), STORED_AND_HURT)
def test_ethylene_hurts_what_the_published_sheets_say(crop: str, hurt: str, source: str) -> None:
    found = the_sheet(crop).ethylene
    assert found is not None and found.value == hurt, source


# Wills, McGlasson, Graham and Joyce, Postharvest, 4th ed. (CAB International, 1998): the longest days in store.
WILLS_DAYS = {
    "delphinium": 2,
    "statice": 42,
    "liatris": 14,
    "lily": 28,
    "lisianthus": 7,
    "daffodil": 21,
    "freesia": 14,
    "carnation": 42,
    "chrysanthemum": 42,
    "snapdragon": 28,
    "iris": 28,
    "garden rose": 14,
    "baby's breath": 21,
}


@pytest.mark.parametrize(("crop", "days"), WILLS_DAYS.items())
def test_nothing_is_kept_longer_than_the_longest_published(crop: str, days: int) -> None:
    kept = the_sheet(crop).storage_days_max
    assert kept is not None and kept.value <= days


# Thousand-seed weights of the National Seed Bank (Australian National Botanic Gardens), pure seeds a gram; the wildseed
# lists of Texas; a lot differs from a lot by as much as a half.
SEEDS = {
    "strawflower": (1328, 4049),
    "larkspur": (331, 448),
    "foxglove": (9612, 16667),
    "baby's breath": (384, 833),
    "craspedia": (923, 923),
    "winged everlasting": (2653, 2653),
    "hollyhock": (105, 210),
    "liatris": (300, 300),
}


@pytest.mark.parametrize(("crop", "counted"), SEEDS.items())
def test_seeds_a_gram_are_as_they_were_counted(crop: str, counted: tuple[float, float]) -> None:
    found = the_sheet(crop).seeds_per_gram
    assert found is not None
    least, most = found.value
    assert most >= counted[0] / 1.5 and least <= counted[1] * 1.5
