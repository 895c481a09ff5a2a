"""No figure, whoever wrote it and however, and nothing struck keeps any part of the farm from being reckoned."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.amend import AMENDING
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.crops.library import crop_names, sheet, ways
from core.crops.sheet import FIGURES, KINDS, Sheet
from core.farm import Farm
from core.fold import fold
from core.kinds import Field
from core.language.read import Reading, read_line
from core.plans.room_weeks import room_weeks
from core.session import Session
from core.settings.sheets import farm_sheet
from core.subject import all_kinds, kinds_called
from tests.cases import cases, first_of, some_of
from tests.farm.busy_farm import busy, everything, lines_and_views
from tests.farm.every_kind import DAY, views
from tests.farms import frozen, page_lines, write

pytestmark = pytest.mark.usefixtures("reckoned_once")

Shown = Callable[[Farm], Iterator[tuple[str, Callable[[], object]]]]
"""What is looked at of a farm."""

BUSY = busy()
NUMBERS = tuple(name for name, kind in KINDS.items() if kind in ("Span", "float"))
SPANS = tuple(name for name, kind in KINDS.items() if kind == "Span")
NEVER = ("-1000000000", "1000000000", "9" * 390)
"""What no crop can have of anything."""


def _all_is_reckoned(farm: Farm, shown: Shown = everything) -> None:
    for what, reckoned in shown(farm):
        try:
            reckoned()
        except Exception as error:
            raise AssertionError(f"{what} cannot be reckoned") from error


def _with(*entries: Entry) -> Farm:
    return fold([*BUSY.entries, *entries])


def _sheet_entry(figure: str, value: str, crop: str = "zinnia") -> Entry:
    return BUSY.made("sheet", crop=crop, figure=figure, value=value)


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _inside(figure: str) -> tuple[str, ...]:
    about = FIGURES[figure]
    least, most = _number(about.least), _number(about.most)
    return (least, most, f"{least} to {most}") if figure in SPANS else (least, most)


def _outside(figure: str) -> tuple[str, ...]:
    about = FIGURES[figure]
    step = 1 if about.whole else 0.01
    low, high = _number(about.least - step), _number(about.most + step)
    both = (f"{_number(about.least)} to {high}", f"{low} to {_number(about.most)}") if figure in SPANS else ()
    return (low, high, *both, *NEVER)


# Figures of a sheet


@pytest.mark.part
@pytest.mark.parametrize("figure", NUMBERS)
def test_a_figure_that_no_crop_can_have_is_asked_again_and_is_not_used_where_a_merge_brings_it(
    figure: str,
) -> None:
    without = BUSY.farm
    for value in some_of(_outside(figure), NUMBERS.index(figure), 2):
        read = read_line(f"sheet zinnia {figure} {value}", without, DAY)
        assert not isinstance(read, Reading), f"{figure} {value}"
        assert ": write " in read.sentence and read.sentence.endswith(".")
        refused = BUSY.refusal("sheet", crop="zinnia", figure=figure, value=value)
        assert refused is not None and _number(FIGURES[figure].least) in refused.sentence
        entry = _sheet_entry(figure, value)
        farm = _with(entry)
        (matter,) = [m for m in farm.matters if m.entry == entry.id]
        assert matter.code == "settle" and FIGURES[figure].label in matter.sentence
        farm.matters, farm.count = list(without.matters), without.count
        assert frozen(farm) == frozen(without), "told, and nothing of it is left"


CROPS = ("zinnia", "strawflower", "lisianthus", "larkspur")


@pytest.mark.parametrize("which", first_of([1, 0, -1], 1))
def test_with_every_figure_at_its_least_or_its_most_all_of_the_farm_is_reckoned(which: int) -> None:
    """Of a range: both ends at the least, both at the most, one at each."""
    values = {figure: _inside(figure)[which] for figure in NUMBERS}
    for figure, value in values.items():
        assert BUSY.refusal("sheet", crop="zinnia", figure=figure, value=value) is None
    farm = _with(*(_sheet_entry(figure, value, crop) for figure, value in values.items() for crop in CROPS))
    assert farm.matters == BUSY.farm.matters
    own = farm_sheet(farm, "zinnia")
    assert own is not None and all("own sheet" in getattr(own, figure).source for figure in NUMBERS)
    _all_is_reckoned(farm)


@pytest.mark.long
@pytest.mark.parametrize("figure", NUMBERS)
def test_with_one_figure_at_either_of_its_bounds_all_of_the_farm_is_reckoned(figure: str) -> None:
    for value in _inside(figure):
        _all_is_reckoned(_with(*(_sheet_entry(figure, value, crop) for crop in CROPS)))


@st.composite
def _sheets(draw: st.DrawFn) -> list[Entry]:
    figures = draw(st.lists(st.sampled_from(NUMBERS), min_size=1, max_size=8, unique=True))
    return [
        _sheet_entry(figure, draw(st.sampled_from(_inside(figure))), draw(st.sampled_from(CROPS)))
        for figure in figures
    ]


@pytest.mark.long
@given(_sheets())
@cases(120)
def test_whatever_figures_stand_beside_each_other_all_of_the_farm_is_reckoned(sheets: list[Entry]) -> None:
    _all_is_reckoned(_with(*sheets))


TOLD = ("0", "-1", "7.5")


@pytest.mark.part
@pytest.mark.parametrize("value", first_of(TOLD, 1))
def test_nothing_a_sheet_may_be_told_keeps_the_farm_from_being_reckoned(value: str) -> None:
    """Taken or not, as the figure will have it: what counts is that all else goes on."""
    for crop in some_of(("zinnia", "strawflower"), TOLD.index(value), 2):
        _all_is_reckoned(_with(*(_sheet_entry(figure, value, crop) for figure in NUMBERS)))


def test_zero_below_zero_and_far_too_much_are_asked_again_where_they_once_shut_the_book() -> None:
    for figure, value in (
        ("days_to_first_cut", "9999999"),
        ("drying_days", "99999999"),
        ("drying_days", "-5"),
        ("cut_weeks", "0"),
        ("stems_per_dried_bunch", "0"),
        ("stems_per_dried_bunch", "7.5"),
        ("seeds_per_gram", "0"),
        ("spacing_in", "0"),
        ("vase_life_days", "99999999"),
        ("germination_days", "99999999"),
        ("days_from_sowing", "99999999"),
        ("stems_per_plant", "-1"),
    ):
        read = read_line(f"sheet zinnia {figure} {value}", BUSY.farm, DAY)
        assert not isinstance(read, Reading), f"{figure} {value} is taken"
        assert "write" in read.sentence and read.sentence.endswith(".") and ". " not in read.sentence


REAL = (
    ("days_to_first_cut", "730 to 1095"),  # a peony root, two to three years (common practice)
    ("germination_days", "30 to 180"),  # seed that wants two winters (common practice)
    ("weeks_in_tray", "20 to 26"),
    ("drying_days", "2 to 60"),
    ("seeds_per_gram", "20000"),  # the dust of lisianthus and of begonia (common practice)
    ("seeds_per_gram", "0.05"),  # bulbs of 20 g (common practice)
    ("grams_per_1000_plants", "60000"),  # tubers of 60 g (common practice)
    ("stems_per_plant", "0.5 to 1"),
    ("stems_per_plant", "200"),
    ("cut_weeks", "0.5 to 1"),  # a bulb is cut once, in a few days
    ("cut_weeks", "26 to 40"),
    ("spacing_in", "0.5"),
    ("spacing_in", "120"),  # a shrub
    ("set_out_weeks", "-36 to -30"),  # set out in the fall
    ("direct_sow_weeks", "-34 to -28"),
    ("sow_weeks_before", "30 to 44"),
    ("vase_life_days", "1 to 45"),
    ("hardiness_low_f", "-40"),
    ("heat_units_to_first_cut", "400 to 4000"),
    ("heat_base_f", "32"),
    ("heat_upper_f", "95"),
    ("doubles_share", "0.9 to 1"),
    ("prime_months", "3"),
    ("compost_months", "60"),
)


@pytest.mark.parametrize(("figure", "value"), REAL)
def test_what_real_crops_have_is_taken(figure: str, value: str) -> None:
    assert BUSY.refusal("sheet", crop="zinnia", figure=figure, value=value) is None


def test_the_figures_of_the_library_lie_well_inside_their_bounds() -> None:
    for crop in crop_names():
        for way in (None, *ways(crop)):
            found = sheet(crop, way)
            assert isinstance(found, Sheet)
            for name, figure in found.figures().items():
                if name in NUMBERS:
                    about, value = FIGURES[name], figure.value
                    least, most = value if isinstance(value, tuple) else (value, value)
                    if about.unit == "degrees":
                        assert about.least + 20 <= least and most <= about.most - 20, (crop, name)
                        continue
                    margin = 1 if name in ("doubles_share", "vase_q10", "zone", "fall_sow_zone") else 2
                    low = max(least // margin, 1) if about.whole else min(least * margin, least / margin)
                    assert about.least <= low, (crop, name)
                    assert max(most * margin, most / margin) <= about.most, (crop, name)
                    assert not about.whole or (least == int(least) and most == int(most))


def test_a_figure_put_right_settles_what_a_merge_brought() -> None:
    wrong = _sheet_entry("cut_weeks", "0")
    assert _with(wrong).matters != []
    right = _sheet_entry("cut_weeks", "4 to 6")
    assert _with(wrong, right).matters == []


def test_a_figure_put_right_can_be_taken_back_though_the_matter_stands_again(tmp_path: Path) -> None:
    session = _merged(
        tmp_path, Draft("sheet", "2026-07-01", {"crop": "zinnia", "figure": "cut_weeks", "value": "0"})
    )
    write(session, "sheet zinnia cut_weeks 4-6")
    assert session.farm.matters == []
    write(session, "undo yes")
    assert len(session.farm.matters) == 1


def _merged(tmp_path: Path, *elsewhere: Draft) -> Session:
    """A farm of one bed into which another machine's entries have been merged."""
    session = Session.create(tmp_path / "here", by="ml", on=DAY)
    write(session, "bed b1 50ft", "plant zinnia b1 25ft")
    Book.create(tmp_path / "there", device="netbook").append(elsewhere, by="zz")
    told = session.merge(tmp_path / "there")
    assert told.added == len(elsewhere) and not told.set_aside
    assert [matter.sentence for matter in told.to_settle] == [m.sentence for m in session.farm.matters]
    return session


