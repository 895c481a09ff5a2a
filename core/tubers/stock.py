"""What the farm keeps of its tubers: each variety's stock in store, in the cold and forced, and what was lifted."""

from __future__ import annotations

from dataclasses import dataclass, field

from core.beds.kinds import plants_left
from core.crops.course import roots
from core.farm import Farm, Planting
from core.settings.sheets import farm_sheet
from core.text import named
from core.tubers.clumps import Clumps, Origin, divide, even, take
from core.tubers.forcing import Chill, Forced, take_out

CUT_BEYOND = "forced bulbs overdrawn"
"""The sort of matter that is told where more was cut of forced bulbs than came out of the cold."""


@dataclass(slots=True)
class Deal:
    """Tubers that were sold, or bought, on a day; in cents what all of them came to, None where it was not said."""

    on: str
    count: int
    cents: int | None
    who: str | None
    is_sale: bool


@dataclass(slots=True)
class Stock:
    """One variety in store. What came in and what went out always adds up to what is there."""

    crop: str
    variety: str | None
    lifted: int = 0
    """Clumps lifted from beds."""
    bought: int = 0
    gained: int = 0
    """Pieces more than the clumps they were divided from."""
    planted: int = 0
    sold: int = 0
    lost: dict[str, int] = field(default_factory=dict)
    deals: list[Deal] = field(default_factory=list)
    lifted_on: str | None = None
    """The day of the last lifting."""
    checked_on: str | None = None
    """The day it was looked over last."""
    forced: int = 0
    """Bulbs that came out of the cold to flower."""
    forced_cut: int = 0
    """Stems that were cut of them, culls too: a bulb gives one."""
    forced_over: int = 0
    """Of them, those that were done with uncut."""
    cold: list[Chill] = field(default_factory=list)
    """What of it lies in the cold, to be forced: of what is there."""
    warm: list[Forced] = field(default_factory=list)
    """The last that came out of the cold."""
    clumps: list[Clumps] = field(default_factory=list)
    """What is there, by where it came from, oldest first."""
    washed_on: str | None = None
    """The day it was washed last."""
    stored_on: str | None = None
    """The day it was put where it lies, `stored_in` at `stored_f`."""
    stored_in: str = ""
    """Where and in what it lies, in her words."""
    stored_f: float | None = None
    """How warm it lies there, in degrees F."""
    handled_on: str | None = None
    """The last day it was in somebody's hands: it came in, or was divided, sorted, counted or looked over."""

    def handle(self, on: str) -> None:
        """It was in somebody's hands on that day."""
        self.handled_on = max(on, self.handled_on or "")

    def came(self, on: str, count: int, planting: str | None = None, bed: str | None = None) -> None:
        """So many came in on that day: lifted from a planting, or bought where none is said."""
        self.clumps.append(Clumps(on, planting, bed, planting is None, count))
        self.even(on)

    def split(self, count: int, pieces: int, on: str) -> None:
        """So many were divided into more."""
        divide(self.clumps, count, pieces)
        self.even(on)

    def take_out(self, count: int) -> tuple[Origin, ...]:
        """Take so many out, oldest first, and say where they came from."""
        return take(self.clumps, count)

    def even(self, on: str) -> None:
        """After any of it came, went or was counted: the clumps are as many as are there; where none is there, what
        was said of how it lay no longer holds."""
        even(self.clumps, self.there, on)
        if self.there <= 0:
            self.washed_on = self.stored_on = self.stored_f = None
            self.stored_in = ""

    @property
    def there(self) -> int:
        went = self.planted + self.sold + self.forced + sum(self.lost.values())
        return self.lifted + self.bought + self.gained - went

    @property
    def in_cold(self) -> int:
        return sum(chill.count for chill in self.cold)

    @property
    def to_cut(self) -> int:
        """Bulbs that came out of the cold and were neither cut nor done with."""
        return max(self.forced - self.forced_cut - self.forced_over, 0)

    @property
    def cut_beyond(self) -> int:
        """Stems that were cut of forced bulbs, and bulbs done with, beyond those that came out of the cold."""
        return max(self.forced_cut + self.forced_over - self.forced, 0)

    def went(self, on: str) -> None:
        """After some went: what is left in the cold is no more than is there; what lay dry went first."""
        take_out(self.cold, max(self.in_cold - max(self.there, 0), 0), newest=True)
        self.even(on)

    @property
    def called(self) -> str:
        return named(self.crop, self.variety)


@dataclass(slots=True)
class Tubers:
    """What the farm keeps of its tubers: crop -> variety in small letters ("" where none is said) -> its stock."""

    store: dict[str, dict[str, Stock]] = field(default_factory=dict)
    of_planting: dict[str, int] = field(default_factory=dict)
    """Code of a planting -> clumps lifted from it."""
    origins: dict[str, tuple[Origin, ...]] = field(default_factory=dict)
    """Code of a planting that was planted out of store -> where its tubers had come from."""

    def stock(self, crop: str, variety: str | None) -> Stock | None:
        """The stock of a variety; None where none of it ever was in store."""
        return self.store.get(crop, {}).get((variety or "").lower())

    def kept(self, crop: str, variety: str | None) -> Stock:
        """The stock of a variety, made where there was none."""
        return self.store.setdefault(crop, {}).setdefault((variety or "").lower(), Stock(crop, variety))

    def of(self, crop: str, variety: str | None) -> list[Stock]:
        """The stock of one variety, or of all of a crop where none is said."""
        return [s for s in self.all() if s.crop == crop and variety in (None, s.variety)]

    def all(self) -> list[Stock]:
        """Every stock there ever was, by crop and variety."""
        return [stock for crop in sorted(self.store) for _, stock in sorted(self.store[crop].items())]


def left_to_lift(farm: Farm, planting: Planting) -> int | None:
    """Plants of a planting that were neither lost nor lifted; None where they were never counted."""
    left = plants_left(planting)
    return None if left is None else left - farm.part(Tubers).of_planting.get(planting.code, 0)


def roots_of(farm: Farm, crop: str | None) -> str:
    """What of a crop lies in store, in the word of its kind: "bulbs" of tulips, "corms" of gladiolus, "tubers"."""
    return roots(farm_sheet(farm, crop) if crop else None)


def note_cut_beyond(farm: Farm, stock: Stock, entry: str) -> None:
    """More cut than came out of the cold, as two machines can write it apart, is a matter to settle."""
    if beyond := stock.cut_beyond:
        called, word = stock.called, roots_of(farm, stock.crop)
        farm.note_matter(
            f"{beyond} more of forced {called} were cut or cleared than {word} came out of the cold: correct the cut, "
            f"or write what came out with them ('force {beyond} {called} {word} out').",
            entry,
            CUT_BEYOND,
            stock.crop,
            stock.variety or "",
            amount=beyond,
        )
