"""The seed drawer through a year: packets come in, are tested, sown from and counted; the winter's order follows."""

from __future__ import annotations

from datetime import date
from math import comb
from pathlib import Path

import pytest

from core.farm import Farm
from core.fold import fold
from core.language.read import Reading, read_line
from core.reckon.counts import seeds_for
from core.seeds.keeping import COLLEGE, PRESS, germination, keeps, standing
from core.seeds.rows import order_rows, packet_rows
from tests.farms import Pencil, asked_of, beds
from tests.shell import Shell


def drawer(*packets: dict[str, object], start: str = "2026-01-10") -> Pencil:
    pencil = beds("b1", "b2", start=start, last_frost="05-14", first_frost="10-01")
    for n, packet in enumerate(packets, start=1):
        pencil.write("packet", packet=f"K{n:03d}", **{"crop": "zinnia", "count": 200, "year": 2026, **packet})
    return pencil


def read(pencil: Pencil, line: str) -> Reading:
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    return reading


def written(pencil: Pencil, line: str) -> Reading:
    reading = read(pencil, line)
    for draft in reading.drafts:
        pencil.write(draft.kind, draft.on, **draft.fields)
    return reading


def test_a_year_of_the_drawer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-01").begin(
        {
            "2026-01-10": (
                "bed b1 50ft",
                "last frost 05-14",
                "packet zinnia lime 200 seeds 2026 lot 7Q from 'Hill Seed'",
                "packet statice 5 g 2025",
                "packet delphinium 80 seeds 2024",
            )
        }
    )
    shell.write("test seed K002 16 of 20", on="2026-02-03")
    shell.write("sow 144 zinnia lime", on="2026-04-20")
    shell.write("drill statice b1 10ft 1 g", on="2026-05-01")
    shell.write("lost 10 seeds K001 mice", on="2026-05-02")
    shell.write("count 40 seeds K001", on="2026-05-03")
    rows = {row["packet"]: row for row in shell.json("seeds")["rows"]}
    zinnia, statice, delphinium = rows["K001"], rows["K002"], rows["K003"]
    moved = ("bought", "sown", "tested", "lost", "missing", "there")
    assert [zinnia[name] for name in moved] == [200, 144, 0, 10, 6, 40]
    assert [statice[name] for name in moved] == [1750, 350, 20, 0, 0, 1380]
    assert statice["grams"] == 3.94 and statice["germination_by"].startswith("own test 16 of 20")
    assert (zinnia["standing"], statice["standing"], delphinium["standing"]) == ("good", "good", "test")
    assert (zinnia["seed_lot"], zinnia["supplier"]) == ("7Q", "Hill Seed")
    text = shell.text("seeds")
    assert "zinnia lime" in text and "80 %" not in text and "77 % 16 of 20" in " ".join(text.split())
    status, csv, _ = shell("seeds", "--csv")
    assert status == 0 and csv.splitlines()[0].startswith("packet,crop,variety,year")
    assert "from K001" in shell.text("history", "S01", most=110)
    assert "K001: 40 seeds in it" in shell.text("history", "K001", most=110)
    assert shell("check")[0] == 0


def test_the_oldest_good_packet_that_holds_enough_is_sown_first() -> None:
    pencil = drawer({"year": 2026}, {"year": 2024}, {"year": 2025, "count": 50})
    assert read(pencil, "sow 72 zinnia").drafts[0].fields["packet"] == "K002"
    assert read(pencil, "sow 50 zinnia").drafts[0].fields["packet"] == "K002"
    written(pencil, "sow 160 zinnia")
    assert read(pencil, "sow 50 zinnia").drafts[0].fields["packet"] == "K003"
    assert read(pencil, "sow 60 zinnia").drafts[0].fields["packet"] == "K001"
    assert any("left in K003" in remark for remark in read(pencil, "sow 50 zinnia").remarks)


def test_old_seed_is_passed_over_until_its_own_test_says_that_it_is_good() -> None:
    pencil = drawer({"crop": "China aster", "year": 2024}, {"crop": "China aster", "year": 2026})
    assert read(pencil, "sow 72 china aster").drafts[0].fields["packet"] == "K002"
    assert any("3 of 10" not in r and "keeps 2 years" in r for r in read(pencil, "sow 72 K001").remarks)
    written(pencil, "test seed K001 9 of 10")
    assert read(pencil, "sow 72 china aster").drafts[0].fields["packet"] == "K001"
    written(pencil, "test seed K001 3 of 10")
    assert read(pencil, "sow 72 china aster").drafts[0].fields["packet"] == "K002"
    assert any("only 3 of 10" in remark for remark in read(pencil, "sow 72 K001").remarks)
    pencil.later(400)
    assert standing(pencil.farm, pencil.farm.packets.get("K001"), pencil.today) == "test"  # type: ignore[arg-type]


