"""Bulbs forced into flower: chilled from store, out when they have had their cold, in flower by; none lost untold."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.asks import Sight
from core.fold import fold
from core.language.read import Reading, read_line
from core.problems import Problem
from core.tubers.asks import PARTS
from core.tubers.events import EVENTS
from core.tubers.rows import TuberRow, tuber_rows
from core.units import short_day
from tests.farms import Pencil, beds
from tests.shell import Shell

# Weeks of cold and weeks from the cold to flowers, each from a table that is none of the library's own cells:
# Dayton Nursery, Forcing bulbs; Delaware (S. Barton), Forcing bulbs for February color; Madison, Garden calendar for
# the week of 18 December 2022 (about 13 weeks at 35 to 38 F).
PUBLISHED = [
    ("tulip", (12, 13), (2, 5)),
    ("daffodil", (12, 13), (2, 4)),
    ("hyacinth", (12, 13), (2, 4)),
]


def bulbs(count: int = 100, crop: str = "tulip") -> Pencil:
    pencil = beds("b1", start="2026-10-01", last_frost="05-14", first_frost="10-01")
    pencil.write("tubers bought", crop=crop, count=count)
    return pencil


def read(pencil: Pencil, line: str) -> Reading:
    found = read_line(line, pencil.farm, pencil.today)
    assert isinstance(found, Reading), found
    return found


def say(pencil: Pencil, line: str) -> Reading:
    found = read(pencil, line)
    for draft in found.drafts:
        pencil.write(draft.kind, **draft.fields)
    return found


def refused(pencil: Pencil, found: Reading) -> Problem:
    (draft,) = found.drafts
    problem = pencil.refusal(draft.kind, **draft.fields)
    assert problem is not None
    return problem


def row(pencil: Pencil) -> TuberRow:
    (found,) = tuber_rows(pencil.farm)
    return found


@pytest.mark.parametrize(("crop", "cold", "to_flower"), PUBLISHED)
def test_the_cold_and_the_flowers_are_as_published(
    crop: str, cold: tuple[int, int], to_flower: tuple[int, int]
) -> None:
    pencil = bulbs(crop=crop)
    say(pencil, f"force 50 {crop} bulbs at 40F")
    (lying,) = row(pencil).forcing
    assert lying.chilled_by is not None and lying.flowers_from is not None and lying.flowers_to is not None
    weeks = (date.fromisoformat(lying.chilled_by) - date(2026, 10, 1)).days / 7
    assert cold[0] <= weeks <= cold[1]
    out = date.fromisoformat(lying.chilled_by)
    bloom = [(date.fromisoformat(day) - out).days / 7 for day in (lying.flowers_from, lying.flowers_to)]
    assert to_flower[0] <= bloom[0] <= bloom[1] <= to_flower[1]


def test_from_the_packet_to_the_vase(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2027-01-20").begin(
        {"2026-10-01": ("last frost 05-14", "bed crates 8ft", "bought 60 tulip bulbs")}
    )
    assert "60 tulip bought into store" in shell("entries")[1]
    said = shell.write("force 50 tulip bulbs 14 weeks at 40F", on="2026-10-01")
    assert said["remarks"] == ["chilled by 7 Jan, in flower 21 Jan to 28 Jan"]
    shell.write("lost 2 tulip bulbs rot", on="2026-12-01")
    before, after = (shell("today", "--all", on=day)[1] for day in ("2027-01-06", "2027-01-07"))
    assert "out of the cold" not in before and "out of the cold" in after
    shell.write("force tulip bulbs out", on="2027-01-07")
    assert "look at forced" in shell("today", "--all", on="2027-01-22")[1]
    shell.write("48 tulip crates fresh", on="2027-01-23")
    (told,) = shell.json("tubers", on="2027-01-23")["rows"]
    assert (told["bought"], told["lost"], told["forced"], told["in_cold"], told["there"]) == (60, 2, 50, 0, 8)
    assert shell("check")[0] == 0


def test_forced_bulbs_that_stand_in_no_bed_are_cut_sold_and_end(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2027-01-20").begin(
        {"2026-10-01": ("last frost 05-14", "bed b1 8ft", "bought 60 tulip bulbs")}
    )
    shell.write("force 50 tulip bulbs 14 weeks at 40F", on="2026-10-01")
    status, _, told = shell("write", "force tulip bulbs out", on="2026-12-03")
    assert status and "9 weeks in the cold" in told and "anyway" in told
    status, _, told = shell("write", "force tulip bulbs out", on="2026-10-02")
    assert status and "anyway" in told
    shell.write("force tulip bulbs out", on="2027-01-07")
    status, _, told = shell("write", "force tulip bulbs out", on="2027-01-08")
    assert status and told.startswith("No tulip bulbs are in the cold")
    assert "50 tulip" in shell("today", "--all", on="2027-01-22")[1]
    shell.write("30 tulip fresh", on="2027-01-23")
    status, _, told = shell("write", "21 tulip fresh", on="2027-01-24")
    assert status and "20 forced bulbs of tulip are left" in told
    shell.write("14 tulip forced fresh culls 1 short", on="2027-01-24")
    assert "5 tulip" in shell("today", "--all", on="2027-01-25")[1]
    # where she looks for them: under the beds, and with what is in store
    (forced,) = shell.json("beds", on="2027-01-25")["forced"]
    assert (forced["crop"], forced["to_cut"], forced["out_on"]) == ("tulip", 5, "2027-01-07")
    for verb in ("beds", "tubers"):
        assert "5 left to cut" in " ".join(shell(verb, on="2027-01-25")[1].split())
    shell.write("sold 20 tulip to Lane for 20", on="2027-01-24")
    (told,) = shell.json("tubers", on="2027-01-25")["rows"]
    assert (told["forced"], told["forced_cut"], told["to_cut"], told["there"]) == (50, 45, 5, 10)
    shell.write("clear tulip forced bulbs", on="2027-01-26")
    assert shell.json("beds", on="2027-01-26")["forced"] == []
    assert "left to cut" not in shell("beds", on="2027-01-26")[1]
    (told,) = shell.json("tubers", on="2027-01-26")["rows"]
    assert (told["forced_cut"], told["to_cut"]) == (45, 0)
    assert "look at forced" not in shell("today", "--all", on="2027-01-26")[1]
    status, _, told = shell("write", "3 tulip forced fresh", on="2027-01-26")
    assert status and "No forced tulip" in told
    assert shell("check")[0] == 0
    assert "forced" in shell("lot", "L001", on="2027-01-26")[1]


def test_the_calendar_has_the_day_they_come_out_and_the_days_of_cutting() -> None:
    pencil = bulbs()
    say(pencil, "force 50 tulip bulbs 14 weeks")
    out, bloom = EVENTS["forcing"](Sight(pencil.farm, pencil.today))
    assert (out.first, bloom.first, bloom.last) == ("2027-01-07", "2027-01-21", "2027-01-28")
    assert out.says == "bring 50 tulip out of the cold"


def test_a_day_that_has_gone_by_is_the_day_from_which_the_weeks_count() -> None:
    pencil = bulbs()
    reading = read(pencil, f"force 50 tulip bulbs 14 weeks {pencil.today - timedelta(days=32)}")
    done = short_day(pencil.today - timedelta(days=32) + timedelta(weeks=14))
    assert any(remark.startswith(f"chilled by {done},") for remark in reading.remarks), reading.remarks


def test_what_cannot_be_chilled_says_what_would_do() -> None:
    pencil = bulbs(30)
    for line, says in (
        ("force 50 tulip bulbs", "30 of tulip are in store"),
        ("force 20 tulip bulbs at 20F", "35 to 50 F"),
        ("force 20 tulip bulbs 0 weeks", "1 to 52 weeks"),
        ("force 20 tulip bulbs 1000000000 weeks", "1 to 52 weeks"),
        ("force 5 tulip bulbs out", "write what went in first"),
    ):
        found = read_line(line, pencil.farm, pencil.today)
        problem = found if isinstance(found, Problem) else refused(pencil, found)
        assert says in problem.sentence, line
    say(pencil, "force 20 tulip bulbs")
    found = read(pencil, "force 20 tulip bulbs")
    assert "10 are left for it" in refused(pencil, found).sentence
    unknown = bulbs(crop="gladiolus")
    none = read_line("force 20 gladiolus bulbs", unknown.farm, unknown.today)
    assert isinstance(none, Problem) and "weeks" in none.sentence
    assert isinstance(read_line("force 20 gladiolus bulbs 6 weeks", unknown.farm, unknown.today), Reading)


@pytest.mark.parametrize(
    ("line", "kind", "fields"),
    [
        ("chill 50 tulip bulbs at 4C", "bulbs chilled", {"count": 50, "cold_f": 39.2}),
        (
            "force 50 tulip from bulbs 14 weeks at 40F",
            "bulbs chilled",
            {"count": 50, "weeks": 14, "cold_f": 40},
        ),
        ("forced 15 tulip out of the cold", "bulbs forced", {"count": 15}),
        ("force tulip bulbs out", "bulbs forced", {"count": 20}),
    ],
)
def test_as_it_may_be_said(line: str, kind: str, fields: dict[str, float]) -> None:
    pencil = bulbs()
    pencil.write("bulbs chilled", crop="tulip", count=20)
    pencil.later(7 * 15)
    (draft,) = read(pencil, line).drafts
    said = {name: value for name, value in draft.fields.items() if value is not None}
    assert (draft.kind, said) == (kind, {"crop": "tulip", **fields})


def test_fewer_weeks_than_the_handbook_has_are_told() -> None:
    assert any("may not flower" in said for said in read(bulbs(), "force 50 tulip bulbs 8 weeks").remarks)
    assert not any(
        "may not flower" in said for said in read(bulbs(), "force 50 tulip bulbs 15 weeks").remarks
    )


MOVES = st.lists(
    st.tuples(
        st.sampled_from(
            [
                "bulbs chilled",
                "bulbs forced",
                "cut",
                "forced cleared",
                "tubers lost",
                "tubers sold",
                "tubers bought",
                "tubers counted",
            ]
        ),
        st.integers(0, 60),
    ),
    max_size=12,
)


@given(MOVES, st.data())
def test_every_bulb_is_in_one_place(moves: list[tuple[str, int]], data: st.DataObject) -> None:
    pencil = bulbs(40)
    for i, (kind, count) in enumerate(moves):
        f: dict[str, Any] = {"crop": "tulip", "count": count}
        if kind == "tubers lost":
            f["cause"] = "rot"
        if kind == "cut":
            f = {"lot": f"L{i:03d}", "crop": "tulip", "bed": "forced", "use": "fresh", "stems": count}
        if pencil.later(1).refusal(kind, **f) is None:
            pencil.write(kind, **f)
        found = row(pencil)
        stems = sum(lot.cut for lot in pencil.farm.lots.all())
        assert found.forced_cut == stems and found.to_cut + stems <= found.forced
        assert found.to_cut == sum(one.to_cut for one in found.forcing)
        gone = found.planted + found.sold + found.forced + found.lost + found.missing
        assert found.there == found.bought + found.gained - gone >= 0
        assert 0 <= found.in_cold <= found.there
        assert found.in_cold == sum(one.bulbs for one in found.forcing if one.out_on is None)
    struck = data.draw(st.sampled_from(pencil.entries[-3:]))
    left = [entry for entry in pencil.entries if entry.id != struck.id]
    for found in tuber_rows(fold(left)):
        assert found.in_cold <= max(found.there, 0)


def test_today_asks_of_no_other_day() -> None:
    pencil = bulbs()
    say(pencil, "force 50 tulip bulbs 14 weeks")
    (part,) = PARTS
    asked = [day for day in range(1, 31) if part.rows(Sight(pencil.farm, date(2027, 1, day)))]
    assert asked == list(range(7, 31))


def test_two_machines_correct_cuts_beyond_the_forced_bulbs_and_it_is_told_until_it_is_set_right() -> None:
    """Each correction fits where it is written; together they are more than came out of the cold."""
    pencil = bulbs(60)
    pencil.write("bulbs chilled", crop="tulip", count=30)
    pencil.later(100).write("bulbs forced", crop="tulip", count=20)
    cut = {"crop": "tulip", "bed": "forced", "use": "fresh"}
    first = pencil.later(20).write("cut", lot="L001", stems=10, **cut)
    second = pencil.write("cut", lot="L002", stems=8, **cut)
    apart = [
        pencil.made("correct", entry=first.id, of="cut", now={"stems": 12}),
        pencil.made("correct", entry=second.id, of="cut", now={"stems": 10}),
    ]
    for one in apart:
        assert pencil.refusal("correct", **one.fields) is None
        assert not fold([*pencil.entries, one]).matters
    pencil.entries += apart
    (matter,) = fold(pencil.entries).matters
    assert "2 more of forced tulip were cut" in matter.sentence
    assert matter.amount == 2
    mended = pencil.made("correct", entry=second.id, of="cut", now={"stems": 8}, was={"stems": 10})
    assert not fold([*pencil.entries, mended]).matters
    more = pencil.made("bulbs forced", crop="tulip", count=2)
    assert not fold([*pencil.entries, more]).matters
