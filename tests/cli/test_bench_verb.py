"""`shedbook bench` and the calculations beside it, run as she runs them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shell import Shell

RECIPE = "recipe winter-wreath wreath 12in 60min: 30 dry statice, 1 ring 12in, 2 wire 22"


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    days = {
        "2026-07-01": ("farm zone UTC", "bed b1 50ft", "plant statice b1 25ft on 2026-04-01", "70 statice b1 dry",
                       "hang line 1"),
        "2026-07-20": ("snap L001", "box L001 7x10 box 1"),
        "2026-08-20": ("bought 500 wire 22", "bought 5 ring 12in", RECIPE),
    }  # fmt: skip
    return Shell(tmp_path / "farm", capsys, "2026-08-20").begin(days)


def test_the_bench_says_what_can_be_made_and_what_to_buy(run: Shell) -> None:
    assert run("write", "reorder 500 wire 22")[0] == 0
    assert run("write", "farm wire SWG")[0] == 0
    status, out, _ = run("bench")
    assert status == 0 and all(len(line) <= 78 for line in out.splitlines())
    for part in (
        "what is there makes 2; dry statice ends it",
        "buy",
        "22 gauge SWG, 0.71 mm",
        "turn the ends in",
    ):
        assert part in out
    found = run.json("bench")
    assert found["recipes"][0]["can_make"] == 2 and found["makings"][0]["status"] == "buy"


def test_a_piece_made_stands_on_the_bench_and_in_the_stock_no_more(run: Shell) -> None:
    status, out, _ = run("write", "make 2 winter-wreath 100min")
    assert status == 0 and "made 2 winter-wreath" in out
    (piece,) = run.json("bench")["pieces"]
    assert (piece["piece"], piece["on_hand"], piece["minutes_each"], piece["lots"]) == (
        "M001",
        2,
        50,
        ["L001"],
    )
    assert run.json("stock")["rows"][0]["stems"] == 10
    assert "made 2 winter-wreath" in run("history", "m001")[1]
    assert run("check")[0] == 0


def test_a_piece_is_traced_back_to_its_bed(run: Shell) -> None:
    assert run("write", "make 2 winter-wreath")[0] == 0
    (part,) = run.json("bench", "--trace", "m001")["stems"]
    assert (part["lot"], part["stems"], part["bed"], part["out_on"]) == ("L001", 60, "b1", "2026-04-01")
    told = run.text("bench", "--trace", "M001")
    assert "60  L001  statice" in told and "and 2 ring 12in, 4 wire 22" in told
    status, _, err = run("bench", "--trace", "M009")
    assert status == 1 and "no pieces M009" in err


def test_an_order_says_what_is_short(run: Shell) -> None:
    status, out, _ = run("bench", "--make", "12 winter-wreaths of 14 in", "--spare", "10")
    assert status == 0
    assert "462 dry statice" in out and "392" in out  # 35 a wreath, a tenth more; 70 are there
    found = run.json("bench", "--make", "2 winter-wreath")
    assert found["sentence"] == "Everything for 2 winter-wreath is there."
    found = run.json("bench", "--make", "12 wreaths of 12 in")
    assert found["parts"][0]["needed"] == 1440 and found["parts"][0]["there"] == 70


def test_an_order_that_cannot_be_read_is_one_sentence(run: Shell) -> None:
    for order, says in (("12 hats", "no recipe hats"), ("", "Of what?"), ("0 winter-wreath", "Say how many")):
        status, out, err = run("bench", "--make", order)
        assert (status, out) == (1, "") and says in err and err.count("\n") == 1


def test_a_bare_bench_says_how_to_begin(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bare = Shell(tmp_path / "farm", capsys, "2026-08-20").begin({})
    assert "recipe winter-wreath" in " ".join(bare.text("bench").split())


def test_wire_rings_and_crowns_are_reckoned_without_a_farm(run: Shell) -> None:
    assert run.json("reckon", "wire", "22") == {
        "gauge": 22,
        "swg_mm": 0.711,
        "awg_mm": 0.644,
        "used_for": "chrysanthemums [S80], winding a wreath [S75]",
    }
    assert "22 gauge AWG, 0.64 mm" in run("reckon", "wire", "22g")[1]
    assert run.json("reckon", "wreath", "18in")["pieces"] == 180  # 100 on 10 in [S74]
    assert "120 main pieces" in run("reckon", "wreath", "12")[1]
    assert run.json("reckon", "crown", "23in")["sprigs"] == [25, 40]  # common practice
    for words in (("wire", "4"), ("wreath", "900"), ("crown", "0")):
        status, out, err = run("reckon", *words)
        assert (status, out) == (1, "") and err.count("\n") == 1
    assert run("reckon", "wreath", "wide")[0] == 2
