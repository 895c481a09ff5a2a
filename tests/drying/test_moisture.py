"""Wet and dry basis against published figures."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.drying.moisture import (
    DryBasis,
    WetBasis,
    dry_basis,
    dry_basis_from_wet,
    final_weight,
    moisture_left,
    wet_basis,
    wet_basis_from_dry,
)
from core.reckon.drying.ratio import LIBRARY, dry_ratio
from tui.cli import main


def test_wet_basis_into_dry_basis() -> None:
    """Mdb = Mwb / (1 - Mwb): 75 % wet is 3.0 dry, 11 % wet is 0.1236 dry."""
    assert dry_basis_from_wet(WetBasis(0.75)) == pytest.approx(3.0)
    assert dry_basis_from_wet(WetBasis(0.11)) == pytest.approx(0.1236, abs=5e-5)
    assert wet_basis_from_dry(DryBasis(3.0)) == pytest.approx(0.75)


def test_the_weight_that_is_left() -> None:
    """wardlab.com: 2 t at 75 % come to 0.59 t at 15 %; in the same way 1000 g at 75 % come to 280.9 g at 11 %."""
    assert final_weight(2, WetBasis(0.75), WetBasis(0.15)) == pytest.approx(0.59, abs=0.005)
    assert final_weight(1000, WetBasis(0.75), WetBasis(0.11)) == pytest.approx(280.9, abs=0.05)


def test_annual_chrysanthemum_keeps_12_to_15_percent_of_its_weight() -> None:
    """S52: 87.4 to 88.8 % water fresh, 9.2 to 15.7 % dry (wet basis)."""
    assert final_weight(1.0, WetBasis(0.888), WetBasis(0.092)) == pytest.approx(0.123, abs=0.0005)
    assert final_weight(1.0, WetBasis(0.874), WetBasis(0.157)) == pytest.approx(0.149, abs=0.0005)


def test_strawflower_keeps_about_a_fifth() -> None:
    """S51: it lost 81.22 % in silica, so 5.3 to 1; the range of the library holds that."""
    left = 1 - 0.8122
    assert 1 / left == pytest.approx(5.3, abs=0.05)
    (least, most), source = LIBRARY["strawflower"]
    assert least < left < most and "S51" in source


def test_her_own_lots_stand_beside_the_published_share_and_then_in_its_place() -> None:
    one = dry_ratio("strawflower", [(100, 22)])
    assert one.own == pytest.approx(0.22) and one.believed == one.library
    three = dry_ratio("strawflower", [(100, 22), (200, 50), (80, 20)])
    assert three.own == pytest.approx(0.25)
    assert three.believed[0] <= 0.22 and three.believed[1] >= 0.25
    assert "here 25 % (3 lots)" in three.text and "S51" in three.text


@given(st.floats(0, 0.99))
def test_there_and_back_again(share: float) -> None:
    assert wet_basis_from_dry(dry_basis_from_wet(WetBasis(share))) == pytest.approx(share, abs=1e-12)


@given(st.floats(0.01, 1e4), st.floats(0, 0.98), st.floats(0, 0.98))
def test_the_dry_matter_stays(weight: float, now: float, then: float) -> None:
    after = final_weight(weight, WetBasis(now), WetBasis(then))
    assert after * (1 - then) == pytest.approx(weight * (1 - now))


def test_figures_that_cannot_be_are_refused() -> None:
    assert isinstance(wet_basis(1.0), Problem) and isinstance(wet_basis(75), Problem)
    assert isinstance(dry_basis(-0.1), Problem) and isinstance(dry_basis(float("nan")), Problem)
    assert isinstance(moisture_left(100, 120), Problem)
    assert moisture_left(100, 25) == pytest.approx(0.75)


# The same at the command line


def _printed(capsys: pytest.CaptureFixture[str], *args: str) -> Any:
    assert main(["reckon", *args, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_weight_at_another_moisture_is_reckoned_on_either_basis(capsys: pytest.CaptureFixture[str]) -> None:
    """1000 g at 75 % comes to 280.9 g at 11 %, wet basis; 75 % wet is 3.0 dry, 11 % is 0.1236 (wardlab.com)."""
    wet = _printed(capsys, "moisture", "--weight", "1000", "--now", "75%", "--then", "0.11")
    assert wet["then_weight"] == pytest.approx(280.9, abs=0.05)
    assert (wet["now_dry_basis"], wet["then_dry_basis"]) == (3.0, 0.1236)
    dry = _printed(
        capsys, "moisture", "--weight", "1000", "--now", "3", "--then", "0.1235955", "--basis", "dry"
    )
    assert dry["then_weight"] == pytest.approx(wet["then_weight"], abs=0.001)


def test_with_its_dry_matter_a_bunch_says_its_moisture(capsys: pytest.CaptureFixture[str]) -> None:
    """37 g with 26 g of dry matter: 11/37 of the whole, 11/26 of the dry matter; 26 / 0.88 = 29.5 g at 12 %."""
    found = _printed(capsys, "drying", "--weights", "0:100,24:64,48:46,72:37", "--dry-matter", "26")
    assert found["moisture_wet_basis"] == pytest.approx(11 / 37, abs=1e-4)
    assert found["moisture_dry_basis"] == pytest.approx(11 / 26, abs=1e-4)
    assert found["keeps_from_g"] == pytest.approx(29.55, abs=0.01) and found["dry_enough"] is False


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("moisture", "--weight", "5", "--now", "1.2"), "0.75"),
        (("moisture", "--weight", "0", "--now", "0.5"), "above 0"),
        (("drying", "--weights", "0:100,24:64,48:46", "--dry-matter", "60"), "dry matter cannot weigh more"),
    ],
)
def test_moisture_that_cannot_be_is_one_sentence(
    args: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["reckon", *args]) == 1
    assert said in capsys.readouterr().err
