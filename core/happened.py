"""What happened to a tray, a lot, a box or a plan, and what was read or set: the typed rows of the farm's state.

Each is kept in order, the oldest first. `on` is "YYYY-MM-DD", `clock` "HH:MM" or None where it was not said. An entry
may hold a word that none of the literals here has: `core.validity` and the kinds' checks keep those out of the rows.
"""

from typing import Literal, NamedTuple, TypeAlias

from core.places import Form, Place

LostAs: TypeAlias = Form | Literal["cut"]
"""The form stems were lost in; culls are lost at the cut."""


class Moved(NamedTuple):
    """Seedlings moved on, and into cells of which size, where it was said."""

    on: str
    did: Literal["pricked out", "potted on"]
    cell_size: int | None


class Step(NamedTuple):
    """A day on the hardening ladder; a held one has its cause, a step ""."""

    on: str
    did: Literal["step", "held"]
    cause: str


class CutOf(NamedTuple):
    """Good stems of one cut, and how many the cut list had asked for; 0 where nobody says."""

    on: str
    stems: int
    asked: int


class Loss(NamedTuple):
    """Stems lost, in which form and to what."""

    on: str
    form: LostAs
    cause: str
    stems: int


class SnapTest(NamedTuple):
    """A snap test on one line ("": of all that hung); "damp" stands for what was hung out of a box."""

    on: str
    result: Literal["snaps", "bends", "damp"]
    line: Place


class Stay(NamedTuple):
    """Fresh stems came to a place."""

    place: Place
    on: str
    clock: str | None


class Hung(NamedTuple):
    """Stems went on a line."""

    on: str
    line: Place
    stems: int


class Weighed(NamedTuple):
    """A marked bunch on a line, in grams."""

    on: str
    clock: str | None
    line: Place
    grams: float


class Look(NamedTuple):
    """What was found in a box."""

    on: str
    result: Literal["sound", "moth", "damp", "mice"]


class Treated(NamedTuple):
    """How a box was rid of moths, and for how many days."""

    on: str
    how: Literal["frozen", "warmed"]
    days: float


PartForm: TypeAlias = Literal["fresh", "dry", "wired", "making"]


class PartOf(NamedTuple):
    """So many of a crop, or of a making, that a piece takes."""

    what: str
    number: float
    form: PartForm


class StemsIn(NamedTuple):
    """Stems of a lot that went into pieces."""

    lot: str
    place: Place
    stems: int


class MakingIn(NamedTuple):
    """So many of a making that went into pieces."""

    making: str
    number: float


class Sale(NamedTuple):
    """Stems of a lot, or pieces, that were sold: to whom, and for how much in all, in cents; None where no price was
    said. `order` is the code of the order that they were handed over for, "" for none."""

    on: str
    number: int
    cents: int | None
    who: str
    order: str = ""


class SownFor(NamedTuple):
    """A tray (or a planting drilled, with 0 cells) sown for a plan."""

    code: str
    on: str
    cells: int


class OutFor(NamedTuple):
    """A planting set out or drilled for a plan."""

    planting: str
    on: str
    feet: float


class PlannedFor(NamedTuple):
    """The item of an order that a plan is for, by the ids of the entries that wrote them; `asked` is how many the item
    asked for at each delivery when it was planned."""

    order: str
    order_ref: str
    item: int
    item_ref: str
    asked: int


class Settings(NamedTuple):
    """What she told of the farm as a whole; None where it was not told. Degrees north and east."""

    name: str | None = None
    latitude: float | None = None
    longitude: float | None = None
    zone: str | None = None
    wire: str | None = None
    """The standard by which her wire is sold, "SWG" or "AWG"."""
    words: str | None = None
    """"british" where the program is to speak so; else it speaks as the trade in North America does."""
    degrees: str | None = None
    """"C" or "F"; None: as her words have it."""
    lengths: str | None = None
    """"meters" or, as where it is None, "feet"."""
    hours: int | None = None
    """12 where her day is told in twice twelve hours; else it has 24."""
    winters: int | None = None
    """The zone of her winters on the USDA map of hardiness, 1 (the coldest) to 13."""


class Readings(NamedTuple):
    """What she wrote of one day's weather, degrees F and miles an hour; None for what she did not.

    `low` is that of the night before, `tonight` the low forecast for the night to come; `dusk` and `dew` are the warmth
    and the dew point after sunset, `clear` whether the sky was.
    """

    low: float | None = None
    high: float | None = None
    tonight: float | None = None
    wind: float | None = None
    dusk: float | None = None
    dew: float | None = None
    clear: bool = False


NO_READINGS = Readings()


class Station(NamedTuple):
    """The weather record brought in last: whose it is, its file in the farm's folder, its first and last day, and how
    many days of it have a low. Degrees north."""

    station: str
    file: str
    first: str
    last: str
    days: int
    name: str = ""
    latitude: float | None = None


class FrostDate(NamedTuple):
    """The day ("MM-DD") from or up to which a cold of `threshold_f` degrees has a chance of `risk_pct` %."""

    season: Literal["spring", "autumn"]
    threshold_f: float
    risk_pct: float
    month_day: str
    source: str
    """Where it comes from, in words; "" where it was typed by hand."""
    method: str = ""
    """How it was reckoned from a weather record, "weibull" or "normal"; "" where it was typed by hand."""
    own_ground: bool = False
    """Whether it was moved to her own ground by her own readings."""

    @property
    def key(self) -> tuple[str, float, float]:
        """What it is a date of: (season, threshold, risk)."""
        return self[:3]


class Risk(NamedTuple):
    """A cold, and the chance of it, %."""

    threshold_f: float
    risk_pct: float


class OwnCrop(NamedTuple):
    """A crop of the farm's own: the crop whose figures it takes where it has none itself, "" where it is like none."""

    like: str = ""


class OwnFigure(NamedTuple):
    """A figure of the farm's own sheet, as it was written."""

    value: str
    source: str


class ShedLine(NamedTuple):
    """A line of the shed: its feet; whether it hangs in the dark and has a fan, where that was said."""

    feet: float
    dark: bool | None
    fan: bool | None


class AirRead(NamedTuple):
    """A reading of a room's air, degrees F and relative humidity %."""

    on: str
    clock: str | None
    f: float | None
    rh: float | None


class AirRange(NamedTuple):
    """What a max-min thermometer reached, degrees F and relative humidity %; None where it was not read."""

    low_f: float | None
    high_f: float | None
    low_rh: float | None
    high_rh: float | None


class DryRatio(NamedTuple):
    """What a lot's marked bunch weighed fresh and dry, grams."""

    lot: str
    fresh_g: float
    dry_g: float


class ClearNight(NamedTuple):
    """Degrees F two hours after sunset, the dew point then, and the low they led to."""

    dusk_f: float
    dew_f: float
    low_f: float


class Note(NamedTuple):
    """What somebody wrote down, about what ("": about the farm)."""

    on: str
    by: str
    about: str
    text: str


class ColdNight(NamedTuple):
    """A frost as a planting felt it: the morning, and the low, F; under a cover the cover's gain is in it."""

    on: str
    f: float
