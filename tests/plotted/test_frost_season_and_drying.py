"""Plots of frost odds, of the season as a strip, and of drying against its range."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest

from core.plotted.shapes import Plotted, Series
from core.plotted.svg import svg
from tests.shell import Shell
from tui.drawn import drawn
from tui.season_strip import LEVELS, strip_lines

NS = "{http://www.w3.org/2000/svg}"
DAYS = {
    "2026-05-10": ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 20ft", "plant statice b1 10ft"),
    "2026-06-30": ("40 statice b1 dry", "hang L001"),
    "2026-07-06": ("80 zinnia b1 fresh", "20 statice b1 dry", "hang L003"),
    "2026-07-13": ("10 zinnia b1 fresh",),
    "2026-07-14": ("snap L001",),
    "2026-07-20": ("40 zinnia b1 fresh",),
}
FIRST_YEAR, YEARS = 1991, 30


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-07-20").begin(DAYS)


def _lows(file: Path) -> dict[int, list[tuple[date, int]]]:
    """A made-up station: year -> (day, low in F). Winters of 20 F; a last and a first frost that wander by three
    weeks, with a colder night some days before or after them."""
    found: dict[int, list[tuple[date, int]]] = {}
    with file.open("w", newline="") as handle:
        write = csv.writer(handle)
        write.writerow(("date", "min_f", "max_f"))
        for n in range(YEARS):
            year = FIRST_YEAR + n
            last = date(year, 4, 28).toordinal() + (n * 7) % 22
            first = date(year, 10, 1).toordinal() + (n * 13) % 23
            for day in range(date(year, 1, 1).toordinal(), date(year, 12, 31).toordinal() + 1):
                low = 20 if day < last - 30 or day > first + 30 else 45
                low = {last: 31, last - 9: 27, first: 31, first + 9: 27}.get(day, low)
                found.setdefault(year, []).append((date.fromordinal(day), low))
                write.writerow((date.fromordinal(day).isoformat(), low, low + 20))
    return found


def test_frost_odds_are_the_shares_of_years_counted_from_the_record_itself(
    shell: Shell, tmp_path: Path
) -> None:
    lows = _lows(tmp_path / "station.csv")
    assert shell("weather", "import", str(tmp_path / "station.csv"))[0] == 0
    found = shell.json("plot", "frost")
    by_name = {series["name"]: series["values"] for series in found["series"]}
    assert set(by_name) == {"36 F", "32 F", "28 F"}
    between = found["labels"].index("summer")
    checked = 0
    for name, limit in (("32 F", 32), ("28 F", 28)):
        for place, (label, percent) in enumerate(zip(found["labels"], by_name[name], strict=True)):
            if percent is None:
                continue
            day = next(d for d, _ in lows[FIRST_YEAR] if f"{d.day} {d:%b}" == label)
            is_spring = place < between
            share = sum(
                any(
                    low <= limit and ((d.month < 7 and d >= day.replace(year=year)) if is_spring else
                                      (d.month >= 7 and d <= day.replace(year=year)))
                    for d, low in days
                )
                for year, days in lows.items()
            ) / YEARS  # fmt: skip
            assert percent == pytest.approx(100 * share, abs=13)  # the odds are of a curve through 30 years
            checked += 1
    assert checked >= 12
    text = shell.text("plot", "frost")
    assert "summer" in text and all(line.isascii() for line in text.splitlines())


def test_a_farm_that_speaks_british_has_the_odds_in_its_own_degrees(shell: Shell, tmp_path: Path) -> None:
    _lows(tmp_path / "station.csv")
    shell("weather", "import", str(tmp_path / "station.csv"))
    shell.write("farm words british")
    heads = next(line for line in shell.text("plot", "frost").splitlines() if line.lstrip().startswith("2 C"))
    assert heads.split("  ")[-3:] == ["2 C", "0 C", "-2 C"]
    assert [one["name"] for one in shell.json("plot", "frost")["series"]] == ["36 F", "32 F", "28 F"]


def test_without_a_station_the_plot_of_frost_says_how_one_is_brought_in(shell: Shell) -> None:
    status, out, err = shell("plot", "frost")
    assert (status, out) == (1, "") and "weather import" in err


def test_the_season_is_a_row_a_crop_with_the_first_that_was_cut_at_the_top(shell: Shell) -> None:
    found = shell.json("plot", "season")
    assert found["labels"] == ["29 Jun", "6 Jul", "13 Jul", "20 Jul"]
    assert found["series"] == [
        {"name": "statice", "values": [40, 20, None, None]},
        {"name": "zinnia", "values": [None, 80, 10, 40]},
    ]
    lines = shell.text("plot", "season").splitlines()
    assert lines[1] == "statice  #=" and lines[2] == "zinnia    #.="
    assert lines[3].startswith("         29 Jun")
    table = next(line.split() for line in lines if line.startswith("zinnia") and "130" in line)
    assert table == ["zinnia", "130", "80", "6", "Jul", "6", "Jul", "20", "Jul"]
    assert shell("plot", "season", "--csv")[1].splitlines()[2].startswith("6 Jul,20,80")


def test_a_long_season_of_many_crops_has_room_on_a_page() -> None:
    names = tuple(f"a crop with a long name {n}" for n in range(30))
    weeks = tuple(f"{n % 28 + 1} Sep" for n in range(53))
    plot = Plotted("t", "stems", weeks, tuple(Series(n, tuple(range(1, 54))) for n in names), "strip")
    lines = strip_lines(plot)
    assert all(len(line) <= 78 and line.isascii() for line in lines)
    assert all(LEVELS[-1] in line for line in lines[1:31])
    root = ElementTree.fromstring(svg(plot))
    high = int(root.attrib["height"])
    assert all(0 <= float(rect.attrib["y"]) <= high for rect in root.iter(f"{NS}rect"))
    assert len([*root.iter(f"{NS}rect")]) == 30 * 53
    # each row against its own most: its last week is as high as the row
    assert max(float(rect.attrib["height"]) for rect in root.iter(f"{NS}rect")) == pytest.approx(22)


def test_lots_on_the_line_stand_against_the_days_they_are_expected_to_take(shell: Shell) -> None:
    """The sheet of statice is the range; the first snapped after 14 days, the second has hung for 14."""
    sheet = next(row for row in shell.json("learn", "statice")["rows"] if row["figure"] == "drying_days")
    found = shell.json("plot", "drying")
    assert found["labels"] == ["L001", "L003.."] and found["notes"] == ["statice", "statice"]
    by_name = {series["name"]: series["values"] for series in found["series"]}
    assert by_name["days"] == [14, 14]
    assert (by_name["least"][0], by_name["most"][0]) == tuple(sheet["sheet"])
    text = shell.text("plot", "drying")
    assert "# days, o least, x most" in text and "statice" in text.splitlines()[-1]
    assert shell("plot", "drying", "--crop", "zinn")[0] == 1
    assert shell("plot", "drying", "--year", "2025")[0] == 1


def test_marks_stand_in_front_of_the_bars_they_are_held_against() -> None:
    series = Series("days", (18.0, 4.0)), Series("least", (7.0, 9.0)), Series("most", (12.0, None))
    drawing = svg(Plotted("t", "days", ("L1", "L2"), series, "marks"))
    root = ElementTree.fromstring(drawing)
    bars = [float(rect.attrib["height"]) for rect in root.iter(f"{NS}rect")]
    assert bars[0] == pytest.approx(4.5 * bars[1], abs=0.1)
    marks = [line for line in root.iter(f"{NS}line") if line.get("stroke-width") == "3"]
    assert len(marks) == 3 + 3  # and one for each name under the plot
    assert drawing.rindex("<rect") < drawing.index('stroke-width="3"')


def test_a_line_is_broken_where_nothing_is_known() -> None:
    values = (1.0, 2.0, None, 3.0, None, 4.0, 5.0, 6.0)
    plot = Plotted("t", "u", tuple("abcdefgh"), (Series("s", values),), "lines")
    root = ElementTree.fromstring(svg(plot))
    assert [len(line.attrib["points"].split()) for line in root.iter(f"{NS}polyline")] == [2, 3]
    assert len([*root.iter(f"{NS}circle")]) == 1


def test_where_two_lines_meet_this_year_is_seen() -> None:
    values = (3.0, 3.0, 3.0)
    lines = drawn(
        Plotted("t", "u", ("a", "b", "c"), (Series("2026", values), Series("2025", values)), "lines")
    )
    assert sum(line.count("#") for line in lines[1:]) == 3


@pytest.mark.parametrize("what", ("frost", "season", "drying"))
def test_each_is_written_as_a_drawing_twice_alike(shell: Shell, tmp_path: Path, what: str) -> None:
    _lows(tmp_path / "station.csv")
    shell("weather", "import", str(tmp_path / "station.csv"))
    file = tmp_path / f"{what}.svg"
    assert shell("plot", what, "--svg", str(file))[0] == 0
    first = file.read_bytes()
    assert shell("plot", what, "--svg", str(file))[0] == 0 and file.read_bytes() == first
    ElementTree.fromstring(first.decode())
