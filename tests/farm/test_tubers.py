"""Tubers lifted in fall, divided, looked over in store and planted out again: none appears, none is lost untold."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.beds.rows import bed_rows
from core.fold import fold
from core.language.read import Reading, read_line
from core.problems import Problem
from core.seeds.rows import order_rows
from core.session import Session
from core.tubers.claims import CAUSES
from core.tubers.rows import TuberRow, tuber_rows
from core.tubers.stock import Tubers
from tests.farms import Pencil, asked_of, beds, write
from tests.shell import Shell

RED = {"crop": "dahlia", "variety": "red"}


def dahlias() -> Pencil:
    pencil = beds("b1", "b2", start="2026-05-20", last_frost="05-14", first_frost="10-01")
    pencil.write("set out", planting="P01", **RED, bed="b1", feet=20, plants=18)
    return pencil


def rows(pencil: Pencil) -> dict[str | None, TuberRow]:
    return {row.variety: row for row in tuber_rows(pencil.farm)}


def test_from_the_frost_to_the_next_may(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2027-05-20").begin(
        {
            "2026-05-20": (
                "bed b1 50ft",
                "last frost 05-14",
                "plant dahlia red b1 20ft 18 plants",
                "plant dahlia 'Ball Mix' b1 10ft 9 plants",
            )
        }
    )
    for day, line in (
        ("2026-10-06", "low 27"),
        ("2026-10-18", "lift b1"),
        ("2026-12-01", "lost 3 dahlia red tubers rot"),
        ("2027-03-20", "divide 15 dahlia red into 52"),
        ("2027-04-01", "bought 10 dahlia white tubers"),
        ("2027-04-02", "count 50 dahlia red tubers"),
        ("2027-05-18", "plant dahlia red b1 30ft 30 plants"),
    ):
        shell.write(line, on=day)
    told = {row["variety"]: row for row in shell.json("tubers")["rows"]}
    red = told["red"]
    moved = ("lifted", "gained", "lost", "missing", "planted", "there")
    assert [red[name] for name in moved] == [18, 37, 3, 2, 30, 20]
    assert (told["Ball Mix"]["there"], told["white"]["there"]) == (9, 10)
    assert "dahlia red" in shell.text("tubers")
    assert shell("check")[0] == 0


def test_the_page_asks_to_lift_what_the_frost_blackened_one_to_two_weeks_after() -> None:
    """A week to two after the frost that blackened them (common practice)."""
    pencil = dahlias()
    pencil.today = date(2026, 10, 6)
    pencil.write("low", f=27)
    frost = pencil.today
    asked = {}
    for days in range(1, 30):
        (job,) = [p.job for b in bed_rows(pencil.farm, frost + timedelta(days=days)) for p in b.plantings]
        asked[days] = job
    assert asked[10] == "lift" and asked[14] == "lift"
    (planting,) = [p for b in bed_rows(pencil.farm, frost + timedelta(days=10)) for p in b.plantings]
    assert "lift P01" in planting.because
    pencil.later(12).write("lifted", planting="P01", **RED, bed="b1", count=18)
    assert not [p for b in bed_rows(pencil.farm, pencil.today) for p in b.plantings]


def test_a_part_lifted_leaves_the_rest_standing() -> None:
    pencil = dahlias()
    pencil.write("lifted", planting="P01", **RED, bed="b1", count=10)
    assert pencil.farm.plantings.get("P01").cleared_on is None  # type: ignore[union-attr]
    assert pencil.refusal("lifted", planting="P01", **RED, bed="b1", count=9) is not None
    pencil.write("lost", planting="P01", count=2, cause="slugs")
    pencil.write("lifted", planting="P01", **RED, bed="b1", count=6)
    assert pencil.farm.plantings.get("P01").cleared_on == "2026-05-20"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "kind", "count"),
    [
        ("lift b1", "lifted", 18),
        ("lift b1 dahlia red", "lifted", 18),
        ("lift 5 clumps P01", "lifted", 5),
        ("dug 5 dahlia b1", "lifted", 5),
        ("lost 2 dahlia tubers rot", "tubers lost", 2),
        ("lost 2 dahlia red bulbs frost", "tubers lost", 2),
        ("bought 20 dahlia tubers", "tubers bought", 20),
        ("count 9 dahlia red tubers", "tubers counted", 9),
        ("divide dahlia into 30", "divided", 10),
        ("divide 4 red dahlia clumps into 20", "divided", 4),
        ("divide 1 dahlia into 30 anyway", "divided", 1),
        ("lost 2 slugs b1 dahlia", "lost", 2),
        ("bought 20 wire 22", "bought", 20),
    ],
)
def test_in_a_line(line: str, kind: str, count: int) -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=10)
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    draft = reading.drafts[0]
    assert (draft.kind, draft.fields["count"]) == (kind, count)
    assert pencil.refusal(draft.kind, **draft.fields) is None


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("lift b2", "Nothing"),
        ("divide dahlia", "into how many"),
        ("divide 2 peony into 9", "No peony is in store"),
        ("lost 3 dahlia white tubers rot", "there is dahlia red"),
        ("divide 1 dahlia into 30", "anyway"),
        ("bought dahlia tubers", "How many"),
    ],
)
def test_what_cannot_be_says_what_to_do(line: str, says: str) -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=10)
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Problem) and says in reading.sentence


@pytest.mark.parametrize(
    ("line", "kind", "count"),
    [
        ("lost 4 dahlia rot", "tubers lost", 4),
        ("lost 4 dahlia red rot", "tubers lost", 4),
        ("count 70 dahlia", "tubers counted", 70),
        ("sold 5 dahlia to Lane", "tubers sold", 5),
        ("checked dahlia", "tubers checked", None),
        ("bought 20 dahlia", "tubers bought", 20),
        ("bought 30 tulip 'Pink Lady'", "tubers bought", 30),
        ("bought 18 peony roots", "tubers bought", 18),
        ("bought 18 'peony'", "bought", 18),
        ("bought 200 tulip sleeves", "bought", 200),
        ("bought 10 lavender ribbon", "bought", 10),
    ],
)
def test_what_can_only_lie_in_store_needs_no_word_for_it(line: str, kind: str, count: int | None) -> None:
    pencil = beds("b1", start="2026-12-01", last_frost="05-14")
    pencil.write("tubers bought", **RED, count=80)
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    assert (reading.drafts[0].kind, reading.drafts[0].fields.get("count")) == (kind, count)


def test_where_it_may_be_in_a_bed_or_in_store_it_is_asked() -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=80)
    for line, says in (
        ("lost 4 dahlia rot", "In bed b1 or in store, where 80 are?"),
        ("bought 18 peony", "bought 18 peony roots"),
    ):
        refused = read_line(line, pencil.farm, pencil.today)
        assert isinstance(refused, Problem) and says in refused.sentence
    for line, kind in (
        ("lost 4 dahlia b1 slugs", "lost"),
        ("lost 4 dahlia tubers rot", "tubers lost"),
        ("count 70 dahlia", "tubers counted"),
    ):
        reading = read_line(line, pencil.farm, pencil.today)
        assert isinstance(reading, Reading) and reading.drafts[0].kind == kind


@pytest.mark.parametrize("crop", ["tulip", "peony", "lily"])
@pytest.mark.parametrize("variety", ["", "'Pink Lady'"])
def test_all_that_is_stored_leaves_the_store_as_it_is_planted(crop: str, variety: str) -> None:
    pencil = beds("b1", start="2026-10-01", last_frost="05-14")
    for line in (f"bought 30 {crop} {variety} bulbs", f"plant 20 {crop} {variety} bulbs b1 5ft"):
        reading = read_line(line, pencil.farm, pencil.today)
        assert isinstance(reading, Reading), reading.sentence
        for draft in reading.drafts:
            pencil.write(draft.kind, **draft.fields)
    (row,) = tuber_rows(pencil.farm)
    assert (row.there, row.planted) == (10, 20)


@pytest.mark.parametrize(
    "said", ["tulip pink lady", "pink lady tulip", "pink lady tulip bulbs", "tulip pink"]
)
def test_a_variety_with_a_word_of_another_crop_in_it_is_known(said: str) -> None:
    """Lady's mantle is a crop; 'Pink Lady' is a tulip here."""
    pencil = beds("b1", start="2026-10-01", last_frost="05-14")
    pencil.write("tubers bought", crop="tulip", variety="Pink Lady", count=30)
    reading = read_line(f"plant 20 {said} b1 5ft", pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    (draft,) = reading.drafts
    assert (draft.fields["crop"], draft.fields["variety"], draft.fields["plants"]) == (
        "tulip",
        "Pink Lady",
        20,
    )
    assert isinstance(read_line("plant 20 tulip lady b1 5ft", pencil.farm, pencil.today), Problem)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("sow 40 tulip", "Tulip is planted as a bulb and not sown: plant 40 tulip b3 5ft"),
        ("sow 40 tulip red", "bought 40 tulip red bulbs"),
        ("sow 40 gladiolus", "planted as a corm"),
        ("drill dahlia b1 5ft", "planted as a tuber"),
        ("plant 40 tulip tray", "stands in a bed"),
        ("forced 40 tulip red", "bought 20 tulip bulbs"),
    ],
)
def test_a_bulb_is_not_sown_and_it_is_said_how_it_is_planted(line: str, says: str) -> None:
    pencil = beds("b1", start="2027-02-01", last_frost="05-14")
    refused = read_line(line, pencil.farm, pencil.today)
    assert isinstance(refused, Problem) and says in refused.sentence
    for seed in ("sow 40 seeds dahlia", "sow 72 ranunculus", "sow 72 statice"):
        assert isinstance(read_line(seed, pencil.farm, pencil.today), Reading), seed


