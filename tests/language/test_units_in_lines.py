"""A figure is said in meters, feet, C, F, kilograms, pounds or by either clock in any line that takes one, and is told
again as it was said.

The conversions are exact by definition (NIST Special Publication 811, 2008, appendix B.8): 1 ft = 0.3048 m,
1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, 1 mi = 1609.344 m; and t/C = (t/F - 32)/1.8. They stand here a second time, as
fractions.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.library import DATA
from core.crops.prose import in_farms_units
from core.dialect import (
    in_words,
    speak,
    to_program,
    told_a_foot,
    told_about,
    told_degree_days,
    told_degrees,
    told_difference,
    told_feet,
    told_frost,
    told_rain,
    told_reading,
    told_size,
    told_time,
    way_of,
)
from core.farm import Farm
from core.fold import fold
from core.kinds import sentence
from core.language.read import Reading, read_line
from core.marked import (
    label_told,
    typed_feet,
    typed_low,
    typed_rain,
    typed_size,
    typed_span,
    typed_wind,
    value_told,
    with_figures,
)
from core.problems import Problem
from tests.cases import cases
from tests.farms import TODAY, guide_entries

FOOT, INCH, POUND = Fraction("0.3048"), Fraction("0.0254"), Fraction("453.59237")


def farm_with(**settings: Any) -> Farm:
    """The guide's farm with these settings."""
    farm = fold(guide_entries())
    farm.settings = farm.settings._replace(**settings)
    return farm


PLAIN, METRIC = farm_with(), farm_with(lengths="meters", degrees="C", hours=12)
BOTH = (PLAIN, METRIC)


@pytest.fixture(autouse=True)
def _speak_again() -> Iterator[None]:
    yield
    speak()


def fields(farm: Farm, line: str) -> dict[str, Any]:
    reading = read_line(line, farm, TODAY)
    assert isinstance(reading, Reading), f"{line}: {reading}"
    return dict(reading.drafts[0].fields)


def told(farm: Farm, line: str) -> str:
    """What the line is said to come to on that farm."""
    reading = read_line(line, farm, TODAY)
    assert isinstance(reading, Reading), f"{line}: {reading}"
    speak(way_of(farm.settings))
    try:
        return in_words(sentence(reading.drafts[0]))
    finally:
        speak()


LINES = [
    # (line, field, what the book holds)
    ("low 3C", "f", Fraction("37.4")),
    ("low -2 C", "f", Fraction("28.4")),
    ("low 3 °C", "f", Fraction("37.4")),
    ("low 28F", "f", Fraction(28)),
    ("shed 22C 55%", "f", Fraction("71.6")),
    ("cooler 3 C", "f", Fraction("37.4")),
    ("dusk 11C dew 7C clear", "dew_f", Fraction("44.6")),
    ("bed b12 15m by 90cm", "feet", 15 / FOOT),
    ("bed b12 15 m by 90 cm", "width_in", Fraction("0.9") / INCH),
    ("bed b12 15m x 0.9m", "width_in", Fraction("0.9") / INCH),
    ("bed b12 15 metres by 750 mm", "width_in", Fraction("0.75") / INCH),
    ("bed b12 50' x 30\"", "width_in", Fraction(30)),
    ("bed b12 50ft by 3ft", "width_in", Fraction(36)),
    ("beds d1-d6 15m x 75cm", "feet", 15 / FOOT),
    ("plant zinnia b5 6 m 60 plants", "feet", 6 / FOOT),
    ("set out S12 b5 6m", "feet", 6 / FOOT),
    ("drill larkspur b5 9 metres", "feet", 9 / FOOT),
    ("line 2 is 12 m dark", "feet", 12 / FOOT),
    ("room line 30m", "count", 30 / FOOT),
    ("rain 12 mm", "inches", Fraction("0.012") / INCH),
    ("rain 1.2cm", "inches", Fraction("0.012") / INCH),
    ("rain 0.4 in", "inches", Fraction("0.4")),
    ("water b3 25mm", "inches", Fraction("0.025") / INCH),
    ("plan 12 crown-b 58 cm by 08-10", "size_in", Fraction("0.58") / INCH),
    ("wind 20 km/h", "mph", Fraction(20_000) / Fraction("1609.344")),
    ("wind 8 m/s", "mph", 8 * 3600 / Fraction("1609.344")),
    ("wind 18 mph", "mph", Fraction(18)),
    ("weigh L038 412g", "grams", Fraction(412)),
    ("weigh L038 0.4 kg", "grams", Fraction(400)),
    ("weigh L038 1lb", "grams", POUND),
    ("weigh L038 14.5 oz", "grams", POUND * Fraction("14.5") / 16),
    ("packet statice 0.5 oz", "grams", POUND / 32),
    ("water b3 3/4 in", "inches", Fraction(3, 4)),
    ("water 3/4 in b3", "inches", Fraction(3, 4)),
    ("watered b3 1 1/2 in", "inches", Fraction(3, 2)),
    ("watered 1 1/2 in b3", "inches", Fraction(3, 2)),
    ("water b3-b5 1/2in", "inches", Fraction(1, 2)),
    ("water b3 2 1/2 gal", "gallons", Fraction(5, 2)),
    ("rain 1/4 in", "inches", Fraction(1, 4)),
    ("rain 1 1/4 inches yesterday", "inches", Fraction(5, 4)),
    ("packet statice 1/4 oz", "grams", POUND / 64),
    ("packet statice 1/8oz", "grams", POUND / 128),
    ("weigh L038 1 1/2 lb", "grams", POUND * Fraction(3, 2)),
    ("1/2 hour weeding b3", "minutes", Fraction(30)),
    ("bed b12 10 1/2 ft by 3/4 ft", "feet", Fraction(21, 2)),
]


