"""The one door: a line goes in, is checked, is on the disk, and every view shows it; two hands at once."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core import folded
from core.beds.rows import bed_rows
from core.door import Door, Written
from core.fold import fold
from core.problems import Problem, ShedbookError
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


def _refused(door: Door, line: str) -> Problem:
    refused = door.write(line)
    assert isinstance(refused, Problem), refused
    return refused


@pytest.fixture
def door(tmp_path: Path) -> Door:
    return farm_in(tmp_path / "farm", {DAY.isoformat(): BEGINNING})


def _again(door: Door, by: str = "ml") -> Door:
    return Door.open(door.folder, by=by, on=DAY)


def test_a_morning_in_lines(door: Door) -> None:
    write(door, "low 49 high 77")
    lot = write(door, "40 strawflower b1 dry").lot
    write(door, f"hang {lot} line 2")
    write(door, f"lost 6 mould {lot}")
    rows = [(r.lot, r.form, r.unit, r.on_hand, r.place) for r in stock_rows(door.farm, door.today)]
    assert rows == [(lot, "hanging", "stems", 34, "line 2")]
    again = _again(door)
    assert stock_rows(again.farm, again.today) == stock_rows(door.farm, door.today)
    assert _again(door).check() == []


def test_what_is_written_late_must_fit_what_came_after(door: Door) -> None:
    lot = write(door, "40 strawflower b1 dry").lot
    write(door, f"hang {lot} line 2")
    early = (DAY - timedelta(days=3)).isoformat()
    refused = _refused(door, f"lost 6 mould {lot} on {early}")
    assert refused.code == "impossible"
    assert len(_again(door).entries()) == len(BEGINNING) + 2


def test_a_bed_written_after_what_stands_in_it_is_no_trouble(tmp_path: Path) -> None:
    door = Door.create(tmp_path / "farm", by="ml", on=DAY)
    write(door, "bed b1 50ft")
    write(door, "plant strawflower b1 25ft on 2026-04-01")
    assert door.check() == []


def test_undo_takes_back_one_line_and_a_struck_strike_restores_it(door: Door) -> None:
    write(door, "low 49 high 77")
    undone = door.write("undo")
    assert isinstance(undone, Written)
    assert undone.says == ("struck: low last night 49 F", "struck: high 77 F")
    assert door.farm.weather == {}
    restored = door.strike(undone.entries[0].id)
    assert isinstance(restored, Written) and restored.says[0].startswith("restored")
    assert door.farm.weather == {DAY.isoformat(): {"low": 49}}


def test_undo_never_takes_back_two_lines_however_fast_they_were_written(door: Door) -> None:
    for degrees in range(40, 50):
        write(door, f"low {degrees}")
    undone = door.write("undo")
    assert isinstance(undone, Written) and undone.says == ("struck: low last night 49 F",)


def test_undo_takes_back_all_that_one_line_wrote(door: Door) -> None:
    door.write("bed b3 50ft")
    write(door, "plant larkspur b3 10ft on 2026-04-01")
    write(door, "40 larkspur b2 dry anyway")  # the cut, and a note of what it overruled
    undone = door.write("undo")
    assert isinstance(undone, Written) and len(undone.says) == 2
    assert stock_rows(door.farm, door.today) == []


def test_undo_leaves_the_other_hand_alone_and_asks_before_it_reaches_over_its_lines(door: Door) -> None:
    other = _again(door, by="jt")
    write(other, "tonight 48")
    write(door, "low 49")
    write(other, "wind 8")
    asked = _refused(door, "undo")
    assert "jt has written since" in asked.sentence and "low last night 49 F" in asked.sentence
    undone = door.write("undo yes")
    assert isinstance(undone, Written) and undone.says == ("struck: low last night 49 F",)


def test_an_entry_others_rest_on_cannot_be_struck_first(door: Door) -> None:
    cut = write(door, "40 strawflower b1 dry")
    write(door, f"hang {cut.lot} line 2")
    refused = door.strike(cut.entries[0].id)
    assert isinstance(refused, Problem) and "before what rests on it" in refused.sentence
    assert [r.form for r in stock_rows(door.farm, door.today)] == ["hanging"]


def test_an_id_is_known_by_its_last_characters(door: Door) -> None:
    cut = write(door, "40 strawflower b1 dry")
    struck = door.strike(cut.entries[0].id[-8:])
    assert isinstance(struck, Written)
    assert isinstance(door.strike(cut.entries[0].id), Problem)
    assert isinstance(door.strike("ffffffffffff"), Problem)


def test_two_hands_cannot_hand_out_the_same_stems(door: Door) -> None:
    """The second one's line is checked under the lock against what the first has just written."""
    lot = write(door, "40 zinnia b2 fresh").lot
    other = _again(door, by="jt")
    write(door, f"sold 30 {lot}")
    refused = _refused(other, f"sold 30 {lot}")
    assert "10 stems" in refused.sentence
    write(other, f"sold 10 {lot}")
    door.refresh()
    assert stock_rows(door.farm, door.today) == []