def test_bulbs_in_crates_that_are_a_bed_come_out_of_store(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2027-02-20").begin(
        {
            "2026-11-01": ("last frost 05-14", "bought 60 tulip red bulbs"),
            "2027-01-20": ("bed crates 6ft", "plant 40 tulip red crates 6ft"),
        }
    )
    shell.write("35 tulip red crates fresh")
    (planting,) = shell.json("beds")["rows"][0]["plantings"]
    assert (planting["cut_from"], planting["stems_cut"]) == ("2027-02-20", 35)
    assert [row["there"] for row in shell.json("tubers")["rows"]] == [20]
    assert "out of the cold" in " ".join(shell("help", "force")[1].split())


def test_bulbs_that_stood_in_a_tray_are_no_seed_to_be_ordered() -> None:
    """An older book has them sown."""
    pencil = beds("b1", start="2027-02-01", last_frost="05-14")
    for tray, crop in (("S01", "tulip"), ("S02", "statice")):
        pencil.write("sown", tray=tray, crop=crop, cells=40, seeds=40)
    assert [row.crop for row in order_rows(pencil.farm, date(2027, 12, 1))] == ["statice"]


def test_what_two_machines_took_is_told_until_it_is_counted() -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=10)
    pencil.write("tubers lost", **RED, count=8, cause="mold")
    pencil.entries.append(pencil.made("tubers lost", **RED, count=7, cause="mold"))
    (matter,) = fold(pencil.entries).matters
    assert "5 more tubers of dahlia red went" in matter.sentence
    pencil.entries.append(pencil.made("tubers counted", **RED, count=1))
    assert not fold(pencil.entries).matters
    assert rows(pencil)["red"].there == 1


