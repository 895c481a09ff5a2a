"""The shed written in seconds: readings, ranges, lines; and what cannot be read."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from core.fold import check
from core.language.complete import complete
from core.language.read import read_line
from core.problems import Problem
from tests.farms import TODAY, farm_in, sample_farm
from tui.cli import main

FARM = sample_farm()


def read(text: str) -> list[tuple[str, Mapping[str, Any]]]:
    found = read_line(text, FARM, TODAY)
    assert not isinstance(found, Problem), found
    return [(draft.kind, draft.fields) for draft in found.drafts]


SHED = {"room": "shed"}
READINGS: dict[str, dict[str, Any]] = {
    "shed 72F 55%": {**SHED, "f": 72, "rh_pct": 55},
    "shed 72 55%": {**SHED, "f": 72, "rh_pct": 55},
    "shed 55% 72F": {**SHED, "f": 72, "rh_pct": 55},
    "72F 55% shed": {**SHED, "f": 72, "rh_pct": 55},
    "cooler 36F 88%": {"room": "cooler", "f": 36, "rh_pct": 88},
    "room 68F 45%": {"room": "room", "f": 68, "rh_pct": 45},
    "shed 22C 55% at 6:40": {**SHED, "f": 71.6, "rh_pct": 55, "clock": "06:40"},
    "shed 22 C 55 % at 6:40pm": {**SHED, "f": 71.6, "rh_pct": 55, "clock": "18:40"},
    "shed 72F at 12:05am": {**SHED, "f": 72, "clock": "00:05"},
    "shed 72°F rh 55 7am": {**SHED, "f": 72, "rh_pct": 55, "clock": "07:00"},
    "shed -5C": {**SHED, "f": 23},
    "shed humidity 55": {**SHED, "rh_pct": 55},
}
RANGES: dict[str, dict[str, Any]] = {
    "shed 58 to 84 41 to 68%": {**SHED, "low_f": 58, "high_f": 84, "low_rh": 41, "high_rh": 68},
    "shed 58-84 41-68%": {**SHED, "low_f": 58, "high_f": 84, "low_rh": 41, "high_rh": 68},
    "shed low 58 high 84": {**SHED, "low_f": 58, "high_f": 84},
    "shed max 84 min 58 max 68% min 41%": {**SHED, "low_f": 58, "high_f": 84, "low_rh": 41, "high_rh": 68},
    "shed 15 to 30C": {**SHED, "low_f": 59, "high_f": 86},
    "cooler 34 to 39F": {"room": "cooler", "low_f": 34, "high_f": 39},
}
LINES: dict[str, dict[str, Any]] = {
    "line 2 is 40ft dark fan": {"line": "line 2", "feet": 40, "dark": True, "fan": True},
    "line 2 is 40ft light no fan": {"line": "line 2", "feet": 40, "dark": False, "fan": False},
    "line west 30ft": {"line": "line west", "feet": 30},
}


@pytest.mark.parametrize("text", READINGS)
def test_a_reading(text: str) -> None:
    assert read(text) == [("air", READINGS[text])]


@pytest.mark.parametrize("text", RANGES)
def test_a_range_since_the_last_reset(text: str) -> None:
    assert read(text) == [("air range", RANGES[text])]


@pytest.mark.parametrize("text", LINES)
def test_a_line_described(text: str) -> None:
    assert read(text) == [("line", LINES[text])]


def test_a_reading_and_a_range_in_one_line() -> None:
    assert read("shed 72F 55% 58 to 84F") == [
        ("air", {**SHED, "f": 72, "rh_pct": 55}),
        ("air range", {**SHED, "low_f": 58, "high_f": 84}),
    ]


def test_a_reading_of_another_day() -> None:
    found = read_line("shed 72F rh 55 20 june", FARM, TODAY)
    assert not isinstance(found, Problem)
    assert found.drafts[0].on == "2026-06-20"


def test_the_words_mean_what_they_meant_before() -> None:
    assert read("lost 6 shed L001")[0][1]["cause"] == "shatter"
    assert read("hang L005 line 2 10s")[0][1]["line"] == "line 2"
    assert read("move 10 L001 line 3")[0][1]["place"] == "line 3"
    assert read("room line 120ft") == [("capacity", {"what": "line", "count": 120})]
    assert read("room lights 24") == [("capacity", {"what": "lights", "count": 24})]


REFUSED = {
    "shed": "What is the air?",
    "shed 72 55": "What is 55?",
    "shed 72F 70F": "which is the temperature?",
    "shed 84 to": "Write the low, 'to' and the high",
    "shed low 58": "write the other end",
    "shed 5C to 72F": "same unit",
    "shed 72F 55% at 26:10": "no time 26:10",
    "shed 72F at 6:40 at 7:10": "Two times",
    "shed 58 to 84 at 6:40": "no time",
    "shed cooler 72F": "Whose air?",
    "shed 72F 55% sunny": "not understood",
    "line 2 is dark": "How long is line 2?",
    "line 2 is 40ft dark light": "dark or light",
    "line 2 line 3 40ft": "Which line?",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_cannot_be_read_is_refused_in_a_sentence(text: str) -> None:
    found = read_line(text, FARM, TODAY)
    assert isinstance(found, Problem)
    assert REFUSED[text] in found.sentence and found.sentence.endswith((".", "?"))


@pytest.mark.parametrize(
    "text", ["shed 900F", "shed 155%", "shed 84 to 58", "cooler 92 to 80%", "line 2 0ft"]
)
def test_what_cannot_be_is_refused_by_the_book(text: str) -> None:
    found = read_line(text, FARM, TODAY)
    assert not isinstance(found, Problem)
    assert check(FARM, found.drafts[0], TODAY.isoformat()) is not None


def test_the_line_completes_while_it_is_typed() -> None:
    assert complete("coo", FARM, TODAY).ghost == "ler"
    assert complete("line 2 is 40ft ", FARM, TODAY).offers == ("dark", "light", "fan")


# the verb


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    lines = (
        "farm zone UTC",
        "bed b1 50ft",
        "plant celosia, crested b1 10ft 30 plants on 2026-04-01",
        "line 1 is 4ft dark fan",
        "cut 35 celosia, crested b1 dry",
        "hang line 1 5s",
        "shed 70F 60% at 1:00",
        "shed 62F 74% at 6:40",
        "tonight 48",
    )
    return farm_in(tmp_path / "farm", {"2026-06-23": lines}).folder


def test_the_shed_is_printed(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["--farm", str(farm), "--on", "2026-06-23", "shed", "--hang", "40"]) == 0
    page = capsys.readouterr().out
    assert all(len(line) <= 78 for line in page.splitlines())
    page = " ".join(page.split())
    for part in (
        "62 F, 74 % RH",
        "dew point",
        "FAO-56",
        "gives water back",
        "a warning, not a forecast",
        "line 1",
    ):
        assert part in page
    for part in ("40 bunches to hang", "thick", "no flame", "N95", "Local fire", "High lines"):
        assert part in page


def test_the_shed_as_json(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["--farm", str(farm), "--on", "2026-06-23", "shed", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["air"]["now"]["reading"]["rh"] == 74
    assert found["air"]["night"]["warns"] is True
    assert found["lines"]["lines"][0] | {"lots": [], "could_go": []} == {
        "line": "line 1", "feet": 4, "dark": True, "fan": True, "bunches": 7, "taken": 3.5, "free": 0.5,
        "lots": [], "could_go": [],
    }  # fmt: skip


def test_the_morning_page_has_its_line(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["--farm", str(farm), "--on", "2026-06-23", "today"]) == 0
    assert "close the shed" in capsys.readouterr().out
    assert main(["--farm", str(farm), "--on", "2026-06-23", "today", "--all"]) == 0
    assert "! 74 % RH at 06:40" in capsys.readouterr().out


@pytest.mark.parametrize("count", ["0", "-3", "2.5", "many"])
def test_bunches_that_are_no_count_are_refused(
    farm: Path, count: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--farm", str(farm), "shed", f"--hang={count}"]) == 2
    assert "bunches are counted" in (said := capsys.readouterr().err) or "no number" in said
