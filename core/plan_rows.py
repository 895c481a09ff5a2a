"""The typed rows of plans in the state: a plan as it was kept, and pieces planned for a day."""

from dataclasses import dataclass, field

from core import happened
from core.places import Use


@dataclass(slots=True, eq=False)
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
    use: Use
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
    sown: list[happened.SownFor] = field(default_factory=list)
    out: list[happened.OutFor] = field(default_factory=list)
    first_cut: str | None = None
    stems_cut: int = 0
    cell_size: int | None = None
    """Cells to a tray, where another size was asked for than the one that suits the crop."""
    part_of: str | None = None
    """The plan of pieces that it grows stems for."""
    beside: list[happened.OutFor] = field(default_factory=list)
    """Plantings that stood when it was made and give a part of its stems."""
    serves: happened.PlannedFor | None = None
    """The item of an order that it is for; None: no order."""

    @property
    def is_live(self) -> bool:
        return self.dropped_on is None


@dataclass(slots=True, eq=False)
class KeptPieces:
    """Pieces planned for a day; what is to be grown for them are plans that say `part_of`.

    `there` are the stems dried already that they count on, `made` the pieces made of it since.
    """

    code: str
    made_by: str
    made_on: str
    recipe: str
    sort: str
    count: int
    by: str
    size_in: float | None = None
    there: int = 0
    made: int = 0
    dropped_on: str | None = None
    serves: happened.PlannedFor | None = None
    """As of `Kept`."""

    @property
    def is_live(self) -> bool:
        return self.dropped_on is None