@pytest.mark.parametrize("farm", BOTH, ids=("in feet and F", "in meters and C"))
@pytest.mark.parametrize(("line", "field", "held"), LINES, ids=lambda value: str(value))
def test_a_unit_is_understood_on_any_farm(line: str, field: str, held: Fraction, farm: Farm) -> None:
    finest = 0.06 if field == "grams" else 1e-3  # a scale's tenth of a gram
    assert float(fields(farm, line)[field]) == pytest.approx(float(held), abs=finest)


@pytest.mark.parametrize(
    ("line", "field", "plain", "metric"),
    [
        ("bed b12 15", "feet", 15, 15 / FOOT),
        ("beds d1-d3 15", "feet", 15, 15 / FOOT),
        ("line 2 is 12", "feet", 12, 12 / FOOT),
        ("room line 30", "count", 30, 30 / FOOT),
        ("room lights 24", "count", 24, 24),
        ("rain 4", "inches", 4, Fraction("0.004") / INCH),
        ("low 3", "f", 3, Fraction("37.4")),
        ("cooler 4", "f", 4, Fraction("39.2")),
    ],
)
def test_a_bare_number_is_in_the_units_of_the_farm(
    line: str, field: str, plain: Fraction, metric: Fraction
) -> None:
    assert float(fields(PLAIN, line)[field]) == pytest.approx(float(plain))
    assert float(fields(METRIC, line)[field]) == pytest.approx(float(metric), abs=1e-4)


@pytest.mark.parametrize(
    ("line", "plain", "metric"),
    [
        ("sheet zinnia spacing 30 cm", "11.81", "11.81"),
        ("sheet zinnia spacing 30", "30", "11.81"),
        ("sheet zinnia spacing 9 to 12 in", None, None),
        ("sheet zinnia height 1 m", "39.37", "39.37"),
        ("sheet zinnia height 60-90cm", "23.62-35.43", "23.62-35.43"),
        ("sheet zinnia height, cm 80", None, "31.5"),
        ("sheet zinnia lowest once hardened -1", "-1", "30.2"),
        ("sheet zinnia germinates at 20 to 24 C", "68-75", "68-75"),
        ("sheet zinnia germinates at 20-24", "20-24", "68-75"),
        ("sheet zinnia germinates at 70-75F", "70-75", "70-75"),
    ],
)
def test_a_figure_of_a_crop_is_kept_in_its_own_unit(line: str, plain: str | None, metric: str | None) -> None:
    for farm, value in ((PLAIN, plain), (METRIC, metric)):
        reading = read_line(line, farm, TODAY)
        if value is None:
            continue
        assert isinstance(reading, Reading), (line, reading)
        assert reading.drafts[0].fields["value"] == value


@pytest.mark.parametrize(
    ("said", "clock"),
    [
        ("18:40", "18:40"),
        ("at 18:40", "18:40"),
        ("6:40pm", "18:40"),
        ("6:40 pm", "18:40"),
        ("6.40pm", "18:40"),
        ("6.40 pm", "18:40"),
        ("at 6.40", "06:40"),
        ("6pm", "18:00"),
        ("6 pm", "18:00"),
        ("12am", "00:00"),
        ("12 pm", "12:00"),
    ],
)
def test_a_time_is_understood_by_either_clock(said: str, clock: str) -> None:
    assert fields(PLAIN, f"shed 72F 55% {said}")["clock"] == clock
    assert fields(PLAIN, f"40 strawflower b3 dry {said}")["clock"] == clock


