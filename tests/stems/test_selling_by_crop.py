"""Sold by the crop's name: what has least left goes first, and what has nothing left goes to nobody unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    """Zinnia cut on 20 July, past any days in the vase (4 to 13 on its sheet), and again this morning."""
    return farm_in(
        tmp_path / "farm",
        {
            "2026-07-20": ("farm zone UTC", "bed b1 50ft", "40 zinnia b1 fresh anyway"),
            "2026-08-12": ("30 zinnia b1 fresh",),
        },
    )


def _left(farm: Session) -> dict[str, int]:
    return {lot.code: sum(held.stems for held in lot.holdings.values()) for lot in farm.farm.lots.live()}


def test_the_dead_are_passed_over_and_said(farm: Session) -> None:
    written = write(farm, "sold 20 zinnia to florist")
    assert "L001 left out: past the days in the vase" in written.remarks
    assert _left(farm) == {"L001": 40, "L002": 10}


def test_all_means_all_that_keeps(farm: Session) -> None:
    write(farm, "sold all zinnia to florist")
    assert _left(farm) == {"L001": 40}


def test_more_than_keeps_is_asked_about(farm: Session) -> None:
    refused = farm.write("sold 50 zinnia to florist")
    assert isinstance(refused, Problem) and "without, there would be 30 stems" in refused.sentence
    write(farm, "sold 50 zinnia to florist anyway")
    assert sum(_left(farm).values()) == 20


def test_what_is_named_by_its_code_is_hers_to_sell(farm: Session) -> None:
    write(farm, "sold 10 L001 to florist")
    assert _left(farm) == {"L001": 30, "L002": 30}


@pytest.mark.parametrize(
    ("cut", "line", "code"),
    [
        ("24 bearded iris b1 fresh anyway", "sold 20 bearded iris to market at 3", "L001"),
        ("40 zinnia b1 fresh anyway", "used 20 zinnia for arch", "L001"),
        # a crop of which no sheet has a vase life, and one cut to be dried
        ("24 velvet reed b1 fresh anyway", "sold 20 velvet reed to market", "L001"),
        ("24 velvet reed b1 dry anyway", "sold 20 velvet reed to market", "L001"),
    ],
)
def test_the_only_lot_of_a_crop_is_not_sold_unasked_when_it_is_long_dead(
    tmp_path: Path, cut: str, line: str, code: str
) -> None:
    farm = farm_in(
        tmp_path / "farm",
        {
            "2026-06-01": ("farm zone UTC", "bed b1 50ft", "crop 'velvet reed' perennial", cut),
            "2027-09-01": ("note a year later",),
        },
    )
    refused = farm.write(line)
    assert isinstance(refused, Problem), refused
    assert f"{code} is past the days in the vase" in refused.sentence
    write(farm, f"{line} anyway")
    assert sum(_left(farm).values()) < 24 or "40" in cut


def test_the_only_lot_of_a_crop_is_sold_by_its_name_while_it_lasts(tmp_path: Path) -> None:
    farm = farm_in(
        tmp_path / "farm",
        {"2026-06-01": ("farm zone UTC", "bed b1 50ft", "24 bearded iris b1 fresh anyway")},
    )
    write(farm, "sold 20 bearded iris to market at 3")
    assert _left(farm) == {"L001": 4}


BUNCHED = {
    "2026-07-20": ("farm zone UTC", "bed b1 50ft", "80 lavender b1 dry anyway", "hang L001 line 1"),
    "2026-08-12": ("box L001 8x10 box 7 anyway",),
}


@pytest.mark.parametrize(
    ("before", "line", "cents"),
    [
        ((), "sold all L001 to market at 9", 7200),
        ((), "sold all L001 box 7 to market at 9", 7200),
        ((), "sold 8 bu L001 to market at 9", 7200),
        ((), "sold all lavender to market at 9", 7200),
        ((), "sold all L001 to market at 0.90 a stem", 7200),
        ((), "sold all L001 to market for 70", 7000),
        ((), "sold 80 L001 to market at 0.90", 7200),
        (("price lavender dry 0.80 a stem",), "sold all L001 to market at 0.90", 7200),
    ],
)
def test_all_of_a_bunched_lot_is_priced_by_the_bunch(
    tmp_path: Path, before: tuple[str, ...], line: str, cents: int
) -> None:
    farm = farm_in(tmp_path / "bunched", BUNCHED)
    for said in before:
        write(farm, said)
    assert sum(entry.fields["cents"] for entry in write(farm, line).entries) == cents


def test_loose_stems_that_she_prices_by_the_bunch_are_sold_by_it(farm: Session) -> None:
    """The zinnia sheet has ten to a bunch: 40 stems are 4 bunches."""
    write(farm, "price zinnia fresh 8 a bunch")
    assert "4 bunches at 9.00 a bunch" in farm.complete("sold all L001 to market at 9").says
    (sale,) = write(farm, "sold all L001 to market at 9").entries
    assert sale.fields["cents"] == 3600


def test_loose_stems_without_a_price_are_sold_by_the_stem(farm: Session) -> None:
    (sale,) = write(farm, "sold all L001 to market at 0.50").entries
    assert sale.fields["cents"] == 2000


def test_bunches_and_stems_beside_them_are_asked_about(tmp_path: Path) -> None:
    farm = farm_in(tmp_path / "bunched", BUNCHED)
    write(farm, "lost 3 L001 broken")
    refused = farm.write("sold all L001 to market at 9")
    assert isinstance(refused, Problem) and "at 1 a stem" in refused.sentence


def test_the_use_beside_the_crop_says_which_of_it_is_sold(tmp_path: Path) -> None:
    farm = farm_in(
        tmp_path / "farm",
        {
            "2026-06-01": (
                "bed b1 50ft",
                "plant statice b1 25ft on 2026-03-01",
                "30 statice b1 dry",
                "hang line 1",
            ),
            "2026-06-20": ("snap L001", "box L001 3x10 box 1"),
            "2026-06-22": ("40 statice b1 fresh",),
        },
    )
    several, wired = farm.write("sold 10 statice to Lane at 1"), farm.write("sold 5 statice wired to Lane")
    assert isinstance(several, Problem) and "Which lot? statice is in" in several.sentence
    assert (
        isinstance(wired, Problem) and wired.sentence == "There is no lot of statice on hand that is wired."
    )
    write(farm, "sold 10 statice fresh to Lane at 1", "sold 1 bunch statice dry to Lane at 9")
    assert _left(farm) == {"L001": 20, "L002": 30}


def test_what_is_thrown_out_without_a_number_goes_whole_and_several_lots_at_once(farm: Session) -> None:
    why = farm.write("compost L002")
    assert isinstance(why, Problem) and "What was the cause?" in why.sentence, "it is not past its days"
    assert "unsold, as no cause was written" in write(farm, "compost L001").remarks
    assert _left(farm) == {"L002": 30}
    write(farm, "undo", "toss 3 L002 wilted", "toss L001 L002 wilted")
    assert _left(farm) == {} and farm.check() == []
