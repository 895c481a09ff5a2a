"""How many plants a bed holds: plants per bed foot = rows x 12 / spacing in the row."""

from __future__ import annotations

from math import ceil, floor


def rows_per_bed(bed_width_in: float, spacing_in: float) -> int:
    """Rows as far apart as the plants in them: the whole part of width / spacing, and one row at least.

    Netted beds often lose an outside row. A spacing that is not above zero is a ValueError.
    """
    _above_zero(bed_width_in, spacing_in)
    # A width that is a whole number of spacings must not lose a row to rounding (36 / 0.1).
    return max(1, floor(bed_width_in / spacing_in + 1e-9))


def plants_per_foot(bed_width_in: float, spacing_in: float, rows: int | None = None) -> float:
    """Plants in one foot of bed, at `spacing_in` inches in the row; `rows` where they are set by hand."""
    _above_zero(bed_width_in, spacing_in)
    count = rows_per_bed(bed_width_in, spacing_in) if rows is None else rows
    return count * 12 / spacing_in


def plants_for_feet(feet: float, bed_width_in: float, spacing_in: float, rows: int | None = None) -> int:
    """Whole plants that `feet` of bed hold."""
    return floor(feet * plants_per_foot(bed_width_in, spacing_in, rows) + 1e-9)


def feet_for_plants(plants: int, bed_width_in: float, spacing_in: float) -> float:
    """Feet of bed that `plants` take, up to the next tenth of a foot."""
    return ceil(plants * 10 / plants_per_foot(bed_width_in, spacing_in) - 1e-9) / 10


def _above_zero(*sizes_in: float) -> None:
    if min(sizes_in) <= 0:
        raise ValueError("a width or spacing must be above zero inches")
