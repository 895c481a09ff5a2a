"""Pieces and what goes into them, on the disk: made whole or not at all, struck, restored, merged, carried."""

from __future__ import annotations

import os
import signal
import time
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest

from core.audit import audit
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.fold import fold
from core.problems import Problem
from core.session import Session
from tests.farms import Pencil, farm_in, frozen, small_farm, write

DAY = date(2026, 7, 20)
LINES = (
    "farm zone UTC",
    "bed b1 50ft",
    "plant strawflower b1 25ft on 2026-04-01",
    "60 strawflower b1 dry on 2026-06-20",
    "hang L001 line 1 10s on 2026-06-20",
    "snap L001 on 2026-07-10",
    "box L001 6x10 box 1 on 2026-07-10",
    "bought 50 wire 22",
    "recipe posy bouquet: 5 dry straw, 3 wire 22",
)


def _door(folder: Path) -> Session:
    return Session.open(folder, by="ml", on=DAY)


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    return farm_in(tmp_path / "farm", {DAY.isoformat(): LINES}).folder


def _counts(session: Session) -> tuple[int, float, int]:
    """(strawflower on hand, wire 22, pieces on hand)."""
    lot = session.farm.lots.get("L001")
    assert lot is not None
    return lot.on_hand, session.farm.makings["wire 22"], sum(p.on_hand for p in session.farm.pieces.live())


def test_a_make_cut_off_at_any_byte_is_whole_or_absent(farm: Path) -> None:
    """The power goes in the middle of it: every length the log can then have."""
    log = next((farm / "log").glob("*.log"))
    before = log.read_bytes()
    write(_door(farm), "make 2 posy")
    whole = log.read_bytes()
    assert whole[len(before) :].count(b"+{") == 2, "three entries of one writing"
    for length in range(len(before), len(whole) + 1, 7):
        log.write_bytes(whole[:length])
        book = Book.open(farm, device=log.stem)
        made = fold(book.entries())
        lot = made.lots.get("L001")
        assert lot is not None
        left = (lot.on_hand, made.makings["wire 22"], len(made.pieces.all()))
        assert left in ((60, 50, 0), (50, 44, 1)), length
        assert made.matters == []
    log.write_bytes(whole)
    assert _counts(_door(farm)) == (50, 44, 2)


def test_a_killed_maker_leaves_whole_pieces_only(farm: Path) -> None:
    for pause in (0.005, 0.02, 0.05):
        child = os.fork()
        if not child:
            try:
                session = _door(farm)
                while not isinstance(session.write("make 1 posy"), Problem):
                    pass
            finally:
                os._exit(0)
        time.sleep(pause)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    session = _door(farm)
    stems, wire, pieces = _counts(session)
    assert (stems, wire) == (60 - 5 * pieces, 50 - 3 * pieces)
    for piece in session.farm.pieces.all():
        assert sum(n for _, _, n in piece.stems) == 5 and piece.makings == [("wire 22", 3)]


def test_a_make_is_undone_and_restored_whole(farm: Path) -> None:
    session = _door(farm)
    made = write(session, "make 2 posy")
    write(session, "undo")
    assert _counts(session) == _counts(_door(farm)) == (60, 50, 0)
    last = session.entries()[-1]
    assert last.kind == "strike"
    first_strike = next(
        e for e in session.entries() if e.kind == "strike" and e.fields["entry"] == made.entries[0].id
    )
    write(session, f"strike {first_strike.id}")
    assert _counts(session) == _counts(_door(farm)) == (50, 44, 2)
    write(session, f"strike {made.entries[0].id}")
    assert _counts(session) == (60, 50, 0)
    assert _door(farm).check() == []


def test_a_part_struck_alone_is_found_by_check_until_it_is_settled(farm: Path) -> None:
    session = _door(farm)
    made = write(session, "make 2 posy")
    used = next(e for e in made.entries if e.kind == "used")
    write(session, f"strike {used.id}")
    assert _counts(session) == (60, 44, 2)
    (told,) = _door(farm).check()
    assert "was taken back, though the pieces still count" in told.sentence and told.entry == used.id
    strike = next(e for e in session.entries() if e.kind == "strike")
    write(session, f"strike {strike.id}")
    assert _counts(session) == (50, 44, 2) and _door(farm).check() == []


def test_what_was_made_is_carried_by_since_and_merge_once(farm: Path, tmp_path: Path) -> None:
    start = _door(farm).entries()[0].id
    other = Session.create(tmp_path / "netbook", by="ka", on=DAY)
    other.merge(farm)
    session = _door(farm)
    last = max(e.id for e in session.entries())
    write(session, "make 2 posy")
    write(session, "sold 1 M001")
    carried = BytesIO()
    assert session.upkeep.since(last, carried) == 4
    (tmp_path / "carried").write_bytes(carried.getvalue())
    for _ in range(2):
        report = other.merge(tmp_path / "carried")
        assert report.set_aside == () and report.to_settle == ()
    assert frozen(other.farm) == frozen(_door(farm).farm)
    assert start in {e.id for e in other.entries()}
    for end in range(
        0, len(carried.getvalue()), 97
    ):  # cut off on the way: told, and brought whole by the next
        (tmp_path / "cut off").write_bytes(carried.getvalue()[:end])
        other.merge(tmp_path / "cut off")
    assert _counts(other) == (50, 44, 1)


def test_restore_brings_back_what_was_made(farm: Path) -> None:
    session = _door(farm)
    write(session, "make 2 posy")
    assert session.close() is None
    name = session.upkeep.backups()[0].name
    for log in (farm / "log").glob("*.log"):
        log.write_bytes(b"")
    (farm / "book.json").unlink()
    again = _door(farm)
    done = again.upkeep.restore(name)
    assert not isinstance(done, Problem) and done.written_back == len(LINES) + 2 + 3
    assert _counts(_door(farm)) == (50, 44, 2)


