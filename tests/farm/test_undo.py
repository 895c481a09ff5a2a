"""Undo takes back what she wrote last, whatever day it is about, and asks before it reaches further than she meant."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core import folded
from core.book import ids
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.happened import Readings
from core.problems import Problem
from core.session import Session, Written
from core.stems.rows import stock_rows
from core.undoing import written_by
from tests.cases import cases
from tests.farms import write

DAY = date(2026, 6, 23)
SET_UP = ("farm zone UTC", "last frost 14 may", "bed b1 50ft", "bed b4 30ft")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    made = Session.create(tmp_path / "farm", by="ml", on=DAY)
    for line in (*SET_UP, "plant larkspur b4 20ft on 2026-04-01"):
        write(made, line)
    return made


def _undone(session: Session, line: str = "undo") -> tuple[str, ...]:
    undone = session.write(line)
    assert isinstance(undone, Written), undone
    return undone.says


def _asked(session: Session) -> str:
    """What a bare undo answers where it asks first; nothing is written by it."""
    before = len(session.entries())
    asked = session.write("undo")
    assert isinstance(asked, Problem) and "undo yes" in asked.sentence, asked
    assert len(session.entries()) == before
    return asked.sentence


def _counting(session: Session) -> list[str]:
    """The kinds of the entries that count, in the order of the days."""
    found = session.entries()
    gone = session.look_back.marks(found).struck
    return [e.kind for e in found if e.id not in gone and e.kind != "strike"]


def test_undo_takes_back_what_was_written_last_and_not_what_is_dated_last(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    write(session, "wind 22 6 may")
    assert _undone(session) == ("taken back: wind 22 mph",)
    assert [row.on_hand for row in stock_rows(session.farm, session.today)] == [12]
    assert _undone(session)[0].startswith("taken back: cut 12 larkspur")


def test_what_undo_would_take_back_is_known_before_it_does(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    write(session, "low 41 high 66 yesterday")
    last = session.last_line()
    assert not isinstance(last, Problem)
    assert last.says == ("low last night 41 F", "high 66 F") and last.because == ""
    undone = session.undo(last)
    assert isinstance(undone, Written) and undone.says == (
        "taken back: low last night 41 F",
        "taken back: high 66 F",
    )


def test_undo_reaches_a_line_of_a_day_long_ago(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a book with so many entries that the day of the line lies before what is kept at hand."""
    monkeypatch.setattr(folded, "TAIL_MOST", 12)
    monkeypatch.setattr(folded, "TAIL_KEPT", 6)
    for back in range(30, 0, -1):
        session.on = DAY - timedelta(days=back)
        write(session, f"low {40 + back}")
    session.on = DAY
    session.close()
    session = Session.open(session.folder, by="ml", on=DAY)
    write(session, "wind 22 6 may")
    assert _undone(Session.open(session.folder, by="ml", on=DAY)) == ("taken back: wind 22 mph",)
    again = Session.open(session.folder, by="ml", on=DAY)
    assert _undone(again) == ("taken back: low last night 41 F",)
    assert again.check() == []


