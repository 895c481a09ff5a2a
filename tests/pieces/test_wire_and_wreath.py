"""Wire and rings: gauges against the standards and two suppliers' tables, pieces against published recipes."""

from __future__ import annotations

import pytest

from core.pieces.recipes import LIBRARY, ROLES, library_called
from core.problems import Problem
from core.reckon.wire_gauges import SWG_MM, awg_mm, gauge_text, wire_mm
from core.reckon.wreath import Crown, Wreath, crown, wreath

AWG_TABLE = {16: 1.29, 18: 1.02, 20: 0.81, 22: 0.64, 24: 0.51, 26: 0.40, 28: 0.32}
"""ASTM B258 as printed to two places."""
BY_SWG = {18: 1.25, 20: 0.90, 22: 0.70, 24: 0.60, 26: 0.46, 28: 0.38}
"""One supplier's table of florist wire, mm [S77]."""
BY_AWG = {16: 1.29, 18: 1.02, 20: 0.81, 22: 0.64}
"""Another's [S78]."""


def test_awg_is_the_formula_of_the_standard() -> None:
    assert awg_mm(36) == pytest.approx(0.127)  # both ends of the series, by definition (ASTM B258)
    assert awg_mm(0) == pytest.approx(0.127 * 92 ** (36 / 39))
    for gauge, mm in AWG_TABLE.items():
        assert round(awg_mm(gauge), 2) == mm


def test_swg_is_the_table_of_the_standard() -> None:
    in_inches = {16: 0.064, 18: 0.048, 20: 0.036, 22: 0.028, 24: 0.022, 26: 0.018, 28: 0.0148}
    """BS 3737, inches."""
    for gauge, inches in in_inches.items():
        assert SWG_MM[gauge] == pytest.approx(inches * 25.4, abs=0.0006)


def test_the_two_suppliers_sell_by_different_standards() -> None:
    for gauge, mm in BY_SWG.items():
        swg, awg = SWG_MM[gauge], awg_mm(gauge)
        assert abs(swg - mm) <= 0.045  # the widest of the spread in that table: gauge 24 sold as 0.60
        assert abs(swg - mm) < abs(awg - mm)
    for gauge, mm in BY_AWG.items():
        assert abs(awg_mm(gauge) - mm) <= 0.005 < abs(SWG_MM[gauge] - mm)


def test_a_thinner_wire_has_a_higher_number_by_both() -> None:
    for by in (SWG_MM.__getitem__, awg_mm):
        thickness = [by(gauge) for gauge in sorted(SWG_MM)]
        assert thickness == sorted(thickness, reverse=True)


def test_a_gauge_is_shown_with_its_standard_and_mm() -> None:
    assert gauge_text(22, "SWG") == "22 gauge SWG, 0.71 mm"
    assert gauge_text(22, "AWG") == "22 gauge AWG, 0.64 mm"
    assert gauge_text(22) == "22 gauge: 0.71 mm if SWG, 0.64 mm if AWG"
    assert gauge_text(99) == "99 gauge"


def test_what_is_no_florist_wire_is_refused() -> None:
    refused = wire_mm(4, "SWG")
    assert isinstance(refused, Problem) and "16" in refused.sentence and "30" in refused.sentence


@pytest.mark.parametrize(
    ("ring", "pieces", "bunches"), [(10, 100, 10), (12, 120, 12), (14, 140, 14), (18, 180, 18)]
)
def test_a_ring_takes_pieces_by_its_circumference(ring: float, pieces: int, bunches: int) -> None:
    """10 in: 100 pieces, 10 bunches [S74]; the larger rings derived from it."""
    found = wreath(ring)
    assert isinstance(found, Wreath)
    assert (found.pieces, found.bunches, found.pieces_per_bunch) == (pieces, bunches, 10)
    assert found.pieces / found.circumference_in == pytest.approx(3.18, abs=0.01)


@pytest.mark.parametrize(
    ("length", "sprigs"), [(22, (25, 40)), (24, (25, 40)), (20, (23, 36)), (26, (27, 43))]
)
def test_a_crown_takes_sprigs_by_its_length(length: float, sprigs: tuple[int, int]) -> None:
    found = crown(length)
    assert isinstance(found, Crown) and found.sprigs == sprigs


@pytest.mark.parametrize(
    "refused", [wreath(0), wreath(-3), wreath(200), wreath(float("nan")), crown(3), crown(99)]
)
def test_sizes_that_are_none_are_refused_in_one_sentence(refused: object) -> None:
    assert isinstance(refused, Problem) and ". " not in refused.sentence


def test_the_library_holds_the_usual_numbers() -> None:
    """Common practice: stems of each piece, least and most."""
    usual = {
        "boutonniere": [(1, 1), (2, 3)],
        "corsage": [(3, 5), (5, 8)],
        "crown": [(25, 40)],
        "wreath": [(100, 100)],
        "bridal bouquet": [(30, 50)],
        "bridesmaid bouquet": [(15, 25)],
        "market bouquet": [(10, 16)],
        "centerpiece": [(15, 25)],
    }
    for name, counts in usual.items():
        stems = [(p.least, p.most) for p in LIBRARY[name].parts if p.form != "making"]
        assert stems == counts
    for recipe in LIBRARY.values():
        assert recipe.source and recipe.minutes > 0
        assert all(part.least <= part.begins <= part.most for part in recipe.parts)


def test_a_library_recipe_is_found_by_its_name() -> None:
    found = library_called("market-bouquet")
    assert found is not None and found.name == "market bouquet"
    assert library_called("bridal") is LIBRARY["bridal bouquet"]
    assert library_called("b") is None and library_called("") is None


def test_a_crop_has_one_role_and_is_a_crop() -> None:
    from core.crops.library import crop_names

    crops = [crop for named in ROLES.values() for crop in named]
    assert len(crops) == len(set(crops))
    assert set(crops) <= set(crop_names())