def test_a_merge_tells_the_figures_it_brings_that_cannot_be_and_the_morning_page_goes_on(
    tmp_path: Path,
) -> None:
    slips = {
        "days_to_first_cut": "9999999",
        "drying_days": "99999999",
        "cut_weeks": "0",
        "stems_per_plant": "9" * 390,
    }
    session = _merged(
        tmp_path,
        *(
            Draft("sheet", "2026-07-01", {"crop": "zinnia", "figure": figure, "value": value})
            for figure, value in slips.items()
        ),
    )
    sentences = [matter.sentence for matter in session.farm.matters]
    assert [next(s for s in sentences if f", {figure}:" in s) for figure in slips] == sentences
    assert all(len(sentence) < 200 and "write " in sentence for sentence in sentences)
    assert session.farm.sheets == {}
    assert any(line.text == "To settle (4)" for line in page_lines(session))
    assert {m.sentence for m in session.check()} >= set(sentences)


@pytest.mark.parametrize("words", ["x", "- (9 to", "-1", "9" * 40])
def test_whatever_is_said_in_words_on_a_sheet_all_of_the_farm_is_shown(words: str) -> None:
    in_words = [name for name, kind in KINDS.items() if kind == "str"]
    farm = _with(*(_sheet_entry(name, words, crop) for name in in_words for crop in CROPS))
    assert farm.matters == BUSY.farm.matters
    _all_is_reckoned(farm, views)