@pytest.mark.parametrize(
    ("crop", "cycle"),
    [("dahlia", "tuber"), ("ranunculus", "tuber"), ("tulip", "bulb"), ("gladiolus", "corm")],
)
def test_what_is_planted_comes_out_of_store_and_more_than_lies_there_is_remarked_on(
    crop: str, cycle: str
) -> None:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14")
    pencil.write("tubers bought", crop=crop, count=40)
    few = read_line(f"plant {crop} b1 10ft 30 plants", pencil.farm, pencil.today)
    assert isinstance(few, Reading) and "30 out of store; 10 left there" in few.remarks
    many = read_line(f"plant {crop} b1 10ft 50 plants", pencil.farm, pencil.today)
    assert isinstance(many, Reading)
    assert any("40 out of store, 10 more than that: bought in?" in said for said in many.remarks)
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=10, plants=30)
    assert rows(pencil)[None].there == 10
    assert any(cycle == begun for begun in ("tuber", "bulb", "corm"))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("plant tulip red b1 5ft", "30 are in store: how many of them?"),
        ("plant 20 tulip b1 5ft", "30 tulip red stay in store"),
        ("plant 20 tulip white b1 5ft", "30 tulip red stay in store"),
    ],
)
def test_what_is_planted_and_yet_stays_in_store_is_said(line: str, says: str) -> None:
    pencil = beds("b1", start="2026-10-01", last_frost="05-14")
    pencil.write("tubers bought", crop="tulip", variety="red", count=30)
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading)
    assert any(says in remark for remark in reading.remarks), reading.remarks


