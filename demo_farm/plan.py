"""The farm on paper: place, people, beds, what is sown, drilled and standing, what is cut for which use."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

DEMO_DAY = date(2026, 6, 23)
"""The day the demo opens on, at dawn: a Tuesday, with the market still to come."""

FARM = "Hither Fallow"
LATITUDE, LONGITUDE, ZONE = 44.1, -72.6, "America/New_York"
GROWER, HELPER = "MK", "JT"
SHED, NETBOOK = "shed", "netbook"

FROSTS = (
    "last frost 05-14",
    "last frost 32F 10% 05-30",
    "last frost 28F 50% 04-27",
    "last frost 28F 10% 05-12",
    "last frost 24F 50% 03-26",
    "last frost 24F 10% 04-18",
    "last frost 36F 50% 05-27",
    "last frost 36F 10% 06-08",
    "first frost 09-28",
    "first frost 36F 50% 09-17",
    "first frost 28F 50% 10-10",
    "first frost 24F 50% 10-24",
)
OWN_FIGURES = (
    "sheet strawflower early spacing 9 closer than the handbook, own trial",
    "sheet statice drying_days 10-14 own shed, north wall",
    "sheet baby's breath drying_days 6-9 own shed, under the roof",
)
BEDS = (*(f"bed b{n} 50ft" for n in range(1, 21)), *(f"bed e{n} 60ft 48in" for n in range(1, 5)))
ROOMS = ("room lights 28", "room hardening 16")
PLANS = (
    ("2026-03-07", "plan 240 statice blue dry by 10-15"),
    ("2026-03-07", "plan 150 strawflower purple dry by 10-03"),
    ("2026-06-14", "plan 60 sunflower lemon fresh by 08-21"),
    ("2026-06-14", "plan 60 sunflower gold fresh a week from 09-01 to 09-20"),
)
"""What is promised for the autumn: the day on which it was planned, and the line."""
FIELD_BEDS = tuple(f"b{n}" for n in range(1, 21))


@dataclass(frozen=True, slots=True)
class HangingLine:
    """A line of the shed: its feet, dark or light, with a fan or not said."""

    feet: int
    light: str
    fan: str = ""


LINES = {
    "line 1": HangingLine(20, "dark", "fan"),
    "line 2": HangingLine(20, "dark", "fan"),
    "line 3": HangingLine(16, "dark", "fan"),
    "line 4": HangingLine(16, "dark", "fan"),
    "line 5": HangingLine(14, "dark", "fan"),
    "line 6": HangingLine(12, "dark", "fan"),
    "line 7": HangingLine(12, "light"),
    "line 8": HangingLine(8, "light"),
}
TO_RESCUE = 15
"""Unsold stems of a lot that are worth a place on a line."""
WEIGHED_AT = (
    {1: 6.75, 2: 17.8, 4: 6.75, 6: 6.75, 9: 17.8, 12: 6.75, 16: 6.75, 20: 6.75},
    {2: 17.8, 4: 6.75, 7: 6.75, 10: 17.8, 14: 6.75, 18: 6.75},
)
"""Days after the hanging -> the hour at which a marked bunch is weighed again: one rhythm or the other."""

BOXED_TOGETHER = (
    ("strawflower",),
    ("statice", "sea holly"),
    ("globe amaranth", "bachelor's button"),
    ("celosia, plume", "celosia, wheat", "celosia, crested", "amaranth"),
    ("larkspur", "lavender"),
    ("bunny tail grass", "quaking grass", "broom corn", "ornamental millet", "flax"),
    ("safflower", "sunflower", "marigold", "calendula", "zinnia"),
    ("poppy", "nigella", "starflower", "scabiosa"),
    ("winged everlasting", "sunray", "xeranthemum"),
    ("peony", "hydrangea"),
    ("yarrow", "ammi", "baby's breath", "feverfew"),
)
"""Crops that share a box; all others share one too."""
BOX_PLACES = (
    "dark loft",
    "dark loft",
    "dark under the stairs",
    "dark loft",
    "light window shelf",
    "dark loft",
)
"""Where the boxes stand, in turn."""

FIRST_MAKINGS = (
    "farm wire SWG",
    "bought 250 wire 22",
    "bought 250 wire 24",
    "bought 200 wire 26",
    "bought 20 wire 20",
    "bought 12 tape",
    "bought 1000 bands",
    "bought 12 ring 12in",
    "bought 100 pin",
    "bought 30 ribbon",
    "bought 250 sleeve",
    "reorder 80 wire 22",
    "reorder 80 wire 24",
    "reorder 60 wire 26",
    "reorder 4 wire 20",
    "reorder 2 tape",
    "reorder 250 bands",
    "reorder 4 ring 12in",
    "reorder 12 pin",
    "reorder 6 ribbon",
    "reorder 40 sleeve",
    "recipe wreath-12 as wreath 12in",
    "recipe crown-b crown 22in 75min: 14 wired strawflower, 15 dry any filler, 2 wire 20, 1 ribbon",
    "recipe buttonholes as buttonhole",
    "recipe market-bunch as market-bouquet",
    "part market-bunch 9 fresh any, 3 fresh any filler, 1 sleeve",
    "recipe june-bunch bouquet 5min: 3 fresh peony, 3 fresh stock, 3 fresh sweet pea, 3 fresh any filler, 1 sleeve",
    "recipe summer-bunch bouquet 5min: 4 fresh zinnia, 2 fresh sunflower, 6 fresh any, 1 sleeve",
    "recipe dry-posy bouquet 12min: 9 dry any, 3 dry any grass, 1 ribbon",
)
MAKINGS_ON = date(2025, 1, 11)
PACKS = {
    "wire 22": 250,
    "wire 24": 250,
    "wire 26": 200,
    "wire 20": 20,
    "tape": 12,
    "bands": 1000,
    "ring 12in": 12,
    "pin": 100,
    "ribbon": 30,
    "sleeve": 250,
}
"""How many of each are bought at a time."""
LAST_ORDER = date(2026, 6, 20)
"""The last Saturday on which anything was bought."""
COUNTED = (
    ("2025-08-16", "count 610 bands"),
    ("2025-11-29", "count 205 bands"),
    ("2026-05-30", "count 840 bands"),
    ("2026-06-20", "count 46 wire 26"),
    ("2026-06-20", "count 4 tape"),
)

MADE_IN = {
    2: "buttonholes",
    3: "dry-posy",
    4: "dry-posy",
    5: "crown-b",
    6: "crown-b",
    9: "crown-b",
    10: "crown-b",
    11: "wreath-12",
    12: "wreath-12",
}
"""Month -> what is made on Fridays, as far as the stock allows."""
WEDDING = ("2026-06-19", "buttonholes")
"""What is made on that day goes out whole on the next."""
BOUQUETS = ("june-bunch", "summer-bunch", "market-bunch")
"""Made on the eve of a market: the first of which there are stems enough."""
BOUQUET_DAYS = (0, 4)
MOST_AT_ONCE = {"wreath-12": 3, "crown-b": 4, "buttonholes": 6, "dry-posy": 5} | dict.fromkeys(BOUQUETS, 7)

EVERY_YEAR = (2025, 2026)


@dataclass(frozen=True, slots=True)
class Sowing:
    """One tray. `when` is a share of the crop's reckoned window (0 its first day, 1 its last) or "MM-DD"."""

    crop: str
    variety: str
    feet: int
    cells: int
    when: float | str
    years: tuple[int, ...] = EVERY_YEAR
    germination: float = 0.85
    way: str | None = None
    waits: bool = False
    """Its bed is not free: it is left standing under the lights."""


