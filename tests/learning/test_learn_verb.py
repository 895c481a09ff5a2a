"""`shedbook learn`: what it prints, and that what it advises is a line of the book."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.learning.figures import LEARNABLE
from core.learning.observed import Sort
from core.learning.rows import line_for
from core.plans.defaults import COMMON
from core.reckon.learning.belief import Estimate
from core.session import Session, Written
from core.settings.sheets import farm_sheet
from tests.farms import farm_in
from tests.learning.five_seasons import FIGURES, write_farm
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp

pytestmark = pytest.mark.usefixtures("reckoned_once")

ON = "2023-12-20"
JSON_KEYS = ("figure", "sheet", "own", "low", "high", "seasons", "n", "advice")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("learned") / "farm"
    book = Book.create(folder, device="shed")
    drafts = [Draft(entry.kind, entry.on, entry.fields) for entry in write_farm(1, 3).entries]
    for first in range(0, len(drafts), 2000):
        book.append(drafts[first : first + 2000], by="ml")
    Session.open(folder, by="ml", on=date.fromisoformat(ON)).close()
    return folder


@pytest.fixture
def shell(made: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    shutil.copytree(made, tmp_path / "farm")
    return Shell(tmp_path / "farm", capsys, ON)


def test_one_crop_is_told_figure_by_figure(shell: Shell) -> None:
    rows = shell.json("learn", "statice")["rows"]
    assert {row["figure"] for row in rows} >= set(FIGURES)
    for row in rows:
        assert set(JSON_KEYS) <= set(row)
        assert row["low"] <= row["own"] <= row["high"] and row["advice"].endswith(".")
        assert row["sheet"] is None or row["sheet"][0] <= row["sheet"][1]
    text = shell.text("learn", "statice", most=100)
    assert all(row["take"] in text for row in rows)
    crop = next(row["crop"] for row in shell.json("learn")["rows"] if row["take"])
    assert "because 3 seasons" in shell.text("learn", crop, most=100)
    assert "days to come up" in text


def test_without_a_crop_it_tells_what_to_change(shell: Shell) -> None:
    text = shell.text("learn", most=100)
    rows = shell.json("learn")["rows"]
    lines = [row["take"] for row in rows if row["take"]]
    assert text.count("Take it, because") == 5 < len(lines)
    assert all(line in text for line in lines)
    assert "need no change" in text
    status, csv, _ = shell("learn", "--csv")
    assert status == 0 and len(csv.splitlines()) == len(rows) + 1


def test_every_advice_is_a_line_that_the_book_takes_and_then_the_sheet_says_so(shell: Shell) -> None:
    before = {(row["crop"], row["figure"]): row for row in shell.json("learn")["rows"]}
    session = Session.open(shell.farm, by="ml", on=date.fromisoformat(ON))
    for row in before.values():
        if row["take"]:
            written = session.write(row["take"])
            assert isinstance(written, Written), f"{row['take']}: {written.sentence}"
            sheet = farm_sheet(session.farm, row["crop"])
            figure = getattr(sheet, row["figure"])
            if row["source"] == COMMON:  # no sheet has it: there is nothing of which it stands in place
                assert figure.instead_of is None
            else:
                assert figure.instead_of is not None
                least, most = figure.instead_of.value
                # where one number is published, the seasons are weighed against a range about it
                assert row["sheet"] == [least, most] or (
                    least == most and row["sheet"][0] < most < row["sheet"][1]
                )
            assert figure.value[0] < figure.value[1]
    session.close()
    after = {(row["crop"], row["figure"]): row for row in shell.json("learn")["rows"]}
    for key, row in before.items():
        # what was taken from the record is not counted again as if it were published
        assert (after[key]["own"], after[key]["sheet"]) == (row["own"], row["sheet"])
        assert not after[key]["take"]
        assert (after[key]["in_use"] is not None) == bool(row["take"])


async def test_on_the_screen_a_figure_is_taken_by_enter_twice(shell: Shell) -> None:
    row = next(row for row in shell.json("learn")["rows"] if row["take"])
    session = Session.open(shell.farm, by="ml", on=date.fromisoformat(ON))
    app = ShedApp(session, None, shell.farm)
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("season")
        assert app.view.listing.choose(("season", "figures"))
        await pilot.press("enter")
        assert app.view.listing.choose(("own figure", row["crop"], "", "", row["figure"]))
        await pilot.press("down", "up")
        assert row["advice"] in " ".join(shown(app).split())
        await pilot.press("enter")
        assert app.entry.value == row["take"]
        await pilot.press("enter")
        assert not app.view.listing.choose(("own figure", row["crop"], "", "", row["figure"]))
    figure = getattr(farm_sheet(session.farm, row["crop"]), row["figure"])
    assert figure.value[0] < figure.value[1] and figure.source.startswith("own sheet")


def test_whatever_figure_is_advised_the_line_is_understood(shell: Shell) -> None:
    session = Session.open(shell.farm, by="ml", on=date.fromisoformat(ON))
    found = Estimate(12.4, 11.0, 14.0, 10.2, 15.7, 0.5)
    for one in LEARNABLE.values():
        for way, variety in (("", ""), ("early", ""), ("", "lime"), ("", "pale blue")):
            if not one.is_on_sheet or (way and one.name == "flowers_weeks"):
                continue
            line = line_for(one, Sort("strawflower", way, variety), found)
            written = session.write(line)
            assert isinstance(written, Written), f"{line}: {written.sentence}"
            sheet = farm_sheet(session.farm, "strawflower", way or None, variety or None)
            assert getattr(sheet, one.name).value == (10, 16)


def test_the_sheet_shows_the_record_beside_the_published_figure(shell: Shell) -> None:
    text = " ".join(shell.text("crop", "statice").split())
    assert "days to germinate: 7 to 10" in text and "by your record" in text
    learned = {row["figure"] for row in shell.json("crop", "statice")["learned"]}
    assert set(FIGURES) <= learned


def test_a_plan_rests_on_the_share_that_was_taken(shell: Shell) -> None:
    wish = ("plan", "200", "statice", "dry", "by", "2024-10-01")
    (before,) = shell.json(*wish)["plans"]
    session = Session.open(shell.farm, by="ml", on=date.fromisoformat(ON))
    for line in ("sheet statice comes up 40 to 50", "sheet statice cull share 25 to 35"):
        assert isinstance(session.write(line), Written)
    session.close()
    (after,) = shell.json(*wish)["plans"]
    assert after["seeds"] > 1.4 * before["seeds"]
    assert after["plants_to_set_out"] > before["plants_to_set_out"]


def test_a_new_farm_is_told_what_to_write(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    farm_in(tmp_path / "new", {"2026-06-01": ("bed b1 50ft",)}).close()
    shell = Shell(tmp_path / "new", capsys, "2026-06-01")
    assert "says nothing of that yet" in " ".join(shell("learn")[1].split())
    assert shell.json("learn", "zinnia") == {"rows": []}
    status, _, error = shell("learn", "xyzzy")
    assert status == 1 and "no one crop" in error


def test_what_cost_her_is_told_with_its_intervals(shell: Shell) -> None:
    told = shell.json("cost", "--year", "2022")
    assert set(told) == {"rows", "comparisons", "losses", "so_far", "planned", "turns", "short"}
    assert {loss["cause"] for loss in told["losses"]} >= {"culled", "shatter"}
    assert all(loss["low_pct"] <= loss["share_pct"] <= loss["high_pct"] for loss in told["losses"])
    every = shell.json("losses", "--year", "2022")["rows"]
    assert {(r["crop"], r["form"], r["cause"]): r["stems"] for r in every} == {
        (r["crop"], r["form"], r["cause"]): r["stems"] for r in told["losses"]
    }
    text = shell.text("cost", "--crop", "stat", most=100)
    assert "What went with losses" in text and "globe amaranth" not in text


def test_what_cost_most_is_told_first_and_the_table_last(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.subjects.learning.figures.MOST_LOSSES", 6)
    text = shell("cost", "--year", "2022")[1]
    heads = ("The worst losses", "What went with losses", "Losses by size")
    assert [text.index(head) for head in heads] == sorted(text.index(head) for head in heads)
    worst = text[: text.index("What went with losses")].strip().splitlines()[1:]
    biggest = max(shell.json("cost", "--year", "2022")["losses"], key=lambda loss: loss["stems"])
    assert len(worst) == 5 and f"{biggest['stems']} stems of {biggest['of']}" in worst[0]
    every = shell("cost", "--year", "2022", "--all")[1]
    assert len(every.splitlines()) > len(text.splitlines()) and "smaller ones" not in every


def test_losses_are_told_in_money_where_the_crop_was_sold_with_a_price(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = (
        "bed b1 50ft", "60 zinnia b1 fresh anyway", "30 yarrow b1 fresh anyway", "40 peony b1 fresh anyway",
        "sold 20 zinnia to market at 0.50", "sold 20 peony to market at 4", "lost 40 L001 wilted",
        "lost 30 L002 wilted", "lost 20 L003 wilted",
    )  # fmt: skip
    farm_in(tmp_path / "sold", {"2026-06-01": lines}).close()
    worst = Shell(tmp_path / "sold", capsys, "2026-06-02")("cost")[1].splitlines()[1:4]
    assert [line.strip() for line in worst] == [
        "peony, wilted fresh: 20 stems of 40, 80.00",
        "yarrow, wilted fresh: 30 stems of 30",
        "zinnia, wilted fresh: 40 stems of 60, 20.00",
    ]


def test_the_table_of_costs_has_its_heads(shell: Shell) -> None:
    assert shell("cost", "--csv")[0] == 0
