"""What the screen shows while a line is typed."""

from __future__ import annotations

import pytest

from core.farm import Farm
from core.language.complete import Completion, complete
from tests.farms import TODAY, sample_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return sample_farm()


def typed(farm: Farm, text: str) -> Completion:
    return complete(text, farm, TODAY)


@pytest.mark.parametrize(
    ("text", "ghost"),
    [
        ("40 straw", "flower"),
        ("40 s", "trawflower"),  # what stands in the beds comes first
        ("40 globe am", "aranth"),
        ("40 straw b3 d", "ry"),
        ("40 straw b3 dry ap", "ricot"),
        ("40 straw b3 dry yes", "terday"),
        ("40 straw b", "3"),
        ("ha", "ng"),
        ("hang L", "005"),
        ("hang L005 l", "ine"),
        ("lost 6 mol", "d"),
        ("lost 6 mold L00", "5"),
        ("step S", "02"),
        ("sow 72 straw e", "arly"),
        ("set out S02 n", "orth"),
        ("last fr", "ost"),
        ("sheet strawflower drying_d", "ays"),
        ("40 straw b3 dry", ""),
        ("40", ""),
        ("note a word is my ow", ""),
        ("", ""),
    ],
)
def test_tab_adds_the_likeliest_word(farm: Farm, text: str, ghost: str) -> None:
    assert typed(farm, text).ghost == ghost


@pytest.mark.parametrize(
    ("text", "offers"),
    [
        ("40 ", ("strawflower", "larkspur", "zinnia", "statice")),
        ("40 straw ", ("b3", "b4")),
        ("40 larkspur b5 ", ("fresh", "dry", "wire")),
        ("40 straw b3 dry ", ("culls", "stage", "yesterday", "anyway")),
        ("hold S02 ", ("wind", "rain", "low", "cold", "heat", "no time")),
        ("pinch b3 ", ("strawflower", "zinnia")),
        ("lost 6 mold L003 ", ("line 1", "box 4")),
        ("undo", ()),
    ],
)
def test_what_the_line_asks_for_is_offered(farm: Farm, text: str, offers: tuple[str, ...]) -> None:
    assert typed(farm, text).offers == offers


def test_a_new_farm_is_offered_its_first_lines() -> None:
    assert typed(Farm(), "").offers == ("bed", "last frost", "sow", "plant", "farm", "low")


@pytest.mark.parametrize(
    ("text", "crop", "use"),
    [
        ("40 straw", "strawflower", None),
        ("40 straw b3 dry", "strawflower", "dry"),
        ("dry zin", "zinnia", "dry"),
        ("40", "strawflower", "dry"),
        ("lost 6 L002", "zinnia", "fresh"),
        ("40 s", None, None),
        ("low 34", None, None),
    ],
)
def test_crop_and_use_are_known_for_the_stage_card(farm: Farm, text: str, crop: str, use: str) -> None:
    done = typed(farm, text)
    assert (done.crop, done.use) == (crop, use)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("40 straw b3 dry", "cut 40 strawflower apricot from bed b3 for dry: L006"),
        ("40 straw b3 dry mon", "22 Jun: cut 40 strawflower apricot from bed b3 for dry: L006"),
        ("40 straw", "From which bed? strawflower stands in b3 and b4."),
        ("ha", "Tab: hung 40 of L005 on line 1"),
        ("low 34 high 61", "low last night 34 F; high 61 F"),
        ("undo", "takes the last line back"),
    ],
)
def test_the_line_is_read_back_while_it_is_typed(farm: Farm, text: str, says: str) -> None:
    assert typed(farm, text).says == says


def test_a_word_completed_with_tab_reads_as_it_says(farm: Farm) -> None:
    for text in ("ha", "40 straw b3 d", "step S", "lost 6 mold L00"):
        done = typed(farm, text)
        assert typed(farm, text + done.ghost).says == done.says.removeprefix("Tab: ")
