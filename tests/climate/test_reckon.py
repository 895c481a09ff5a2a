"""The calculations on the command line: what they print, and how they refuse."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.climate.made import DATA, dly_lines, made
from tui.cli import main

CLEMSON = str(DATA / "USC00381770_1981-2010.csv")
NIGHTS = DATA / "fao_frost_sample_nights.csv"


@pytest.fixture
def nights(tmp_path: Path) -> str:
    path = tmp_path / "nights.csv"
    path.write_text("t0_c,td_c,tmin_c\n" + NIGHTS.read_text().split("\n", 1)[1])
    return str(path)


class Said:
    """What one command printed."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def json(self, *args: str) -> Any:
        assert main(["reckon", *args, "--json"]) == 0
        return json.loads(self.capsys.readouterr().out)

    def text(self, *args: str) -> str:
        assert main(["reckon", *args]) == 0
        text = self.capsys.readouterr().out
        assert text.isascii()
        assert max(len(line) for line in text.splitlines()) <= 78
        return text

    def refusal(self, status: int, *args: str) -> str:
        assert main(["reckon", *args]) == status
        printed = self.capsys.readouterr()
        assert printed.out == ""
        return printed.err


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    return Said(capsys)


def test_frost_as_json(said: Said) -> None:
    value = said.json("frost", "--station", CLEMSON)
    assert value["station"] == "USC00381770"
    assert value["thresholds"]["32"]["last_spring"]["50"] == "04-02"
    assert "because" not in value
    some = said.json(
        "frost",
        "--station",
        CLEMSON,
        "--years",
        "1991-2010",
        "--threshold",
        "32",
        "30",
        "--why",
        "--method",
        "weibull",
    )
    assert list(some["thresholds"]) == ["32", "30"]
    assert some["seasons"] == 20
    assert any("Weibull" in why for why in some["because"])
    normal = said.json("frost", "--station", CLEMSON, "--method", "normal", "--threshold", "0C")
    assert normal["thresholds"]["32"]["first_autumn"]["50"] == "11-01"


def test_frost_as_a_page(said: Said) -> None:
    text = said.text("frost", "--station", CLEMSON, "--why")
    assert "Last in spring" in text and "First in fall" in text and "Days between" in text
    assert "normal curve" in text
    plot = text.split("Jan   Feb")[1].splitlines()
    assert [line.count("|") for line in plot[1:5]] == [2, 2, 2, 2]
    spring, autumn = (plot[2].index(mark) for mark in ("-", "="))
    assert spring < 35 < autumn


def test_frost_of_odd_places_as_a_page(said: Said, tmp_path: Path) -> None:
    desert = made(lambda d: 30 if d.day % 6 == 1 else 45, date(1990, 1, 1), date(2015, 12, 31))
    path = tmp_path / "desert.dly"
    path.write_text("\n".join(dly_lines(desert)))
    text = said.text("frost", "--station", str(path), "--latitude=-38")
    assert "any: at that risk" in text and "rare: in so many years" in text
    assert "Jul   Aug" in text  # the summer of the south in the middle
    assert "***" in text


def test_heat_units(said: Said) -> None:
    day = ["heat-units", "--min", "50", "--max", "82", "--base", "55", "--upper", "90", "--method"]
    assert said.json(*day, "sine")["heat_units"] == pytest.approx(11.85, abs=0.005)
    assert said.json(*day, "double-sine", "--next-min", "45")["heat_units"] == pytest.approx(11.31, abs=0.005)
    assert "11.85 degree days" in said.text(*day, "sine", "--why")
    same_in_c = [
        "heat-units",
        "--min",
        "10C",
        "--max",
        "27.7778C",
        "--base",
        "55F",
        "--upper",
        "90",
        "--method",
        "sine",
    ]
    assert said.json(*same_in_c)["heat_units"] == pytest.approx(11.85, abs=0.01)


def test_heat_units_of_a_station(said: Said) -> None:
    value = said.json(
        "heat-units", "--station", CLEMSON, "--base", "50", "--from", "2010-01-01", "--to", "2010-12-31"
    )
    assert value["heat_units"] == pytest.approx(4731, rel=0.15)  # one year; the normal is of thirty
    assert value["days"] == 365
    need = ["heat-units", "--station", CLEMSON, "--base", "50", "--from", "2010-05-01", "--need", "1500"]
    past = said.json(*need)
    assert past["early"] == past["late"]
    ahead = said.json(*need, "--on", "2010-05-20")
    assert ahead["early"] <= ahead["middle"] <= ahead["late"]
    assert "in one year of ten" in said.text(*need, "--on", "2010-05-20")


def test_a_sum_already_reached_has_one_day_and_no_odds(said: Said) -> None:
    asked = ("heat-units", "--base", "50", "--station", CLEMSON, "--from", "2009-05-01", "--need", "1200")
    value = said.json(*asked)
    assert value["years"] == 0 and value["early"] == value["middle"] == value["late"]
    assert said.text(*asked).strip() == f"reached on {value['middle']}"
    assert "not both" in said.refusal(1, *asked, "--to", "2009-06-01")


