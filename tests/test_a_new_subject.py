"""A subject that the program never heard of, made in this one file: it is said, written, undone, told and shown.

Hives in the orchard. No file of core or tui knows of them; `register` is all that makes them known.
"""

from __future__ import annotations

import shutil
from argparse import Namespace
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest

from core import subject as registry
from core.asks import Asked, Part, Sight
from core.book.entry import Draft, Entry
from core.dated import Dated
from core.farm import Farm
from core.kinds import Kind, needs, sentence
from core.language.guide import guide
from core.language.line import Line, Reading, Refused
from core.language.offers import words
from core.language.verb import Verb
from core.matters import matters
from core.problems import Problem
from core.session import Session, Written
from core.subject import Subject
from tests.farms import morning_of, page_lines
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.row_keys import Row, RowSort, gap
from tui.table import CSV, SCREEN, TEXT, Column, Meaning, Table
from tui.table import DAY as DAY_FORM
from tui.views.view import View

DAY = date(2026, 6, 23)
LOOK_EVERY = 10
"""Days between two looks into a hive (this test's own)."""

SUBJECT = Subject(
    title="Hives",
    kinds=("hive checked",),
    verbs={"hive": ("hive",)},
    asks=("hives",),
    commands={"hives": "the hives, and when each was looked into"},
    view="Hives",
    rows=("hive",),
    events=("hives",),
    parts=dict.fromkeys(("kinds", "lines", "asks", "rows", "events", "screen"), __name__),
)


# what is written


@dataclass(slots=True)
class Hives:
    """What the farm keeps of its hives: hive -> [day it was looked into, supers on it], the last look."""

    looks: dict[str, Look] = field(default_factory=dict)


class Look(NamedTuple):
    """One look into a hive."""

    on: str
    supers: int


def _checked(farm: Farm, entry: Entry) -> None:
    hives = farm.part(Hives)
    hives.looks[entry.fields["hive"]] = Look(entry.on, entry.fields["supers"])