@pytest.mark.parametrize("said", ["6.40", "25:00", "13pm", "at 6.75"])
def test_what_may_be_no_time_is_refused(said: str) -> None:
    assert isinstance(read_line(f"40 strawflower b3 dry {said}", PLAIN, TODAY), Problem)


def test_a_spray_has_its_times_with_a_point() -> None:
    found = fields(PLAIN, "spray b3 'Quencher' 300 ml reg 9999-1 reentry 12h harvest 1 day 17.30 to 18.30")
    assert (found["began"], found["ended"]) == ("17:30", "18:30")


def test_m_is_still_somebodys_letter_and_minutes() -> None:
    assert fields(PLAIN, "40 strawflower b3 dry 12m")["minutes"] == 12
    reading = read_line("40 strawflower b3 dry by m", PLAIN, TODAY)
    assert isinstance(reading, Reading) and reading.by == "m"


# told again as it was said

CENTIMETERS = st.integers(min_value=30, max_value=9000)


@cases(400)
@given(CENTIMETERS, st.integers(min_value=200, max_value=3000))
def test_meters_are_told_again_as_they_were_said(long_cm: int, wide_mm: int) -> None:
    long, wide = f"{long_cm / 100:g}", f"{wide_mm / 10:g}"
    assert told(METRIC, f"bed b12 {long}m by {wide}cm") == f"bed b12: {long} m long, {wide} cm wide"
    held = fields(METRIC, f"bed b12 {long}m by {wide}cm")
    assert abs(Fraction(str(held["feet"])) * FOOT - Fraction(long_cm, 100)) < Fraction("0.0001")
    assert abs(Fraction(str(held["width_in"])) * INCH - Fraction(wide_mm, 1000)) < Fraction("0.00001")


@cases(300)
@given(st.integers(min_value=1, max_value=40_000))
def test_feet_are_told_again_as_they_were_said_wherever(hundredths: int) -> None:
    feet = f"{hundredths / 100:g}"
    for farm in BOTH:
        assert Fraction(str(fields(farm, f"bed b12 {feet}ft by 3ft")["feet"])) == Fraction(hundredths, 100)
    assert told(PLAIN, f"bed b12 {feet}ft by 3ft") == f"bed b12: {feet} ft long, 36 in wide"


@cases(300)
@given(st.integers(min_value=-400, max_value=350))
def test_degrees_c_are_told_again_as_they_were_said(tenths: int) -> None:
    celsius = f"{tenths / 10:g}"
    for line in (f"low {celsius}C", f"low {celsius}"):
        assert told(METRIC, line) == f"low last night {celsius} C"
    assert abs(
        Fraction(str(fields(PLAIN, f"low {celsius}C")["f"])) - (Fraction(tenths, 10) * 9 / 5 + 32)
    ) < Fraction("0.005")


@cases(300)
@given(st.integers(min_value=1, max_value=1500))
def test_rain_is_told_again_as_it_was_said(tenths_mm: int) -> None:
    mm = f"{tenths_mm / 10:g}"
    assert told(METRIC, f"rain {mm}") == told(METRIC, f"rain {mm} mm") == f"rain {mm} mm"


@cases(200)
@given(st.integers(min_value=0, max_value=23), st.integers(min_value=0, max_value=59))
def test_a_time_is_told_again_as_it_was_said(hour: int, minute: int) -> None:
    said = f"{hour % 12 or 12}:{minute:02d}{'pm' if hour >= 12 else 'am'}"
    line = f"40 strawflower b3 dry at {said}"
    assert fields(METRIC, line)["clock"] == f"{hour:02d}:{minute:02d}"
    speak(way_of(METRIC.settings))
    try:
        assert told_time(f"{hour:02d}:{minute:02d}") == said
        assert in_words(f"read at {said}, and") == f"read at {said}, and"
        with to_program():  # JSON and CSV have the day of 24 hours on every farm
            assert told_time(f"{hour:02d}:{minute:02d}") == f"{hour:02d}:{minute:02d}"
    finally:
        speak()


