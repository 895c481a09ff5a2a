"""The seed drawer: the typed rows of its packets and of the germination tests made of them.

Seeds of a packet = those in it + sown + tested + lost, always; a count that found too few stands among the losses.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

MISCOUNTED = "miscounted"
"""The cause under which a count keeps what it found missing; below 0 where it found more."""


class GerminationTest(NamedTuple):
    """So many of the seeds tested came up."""

    on: str
    up: int
    tested: int


@dataclass(slots=True, eq=False)
class Packet:
    """Seed of one crop and variety, of one seller's lot, packed for one year: until it is empty."""

    code: str
    made_by: str
    crop: str
    variety: str | None
    on: str
    """The day it came in."""
    year: int
    """The year that it is packed for, or was harvested in where it is her own."""
    seeds: int
    """Those that came in it."""
    per_gram: float | None = None
    """Seeds to a gram, where it came by weight."""
    seed_lot: str | None = None
    """The seller's mark of the lot."""
    germination_pct: float | None = None
    """The germination that stands on it."""
    supplier: str | None = None
    sown: int = 0
    sowings: int = 0
    tests: list[GerminationTest] = field(default_factory=list)
    lost: dict[str, int] = field(default_factory=dict)

    @property
    def tested(self) -> int:
        """Seeds that went into tests."""
        return sum(test.tested for test in self.tests)

    @property
    def there(self) -> int:
        """Seeds still in it; below 0 where more went than there were."""
        return self.seeds - self.sown - self.tested - sum(self.lost.values())

    @property
    def is_live(self) -> bool:
        return self.there != 0