def test_sold_and_looked_over() -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=40)
    sold = read_line("sold 12 dahlia red tubers to Lane", pencil.farm, pencil.today)
    assert isinstance(sold, Reading)
    (draft,) = sold.drafts
    assert (draft.kind, dict(draft.fields)) == ("tubers sold", {**RED, "count": 12, "who": "Lane"})
    pencil.write(draft.kind, **draft.fields)
    seen = read_line("checked dahlia tubers 3 rot", pencil.farm, pencil.today)
    assert isinstance(seen, Reading)
    for draft in seen.drafts:
        pencil.write(draft.kind, **draft.fields)
    row = rows(pencil)["red"]
    assert (row.there, row.sold, row.lost, row.causes) == (25, 12, 3, {"rot": 3})
    assert row.checked_on == "2026-05-20"
    assert pencil.refusal("tubers sold", **RED, count=26) is not None
    assert pencil.refusal("tubers checked", crop="peony") is not None


def test_winter_asks_each_month_until_they_were_looked_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once a month (common practice), on any day of it, until it is written; what was in hand lately is left alone."""
    shell = Shell(tmp_path / "farm", capsys, "2026-10-18").begin(
        {"2026-10-18": ("bed b1 50ft", "last frost 05-14", "first frost 10-01", "bought 50 dahlia tubers")}
    )

    def asked(on: str) -> bool:
        return "look over tubers of" in shell("today", on=on)[1]

    assert [asked(on) for on in ("2026-11-08", "2026-11-20", "2026-12-20")] == [False, True, True]
    for on, line in (
        ("2026-12-20", "checked dahlia tubers"),
        ("2027-01-20", "bought 30 dahlia tubers"),
        ("2027-02-20", "lost 3 dahlia tubers rot"),
        ("2027-03-24", "count 70 dahlia tubers"),
    ):
        assert asked(on), on
        shell.write(line, on=on)
        assert not asked(on), on
    assert [asked(on) for on in ("2027-04-20", "2027-05-20")] == [False, False], "they are planted then"


@pytest.mark.parametrize("cause", CAUSES)
def test_every_cause_that_is_offered_is_understood(cause: str) -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=40)
    for line in (f"lost 3 dahlia tubers {cause}", f"checked dahlia tubers 3 {cause}"):
        read = read_line(line, pencil.farm, pencil.today)
        assert isinstance(read, Reading), read
        assert read.drafts[-1].fields["cause"] == cause


def test_several_causes_stand_in_one_line() -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=40)
    read = read_line("checked dahlia tubers 3 rot 2 shrivelled, 4 mice", pencil.farm, pencil.today)
    assert isinstance(read, Reading)
    lost = [(d.fields["count"], d.fields["cause"]) for d in read.drafts if d.kind == "tubers lost"]
    assert lost == [(3, "rot"), (2, "shriveled"), (4, "mice")]


def test_from_clump_to_clump_through_three_years(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is cut is traced to the beds from which its clumps were lifted, the winter between as she had it."""
    shell = Shell(tmp_path / "farm", capsys, "2027-08-01").begin(
        {
            "2025-05-20": (
                "last frost 05-14",
                "bed b1 50ft",
                "bed b2 50ft",
                "plant dahlia red b1 20ft 4 plants",
                "plant dahlia red b2 20ft 6 plants",
            )
        }
    )
    for day, line in (
        ("2025-10-18", "lift b1"),
        ("2025-10-20", "lift b2"),
        ("2025-10-21", "washed dahlia tubers"),
        ("2025-10-23", "stored dahlia tubers in crates of vermiculite, root cellar at 42F"),
        ("2026-03-01", "divide 6 dahlia red into 30"),
        ("2026-05-20", "plant dahlia red b1 20ft 22 plants"),
    ):
        shell.write(line, on=day)
    lying = " ".join(shell("tubers", on="2026-03-02")[1].split())
    assert "dahlia red: 20 of P01 in b1, lifted 18 Oct; 14 of P02 in b2, lifted 20 Oct" in lying
    assert "in crates of vermiculite, root cellar at 42 F since 23 Oct; washed 21 Oct" in lying
    (red,) = shell.json("tubers", on="2026-05-21")["rows"]
    assert red["there"] == 12
    assert [(o["number"], o["planting"]) for o in red["origins"]] == [(12, "P02")]
    shell.write("20 dahlia red b1 fresh", on="2026-08-01")
    lot = shell("history", "L001")[1]
    for traced in ("P01: 4 plants", "lifted 4 of", "P02: 6 plants", "lifted 6 of", "P03: 22 plants"):
        assert traced in lot, lot
    shell.write("lift P03", on="2026-10-20")
    assert [o["planting"] for o in shell.json("tubers", on="2026-10-21")["rows"][0]["origins"]] == [
        "P02",
        "P03",
    ]
    shell.write("plant dahlia red b2 20ft 34 plants", on="2027-05-20")
    (red,) = shell.json("tubers")["rows"]
    assert (red["there"], red["origins"], red["stored_on"], red["washed_on"]) == (0, [], None, None)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("stored dahlia tubers", "Where, and in what? Write it so"),
        ("stored dahlia tubers in the garage at 20F", "Tubers kept at 20 F freeze"),
        ("stored dahlia tubers in the kitchen at 70F", "Tubers kept at 70 F grow or shrivel"),
        ("washed peony roots", "No peony"),
    ],
)
def test_what_is_put_away_wrong_is_asked_about(line: str, says: str) -> None:
    pencil = dahlias()
    pencil.write("tubers bought", **RED, count=40)
    read = read_line(line, pencil.farm, pencil.today)
    refused = (
        read if isinstance(read, Problem) else pencil.refusal(read.drafts[0].kind, **read.drafts[0].fields)
    )
    assert refused is not None
    assert refused.sentence.startswith(says)


