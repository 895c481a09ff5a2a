"""Numbers as other countries type them, water in the unit she uses, and no law or zone of another country."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.dialect import in_words, speak, way_of
from core.kinds import sentence
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write
from tests.shell import Shell

METRIC = ("farm zone UTC", "farm lengths meters degrees C", "farm words british", "bed b1 15m", "bed b2 15m")


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(
        tmp_path / "farm",
        {"2026-06-01": (*METRIC, "plant zinnia b1 5m"), "2026-06-23": ("30 zinnia b1 fresh",)},
    )


@pytest.mark.parametrize(
    ("line", "field", "held"),
    [
        ("low -3,5", "f", 25.7),
        ("low 3,5C", "f", 38.3),
        ("bed b9 9,5 m", "feet", 31.168),
        ("bed b9 9,5m", "feet", 31.168),
        ("packet statice 2,5 g of 400", "grams", 2.5),
        ("packet statice 2,5g of 400", "grams", 2.5),
        ("sold 10 L001 at €6,50", "cents", 6500),
        ("sold 10 L001 at 6,50", "cents", 6500),
        ("sold 10 L001 at € 4", "cents", 4000),
        ("sold 10 L001 at 4 €", "cents", 4000),
        ("sold 10 L001 for 1,200", "cents", 120_000),
        ("rain 2,54 mm", "inches", 0.1),
        ("water b1 10", "inches", 0.3937),
        ("water b1 10 mm", "inches", 0.3937),
        ("water b1 2 m3", "gallons", 528.3441),
        ("water b1 200 litres", "gallons", 52.8344),
        ("water b1 2,5 l", "gallons", 0.6604),
    ],
)
def test_a_number_is_understood(farm: Session, line: str, field: str, held: float) -> None:
    entry = write(farm, line).entries[0]
    assert entry.fields[field] == pytest.approx(held, abs=1e-3)


def test_water_is_told_as_she_said_it(farm: Session, tmp_path: Path) -> None:
    speak(way_of(farm.farm.settings))
    try:
        assert in_words(sentence(write(farm, "water b1 200 litres").entries[0])) == "watered b1, 200 l"
        assert in_words(sentence(write(farm, "water b1 30 gal").entries[0])) == "watered b1, 114 l"
        assert "200 l in all, 100 l a bed" in write(farm, "water b1 b2 200 l").remarks
    finally:
        speak()
    feet = farm_in(tmp_path / "feet", {"2026-06-23": ("farm zone UTC", "bed n1 50ft")})
    assert sentence(write(feet, "water n1 200 litres").entries[0]) == "watered n1, 200 l"
    assert sentence(write(feet, "water n1 12.5 gal").entries[0]) == "watered n1, 12.5 gal"
    answer = feet.write("water n1 10")
    assert isinstance(answer, Problem), "no millimeters where lengths are in feet"


def test_no_law_and_no_zone_of_another_country(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    shell = Shell(tmp_path / "farm", capsys, "2026-06-23").begin({"2026-06-23": ("farm words british",)})
    told = shell.text("record", "2026")
    assert "the law of your country" in " ".join(told.split()) and "federal" not in told
    shell.write("farm latitude 52.1 longitude -1.2", on="2026-06-23")
    assert "America" not in shell.text("today", "--all") and "Europe/London" in shell.text("today", "--all")


def test_in_the_south_the_hours_of_utc_are_said_to_be_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    shell = Shell(tmp_path / "farm", capsys, "2026-12-23").begin(
        {"2026-12-23": ("farm latitude -37.8 longitude 145",)}
    )
    told = shell.text("weather")
    assert "Hours of UTC" in told and "farm zone REGION/CITY" in told
    assert "America" not in told + shell.text("today", "--all")
    shell.write("farm zone Australia/Melbourne", on="2026-12-23")
    assert "UTC" not in shell.text("weather")
