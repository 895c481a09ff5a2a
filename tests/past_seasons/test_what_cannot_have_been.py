"""What cannot have been, brought by a merge, is to be settled and counts for nothing."""

from __future__ import annotations

from core.fold import fold
from core.past_seasons.kinds import PastSeasons
from tests.farms import entries_of, on


def test_of_more_up_than_sown_nothing_is_counted_as_come_up() -> None:
    entries = entries_of(
        on("2025-04-01", "past sowing", crop="zinnia", seeds=10, up=40, row="r1", table="t1"),
        on("2025-04-02", "past sowing", crop="zinnia", seeds=50, up=30, row="r2", table="t1"),
    )
    farm = fold(entries)
    (year,) = farm.part(PastSeasons).years.values()
    assert (year.seeds, year.up, year.counted) == (60, 30, 50)
    (matter,) = farm.matters
    assert "40 are said to have come up" in matter.sentence