def _check_checked(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["supers"] > 6:
        return Problem("No hive carries more than six supers: count again.", "impossible")
    return None


KINDS = (
    Kind(
        "hive checked",
        "looked into hive {hive}, {supers} supers",
        needs(hive="code", supers="count"),
        _checked,
        check=_check_checked,
    ),
)


# how it is said


def _read(line: Line) -> Reading:
    line.take_words(("checked",))
    named = next((t for t in line.free() if t.is_word and t.low[0] == "h" and t.low[1:].isdigit()), None)
    if named is None:
        raise Refused("Which hive? Write its number: hive H1 checked, 2 supers.")
    named.taken = True
    supers = line.take_count("supers")
    line.take_words(("supers", "super"))
    if supers is None:
        raise Refused("How many supers? Write the number: hive H1 checked, 2 supers.")
    return line.reading(line.draft("hive checked", hive=named.low.upper(), supers=supers))


def _hives(_line: Line, farm: Farm) -> list[str]:
    return list(farm.part(Hives).looks)


VERBS = (
    Verb(
        "hive",
        _read,
        "Orchard",
        (("hive H1 checked, 2 supers", "looked into, and what it carries"),),
        (_hives, words("checked", "supers")),
    ),
)


# what is to be seen, and what it asks


class HiveRow(NamedTuple):
    """One hive."""

    hive: str
    last_look: str
    supers: int
    days: int


def hive_rows(farm: Farm, day: date) -> list[HiveRow]:
    """Every hive, the longest not looked into first."""
    rows = [
        HiveRow(hive, look.on, look.supers, (day - date.fromisoformat(look.on)).days)
        for hive, look in farm.part(Hives).looks.items()
    ]
    return sorted(rows, key=lambda row: -row.days)


def _asking(sight: Sight) -> list[HiveRow]:
    return [row for row in hive_rows(sight.farm, sight.day) if row.days >= LOOK_EVERY]


def _asked(rows: Sequence[HiveRow]) -> Iterator[Asked]:
    for row in rows:
        yield Asked(("hive", row.hive), row, row.hive, "look into it", "hive", when=f"{row.days} days")


PARTS = (Part("hives", "Hives", 80, _asking, _asked),)


# what it has for the calendar


def _looks(sight: Sight) -> Iterator[Dated]:
    for hive, look in sight.farm.part(Hives).looks.items():
        due = (date.fromisoformat(look.on) + timedelta(days=LOOK_EVERY)).isoformat()
        yield Dated((hive,), due, due, f"look into hive {hive}")


EVENTS = {"hives": _looks}


# how it is shown


COLUMNS = (
    Column("hive", "hive", 6),
    Column("supers", "supers", 6, right=True),
    Column("days", "last look", 12, lambda days: f"{days} days ago", right=True, on=SCREEN | TEXT),
    Column("last_look", "last look", on=CSV),
)
TABLES = (
    Table(
        "hives",
        COLUMNS,
        lambda session: hive_rows(session.farm, session.today),
        "the hives",
        heads={
            "hive": Meaning("number of the hive"),
            "supers": Meaning("boxes on it", "supers"),
            "last look": Meaning("day it was looked into", DAY_FORM),
        },
    ),
)
HIVE = RowSort(
    "hive",
    "On a hive",
    (deed("look", "looked into", "it was looked into", lambda r: gap(f"hive {r.hive} ", " supers")),),
    view="hives",
)
ROWS = (HIVE,)


def hives(args: Namespace) -> int:
    """Print the hives."""
    session = open_session(args)
    return show_table(args, COLUMNS, hive_rows(session.farm, session.today), nothing="No hives.")


COMMANDS = {"hives": Command(hives, csv=True)}


class HivesView(View):
    """The hives."""

    SORTS = ("hive",)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        return self.table(COLUMNS, hive_rows(session.farm, session.today), HIVE, lambda r: (r.hive,))


VIEW = HivesView


# the test


@pytest.fixture(autouse=True)
def known() -> Iterator[None]:
    registry.register(__name__)
    yield
    registry.unregister(__name__)


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    session = Session.create(tmp_path / "shed", by="ml", on=DAY)
    written = session.write("bed b1 50ft")
    assert isinstance(written, Written)
    session.close()
    return tmp_path / "shed"


def _open(folder: Path, day: date = DAY, by: str = "ml") -> Session:
    return Session.open(folder, by=by, on=day)


def _write(session: Session, line: str) -> Written:
    written = session.write(line)
    assert isinstance(written, Written), written.sentence
    return written


def test_its_line_is_read_completed_and_stands_in_the_help(farm: Path) -> None:
    session = _open(farm)
    assert _write(session, "hive h1 checked, 2 supers").says == ("looked into hive H1, 2 supers",)
    assert session.complete("hiv").ghost == "e"
    assert "H1" in session.complete("hive ").offers or session.complete("hive H").ghost == "1"
    assert session.complete("hive H2 3 supers").says == "looked into hive H2, 3 supers"
    (orchard,) = [job for job in guide() if job.name == "Orchard"]
    assert orchard.examples[0].line == "hive H1 checked, 2 supers"
    refused = session.write("hive H1")
    assert isinstance(refused, Problem) and refused.sentence.startswith("How many supers?")
    heavy = session.write("hive H1 9 supers")
    assert isinstance(heavy, Problem) and "six supers" in heavy.sentence


def test_it_is_written_folded_cached_struck_and_undone(farm: Path) -> None:
    session = _open(farm)
    first = _write(session, "hive H1 2 supers")
    session.close()
    again = _open(farm)
    assert again.farm.part(Hives).looks == {"H1": Look("2026-06-23", 2)}
    _write(again, "hive H1 3 supers")
    again.close()
    shutil.rmtree(farm / "fold")
    anew = _open(farm)
    assert anew.farm.part(Hives).looks["H1"].supers == 3
    assert isinstance(anew.undo(), Written)
    assert anew.farm.part(Hives).looks["H1"].supers == 2
    assert isinstance(anew.strike(first.entries[0].id), Written)
    assert anew.farm.part(Hives).looks == {}
    assert anew.check() == []


def test_two_machines_bring_it_together_and_its_story_is_told(farm: Path, tmp_path: Path) -> None:
    field_copy = Path(shutil.copytree(farm, tmp_path / "netbook"))
    (field_copy / "device").unlink(missing_ok=True)
    _write(_open(farm, DAY - timedelta(days=2)), "hive H1 1 supers")
    _write(_open(field_copy, by="jo"), "hive H1 2 supers")
    session = _open(farm)
    session.merge(field_copy)
    assert session.farm.part(Hives).looks["H1"] == Look("2026-06-23", 2)
    story = session.look_back.history("H1")
    assert not isinstance(story, Problem)
    assert [sentence(entry) for entry in story] == [
        "looked into hive H1, 1 super",
        "looked into hive H1, 2 supers",
    ]


def test_it_asks_something_of_the_morning(farm: Path) -> None:
    _write(_open(farm), "hive H1 2 supers")
    later = _open(farm, DAY + timedelta(days=12))
    (line,) = [line for line in page_lines(later) if line.about == ("hive", "H1")]
    assert "look into it: 12 days" in line.text
    assert morning_of(later).as_dict()["hives"][0].hive == "H1"


def test_without_it_the_book_opens_keeps_what_was_written_and_says_so(farm: Path) -> None:
    session = _open(farm)
    _write(session, "hive H1 2 supers")
    session.close()
    registry.unregister(__name__)
    try:
        bare = _open(farm)
        _write(bare, "low 41")
        assert any("newer shedbook" in told.sentence for told in matters(bare.farm))
        bare.close()
    finally:
        registry.register(__name__)
    assert _open(farm).farm.part(Hives).looks["H1"].supers == 2


def test_a_word_that_says_something_else_elsewhere_is_refused() -> None:
    with pytest.raises(ValueError, match="both write"):
        registry.refuse_shared_words(SUBJECT._replace(verbs={"hive": ("hang",)}, home="elsewhere"))


def test_it_is_shown_as_text_as_csv_and_as_json_and_stands_in_the_help(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(farm, capsys, DAY.isoformat())
    assert "looked into hive H1, 2 supers" in shell.text("write", "hive", "H1", "2", "supers")
    assert "hive H1" in shell.text("history", "H1")
    assert shell.text("hives").splitlines() == ["hive  supers  last look", "H1         2  0 days ago"]
    row = {"hive": "H1", "last_look": "2026-06-23", "supers": 2, "days": 0}
    assert shell.json("hives") == {"rows": [row]}
    assert shell("hives", "--csv")[1] == "hive,supers,last look\r\nH1,2,2026-06-23\r\n"
    assert "the hives, and when each was looked into" in " ".join(shell("--help")[1].split())
    assert shell.json("today", on="2026-07-10")["hives"] == [row | {"days": 17}]


def test_it_goes_out_as_a_table_and_onto_the_calendar(
    farm: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(farm, capsys, DAY.isoformat())
    shell.write("hive H1 2 supers")
    shell.json("out", str(tmp_path / "out"))
    assert (tmp_path / "out" / "hives.csv").read_bytes() == b"hive,supers,last look\r\nH1,2,2026-06-23\r\n"
    assert "hives.csv,the hives,supers,boxes on it,supers" in (tmp_path / "out" / "columns.csv").read_text()
    assert "supers" in (tmp_path / "out" / "written-hive-checked.csv").read_text()
    shell.json("calendar", str(tmp_path / "farm.ics"), "--only", "hives")
    text = (tmp_path / "farm.ics").read_text()
    assert "SUMMARY:look into hive H1" in text and "UID:hives-H1@shedbook.invalid" in text


async def test_it_is_shown_on_the_screen_and_its_key_begins_its_line(farm: Path) -> None:
    _write(_open(farm, DAY - timedelta(days=20)), "hive H1 2 supers")
    app = ShedApp(_open(farm), None, farm)
    async with app.run_test() as pilot:
        assert "look into it: 20 days" in shown(app)
        await pilot.press("full_stop", *"hives", "enter")
        assert app.open_view == "hives"
        text = shown(app)
        assert "H1          2  20 days ago" in text and "k looked into" in text
        await pilot.press("k", "3", "enter")
        assert "looked into hive H1, 3 supers" in app.status.text
        assert "0 days ago" in shown(app)
        await pilot.press("question_mark")
        assert "On a hive" in shown(app) and "Help for Hives" in shown(app)
