"""A pack of sheets goes from one farm to another as a file, and is looked through on the way in."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.shell import Shell

HERE = {
    "2026-03-01": (
        "bed b1 50ft",
        "crop didiscus like ammi, spacing 8",
        "crop blue lace like didiscus",
        "sheet zinnia days to first cut 66 own record",
        "sheet zinnia lime days to first cut 70",
        "sheet strawflower early spacing 9",
        "peony blooms 1 july",
    )
}


@pytest.fixture
def here(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "here", capsys, "2026-05-20").begin(HERE)


@pytest.fixture
def there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "there", capsys, "2026-06-01").begin({"2026-03-01": ("bed c1 30ft",)})


def pack(here: Shell, tmp_path: Path) -> Path:
    file = tmp_path / "sheets.json"
    status, out, err = here("sheets", "out", str(file))
    assert (status, err) == (0, ""), err
    assert "2 crops of your own and 5 figures" in out
    return file


def test_every_figure_of_hers_is_hers_there_too(here: Shell, there: Shell, tmp_path: Path) -> None:
    file = pack(here, tmp_path)
    status, out, err = there("sheets", "in", str(file))
    assert (status, err) == (0, ""), err
    assert out.count("came in: ") == 7
    for crop in ("didiscus", "blue lace", "zinnia", "peony"):
        own, got = (shell.json("crop", *crop.split()) for shell in (here, there))
        values = [{k: f["value"] for k, f in sheet["figures"].items()} for sheet in (own, got)]
        assert values[0] == values[1], crop
        assert own["varieties"].keys() == got["varieties"].keys()
    there.write("sow 72 didiscus", on="2026-06-01")
    again = there("sheets", "in", str(file))[1]
    assert "came in" not in again and "there already: 7" in again
    assert there("check")[0] == 0


def test_what_she_has_otherwise_stays_hers_unless_she_says_over(
    here: Shell, there: Shell, tmp_path: Path
) -> None:
    file = pack(here, tmp_path)
    there.write("sheet zinnia days to first cut 50")
    looked = there("sheets", "in", str(file), "--look")[1]
    assert (
        "would come in: " in looked
        and "zinnia: setting out to first cut, days is 50 here, 66 there" in looked
    )
    assert there.json("crop", "peony")["figures"].get("bloom") is None  # only looked
    there("sheets", "in", str(file))
    assert there.json("crop", "zinnia")["figures"]["days_to_first_cut"]["value"] == [50, 50]
    there("sheets", "in", str(file), "--over")
    assert there.json("crop", "zinnia")["figures"]["days_to_first_cut"]["value"] == [66, 66]


def test_nothing_is_written_over(here: Shell, tmp_path: Path) -> None:
    file = pack(here, tmp_path)
    status, _, err = here("sheets", "out", str(file))
    assert status == 1 and "is there already" in err


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "{}", '{"format": "something else"}', "\x00\xff", "[" * 5000]
)
def test_what_is_no_pack_is_refused_in_one_sentence(there: Shell, tmp_path: Path, text: str) -> None:
    file = tmp_path / "odd.json"
    file.write_text(text, "utf-8")
    status, out, err = there("sheets", "in", str(file))
    assert (status, out) == (1, "") and "is no pack of sheets" in err and err.count("\n") == 1


ODD: list[dict[str, Any]] = [
    {"crop": "zinnia", "figure": "spacing_in", "value": "1e9"},
    {"crop": "zinnia", "figure": "spacing_in", "value": 9},
    {"crop": "zinnia", "figure": "no such figure", "value": "9"},
    {"crop": "unheard of", "figure": "spacing_in", "value": "9"},
    {"crop": "zinnia", "figure": "hazard", "value": "\x1b[2J"},
    {"crop": "zinnia", "figure": "hazard", "value": "x" * 5000},
    {"crop": "zinnia", "figure": "hazard"},
    {"crop": "zinnia", "figure": "bloom", "value": "13-41"},
]


@pytest.mark.parametrize("odd", ODD)
def test_a_figure_that_cannot_be_is_left_out_by_name_and_the_rest_comes_in(
    there: Shell, tmp_path: Path, odd: dict[str, Any]
) -> None:
    good = {"crop": "zinnia", "figure": "vase_life_days", "value": "6 to 9"}
    file = tmp_path / "pack.json"
    pack = {"format": "shedbook sheets", "version": 1, "farm": "", "crops": [], "figures": [odd, good]}
    file.write_text(json.dumps(pack), "utf-8")
    status, out, err = there("sheets", "in", str(file))
    assert (status, err) == (0, ""), err
    assert out.count("came in: ") == 1 and "not taken: " in out
    assert there("check")[0] == 0


def test_a_crop_like_one_that_is_nowhere_is_left_out(there: Shell, tmp_path: Path) -> None:
    file = tmp_path / "pack.json"
    crops = [{"crop": "one", "like": "two"}, {"crop": "Three", "like": ""}, "four"]
    file.write_text(json.dumps({"format": "shedbook sheets", "version": 1, "crops": crops}), "utf-8")
    status, out, _ = there("sheets", "in", str(file))
    assert status == 0 and out.count("not taken: ") == 3
