"""What stands for years: her own date of bloom, the year of the first cut, division and replacing in their season."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.beds.rows import PlantingRow, bed_rows
from core.kinds import sentence
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import Pencil, beds
from tests.shell import Shell

on = date.fromisoformat

SET_UP = ("bed b3 50ft", "bed b4 50ft", "last frost 05-14", "first frost 10-01")


def farm_with(crop: str, out: str, **fields: object) -> Pencil:
    pencil = beds("b3", "b4", start=out, last_frost="05-14", first_frost="10-01")
    pencil.write("set out", crop=crop, bed="b3", feet=20, plants=20, planting="P01", **fields)
    return pencil


def row(pencil: Pencil, day: str) -> PlantingRow:
    (found,) = (p for bed in bed_rows(pencil.farm, on(day)) for p in bed.plantings)
    return found


def draft(pencil: Pencil, line: str) -> tuple[str, dict[str, object]]:
    reading = read_line(line, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading
    (said,) = reading.drafts
    return said.kind, dict(said.fields)


@pytest.mark.parametrize(
    "line",
    [
        "mine bloom 1 july astilbe",
        "astilbe blooms 1 july",
        "astilbe bloom july 1",
        "my astilbe bloom 7/1",
        "b3 blooms 1 july",
        "sheet astilbe bloom 1 july",
        "sheet astilbe blooms here from 07-01",
    ],
)
def test_when_hers_bloom_is_one_line(line: str) -> None:
    pencil = farm_with("astilbe", "2025-05-01")
    assert draft(pencil, line) == ("sheet", {"crop": "astilbe", "figure": "bloom", "value": "07-01"})


def test_it_is_told_as_a_day() -> None:
    pencil = farm_with("astilbe", "2025-05-01")
    pencil.write("sheet", crop="astilbe", figure="bloom", value="07-01")
    assert sentence(pencil.entries[-1]) == "astilbe: bloom is 1 Jul"


def test_of_one_variety() -> None:
    pencil = farm_with("peony", "2022-09-20", variety="coral")
    kind, fields = draft(pencil, "peony coral blooms 20 june")
    assert kind == "variety sheet"
    assert fields == {"crop": "peony", "variety": "coral", "figure": "bloom", "value": "06-20"}


@pytest.mark.parametrize(
    "line", ["peony blooms", "peony blooms soon", "blooms 1 july", "sheet peony bloom soon"]
)
def test_what_is_no_day_is_asked_for(line: str) -> None:
    assert isinstance(read_line(line, farm_with("astilbe", "2025-05-01").farm, on("2026-03-01")), Problem)


def test_her_date_goes_before_the_handbook_s_and_her_own_cut_before_both() -> None:
    pencil = farm_with("astilbe", "2025-05-01")
    assert row(pencil, "2026-03-01").cut_from == "2026-06-11"  # 4 weeks from the last frost
    pencil.write("sheet", crop="astilbe", figure="bloom", value="07-10")
    said = row(pencil, "2026-03-01")
    assert (said.cut_from, said.cut_to) == ("2026-07-10", "2026-07-31")
    assert "blooms here from 10 Jul" in said.because
    assert row(pencil, "2026-07-12").at_stage == ("fresh",)
    assert row(pencil, "2026-08-02").cut_from == "2027-07-10"  # over for this year
    pencil.today = on("2026-07-04")
    pencil.write("cut", planting="P01", crop="astilbe", bed="b3", use="fresh", stems=10, lot="L001")
    assert row(pencil, "2026-07-05").cut_from == "2026-07-04"


def test_a_bulb_planted_in_fall_is_looked_at_when_she_says_it_blooms() -> None:
    pencil = farm_with("allium", "2025-10-10")
    pencil.write("sheet", crop="allium", figure="bloom", value="06-05")
    assert row(pencil, "2025-11-01").cut_from == "2026-06-05"


def test_nothing_is_offered_for_cutting_before_its_year() -> None:
    # UAF Progress Report 43: nothing is cut from peonies in the first two seasons.
    pencil = farm_with("peony", "2025-09-15")
    for year in (2026, 2027):
        waiting = row(pencil, f"{year}-06-10")
        assert waiting.at_stage == ()
    assert "first cut in year 3 to 4" in row(pencil, "2026-06-10").because
    assert row(pencil, "2028-06-10").at_stage
    pencil.write("sheet", crop="peony", figure="first_cut_year", value="2")
    assert row(pencil, "2027-06-10").at_stage  # hers


def test_what_was_cut_all_the_same_is_followed() -> None:
    pencil = farm_with("peony", "2025-09-15")
    pencil.today = on("2026-06-12")
    pencil.write("cut", planting="P01", crop="peony", bed="b3", use="fresh", stems=3, lot="L001")
    assert row(pencil, "2026-06-13").at_stage


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-04-02").begin({"2021-05-01": SET_UP})


def season(shell: Shell, day: str) -> str:
    return " ".join(shell("today", "--all", on=day)[1].split())


def test_division_is_asked_in_its_season_and_is_over_when_it_is_replanted(shell: Shell) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    # Iowa State: garden phlox every 2 to 4 years; Colorado State: what blooms in summer and fall in spring.
    assert "divide" not in season(shell, "2024-04-02")
    told = season(shell, "2025-04-02")
    assert "divide" in told and "b3 phlox" in told
    assert "divide" not in season(shell, "2025-09-02")
    shell.write("clear b3", on="2025-04-10")
    shell.write("plant phlox b4 20ft 24 plants", on="2025-04-10")
    assert "divide" not in season(shell, "2026-04-02")


def standing(shell: Shell, day: str) -> list[tuple[str, str, int]]:
    """(code, bed, plants) of what stands."""
    return [
        (one["planting"], bed["bed"], one["plants"])
        for bed in shell.json("beds", on=day)["rows"]
        for one in bed["plantings"]
    ]


def test_the_line_that_the_morning_offers_divides_it_and_no_plant_is_lost(shell: Shell) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    told = season(shell, "2025-04-02")
    assert "divide P01 into 24" in told and "not yet P01" in told and "every 2 to 4 years" in told
    written = shell.write("divide P01 into 24", on="2025-04-03")
    assert any("P02" in remark for remark in written["remarks"])
    assert any("12 left over in store" in remark for remark in written["remarks"])
    assert standing(shell, "2025-04-03") == [("P02", "b3", 12)]
    (store,) = shell.json("tubers", on="2025-04-03")["rows"]
    assert (store["crop"], store["there"]) == ("phlox", 12)
    assert "b3 phlox" not in season(shell, "2025-04-04")
    for line in ("sold 5 phlox tubers to Lane at 4", "plant phlox b4 10ft 7 plants"):
        shell.write(line, on="2025-04-05")
    assert [row["there"] for row in shell.json("tubers", on="2025-04-05")["rows"]] == [0]
    assert shell("check", on="2025-04-05")[0] == 0


@pytest.mark.parametrize(
    ("line", "set_again", "left"),
    [
        ("divide P01 into 24 set 20", 20, 4),
        ("divided phlox b3 into 12", 12, 0),
        ("divide 12 P01 into 30 set 0", 0, 30),
    ],
)
def test_she_says_how_many_are_set_again(shell: Shell, line: str, set_again: int, left: int) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    shell.write(line, on="2025-04-03")
    assert sum(plants for _, _, plants in standing(shell, "2025-04-03")) == set_again
    assert sum(row["there"] for row in shell.json("tubers", on="2025-04-03")["rows"]) == left
    assert shell("write", "undo", on="2025-04-03")[0] == 0
    assert standing(shell, "2025-04-03") == [("P01", "b3", 12)]


def test_a_division_is_taken_back_as_a_whole(shell: Shell) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    written = shell.write("divide P01 into 24", on="2025-04-03")
    assert shell("strike", written["entries"][0]["id"], on="2025-04-03")[0] == 0
    assert standing(shell, "2025-04-03") == [("P01", "b3", 12)]
    assert shell.json("tubers", on="2025-04-03")["rows"] == []
    assert shell("check", on="2025-04-03")[0] == 0


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("divide P01", "Into how many? Write it so: divide P01 into 24; or: not yet P01"),
        ("divide phlox b3", "divide P01 into 24"),
        ("divide P01 into 6", "12 pieces at least"),
        ("divide 3 P01 into 9", "lift 3 P01"),
        ("divide P01 into 24 set 30", "fewer than the 30"),
        ("divide 12 phlox into 24", "P01 stands in b3"),
        ("divide P02 into 8", "does not stand for years"),
    ],
)
def test_what_cannot_be_divided_so_is_told_how(shell: Shell, line: str, says: str) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    shell.write("plant dahlia b4 20ft 4 plants", on="2023-05-10")
    status, _, error = shell("write", line, on="2025-04-03")
    assert status == 1 and says in " ".join(error.split())


@pytest.mark.parametrize(
    "line", ["not yet P01", "divide phlox b3 not yet", "don't divide b3 yet", "postpone P01"]
)
def test_not_yet_is_asked_again_a_year_on(shell: Shell, line: str) -> None:
    shell.write("plant phlox b3 20ft 12 plants", on="2023-05-10")
    told = season(shell, "2025-04-02")
    assert "b3 phlox" in told
    written = shell.write(line, on="2025-04-03")
    assert written["remarks"] == ["asked again in its next season"]
    assert "b3 phlox" not in season(shell, "2025-04-04") and "b3 phlox" not in season(shell, "2025-04-30")
    assert "b3 phlox" in season(shell, "2026-04-02")
    assert shell("write", "undo", on="2025-04-03")[0] == 0
    assert "b3 phlox" in season(shell, "2025-04-04")
    assert shell("check")[0] == 0


def test_what_blooms_in_spring_is_divided_in_fall(shell: Shell) -> None:
    shell.write("plant peony b3 20ft 6 plants", on="2021-09-20")
    assert "divide" not in season(shell, "2026-04-02")
    assert "b3 peony" in season(shell, "2026-09-02")


def test_what_has_borne_its_years_is_to_be_replaced(shell: Shell) -> None:
    shell.write("sheet phlox years it bears 4", on="2021-05-01")
    shell.write("plant phlox b3 20ft 12 plants", on="2021-05-10")
    assert "replace" not in season(shell, "2024-04-02")
    assert "replace" in season(shell, "2025-04-02")


def test_what_blooms_on_her_day_can_be_promised_in_its_years_and_not_before(shell: Shell) -> None:
    shell.write("plant astilbe b3 20ft 60 plants", on="2024-05-10")
    asked = ("promise", "astilbe", "fresh", "40", "07-08")
    assert shell.json(*asked, on="2026-05-01")["answer"] == "no"  # nothing says when it flowers here
    shell.write("astilbe blooms 1 july", on="2026-04-20")
    assert shell.json(*asked, on="2026-05-01")["answer"] != "no"
    shell.write("sheet astilbe first cut in year 4", on="2026-04-20")
    assert shell.json(*asked, on="2026-05-01")["answer"] == "no"


def test_the_look_at_next_year_says_what_bears_and_what_ends(shell: Shell) -> None:
    """Peonies: nothing cut in the first two seasons (Alaska, Progress Report 43); foxglove, a biennial, flowers in
    its second year; phlox is divided every 2 to 4 years (Iowa State)."""
    for day, line in (
        ("2024-05-10", "plant phlox b3 20ft 12 plants"),
        ("2024-09-20", "plant peony b3 20ft 6 plants"),
        ("2026-05-02", "plant zinnia b4 20ft 60 plants"),
        ("2026-08-20", "plant foxglove b4 20ft 60 plants"),
    ):
        shell.write(line, on=day)

    def ahead(year: str) -> dict[str, list[str]]:
        told: dict[str, list[str]] = {}
        for row in shell.json("draft", year, on="2026-10-20")["stands"]:
            told.setdefault(row["called"], []).append(row["does"])
        return told

    assert ahead("2026") == {
        "peony": ["first cut"],
        "phlox": ["bears", "to be divided"],
        "foxglove": ["flowers and ends"],
    }
    assert ahead("2025")["peony"] == ["not yet cut"] and ahead("2027")["peony"][0] == "bears"
    assert "foxglove" not in ahead("2027")
    page = shell("draft", "2026", on="2026-10-20")[1]
    assert "Stands over into 2027" in page and "first cut: peony b3" in page