def test_codes_given_twice_keep_the_parts_and_the_sales_of_each(tmp_path: Path) -> None:
    """Two machines apart make M001 of the same bunches: both stand, and what both took is a matter to settle."""
    pencil = _boxed(12)
    ours = _made_apart(pencil, "06:00", 10)
    theirs = _made_apart(pencil, "07:00", 10)
    sold = replace(
        pencil.made("piece sold", piece="M001", ref=theirs[0].id, count=2), at=f"{theirs[0].on}T08:00:00.000Z"
    )
    entries = [*pencil.entries, *ours, *theirs, sold]
    farm = fold(entries)
    assert frozen(fold(entries[::-1])) == frozen(farm)
    first, second = farm.pieces.get("M001"), farm.pieces.get("M001-2")
    assert first is not None and (first.made_by, first.sold, first.stems) == (
        ours[0].id,
        0,
        [("L001", "box 1", 10)],
    )
    assert second is not None and (second.made_by, second.sold) == (theirs[0].id, 2)
    assert second.stems == [("L001", "box 1", 10)]
    said = [m.sentence for m in farm.matters]
    assert any("M001 was given twice" in s for s in said) and any("8 more stems of L001" in s for s in said)


def _boxed(stems: int) -> Pencil:
    pencil = small_farm().later(40)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=stems)
    pencil.write("hung", lot="L001", source="bucket", line="line 1", stems=stems)
    pencil.later(20).write("boxed", lot="L001", source="line 1", box="box 1", bunches=stems, per=1)
    pencil.write("recipe", recipe="posy", sort="bouquet")
    return pencil.later(1)


def _made_apart(pencil: Pencil, clock: str, stems: int) -> list[Entry]:
    both = [
        pencil.made("made", piece="M001", recipe="posy", count=2),
        pencil.made("used", lot="L001", source="box 1", stems=stems, piece="M001"),
    ]
    return [replace(e, at=f"{e.on}T{clock}:00.{n:03d}Z") for n, e in enumerate(both)]


def test_a_lot_whose_code_was_given_twice_is_known_by_its_maker_even_when_it_is_finished() -> None:
    """What is written late of a finished lot must not be taken from the other lot of that code."""
    pencil = small_farm().later(40)
    cut = {"lot": "L001", "crop": "zinnia", "bed": "b2", "use": "fresh"}
    ours = pencil.made("cut", **cut, stems=40)
    theirs = pencil.made("cut", **cut, stems=5)
    gone = pencil.made("sold", lot="L001", ref=theirs.id, source="bucket", stems=5)
    more = pencil.made("sold", lot="L001", ref=theirs.id, source="bucket", stems=1)
    farm = fold([*pencil.entries, ours, theirs, gone, more])
    first, second = farm.lots.get("L001"), farm.lots.get("L001-2")
    assert first is not None and first.on_hand == 40
    assert second is not None and second.on_hand == -1 and second.sold == 6
    struck = fold([*pencil.entries, ours, theirs, gone, pencil.made("strike", entry=theirs.id)])
    left = struck.lots.get("L001")
    assert left is not None and left.on_hand == 40, "a sale of what was struck is no sale of another's"
    assert any("which the book does not have" in m.sentence for m in struck.matters)


def test_readings_of_the_air_are_the_newest_whatever_came_late_or_was_struck() -> None:
    pencil = small_farm()
    made = []
    for n in range(450):
        pencil.later(n % 2)
        made.append(pencil.made("air", room="shed", f=50 + n % 30, rh_pct=50, clock=f"{(n * 7) % 24:02d}:00"))
    low = [pencil.made("air range", on=f"2026-{m:02d}-{d:02d}", room="shed", low_f=40 + d, high_f=80)
           for m in (3, 4, 5, 6, 7) for d in range(1, 29)]  # fmt: skip
    strikes = [pencil.made("strike", entry=e.id) for e in made[::9]]
    entries = sorted([*pencil.entries, *made, *low, *strikes], key=lambda e: e.key)
    farm = fold(entries)
    counting = sorted((e.on, e.fields["clock"]) for e in made if e not in made[::9])
    assert [(on, clock) for on, clock, _, _ in farm.air["shed"]] == counting[-400:]
    days = sorted({e.on for e in low})
    assert sorted(farm.air_ranges["shed"]) == [d for d in days if d > "2026-05-29"]
    assert frozen(fold(entries[::-1])) == frozen(farm)


def test_a_season_written_up_in_one_go_is_taken_line_by_line(tmp_path: Path) -> None:
    """Lines dated in the past come faster than the clock ticks: each must find the one before it."""
    for n in range(5):
        session = Session.create(tmp_path / str(n), by="ml", on=DAY)
        write(session, "bed b1 50ft")
        for day in (1, 2, 3):
            lot = write(session, f"40 strawflower b1 dry on 2026-06-0{day}").lot
            write(session, f"hang {lot} line 1 on 2026-06-0{day}")
            write(session, f"lost 3 mold {lot} on 2026-06-0{day}")


def test_the_audit_is_silent_on_a_sound_season(tmp_path: Path) -> None:
    from tests.farm.every_kind import season

    pencil = season()
    book = Book.create(tmp_path / "farm", device="shed")
    book.append([Draft(e.kind, e.on, e.fields) for e in pencil.entries], by="ml")
    assert audit(book, fold(book.entries())) == []
