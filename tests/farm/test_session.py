"""The one session: a line goes in, is checked, is on the disk, and every view shows it; two hands at once."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core import folded
from core.beds.rows import bed_rows
from core.fold import fold
from core.happened import Readings
from core.problems import Problem, ShedbookError
from core.session import Session, Written
from core.stems.rows import stock_rows
from tests.farms import farm_in, frozen, morning_of, write

DAY = date(2026, 6, 20)
BEGINNING = (
    "farm zone UTC",
    "last frost 14 may",
    "bed b1 50ft",
    "bed b2 50ft",
    "plant strawflower b1 25ft on 2026-04-01",
    "plant zinnia b2 25ft on 2026-05-20",
)


def _refused(session: Session, line: str) -> Problem:
    refused = session.write(line)
    assert isinstance(refused, Problem), refused
    return refused


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", {DAY.isoformat(): BEGINNING})


def _again(session: Session, by: str = "ml") -> Session:
    return Session.open(session.folder, by=by, on=DAY)


def test_a_morning_in_lines(session: Session) -> None:
    write(session, "low 49 high 77")
    lot = write(session, "40 strawflower b1 dry").lot
    write(session, f"hang {lot} line 2")
    write(session, f"lost 6 mold {lot}")
    rows = [(r.lot, r.form, r.unit, r.on_hand, r.place) for r in stock_rows(session.farm, session.today)]
    assert rows == [(lot, "hanging", "stems", 34, "line 2")]
    again = _again(session)
    assert stock_rows(again.farm, again.today) == stock_rows(session.farm, session.today)
    assert _again(session).check() == []


def test_what_is_written_late_must_fit_what_came_after(session: Session) -> None:
    lot = write(session, "40 strawflower b1 dry").lot
    write(session, f"hang {lot} line 2")
    early = (DAY - timedelta(days=3)).isoformat()
    refused = _refused(session, f"lost 6 mold {lot} on {early}")
    assert refused.code == "impossible"
    assert len(_again(session).entries()) == len(BEGINNING) + 2


def test_a_bed_written_after_what_stands_in_it_is_no_trouble(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=DAY)
    write(session, "bed b1 50ft")
    write(session, "plant strawflower b1 25ft on 2026-04-01")
    assert session.check() == []


def test_undo_takes_back_one_line_and_a_struck_strike_restores_it(session: Session) -> None:
    write(session, "low 49 high 77")
    undone = session.write("undo")
    assert isinstance(undone, Written)
    assert undone.says == ("taken back: low last night 49 F", "taken back: high 77 F")
    assert session.farm.weather == {}
    restored = session.strike(undone.entries[0].id)
    assert isinstance(restored, Written) and restored.says[0].startswith("restored")
    assert session.farm.weather == {DAY.isoformat(): Readings(low=49)}


def test_undo_never_takes_back_two_lines_however_fast_they_were_written(session: Session) -> None:
    for degrees in range(40, 50):
        write(session, f"low {degrees}")
    undone = session.write("undo")
    assert isinstance(undone, Written) and undone.says == ("taken back: low last night 49 F",)


def test_undo_takes_back_all_that_one_line_wrote(session: Session) -> None:
    session.write("bed b3 50ft")
    write(session, "plant larkspur b3 10ft on 2026-04-01")
    write(session, "40 larkspur b2 dry anyway")  # the cut, and a note of what it overruled
    undone = session.write("undo")
    assert isinstance(undone, Written) and len(undone.says) == 2
    assert stock_rows(session.farm, session.today) == []


def test_undo_leaves_the_other_hand_alone_and_asks_before_it_reaches_over_its_lines(session: Session) -> None:
    other = _again(session, by="jt")
    write(other, "tonight 48")
    write(session, "low 49")
    write(other, "wind 8")
    asked = _refused(session, "undo")
    assert "jt has written since" in asked.sentence and "low last night 49 F" in asked.sentence
    undone = session.write("undo yes")
    assert isinstance(undone, Written) and undone.says == ("taken back: low last night 49 F",)


def test_an_entry_others_rest_on_cannot_be_struck_first(session: Session) -> None:
    cut = write(session, "40 strawflower b1 dry")
    write(session, f"hang {cut.lot} line 2")
    refused = session.strike(cut.entries[0].id)
    assert isinstance(refused, Problem) and "before what rests on it" in refused.sentence
    assert [r.form for r in stock_rows(session.farm, session.today)] == ["hanging"]


def test_an_id_is_known_by_its_last_characters(session: Session) -> None:
    cut = write(session, "40 strawflower b1 dry")
    struck = session.strike(cut.entries[0].id[-8:])
    assert isinstance(struck, Written)
    assert isinstance(session.strike(cut.entries[0].id), Problem)
    assert isinstance(session.strike("ffffffffffff"), Problem)


def test_two_hands_cannot_hand_out_the_same_stems(session: Session) -> None:
    """The second one's line is checked under the lock against what the first has just written."""
    lot = write(session, "40 zinnia b2 fresh").lot
    other = _again(session, by="jt")
    write(session, f"sold 30 {lot}")
    refused = _refused(other, f"sold 30 {lot}")
    assert "10 stems" in refused.sentence
    write(other, f"sold 10 {lot}")
    session.refresh()
    assert stock_rows(session.farm, session.today) == []


def test_two_hands_cutting_at_once_never_give_one_code_twice(session: Session) -> None:
    other = _again(session, by="jt")
    here = write(session, "40 zinnia b2 fresh").lot
    there = other.write("30 zinnia b2 fresh")
    if isinstance(there, Problem):  # the code it had in mind was taken a moment ago: the line is read anew
        there = write(other, "30 zinnia b2 fresh")
    assert there.lot != here
    session.refresh()
    assert {r.lot for r in stock_rows(session.farm, session.today)} == {here, there.lot}
    assert session.check() == []


