"""The book on the screen: what was written wrong is found, and put right in few keys; sums are right afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.farms import farm_in, stock_of
from tui.app import ShedApp

pytestmark = pytest.mark.asyncio


# a week with a mistake a day


@dataclass(frozen=True)
class Mistake:
    """What she wrote on a day, and the keys that put it right three days later; `stems` is the sum then."""

    day: tuple[str, ...]
    """The lines of the day, the wrong one among them."""
    keys: str
    stems: dict[str, int]


SPRING = {
    "2026-05-20": (
        "farm zone UTC",
        *(f"bed b{n} 50ft" for n in (1, 2, 3, 4)),
        "plant strawflower b1 25ft",
        "plant zinnia b2 25ft",
        "plant larkspur b3 25ft",
        "plant strawflower b3 20ft",
        "plant zinnia b4 25ft",
        "sow 50 strawflower",
    ),
}
BACK = "e right right right"
"""To the day three days ago."""
EVERY_DAY = ("low 51", "wind 4", "note nothing much")
WEEK = {
    "bed": Mistake(
        ("20 zinnia b2 fresh", "sold 5 L001 to market"), f"{BACK} down enter b 4 enter", {"L001": 15}
    ),
    "count": Mistake(
        ("31 larkspur b3 fresh", "sold 5 L001 to market"), f"{BACK} down enter 1 3 enter", {"L001": 8}
    ),
    "crop": Mistake(("20 larkspur b3 fresh", "step S01"), f"{BACK} down enter s t r enter", {"L001": 20}),
    "variety": Mistake(("20 zinnia b2 pink fresh",), f"{BACK} enter r e d enter", {"L001": 20}),
    "use": Mistake(("20 zinnia b2 fresh", "sold 5 L001"), f"{BACK} down enter d r y enter", {"L001": 15}),
    "lot": Mistake(
        ("20 zinnia b2 fresh", "30 larkspur b3 fresh", "sold 8 L001 to market"),
        f"{BACK} enter l 2 enter",
        {"L001": 20, "L002": 22},
    ),
    "day": Mistake(("20 zinnia b2 fresh",), f"{BACK} enter t u e enter", {"L001": 20}),
    "buyer": Mistake(
        ("20 zinnia b2 fresh", "30 larkspur b3 fresh", "sold 8 L002 to market"),
        "5 down e enter t o space j o enter",
        {"L001": 20, "L002": 22},
    ),
    "twice": Mistake(("20 zinnia b2 fresh", "20 zinnia b2 fresh"), f"{BACK} x y", {"L001": 20}),
    "person": Mistake(("20 zinnia b2 fresh",), "5 e enter b y space j o enter", {"L001": 20}),
}
MOST_KEYS = 10


@pytest.mark.parametrize("what", WEEK)
async def test_a_mistake_of_three_days_ago_is_put_right_in_ten_keys(what: str, tmp_path: Path) -> None:
    mistake, day = WEEK[what], date(2026, 6, 17)
    days = {str(day - timedelta(days=n)): EVERY_DAY for n in (2, 1)}
    later = {str(day + timedelta(days=n)): EVERY_DAY for n in (1, 2, 3)}
    session = farm_in(tmp_path / "farm", {**SPRING, **days, str(day): (*EVERY_DAY, *mistake.day), **later})
    keys = mistake.keys.split()
    assert len(keys) <= MOST_KEYS
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press(*keys)
        await pilot.pause()
    found = {row.lot: row.stems for row in stock_of(session)}
    assert found == mistake.stems
    assert session.check() == []
    changed = {
        "bed": lambda e: e.fields.get("bed") == "b4",
        "crop": lambda e: e.fields.get("crop") == "strawflower" and e.fields.get("planting") == "P04",
        "variety": lambda e: e.fields.get("variety") == "red",
        "use": lambda e: e.fields.get("use") == "dry",
        "day": lambda e: e.on == "2026-06-16",
        "buyer": lambda e: e.fields.get("who") == "jo",
        "person": lambda e: e.by == "jo",
    }
    if what in changed:
        gone = session.look_back.marks(session.entries()).struck
        (corrected,) = session.look_back.marks(session.entries()).corrected
        assert changed[what](next(e for e in session.entries() if e.id == corrected and e.id not in gone))


# the view


def _marks(app: ShedApp) -> dict[str, str]:
    """What each entry says -> its mark."""
    return {row.value.says: row.value.mark for row in app.view.listing.rows if row.value}


async def test_struck_and_corrected_entries_are_marked_and_taken_back_and_restored_when_asked(
    tmp_path: Path,
) -> None:
    day = ("20 zinnia b2 fresh", "sold 5 L001 to market", "L001 was 22")
    session = farm_in(tmp_path / "farm", {**SPRING, "2026-06-17": day})
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("e", "down")
        sold, cut = (
            "sold 5 stems of L001 from the bucket to market",
            "cut 22 zinnia from bed b2 for fresh: L001",
        )
        assert _marks(app)[sold] == "" and _marks(app)[cut] == "corrected"
        await pilot.press("x")
        assert _marks(app)[sold] == "" and app.status.asking is not None, "a line typed without w is keys"
        await pilot.press("y")
        assert _marks(app)[sold] == "taken back"
        assert {row.stems for row in stock_of(session)} == {22}
        app.held.let_go()
        await pilot.press("x", "y")
        assert _marks(app)[sold] == "" and {row.stems for row in stock_of(session)} == {17}


async def test_what_the_farm_hangs_on_is_asked_about_before_it_is_taken_back(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", {"2026-06-17": ("farm zone UTC", "bed b1 50ft")})
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("e", "x")
        assert app.status.asking is not None and "b1" in session.farm.beds
        await pilot.press("y")
        assert "b1" not in session.farm.beds


async def test_entries_are_found_by_lot_bed_crop_buyer_and_word(tmp_path: Path) -> None:
    days = {
        "2026-06-16": ("30 larkspur b3 fresh", "sold 8 L001 to market", "note slugs in the cold frame"),
        "2026-06-17": ("20 zinnia b2 fresh", "sold 5 L002 to florist"),
    }
    session = farm_in(tmp_path / "farm", {**SPRING, **days})
    app = ShedApp(session, None, session.folder)
    wanted = {
        "l1": 2, "market": 1, "slugs": 1, "lark": 3, "b2": 4, "zinnia florist": 1, "nothing such": 0, "": 17,
    }  # fmt: skip
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("e")
        for words, count in wanted.items():
            await pilot.press("w", *("space" if c == " " else c for c in f"find {words}"), "enter")
            assert len(_marks(app)) == count or words == "", (words, _marks(app))
        assert len(_marks(app)) > 10 and app.entry.value == ""