def test_bulbs_in_the_cold_are_not_planted_unasked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-10-20").begin(
        {
            "2026-10-20": (
                "bed b1 50ft",
                "last frost 05-14",
                "bought 100 tulip bulbs",
                "force 90 tulip bulbs 14 weeks",
            )
        }
    )
    status, _, err = shell("write", "plant 40 tulip bulbs b1 6ft")
    assert status and "90 of the 100 tulip in store lie in the cold to flower, 10 are left to plant" in err
    shell.write("plant 10 tulip bulbs b1 6ft")
    assert [shell.json("tubers")["rows"][0][name] for name in ("there", "in_cold", "planted")] == [90, 90, 10]
    shell.write("plant 30 tulip bulbs b1 6ft anyway")
    assert [shell.json("tubers")["rows"][0][name] for name in ("there", "in_cold", "planted")] == [60, 60, 40]


def test_bulbs_planted_are_of_the_only_variety_in_store(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-10-20").begin(
        {"2026-10-20": ("bed b1 50ft", "last frost 05-14", "bought 100 tulip 'Dawn Bell' bulbs")}
    )
    shell.write("plant 60 tulip bulbs b1 6ft")
    (dawn,) = shell.json("tubers")["rows"]
    assert (dawn["variety"], dawn["there"], dawn["planted"]) == ("Dawn Bell", 40, 60)


VARIETY = st.sampled_from([None, "red", "Ball Mix"])
COUNT = st.integers(0, 25)
DID = st.one_of(
    st.tuples(st.just("lifted"), VARIETY, COUNT),
    st.tuples(st.just("tubers bought"), VARIETY, COUNT),
    st.tuples(st.just("tubers lost"), VARIETY, COUNT),
    st.tuples(st.just("tubers counted"), VARIETY, COUNT),
    st.tuples(st.just("divided"), VARIETY, COUNT),
    st.tuples(st.just("set out"), VARIETY, COUNT),
    st.tuples(st.just("tubers sold"), VARIETY, COUNT),
)


