"""The farm on paper: place, people, beds, what is sown and standing, what is cut for which use, what is made."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

DEMO_DAY = date(2026, 6, 23)
"""The day the demo opens on, at dawn: a Tuesday, with the market still to come."""
FIRST_DAY = date(2025, 1, 4)

FARM = "Hither Fallow"
ZONE = "America/New_York"
GROWER, HELPER = "MK", "JT"
SHED, NETBOOK = "shed", "netbook"

LINES = {
    "line 1": (20, "dark fan"),
    "line 2": (20, "dark fan"),
    "line 3": (16, "dark fan"),
    "line 4": (16, "dark fan"),
    "line 5": (14, "dark fan"),
    "line 6": (12, "dark fan"),
    "line 7": (12, "light"),
    "line 8": (8, "light"),
}
"""The lines of the shed: their feet, dark or light, with a fan or not said."""
FIELD_BEDS = tuple(f"b{n}" for n in range(1, 21))

STANDING = {
    "peony": ("'blush' e1 45ft 30 plants 2021-10-02", "05-31", 3),
    "yarrow": ("'yellow' e2 30ft 90 plants 2023-05-06", "06-04", 5),
    "sea holly": ("'blue' e2 24ft 36 plants 2023-05-06", "07-08", 3),
    "lavender": ("'purple' e3 50ft 60 plants 2022-05-21", "06-19", 4),
    "hydrangea": ("'lime' e4 55ft 12 plants 2020-05-16", "08-12", 6),
}
"""What stood there before the book began and is never cleared: crop -> as planted, about its first cut, weeks of it."""

PACKS = {
    "wire 22": (250, 80),
    "wire 24": (250, 80),
    "wire 26": (200, 60),
    "wire 20": (20, 4),
    "tape": (12, 2),
    "bands": (1000, 250),
    "ring 12in": (12, 4),
    "pin": (100, 12),
    "ribbon": (30, 6),
    "sleeve": (250, 40),
}
"""Making -> how many are bought at a time, and the number at which it is bought again."""

OPENING = (
    f"farm name '{FARM}' latitude 44.1 longitude -72.6 zone {ZONE}",
    "last frost 05-14",
    *(f"last frost {odds}" for odds in ("32F 10% 05-30", "28F 50% 04-27", "28F 10% 05-12", "24F 50% 03-26")),
    *(f"last frost {odds}" for odds in ("24F 10% 04-18", "36F 50% 05-27", "36F 10% 06-08")),
    "first frost 09-28",
    *(f"first frost {odds}" for odds in ("36F 50% 09-17", "28F 50% 10-10", "24F 50% 10-24")),
    *(f"bed {bed} 50ft" for bed in FIELD_BEDS),
    *(f"bed e{n} 60ft 48in" for n in range(1, 5)),
    "room lights 28",
    "room hardening 16",
    *(f"{name} is {feet}ft {air}" for name, (feet, air) in LINES.items()),
    "sheet strawflower early spacing 9 closer than the handbook, own trial",
    "sheet statice drying_days 10-14 own shed, north wall",
    "sheet baby's breath drying_days 6-9 own shed, under the roof",
    *(f"plant {crop} {planted}" for crop, (planted, _, _) in STANDING.items()),
    "farm wire SWG",
    *(f"bought {pack} {making}" for making, (pack, _) in PACKS.items()),
    *(f"reorder {least} {making}" for making, (_, least) in PACKS.items()),
    "recipe wreath-12 as wreath 12in",
    "recipe crown-b crown 22in 75min: 14 wired strawflower, 15 dry any filler, 2 wire 20, 1 ribbon",
    "recipe buttonholes as buttonhole",
    "recipe market-bunch as market-bouquet",
    "part market-bunch 9 fresh any, 3 fresh any filler, 1 sleeve",
    "recipe june-bunch bouquet 5min: 3 fresh peony, 3 fresh stock, 3 fresh sweet pea, 3 fresh any filler, 1 sleeve",
    "recipe summer-bunch bouquet 5min: 4 fresh zinnia, 2 fresh sunflower, 6 fresh any, 1 sleeve",
    "recipe dry-posy bouquet 12min: 9 dry any, 3 dry any grass, 1 ribbon",
)
"""What is written on the first day, line by line."""

MADE_IN = {2: "buttonholes", 3: "dry-posy", 4: "dry-posy", 11: "wreath-12", 12: "wreath-12"}
MADE_IN |= dict.fromkeys((5, 6, 9, 10), "crown-b")
"""Month -> what is made on Fridays, as far as the stock allows."""
BOUQUETS = ("june-bunch", "summer-bunch", "market-bunch")
"""Made on the eve of a market: the first of which there are stems enough."""
MOST_AT_ONCE = {"wreath-12": 3, "crown-b": 4, "buttonholes": 6, "dry-posy": 5} | dict.fromkeys(BOUQUETS, 7)
ORDERED = ("2026-06-19", "buttonholes")
"""What is made on that day, for a wedding, goes out whole on the next."""

MARKETS = {1: "Tuesday market", 5: "Saturday market"}
"""Weekday (Monday is 0) -> the stall of that day."""
MARKET_MONTHS = range(5, 11)
FLOWER_SHOP, FLOWER_SHOP_DAY = "Cobblegate flower shop", 3
DRY_BUYERS = ("Saturday market", FLOWER_SHOP, "the tea room in Upper Lane", "wreath circle")
"""Who buys: invented, every one."""
DRY_SALES = {1: 2, 2: 4, 3: 4, 4: 4, 5: 4, 6: 2, 7: 0, 8: 2, 9: 4, 10: 8, 11: 9, 12: 8}
"""Month -> boxes gone to on a Saturday."""

BOX_PLACES = (
    "dark loft",
    "dark loft",
    "dark under the stairs",
    "dark loft",
    "light window shelf",
    "dark loft",
)
"""Where the boxes stand, in turn."""
MORNING, NOON, EVENING = 6.75, 12.4, 17.8
WEIGHED_AT = (
    dict.fromkeys((1, 4, 6, 12, 16, 20), MORNING) | dict.fromkeys((2, 9), EVENING),
    dict.fromkeys((4, 7, 14, 18), MORNING) | dict.fromkeys((2, 10), EVENING),
)
"""Days after the hanging -> the hour at which a marked bunch is weighed again: one rhythm or the other."""


class Crop(NamedTuple):
    """How a crop is cut and dried here: its uses in turn (f fresh, d dry, w wire), the days between two cuts, its box,
    which crops of one word share, the grams of a fresh stem, the share of them that is left when it is dry, and the
    shape of its drying (below 1: a slow end).
    """

    uses: str
    every: int
    box: str = "all sorts"
    grams: float = 8.0
    kept: float = 0.2
    shape: float = 1.0


CROPS = {
    "strawflower": Crop("dwfwd", 3, "everlasting", 7.0, 0.19, 0.95),
    "statice": Crop("dfd", 6, "statice", 8.0, 0.31),
    "globe amaranth": Crop("dfdd", 6, "globe", 6.0, 0.2),
    "celosia, crested": Crop("df", 6, "celosia", 26.0, 0.17, 0.9),
    "celosia, plume": Crop("dfd", 6, "celosia", 12.0, 0.17, 0.95),
    "celosia, wheat": Crop("dfd", 7, "celosia", 8.0, 0.2),
    "larkspur": Crop("fdd", 3, "blue", 14.0, 0.17),
    "ammi": Crop("ffd", 4, "umbel"),
    "bachelor's button": Crop("dff", 4, "globe", 6.5, 0.19),
    "snapdragon": Crop("f", 5),
    "stock": Crop("f", 3),
    "sweet pea": Crop("f", 3),
    "lisianthus": Crop("f", 6),
    "zinnia": Crop("f", 5, "seed"),
    "cosmos": Crop("f", 6),
    "sunflower": Crop("f", 3, "seed"),
    "dahlia": Crop("f", 6),
    "marigold": Crop("ffd", 9, "seed"),
    "calendula": Crop("ff", 7, "seed"),
    "nigella": Crop("fd", 5, "pod"),
    "scabiosa": Crop("f", 8, "pod"),
    "starflower": Crop("d", 7, "pod"),
    "poppy": Crop("d", 5, "pod"),
    "yarrow": Crop("dfd", 5, "umbel", 14.0, 0.2),
    "lavender": Crop("dfd", 5, "blue", 1.6, 0.24),
    "baby's breath": Crop("fd", 4, "umbel", 9.0, 0.2),
    "amaranth": Crop("df", 7, "celosia"),
    "bells of Ireland": Crop("fd", 6),
    "bunny tail grass": Crop("dd", 9, "grass", 0.9, 0.38),
    "quaking grass": Crop("d", 7, "grass", 1.0, 0.4),
    "winged everlasting": Crop("d", 8, "straw"),
    "sunray": Crop("d", 5, "straw"),
    "xeranthemum": Crop("d", 8, "straw"),
    "safflower": Crop("df", 4, "seed"),
    "sea holly": Crop("df", 6, "statice", 10.0, 0.2),
    "feverfew": Crop("fd", 6, "umbel"),
    "Sweet William": Crop("f", 4),
    "rudbeckia": Crop("fd", 8),
    "China aster": Crop("f", 5),
    "hydrangea": Crop("df", 10, "peony", 60.0, 0.17, 0.9),
    "peony": Crop("ffd", 3, "peony", 38.0, 0.16, 0.9),
    "eucalyptus": Crop("df", 9),
    "flax": Crop("d", 4, "grass"),
    "broom corn": Crop("d", 8, "grass", 24.0, 0.34, 0.95),
    "ornamental millet": Crop("df", 5, "grass", 9.0, 0.36),
    "craspedia": Crop("df", 8, "all sorts", 6.0, 0.18),
    "sweet Annie": Crop("d", 7),
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
"""The stage that is mostly written with a cut."""
LATE = {
    "strawflower": ("pollen showing", "blown"),
    "globe amaranth": ("past full", "shatter"),
    "larkspur": ("all open", "shatter"),
    "winged everlasting": ("centre showing", "brown"),
    "peony": ("fully open", "blown"),
    "statice": ("past full colour", "brown"),
}
"""Crop -> what it looks like that was cut too late, and what it is lost by afterwards."""

EVERY_YEAR, ONLY_2025, ONLY_2026 = (2025, 2026), (2025,), (2026,)


class Sowing(NamedTuple):
    """One tray of so many cells, or without cells a row drilled in a bed; tubers go out as so many `plants`.

    `when` is a share of the crop's reckoned window (0 its first day, 1 its last) or "MM-DD". What `waits` has no bed
    free: it is left standing under the lights.
    """

    crop: str
    variety: str
    feet: int
    cells: int
    when: float | str
    years: tuple[int, ...] = EVERY_YEAR
    germination: float = 0.85
    way: str | None = None
    waits: bool = False
    plants: int = 0


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
    Sowing("nigella", "blue", 12, 0, "04-08"),
    Sowing("nigella", "", 10, 0, "05-02"),
    Sowing("poppy", "", 12, 0, "04-06"),
    Sowing("baby's breath", "white", 8, 0, "04-18"),
    Sowing("baby's breath", "white", 8, 0, "05-04"),
    Sowing("flax", "", 10, 0, "04-22"),
    Sowing("safflower", "orange", 10, 0, "05-02"),
    Sowing("broom corn", "mixed", 14, 0, "05-26", ONLY_2025),
    Sowing("ornamental millet", "", 10, 0, "05-24"),
    Sowing("dahlia", "wine", 20, 0, "06-02", plants=26),
)
