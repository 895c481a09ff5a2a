"""The cut list learns from what was really cut against what was asked; the stems are another hand's."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import ceil
from pathlib import Path
from typing import NamedTuple

import pytest

from core.asks import Sight
from core.promising.claims import Claim, Liked
from core.promising.cut_list import CutRow, cut_list
from core.promising.open_claims import open_claims
from core.promising.told import cut_list_lines
from core.session import Session
from tests.cases import first_of
from tests.farms import Pencil, beds, farm_in, morning_of
from tests.promise.other_season import Seasons, World

STANDS = 6
"""Days that an open stem stands before it is past cutting (common practice)."""
MORNINGS = 36
WORTH_IT = 5


class Morning(NamedTuple):
    day: int
    asked: int
    cut: int


def planted(crop: str, plants: int) -> Pencil:
    pencil = beds("b1", start="2026-05-15", last_frost="05-14", first_frost="09-28")
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=20, plants=plants)
    return pencil


def mornings(crop: str, plants: int, world: World, wanted: int) -> list[Morning]:
    """Every other morning somebody wants so many for tomorrow; she cuts what is asked, or what there is of it."""
    pencil = planted(crop, plants)
    start = date(2026, 5, 16)
    given = Seasons(pencil.farm, start, world, date(2026, 10, 20)).plantings[0][1][1][0]
    first = int((given.cumsum() >= 1).argmax())
    pool: list[tuple[int, int]] = []
    found: list[Morning] = []
    for n in range(first, first + MORNINGS):
        pool = [(day, stems) for day, stems in [*pool, (n, int(given[n]))] if n - day < STANDS and stems]
        if (n - first) % 2:
            continue
        pencil.today = start + timedelta(days=n)
        claim = Claim(pencil.today + timedelta(days=1), 0, wanted, "fresh", (Liked(crop),), "O001", "Ann")
        asked = sum(row.asked for row in cut_list(Sight(pencil.farm, pencil.today), [claim]).rows)
        # what opens before it is looked for she cuts all the same
        cut = min(asked or wanted, sum(stems for _, stems in pool))
        cut = cut if asked or cut >= WORTH_IT else 0
        left = cut
        while left:
            day, stems = pool.pop(0)
            part = min(stems, left)
            left -= part
            if stems > part:
                pool.insert(0, (day, stems - part))
        if cut:
            lot = f"L{len(found) + 1:03d}"
            said = {"asked": asked} if asked else {}
            pencil.write("cut", lot=lot, crop=crop, bed="b1", planting="P01", use="fresh", stems=cut, **said)
            pencil.write("sold", lot=lot, source="bucket", stems=cut)
        found.append(Morning(n - first, asked, cut))
    return found


WORLDS = (
    ("zinnia", 100, World("light", 1, 3, 0.6)),
    ("cosmos", 60, World("late", 1, 5, 0.6)),
    ("zinnia", 100, World("late", 1, 21, 0.8)),
    ("snapdragon", 140, World("early", 1, 9, 0.7)),
    ("cosmos", 60, World("light", 1, 11, 1.0)),
    ("zinnia", 100, World("heavy", 1, 7, 1.3)),
    ("snapdragon", 140, World("heavy", 1, 23, 1.1)),
    ("cosmos", 60, World("early", 1, 25, 0.7)),
)
"""Poor, usual and good seasons, beside what the sheets have."""


@pytest.mark.parametrize("worlds", first_of((WORLDS[:4], WORLDS), 1))
def test_after_three_weeks_what_is_asked_is_what_is_cut(worlds: Sequence[tuple[str, int, World]]) -> None:
    asked, cut = 0, 0
    for crop, plants, world in worlds:
        found = mornings(crop, plants, world, 400)
        late = [morning for morning in found if morning.day >= 21]
        assert len(late) >= 7
        assert all(morning.asked < 200 for morning in late)
        asked, cut = asked + sum(m.asked for m in late), cut + sum(m.cut for m in late)
    # a tenth more is asked than is foretold; the rest is that stems open in waves, and a trough is known by its cuts
    assert abs(asked - cut) <= 0.25 * asked


def test_what_was_cut_as_asked_tells_nothing_of_what_stands() -> None:
    few = mornings("zinnia", 100, World("light", 1, 3, 1.0), 5)
    late = [m for m in few if m.day >= 14]
    assert [(m.asked, m.cut) for m in late] == [(5, 5)] * len(late)


SET_UP = ("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b2 50ft")
FARM = {
    "2026-05-20": (*SET_UP, "plant 25ft zinnia coral b2 100 plants"),
    "2026-07-28": ("30 of 50 zinnia coral b2 fresh", "sold 30 L001 to market"),
    "2026-07-30": ("30 of 50 zinnia coral b2 fresh", "sold 30 L002 to market"),
    "2026-08-01": ("30 of 50 zinnia coral b2 fresh", "sold 30 L003 to market"),
}
TODAY = date(2026, 8, 3)


def opened(folder: Path, *lines: str) -> Session:
    made = farm_in(
        folder / "farm", {**FARM, TODAY.isoformat(): ("order Ann 200 zinnia fresh by 8-4", *lines)}
    )
    return Session.open(made.folder, by="ml", on=TODAY)


def asked_in(session: Session) -> CutRow:
    (row,) = cut_list(session.sight(), open_claims(session.farm, session.today)).rows
    return row


def test_a_bed_that_gave_thirty_three_times_is_not_asked_for_all_that_is_wanted(tmp_path: Path) -> None:
    session = opened(tmp_path)
    row = asked_in(session)
    assert row.asked <= ceil(1.1 * row.standing)
    assert row.asked < 150
    found = cut_list(session.sight(), open_claims(session.farm, session.today))
    assert sum(one.stems for one in found.lacking) == 200 - row.asked
    assert any("short for O001" in line or "stand nowhere" in line for line in cut_list_lines(found))


def test_what_is_cut_no_longer_stands(tmp_path: Path) -> None:
    before = asked_in(opened(tmp_path / "a"))
    after = asked_in(opened(tmp_path / "b", "12 zinnia coral b2 fresh"))
    assert after.asked == before.asked
    assert after.standing == before.standing - 12


def test_what_is_to_cut_today_is_due_today(tmp_path: Path) -> None:
    asked = [one for one in morning_of(opened(tmp_path)).asked if one.about[:1] == ("asked cut",)]
    assert [one.days for one in asked] == [0]