@dataclass(frozen=True, slots=True)
class Drilling:
    """One sowing straight in a bed; `when` as for a tray."""

    crop: str
    variety: str | None
    feet: int
    when: float | str
    years: tuple[int, ...] = EVERY_YEAR


@dataclass(frozen=True, slots=True)
class Standing:
    """What stood there before the book began; cut for `weeks` from about `first_cut`, "MM-DD"."""

    crop: str
    variety: str | None
    bed: str
    feet: int
    plants: int
    since: str
    first_cut: str
    weeks: int


@dataclass(frozen=True, slots=True)
class Cutting:
    """How a crop is cut: its uses in turn (f fresh, d dry, w wire) and the days between two cuts."""

    uses: str
    every: int


ONLY_2025, ONLY_2026 = (2025,), (2026,)

SOWINGS = (
    Sowing("lisianthus", "ivory", 10, 128, 0.3, germination=0.78),
    Sowing("snapdragon", "rose", 12, 200, 0.2),
    Sowing("snapdragon", "white", 12, 200, 0.6),
    Sowing("stock", "cream", 8, 128, 0.2),
    Sowing("stock", "lilac", 8, 128, 0.9, ONLY_2025),
    Sowing("strawflower", "white", 14, 128, "02-19", ONLY_2026, way="early"),
    Sowing("strawflower", "deep rose", 14, 128, "02-20", ONLY_2026, way="early"),
    Sowing("strawflower", "copper", 12, 128, "02-24", ONLY_2026, way="early"),
    Sowing("strawflower", "lemon", 12, 128, "02-27", ONLY_2026, way="early"),
    Sowing("strawflower", "white", 14, 128, 0.1, ONLY_2025),
    Sowing("strawflower", "deep rose", 14, 128, 0.1, ONLY_2025),
    Sowing("strawflower", "copper", 14, 128, 0.5, ONLY_2025),
    Sowing("strawflower", "purple", 12, 128, 0.6, ONLY_2026),
    Sowing("feverfew", "white", 10, 200, 0.3),
    Sowing("rudbeckia", "gold", 12, 200, 0.8, ONLY_2025),
    Sowing("bachelor's button", "blue", 12, 72, 0.4),
    Sowing("sweet pea", "mixed", 8, 50, 0.3, germination=0.9),
    Sowing("eucalyptus", "silver", 10, 128, 0.4, ONLY_2025, germination=0.62),
    Sowing("larkspur", "blue", 8, 128, 0.2, ONLY_2025, germination=0.41),
    Sowing("larkspur", "blue", 8, 128, 0.8, ONLY_2025, germination=0.74),
    Sowing("larkspur", "deep blue", 8, 128, 0.4, ONLY_2026, germination=0.76),
    Sowing("ammi", "white", 12, 98, 0.2),
    Sowing("ammi", "white", 10, 98, 0.7, ONLY_2025),
    Sowing("calendula", "orange", 8, 72, 0.4),
    Sowing("statice", "blue", 16, 128, 0.3),
    Sowing("statice", "apricot", 12, 128, 0.5, ONLY_2026),
    Sowing("quaking grass", "green", 8, 128, 0.4),
    Sowing("bells of Ireland", "green", 10, 72, 0.3, ONLY_2025, germination=0.58),
    Sowing("bunny tail grass", "cream", 10, 128, 0.3),
    Sowing("xeranthemum", "mixed", 8, 128, 0.3, ONLY_2025),
    Sowing("China aster", "lavender", 12, 128, 0.3),
    Sowing("sweet Annie", "green", 12, 72, 0.3, ONLY_2025),
    Sowing("sunray", "pink", 8, 128, 0.2),
    Sowing("scabiosa", "wine", 12, 98, 0.3),
    Sowing("starflower", "green", 10, 98, 0.3),
    Sowing("winged everlasting", "white", 12, 128, 0.3),
    Sowing("cosmos", "blush", 14, 72, 0.3, ONLY_2025),
    Sowing("cosmos", "white", 14, 72, 0.4, ONLY_2026),
    Sowing("craspedia", "yellow", 10, 128, 0.2),
    Sowing("globe amaranth", "purple", 14, 128, 0.2),
    Sowing("globe amaranth", "pink", 12, 128, 0.6),
    Sowing("marigold", "orange", 10, 72, 0.2),
    Sowing("celosia, plume", "gold", 12, 128, 0.6),
    Sowing("celosia, wheat", "pink", 10, 128, 0.7),
    Sowing("celosia, crested", "crimson", 8, 128, 0.7),
    Sowing("amaranth", "green", 12, 72, 0.3, ONLY_2025),
    Sowing("zinnia", "mixed", 14, 72, 0.1),
    Sowing("zinnia", "lime", 12, 72, 0.9, ONLY_2025),
    Sowing("sunflower", "gold", 12, 72, 0.2),
    Sowing("sunflower", "lemon", 12, 72, "05-22"),
    Sowing("sunflower", "bronze", 12, 72, "06-12", ONLY_2025),
    Sowing("sunflower", "gold", 12, 72, "06-30", ONLY_2025),
    Sowing("zinnia", "salmon", 12, 72, "06-14", ONLY_2025),
    Sowing("Sweet William", "burgundy", 10, 98, "06-20", ONLY_2025, germination=0.8),
    # what is on its way on the day the demo opens
    Sowing("stock", "cream", 6, 128, "04-16", ONLY_2026, waits=True),
    Sowing("celosia, plume", "coral", 8, 128, "05-21", ONLY_2026, waits=True),
    Sowing("cosmos", "blush", 12, 72, "05-25", ONLY_2026),
    Sowing("zinnia", "lime", 12, 72, "06-03", ONLY_2026),
    Sowing("sunflower", "bronze", 12, 72, "06-10", ONLY_2026),
    Sowing("zinnia", "salmon", 12, 72, "06-13", ONLY_2026),
    Sowing("cosmos", "white", 12, 72, "06-12", ONLY_2026),
    Sowing("Sweet William", "burgundy", 10, 98, "05-28", ONLY_2026, germination=0.8),
    Sowing("sunflower", "gold", 12, 72, "06-20", ONLY_2026),
)

