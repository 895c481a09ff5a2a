"""The view on which a grower answers the telephone: every crop by weeks, and what is typed answered under it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in
from tui.subjects.promising import PROMISED, Promised

SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft")
TODAY = date(2026, 8, 4)
FARM = {
    "2026-05-20": (*SET_UP, "plant 25ft zinnia coral b1 100 plants"),
    "2026-08-03": ("40 zinnia coral b1 fresh", "order Fern Hollow 900 zinnia fresh by 08-05"),
}


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    made = farm_in(tmp_path_factory.mktemp("view") / "farm", FARM)
    return Session.open(made.folder, by="ml", on=TODAY)


@pytest.fixture
def view(session: Session) -> Promised:
    shown = Promised("-")
    shown.load(session)
    return shown


def under(view: Promised) -> list[str]:
    return ["".join(text for text, _ in line) for line in view.told()]


def typed(view: Promised, session: Session, text: str) -> list[str]:
    view.look_at(session, text, session.complete(text))
    return under(view)


def test_the_weeks_say_what_is_free_and_what_is_short(view: Promised) -> None:
    rows = [row for row in view.listing.rows if row.sort is PROMISED]
    (fresh,) = [row.value for row in rows if row.value.form == "fresh"]
    assert (fresh.on_hand, fresh.promised, fresh.free) == (40, 900, 0)
    assert fresh.weeks[0].short > 0
    # the cursor is on the cut that is asked for, which stands above the weeks
    assert "860 for O001 Fern Hollow, 5 Aug" in " ".join(under(view))


def test_an_order_is_answered_while_it_is_typed(view: Promised, session: Session) -> None:
    assert typed(view, session, "order Tallow Lane 20 zinnia fresh by 08-29")[0].startswith("surely (")
    assert typed(view, session, "order Tallow Lane 20 zinnia fresh by 08-05")[0].startswith("no (")
    # on the telephone the question comes before the name
    assert typed(view, session, "order 20 zinnia fresh by 08-29")[0].startswith("surely (")
    # what is not understood yet is not answered
    assert "Fern Hollow" in " ".join(typed(view, session, "order Tallow Lane 20 zin"))


def test_the_farm_stays_as_it_was(session: Session, view: Promised, tmp_path: Path) -> None:
    before = session.farm.count
    typed(view, session, "order Tallow Lane 20 zinnia fresh by 08-29")
    assert session.farm.count == before
