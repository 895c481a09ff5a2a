"""A bed that is closed stands on the calendar, and on the day's sheet as closed, with nothing to cut in it."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
import vobject

from tests.paper.printed import seen
from tests.shell import Shell

SPRAYED = {
    "2026-04-01": (
        "farm zone America/New_York",
        "bed b3 50ft",
        "bed b6 50ft",
        "last frost 05-14",
        "plant strawflower b3 20ft 60 plants",
        "plant strawflower b6 20ft 60 plants",
    ),
    "2026-07-10": (
        "spray b3 'Quencher' 12 oz in 3 gal reg 9999-1 active 'soap salts' reentry 12h harvest 2 days 17:30 to 18:30",
    ),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-07-11").begin(SPRAYED)


def test_the_calendar_tells_until_when_by_the_label(shell: Shell, tmp_path: Path) -> None:
    """12 h and 48 h from 18:30 on the 10th (40 CFR 170.407: from the end of the application)."""
    shell.json("calendar", str(tmp_path / "farm.ics"), "--only", "closed")
    events = vobject.readOne((tmp_path / "farm.ics").read_text()).contents["vevent"]
    told = {e.summary.value: (e.dtstart.value, e.dtend.value) for e in events}
    assert told == {
        "nobody into b3 before 06:30 on Sat 11 Jul": (date(2026, 7, 10), date(2026, 7, 12)),
        "no cutting in b3 before 18:30 on Sun 12 Jul": (date(2026, 7, 10), date(2026, 7, 13)),
    }
    assert all("by its label" in e.description.value for e in events)


def test_the_days_sheet_says_so_and_has_nothing_to_cut_there(shell: Shell, tmp_path: Path) -> None:
    shell("sheet", "day", str(tmp_path / "day.pdf"))
    text = seen((tmp_path / "day.pdf").read_bytes())[0].text
    assert "! Nobody into b3 before 06:30 on Sat 11 Jul" in text
    assert "! No cutting in b3 before 18:30 on Sun 12 Jul" in text
    assert "strawflower, b6" in text and "strawflower, b3" not in text
    shell("sheet", "day", str(tmp_path / "day.pdf"), on="2026-07-13")
    assert "strawflower, b3" in seen((tmp_path / "day.pdf").read_bytes())[0].text


def test_the_cut_list_on_paper_has_no_box_for_what_is_closed(shell: Shell, tmp_path: Path) -> None:
    shell.write("order Fern 30 strawflower dry by 8-1")
    shell("sheet", "cutlist", str(tmp_path / "cut.pdf"))
    (page,) = seen((tmp_path / "cut.pdf").read_bytes())
    rows = shell.json("cutlist")["rows"]
    worth = shell.json("cutlist")["worth"]
    assert {row["bed"] for row in (*rows, *worth) if not row.get("closed")} <= {"b6"}
    assert len(page.frames) == sum(not row.get("closed") for row in (*rows, *worth))
    if any(row.get("closed") for row in rows):
        assert "! keep out: closed by a label until" in page.text


def test_the_record_goes_out_whole(shell: Shell, tmp_path: Path) -> None:
    shell.json("out", str(tmp_path / "out"))
    (row,) = csv.DictReader(
        io.StringIO((tmp_path / "out" / "field-record.csv").read_bytes().decode(), newline="")
    )
    assert (row["brand or product name"], row["registration number"]) == ("Quencher", "9999-1")
    assert (row["entry from"], row["harvest from"]) == ("2026-07-11 06:30", "2026-07-12 18:30")
