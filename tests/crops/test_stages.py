"""Stage cards: they fit the screen, and say what is too late."""

import pytest

from core.crops.library import crop_names, sheet, ways
from core.crops.sheet import Sheet
from core.crops.stages import WIDEST, StageCard, stage_card
from core.places import USES, Use


def card(crop: str, use: Use, way: str | None = None) -> StageCard:
    found = sheet(crop, way)
    assert isinstance(found, Sheet)
    return stage_card(found, use)


@pytest.mark.parametrize("use", USES)
def test_every_card_fits_and_says_something(use: Use) -> None:
    for crop in crop_names():
        for way in (None, *ways(crop)):
            made = card(crop, use, way)
            assert made.look, crop
            for line in (*made.look, *made.warn):
                assert 0 < len(line) <= WIDEST
                assert line.isprintable()


def test_strawflower_the_early_way_per_use() -> None:
    fresh = " ".join(card("strawflower", "fresh", "early").look)
    assert "3-4 rows of bracts open, no yellow pollen" in fresh
    assert "four side shoots" in fresh
    dry = card("strawflower", "dry", "early")
    assert "2-3 rows of bracts open, center shut" in dry.look[0]
    assert "14 to 21 days" in " ".join(dry.look)
    for use in USES:
        for way in (None, "early"):
            warned = " ".join(" ".join(card("strawflower", use, way).warn).split())
            assert "pollen showing" in warned
            assert "throw it out" in warned


def test_a_card_says_where_sources_differ_on_what_it_shows() -> None:
    warned = " ".join(card("zinnia", "fresh").warn)
    assert "never in the cooler (S103)" in warned
    assert "(S40)" in warned
    assert "S103" not in " ".join(card("zinnia", "dry").warn)


def test_a_use_the_crop_is_not_cut_for() -> None:
    assert card("sweet pea", "dry").look == ("For drying: not dried; pressed.",)
    assert "No stage for wiring" in card("larkspur", "wire").look[0]


def test_the_caution_stands_on_every_card() -> None:
    for use in USES:
        assert "Sap on skin plus sun burns" in " ".join(card("ammi", use).warn)