def test_every_calculation_takes_json_and_why(said: Said) -> None:
    for args in (
        ("dates", "strawflower", "--last-frost", "2026-05-14"),
        ("wire", "22"),
        ("wreath", "14in"),
        ("crown", "22"),
        ("air", "--temp", "70F", "--rh", "60"),
        ("heat", "--temp", "96F", "--rh", "65"),
    ):
        assert said.json(*args) and said.text(*args, "--why")


def test_sun(said: Said) -> None:
    place = ["sun", "--latitude", "33.7667", "--longitude", "-84.4167", "--zone", "Etc/GMT+5"]
    value = said.json(*place, "--date", "2007-06-21")
    assert (value["sunrise"], value["sunset"], value["polar"]) == ("05:27", "19:51", None)
    assert value["day_minutes"] == pytest.approx(14 * 60 + 24, abs=1)
    assert len(value["cutting"]) == 2
    assert "sunrise 05:27" in said.text(*place, "--date", "2007-06-21", "--why")
    polar = said.json("sun", "--latitude", "75", "--longitude", "0", "--date", "2026-12-21", "--zone", "UTC")
    assert (polar["sunrise"], polar["day_minutes"], polar["polar"]) == (None, 0, "sun down all day")
    assert polar["cutting"] == []


def test_air(said: Said) -> None:
    value = said.json("air", "--temp", "25C", "--rh", "80")
    assert value["dew_point_c"] == 21.31
    assert value["vpd_kpa"] == pytest.approx(0.634, abs=0.001)
    assert said.json("air", "--temp", "20C", "--rh", "50")["wet_bulb_c"] == 13.7
    assert "dew point 55.5 F" in said.text("air", "--temp", "70F", "--rh", "60")
    assert "equation at the pressure" in said.text(
        "air", "--temp", "70", "--rh", "60", "--pressure", "95", "--why"
    )


def test_heat(said: Said) -> None:
    value = said.json("heat", "--temp", "96F", "--rh", "65")
    assert value["heat_index_f"] == pytest.approx(121, abs=0.6)  # NWS chart
    assert value["band"] == "very high"
    assert "911" in said.text("heat", "--temp", "96F", "--rh", "65", "--why")


def test_night_low(said: Said, nights: str) -> None:
    tonight = ["night-low", "--nights", nights, "--t0", "10C", "--td", "2C"]
    value = said.json(*tonight)
    assert value["low_c"] == pytest.approx(-0.7409219, abs=1e-4)
    guarded = said.json(*tonight, "--guard", "40F", "--hours", "14")
    assert 2 < guarded["guard_crossed_hours_after_sunset"] < 14
    assert guarded["course"][0] == {"hours_after_sunset": 2, "temp_f": 50.0}
    assert "crossed about" in said.text(*tonight, "--guard", "40", "--hours", "14", "--why")
    assert "stays above 20 F" in said.text(*tonight, "--guard", "20", "--hours", "14")


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["frost", "--station", "nowhere.dly"], "no weather file"),
        (["frost", "--station", CLEMSON, "--years", "2005-2010"], "Not yet"),
        (["frost", "--station", CLEMSON, "--latitude", "100"], "Latitude"),
        (["heat-units", "--base", "50"], "--station"),
        (["heat-units", "--base", "50", "--min", "40"], "--max"),
        (["heat-units", "--base", "50", "--min", "60", "--max", "40"], "which is which"),
        (["heat-units", "--base", "50", "--station", CLEMSON, "--need", "900"], "--from"),
        (["sun", "--latitude", "95", "--longitude", "0"], "Latitude"),
        (["air", "--temp", "70", "--rh", "120"], "humidity"),
        (["heat", "--temp", "70", "--rh", "120"], "humidity"),
        (["night-low", "--nights", "none.csv", "--t0", "50", "--td", "40"], "cannot be read"),
    ],
)
def test_a_refusal_is_one_sentence(said: Said, args: list[str], says: str) -> None:
    sentence = said.refusal(1, *args)
    assert says in sentence
    assert sentence.count("\n") == 1


def test_few_nights_and_an_open_guard_are_refused(said: Said, nights: str, tmp_path: Path) -> None:
    few = tmp_path / "few.csv"
    few.write_text("\n".join(Path(nights).read_text().splitlines()[:6]))
    assert "10 are needed" in said.refusal(1, "night-low", "--nights", str(few), "--t0", "50", "--td", "40")
    assert "--hours" in said.refusal(
        1, "night-low", "--nights", nights, "--t0", "50", "--td", "40", "--guard", "32"
    )


@pytest.mark.parametrize(
    "args",
    [
        ["frost"],
        ["frost", "--station", CLEMSON, "--years", "90-20"],
        ["frost", "--station", CLEMSON, "--method", "guess"],
        ["air", "--temp", "warm", "--rh", "50"],
        ["air", "--temp", "nan", "--rh", "50"],
        ["sun", "--latitude", "40", "--longitude", "0", "--date", "today"],
        ["moon"],
    ],
)
def test_a_wrong_option_is_a_matter_of_usage(args: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["reckon", *args]) == 2
    assert capsys.readouterr().err
