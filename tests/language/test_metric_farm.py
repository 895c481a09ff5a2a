"""A farm may have its lengths in meters, its degrees in C and its day in twice twelve hours: every page, table and view
tells them so, and what programs read stays as it was."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from copy import copy
from pathlib import Path

import pytest

from core.dialect import speak, way_of
from core.language.guide import guide
from core.language.read import Reading, read_line
from tests.farms import TODAY, farm_in
from tests.language.meaning import farm_spoken_of
from tests.language.test_british import HERS, PRINTED, SEASON
from tests.shell import Shell
from tui.app import ShedApp
from tui.registry import views

METRIC_DAY = (
    "bed b3 15m by 90cm",
    "plant zinnia b3 5m 40 plants",
    "rain 12 mm",
    "water b1 25 mm",
    "room line 30m",
    "plan 120 strawflower dry by 09-19",
    "sheet zinnia spacing 30 cm",
    "spray b3 'Quencher' 300 ml reg 9999-1 reentry 12h harvest 1 day 17:30 to 18:30 wind 4 SW",
    "wind 5 m/s",
    "sheet snapdragon to first cut degree days 900 to 1100",
    "farm lengths meters degrees C hours 12",
)
DAYS = {**SEASON, "2026-06-23": (*SEASON["2026-06-23"], *METRIC_DAY)}
OTHERWISE = re.compile(
    r"\bft\b|\bfeet\b|\b[0-9.]+ ?in(?:ch|ches)?\b"
    r"(?! (?:all|a|each|bunch|bed|front|store|sand|silica|\d|[bcdl]\d|box|the|it|four|flower))"
    r"|\bmph\b|\bmiles an hour\b|degree days F|20s F"
    r"|\d ?F\b(?! to [A-Z])|, F:|, in:|\(F\)|\b(?:[01]\d|2[0-3]):[0-5]\d\b(?! ?[ap]m)"
)
"""Feet, inches, degrees F or a day of 24 hours; "40 in all" and "10 in each" are no inches."""
PAGES = (
    *PRINTED,
    *(
        "record 2026",
        "takings --by bed",
        "shed --hang 40",
        "plan N01",
        "cutlist",
        "promise",
        "seeds",
        "orders",
    ),
    *("draft", "lot L002", "crop dahlia", "crop snapdragon", "bench", "reckon wreath 14", "reckon crown 22"),
    *("reckon air --temp 70 --rh 60", "reckon plan strawflower --stems 100 --last-frost 2026-05-14"),
    *(
        f"help {word}"
        for word in ("bed", "line", "rain", "water", "room", "sheet", "recipe", "plant", "spray", "weather")
    ),
)


@pytest.fixture(autouse=True)
def _speak_again() -> Iterator[None]:
    yield
    speak()


@pytest.fixture
def farm(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-06-23").begin(DAYS)


def otherwise(told: str) -> str:
    """What of a text is told in other units than the farm's, with what stands around it."""
    rest = HERS.sub("", re.sub(r"\s+", " ", told))
    found = OTHERWISE.search(rest)
    return rest[max(found.start() - 60, 0) : found.end() + 30] if found else ""


@pytest.mark.parametrize("verb", PAGES)
def test_every_page_speaks_the_units_of_the_farm(verb: str, farm: Shell) -> None:
    _, told, refused = farm(*verb.split())
    if verb.startswith("crop"):  # a source says what it says
        told = told.partition("Sources clash")[0]
    assert otherwise(told + refused) == "" and "{" not in told + refused