def test_what_is_not_in_the_drawer_can_be_sown_all_the_same() -> None:
    pencil = drawer()
    assert "packet" not in read(pencil, "sow 72 cosmos").drafts[0].fields
    pencil = drawer({"count": 100})
    fields = read(pencil, "sow 144 zinnia").drafts[0].fields
    assert (fields["packet"], fields["packet_seeds"], fields["seeds"]) == ("K001", 100, 144)
    written(pencil, "sow 144 zinnia")
    assert pencil.farm.packets.get("K001").there == 0  # type: ignore[union-attr]
    assert "packet" not in read(pencil, "sow 72 zinnia").drafts[0].fields


def test_a_correction_and_a_strike_give_the_seeds_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-04-20").begin(
        {"2026-04-20": ("packet zinnia lime 200 seeds", "packet cosmos 100 seeds", "sow 144 zinnia lime")}
    )

    def there() -> dict[str, int]:
        return {row["packet"]: row["there"] for row in shell.json("seeds")["rows"]}

    assert there() == {"K001": 56, "K002": 100}
    shell.write("S01 was 100 cells 100 seeds")
    assert there() == {"K001": 100, "K002": 100}
    shell.write("S01 was K002")
    assert there() == {"K001": 200}
    assert shell.json("trays")["rows"][0]["crop"] == "cosmos"
    status, _, why = shell("write", "K002 was 90 seeds")
    assert status == 1 and "would no longer fit" in why
    shell.write("S01 was statice")
    assert there() == {"K001": 200, "K002": 100}
    shell.write("sow 72 K001")
    status, _, why = shell("write", "cancel K001")
    assert status == 1 and "Take that back first" in why
    shell.write("cancel S02")
    assert there()["K001"] == 200
    shell.write("K001 was 250 seeds")
    shell.write("K001 was 2025")
    assert there()["K001"] == 250
    shell.write("K001 was 4 g")
    row = shell.json("seeds")["rows"]
    assert any(r["packet"] == "K001" and r["grams"] == 4 and r["year"] == 2025 for r in row)
    assert shell("check")[0] == 0


def test_a_test_that_was_written_wrong_is_corrected(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-02-03").begin(
        {"2026-02-03": ("packet zinnia lime 200 seeds", "test seed K001 12 of 20")}
    )
    tested = next(line for line in shell("entries")[1].splitlines() if "came up" in line)
    shell.write(f"{tested.split()[2]} was 18 of 20")
    (row,) = shell.json("seeds")["rows"]
    assert row["germination_by"].startswith("own test 18 of 20") and row["standing"] == "good"
    assert row["there"] == 180


def test_more_that_went_than_there_was_is_told_until_it_is_counted() -> None:
    """Two machines each sow most of one packet."""
    pencil = drawer({})
    sown: dict[str, object] = {"crop": "zinnia", "cells": 150, "seeds": 150, "packet": "K001"}
    pencil.write("sown", tray="S01", **sown)
    pencil.entries.append(pencil.made("sown", tray="S02b", **sown))
    (matter,) = fold(pencil.entries).matters
    assert "100 more seeds of K001 (zinnia) went than it held" in matter.sentence
    pencil.entries.append(pencil.made("seed counted", packet="K001", count=0))
    farm = fold(pencil.entries)
    assert not farm.matters and farm.packets.get("K001").there == 0  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("crop", "least", "most", "source"),
    [
        ("delphinium", 1, 1, COLLEGE),
        ("China aster", 2, 2, COLLEGE),
        ("phlox", 2, 2, COLLEGE),
        ("cosmos", 3, 3, COLLEGE),
        ("snapdragon", 3, 3, COLLEGE),
        ("scabiosa", 3, 3, COLLEGE),
        ("stock", 5, 5, COLLEGE),
        ("zinnia", 5, 5, COLLEGE),
        ("sweet pea", 2, 10, PRESS),
        ("marigold", 3, 10, PRESS),
        ("calendula", 5, 10, PRESS),
    ],
)
def test_seed_keeps_as_the_published_lists_say(crop: str, least: int, most: int, source: str) -> None:
    """Two lists: a college teacher's (one to five years), and the Associated Press of 1997 (delphinium, aster,
    candytuft and phlox shortest; alyssum, Shasta daisy, calendula, sweet pea, poppy, marigold 5 to 10 years).
    Where they clash both are told."""
    found = keeps(Farm(), crop)
    assert (found.least, found.most) == (least, most) and source in found.source


