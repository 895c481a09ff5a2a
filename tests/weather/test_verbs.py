"""`shedbook weather` and `shedbook tonight` as a shell meets them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shell import Shell
from tests.weather.stations import farm, station_file


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    farm(tmp_path / "farm").close()
    return Shell(tmp_path / "farm", capsys, "2026-06-23")


def test_before_a_station_the_page_says_how_to_bring_one_in(shell: Shell) -> None:
    assert "weather import FILE" in shell.text("weather")
    assert shell.json("weather")["odds"] is None
    status, out, err = shell("weather", "keep")
    assert (status, out) == (1, "") and "weather import" in err


def test_import_then_the_odds_then_keep(shell: Shell, tmp_path: Path) -> None:
    written = shell.json("weather", "import", str(station_file(tmp_path)), "--unit", "F")
    assert written["entries"][0]["kind"] == "station"
    page = shell.json("weather")
    assert page["station"] == "EASTON" and page["years"] == [1996, 2026] and page["method"] == "normal"
    assert set(page["odds"]["thresholds"]) == {"36", "32", "28", "24"}
    assert page["own"]["frost_nights_needed"] == 30 and not page["own"]["enough"]
    assert [row["hardiness"] for row in page["hangs"]] == ["hardy", "half-hardy", "tender"]
    assert "Last in spring" in shell.text("weather") and "What your windows hang on" in shell.text("weather")
    shown = shell.json("weather", "keep")
    assert not shown["written"] and len(shown["entries"]) == 24
    assert "Nothing is written yet" in shell.text("weather", "keep")
    kept = shell.json("weather", "keep", "--yes")
    assert kept["written"] and kept["entries"] == shown["entries"] and kept["crops"] == shown["crops"]
    assert shell("weather", "keep")[0] == 1
    assert shell.json("weather")["average"]["source"] == "EASTON, 1996-2026, normal"


def test_a_risk_is_shown_then_kept(shell: Shell, tmp_path: Path) -> None:
    shell("weather", "import", str(station_file(tmp_path)))
    shell("weather", "keep", "--yes")
    shown = shell.json("weather", "risk", "tender", "36F", "10%")
    assert [e["kind"] for e in shown["entries"]] == ["risk"]
    (zinnia,) = (row for row in shown["crops"] if row["crop"] == "zinnia")
    assert zinnia["windows"]["set_out"]["by_days"] > 0
    assert "days later" in shell.text("weather", "risk", "tender", "36F", "10%")
    shell("weather", "risk", "tender", "36F", "10%", "--yes")
    assert "your choice" in shell.text("weather")
    assert shell("weather", "risk", "frail", "36F", "10%")[0] == 2


def test_tonight(shell: Shell) -> None:
    shell("write", "tonight", "30")
    found = shell.json("tonight")
    assert found["forecast_f"] == 30 and found["missing"] == 10
    assert [row["bed"] for row in found["at_risk"]] == ["b1"]
    text = shell.text("tonight")
    assert "forecast 30 F" in text and "zinnia" in text and "sunset 20:38" in text


def test_a_wrong_file_is_one_sentence_on_standard_error(shell: Shell, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.csv"
    wrong.write_text("date,min_f,max_f\n2026-05-01,61,34\n2026-05-01,30,50\n")
    status, out, err = shell("weather", "import", str(wrong))
    assert (status, out) == (1, "") and err.count("\n") == 1 and "line 2" in err and "line 3" in err
    assert shell("weather", "import")[0] == 2
    assert shell("weather", "import", str(wrong), "--unit", "K")[0] == 2


def test_the_crop_sheet_says_that_no_heat_units_were_found(shell: Shell) -> None:
    status, out, _ = shell("crop", "zinnia")
    assert status == 0 and "no published figure was found" in out
    shell("write", "sheet zinnia heat_units_to_first_cut 900 own record")
    out = shell("crop", "zinnia")[1]
    assert "degree days F:" in out and "900" in out and "no published figure" not in out