@cases(100)
@given(st.lists(st.integers(min_value=5, max_value=300), min_size=2, max_size=12))
def test_plantings_that_fill_a_bed_in_meters_fit_in_it(parts: list[int]) -> None:
    """Ten pieces of a bed, each said to the centimeter, are no longer than the bed."""
    whole = fields(METRIC, f"bed b12 {sum(parts) / 100:g}m")["feet"]
    taken = sum(fields(METRIC, f"drill larkspur b5 {part / 100:g}m")["feet"] for part in parts)
    assert taken <= whole + 0.05


# what is turned, and what is not


@pytest.mark.parametrize(
    "text",
    [
        "bed b1: 50 ft by 36 in, 12.5 ft free",
        "3 in bed b3 and 40 in all",
        "low 34 F, about 28 F",
        "rain 0.4724 in, wind 18",
        "height, in: 24 to 36  [S01]",
        "2 plants a foot",
    ],
)
def test_text_is_never_searched_for_figures(text: str) -> None:
    """A figure is told where its sentence is made: whatever looks like one in a text, as in a note of hers, stays."""
    speak(way_of(METRIC.settings))
    assert in_words(text) == text


@pytest.mark.parametrize(
    ("tells", "figures", "plain", "metric"),
    [
        (told_degrees, (32,), "32 F", "0 C"),
        (told_degrees, (34, 38), "34 to 38 F", "1.1 to 3.3 C"),
        (told_degrees, (-40,), "-40 F", "-40 C"),
        (told_degrees, (72,), "72 F", "22 C"),
        (told_degrees, (31.8,), "31.8 F", "-0.1 C"),
        (told_reading, (75.2,), "75 F", "24 C"),
        (told_about, (28.4,), "28 F", "-2 C"),
        (told_frost, (28,), "28 F", "-2 C"),
        (told_frost, (24,), "24 F", "-4.4 C"),
        (told_difference, (3.0,), "3.0 F", "1.7 C"),
        (told_difference, (-1.8, "+.1f"), "-1.8 F", "-1 C"),
        (told_difference, (1.8, "+.1f"), "+1.8 F", "+1 C"),
        (told_degree_days, ("900 to 1100",), "900 to 1100 degree days F", "500 to 611 degree days C"),
        (told_feet, (50,), "50 ft", "15.24 m"),
        (told_size, (9, 12), "9 to 12 in", "22.9 to 30.5 cm"),
        (told_rain, (0.4724,), "0.47 in", "12 mm"),
        (told_a_foot, (2, "plants"), "2 plants a foot", "6.56 plants a meter"),
        (typed_feet, (50,), "50ft", "15m"),
        (typed_size, (12,), "12in", "30cm"),
        (typed_low, (38,), "38", "3C"),
        (typed_span, (58, 84), "58 to 84", "14 to 29"),
        (typed_wind, (18,), "18", "29 km/h"),
        (typed_rain, (0.4,), "0.4", "10.2mm"),
        (with_figures, ("at {degrees:125 to 130}, {feet:3} off, {length_word}",), "at 125 to 130 F, 3 ft off, feet",
         "at 52 to 54 C, 0.91 m off, meters"),
        (label_told, ("height, in",), "height, in", "height, cm"),
        (value_told, ("height, in", "24 to 36"), "24 to 36", "61 to 91"),
        (value_told, ("germinates at, F", "50-55 (fails over 65)"), "50-55 (fails over 65)", "10-13 (fails over 18)"),
    ],
)  # fmt: skip
def test_a_figure_is_told_from_its_value(
    tells: Callable[..., str], figures: tuple[object, ...], plain: str, metric: str
) -> None:
    """By the exact definitions of foot and inch (NIST SP 811, B.8) and C = (F - 32) / 1.8; a frost of 28 F is kept for
    -2 C. A program is told the figures as they are kept."""
    speak()
    assert tells(*figures) == plain
    speak(way_of(METRIC.settings))
    assert tells(*figures) == metric
    with to_program():
        assert tells(*figures) == plain


def test_what_the_library_says_is_in_the_units_of_the_farm() -> None:
    """No cell of the library tells F, feet or inches to a farm that has neither, and each is as printed to another."""
    bare = re.compile(
        r"\d ?F\b|20s F|\d ?(?:ft|feet)\b|\d ?in(?! [A-Z\d]|\w| (?:a|the|four|plain|trials|water)\b)"
    )
    cells = [
        cell
        for table in ("crops.csv", "clashes.csv")
        for row in csv.DictReader((DATA / table).open(encoding="utf-8", newline=""))
        for cell in row.values()
    ]
    assert sum(bool(bare.search(cell)) for cell in cells) > 40, "the pattern finds what is there"
    speak()
    assert [in_farms_units(cell) for cell in cells] == cells
    speak(way_of(METRIC.settings))
    assert [told for cell in cells if bare.search(told := in_farms_units(cell))] == []