def test_of_other_crops_seed_is_good_for_the_season_after() -> None:
    """Colorado State University Extension 7.221: vegetable and flower seed keeps one year on the shelf without much
    loss."""
    pencil = drawer({"crop": "orlaya", "year": 2025}, {"crop": "orlaya", "year": 2024})
    one, two = (pencil.farm.packets.get(code) for code in ("K001", "K002"))
    assert one is not None and two is not None
    march = date(2026, 3, 1)
    assert (standing(pencil.farm, one, march), standing(pencil.farm, two, march)) == ("good", "test")


def test_how_long_her_seed_keeps_goes_before_the_handbook() -> None:
    pencil = drawer({"crop": "China aster", "year": 2023}, {"crop": "larkspur", "year": 2024})
    march = date(2026, 3, 1)
    aster, larkspur = (pencil.farm.packets.get(code) for code in ("K001", "K002"))
    assert aster is not None and larkspur is not None
    assert {standing(pencil.farm, packet, march) for packet in (aster, larkspur)} == {"test"}
    for line in ("sheet China aster seed keeps 4", "sheet larkspur seed keeps 3 to 5 years"):
        written(pencil, line)
    assert {standing(pencil.farm, packet, march) for packet in (aster, larkspur)} == {"good"}
    (row, _) = packet_rows(pencil.farm, march)
    assert row.keeps == "4 years" and "own sheet" in row.keeps_by


def test_seed_of_a_crop_of_hers_keeps_like_the_one_it_is_like() -> None:
    pencil = drawer({"crop": "stock", "year": 2026})
    written(pencil, "crop wallflower like stock")
    assert keeps(pencil.farm, "wallflower").least == keeps(pencil.farm, "stock").least == 5
    assert keeps(pencil.farm, "didiscus").least == 2


def test_a_small_test_says_less_than_a_big_one() -> None:
    """Reckoned beside it by summing the chances over every share that the test leaves possible (a uniform prior)."""
    pencil = drawer({}, {})
    pencil.write("seed tested", packet="K001", count=8, tested=10)
    pencil.write("seed tested", packet="K002", count=40, tested=50)
    needed = []
    for code, (up, of) in (("K001", (8, 10)), ("K002", (40, 50))):
        share, rho, by = germination(pencil.farm.packets.get(code))
        assert by.startswith(f"own test {up} of {of}")
        found = seeds_for(60, germination=share, rho=rho, sure=0.95)
        assert not hasattr(found, "sentence")
        needed.append(found.seeds)  # type: ignore[union-attr]
        chance = [_enough(seeds, 60, up, of) for seeds in (needed[-1] - 1, needed[-1])]
        assert chance[0] < 0.95 <= chance[1]
    assert needed[0] > needed[1] > 60 / 0.8


def _enough(seeds: int, plants: int, up: int, of: int) -> float:
    """The chance that so many seeds give the plants, averaged over shares by how well each explains the test."""
    steps = 4000
    shares = [(n + 0.5) / steps for n in range(steps)]
    weights = [p**up * (1 - p) ** (of - up) for p in shares]
    total = sum(weights)
    chance = 0.0
    for p, weight in zip(shares, weights, strict=True):
        tail = sum(comb(seeds, k) * p**k * (1 - p) ** (seeds - k) for k in range(plants, seeds + 1))
        chance += weight / total * tail
    return chance


PLAN = {
    "crop": "zinnia",
    "variety": "lime",
    "use": "fresh",
    "stems": 300,
    "due_on": "2026-08-20",
    "sow_on": "2026-04-16",
    "set_out_on": "2026-05-20",
    "cut_from": "2026-07-20",
    "cells": 72,
    "seeds": 90,
    "plants": 60,
    "feet": 15,
}