def test_the_book_can_be_read_as_of_a_day(session: Session) -> None:
    session.on = DAY
    write(session, "40 strawflower b1 dry")
    before = Session.open(session.folder, by="ml", on=DAY - timedelta(days=1))
    assert stock_rows(before.farm, before.today) == []
    assert "cut" not in {e.kind for e in before.entries()}
    # what describes the farm holds for any day
    assert [b.bed for b in bed_rows(before.farm, before.today)] == ["b1", "b2"]
    again = _again(session)
    assert len(stock_rows(again.farm, again.today)) == 1


def test_a_cached_fold_may_be_deleted_and_never_differs(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 12)
    monkeypatch.setattr(folded, "TAIL_KEPT", 4)
    monkeypatch.setattr(folded, "KEEP_EVERY", 1)
    written = []
    for n in range(40):
        written.append(write(session, f"{n + 5} zinnia b2 fresh"))
        if n % 3 == 0:
            write(session, f"sold {n + 5} {written[-1].lot}")
        if n % 7 == 0:
            session.close()
            session = _again(session)
        assert frozen(fold(session.entries())) == frozen(session.farm)
    assert (session.folder / "fold" / "farm.json").exists()
    # a strike far behind the base folds everything anew
    assert isinstance(session.strike(written[1].entries[0].id), Written)
    assert frozen(fold(session.entries())) == frozen(session.farm)
    session.close()
    for path in (session.folder / "fold").iterdir():
        path.unlink()
    assert frozen(_again(session).farm) == frozen(session.farm)


@pytest.mark.parametrize("damage", [b"", b"{", b"\x00" * 40])
def test_a_damaged_cache_is_not_used(
    session: Session, monkeypatch: pytest.MonkeyPatch, damage: bytes
) -> None:
    monkeypatch.setattr(folded, "KEEP_EVERY", 0)
    write(session, "40 zinnia b2 fresh")
    session.close()
    for path in (session.folder / "fold").iterdir():
        whole = path.read_bytes()
        path.write_bytes(damage or whole.replace(b"4", b"5"))
        assert frozen(_again(session).farm) == frozen(session.farm)
        path.write_bytes(whole)


def test_what_is_finished_is_still_found(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 6)
    monkeypatch.setattr(folded, "TAIL_KEPT", 2)
    monkeypatch.setattr(folded, "KEEP_EVERY", 0)
    lot = write(session, "40 zinnia b2 fresh").lot
    write(session, f"sold 40 {lot}")
    for f in range(40, 50):
        write(session, f"tonight {f}")
    session.close()
    session = _again(session)
    refused = _refused(session, f"sold 1 {lot}")
    assert lot is not None and lot in refused.sentence
    assert [b.cut for b in map(_balance, session.farm.lots.all())] == [40]


def _balance(lot: object) -> object:
    from core.farm import Lot
    from core.stems.rows import balance

    assert isinstance(lot, Lot)
    return balance(lot)


def test_a_farm_that_is_none_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ShedbookError) as refused:
        Session.open(tmp_path, by="ml")
    assert "shedbook new" in refused.value.problem.sentence


def test_a_clock_gone_back_is_said_on_the_morning_page(tmp_path: Path) -> None:
    from core.book.book import Book

    hours = [24 * 3600 * 1000 * 365]
    session = Session(Book.create(tmp_path / "farm", clock=lambda: hours[0]), by="ml", on=DAY)
    write(session, "bed b1 50ft")
    assert morning_of(session).cautions == ()
    hours[0] -= 24 * 3600 * 1000
    assert "set the clock" in morning_of(session).cautions[0]
    write(session, "bed b2 50ft")  # and nothing is lost by it
    assert [e.fields["bed"] for e in session.entries()] == ["b1", "b2"]


def test_a_log_copied_back_while_the_book_is_open_does_not_stop_a_line(session: Session) -> None:
    (log,) = (session.folder / "log").glob("*.log")
    before = log.read_bytes()
    write(session, "low 49")
    log.write_bytes(before)  # somebody put yesterday's copy over it
    write(session, "high 77")
    assert "high" in {e.kind for e in session.entries()}


def test_a_book_folded_anew_tells_how_far_it_is(session: Session) -> None:
    session.close()
    for path in (session.folder / "fold").glob("*"):
        path.unlink()
    told: list[float] = []
    Session.open(session.folder, by="ml", on=DAY, progress=told.append)
    assert told[0] == 0 and told[-1] == 1 and told == sorted(told)


@pytest.mark.parametrize("is_cached", [True, False])
def test_a_code_once_told_is_never_given_again_to_what_is_written_as_of_an_earlier_day(
    session: Session, is_cached: bool
) -> None:
    """She catches up Saturday on Monday: what was labelled on Monday keeps its code."""
    session.on = DAY + timedelta(days=2)
    told = [
        write(session, "40 zinnia b2 fresh").lot,
        write(session, "sow 72 statice").entries[0].fields["tray"],
    ]
    session.close()
    if not is_cached:
        for file in (session.folder / "fold").iterdir():
            file.unlink()
    back = Session.open(session.folder, by="ml", on=DAY)
    told += [write(back, "30 strawflower b1 dry").lot, write(back, "sow 50 zinnia").entries[0].fields["tray"]]
    assert len(set(told)) == 4
    later = Session.open(session.folder, by="ml", on=DAY + timedelta(days=2)).farm
    assert [later.lots.get(str(code)).crop for code in told[::2]] == ["zinnia", "strawflower"]  # type: ignore[union-attr]
    assert not later.matters
