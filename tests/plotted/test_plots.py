"""Plots show the numbers of the book: in plain letters, in the table behind, and in a drawing read back."""

from __future__ import annotations

import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.plotted.shapes import Plotted, Series
from core.plotted.svg import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, svg
from tests.cases import cases
from tests.shell import Shell
from tui.drawn import drawn

NS = "{http://www.w3.org/2000/svg}"
DAYS = {
    "2025-06-10": ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 20ft", "plant statice b1 10ft"),
    "2025-07-08": ("30 zinnia b1 fresh", "sold 30 L001 to market for 15"),
    "2026-07-06": ("80 zinnia b1 fresh", "20 statice b1 dry", "sold 60 L002 to market for 45"),
    "2026-07-20": ("40 zinnia b1 fresh",),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-07-20").begin(DAYS)


def test_cuts_week_by_week_beside_the_year_before(shell: Shell) -> None:
    """Of 2025 the week of Monday 7 July, which stands with that of Monday 6 July 2026."""
    found = shell.json("plot", "cuts")
    assert found["labels"] == ["6 Jul", "13 Jul", "20 Jul"]
    assert found["series"] == [
        {"name": "2026", "values": [100, None, 40]},
        {"name": "2025", "values": [30, None, None]},
    ]
    assert shell.json("plot", "cuts", "--crop", "stat")["series"] == [{"name": "2026", "values": [20]}]
    assert shell.json("plot", "takings")["series"][0]["values"] == [45, None, 0]
    assert shell.json("plot", "price")["series"][1] == {"name": "2025", "values": [0.5, None, None]}
    stock = shell.json("plot", "stock")
    assert stock["series"][0]["values"] == [80] and stock["labels"] == ["0 d"]
    assert shell("plot", "cuts", "--csv")[1].splitlines()[0] == "from,2026,2025"


def test_what_was_taken_has_the_pieces_in_it(shell: Shell) -> None:
    for line in ("recipe posy bouquet 5min: 10 fresh zinnia", "make 1 posy", "sold 1 M001 to market at 25"):
        shell.write(line)
    assert shell.json("plot", "takings")["series"][0]["values"] == [45, None, 25]
    assert shell.json("plot", "cuts")["series"][0]["values"] == [100, None, 40]


@pytest.mark.parametrize("what", ("cuts", "takings", "price", "stock"))
def test_it_is_drawn_in_plain_letters_with_its_table(shell: Shell, what: str) -> None:
    text = shell.text("plot", what)
    found = shell.json("plot", what)
    for label, *values in zip(
        found["labels"], *(series["values"] for series in found["series"]), strict=True
    ):
        row = next(line for line in text.splitlines()[19:] if line.startswith(label))
        for value in values:
            assert value is None or f"{value:g}" in row.split()


@cases(40)
@given(st.lists(st.integers(0, 5000), min_size=1, max_size=52).filter(any))
def test_bars_are_as_high_as_their_numbers(values: list[int]) -> None:
    """In the drawing to a hundredth, in letters to a line."""
    plot = Plotted("t", "u", tuple(map(str, range(len(values)))), (Series("one", tuple(values)),))
    root = ElementTree.fromstring(svg(plot))
    high = [float(rect.attrib["height"]) for rect in root.iter(f"{NS}rect")]
    ends = max(float(text.text or 0) for text in root.iter(f"{NS}text") if text.get("text-anchor") == "end")
    assert max(values) <= ends <= 1.6 * max(values)
    wanted = [(HEIGHT - TOP - BOTTOM) * value / ends for value in values if value]
    assert high == pytest.approx(wanted, abs=0.02)
    for rect in root.iter(f"{NS}rect"):
        x, wide = float(rect.attrib["x"]), float(rect.attrib["width"])
        assert x >= LEFT and x + wide <= WIDTH - RIGHT + 0.1
    lines = drawn(plot)
    assert all(line.isascii() and len(line) <= 78 for line in lines)
    if len(values) == 1:
        assert sum("###" in line for line in lines) >= 14


def test_what_is_drawn_in_letters_is_as_high_as_its_number() -> None:
    plot = Plotted("t", "u", ("a", "b", "c", "d"), (Series("one", (1000, 500, 250, 0)),))
    lines = drawn(plot)[1:]
    column = max(range(78), key=lambda n: sum(line[n : n + 1] == "#" for line in lines))
    counts = sorted({sum(line[n : n + 1] == "#" for line in lines) for n in range(column, 78)}, reverse=True)
    whole = counts[0]
    assert abs(counts[1] - whole / 2) <= 1 and abs(counts[2] - whole / 4) <= 1 and counts[-1] <= 1


def test_a_title_with_signs_of_its_own_is_whole_in_the_drawing() -> None:
    plot = Plotted('a <b> & "c"', "u", ("<1>",), (Series("Łódź & co", (1,)),), shape="lines")
    texts = [text.text for text in ElementTree.fromstring(svg(plot)).iter(f"{NS}text")]
    assert 'a <b> & "c" (u)' in texts and "<1>" in texts and "Łódź & co" in texts


def test_the_drawing_is_written_and_her_own_is_left(shell: Shell, tmp_path: Path) -> None:
    file = tmp_path / "cuts.svg"
    assert shell.json("plot", "cuts", "--svg", str(file))["title"] == "stems cut, by week"
    first = file.read_bytes()
    assert shell("plot", "cuts", "--svg", str(file))[0] == 0 and file.read_bytes() == first
    file.write_text("<svg>hers</svg>")
    status, _, err = shell("plot", "cuts", "--svg", str(file))
    assert status == 1 and "none that shedbook made" in err and file.read_text() == "<svg>hers</svg>"


def test_nothing_to_see_and_a_crop_that_is_none_are_told(shell: Shell) -> None:
    for args in (("cuts", "--year", "2020"), ("cuts", "--crop", "ammi"), ("cuts", "--crop", "hovercraft")):
        status, out, err = shell("plot", *args)
        assert (status, out) == (1, "") and err.count("\n") == 1


def test_without_the_library_the_numbers_and_the_drawing_are_there_all_the_same(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "plotext", None)
    monkeypatch.delitem(sys.modules, "tui.drawn", raising=False)
    status, _, err = shell("plot", "cuts")
    assert status == 1 and "pip install '.[plots]'" in err
    assert shell("plot", "cuts", "--csv")[0] == 0
    assert shell("plot", "cuts", "--svg", str(tmp_path / "x.svg"))[0] == 0