def test_what_she_took_back_herself_is_what_undo_restores(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    second = write(session, "low 44").entries[0]
    write(session, f"cancel {second.id[-8:]}")
    assert session.complete("undo").says == "restores: low last night 44 F"
    assert _undone(session) == ("restored: low last night 44 F",)
    assert session.farm.weather_on(DAY) == Readings(low=44)
    assert _undone(session) == ("taken back: low last night 44 F",)  # and so on, back through her lines
    assert _undone(session)[0].startswith("taken back: cut 12 larkspur")
    assert session.check() == []


def test_what_undo_took_back_is_not_what_the_next_undo_restores(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    second = write(session, "low 44").entries[0]
    assert _undone(session) == ("taken back: low last night 44 F",)
    (strike,) = [e for e in session.entries() if e.kind == "strike"]
    assert isinstance(session.strike(strike.id), Written)  # restored by her: that is a line of its own
    last = session.last_line()
    assert not isinstance(last, Problem) and (last.says, last.restores) == (("low last night 44 F",), False)
    assert _undone(session) == ("taken back: low last night 44 F",)
    assert second.id in session.look_back.marks(session.entries()).struck
    assert _undone(session)[0].startswith("taken back: cut 12 larkspur")


def test_pieces_taken_back_are_restored_whole(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=DAY)
    write(session, *SET_UP, "plant larkspur b4 20ft on 2026-04-01", "60 larkspur b4 fresh")
    made = write(session, "used 20 L001 for table bowls", "12 larkspur b4 fresh")
    before = [row.on_hand for row in stock_rows(session.farm, session.today)]
    assert isinstance(session.strike(made.entries[0].id), Written)
    assert isinstance(session.undo(), Written)
    assert [row.on_hand for row in stock_rows(session.farm, session.today)] == before


def test_a_note_of_the_year_9999_that_a_merge_brought_does_not_make_every_undo_ask(
    session: Session, tmp_path: Path
) -> None:
    away = Path(shutil.copytree(session.folder, tmp_path / "away"))
    far = int(datetime(9999, 6, 1, tzinfo=UTC).timestamp() * 1000)
    book = Book.open(away, device="netbook", clock=lambda: far)
    book.append([Draft("note", DAY.isoformat(), {"text": "of a clock gone mad"})], by="jo")
    assert session.merge(away).added == 1
    write(session, "wind 22")
    assert _undone(session) == ("taken back: wind 22 mph",)


def test_undo_asks_before_it_takes_the_farm_apart(session: Session) -> None:
    write(session, "bed b9 20ft")
    assert "how the farm is set up: bed b9" in _asked(session)
    assert _undone(session, "undo yes") == ("taken back: bed b9: 20 ft long, 36 in wide",)
    assert "b9" not in session.farm.beds and "b4" in session.farm.beds


def test_undo_asks_before_it_reaches_over_the_day_it_is(tmp_path: Path) -> None:
    """What a clock of the day before has written is not taken back by one word the morning after."""
    yesterday = ids.now_ms() - 26 * 3_600_000
    folder = tmp_path / "farm"
    book = Book.create(folder, clock=lambda: yesterday)
    book.append([Draft("farm", "2026-06-22", {"zone": "UTC"})], by="ml")
    book.append([Draft("wind", "2026-06-22", {"mph": 9})], by="ml")
    session = Session.open(folder, by="ml", on=DAY)
    said = _asked(session)
    assert "it was written on" in said and "wind 9 mph" in said
    assert _undone(session, "undo yes") == ("taken back: wind 9 mph",)


def test_undo_asks_before_it_takes_back_what_is_about_a_later_day(session: Session) -> None:
    write(session, "wind 22")
    earlier = Session.open(session.folder, by="ml", on=DAY - timedelta(days=9))
    assert "it is about 23 Jun 2026" in _asked(earlier)


def test_undo_leaves_alone_what_came_from_another_machine(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(session, "low 44")
    away = Path(shutil.copytree(session.folder, tmp_path / "away"))
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    write(Session.open(away, by="ml", on=DAY), "wind 9")
    monkeypatch.delenv("SHEDBOOK_DEVICE")
    assert session.merge(away).added == 1
    assert "low last night 44 F" in _asked(session)  # what came is newer: it is asked about, and stays
    assert _undone(session, "undo yes") == ("taken back: low last night 44 F",)
    assert session.farm.weather_on(DAY) == Readings(wind=9)


def test_undo_says_whose_line_it_takes_and_when_it_was_written(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    jo = Session.open(session.folder, by="jo", on=DAY)
    write(jo, "wind 22")
    session.refresh()
    asked = _asked(session)
    assert "jo has written since: cut 12 larkspur" in asked and re.search(
        r"\(ml wrote it at \d\d:\d\d\)", asked
    )
    taken = session.write("undo yes")
    assert isinstance(taken, Written) and re.fullmatch(r"ml wrote it at \d\d:\d\d", taken.remarks[0])
    assert _counting(session)[-1] == "wind"  # nobody else's is touched


def test_of_another_day_the_day_is_said_too(session: Session) -> None:
    at = "2026-06-21T07:12:00.000Z"
    assert written_by(Entry("x", "2026-05-01", at, "jo", "note", {}), DAY, "UTC") == (
        "jo wrote it on 21 Jun 2026 at 07:12"
    )
    assert "nobody knows when" in written_by(Entry("x", "2026-05-01", "dawn", "jo", "note", {}), DAY, "UTC")


def test_a_line_she_signed_for_another_is_hers_to_take_back_while_she_is_at_it(session: Session) -> None:
    write(session, "12 larkspur b4 fresh")
    write(session, "wind 22 by jo")
    assert _undone(session) == ("taken back: wind 22 mph",)
    write(session, "wind 23 by jo")
    later = Session.open(session.folder, by="ml", on=DAY)  # from here on it is jo's
    assert "cut 12 larkspur" in _asked(later)


def test_with_nothing_left_undo_says_so(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=DAY)
    refused = session.write("undo")
    assert isinstance(refused, Problem) and "nothing left" in refused.sentence
    assert isinstance(session.write("undo please"), Problem)


_LINES = st.sampled_from(
    ["wind {n} {d} may", "low {n}", "low {n} high 6{n} yesterday", "tonight {n} {d} june", "{n} larkspur b4 dry",
     "note {n} seen", "{n} larkspur b4 fresh {d} june"]
)  # fmt: skip


@cases(12)
@given(st.lists(st.tuples(_LINES, st.integers(2, 9), st.integers(1, 9)), min_size=1, max_size=6))
def test_undo_all_the_way_takes_the_lines_back_in_the_order_of_writing(
    tmp_path_factory: pytest.TempPathFactory, lines: list[tuple[str, int, int]]
) -> None:
    session = Session.create(tmp_path_factory.mktemp("undo") / "farm", by="ml", on=DAY)
    for line in (*SET_UP, "plant larkspur b4 20ft on 2026-04-01"):
        write(session, line)
    begun = sorted(_counting(session))
    wrote = [write(session, form.format(n=n, d=d)) for form, n, d in lines]
    for written in reversed(wrote):
        assert _undone(session) == tuple(f"taken back: {said}" for said in written.says)
    assert sorted(_counting(session)) == begun
    assert session.check() == []


def test_a_long_log_is_read_from_its_end_writing_by_writing(tmp_path: Path) -> None:
    """Writings of one to five entries, more bytes than are read at once, and a damaged line between."""
    book = Book.create(tmp_path / "farm", device="shed")
    written = [
        book.append([Draft("note", "2026-06-23", {"text": f"{n} {i} " + "x" * 300}) for i in range(1 + n % 5)], by="ml")
        for n in range(120)
    ]  # fmt: skip
    log = tmp_path / "farm" / "log" / "shed.log"
    lines = log.read_bytes().splitlines(keepends=True)
    assert sum(map(len, lines)) > 8 * 16 * 1024
    assert list(book.own_writings()) == written[::-1]
    torn = lines.index(next(line for line in lines if b'"60 0 ' in line))
    lines[torn] = lines[torn].replace(b'"60 0 ', b'"61 0 ')
    log.write_bytes(b"".join(lines))
    left: Iterator[list[object]] = iter(w for n, w in enumerate(written) if n != 60)  # type: ignore[misc]
    assert list(book.own_writings()) == [*left][::-1]
