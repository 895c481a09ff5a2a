"""What a code stands for is taken back by that code, as by the id of the entry that made it."""

from __future__ import annotations

from pathlib import Path

from core.problems import Problem
from core.session import Session
from tests.farms import farm_in

DAYS = {
    "2026-06-01": ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 20ft"),
    "2026-06-20": ("30 zinnia b1 fresh", "25 zinnia b1 fresh", "sold 5 L002"),
}


def test_a_cut_is_cancelled_by_its_code_unless_something_rests_on_it(tmp_path: Path) -> None:
    session: Session = farm_in(tmp_path / "farm", DAYS)
    assert not isinstance(session.write("cancel L001"), Problem)
    assert [lot.code for lot in session.farm.lots.live()] == ["L002"]
    kept = session.write("cancel L002")
    assert isinstance(kept, Problem) and "sold 5 stems of L002" in kept.sentence
    unknown = session.write("cancel L009")
    assert isinstance(unknown, Problem) and unknown.code == "unknown"
