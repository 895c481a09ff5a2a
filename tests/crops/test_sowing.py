"""Seeds and trays for the plants wanted, against worked figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.library import sheet
from core.crops.sheet import Figure, Sheet
from core.crops.sowing import Sowing, seeds_to_sow, sowing_for
from core.problems import Problem


def the_sheet(crop: str) -> Sheet:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    return found


def test_300_plants_at_80_and_90_percent() -> None:
    # Worked in the trade notes: 300 / (0.80 x 0.90) = 416.7, sow 417, which is 6 trays of 72 (432 cells).
    sowing = seeds_to_sow(300, germination=0.80, survival=0.90, cells_per_tray=72)
    assert isinstance(sowing, Sowing)
    assert (sowing.seeds, sowing.trays, sowing.cells) == (417, 6, 432)
    assert sowing.because == "300 plants / (0.8 x 0.9) = 417 seeds, 6 trays of 72 (432 cells)"


def test_a_quotient_that_comes_out_whole_gains_no_seed() -> None:
    sowing = seeds_to_sow(72, germination=0.8, survival=0.9, cells_per_tray=50)
    assert isinstance(sowing, Sowing)
    assert (sowing.seeds, sowing.trays) == (100, 2)


def test_stock_is_sown_for_doubles() -> None:
    # Only 50-60 % of ordinary stock seedlings are doubles, the saleable kind [S98]: at 50 %, twice the seed.
    sowing = sowing_for(the_sheet("stock"), 100, germination=0.8, survival=1.0, cells_per_tray=128)
    assert isinstance(sowing, Sowing)
    assert sowing.seeds == 250
    assert "x 0.5" in sowing.because


def test_grams_where_seeds_a_gram_are_known() -> None:
    # Ammi about 1,150 seeds a gram [S143]; zinnia 70-210 [S94] (2,000-6,000 an ounce of 28.35 g).
    ammi = sowing_for(the_sheet("ammi"), 920, germination=0.8, survival=1.0, cells_per_tray=98)
    assert isinstance(ammi, Sowing)
    assert (ammi.seeds, ammi.grams) == (1150, (1.0, 1.0))
    zinnia = seeds_to_sow(
        210, germination=1, survival=1, cells_per_tray=72, seeds_per_gram=the_sheet("zinnia").seeds_per_gram
    )
    assert isinstance(zinnia, Sowing)
    assert zinnia.grams == (1.0, 3.0)
    nothing_known = sowing_for(the_sheet("yarrow"), 10, germination=1, survival=1, cells_per_tray=72)
    assert isinstance(nothing_known, Sowing)
    assert nothing_known.grams is None


def test_several_seeds_to_a_cell() -> None:
    # Bunny tail grass: 4-6 seeds to a plug.
    sowing = seeds_to_sow(500, germination=1, survival=1, cells_per_tray=50, seeds_per_cell=5)
    assert isinstance(sowing, Sowing)
    assert (sowing.seeds, sowing.trays) == (500, 2)


@pytest.mark.parametrize(("germination", "survival"), [(0, 0.9), (1.2, 0.9), (0.8, -0.1), (80, 90)])
def test_shares_that_cannot_be(germination: float, survival: float) -> None:
    assert isinstance(
        seeds_to_sow(10, germination=germination, survival=survival, cells_per_tray=72), Problem
    )


def test_counts_that_cannot_be() -> None:
    assert isinstance(seeds_to_sow(0, germination=0.8, survival=0.9, cells_per_tray=72), Problem)
    assert isinstance(seeds_to_sow(10, germination=0.8, survival=0.9, cells_per_tray=0), Problem)


@given(
    st.integers(1, 50_000),
    st.floats(0.05, 1),
    st.floats(0.05, 1),
    st.sampled_from([32, 50, 72, 98, 128, 162, 200, 288]),
    st.tuples(st.integers(10, 400), st.integers(400, 7000)),
)
def test_what_is_sown_is_enough_and_not_a_seed_more(
    plants: int, germination: float, survival: float, cells: int, per_gram: tuple[int, int]
) -> None:
    sowing = seeds_to_sow(
        plants,
        germination=germination,
        survival=survival,
        cells_per_tray=cells,
        seeds_per_gram=Figure(per_gram, "from memory"),
    )
    assert isinstance(sowing, Sowing)
    keep = germination * survival
    assert sowing.seeds * keep >= plants - 1e-3
    assert (sowing.seeds - 1) * keep < plants
    assert sowing.cells - cells < sowing.seeds <= sowing.cells
    assert sowing.grams is not None
    assert sowing.grams[0] <= sowing.grams[1]