DRILLINGS = (
    Drilling("nigella", "blue", 12, "04-08"),
    Drilling("nigella", None, 10, "05-02"),
    Drilling("poppy", None, 12, "04-06"),
    Drilling("baby's breath", "white", 8, "04-18"),
    Drilling("baby's breath", "white", 8, "05-04"),
    Drilling("flax", None, 10, "04-22"),
    Drilling("safflower", "orange", 10, "05-02"),
    Drilling("broom corn", "mixed", 14, "05-26", ONLY_2025),
    Drilling("ornamental millet", None, 10, "05-24"),
)

STANDING = (
    Standing("peony", "blush", "e1", 45, 30, "2021-10-02", "05-31", 3),
    Standing("yarrow", "yellow", "e2", 30, 90, "2023-05-06", "06-04", 5),
    Standing("sea holly", "blue", "e2", 24, 36, "2023-05-06", "07-08", 3),
    Standing("lavender", "purple", "e3", 50, 60, "2022-05-21", "06-19", 4),
    Standing("hydrangea", "lime", "e4", 55, 12, "2020-05-16", "08-12", 6),
)

TUBERS = (("dahlia", "wine", 20, 26, "06-02"),)
"""Lifted in autumn and set again: crop, variety, feet, plants, day."""

CUTTING = {
    "strawflower": Cutting("dwfwd", 3),
    "statice": Cutting("dfd", 6),
    "globe amaranth": Cutting("dfdd", 6),
    "celosia, crested": Cutting("df", 6),
    "celosia, plume": Cutting("dfd", 6),
    "celosia, wheat": Cutting("dfd", 7),
    "larkspur": Cutting("fdd", 3),
    "ammi": Cutting("ffd", 4),
    "bachelor's button": Cutting("dff", 4),
    "snapdragon": Cutting("f", 5),
    "stock": Cutting("f", 3),
    "sweet pea": Cutting("f", 3),
    "lisianthus": Cutting("f", 6),
    "zinnia": Cutting("f", 5),
    "cosmos": Cutting("f", 6),
    "sunflower": Cutting("f", 3),
    "dahlia": Cutting("f", 6),
    "marigold": Cutting("ffd", 9),
    "calendula": Cutting("ff", 7),
    "nigella": Cutting("fd", 5),
    "scabiosa": Cutting("f", 8),
    "starflower": Cutting("d", 7),
    "poppy": Cutting("d", 5),
    "yarrow": Cutting("dfd", 5),
    "lavender": Cutting("dfd", 5),
    "baby's breath": Cutting("fd", 4),
    "amaranth": Cutting("df", 7),
    "bells of Ireland": Cutting("fd", 6),
    "bunny tail grass": Cutting("dd", 9),
    "quaking grass": Cutting("d", 7),
    "winged everlasting": Cutting("d", 8),
    "sunray": Cutting("d", 5),
    "xeranthemum": Cutting("d", 8),
    "safflower": Cutting("df", 4),
    "sea holly": Cutting("df", 6),
    "feverfew": Cutting("fd", 6),
    "Sweet William": Cutting("f", 4),
    "rudbeckia": Cutting("fd", 8),
    "China aster": Cutting("f", 5),
    "hydrangea": Cutting("df", 10),
    "peony": Cutting("ffd", 3),
    "eucalyptus": Cutting("df", 9),
    "flax": Cutting("d", 4),
    "broom corn": Cutting("d", 8),
    "ornamental millet": Cutting("df", 5),
    "craspedia": Cutting("df", 8),
    "sweet Annie": Cutting("d", 7),
}
USE_OF = {"f": "fresh", "d": "dry", "w": "wire"}