def test_two_hands_cutting_at_once_never_give_one_code_twice(door: Door) -> None:
    other = _again(door, by="jt")
    here = write(door, "40 zinnia b2 fresh").lot
    there = other.write("30 zinnia b2 fresh")
    if isinstance(there, Problem):  # the code it had in mind was taken a moment ago: the line is read anew
        there = write(other, "30 zinnia b2 fresh")
    assert there.lot != here
    door.refresh()
    assert {r.lot for r in stock_rows(door.farm, door.today)} == {here, there.lot}
    assert door.check() == []


def test_the_book_can_be_read_as_of_a_day(door: Door) -> None:
    door.on = DAY
    write(door, "40 strawflower b1 dry")
    before = Door.open(door.folder, by="ml", on=DAY - timedelta(days=1))
    assert stock_rows(before.farm, before.today) == []
    assert "cut" not in {e.kind for e in before.entries()}
    # what describes the farm holds for any day
    assert [b.bed for b in bed_rows(before.farm, before.today)] == ["b1", "b2"]
    again = _again(door)
    assert len(stock_rows(again.farm, again.today)) == 1


def test_a_cached_fold_may_be_deleted_and_never_differs(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 12)
    monkeypatch.setattr(folded, "TAIL_KEPT", 4)
    monkeypatch.setattr(folded, "KEEP_EVERY", 1)
    written = []
    for n in range(40):
        written.append(write(door, f"{n + 5} zinnia b2 fresh"))
        if n % 3 == 0:
            write(door, f"sold {n + 5} {written[-1].lot}")
        if n % 7 == 0:
            door.close()
            door = _again(door)
        assert frozen(fold(door.entries())) == frozen(door.farm)
    assert (door.folder / "fold" / "farm.json").exists()
    # a strike far behind the base folds everything anew
    assert isinstance(door.strike(written[1].entries[0].id), Written)
    assert frozen(fold(door.entries())) == frozen(door.farm)
    door.close()
    for path in (door.folder / "fold").iterdir():
        path.unlink()
    assert frozen(_again(door).farm) == frozen(door.farm)


@pytest.mark.parametrize("damage", [b"", b"{", b"\x00" * 40])
def test_a_damaged_cache_is_not_used(door: Door, monkeypatch: pytest.MonkeyPatch, damage: bytes) -> None:
    monkeypatch.setattr(folded, "KEEP_EVERY", 0)
    write(door, "40 zinnia b2 fresh")
    door.close()
    for path in (door.folder / "fold").iterdir():
        whole = path.read_bytes()
        path.write_bytes(damage or whole.replace(b"4", b"5"))
        assert frozen(_again(door).farm) == frozen(door.farm)
        path.write_bytes(whole)


def test_what_is_finished_is_still_found(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 6)
    monkeypatch.setattr(folded, "TAIL_KEPT", 2)
    monkeypatch.setattr(folded, "KEEP_EVERY", 0)
    lot = write(door, "40 zinnia b2 fresh").lot
    write(door, f"sold 40 {lot}")
    for f in range(40, 50):
        write(door, f"tonight {f}")
    door.close()
    door = _again(door)
    refused = _refused(door, f"sold 1 {lot}")
    assert lot is not None and lot in refused.sentence
    assert [b.cut for b in map(_balance, door.farm.lots.all())] == [40]


def _balance(lot: object) -> object:
    from core.farm import Lot
    from core.stems.rows import balance

    assert isinstance(lot, Lot)
    return balance(lot)


def test_a_farm_that_is_none_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ShedbookError) as refused:
        Door.open(tmp_path, by="ml")
    assert "shedbook new" in refused.value.problem.sentence


def test_a_clock_gone_back_is_said_on_the_morning_page(tmp_path: Path) -> None:
    from core.book.book import Book

    hours = [24 * 3600 * 1000 * 365]
    door = Door(Book.create(tmp_path / "farm", clock=lambda: hours[0]), by="ml", on=DAY)
    write(door, "bed b1 50ft")
    assert morning_of(door).cautions == ()
    hours[0] -= 24 * 3600 * 1000
    assert "set the clock" in morning_of(door).cautions[0]
    write(door, "bed b2 50ft")  # and nothing is lost by it
    assert [e.fields["bed"] for e in door.entries()] == ["b1", "b2"]


def test_a_log_copied_back_while_the_book_is_open_does_not_stop_a_line(door: Door) -> None:
    (log,) = (door.folder / "log").glob("*.log")
    before = log.read_bytes()
    write(door, "low 49")
    log.write_bytes(before)  # somebody put yesterday's copy over it
    write(door, "high 77")
    assert "high" in {e.kind for e in door.entries()}


def test_a_book_folded_anew_tells_how_far_it_is(door: Door) -> None:
    door.close()
    for path in (door.folder / "fold").glob("*"):
        path.unlink()
    told: list[float] = []
    Door.open(door.folder, by="ml", on=DAY, progress=told.append)
    assert told[0] == 0 and told[-1] == 1 and told == sorted(told)
