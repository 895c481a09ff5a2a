"""In the middle of a season the cuts so far are counted: what is said then, beside what another hand's season gives."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

import numpy as np
import pytest

from core.promising.claims import LAST, Claim, Liked, as_need
from core.promising.field import in_field
from core.promising.growth import Wanted
from core.promising.outlook import outlooks
from core.promising.supply import supply_for
from core.reckon.promise.allocation import Stock
from tests.farms import Pencil, beds
from tests.plans.other_hand import WORLDS
from tests.promise.other_season import Seasons, World

CROPS = (
    ("strawflower", "2026-05-15", 90, "dry"),
    ("zinnia", "2026-05-20", 100, "fresh"),
    ("statice", "2026-05-15", 60, "dry"),
    ("cosmos", "2026-05-22", 60, "fresh"),
    ("celosia, plume", "2026-05-25", 80, "dry"),
    ("ammi", "2026-05-01", 80, "fresh"),
    ("snapdragon", "2026-05-01", 140, "fresh"),
)
WORTH_CUTTING = 8
"""Stems for which she walks out; she looks every other day and cuts most of what is open."""
LAST_DAY = date(2026, 10, 20)


class Asked(NamedTuple):
    """What was said to be free, and what was: `rank` is the share of the reckoned seasons with less."""

    crop: str
    rank: float
    there: int
    surely: int


def planted(crop: str, on: str, plants: int) -> Pencil:
    pencil = beds("b1", start="2026-04-20", last_frost="05-14", first_frost="09-28")
    pencil.today = date(2026, 7, 1)
    pencil.write("set out", on, planting="P01", crop=crop, bed="b1", feet=20, plants=plants)
    return pencil


def asked_in(crop: str, on: str, plants: int, form: str, world: World, rng: Random) -> list[Asked]:
    """One question in the middle of each season of a world, after the cuts until then were written."""
    start = date.fromisoformat(on) + timedelta(days=20)
    made_up = Seasons(planted(crop, on, plants).farm, start, world, LAST_DAY)
    found = []
    for n in range(world.seasons):
        opened = made_up.plantings[0][1][1][n]
        total = int(opened.sum())
        days = int(np.searchsorted(np.cumsum(opened), rng.choice((0.1, 0.25, 0.45, 0.65)) * total))
        today = start + timedelta(days=days)
        pencil = planted(crop, on, plants)
        pencil.today = max(today, pencil.today)
        cuts, there = 0, 0.0
        for day in range(days):
            there += opened[day]  # what is culled does not come into the bucket
            if day % 2 == 0 and there >= max(WORTH_CUTTING, 0.004 * total):
                cuts, cut_on, stems = (
                    cuts + 1,
                    (start + timedelta(days=day)).isoformat(),
                    round(there * rng.uniform(0.85, 1)),
                )
                lot = f"L{cuts:03d}"
                pencil.write(
                    "cut", cut_on, lot=lot, crop=crop, bed="b1", planting="P01", use="fresh", stems=stems
                )
                pencil.write("sold", cut_on, lot=lot, source="bucket", stems=stems)
                there = 0.0
        if cuts < 2:
            continue
        due = today + timedelta(days=rng.choice((7, 14, 28) if form == "fresh" else (28, 40)))
        asked = Claim(due, LAST, 1, form, (Liked(crop),))  # type: ignore[arg-type]
        (said,) = outlooks(supply_for(pencil.farm, today, [], [asked]), asked, [due], every=2)
        left = Stock.of([lot for lot in made_up.lots(n, is_dried=form != "fresh") if lot.ready >= today])
        given = left.free(as_need(asked, made_up.sorts()).accepts, due)  # type: ignore[union-attr]
        # seasons with as many lie on both sides of it: once it is over, there are none in nearly all of them
        fewer, no_more = (np.searchsorted(said.growing.seasons, given, side) for side in ("left", "right"))
        rank = rng.uniform(float(fewer), float(no_more)) / len(said.growing.seasons)
        found.append(Asked(crop, rank, given, said.surely))
    return found


def season(crops: Sequence[tuple[str, str, int, str]], worlds: Sequence[str], seasons: int) -> list[Asked]:
    rng = Random(1)
    return [
        one
        for crop in crops
        for w, name in enumerate(worlds)
        for one in asked_in(*crop, World(name, seasons, 100 * w + 7), rng)
    ]


def test_what_is_surely_free_in_mid_season_is_there() -> None:
    found = season(CROPS[:2], ("light", "late"), 4)
    assert len(found) >= 12
    assert sum(one.there >= one.surely for one in found) >= len(found) - 1


@pytest.mark.long
def test_mid_season_the_reckoned_seasons_spread_as_the_true_ones_do() -> None:
    found = season(CROPS, tuple(WORLDS), 12)
    assert len(found) >= 300
    assert np.mean([one.there >= one.surely for one in found if one.surely]) >= 0.98
    ranks = np.array([one.rank for one in found])
    for share in (0.1, 0.25, 0.5, 0.75, 0.9):
        assert -0.07 <= float((ranks < share).mean()) - share <= 0.07, share


def test_early_frosts_are_among_the_seasons() -> None:
    pencil = planted("zinnia", "2026-05-20", 100)
    (growth,) = in_field(pencil.farm, date(2026, 7, 1), Wanted((date(2026, 9, 20).toordinal(),), ()), None)
    frosts = sorted(season.frost for season in growth.seasons)
    usual, give = date(2026, 9, 29).toordinal(), 12  # in the beds the day after the average first frost
    # normal quantiles by 1.2816 standard deviations to 12 days: one year in a hundred, one in ten
    assert frosts[5] == pytest.approx(usual - 2.3263 / 1.2816 * give, abs=1.0)
    assert frosts[51] == pytest.approx(usual - give, abs=0.5)
    assert frosts[256] == pytest.approx(usual, abs=0.5)