STAGES = {
    ("strawflower", "fresh"): "3 rows open",
    ("strawflower", "dry"): "2 rows open centre shut",
    ("strawflower", "wire"): "2 rows open centre shut",
    ("peony", "fresh"): "soft bud",
    ("peony", "dry"): "half open",
    ("zinnia", "fresh"): "full firm",
    ("larkspur", "fresh"): "half open",
    ("larkspur", "dry"): "nearly all open",
    ("sunflower", "fresh"): "first petals loosened",
    ("statice", "dry"): "all coloured",
    ("globe amaranth", "dry"): "full colour firm",
    ("winged everlasting", "dry"): "buds closed",
    ("yarrow", "dry"): "full firm",
    ("celosia, plume", "dry"): "full colour",
}
STAGE_WRITTEN = 0.75
"""Share of the cuts of these with which the stage is written."""


@dataclass(frozen=True, slots=True)
class Late:
    """What a crop looks like that was cut too late, and what it is lost by afterwards."""

    stage: str
    cause: str


LATE = {
    "strawflower": Late("pollen showing", "blown"),
    "globe amaranth": Late("past full", "shatter"),
    "larkspur": Late("all open", "shatter"),
    "winged everlasting": Late("centre showing", "brown"),
    "peony": Late("fully open", "blown"),
    "statice": Late("past full colour", "brown"),
}
CUT_LATE, CUT_LATE_IN_HEAT, HEAT_F = 0.14, 0.34, 84
"""How often these are cut too late, and how often in heat."""
LOST_FOR_IT = (0.1, 0.3)
"""The share of a lot cut too late that is lost for it."""

CULL_CAUSES = ("short", "broken", "pests", "brown", "dirty")

MARKETS = {1: "Tuesday market", 5: "Saturday market"}
"""Weekday (Monday is 0) -> the stall of that day."""
FLOWER_SHOP, FLOWER_SHOP_DAY = "Cobblegate flower shop", 3
DRY_BUYERS = ("Saturday market", "Cobblegate flower shop", "the tea room in Upper Lane", "wreath circle")
"""Who buys: invented, every one."""
