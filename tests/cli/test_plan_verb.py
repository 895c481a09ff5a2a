"""`shedbook plan`, run as she runs it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.shell import Shell

DAY = "2026-03-01"
STRAWFLOWER = ("120", "strawflower", "apricot", "dry", "by", "09-19")
ZINNIA = ("10 bunches zinnia fresh a week", "from 07-01 to first frost")


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    lines = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 12ft")
    return Shell(tmp_path / "farm", capsys, DAY).begin({DAY: lines})


def test_a_wish_is_shown_and_nothing_is_written(run: Shell) -> None:
    status, out, _ = run("plan", *STRAWFLOWER)
    assert status == 0
    for part in ("kept 95 times in 100", "Thu 19 Mar 2026", "nothing is written"):
        assert part in out
    assert all(len(line) <= 78 for line in out.splitlines())
    assert "because" not in out and "binomial" in run("plan", *STRAWFLOWER, "--why")[1]
    assert run.json("plan")["rows"] == []


def test_one_kept_plan_is_asked_for_by_its_code(run: Shell) -> None:
    assert run("plan", *STRAWFLOWER, "--keep")[0] == 0
    status, out, _ = run("plan", "n01")
    assert (
        status == 0 and "sow 19 Mar" in out and "because it is to be cut from 2 Aug" in " ".join(out.split())
    )
    seeds = run.json("plan", "N01")["seeds"]
    assert f"write: sow {seeds} strawflower 'apricot' 128s {seeds} seeds" in out
    assert run("plan", "N07") == (1, "", "There is no plan N07 to come; there are N01.\n")


def test_keeping_writes_what_was_shown(run: Shell) -> None:
    shown = run.json("plan", *STRAWFLOWER)
    assert not shown["written"] and shown["plans"][0]["seeds"] == shown["entries"][0]["seeds"]
    (entry,) = run.json("plan", *STRAWFLOWER, "--keep")["entries"]
    (would,) = shown["entries"]
    assert {name: entry[name] for name in would} == would
    (row,) = run.json("plan")["rows"]
    assert (row["plan"], row["next"], row["next_on"]) == ("N01", "sow", "2026-03-19")


def test_a_weekly_wish_shows_its_sowings_and_its_weeks(run: Shell) -> None:
    out = run("plan", *ZINNIA)[1]
    assert "2026-04-09" in out and "kept %" in out and "spaced by the days" in out
    seen = run.json("plan", *ZINNIA)
    assert seen["plans"][0]["sow"] == "2026-04-09" and "2026-05-01" <= seen["plans"][1]["sow"] <= "2026-05-20"
    assert len(seen["weeks"]) == 13 and len(seen["entries"]) == 2
    assert run("plan", "plan", *ZINNIA, "--keep")[0] == 0
    assert [row["plan"] for row in run.json("plan")["rows"]] == ["N01", "N02"]


def test_a_clash_comes_with_what_would_solve_it(run: Shell) -> None:
    out = run("plan", *STRAWFLOWER, "b2")[1]
    assert "bed b2 has 12 free" in " ".join(out.split())
    assert "would solve it: bed b1 has room" in out
    (clash,) = run.json("plan", *STRAWFLOWER, "b2")["clashes"]
    assert (clash["what"], clash["first_week"], clash["change"]) == ("bed", "2026-05-11", "bed b1 has room")


def test_one_number_is_moved(run: Shell) -> None:
    out = run("plan", *STRAWFLOWER, "--what-if", "germination=60%")[1]
    assert "seeds" in out and "germination=60%" in out
    moved = run.json("plan", *STRAWFLOWER, "--what-if", "by=2026-10-01")
    assert {"name": "by", "old": "2026-09-19", "new": "2026-10-01"} in moved["differences"]
    assert run("plan", *STRAWFLOWER, "--what-if", "finish-days=2")[1] == "Nothing else moves.\n"


def test_one_number_is_moved_in_a_wish_for_every_week(run: Shell) -> None:
    out = run("plan", *ZINNIA, "--what-if", "bunches=6")[1]
    assert "sowing 1: plants to set out" in out and "seeds in all" in out and "week of" not in out
    moved = {
        d["name"]: (d["old"], d["new"])
        for d in run.json("plan", *ZINNIA, "--what-if", "until=2026-08-18")["differences"]
    }
    # The second sowing is for September: without it one is left.
    assert moved["sowings"] == ("2", "1") and moved["until"] == ("28 Sep", "18 Aug")
    assert moved["sowing 2: seeds"][1] == "none"
    later = run.json("plan", *ZINNIA, "--what-if", "from=2026-07-22")["differences"]
    (fewer,) = (d for d in later if d["name"] == "weeks that fall short")
    assert int(fewer["new"].split()[0]) < int(fewer["old"].split()[0])


def test_a_wish_may_say_its_germination_and_its_size_of_cell(run: Shell) -> None:
    seen = run.json("plan", *STRAWFLOWER, "60%", "72s")
    (plan,) = seen["plans"]
    usual = run.json("plan", *STRAWFLOWER)["plans"][0]
    assert plan["seeds"] > usual["seeds"] and (plan["trays"], plan["cell_size"]) == (2, 72)
    assert "germination: as said in the line" in " ".join(plan["because"])
    (entry,) = run.json("plan", *STRAWFLOWER, "germination", "60%", "72s", "--keep")["entries"]
    assert (entry["seeds"], entry["cell_size"]) == (plan["seeds"], 72)
    assert max(run.json("plan")["room"]["rows"][1]["taken"]) == 2


def test_the_room_is_listed_week_by_week_and_what_is_short_is_named(run: Shell) -> None:
    run("write", "room lights 1")
    for colour in ("white", "pink"):
        run("plan", "100", "strawflower", colour, "dry", "by", "09-19", "--keep")
    out = run("plan", "--weeks", "12")[1]
    assert "2 of 1 !" in out and "! 1 tray under lights short in the weeks of 16 Mar to 4 May" in out
    assert "would solve it: 1 more tray under lights" in out
    room = run.json("plan", "--weeks", "12")["room"]
    assert len(room["mondays"]) == 12 and room["shortages"][0]["what"] == "lights"


def test_what_is_counted_without_having_been_written_is_said(run: Shell) -> None:
    run("write", "sow 300 strawflower")
    out = " ".join(run("plan")[1].split())
    assert "S01: cells to a tray not written, counted as trays of 128. When sowing, write it: 128s." in out
    (said,) = run.json("plan")["room"]["assumed"]
    assert said.startswith("S01")


def test_the_plans_as_a_table(run: Shell) -> None:
    run("plan", *STRAWFLOWER, "--keep")
    (row,) = csv.DictReader(io.StringIO(run("plan", "--csv")[1]))
    assert (row["plan"], row["crop"], row["sow"]) == ("N01", "strawflower", "2026-03-19")
    assert int(row["seeds"]) > int(row["plants"])


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("plan", "strawflower"), "By which day?"),
        (("plan", *STRAWFLOWER, "--keep", "--what-if", "sure=0.9"), "only looks"),
        (("plan", *STRAWFLOWER, "--what-if", "sure"), "NAME=VALUE"),
        (("plan", *STRAWFLOWER, "--what-if", "luck=1"), "What can be moved"),
        (("plan", *ZINNIA, "--what-if", "by=2026-09-01"), "the days are 'from' and 'until'"),
        (("plan", *STRAWFLOWER, "--what-if", "from=2026-09-01"), "the day is 'by'"),
        (("plan", *STRAWFLOWER, "germination"), "How many of the seeds come up?"),
        (("plan", *STRAWFLOWER, "0%"), "cannot come up"),
        (("plan", *STRAWFLOWER, "120%"), "cannot come up"),
        (("plan", *STRAWFLOWER, "0s"), "one cell at least"),
        (("plan", "--keep"), "Write what is wanted as well"),
        (("plan", "120", "strawflower", "dry", "by", "09-19", "b9", "--keep"), "no bed b9"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_and_writes_nothing(
    run: Shell, args: tuple[str, ...], says: str
) -> None:
    status, out, err = run(*args)
    assert (status, out) == (1, "") and says in err and len(err.splitlines()) == 1
    assert run.json("plan")["rows"] == []


def test_a_span_of_weeks_that_is_none_is_a_usage_error(run: Shell) -> None:
    assert run("plan", "--weeks", "0")[0] == 2
