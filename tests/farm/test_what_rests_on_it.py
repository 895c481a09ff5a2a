"""Every entry of a lot's whole way taken back in its turn: refused by the name of what rests on it, or all agrees."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.book.entry import Entry
from core.kinds import sentence
from core.problems import Problem
from core.session import Session, Written
from core.stems.rows import stock_rows
from core.units import day_text
from tests.farms import farm_in

DAY = date(2026, 6, 23)
WAY = {
    "2026-06-01": (
        "farm zone UTC",
        "bed b1 50ft",
        "plant peony b1 20ft",
        "40 peony b1 dry",
        "hang L001 line 1",
    ),
    "2026-06-14": ("snap L001",),
    "2026-06-15": ("box L001 3x10 box 7",),
    "2026-06-20": ("sold 10 L001 box 7 to market", "lost 2 mold L001 line 1"),
}


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session.open(farm_in(tmp_path / "farm", WAY, by="jm").folder, by="jm", on=DAY)


def _of(session: Session, kind: str) -> Entry:
    (found,) = (entry for entry in session.entries() if entry.kind == kind)
    return found


def _stems(session: Session) -> dict[str, int]:
    return {str(row.place): row.stems for row in stock_rows(session.farm, DAY)}


@pytest.mark.parametrize(
    ("struck", "rests"),
    [("cut", "hung"), ("hung", "boxed"), ("boxed", "sold"), ("bed", ""), ("set out", "cut")],
)
def test_what_something_rests_on_is_refused_by_the_name_of_that(
    session: Session, struck: str, rests: str
) -> None:
    before, count = _stems(session), session.farm.count
    refused = session.strike(_of(session, struck).id)
    assert isinstance(refused, Problem) and "cannot be taken back" in refused.sentence
    assert sentence(_of(session, struck)) in refused.sentence
    assert session.farm.count == count
    if rests:
        named = _of(session, rests)
        assert f"'{sentence(named)}' ({day_text(named.on)}, {named.id[-8:]})" in str(refused)
    assert _stems(session) == before and session.check() == []


def test_taken_back_from_the_end_every_step_leaves_all_in_agreement(session: Session) -> None:
    struck: list[str] = []
    for kind in ("lost", "sold", "boxed", "tested", "hung", "cut"):
        entry = _of(session, kind)
        written = session.strike(entry.id)
        assert isinstance(written, Written), (kind, written)
        struck.append(entry.id)
        told = session.look_back.history("L001")
        assert isinstance(told, list) and session.look_back.marks(told).struck == {*struck}
        assert session.look_back.marks(session.entries()).struck == {*struck}
        fresh = Session.open(session.folder, by="jm", on=DAY)
        assert _stems(fresh) == _stems(session) and session.check() == fresh.check() == []
    assert _stems(session) == {}


def test_what_was_taken_back_already_says_how_it_is_restored(session: Session) -> None:
    lost = _of(session, "lost")
    assert isinstance(session.strike(lost.id), Written)
    refused = session.strike(lost.id)
    (strike,) = (entry for entry in session.entries() if entry.kind == "strike")
    assert isinstance(refused, Problem) and f"To restore it: cancel {strike.id[-8:]}." in refused.sentence
    assert isinstance(session.write(f"cancel {strike.id[-8:]}"), Written)
    assert session.look_back.marks([lost]).struck == frozenset()