def test_the_order_list_is_what_the_plans_take_less_what_is_good() -> None:
    pencil = drawer({"variety": "lime", "count": 60}, {"variety": "lime", "count": 500, "year": 2019})
    pencil.write("planned", plan="N01", **PLAN)
    (row,) = order_rows(pencil.farm, pencil.today)
    assert (row.need, row.there, row.order, row.wanted_for) == (90, 60, 30, "N01")
    assert row.sow_on == "2026-04-16" and "K002" in row.because
    pencil.write("seed tested", packet="K001", count=20, tested=20)
    (row,) = order_rows(pencil.farm, pencil.today)
    share, rho, _ = germination(pencil.farm.packets.get("K001"))
    found = seeds_for(60, germination=share, rho=rho, survival=0.9)
    assert row.need == found.seeds != 90 and row.there == 40  # type: ignore[union-attr]
    pencil.today = date(2026, 4, 16)
    pencil.write("sown", tray="S01", crop="zinnia", variety="lime", cells=36, seeds=30, packet="K001")
    (row,) = order_rows(pencil.farm, pencil.today)
    assert row.need == -(-found.seeds // 2) and row.there == 10  # type: ignore[union-attr]


def test_old_seed_stands_beside_what_is_to_be_ordered_and_is_tested_before(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-03-09").begin(
        {
            "2026-03-09": (
                "bed b1 50ft",
                "last frost 05-14",
                "first frost 10-01",
                "packet strawflower gold 200 seeds 2024 80%",
                "plan 100 strawflower gold dry by 9-1",
            )
        }
    )
    (row,) = shell.json("seeds", "--order")["rows"]
    assert (row["there"], row["old"], row["test"]) == (0, 200, ["K001"]) and row["order"] == row["need"] > 200
    text = " ".join(shell.text("seeds", "--order").split())
    assert f"{row['need']} 0 200 {row['order']}" in text and "test K001" in text
    page = shell.text("today")
    assert page.index("test old seed of strawflower gold K001") < page.index("order seed: strawflower gold")
    assert f"{row['order'] - 200} if K001 is good" in page
    shell.write("test seed K001 45 of 50")
    (row,) = shell.json("seeds", "--order")["rows"]
    assert (row["there"], row["old"], row["test"]) == (150, 0, []) and row["order"] == row["need"] - 150
    page = shell.text("today")
    assert "test old seed" not in page and "is good" not in page


@pytest.mark.parametrize(("up", "of", "share"), [(8, 10, 75), (42, 50, 83), (0, 4, 17)])
def test_a_test_is_told_by_its_count_and_by_the_share_that_is_reckoned_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], up: int, of: int, share: int
) -> None:
    """The same two numbers as the line is written and in the drawer: (k + 1) / (n + 2), Laplace."""
    shell = Shell(tmp_path / "farm", capsys, "2026-02-03").begin({"2026-02-03": ("packet zinnia 200 seeds",)})
    answer = shell("write", f"test seed K001 {up} of {of}")[1]
    assert f"{up} of {of} seeds came up" in answer and f"reckoned with {share} %" in answer
    assert answer.count("%") == 1
    (row,) = shell.json("seeds")["rows"]
    assert (row["test_up"], row["test_of"], row["germination"]) == (up, of, share)
    text = " ".join(shell.text("seeds").split())
    assert f"{share} % {up} of {of}" in text and text.count("%") == 1


def test_old_seed_that_two_plans_could_take_is_told_of_one() -> None:
    pencil = drawer({"variety": "lime", "year": 2019, "count": 100})
    pencil.write("planned", plan="N01", **{name: value for name, value in PLAN.items() if name != "variety"})
    pencil.write("planned", plan="N02", **PLAN)
    rows = {row.variety: row for row in order_rows(pencil.farm, pencil.today)}
    assert (rows["lime"].old, rows["lime"].if_good) == (100, 0)
    assert (rows[None].old, rows[None].if_good) == (10, 80)


def test_seed_of_one_variety_is_counted_once() -> None:
    """A plan for zinnia of whatever color takes what a plan for lime leaves."""
    pencil = drawer({"variety": "lime", "count": 100})
    pencil.write("planned", plan="N01", **{name: value for name, value in PLAN.items() if name != "variety"})
    pencil.write("planned", plan="N02", **PLAN)
    rows = {row.variety: row for row in order_rows(pencil.farm, pencil.today)}
    assert (rows["lime"].there, rows["lime"].order) == (100, 0)
    assert (rows[None].there, rows[None].order) == (10, 80)