def test_the_pages_would_be_told_apart(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain = Shell(tmp_path / "farm", capsys, "2026-06-23").begin(
        {**DAYS, "2026-06-24": ("farm lengths feet degrees F hours 24",)}
    )
    for verb in (
        "beds",
        "shed",
        "tonight",
        "crop zinnia",
        "record 2026",
        "takings --by bed",
        "plan",
        "help bed",
    ):
        assert otherwise(plain(*verb.split(), on="2026-06-24")[1]), verb


def test_a_table_has_its_lengths_in_meters_and_the_other_programs_in_feet(farm: Shell) -> None:
    beds = farm.text("beds", most=100).splitlines()
    assert beds[0].split()[:3] == ["bed", "m", "free"]
    assert [line.split()[:3] for line in beds[1:4]] == [
        ["b1", "15.24", "7.62"],
        ["b2", "15.24", "9.14"],
        ["b3", "15", "10"],
    ]
    by_name = {bed["bed"]: bed["feet"] for bed in farm.json("beds")["rows"]}
    assert by_name["b1"] == 50 and by_name["b3"] == pytest.approx(15 / 0.3048, abs=1e-4)
    csv = farm("beds", "--csv")[1].splitlines()
    assert "feet" in csv[0] and any(",50" in line for line in csv)
    written = json.loads(farm("write", "low 3", "--json")[1])
    assert "37.4" in json.dumps(written) and "degrees" not in written


def test_what_programs_read_has_the_day_of_24_hours_and_miles(farm: Shell) -> None:
    (spray,) = farm.json("record", "2026")["rows"]
    assert (
        spray["area"].endswith(" sq ft")
        and spray["began"] == "17:30"
        and spray["reentry_until"].endswith(" 06:30")
        and "mph" in spray["wind"]
    )
    written = farm.json("write", "shed 24C 60% at 6:40pm")
    assert any("at 18:40" in says for says in written["says"])
    assert "at 6:40pm" in farm("entries", "--kind", "air")[1]
    csv = farm("record", "2026", "--csv")[1]
    assert "17:30,18:30" in csv and " mph SW" in csv and " sq ft" in csv
    assert "began:                  5:30pm" in farm("record", "2026")[1]


def test_what_does_not_fit_is_refused_in_meters_with_what_would(farm: Shell) -> None:
    _, _, refused = farm("write", "drill larkspur b1 11m")
    assert "7.62 m free" in refused and "11 m does not fit" in refused


@pytest.mark.usefixtures("reckoned_once")
def test_an_example_of_the_help_means_what_it_says_there(farm: Shell) -> None:
    """What is shown with a length in meters can be typed on this farm, and is as long as in feet, or a little less."""
    plain, metric = farm_spoken_of(), copy(farm_spoken_of())
    metric.settings = metric.settings._replace(lengths="meters", degrees="C", hours=12)
    speak()
    lines = [line for job in guide() for line, _ in job.examples]
    speak(way_of(metric.settings))
    told = [line for job in guide() for line, _ in job.examples]
    speak()
    seen = 0
    for line, said in zip(lines, told, strict=True):
        meant = read_line(line, plain, TODAY)
        if not isinstance(meant, Reading):
            continue
        found = read_line(said, metric, TODAY)
        assert isinstance(found, Reading), (line, said, found)
        for draft, other in zip(meant.drafts, found.drafts, strict=True):
            for field in ("feet", "width_in", "size_in", "inches", "mph"):
                if field in draft.fields:
                    seen += said != line
                    assert other.fields[field] <= draft.fields[field] * 1.01, (line, said)
                    assert other.fields[field] >= draft.fields[field] * 0.8, (line, said)
    assert seen >= 8


async def test_every_view_speaks_the_units_of_the_farm(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", DAYS)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        for name in views():
            await app.run_action(f"show('{name}')")
            await pilot.pause()
            lines = [strip.text for strip in app.screen._compositor.render_strips()]
            assert otherwise(" ".join(lines)) == "", name


def test_the_wind_is_told_in_whole_kilometers_an_hour(farm: Shell) -> None:
    assert "wind 18 km/h" in farm("today")[1].splitlines()[0]
    assert "wind 18 km/h" in farm("write", "wind 5 m/s")[1] and "wind 20 km/h" in farm("write", "wind 20")[1]
    assert "wind 29 km/h" in farm("write", "wind 18 mph")[1]
    assert (
        "900 to 1100" not in farm("crop", "snapdragon")[1] and "500 to 611" in farm("crop", "snapdragon")[1]
    )
    assert "800" in farm("write", "sheet snapdragon to first cut degree days 800")[1]
    assert "800" in farm("crop", "snapdragon")[1]


def test_no_wind_is_turned_twice(farm: Shell) -> None:
    assert "wind 29 km/h" in farm("help", "wind")[1]


def test_a_wind_in_meters_a_second_is_rounded_where_it_is_told_in_miles(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = Shell(tmp_path / "farm", capsys, "2026-06-23").begin({"2026-06-23": ("wind 5 m/s",)})
    assert "wind 11.2 mph" in plain("today")[1].splitlines()[0]
