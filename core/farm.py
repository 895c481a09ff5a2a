"""The farm as it stands: what the fold builds from the entries, and what every view is reckoned from.

Only `core.fold` and the modules it calls change these values. All fields are JSON values, so that the cached
fold is a plain file.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Any, Generic, NamedTuple, Protocol, TypeAlias, TypeVar

from core.codec import from_plain
from core.problems import Matter

USES = ("fresh", "dry", "wire")
"""What a cut is for."""
BUCKET = "bucket"
COOLER = "cooler"
FRESH_PLACES = (BUCKET, COOLER)
BENCH = "bench"
LINE = "line "
BOX = "box "


def form_in(place: str) -> str:
    """What stems are called in a place: fresh in the bucket and the cooler, hanging on a line, wired on the bench,
    else dry."""
    if place in FRESH_PLACES:
        return "fresh"
    if place == BENCH:
        return "wired"
    return "hanging" if place.startswith(LINE) else "dry"


class Holding(NamedTuple):
    """Stems of one lot in one place: how many, how many to a bunch (0: loose), since which day, in which form and,
    where it was said, of which grade."""

    stems: int
    per: int
    since: str
    form: str
    grade: str = ""

    @property
    def unit(self) -> str:
        """What is counted here: "heads" when wired, "bunches" where there is a whole one, else "stems"."""
        if self.form == "wired":
            return "heads"
        return "bunches" if self.form == "dry" and self.stems >= self.per > 1 else "stems"

    @property
    def on_hand(self) -> int:
        """How many of `unit` there are; stems short of a whole bunch are not counted as one."""
        return self.stems // self.per if self.unit == "bunches" else self.stems


@dataclass(slots=True)
class Bed:
    """A bed: its length in feet, its width in inches, and whether a cover lies on it (the day it went on)."""

    code: str
    feet: float
    width_in: float
    covered_on: str | None = None


@dataclass(slots=True)
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
    moves: list[list[Any]] = field(default_factory=list)
    """[day, "pricked out" | "potted on", cell size or None], in order."""
    ladder: list[list[str]] = field(default_factory=list)
    """[day, "step" | "held", cause or ""], in order."""
    lost: dict[str, int] = field(default_factory=dict)
    set_out: int = 0
    closed_on: str | None = None

    @property
    def is_live(self) -> bool:
        return self.closed_on is None


@dataclass(slots=True)
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
    cold: list[list[Any]] = field(default_factory=list)
    """[morning, low F as felt under a cover or none] of nights of frost, each colder than those shortly before it."""

    @property
    def is_live(self) -> bool:
        return self.cleared_on is None


@dataclass(slots=True)
class Lot:
    """What was cut of one crop from one bed at one time, and where its stems are now."""

    code: str
    made_by: str
    crop: str
    variety: str | None
    bed: str
    planting: str | None
    use: str
    cut_on: str
    cut: int
    """All stems cut, good and culled."""
    stage: str | None = None
    minutes: float | None = None
    holdings: dict[str, Holding] = field(default_factory=dict)
    """place -> what is there."""
    sold: int = 0
    used: int = 0
    losses: list[list[Any]] = field(default_factory=list)
    """[day, form they were lost in ("cut" for culls), cause, stems], in order; a count that found more than the book
    had stands here as a negative "miscounted"."""
    tests: list[list[str]] = field(default_factory=list)
    """[day, "snaps" | "bends", the line or "" for all that hung], in order; "damp" is what was hung out of a box."""
    insisted: str | None = None
    """Why a usual refusal was overruled, in the words recorded."""
    way: str | None = None
    """The way its planting was grown: the figures of that sheet hold for it."""
    cut_at: str | None = None
    """ "HH:MM" of the cut, where it is known."""
    dry_hours: float | None = None
    """Hours the stems lay out of water before they came into the bucket, where it was said."""
    stays: dict[str, list[list[Any]]] = field(default_factory=dict)
    """Place the fresh stems are in now -> [place, day, "HH:MM" or None] of every stay since the cut, in order."""
    weighings: list[list[Any]] = field(default_factory=list)
    """[day, "HH:MM" or None, place, grams] of its marked bunch, in order."""
    entered: dict[str, int] = field(default_factory=dict)
    """Form -> stems that ever came into it ("cut": good and culled): what losses are a share of."""
    stored: int = 0
    """Dry stems times the day they were boxed, less those gone times the day they went (days as ordinals)."""
    gauges: list[int] = field(default_factory=list)
    """Gauges its heads were ever wired with."""

    @property
    def lost(self) -> dict[str, int]:
        """cause -> stems lost; causes that came to nothing are left out."""
        by_cause: dict[str, int] = {}
        for _, _, cause, stems in self.losses:
            by_cause[cause] = by_cause.get(cause, 0) + stems
        return {cause: stems for cause, stems in by_cause.items() if stems}

    @property
    def on_hand(self) -> int:
        return sum(h.stems for h in self.holdings.values())

    @property
    def gone(self) -> int:
        return self.sold + self.used + sum(self.lost.values())

    @property
    def is_live(self) -> bool:
        return self.on_hand != 0


@dataclass(slots=True)
class Box:
    """A box of dry stock: where it stands, whether in the light, and how it was looked after."""

    code: str
    where: str | None = None
    light: bool | None = None
    checks: list[list[str]] = field(default_factory=list)
    """[day, "sound" | "moth" | "damp" | "mice"], in order."""
    treated: list[list[Any]] = field(default_factory=list)
    """[day, "frozen" | "warmed", days], in order."""


@dataclass(slots=True)
class Recipe:
    """How a piece is made on this farm."""

    code: str
    sort: str
    size_in: float | None = None
    minutes: float | None = None
    parts: list[list[Any]] = field(default_factory=list)
    """[what, count, "fresh" | "dry" | "wired" | "making"], in the order they were written."""
    timed: int = 0
    """Pieces made of which the time was written, and the minutes they took in all."""
    took: float = 0


@dataclass(slots=True)
class Piece:
    """Pieces of one recipe made at one time, and what went into them."""

    code: str
    made_by: str
    recipe: str
    sort: str
    made_on: str
    count: int
    minutes: float | None = None
    sold: int = 0
    lost: dict[str, int] = field(default_factory=dict)
    stems: list[list[Any]] = field(default_factory=list)
    """[lot, place, stems] that went into all of them."""
    makings: list[list[Any]] = field(default_factory=list)
    """[making, count] that went into all of them."""

    @property
    def on_hand(self) -> int:
        return self.count - self.sold - sum(self.lost.values())

    @property
    def is_live(self) -> bool:
        return self.on_hand != 0


@dataclass(slots=True)
class Kept:
    """A plan as it was kept, and what has been done of it so far.

    Days are "YYYY-MM-DD". A crop drilled in the bed has no `set_out_on`, one only planted no `sow_on`.
    """

    code: str
    made_by: str
    made_on: str
    crop: str
    variety: str | None
    way: str | None
    use: str
    stems: int
    by: str
    sow_on: str | None = None
    set_out_on: str | None = None
    cut_from: str | None = None
    cells: int | None = None
    seeds: int | None = None
    plants: int | None = None
    feet: float | None = None
    bed: str | None = None
    dropped_on: str | None = None
    sown: list[list[Any]] = field(default_factory=list)
    """[tray or planting code, day, cells], in order."""
    out: list[list[Any]] = field(default_factory=list)
    """[planting code, day, feet], in order."""
    first_cut: str | None = None
    stems_cut: int = 0
    cell_size: int | None = None
    """Cells to a tray, where another size was asked for than the one that suits the crop."""

    @property
    def is_live(self) -> bool:
        return self.dropped_on is None


T = TypeVar("T", Tray, Planting, Lot, Piece)
P = TypeVar("P")
Numbered: TypeAlias = tuple[int, T]
"""An item and the how-manieth it was of its kind to be made, in the order of the fold."""


class Finished(Protocol[T]):
    """What was finished when a cached fold was made, kept out of the way until somebody asks for it."""

    def get(self, code: str) -> Numbered[T] | None:
        """The one with that code."""

    def all(self) -> dict[str, Numbered[T]]:
        """All of them, by code."""


class Register(Generic[T]):
    """Trays, plantings, lots or pieces by code; what is finished is read only when somebody asks for it.

    `made` counts all that were ever added.
    """

    def __init__(
        self, items: dict[str, Numbered[T]] | None = None, made: int = 0, finished: Finished[T] | None = None
    ) -> None:
        self.made = made
        self.finished: Finished[T] | None = finished
        self._items: dict[str, Numbered[T]] = {} if items is None else items
        self._in_order = True

    def get(self, code: str) -> T | None:
        """The one with that code, finished or not."""
        if (here := self._items.get(code)) is not None:
            return here[1]
        if self.finished is None or (found := self.finished.get(code)) is None:
            return None
        self._items[code] = found  # it is being spoken of again
        self._in_order = False
        return found[1]

    def add(self, code: str, item: T) -> None:
        """A new one; nothing has that code yet."""
        self._items[code] = (self.made, item)
        self.made += 1

    def live(self) -> Iterator[T]:
        """Those not finished, in the order they were made."""
        return (item for _, item in self.at_hand().values() if item.is_live)

    def all(self) -> list[T]:
        """Every one there ever was, in the order they were made."""
        if self.finished is None:
            return [item for _, item in self.at_hand().values()]
        every = {**self.finished.all(), **self._items}
        return [item for _, item in sorted(every.values(), key=_number)]

    def at_hand(self) -> dict[str, Numbered[T]]:
        """Those that are not among the finished, or were spoken of since, in the order they were made."""
        if not self._in_order:
            self._items = dict(sorted(self._items.items(), key=lambda named: named[1][0]))
            self._in_order = True
        return self._items


_number = itemgetter(0)


MOST_NEWER = 100
"""Kinds of which it is told that a newer shedbook wrote them."""


@dataclass(slots=True)
class Farm:
    """Everything the book says, as of its last entry."""

    settings: dict[str, Any] = field(default_factory=dict)
    """name, latitude, longitude, zone: those that were given."""
    frost: list[list[Any]] = field(default_factory=list)
    """[season, threshold F, risk %, "MM-DD", source or ""]; one for each (season, threshold, risk): the last given."""
    risks: dict[str, list[float]] = field(default_factory=dict)
    """hardiness class -> [threshold F, risk %]: the cold she waits for, where she has chosen it."""
    station: dict[str, Any] = field(default_factory=dict)
    """The weather record brought in last: station, file, first, last, days and perhaps name and latitude."""
    sheets: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    """"crop" or "crop (way)" -> figure -> [value, source]."""
    beds: dict[str, Bed] = field(default_factory=dict)
    trays: Register[Tray] = field(default_factory=Register)
    plantings: Register[Planting] = field(default_factory=Register)
    lots: Register[Lot] = field(default_factory=Register)
    plans: dict[str, Kept] = field(default_factory=dict)
    """By code; those promised for a day more than two years ago are left to the entries."""
    capacity: dict[str, float] = field(default_factory=dict)
    """"lights" and "hardening" in trays, "line" in feet: those that were given."""
    makings: dict[str, float] = field(default_factory=dict)
    """wire (24 in lengths, by gauge: "wire 22"), tape (rolls) and whatever else was bought, by name."""
    reorder: dict[str, float] = field(default_factory=dict)
    """making -> the number at which it is bought again."""
    recipes: dict[str, Recipe] = field(default_factory=dict)
    pieces: Register[Piece] = field(default_factory=Register)
    lines: dict[str, list[Any]] = field(default_factory=dict)
    """ "line 2" -> [feet, dark or None, fan or None]."""
    boxes: dict[str, Box] = field(default_factory=dict)
    """By name ("box 7"): those that were described or looked into."""
    air: dict[str, list[list[Any]]] = field(default_factory=dict)
    """room -> [day, "HH:MM" or None, F or None, RH % or None] of readings, in order; the newest 400."""
    air_ranges: dict[str, dict[str, list[Any]]] = field(default_factory=dict)
    """room -> day -> [low F, high F, low RH %, high RH %] since the last reset, None where not read; of 60 days."""
    dry_ratios: dict[str, list[list[Any]]] = field(default_factory=dict)
    """crop -> [lot, grams fresh, grams dry] of weighed bunches; the newest 20."""
    weather: dict[str, dict[str, float]] = field(default_factory=dict)
    """day -> {"low": F, "high": F, "tonight": F, "wind": mph, "dusk" and "dew": F, "clear": 0 or 1}; of 60 days."""
    nights: dict[str, list[float]] = field(default_factory=dict)
    """evening of a clear night -> [F two hours after sunset, dew point F, low F of the next morning]."""
    notes: list[list[str]] = field(default_factory=list)
    """[day, by, about or "", text]; the last 30."""
    codes: dict[str, int] = field(default_factory=dict)
    """Highest number given so far to a tray ("S"), planting ("P"), lot ("L"), pieces ("M") and plan ("N")."""
    varieties: dict[str, list[str]] = field(default_factory=dict)
    """crop -> varieties and colours ever written for it."""
    causes: dict[str, int] = field(default_factory=dict)
    """cause of a loss -> how often it was written."""
    last_loss: dict[str, str] = field(default_factory=dict)
    """cause of a loss -> the day it was last written for."""
    last_lot: str | None = None
    count: int = 0
    """Entries folded, struck ones and strikes included."""
    last_on: str = ""
    matters: list[Matter] = field(default_factory=list)
    """What does not add up and wants settling, never resolved by guess."""
    newer: dict[str, str] = field(default_factory=dict)
    """kind -> id of the first entry of it that a newer shedbook wrote, with fields or of a kind unknown to this one."""

    own: dict[str, Any] = field(default_factory=dict)
    """What subjects keep in types of their own, by the name of the type: as the cached fold has it until asked."""

    def part(self, of: type[P]) -> P:
        """What a subject keeps in a type of its own: one that can be made without arguments, and kept by `codec`."""
        name = f"{of.__module__}.{of.__qualname__}"
        kept = self.own.get(name)
        if not isinstance(kept, of):
            self.own[name] = kept = of() if kept is None else from_plain(of, kept)
        return kept

    def note_variety(self, crop: str, variety: str | None) -> None:
        """Remember a variety or colour that was written for a crop."""
        if variety and variety not in self.varieties.setdefault(crop, []):
            self.varieties[crop].append(variety)

    def note_cause(self, cause: str, on: str) -> None:
        """Count a cause of loss, so that the usual ones are offered first, and when it was last seen."""
        self.causes[cause] = self.causes.get(cause, 0) + 1
        self.last_loss[cause] = max(on, self.last_loss.get(cause, ""))

    def note_matter(self, sentence: str, entry: str, *about: str, amount: float = 0) -> None:
        """Something about the things named does not add up, by the fault of an entry; `about` begins with its sort."""
        self.matters.append(Matter(sentence, "settle", entry=entry, key=(*about, entry), amount=amount))

    def note_newer(self, kind: str, entry: str) -> None:
        """An entry of a newer shedbook: told once for each kind, and of no more kinds than a person would read."""
        if kind not in self.newer and len(self.newer) < MOST_NEWER:
            self.newer[kind] = entry

    def settle(self, *about: str) -> None:
        """All of that sort about these things is settled: she has counted what is really there."""
        self.matters = [matter for matter in self.matters if matter.key[: len(about)] != about]


def same(name: str, ref: str | None, register: Register[T]) -> T | None:
    """The item called `name`; `ref`, the id of the entry that made it, settles it where a code was given twice.

    Of codes given twice the later ends with a prime, and which is the later may change with what a merge brings.
    None where nothing of that code was made by `ref`: another's is not taken for it.
    """
    item = register.get(name)
    if not ref or (item is not None and item.made_by == ref):
        return item
    code = name.rstrip("'")
    while (other := register.get(code)) is not None:
        if other.made_by == ref:
            return other
        code += "'"
    return None
