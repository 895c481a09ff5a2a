"""How long seed keeps, by crop, and how a packet stands: good, to be tested, or poor by its own test.

Years are those of dry, cool storage at home. A seed that keeps one year is good in the season it was packed for, one
that keeps five in that and the four after it. Sources clash; the shorter life tells when to test.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Literal, NamedTuple, TypeAlias

from core.farm import Farm
from core.plans.defaults import USUAL
from core.seed_rows import GerminationTest, Packet
from core.settings.sheets import farm_sheet
from core.units import day_text, number

COLLEGE = "Madison Area Technical College, flower seed shelf life, as copied in a garden forum"
PRESS = "Associated Press, Los Angeles Times, 1997"
SELLERS = "a seed seller's page, weak"
JOURNAL = "a garden journal of 2010 without an author, weak"
EXTENSION = "any flower seed keeps a year on the shelf: Colorado State University Extension, fact sheet 7.221"


class Keeps(NamedTuple):
    """For how many years seed keeps, the shortest and the longest that is said, and who says it."""

    least: int
    most: int
    source: str

    @property
    def text(self) -> str:
        """ "5 years", "2 to 10 years"."""
        years = f"{self.least}" if self.least == self.most else f"{self.least} to {self.most}"
        return f"{years} year{'' if years == '1' else 's'}"


ANY = Keeps(2, 2, EXTENSION)
"""Of a crop of which nothing more is known: the year it is packed for and the next."""

KEEPS: Mapping[str, Keeps] = {
    "delphinium": Keeps(1, 1, f"{COLLEGE}; {PRESS}"),
    "China aster": Keeps(2, 2, f"{COLLEGE}; among the shortest lived: {PRESS}"),
    "phlox": Keeps(2, 2, f"{COLLEGE}; among the shortest lived: {PRESS}"),
    "larkspur": Keeps(1, 2, SELLERS),
    "sweet pea": Keeps(2, 10, f"2: {COLLEGE}; 5 to 10: {PRESS}"),
    "cosmos": Keeps(3, 3, COLLEGE),
    "marigold": Keeps(3, 10, f"3: {COLLEGE}; 5 to 10: {PRESS}"),
    "scabiosa": Keeps(3, 3, COLLEGE),
    "snapdragon": Keeps(3, 3, COLLEGE),
    "pansy": Keeps(3, 3, COLLEGE),
    "petunia": Keeps(3, 3, COLLEGE),
    "verbena": Keeps(3, 3, COLLEGE),
    "dusty miller": Keeps(3, 3, COLLEGE),
    "Shasta daisy": Keeps(3, 10, f"3: {COLLEGE}; 5 to 10: {PRESS}"),
    "sweet alyssum": Keeps(4, 10, f"4: {COLLEGE}; 5 to 10: {PRESS}"),
    "calendula": Keeps(5, 10, f"5: {COLLEGE}; 5 to 10: {PRESS}"),
    "carnation": Keeps(5, 5, COLLEGE),
    "chrysanthemum": Keeps(5, 5, COLLEGE),
    "hollyhock": Keeps(5, 5, COLLEGE),
    "nasturtium": Keeps(5, 5, COLLEGE),
    "stock": Keeps(5, 5, COLLEGE),
    "zinnia": Keeps(5, 5, COLLEGE),
    "poppy": Keeps(5, 10, PRESS),
    "lavender": Keeps(5, 5, SELLERS),
    "winged everlasting": Keeps(1, 2, JOURNAL),
    "anemone": Keeps(2, 2, JOURNAL),
    "columbine": Keeps(2, 2, JOURNAL),
    "sunray": Keeps(3, 3, JOURNAL),
    "yarrow": Keeps(4, 4, JOURNAL),
    "ageratum": Keeps(4, 4, JOURNAL),
    "amaranth": Keeps(4, 5, JOURNAL),
}

POOR = 0.6
"""A test below this share says: sow thicker or order anew (common practice)."""
TEST_HOLDS_DAYS = 365
"""So long a test of one's own stands before the age of the seed (ours)."""

Standing: TypeAlias = Literal["good", "test", "poor", "empty"]
"""How a packet stands: "test" where it is older than its kind usually keeps and no newer test says how it is."""


def keeps(farm: Farm, crop: str, variety: str | None = None) -> Keeps:
    """How long seed of that crop keeps: by her own sheet, else by the handbook, for a crop of hers by the one it is
    like."""
    sheet = farm_sheet(farm, crop, variety=variety)
    if sheet is not None and (own := sheet.seed_years) is not None:
        return Keeps(int(own.value[0]), int(own.value[1]), own.source)
    return KEEPS.get(crop) or KEEPS.get((sheet.own_like if sheet is not None else None) or "", ANY)


def age(packet: Packet, day: date) -> int:
    """Years since the one it was packed for."""
    return day.year - packet.year


def standing(farm: Farm, packet: Packet, day: date) -> Standing:
    """How a packet stands on that day."""
    if packet.there <= 0:
        return "empty"
    newest = packet.tests[-1] if packet.tests else None
    if newest is not None and (day - date.fromisoformat(newest.on)).days <= TEST_HOLDS_DAYS:
        return "good" if newest.up >= POOR * newest.tested else "poor"
    return "good" if age(packet, day) < keeps(farm, packet.crop, packet.variety).least else "test"


class Germination(NamedTuple):
    """The share of the seed that comes up, how alike the seeds of a sowing fare by what is known of it (0: each by
    itself), and by whose word."""

    share: float
    rho: float
    source: str


def of_test(test: GerminationTest) -> Germination:
    """What a test with k of n up says: the share is (k + 1) / (n + 2), and the beta-binomial of correlation 1 / (n + 3)
    gives the chances of a sowing (Laplace's rule of succession): a test of ten seeds says less than one of fifty."""
    told = f"own test {test.up} of {test.tested}, {day_text(test.on)}"
    return Germination((test.up + 1) / (test.tested + 2), 1 / (test.tested + 3), told)


def germination(packet: Packet | None) -> Germination:
    """By the newest test of one's own, else by what stands on the packet, else as is usual."""
    if packet is not None and packet.tests:
        return of_test(packet.tests[-1])
    if packet is not None and packet.germination_pct is not None:
        return Germination(
            packet.germination_pct / 100, 0, f"{number(packet.germination_pct)} % on the packet"
        )
    return Germination(USUAL["germination"].value, 0, "80 % is usual (common practice)")
