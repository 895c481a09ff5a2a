"""Where stems are: the places of the shed as values, what lies in one, and both in words."""

from collections.abc import Mapping
from typing import Final, Literal, NamedTuple, TypeAlias

from core.units import plural

Form: TypeAlias = Literal["fresh", "hanging", "dry", "wired"]
"""What stems are called where they lie."""
Use: TypeAlias = Literal["fresh", "dry", "wire"]
USES: tuple[Use, ...] = ("fresh", "dry", "wire")
"""What a cut is for."""
USE_OF_FORM: Mapping[str, Use] = {"fresh": "fresh", "dry": "dry", "wired": "wire"}
"""The form in which stems are asked for -> the use for which they are cut."""
_LINE, _BOX = "line ", "box "
_FOR = "for "


class Place(str):
    """The bucket, the cooler, the bench, a line ("line 2"), a box ("box 7"), or set aside for an order ("for O014").

    A place is its name, as entries, rows and JSON have it; what it is, is asked here and nowhere else.
    """

    __slots__ = ()

    @property
    def sort(self) -> str:
        """ "line" of a line, "box" of a box, else its name."""
        return self.partition(" ")[0]

    @property
    def is_fresh(self) -> bool:
        """Whether it is the bucket or the cooler."""
        return self in FRESH_PLACES

    @property
    def is_line(self) -> bool:
        return self.startswith(_LINE)

    @property
    def is_box(self) -> bool:
        return self.startswith(_BOX)

    @property
    def is_set_aside(self) -> bool:
        """Whether what lies there was picked: it goes to nobody else."""
        return self.startswith(_FOR)

    @property
    def is_named(self) -> bool:
        """Whether a line or a box says which."""
        return self not in (_LINE, _BOX)

    @property
    def is_known(self) -> bool:
        """Whether there can be such a place in the shed."""
        return self.is_fresh or self == BENCH or self.is_line or self.is_box or self.is_set_aside

    @property
    def form(self) -> Form:
        """What stems are called there: hanging on a line, wired on the bench, dry in a box."""
        if self.is_fresh:
            return "fresh"
        if self == BENCH:
            return "wired"
        return "hanging" if self.is_line else "dry"


BUCKET: Final = Place("bucket")
COOLER: Final = Place("cooler")
FRESH_PLACES: Final = (BUCKET, COOLER)
BENCH: Final = Place("bench")


def a_box(number: int) -> Place:
    """The box of that number."""
    return Place(f"{_BOX}{number}")


class Holding(NamedTuple):
    """Stems of one lot in one place: how many, how many to a bunch (0: loose), since which day, in which form and,
    where it was said, of which grade."""

    stems: int
    per: int
    since: str
    form: Form
    grade: str = ""

    @property
    def unit(self) -> Literal["stems", "bunches", "heads"]:
        """What is counted here: "heads" when wired, "bunches" where there is a whole one, else "stems"."""
        if self.form == "wired":
            return "heads"
        return "bunches" if self.form == "dry" and self.stems >= self.per > 1 else "stems"

    @property
    def on_hand(self) -> int:
        """How many of `unit` there are; stems short of a whole bunch are not counted as one."""
        return self.stems // self.per if self.unit == "bunches" else self.stems


def place_name(place: str) -> str:
    """ "the bucket", "line 2", "box 7", "the bench"."""
    return f"the {place}" if place in (*FRESH_PLACES, BENCH) else place


def set_aside_for(code: str) -> Place:
    """Where lies what was picked for an order."""
    return Place(f"{_FOR}{code}")


def in_place(place: str) -> str:
    """ "in the bucket", "on line 2", "in box 7", "on the bench", "set aside for O014"."""
    if Place(place).is_set_aside:
        return f"set aside {place}"
    return f"{'on' if Place(place).is_line or place == BENCH else 'in'} {place_name(place)}"


def holding_text(held: Holding) -> str:
    """ "30 stems", "12 bunches of 10", "24 heads"; "10 stems too few" where more left than there was."""
    if held.stems < 0:
        return f"{-held.stems} {'heads' if held.unit == 'heads' else 'stems'} too few"
    if held.unit == "bunches":
        loose = held.stems - held.on_hand * held.per
        return f"{plural(held.on_hand, 'bunch', 'bunches')} of {held.per}" + (
            f" and {loose} loose" if loose else ""
        )
    return f"{held.stems} {held.unit}"