def test_a_figure_of_a_newer_shedbook_does_not_take_the_others_of_its_sheet_away() -> None:
    newer = _sheet_entry("petal_count", "34")
    farm = _with(_sheet_entry("cut_weeks", "4 to 6"), newer)
    assert [m.entry for m in farm.matters] == [newer.id]
    own = farm_sheet(farm, "zinnia")
    assert own is not None and own.cut_weeks is not None and own.cut_weeks.value == (4, 6)


# Fields of every kind

FAR: dict[str, tuple[Any, ...]] = {
    "count": (0, 1, 10_000_000),
    "number": (0, 1e-6, 0.1, -1, -150, 90, 100, 12345.678, 1e7, -1e7),
    "day": ("1700-01-01", "2299-12-31", "2028-02-29"),
    "clock": ("00:00", "23:59"),
    "month_day": ("01-01", "02-29", "07-31", "08-01", "12-31"),
    "flag": (True, False),
}
"""The ends of what a field can hold; what a kind does not take of it is told and left out."""
WORDS = ("x", "cooler", "line 1", "any", "9", "zinnia", "L001'", "S01", "b9", "Z" * 40)
FIRST = {entry.kind: i for i, entry in reversed([*enumerate(BUSY.entries)])}
"""Where each kind is written for the first time."""


def _changed(at: int, on: str | None = None, **fields: Any) -> Farm:
    """The farm with other fields, or another day, in one of its entries."""
    good = BUSY.entries[at]
    odd = Entry(good.id, on or good.on, good.at, good.by, good.kind, {**good.fields, **fields})
    return fold([*BUSY.entries[:at], odd, *BUSY.entries[at + 1 :]])


def _fields(kind: str) -> Mapping[str, Field]:
    """The fields of all kinds of that name."""
    return {name: field for known in kinds_called(kind) for name, field in known.fields.items()}


