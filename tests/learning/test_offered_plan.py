"""Next season's first plan offers only lines that can be written on the day it is drafted."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.language.read import Reading, read_line
from core.learning.next_year import first_plan
from core.learning.offered import offered_plan
from demo_farm.open import DEMO_DAY, copy_to
from tests.farms import Pencil
from tests.learning.test_next_year import a_season
from tests.shell import Shell

pytestmark = pytest.mark.usefixtures("reckoned_once")


def wanted_of(pencil: Pencil, crop: str, use: str, count: int, on: str) -> None:
    """So many stems ordered for that day."""
    code = f"O{len(pencil.farm.orders.all()) + 1:03d}"
    pencil.write("ordered", order=code, buyer="Lane", due_on=on)
    pencil.write("order item", order=code, item=1, crop=crop, form=use, count=count)


def second_farm() -> Pencil:
    """Beside what can be planned: larkspur and zinnia wanted too early for any sown in spring, and starflower wired."""
    pencil = a_season()
    pencil.today = date(2026, 4, 1)
    pencil.write("drilled", planting="P09", crop="larkspur", bed="b1", feet=10)
    pencil.today = date(2026, 5, 25)
    wanted_of(pencil, "larkspur", "fresh", 40, "2026-06-12")
    wanted_of(pencil, "cosmos", "fresh", 30, "2026-06-01")
    wanted_of(pencil, "starflower", "wired", 40, "2026-09-01")
    wanted_of(pencil, "ammi", "fresh", 30, "2026-07-20")
    pencil.today = date(2026, 8, 1)
    return pencil


def test_every_line_that_is_offered_is_taken_on_its_day() -> None:
    pencil = second_farm()
    rows = offered_plan(pencil.farm, 2026, pencil.today)
    lines = [row.line for row in rows if row.line]
    assert {line.split()[2] for line in lines} >= {"zinnia", "statice", "ammi"}
    for line in lines:
        found = read_line(line, pencil.farm, pencil.today)
        assert isinstance(found, Reading), (line, found)
        for draft in found.drafts:
            assert pencil.refusal(draft.kind, **draft.fields) is None, line


def test_what_cannot_be_planned_is_told_in_words_and_kept_in_the_draft() -> None:
    pencil = second_farm()
    rows = {row.crop: row for row in offered_plan(pencil.farm, 2026, pencil.today)}
    assert set(rows) == {row.crop for row in first_plan(pencil.farm, 2026)}
    assert rows["larkspur"].line == ""
    assert "cannot be planned" in rows["larkspur"].because and "would do" in rows["larkspur"].because
    assert "stands already" not in rows["larkspur"].because
    assert rows["starflower"].line == "" and "no wire use" in rows["starflower"].because


def test_every_line_of_the_demo_is_taken_as_it_stands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy_to(tmp_path / "demo")
    shell = Shell(tmp_path / "demo", capsys, DEMO_DAY.isoformat())
    lines = [row["line"] for row in shell.json("draft")["rows"] if row["line"]]
    assert len(lines) > 10
    for line in lines:
        assert shell.write(line)["entries"], line
        shell("undo")


def test_what_has_no_room_in_its_bed_is_said_where_it_is_offered() -> None:
    pencil = second_farm()
    wanted_of(pencil, "zinnia", "fresh", 4000, "2026-08-20")
    (zinnia,) = (row for row in offered_plan(pencil.farm, 2026, pencil.today) if row.crop == "zinnia")
    assert zinnia.line.startswith("plan ")
    assert "zinnia needs" in zinnia.because and "ft of bed in the weeks of" in zinnia.because
