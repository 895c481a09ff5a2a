"""Every sheet of a farm in meters has the lengths of its twin in feet, wherever its lines break."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.dialect import speak
from core.measures import METERS_A_FOOT
from tests.paper.printed import seen
from tests.shell import Shell
from tui.subjects.paper import WHAT

BEDS = range(1, 8)
DAYS = {
    "2026-05-01": (
        "farm name 'Low Barn'",
        *(f"bed b{n} {81.3 + 3.1 * n:g}ft" for n in BEDS),
        "last frost 14 may",
    ),
    "2026-05-02": tuple(
        f"plant {crop} '{'a' * n}' b{n} {4.3 + n / 10:g}ft"
        for n in BEDS
        for crop in ("strawflower", "zinnia", "statice", "cosmos")
    ),
    "2026-07-18": (
        "80 zinnia aa b2 fresh",
        "40 strawflower aaa b3 dry",
        "low 41",
        "order Fern 50 zinnia by 7-19 at 1.50",
    ),
    "2026-07-19": (),
}


@pytest.fixture(autouse=True)
def _speak_again() -> Iterator[None]:
    yield
    speak()


LENGTH = re.compile(r"(\d+(?:\.\d+)?) (ft|m)\b")


def lengths(shell: Shell, what: str, file: Path) -> list[tuple[float, str]]:
    """Every length on a printed sheet, with its unit."""
    status, _, refused = shell("sheet", what, str(file))
    assert (status, refused) == (0, "")
    text = " ".join(" ".join(page.text.split()) for page in seen(file.read_bytes()))
    return [(float(number), unit) for number, unit in LENGTH.findall(text)]


@pytest.mark.parametrize("what", WHAT)
def test_a_sheet_in_meters_has_the_lengths_of_its_twin_in_feet(
    what: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    feet = Shell(tmp_path / "feet", capsys, "2026-07-19").begin(DAYS)
    meters = Shell(tmp_path / "meters", capsys, "2026-07-19").begin(
        {**DAYS, "2026-07-19": ("farm lengths meters degrees C",)}
    )
    in_feet = lengths(feet, what, tmp_path / "feet.pdf")
    in_meters = lengths(meters, what, tmp_path / "meters.pdf")
    assert {unit for _, unit in in_feet} <= {"ft"} and {unit for _, unit in in_meters} <= {"m"}
    told = [number for number, _ in in_feet]
    assert [number for number, _ in in_meters] == pytest.approx(
        [number * METERS_A_FOOT for number in told], abs=0.006
    )
    assert what != "beds" or len(told) == 36
