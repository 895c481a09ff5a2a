"""Plants in a bed, against the worked figures of the trade notes (36 in bed)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.course import stays
from core.crops.library import crop_names, sheet
from core.crops.sheet import Sheet
from core.crops.spacing import (
    feet_for_plants,
    plants_for_feet,
    plants_per_foot,
    rows_per_bed,
)


# Plants per bed foot = rows x 12 / spacing, 36 in bed, derived in the trade notes from published spacings:
# 4 in = 27; 6 in = 12; 9 in = 5.33; 12 in = 3; 18 in = 1.33, and a 100 ft bed of each.
@pytest.mark.parametrize(
    ("spacing_in", "rows", "per_foot", "in_100_feet"),
    [(4, 9, 27, 2700), (6, 6, 12, 1200), (9, 4, 5.33, 533), (12, 3, 3, 300), (18, 2, 1.33, 133)],
)
def test_36_inch_bed(spacing_in: float, rows: int, per_foot: float, in_100_feet: int) -> None:
    assert rows_per_bed(36, spacing_in) == rows
    assert plants_per_foot(36, spacing_in) == pytest.approx(per_foot, abs=0.005)
    assert plants_for_feet(100, 36, spacing_in) == in_100_feet


def test_rows_set_by_hand() -> None:
    # Statice: 3 rows at 12 in [S85]; a netted bed that lost an outside row.
    assert plants_per_foot(36, 12, rows=3) == 3
    assert plants_for_feet(50, 36, 9, rows=3) == 200


def test_no_spacing_is_an_error() -> None:
    for call in (
        lambda: plants_per_foot(36, 0),
        lambda: rows_per_bed(0, 6),
        lambda: feet_for_plants(50, 36, -1),
    ):
        with pytest.raises(ValueError, match="above zero"):
            call()


def test_every_crop_with_a_spacing_stands_in_a_bed() -> None:
    for crop in crop_names():
        found = sheet(crop)
        assert isinstance(found, Sheet)
        if found.spacing_in is not None:
            least = 10 if stays(found) else 20  # shrubs stand 8 ft apart
            assert plants_for_feet(100, 36, found.spacing_in.value) >= least


@given(st.integers(1, 5000), st.floats(18, 60), st.floats(1, 60))
def test_the_feet_reckoned_hold_the_plants(plants: int, width_in: float, spacing_in: float) -> None:
    feet = feet_for_plants(plants, width_in, spacing_in)
    assert plants_for_feet(feet, width_in, spacing_in) >= plants
    assert plants_for_feet(max(feet - 0.2, 0), width_in, spacing_in) <= plants
