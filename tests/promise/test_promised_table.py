"""The Promised table: nothing that is promised is missing from it, and what is due first stands first."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.promising.open_claims import open_claims
from core.promising.weeks import CropWeeks, crop_weeks
from core.session import Session
from tests.farms import farm_in
from tests.shell import Shell
from tui.subjects.promising import columns_for, weeks_shown, worth_a_line
from tui.table import screen_table

DAYS = {
    "2026-05-20": (
        "farm zone UTC",
        "last frost 14 may",
        "first frost 28 sept",
        "bed b1 50ft",
        "plant 25ft zinnia coral b1 100 plants",
        "recipe posy bouquet 10min: 6 dry zinnia",
    ),
    "2026-08-03": (
        "40 zinnia coral b1 fresh",
        "order Ann 30 zinnia dry by 12-10",
        "order Bea 60 zinnia fresh by 8-20",
        "order Cal 5 lavender dry by 8-4",
        "order Dee 3 posy by 8-15",
        "order Ann 10 zinnia fresh by 8-30",
    ),
}
TODAY = date(2026, 8, 3)


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return farm_in(tmp_path_factory.mktemp("table") / "farm", DAYS)


@pytest.fixture(scope="module")
def rows(session: Session) -> list[CropWeeks]:
    return crop_weeks(session.farm, TODAY, open_claims(session.farm, TODAY))


def test_what_is_due_first_stands_first_though_nobody_grows_it(rows: list[CropWeeks]) -> None:
    first = [(row.crop, row.form) for row in rows if row.promises]
    # what posies are made of is due with them
    assert first == [("lavender", "dry"), ("posy", "piece"), ("zinnia", "dry"), ("zinnia", "fresh")]
    assert rows[0].promises[0].short == 5


def test_every_promise_is_in_a_row(session: Session, rows: list[CropWeeks]) -> None:
    told = {(promise.order, promise.due) for row in rows for promise in row.promises}
    assert told == {(claim.order, claim.due.isoformat()) for claim in open_claims(session.farm, TODAY)}


@pytest.mark.parametrize("width", [80, 100, 120])
def test_what_is_promised_for_later_weeks_is_counted_beside_them(rows: list[CropWeeks], width: int) -> None:
    shown = worth_a_line(rows, weeks_shown(rows, width))
    head, lines = screen_table(columns_for(shown, width), shown, width)
    assert max(map(len, (head, *lines))) <= width
    assert head.endswith("later")
    (dry,) = [line for line in lines if line.startswith("zinnia dry")]
    assert dry.endswith(" 30")


def test_a_row_has_something_to_tell(session: Session, rows: list[CropWeeks]) -> None:
    for row in worth_a_line(rows, 5):
        assert row.on_hand or row.promised or any(week.free for week in row.weeks[:5])


def test_printed_it_says_what_later_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, TODAY.isoformat()).begin(DAYS)
    printed = shell.text("promise", most=100)
    assert "later: what is promised for after these weeks" in printed
    assert len(shell.json("promise")["rows"]) >= 4
