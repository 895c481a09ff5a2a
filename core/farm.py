"""The farm as it stands: what the fold builds from the entries, and what every view is reckoned from.

Only `core.fold` and the modules it calls change these values. The cached fold keeps them by the types of their fields
(`core.codec`), which therefore stand here as types and not as text.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import Any, TypeVar

from core import happened
from core.codec import from_plain
from core.order_rows import Order
from core.places import Holding, Place, Use, holding_text, in_place
from core.plan_rows import Kept, KeptPieces
from core.problems import Matter
from core.register import Register
from core.seed_rows import Packet
from core.units import ID_SHOWN

K = TypeVar("K")
P = TypeVar("P")


@dataclass(slots=True, eq=False)
class Bed:
    """A bed: its length in feet, its width in inches, and whether a cover lies on it (the day it went on)."""

    code: str
    feet: float
    width_in: float
    covered_on: str | None = None


@dataclass(slots=True, eq=False)
class Tray:
    """A sown tray, from sowing until its last plant has gone out or been lost."""

    code: str
    made_by: str
    crop: str
    variety: str | None
    way: str | None
    sown: str
    cells: int
    cell_size: int | None
    seeds: int
    up: int | None = None
    up_on: str | None = None
    alive: int = 0
    """Plants living in it now; before any are counted up, the cells sown."""
    moves: list[happened.Moved] = field(default_factory=list)
    ladder: list[happened.Step] = field(default_factory=list)
    lost: dict[str, int] = field(default_factory=dict)
    set_out: int = 0
    closed_on: str | None = None
    first_up_on: str | None = None
    """The day of the first count that found any up."""
    most_up: int = 0
    """The most that were ever counted up, those set out by then among them."""

    @property
    def is_live(self) -> bool:
        return self.closed_on is None


@dataclass(slots=True, eq=False)
class Planting:
    """A crop standing in a bed: set out from a tray, drilled there, or already standing when the book began."""

    code: str
    made_by: str
    crop: str
    variety: str | None
    way: str | None
    bed: str
    feet: float
    plants: int | None
    tray: str | None
    sown: str | None
    """When it was sown, where the book knows (tray or drill)."""
    out_on: str
    """The day it was set out or drilled."""
    drilled: bool = False
    jobs: dict[str, str] = field(default_factory=dict)
    """"pinched" / "netted" -> the day it was done."""
    lost: dict[str, int] = field(default_factory=dict)
    first_cut: str | None = None
    """Of this year, or of the last in which it was cut."""
    last_cut: str | None = None
    stems_cut: int = 0
    cleared_on: str | None = None
    cold: list[happened.ColdNight] = field(default_factory=list)
    """Nights of frost, each colder than those shortly before it."""
    most_cut: int = 0
    """The most stems of one cut."""
    lately: list[happened.CutOf] = field(default_factory=list)
    """Its last cuts, one by one, the newest last."""

    @property
    def is_live(self) -> bool:
        return self.cleared_on is None


@dataclass(slots=True, eq=False)
class Lot:
    """What was cut of one crop from one bed at one time, and where its stems are now."""

    code: str
    made_by: str
    crop: str
    variety: str | None
    bed: str
    planting: str | None
    use: Use
    cut_on: str
    cut: int
    """All stems cut, good and culled."""
    stage: str | None = None
    minutes: float | None = None
    holdings: dict[Place, Holding] = field(default_factory=dict)
    sold: int = 0
    used: int = 0
    losses: list[happened.Loss] = field(default_factory=list)
    """A count that found more than the book had stands here as a negative "miscounted"."""
    tests: list[happened.SnapTest] = field(default_factory=list)
    insisted: str | None = None
    """Why a usual refusal was overruled, in the words recorded."""
    way: str | None = None
    """The way its planting was grown: the figures of that sheet hold for it."""
    cut_at: str | None = None
    """ "HH:MM" of the cut, where it is known."""
    dry_hours: float | None = None
    """Hours the stems lay out of water before they came into the bucket, where it was said."""
    stays: dict[Place, list[happened.Stay]] = field(default_factory=dict)
    """Place the fresh stems are in now -> every stay of theirs since the cut."""
    weighings: list[happened.Weighed] = field(default_factory=list)
    """Of its marked bunch."""
    entered: dict[str, int] = field(default_factory=dict)
    """Form -> stems that ever came into it ("cut": good and culled): what losses are a share of."""
    stored: int = 0
    """Dry stems times the day they were boxed, less those gone times the day they went (days as ordinals)."""
    gauges: list[int] = field(default_factory=list)
    """Gauges its heads were ever wired with."""
    sales: list[happened.Sale] = field(default_factory=list)
    by: str = ""
    """Who wrote the cut."""
    hung: list[happened.Hung] = field(default_factory=list)
    """Every time that stems of it went on a line."""

    @property
    def lost(self) -> dict[str, int]:
        """cause -> stems lost; causes that came to nothing are left out."""
        by_cause: dict[str, int] = {}
        for loss in self.losses:
            by_cause[loss.cause] = by_cause.get(loss.cause, 0) + loss.stems
        return {cause: stems for cause, stems in by_cause.items() if stems}

    @property
    def on_hand(self) -> int:
        return sum(h.stems for h in self.holdings.values())

    @property
    def whereabouts(self) -> str:
        """ "30 stems on line 2 and 12 bunches of 10 in box 7"; empty where nothing is left."""
        return " and ".join(f"{holding_text(h)} {in_place(p)}" for p, h in self.holdings.items() if h.stems)

    @property
    def gone(self) -> int:
        return self.sold + self.used + sum(self.lost.values())

    @property
    def is_live(self) -> bool:
        """Whether it is anywhere; also where more left one place than there was, and as much lies in another."""
        return any(held.stems for held in self.holdings.values())


@dataclass(slots=True, eq=False)
class Box:
    """A box of dry stock: where it stands, whether in the light, and how it was looked after."""

    code: Place
    where: str | None = None
    light: bool | None = None
    checks: list[happened.Look] = field(default_factory=list)
    treated: list[happened.Treated] = field(default_factory=list)


@dataclass(slots=True, eq=False)
class Recipe:
    """How a piece is made on this farm."""

    code: str
    sort: str
    size_in: float | None = None
    minutes: float | None = None
    parts: list[happened.PartOf] = field(default_factory=list)
    """In the order they were written."""
    timed: int = 0
    """Pieces made of which the time was written, and the minutes they took in all."""
    took: float = 0


@dataclass(slots=True, eq=False)
class Piece:
    """Pieces of one recipe made at one time, and what went into them."""

    code: str
    made_by: str
    by: str
    """Who wrote it."""
    recipe: str
    sort: str
    made_on: str
    count: int
    minutes: float | None = None
    sold: int = 0
    lost: dict[str, int] = field(default_factory=dict)
    stems: list[happened.StemsIn] = field(default_factory=list)
    makings: list[happened.MakingIn] = field(default_factory=list)
    set_aside: dict[str, int] = field(default_factory=dict)
    """Code of an order -> pieces picked for it that are still here."""
    sales: list[happened.Sale] = field(default_factory=list)

    @property
    def on_hand(self) -> int:
        return self.count - self.sold - sum(self.lost.values())

    @property
    def free(self) -> int:
        """Those on hand that are picked for nobody."""
        return self.on_hand - sum(self.set_aside.values())

    @property
    def is_live(self) -> bool:
        return self.on_hand != 0


MOST_NEWER = 100
"""Kinds of which it is told that a newer shedbook wrote them."""


MOST_KEPT = 64
"""Reckonings kept from one question to the next, such as how a crop grows."""


@dataclass(slots=True, eq=False)
class Farm:
    """Everything the book says, as of its last entry."""

    settings: happened.Settings = field(default_factory=happened.Settings)
    frost: list[happened.FrostDate] = field(default_factory=list)
    """One for each season, threshold and risk: the last given."""
    risks: dict[str, happened.Risk] = field(default_factory=dict)
    """hardiness class -> the cold she waits for, where she has chosen it."""
    station: happened.Station | None = None
    sheets: dict[str, dict[str, happened.OwnFigure]] = field(default_factory=dict)
    """"crop" or "crop (way)" -> figure -> what the farm has for it."""
    variety_sheets: dict[str, dict[str, dict[str, happened.OwnFigure]]] = field(default_factory=dict)
    """crop -> variety in small letters -> figure -> what the farm has for it."""
    crops: dict[str, happened.OwnCrop] = field(default_factory=dict)
    """The crops of the farm's own, by name in small letters."""
    beds: dict[str, Bed] = field(default_factory=dict)
    trays: Register[Tray] = field(default_factory=Register)
    plantings: Register[Planting] = field(default_factory=Register)
    lots: Register[Lot] = field(default_factory=Register)
    plans: dict[str, Kept] = field(default_factory=dict)
    piece_plans: dict[str, KeptPieces] = field(default_factory=dict)
    """By code; those promised for a day more than two years ago are left to the entries."""
    capacity: dict[str, float] = field(default_factory=dict)
    """"lights" and "hardening" in trays, "line" in feet: those that were given."""
    makings: dict[str, float] = field(default_factory=dict)
    """wire (24 in lengths, by gauge: "wire 22"), tape (rolls) and whatever else was bought, by name."""
    reorder: dict[str, float] = field(default_factory=dict)
    """making -> the number at which it is bought again."""
    recipes: dict[str, Recipe] = field(default_factory=dict)
    pieces: Register[Piece] = field(default_factory=Register)
    orders: Register[Order] = field(default_factory=Register)
    packets: Register[Packet] = field(default_factory=Register)
    """The seed drawer."""
    lines: dict[Place, happened.ShedLine] = field(default_factory=dict)
    boxes: dict[Place, Box] = field(default_factory=dict)
    """Those that were described or looked into."""
    air: dict[str, list[happened.AirRead]] = field(default_factory=dict)
    """room -> its readings in order; the newest 400."""
    air_ranges: dict[str, dict[str, happened.AirRange]] = field(default_factory=dict)
    """room -> day -> what the thermometer reached since its last reset; of 60 days."""
    dry_ratios: dict[str, list[happened.DryRatio]] = field(default_factory=dict)
    """crop -> its weighed bunches; the newest 20."""
    weather: dict[str, happened.Readings] = field(default_factory=dict)
    """By day, of 60 days."""
    nights: dict[str, happened.ClearNight] = field(default_factory=dict)
    """By the day of the evening."""
    notes: list[happened.Note] = field(default_factory=list)
    """The last 30."""
    codes: dict[str, int] = field(default_factory=dict)
    """Highest number given so far to a tray ("S"), planting ("P"), lot ("L"), pieces ("M"), plan ("N"), order ("O"),
    packet of seed ("K")."""
    varieties: dict[str, list[str]] = field(default_factory=dict)
    """crop -> varieties and colors ever written for it."""
    causes: dict[str, int] = field(default_factory=dict)
    """cause of a loss -> how often it was written."""
    last_loss: dict[str, str] = field(default_factory=dict)
    """cause of a loss -> the day it was last written for."""
    given_twice: bool = False
    """Whether machines apart ever gave one code to two things."""
    last_lot: str | None = None
    count: int = 0
    """Entries folded, struck ones and strikes included."""
    last_on: str = ""
    matters: list[Matter] = field(default_factory=list)
    """What does not add up and wants settling, never resolved by guess."""
    newer: dict[str, str] = field(default_factory=dict)
    """kind -> id of the first entry of it that a newer shedbook wrote, with fields or of a kind unknown to this one."""

    _about: Counter[tuple[str, ...]] = field(default_factory=Counter, init=False, repr=False, compare=False)
    _counted: int = field(default=0, init=False, repr=False, compare=False)
    in_plans: set[str] | None = field(default=None, init=False, repr=False, compare=False)
    """Codes of the trays and plantings that fill a plan; None until somebody asks (core.plans.kinds)."""
    own: dict[str, Any] = field(default_factory=dict)
    """What subjects keep in types of their own, by the name of the type: as the cached fold has it until asked."""

    def part(self, of: type[P]) -> P:
        """What a subject keeps in a type of its own: one that can be made without arguments, and kept by `codec`."""
        name = f"{of.__module__}.{of.__qualname__}"
        kept = self.own.get(name)
        if not isinstance(kept, of):
            self.own[name] = kept = of() if kept is None else from_plain(of, kept)
        return kept

    def kept(self, reckon: Callable[..., K], *of: object) -> K:
        """What `reckon` makes of the farm and of these figures, which takes time: once, until something is written."""
        found: K = _kept(self, self.count, reckon, of)
        return found

    def weather_on(self, day: date) -> happened.Readings:
        """What was read of that day's weather."""
        return self.weather.get(day.isoformat(), happened.NO_READINGS)

    @property
    def own_crops(self) -> tuple[str, ...]:
        """The names of the crops of the farm's own."""
        return tuple(self.crops)

    def standing_in(self, bed: str) -> list[Planting]:
        """The plantings that stand in a bed today, oldest first."""
        return [p for p in self.plantings.live() if p.bed == bed]

    def note_variety(self, crop: str, variety: str | None) -> None:
        """Remember a variety or color that was written for a crop."""
        if variety and variety not in self.varieties.setdefault(crop, []):
            self.varieties[crop].append(variety)

    def note_cause(self, cause: str, on: str) -> None:
        """Count a cause of loss, so that the usual ones are offered first, and when it was last seen."""
        self.causes[cause] = self.causes.get(cause, 0) + 1
        self.last_loss[cause] = max(on, self.last_loss.get(cause, ""))

    def note_matter(self, sentence: str, entry: str, *about: str, amount: float = 0) -> None:
        """Something about the things named does not add up, by the fault of an entry; `about` begins with its sort."""
        self._open_matters()[about] += 1
        self._counted += 1
        self.matters.append(Matter(sentence, "settle", entry=entry, key=(*about, entry), amount=amount))

    def note_unknown(self, what: str, code: str, entry: str) -> None:
        """An entry speaks of something that the book does not have; `what` it would be is its sort."""
        self.note_matter(
            f"Entry {entry[-ID_SHOWN:]} speaks of {what} {code}, which the book does not have: 'history {code}' tells "
            "whether it was taken back, and how it is restored.",
            entry,
            f"no {what}",
            code,
        )

    def note_newer(self, kind: str, entry: str) -> None:
        """An entry of a newer shedbook: told once for each kind, and of no more kinds than a person would read."""
        if kind not in self.newer and len(self.newer) < MOST_NEWER:
            self.newer[kind] = entry

    def settle(self, *about: str, entry: str = "") -> None:
        """All of that sort about these things is settled, or only what is the fault of one entry."""
        if self._open_matters().pop(about, 0):
            self.matters = [m for m in self.matters if m.key[:-1] != about or (entry and m.entry != entry)]
            self._counted = -1 if entry else len(self.matters)

    def _open_matters(self) -> Counter[tuple[str, ...]]:
        """How many matters there are by what they are about: a book may hold thousands, and thousands that settle."""
        if self._counted != len(self.matters):  # the list was made anew
            self._about = Counter(matter.key[:-1] for matter in self.matters)
            self._counted = len(self.matters)
        return self._about


@lru_cache(maxsize=MOST_KEPT)
def _kept(farm: Farm, _count: int, reckon: Callable[..., Any], of: tuple[object, ...]) -> Any:
    return reckon(farm, *of)
