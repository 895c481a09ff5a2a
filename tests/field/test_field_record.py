"""The field record: a bed is closed until the label's hours are over, at entry, in Today and in the cut list; what an
inspector asks for is printed.

Fields and hours are held against 40 CFR 170.311(b) and 170.407 (Federal Register 80:67496, 2 November 2015) and 7 CFR
110.3(a) (Government Printing Office, read); what each asks stands in required_fields.csv. Of 170.311(b) the fields are
those of a public summary (the section itself was not at hand); the 30 days and two years are told by the Pesticide
Educational Resources Collaborative as well. Product and people are invented.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from typing import Any

import pendulum
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.field.closed import Application, closes, local_text, span_of
from core.fold import fold
from core.page import page
from tests.cases import cases
from tests.farms import Pencil, asked_of, beds, farm_in, morning_of, page_lines
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp

NEW_YORK = "America/New_York"
SPRAY = (
    "spray b3-b5 'Quencher' 12 oz in 3 gal reg 9999-1 active 'soap salts' reentry 12h 17:30 to 18:30 against aphids "
    "wind 4 SW 68F applicator 'Ada Quill' license 4411"
)
FARM = (
    f"farm name 'Hither Fallow' latitude 44.1 longitude -72.6 zone {NEW_YORK}",
    "bed b3 50ft",
    "bed b4 50ft",
    "bed b5 50ft",
    "bed b6 50ft",
    "last frost 05-14",
    "first frost 10-01",
    "plant zinnia b3 20ft 60 plants on 2026-04-01",
    "plant zinnia b6 20ft 60 plants on 2026-04-01",
)


def sprayed(*applications: dict[str, Any]) -> Pencil:
    """Bed b3 sprayed so, each with 12 hours to re-entry unless it says otherwise."""
    pencil = beds("b3", "b4", "b5", "b6", start="2026-06-01")
    pencil.write("farm", zone=NEW_YORK)
    for application in applications:
        on = application.pop("on", "2026-06-10")
        pencil.today = max(pencil.today, date.fromisoformat(on))
        fields = {"product": "Quencher", "beds": "b3", "reentry_hours": 12, **application}
        pencil.write("sprayed", on, **fields)
    return pencil


def until(pencil: Pencil, bed: str = "b3", on: str = "2026-06-10", *, is_cut: bool = False) -> str:
    found = closes(pencil.farm, bed, on, "23:59", is_cut=is_cut)
    return "" if found is None else found[0]


# hours


@pytest.mark.parametrize(
    ("applications", "opens"),
    [
        pytest.param([{"ended": "18:30"}], "2026-06-11 06:30", id="ended at 18:30, 12 h"),
        pytest.param([{}], "2026-06-11 12:00", id="no time: counted from the end of the day"),
        pytest.param(
            [{"ended": "18:30"}, {"ended": "18:30", "product": "Other", "reentry_hours": 48}],
            "2026-06-12 18:30",
            id="12 h and 48 h in one tank: the longest",
        ),
        pytest.param(
            [{"ended": "18:30", "reentry_hours": 24}, {"ended": "20:00", "reentry_hours": 4}],
            "2026-06-11 18:30",
            id="a later one of few hours shortens nothing",
        ),
        pytest.param(
            [{"began": "23:00", "ended": "00:30", "reentry_hours": 4}],
            "2026-06-11 04:30",
            id="ended past midnight",
        ),
    ],
)
def test_a_bed_opens_when_the_longest_of_its_labels_is_over(
    applications: list[dict[str, Any]], opens: str
) -> None:
    """40 CFR 170.407(a): from the end of the application until the interval on the label has run out."""
    assert until(sprayed(*applications)) == opens


@pytest.mark.parametrize(
    ("on", "ended", "hours", "opens"),
    [
        ("2026-03-08", "00:30", 4, "2026-03-08 05:30"),
        ("2026-03-07", "22:00", 12, "2026-03-08 11:00"),
        ("2026-10-31", "22:00", 12, "2026-11-01 09:00"),
        ("2026-11-01", "01:30", 4, "2026-11-01 05:30"),
    ],
)
def test_hours_are_those_that_go_by_when_the_clocks_change(
    on: str, ended: str, hours: int, opens: str
) -> None:
    """US clocks went on at 2:00 on 8 March 2026, back on 1 November; of 1:30, which came twice, the later counts."""
    span = span_of(Application("", on, None, ended, ("b3",), "Quencher", hours, 0), NEW_YORK)
    assert local_text(span.work, NEW_YORK) == opens


DAYS = st.sampled_from(["2026-03-07", "2026-03-08", "2026-06-10", "2026-10-31", "2026-11-01", "2026-12-31"])
CLOCKS = st.one_of(st.none(), st.builds("{:02d}:{:02d}".format, st.integers(0, 23), st.integers(0, 59)))
SPRAYS = st.lists(st.tuples(DAYS, CLOCKS, st.sampled_from([0, 4, 12, 24, 48, 72.5])), min_size=1, max_size=4)


@given(SPRAYS, DAYS, CLOCKS)
@cases(60)
def test_a_bed_is_closed_just_as_long_as_another_library_says(
    made: list[tuple[str, str | None, float]], day: str, clock: str | None
) -> None:
    """Beside it pendulum adds the hours."""
    ends = []
    for on, ended, hours in made:
        if ended is None:
            start = pendulum.parse(on, tz=NEW_YORK).add(days=1)  # type: ignore[union-attr]
        else:
            hour, minute = map(int, ended.split(":"))
            year, month, of = map(int, on.split("-"))
            start = pendulum.datetime(year, month, of, hour, minute, tz=NEW_YORK, fold=1)
        ends.append(start.add(seconds=round(hours * 3600)))
    pencil = sprayed(
        *(
            {"on": on, "reentry_hours": hours} | ({"ended": ended} if ended else {})
            for on, ended, hours in sorted(made, key=lambda one: one[0])
        )
    )
    at = pendulum.parse(f"{day}T{clock or '00:00'}", tz=NEW_YORK)
    last = at if clock else pendulum.parse(f"{day}T23:59", tz=NEW_YORK)
    open_ends = []
    for (on, ended, _), end in zip(made, ends, strict=True):
        hour, minute = map(int, (ended or "00:00").split(":"))
        year, month, of = map(int, on.split("-"))
        begins = pendulum.datetime(year, month, of, hour, minute, tz=NEW_YORK, fold=0)
        if begins <= last and end > at and begins < end:
            open_ends.append(end)
    found = closes(pencil.farm, "b3", day, clock, is_cut=False)
    wanted = max(open_ends).format("YYYY-MM-DD HH:mm") if open_ends else None
    assert (found[0] if found else None) == wanted


# at entry


def test_work_in_a_closed_bed_is_refused_until_the_hour_and_anyway_is_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-11").begin({"2026-06-10": (*FARM, SPRAY)})
    status, _, why = shell("write", "40 zinnia b3 fresh at 6:00")
    assert status == 1 and "Bed b3 is closed until 06:30 on Thu 11 Jun" in why and "anyway" in why
    for line in (
        "pinch b3",
        "net b3",
        "clear b3 zinnia",
        "20 min weeding b3-b6",
        "plant cosmos b4 10ft 20 plants",
    ):
        status, _, why = shell("write", line)
        assert status == 1 and "closed until 06:30" in why, line
    shell.write("40 zinnia b6 fresh at 6:00")
    shell.write("40 zinnia b3 fresh at 6:30")
    shell.write("30 zinnia b3 fresh at 6:00 anyway")
    notes = [entry for entry in shell("entries", "--kind", "note")[1].splitlines() if "anyway" in entry]
    assert len(notes) == 1 and "Bed b3 is closed until 06:30" in notes[0]
    shell.write("pinch b3", on="2026-06-12")


def test_the_time_to_harvest_closes_the_cut_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-11").begin(
        {"2026-06-10": (*FARM, SPRAY + " harvest 2 days")}
    )
    shell.write("20 min weeding b6")
    status, _, why = shell("write", "40 zinnia b3 fresh at 7:00")
    assert status == 1 and "closed until 18:30 on Fri 12 Jun" in why
    shell.write("pinch b3 anyway")
    shell.write("40 zinnia b3 fresh at 18:30", on="2026-06-12")


def test_a_tray_that_was_sprayed_is_closed_as_a_bed_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-11").begin(
        {
            "2026-06-10": (
                *FARM,
                "sow 72 cosmos",
                "up 60 S01",
                "sow 72 zinnia",
                "spray S01 'Quencher' reentry 24h 9:00",
            )
        }
    )
    for line in ("step S01", "pot 50 S01 50s", "set out S01 b6 10ft"):
        status, _, why = shell("write", line, on="2026-06-10")
        assert status == 1 and "S01 is closed until 09:00 on Thu 11 Jun" in why, line
    shell.write("step S01 anyway", on="2026-06-10")
    assert shell.json("today", on="2026-06-10")["closed"][0]["beds"] == ["S01"]
    (row,) = shell.json("record")["rows"]
    assert (row["place"][:8], row["crops"]) == ("tray S01", "cosmos")


def test_a_spray_without_its_re_entry_time_is_not_taken() -> None:
    from core.language.read import read_line
    from core.problems import Problem

    pencil = sprayed()
    found = read_line("spray b3 'Quencher' 12 oz", pencil.farm, pencil.today)
    assert (
        isinstance(found, Problem) and "What re-entry time does the label of Quencher say?" in found.sentence
    )


def test_a_label_that_was_read_is_taken_over_and_told_to_be_read_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-07-01").begin({"2026-06-10": (*FARM, SPRAY)})
    told = shell.write("spray b6 quencher 4 oz 7:00 to 7:10")
    assert any("does the label still say so?" in remark for remark in told["remarks"])
    assert any("The label decides" in remark for remark in told["remarks"])
    (row,) = shell.json("record", "--posted")["rows"][1:]
    assert (row["reg_no"], row["reentry_hours"], row["beds"]) == ("9999-1", 12, "b6")


@pytest.mark.parametrize(
    "line",
    (
        "spray b3 'Quencher' 0 oz reg 9999-1 reentry 12h",
        "spray b3 'Quencher' 12 oz in 0 gal reg 9999-1 reentry 12h",
        "feed b3 compost 0 bags",
        "0 min weeding b3",
    ),
)
def test_an_amount_of_nothing_is_refused(line: str) -> None:
    from core.language.read import read_line
    from core.problems import Problem

    pencil = sprayed()
    found = read_line(line, pencil.farm, pencil.today)
    assert isinstance(found, Problem) and found.code == "impossible", found


# in the morning


def test_today_and_the_cut_list_keep_out_of_what_is_closed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-24").begin(
        {
            "2026-06-20": (*FARM, "30 zinnia b3 fresh at 7:00", "30 zinnia b6 fresh at 7:00"),
            "2026-06-22": ("order Fern Hollow 60 zinnia fresh by 6-24 at 1",),
            "2026-06-23": (SPRAY.replace("12h", "24h"),),
        }
    )
    today = shell.json("today")
    assert [row["beds"] for row in today["closed"]] == [["b3", "b4", "b5"]]
    assert today["closed"][0]["until"] == "2026-06-24 18:30"
    assert any("keep out: b3, b4, b5" in caution for caution in today["cautions"])
    assert {row["bed"] for row in today["at_stage"]} == {"b6"}
    assert not any(task["bed"] == "b3" for task in today["beds"])
    rows = {row["bed"]: row for row in shell.json("cutlist")["rows"]}
    assert rows["b6"]["closed"] == "" and all(row["closed"] for bed, row in rows.items() if bed == "b3")
    later = shell.json("today", on="2026-06-26")
    assert later["closed"] == [] and {row["bed"] for row in later["at_stage"]} == {"b3", "b6"}


def test_the_page_tells_beds_that_open_together_in_one_line() -> None:
    pencil = sprayed({"beds": "b3 b4 b5", "ended": "18:30"})
    (row,) = asked_of(pencil, "closed")
    assert (row.beds, row.until) == (("b3", "b4", "b5"), "2026-06-11 06:30")
    pencil.later(1)
    assert [r.beds for r in asked_of(pencil, "closed")] == [("b3", "b4", "b5")]
    pencil.later(1)
    assert asked_of(pencil, "closed") == ()


# the record


def test_the_record_holds_every_field_that_the_rules_ask_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-12").begin({"2026-06-10": (*FARM, SPRAY)})
    (row,) = shell.json("record", "2026")["rows"]
    assert row["missing"] == []
    with (Path(__file__).parent / "required_fields.csv").open(newline="", encoding="utf-8") as table:
        asked = list(csv.DictReader(table))
    assert {one["rule"] for one in asked} == {"40 CFR 170.311", "7 CFR 110.3"}
    for one in asked:
        assert row[one["row"]] not in ("", None), one
    wanted = {
        "product": "Quencher",
        "reg_no": "9999-1",
        "active": "soap salts",
        "amount": "12 oz",
        "area": "450 sq ft",
        "crops": "zinnia",
        "on": "2026-06-10",
        "began": "17:30",
        "ended": "18:30",
        "reentry_hours": 12,
        "reentry_until": "2026-06-11 06:30",
        "applicator": "Ada Quill",
        "license": "4411",
        "posted_until": "2026-07-11",
        "kept_until": "2028-06-11",
        "wind": "4 mph SW",
        "temperature": "68 F",
        "target": "aphids",
    }
    assert {name: row[name] for name in wanted} == wanted
    assert row["place"] == "beds b3, b4, b5, Hither Fallow at 44.1, -72.6"
    text = shell.text("record", "2026", most=79)
    for said in ("9999-1", "soap salts", "12 oz", "450 sq ft", "17:30", "18:30", "12 h", "Ada Quill", "4411"):
        assert said in text
    assert "rules decide" in " ".join(text.split()) or "decide what has to be kept" in " ".join(text.split())
    heads, values = csv.reader(shell("record", "2026", "--csv")[1].splitlines())
    told = dict(zip(heads, values, strict=True))
    assert told["registration number"] == "9999-1" and told["restricted-entry interval h"] == "12"


def test_what_was_not_written_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-12").begin(
        {"2026-06-10": (*FARM, "spray b4 'Quencher' reentry 4h")}
    )
    (row,) = shell.json("record")["rows"]
    assert row["missing"] == [
        "registration number",
        "active ingredient",
        "amount of the product",
        "time begun",
        "time ended",
    ]
    assert row["crops"] == "bare ground"
    assert "Missing for the rules: registration number" in shell.text("record", most=79)


def test_what_is_to_be_shown_is_shown_for_thirty_days_after_the_interval(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-12").begin({"2026-06-10": (*FARM, SPRAY)})
    assert len(shell.json("record", "--posted", on="2026-07-11")["rows"]) == 1
    assert shell.json("record", "--posted", on="2026-07-12")["rows"] == []


def test_water_rain_soil_and_what_was_corrected_or_taken_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-12").begin({"2026-06-10": (*FARM, SPRAY)})
    shell.write("water b3-b5 60 gal")
    (first,) = (row["entry"] for row in shell.json("record")["others"])
    shell.write("rain 0.4")
    shell.write("rain 12 mm", on="2026-06-11")
    rained = [row["entry"] for row in shell.json("record")["others"] if row["amount"] == "0.4 in"]
    shell.write(f"{rained[0][-8:]} was 0.5")
    shell.write(f"{rained[0][-8:]} was 0.4")
    shell.write("soil b4 pH 6.4 organic 4% P 30 K 120 lab 'County lab'")
    tested = [row["entry"] for row in shell.json("record")["others"] if row["what"] == "soil tested"]
    shell.write(f"{tested[0][-8:]} was K 125 lab 'Hill lab'")
    shell.write("feed b3 b4 compost 3 bags")
    shell.write(f"{first[-8:]} was b3 b4 40 gal")
    spray = next(row["entry"] for row in shell.json("record")["rows"] if row["kind"] == "sprayed")
    shell.write(f"{spray[-8:]} was 14 oz reentry 24h b3 b4")
    record = shell.json("record")
    told = {row["what"]: row for row in record["others"]}
    assert (told["watered"]["beds"], told["watered"]["amount"]) == ("b3 b4", "40 gal")
    assert record["rain_inches"] == pytest.approx(0.8724)
    assert told["soil tested"]["amount"] == "pH 6.4, 4 % organic, P 30 ppm, K 125 ppm"
    quencher = next(row for row in record["rows"] if row["kind"] == "sprayed")
    assert (quencher["amount"], quencher["reentry_hours"], quencher["beds"]) == ("14 oz", 24, "b3 b4")
    assert quencher["reg_no"] == "9999-1" and quencher["reentry_until"] == "2026-06-11 18:30"
    assert "watered" in shell("history", "b4")[1] and "60 gal" not in shell("history", "b5")[1]
    shell("cancel", spray[-8:])
    assert [row["kind"] for row in shell.json("record")["rows"]] == ["fed"]
    assert shell.json("today", on="2026-06-11")["closed"] == []
    assert shell("check")[0] == 0


def test_minutes_by_job_and_bed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-12").begin(
        {
            "2026-06-10": (
                *FARM,
                "40 min weeding b3-b6",
                "hoed b3 20 min",
                "weeding b3 10 min",
                "40 zinnia b3 fresh 12min",
                "worked 90 min 'tool mending'",
                "water b3 b4 30 min",
            )
        }
    )
    rows = {row["job"]: row for row in shell.json("record", "--minutes")["rows"]}
    assert {job: row["minutes"] for job, row in rows.items()} == {
        "tool mending": 90,
        "weeding": 50,
        "watering": 30,
        "hoeing": 20,
        "cutting": 12,
    }
    assert rows["weeding"]["beds"] == {"b3": 20, "b4": 10, "b5": 10, "b6": 10}
    assert "weeding" in shell.text("record", "--minutes")
    shell.write("sold 20 L001 to market at 1")
    besides = shell.json("takings", "--by", "bed", "--year", "2026")["work_minutes"]
    assert besides == {"b3": 55, "b4": 25, "b5": 10, "b6": 10}
    assert "Minutes of work there besides: b3 55" in shell.text("takings", "--by", "bed")


def test_machines_apart_close_a_bed_for_the_longer_of_the_two() -> None:
    pencil = sprayed({"ended": "18:30"})
    other = pencil.made("sprayed", product="Other", beds="b3", reentry_hours=48, ended="10:00")
    both, swapped = fold([*pencil.entries, other]), fold([other, *pencil.entries])
    for farm in (both, swapped):
        found = closes(farm, "b3", "2026-06-11", "05:00", is_cut=False)
        assert found is not None and found[0] == "2026-06-12 10:00"


@pytest.mark.parametrize(
    ("more", "short"),
    [
        ((), "! keep out of b3, b4, b5 until 06:30 on Thu 11 Jun"),
        (
            ("spray b6 'Other' 2 oz reg 9999-2 reentry 24h 17:30 to 18:30",),
            "the last until 18:30 on Thu 11 Jun",
        ),
    ],
)
def test_the_morning_says_once_of_which_beds_to_keep_out(
    tmp_path: Path, more: tuple[str, ...], short: str
) -> None:
    session = farm_in(
        tmp_path / "farm", {"2026-06-10": (*FARM, SPRAY.replace("12h", "12h harvest 1 day"), *more)}
    )
    told = [line.whole for line in page(morning_of(session), 78)]
    assert sum("keep out" in line for line in told) == 1 and any(short in line for line in told)
    assert any("b3" in line and "no cut until 18:30 on Thu 11 Jun" in line for line in told)
    (caution,) = (text for text in morning_of(session).cautions if "keep out" in text)
    assert "keep out: b3, b4, b5 until 06:30 on Thu 11 Jun" in caution
    assert ("b6 until 18:30 on Thu 11 Jun" in caution) == bool(more)


async def test_the_field_on_the_screen(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", {"2026-06-10": (*FARM, SPRAY, "water b6 1 in")})
    assert any("keep out of b3" in line.text or "keep out" in line.text for line in page_lines(session))
    app = ShedApp(session, None, tmp_path / "farm")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("F")
        assert app.open_view == "field"
        text = shown(app)
        assert "closed" in text and "until 06:30 on Thu 11 Jun" in text and "sprayed Quencher" in text
        await pilot.press("end")
        assert "a again" in shown(app)
        await pilot.press("3")
        assert app.open_view == "beds"
        assert "keep out: closed by a label until 06:30 on Thu 11 Jun" in shown(app)