def test_without_a_plan_the_order_is_as_much_as_last_season() -> None:
    pencil = drawer({"crop": "statice", "count": 100})

    pencil.today = date(2026, 3, 20)
    pencil.write("sown", tray="S01", crop="statice", cells=128, seeds=150)
    pencil.write("sown", tray="S02", crop="cosmos", cells=72, seeds=72)
    assert order_rows(pencil.farm, date(2026, 10, 20)) == []
    rows = {row.crop: row for row in order_rows(pencil.farm, date(2026, 12, 1))}
    assert (rows["statice"].need, rows["statice"].there, rows["statice"].order) == (150, 100, 50)
    assert (rows["cosmos"].order, rows["cosmos"].wanted_for) == (72, "as last year")
    assert rows["statice"].grams == pytest.approx(50 / 350, abs=0.01)


def test_the_winter_page_asks_in_few_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pencil = drawer({"crop": "China aster", "year": 2023, "count": 90}, {"variety": "lime", "count": 10})
    pencil.write("planned", plan="N01", **PLAN)
    pencil.today = date(2026, 2, 3)
    tasks = {task.do: task for task in asked_of(pencil, "season")}
    assert tasks["test old seed of"].crops == ("China aster K001",)
    pencil.today = date(2026, 2, 20)
    assert not any(task.do.startswith("test") for task in asked_of(pencil, "season"))
    assert tasks["order seed:"].crops == ("zinnia lime",)
    assert tasks["order seed:"].days == ("80 seeds for 16 Apr",)
    pencil.today = date(2026, 7, 3)
    assert not asked_of(pencil, "season")


async def test_the_drawer_on_the_screen(tmp_path: Path) -> None:
    from tests.farms import farm_in
    from tests.tui.test_morning import shown
    from tui.app import ShedApp

    session = farm_in(tmp_path / "farm", {"2026-02-03": ("bed b1 50ft", "packet zinnia lime 200 seeds 2026")})
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("S")
        assert app.open_view == "seeds"
        text = shown(app)
        assert "K001" in text and "zinnia lime" in text and "s sow" in text
        await pilot.press("t", "1", "7", "enter")
        assert "K001: 17 of 20 seeds came up" in app.status.text
        assert "180" in shown(app)
        await pilot.press("question_mark")
        assert "On a packet" in shown(app) and "Help for Seeds" in shown(app)


def test_what_is_to_be_planted_beyond_what_lies_in_store_is_to_be_bought(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-02-03").begin(
        {
            "2026-02-03": (
                "bed b1 50ft",
                "bed b2 50ft",
                "last frost 05-14",
                "first frost 10-01",
                "bought 30 dahlia tubers",
            )
        }
    )
    planned = shell.write("plan 60 dahlia fresh by 08-25", on="2026-02-03")["remarks"]
    (plan,) = shell.json("plan")["rows"]
    wanted = plan["plants"]
    assert wanted > 30
    assert f"{wanted - 30} tubers are to be bought: 30 in store of the {wanted}" in planned
    # the second plan finds the store spoken for
    second = shell.write("plan 30 dahlia fresh by 08-26", on="2026-02-03")["remarks"]
    more = sum(row["plants"] for row in shell.json("plan")["rows"]) - wanted
    assert f"{more} tubers are to be bought: none in store for it" in second
    (row,) = shell.json("seeds", "--order")["rows"]
    assert (row["crop"], row["of"], row["need"], row["there"], row["order"]) == (
        "dahlia",
        "tubers",
        wanted + more,
        30,
        wanted + more - 30,
    )
    assert f"order to plant: dahlia {wanted + more - 30} tubers" in " ".join(shell("today")[1].split())
    # what is planted of it is wanted no more
    shell.write(f"plant 50ft dahlia b1 {wanted} plants", on="2026-05-26")
    (row,) = shell.json("seeds", "--order", on="2026-05-26")["rows"]
    assert (row["need"], row["there"]) == (more, 0)
    bulbs = shell.write("plan 40 tulip fresh by 2027-05-12", on="2026-08-01")["remarks"]
    assert any(told.endswith("bulbs are to be bought: none in store for it") for told in bulbs)
    plants = shell.write("plan 40 zinnia fresh by 08-25", on="2026-02-03")["remarks"]
    assert not any("to be bought" in told for told in plants)