@pytest.mark.parametrize("setting", ["lengths", "degrees", "hours"])
def test_a_setting_is_one_line_and_a_wrong_one_says_what_may_be(setting: str) -> None:
    wrong = read_line(f"farm {setting} cubits", PLAIN, TODAY)
    assert isinstance(wrong, Problem) and f"farm {setting}" in wrong.sentence and wrong.nearest
    for said in wrong.nearest:
        assert setting in fields(PLAIN, f"farm {setting} {said}")


def test_british_words_have_degrees_c_until_another_is_said() -> None:
    british = farm_with(words="british")
    assert way_of(british.settings).celsius and not way_of(british.settings).metric
    assert not way_of(british.settings._replace(degrees="F")).celsius
    assert re.search("37.4", str(fields(british, "low 3")["f"]))


@pytest.mark.parametrize(
    "typed", ("3", "2", "1", "0", "-1", "-2", "-3", "-4", "-5", "2.2", "-2.2", "2.5", "0.5", "-4.5")
)
@pytest.mark.parametrize(
    "line",
    (
        "risk tender {} 10%",
        "frost spring {} 10% 28 apr",
        "last frost {} 20% 28 apr",
        "low {}",
        "tonight {}",
        "sat night {}",
        "high {}",
        "dusk 11C dew {} clear",
        "shed {} 55%",
        "cooler {}",
    ),
)
def test_degrees_come_back_as_they_were_typed(line: str, typed: str) -> None:
    on_farm = told(METRIC, line.format(f"{typed}C"))
    assert re.search(rf"(?<![\d.-]){re.escape(typed)} C", on_farm), on_farm
    assert fields(METRIC, line.format(f"{typed}C")) == fields(PLAIN, line.format(f"{typed}C"))


@pytest.mark.parametrize(
    ("line", "on_feet", "on_meters"),
    [
        ("bed b21 50 by 36", "50ft by 36in", "50m by 36cm"),
        ("bed b21 50 x 36", "50ft by 36in", "50m by 36cm"),
        ("beds d1-d6 15 by 90", "15ft by 90in", "15m by 90cm"),
        ("bed b21 50ft by 36", "50ft by 36in", None),
    ],
)
def test_what_is_asked_of_a_bed_without_units_can_be_answered(
    line: str, on_feet: str, on_meters: str | None
) -> None:
    for farm, size in ((PLAIN, on_feet), (METRIC, on_meters)):
        found = read_line(line, farm, TODAY)
        assert isinstance(found, Problem), found
        if size:
            assert size in found.sentence and found.nearest == (size,)
            start = " ".join(line.split()[:2])
            assert isinstance(read_line(f"{start} {size}", farm, TODAY), Reading)


@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("feed b3 compost 1/2 bag", "0.5 bags"),
        ("feed b3 compost 3 1/2 bags 6/20", "3.5 bags"),
        ("spray b3 'Quencher' 1/4 fl oz reg 9999-1 reentry 12h", "0.25 fl oz"),
        ("spray b3 'Quencher' 12.25 oz reg 9999-1 reentry 12h", "12.25 oz"),
    ],
)
def test_a_half_of_what_a_label_measures_is_no_day(line: str, amount: str) -> None:
    assert fields(PLAIN, line)["amount"] == amount


@pytest.mark.parametrize(
    ("line", "day"),
    [("water b3 3/4 in 6/20", "2026-06-20"), ("40 strawflower b3 dry 6/20 in b3", "2026-06-20")],
)
def test_a_day_beside_an_amount_is_still_a_day(line: str, day: str) -> None:
    reading = read_line(line, PLAIN, TODAY)
    assert isinstance(reading, Reading) and reading.drafts[0].on == day


def test_what_may_be_an_amount_is_no_day_of_months_ago() -> None:
    for line in ("40 strawflower b3 dry 3/4", "feed b3 compost 1/2"):
        reading = read_line(line, PLAIN, TODAY)
        assert isinstance(reading, Problem) and "its month in letters" in reading.sentence, line
    assert isinstance(read_line("40 strawflower b3 dry 5/8", PLAIN, TODAY), Reading)  # six weeks ago
