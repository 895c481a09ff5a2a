"""'anyway' answers what was asked, and lets nothing else through: what is past its days goes last, and is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in, refused, write


@pytest.fixture
def shed(tmp_path: Path) -> Session:
    """Snapdragon of seven weeks ago and zinnia of this morning in the bucket; the zinnia promised to two."""
    return farm_in(
        tmp_path / "shed",
        {
            "2026-07-01": ("farm zone UTC", "bed b1 50ft", "bed b2 50ft", "30 snapdragon b1 fresh anyway"),
            "2026-08-19": (
                "60 zinnia b2 fresh",
                "order Fern Hollow 50 zinnia fresh by 8-19",
                "order Ann 40 zinnia, 10 snapdragon by 8-19",
            ),
        },
    )


def left(book: Session) -> dict[str, int]:
    return {
        lot.code: sum(h.stems for place, h in lot.holdings.items() if not place.is_set_aside)
        for lot in book.farm.lots.live()
    }


def test_what_was_not_asked_about_is_not_picked(shed: Session) -> None:
    assert "would be short for Fern Hollow" in refused(shed, "pick O002")
    written = write(shed, "pick O002 anyway")
    assert left(shed) == {"L001": 30, "L002": 20}
    assert "still open: 10 snapdragon fresh" in written.remarks


def test_what_was_asked_about_is_picked_and_kept(shed: Session) -> None:
    assert "L001 in the bucket is past its days in the vase" in refused(shed, "pick 10 snapdragon O002")
    written = write(shed, "pick 10 snapdragon O002 anyway")
    assert left(shed) == {"L001": 20, "L002": 60}
    assert "anyway: L001 in the bucket is past its days in the vase" in written.says[1]


def test_with_a_number_what_is_fit_goes_first(shed: Session) -> None:
    write(shed, "12 snapdragon b1 fresh anyway", "order Cal 20 snapdragon by 8-19")
    assert "L001 in the bucket is past its days in the vase. Add 'anyway'" in refused(
        shed, "pick 20 snap O003"
    )
    write(shed, "pick 20 snap O003 anyway")
    assert left(shed)["L001"] == 22 and "L003" not in {c for c, n in left(shed).items() if n}


def test_nor_is_it_handed_over(shed: Session) -> None:
    assert "would be short for Fern Hollow" in refused(shed, "handed over O002")
    write(shed, "handed over O002 anyway")
    assert left(shed) == {"L001": 30, "L002": 20}


def test_what_is_sold_in_spite_of_another_question_is_what_keeps(shed: Session) -> None:
    """Ten times the most so far of a price is asked about; the answer says nothing of the dead."""
    write(shed, "22 snapdragon b1 fresh anyway")
    write(shed, "sold 12 snap to Cal at 7 anyway")
    assert left(shed) == {"L001": 30, "L002": 60, "L003": 10}
    assert "without, there would be 10 stems" in refused(shed, "sold 20 snap to Cal")
    write(shed, "sold 20 snap to Cal anyway")
    assert left(shed) == {"L001": 20, "L002": 60}
