"""The farm on paper: place, people, days, who buys, what is made; beside the tables of what is sown, cut and said."""

from __future__ import annotations

from datetime import date

DEMO_DAY = date(2026, 6, 23)
"""The day the demo opens on, at dawn: a Tuesday, with the market still to come."""
FIRST_DAY = date(2025, 1, 4)

FARM, ZONE = "Hither Fallow", "America/New_York"
GROWER, HELPER, SHED, NETBOOK = "MK", "JT", "shed", "netbook"
FIELD_BEDS = tuple(f"b{n}" for n in range(1, 21))

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = range(7)
MORNING, NOON, EVENING = 6.75, 12.4, 17.8
HEAT_F, BREEZY_MPH = 84, 15
"""A hot day; a wind that is worth a word."""

MARKETS = {TUESDAY: "Tuesday market", SATURDAY: "Saturday market"}
MARKET_MONTHS = range(5, 11)
FLOWER_SHOP, FLOWER_SHOP_DAY = "Cobblegate flower shop", THURSDAY
DRY_BUYERS = ("Saturday market", FLOWER_SHOP, "the tea room in Upper Lane", "wreath circle")
"""Who buys: invented, every one."""
ORDERERS = ("Fern Hollow inn", "Long Barn wedding", FLOWER_SHOP)
"""Whose orders are in the table of what is said."""
DRY_SALES = (1, 2, 2, 2, 2, 1, 0, 1, 2, 4, 5, 4)
"""Boxes gone to on a Saturday, January to December."""

MADE_IN = {2: "buttonholes", 3: "dry-posy", 4: "dry-posy", 11: "wreath-12", 12: "wreath-12"}
MADE_IN |= dict.fromkeys((5, 6, 9, 10), "crown-b")
"""Month -> what is made on Fridays, as far as the stock allows."""
BOUQUETS = ("june-bunch", "summer-bunch", "market-bunch")
"""Made on the eve of a market: the first of which there are stems enough."""
MOST_AT_ONCE = {"wreath-12": 3, "crown-b": 4, "buttonholes": 6, "dry-posy": 5} | dict.fromkeys(BOUQUETS, 7)
ORDERED = ("2026-06-19", "buttonholes")
"""What is made on that day, for a wedding, goes out whole on the next."""

BOX_PLACES = ("dark loft", "dark loft", "dark under the stairs", "light window shelf", *["dark loft"] * 4)
"""Where the boxes stand, in turn."""
WEIGHED_AT = (
    dict.fromkeys((1, 4, 6, 12, 16, 20), MORNING) | dict.fromkeys((2, 9), EVENING),
    dict.fromkeys((7, 14, 18), MORNING) | dict.fromkeys((2, 10), EVENING),
)
"""Days after the hanging -> the hour at which a marked bunch is weighed again: one rhythm or the other."""