@given(st.lists(DID, max_size=25), st.randoms(use_true_random=False))
def test_no_tuber_appears_and_none_goes_untold(did: list[tuple[str, str | None, int]], order: object) -> None:
    """Reckoned beside it by a ledger of its own: what came in is what went out and what is there."""
    pencil = beds("b1", start="2026-05-20", last_frost="05-14")
    there: Counter[str] = Counter()
    standing: dict[str, list[tuple[str, int]]] = {}
    for n, (kind, variety, count) in enumerate(did):
        of = {"crop": "dahlia", **({"variety": variety} if variety else {})}
        name = variety or ""
        if kind == "set out":
            fields = {**of, "planting": f"P{n + 1:02d}", "bed": "b1", "feet": 1, "plants": count}
        elif kind == "lifted":
            stand = [p for p in standing.get(name, []) if p[1]]
            if not stand:
                continue
            fields = {**of, "planting": stand[0][0], "bed": "b1", "count": count}
        elif kind == "tubers lost":
            fields = {**of, "count": count, "cause": "mold"}
        elif kind == "divided":
            fields = {**of, "count": count, "pieces": 3 * count}
        else:
            fields = {**of, "count": count}
        if pencil.refusal(kind, **fields) is not None:
            if kind in ("tubers lost", "tubers sold", "divided") and 0 < count <= there[name]:
                raise AssertionError(f"{count} {kind} of {there[name]} refused")
            continue
        pencil.write(kind, **fields)
        if kind == "set out":
            there[name] -= min(there[name], count)
            standing.setdefault(name, []).append((str(fields["planting"]), count))
        elif kind == "lifted":
            code, left = stand[0]
            standing[name] = [(c, x - count if c == code else x) for c, x in standing[name]]
            assert count <= left
            there[name] += count
        elif kind == "divided":
            assert count <= there[name]
            there[name] += 2 * count
        elif kind == "tubers counted":
            there[name] = count
        else:
            there[name] += count if kind == "tubers bought" else -count
    farm = fold(pencil.entries)
    assert {row.variety or "": row.there for row in tuber_rows(farm)} == {
        name: there[name] for name in {row.variety or "" for row in tuber_rows(farm)}
    }
    for row in tuber_rows(farm):
        assert row.there >= 0
        assert row.lifted + row.bought + row.gained == (
            row.there + row.planted + row.sold + row.lost + row.missing
        )
        assert sum(origin.number for origin in row.origins) == row.there
    origins = farm.part(Tubers).origins
    assert sum(o.number for came in origins.values() for o in came) == sum(
        r.planted for r in tuber_rows(farm)
    )
    for planting, came in origins.items():
        assert all(o.planting is None or int(o.planting[1:]) < int(planting[1:]) for o in came), (
            "no clump before it"
        )
    shuffled = [*pencil.entries]
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    assert tuber_rows(fold(shuffled)) == tuber_rows(farm)


@given(st.lists(DID, max_size=20), st.sets(st.integers(0, 19)), st.integers(0, 20))
def test_what_is_struck_or_merged_leaves_the_sums_whole(
    did: list[tuple[str, str | None, int]], struck: set[int], at: int
) -> None:
    """Two machines write apart and some of it is taken back: what came in is still what is there and what went."""
    pencil = beds("b1", start="2026-05-20", last_frost="05-14")
    made = []
    for n, (kind, variety, count) in enumerate(did):
        of = {"crop": "dahlia", **({"variety": variety} if variety else {})}
        more: dict[str, object] = {"count": count}
        if kind == "set out":
            more = {"planting": f"P{n + 1:02d}", "bed": "b1", "feet": 1, "plants": count}
        elif kind == "lifted":
            more = {"planting": "P01", "bed": "b1", "count": count}
        elif kind == "divided":
            more = {"count": count, "pieces": 3 * count}
        elif kind == "tubers lost":
            more = {"count": count, "cause": "mold"}
        made.append(pencil.made(kind, **of, **more))  # unchecked: another machine knew nothing of this one
    strikes = [pencil.made("strike", entry=made[n].id) for n in struck if n < len(made)]
    here, there = made[:at], [*made[at:], *strikes]
    farm = fold([*pencil.entries, *here, *there])
    assert tuber_rows(farm) == tuber_rows(fold([*pencil.entries, *there, *here]))
    short = {matter.key[2] for matter in farm.matters if matter.key[0] == "tubers overdrawn"}
    for row in tuber_rows(farm):
        came, went = row.lifted + row.bought + row.gained, row.planted + row.sold + row.lost + row.missing
        assert came == row.there + went
        assert sum(origin.number for origin in row.origins) == max(row.there, 0)
        assert row.there >= 0 or (row.variety or "") in short