def test_there_is_an_entry_of_every_kind_to_be_changed() -> None:
    assert set(FIRST) == {kind.name for kind in all_kinds()} - AMENDING


@pytest.mark.part
@pytest.mark.parametrize("kind", first_of(sorted(FIRST, key=[*FIRST][1::2].__contains__), len(FIRST) // 2))
def test_with_all_counts_and_numbers_of_an_entry_at_either_end_the_farm_is_shown(kind: str) -> None:
    known = _fields(kind)
    for which in some_of((0, -1), FIRST[kind], 2):
        far = {name: FAR[field.holds][which] for name, field in known.items() if field.holds in FAR}
        if far:
            _all_is_reckoned(_changed(FIRST[kind], **far), views)


def test_a_tray_sown_with_no_seeds_by_another_machine_is_shown() -> None:
    _all_is_reckoned(_changed(FIRST["sown"], seeds=0), views)


@pytest.mark.long
@pytest.mark.parametrize("kind", FIRST)
def test_whatever_stands_in_a_field_all_of_the_farm_is_reckoned(kind: str) -> None:
    """Each value by itself in all that is shown, the last of each field in every line; a far day in the wishes too."""
    for name, field in _fields(kind).items():
        *others, last = FAR.get(field.holds, WORDS)
        for value in others:
            _all_is_reckoned(_changed(FIRST[kind], **{name: value}), views)
        _all_is_reckoned(_changed(FIRST[kind], **{name: last}), lines_and_views)
    for day in FAR["day"]:
        _all_is_reckoned(_changed(FIRST[kind], day), views)
    _all_is_reckoned(_changed(FIRST[kind], FAR["day"][0]))


@st.composite
def _odd_farms(draw: st.DrawFn) -> Farm:
    """Several entries with far values and other days, some struck, and figures at their bounds, all at once."""
    entries = list(BUSY.entries)
    for at in draw(st.lists(st.integers(0, len(entries) - 1), min_size=1, max_size=6, unique=True)):
        good = entries[at]
        name, field = draw(st.sampled_from(sorted(_fields(good.kind).items())))
        value = draw(st.sampled_from(FAR.get(field.holds, WORDS)))
        on = draw(st.sampled_from((good.on, good.on, good.on, *FAR["day"])))
        entries[at] = Entry(good.id, on, good.at, good.by, good.kind, {**good.fields, name: value})
    gone = draw(st.lists(st.sampled_from(BUSY.entries), max_size=3))
    strikes = [BUSY.made("strike", entry=entry.id) for entry in gone]
    return fold([*entries, *strikes, *draw(_sheets())])


@pytest.mark.long
@given(_odd_farms())
@cases(120)
def test_whatever_is_odd_together_all_of_the_farm_is_reckoned(farm: Farm) -> None:
    _all_is_reckoned(farm)


# What is struck while others name it

NAMED = ("bed", "sown", "set out", "cut", "planned", "recipe", "drilled", "hung", "boxed", "moved", "line", "box",
         "part", "made", "bought", "frost", "sheet", "farm", "up", "capacity", "wired", "air", "air range")  # fmt: skip
"""Kinds of which others speak, those that most lines and plans name first."""


@pytest.mark.part
@pytest.mark.parametrize("kind", first_of(NAMED, 4))
def test_what_is_struck_while_others_name_it_keeps_nothing_else_from_being_reckoned(kind: str) -> None:
    of_kind = [entry for entry in BUSY.entries if entry.kind == kind]
    all_gone = _with(*(BUSY.made("strike", entry=entry.id) for entry in of_kind))
    _all_is_reckoned(all_gone, everything if kind in some_of(NAMED[:6], 0) else lines_and_views)
    _all_is_reckoned(_with(BUSY.made("strike", entry=of_kind[-1].id)), views)


@pytest.mark.long
@given(st.lists(st.sampled_from(BUSY.entries), min_size=1, max_size=12, unique_by=lambda entry: entry.id))
@cases(120)
def test_whatever_is_struck_together_all_else_is_reckoned(gone: list[Entry]) -> None:
    _all_is_reckoned(_with(*(BUSY.made("strike", entry=entry.id) for entry in gone)))


def test_a_plan_whose_bed_is_struck_is_still_moved_to_where_there_is_room() -> None:
    bed = next(e for e in BUSY.entries if e.kind == "bed" and e.fields["bed"] == "b3")
    farm = _with(BUSY.made("strike", entry=bed.id))
    room = room_weeks(farm, DAY)
    assert any("N02" in shortage.plans for shortage in room.shortages)
    assert all(shortage.change for shortage in room.shortages)