def test_what_tubers_cost_and_made_stands_in_the_takings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2027-04-20").begin(
        {
            "2026-10-20": ("last frost 05-14", "bed b1 50ft", "bought 40 dahlia red tubers at 3"),
            "2027-04-10": (
                "sold 10 dahlia red tubers to Lane at 4",
                "sold 5 dahlia red tubers for 18",
                "sold 2 dahlia red tubers",
            ),
        }
    )
    (crop,) = shell.json("takings")["rows"]
    assert (crop["of"], crop["tubers"], crop["cents"], crop["unpriced"], crop["spent"]) == (
        "dahlia",
        17,
        4000 + 1800,
        2,
        12000,
    )
    (this_year,) = shell.json("takings", "--year", "2027")["rows"]
    assert (this_year["cents"], this_year["spent"]) == (5800, 0)
    buyers = {row["of"]: row["cents"] for row in shell.json("takings", "--by", "buyer")["rows"]}
    assert buyers == {"Lane": 4000, "not said": 1800, "tubers": 0}
    assert "120.00 spent on tubers" in shell.text("takings")
    (row,) = shell.json("tubers")["rows"]
    assert row["there"] == 23


@pytest.mark.parametrize(
    ("line", "left"),
    [
        ("divide 12 dahlia no variety into 40", (48, 8)),
        ("divide 12 dahlia no variety tubers into 40", (48, 8)),
        ("lost 3 rot dahlia no variety tubers", (17, 8)),
        ("lost 3 no variety dahlia tubers rot", (17, 8)),
        ("count 18 dahlia no variety tubers", (18, 8)),
        ("sold 2 dahlia tubers no variety at 3", (18, 8)),
        ("checked dahlia no variety tubers 2 rot", (18, 8)),
        ("lost 3 rot dahlia cafe tubers", (20, 5)),
    ],
)
def test_tubers_of_no_variety_are_told_from_those_of_one(
    line: str, left: tuple[int, int], tmp_path: Path
) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=date(2026, 11, 20))
    write(session, "bought 20 dahlia tubers", "bought 8 dahlia 'cafe' tubers")
    asked = session.write("lost 3 rot dahlia tubers")
    assert isinstance(asked, Problem) and "no variety" in asked.sentence
    write(session, line)
    stocks = {stock.variety: stock.there for stock in session.farm.part(Tubers).all()}
    assert (stocks[None], stocks["cafe"]) == left


@pytest.mark.parametrize(
    ("crop", "word"),
    [
        ("tulip", "bulbs"),
        ("gladiolus", "corms"),
        ("dahlia", "tubers"),
        ("bearded iris", "rhizomes"),
        ("peony", "roots"),
    ],
)
def test_what_lies_in_store_is_called_by_the_word_of_its_own_kind(crop: str, word: str) -> None:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="10-01")

    def says(line: str) -> str:
        found = read_line(line, pencil.farm, pencil.today)
        assert isinstance(found, Problem), found
        return found.sentence

    assert f"How many {word}?" in says(f"bought {crop} {word}")
    assert f"bought 20 {crop} {word}" in says(f"lost 5 {crop} {word} rot")
    pencil.write("tubers bought", crop=crop, count=40)
    assert f"How many {word}?" in says(f"count {crop} {word}")
    assert f"no whole number of {word}" in says(f"sold 2.5 {crop} {word} to Lane")
    assert [row.roots for row in tuber_rows(pencil.farm)] == [word]
    pencil.today = date(2027, 1, 4)
    (task,) = [task for task in asked_of(pencil, "season") if task.do.startswith("look over")]
    assert (task.do, task.crops) == (f"look over {word} of", (crop,))
    assert f"checked {crop} {word}" in task.because
    pencil.write("tubers lost", crop=crop, count=39, cause="rot")
    pencil.entries.append(pencil.made("tubers lost", crop=crop, count=3, cause="rot"))
    (matter,) = fold(pencil.entries).matters
    assert f"2 more {word} of {crop} went" in matter.sentence and f"{crop} {word}'" in matter.sentence
