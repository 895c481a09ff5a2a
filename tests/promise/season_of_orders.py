"""A season of orders on an invented farm: asked for one by one, taken as the answers allow, and kept or not.

What is promised and how surely is the program's word; whether it is kept is another hand's (other_season.py).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import numpy as np

from core.book.book import Book
from core.crops.sheet import Sheet
from core.farm import Farm
from core.fold import fold
from core.orders import SUBJECT
from core.places import Use
from core.plans.backward_plan import plan_back
from core.plans.plan import Plan
from core.plans.save_plan import ask_on, draft_of
from core.plans.wish import Ask, Wish
from core.promising.answer import takes_from
from core.promising.claims import LAST, Claim, Liked
from core.promising.outlook import LOOK, Sureness, outlooks
from core.promising.supply import supply_for
from core.settings.sheets import farm_sheet
from demo_farm.open import copy_to
from tests.farms import beds
from tests.plans.other_hand import WORLDS
from tests.promise.other_season import World, kept, stands_of

TODAY = date(2026, 7, 1)
CROPS = (
    ("strawflower", "2026-05-15", 90),
    ("zinnia", "2026-05-20", 100),
    ("statice", "2026-05-15", 60),
    ("snapdragon", "2026-05-01", 140),
    ("cosmos", "2026-05-22", 60),
    ("globe amaranth", "2026-05-25", 90),
    ("celosia, plume", "2026-05-25", 80),
    ("sunflower", "2026-06-01", 120),
    ("ammi", "2026-05-01", 80),
    ("lisianthus", "2026-05-05", 120),
)
"""crop, the day its first planting was set out (a second one three weeks later), plants of each."""
DAYS_AHEAD, SOON = (10, 120), (3, 30)
SUBSTITUTES = 0.1
"""Of the orders, those that take another crop too."""
DRIED = ("strawflower", "statice", "globe amaranth", "celosia, plume", "ammi")


class Taken(NamedTuple):
    """An order that was taken, and what was said of it."""

    claim: Claim
    sureness: Sureness
    chance: float


def invented_farm() -> Farm:
    """Ten crops in ten beds, two plantings of each; strawflower and statice boxed and on a line."""
    names = [f"b{n}" for n in range(1, len(CROPS) + 1)]
    pencil = beds(*names, start="2026-04-20", last_frost="05-14", first_frost="09-28")
    pencil.today = TODAY
    code = 0
    for bed, (crop, first, plants) in zip(names, CROPS, strict=True):
        for later in (0, 21):
            code += 1
            day = (date.fromisoformat(first) + timedelta(days=later)).isoformat()
            pencil.write("set out", day, planting=f"P{code:02d}", crop=crop, bed=bed, feet=20, plants=plants)
    for n, (crop, bed) in enumerate((("strawflower", "b1"), ("statice", "b3")), start=1):
        lot = f"L00{n}"
        pencil.write("cut", "2026-06-29", lot=lot, crop=crop, bed=bed, use="dry", stems=80)
        pencil.write("hung", "2026-06-29", lot=lot, source="bucket", line="line 1", stems=80, per=10)
    return pencil.farm


def demo_farm(on: date) -> Farm:
    """The demo farm as it stood on a day, without the orders it has."""
    with TemporaryDirectory() as scratch:
        copy_to(folder := Path(scratch) / "farm")
        book = Book.open(folder, device="shed")
        entries = [e for e in book.entries() if e.on <= on.isoformat() and e.kind not in ORDER_KINDS]
        book.close()
    return fold(entries)


ORDER_KINDS = frozenset(SUBJECT.kinds)


class Season(NamedTuple):
    """A farm, the day on which all is asked for, and what may be asked for: (crop, form), each as often as it
    stands; and for days how far ahead, one of these ranges as often as another."""

    farm: Farm
    today: date
    wares: tuple[tuple[str, str], ...]
    ahead: tuple[tuple[int, int], ...] = (SOON, DAYS_AHEAD)

    def instead(self, crop: str, form: str) -> list[str]:
        """What would do for a crop: of each two crops in turn the other, where it is to be had in the form."""
        crops = sorted({other for other, _ in self.wares})
        place = crops.index(crop) ^ 1
        return [other for other in crops[place : place + 1] if (other, form) in self.wares]


def invented_season() -> Season:
    """That of the invented farm."""
    wares = [(crop, "fresh") for crop, _, _ in CROPS] + [(crop, "dry") for crop in DRIED]
    return Season(invented_farm(), TODAY, tuple(wares))


def planned_season(on: date) -> Season:
    """That of a farm on which nothing stands yet: a year's plans as the program makes them, kept on the first of
    March, of what is raised under cover and what is drilled, for a day of each of four months."""
    names = [f"b{n}" for n in range(1, len(PLANNED) + 1)]
    pencil = beds(*names, start="2026-03-01", last_frost="05-14", first_frost="09-28")
    for bed, (crop, use, stems, by) in zip(names, PLANNED, strict=True):
        ask = ask_on(pencil.farm, Wish(crop, stems, use, date(2026, *by)), pencil.today)
        assert isinstance(ask, Ask), crop
        plan = plan_back(ask)
        assert isinstance(plan, Plan), (crop, plan)
        draft = draft_of(plan, pencil.farm, pencil.today, bed=bed)
        pencil.write(draft.kind, draft.on, **draft.fields)
    pencil.today = on
    plans = [
        plan for plan in pencil.farm.plans.values() if plan.sow_on is None or plan.sow_on >= on.isoformat()
    ]
    wares = [(plan.crop, form) for plan in plans for form in _forms_of(farm_sheet(pencil.farm, plan.crop))]
    ahead = (CUT_FROM - on).days, (CUT_UNTIL - on).days
    return Season(pencil.farm, on, tuple(wares), (ahead,))


PLANNED: tuple[tuple[str, Use, int, tuple[int, int]], ...] = (
    ("strawflower", "dry", 150, (9, 12)),
    ("zinnia", "fresh", 120, (8, 22)),
    ("statice", "dry", 120, (9, 12)),
    ("cosmos", "fresh", 150, (8, 29)),
    ("globe amaranth", "dry", 200, (9, 26)),
    ("sunflower", "fresh", 60, (8, 8)),
    ("celosia, plume", "dry", 100, (9, 26)),
    ("rudbeckia", "fresh", 100, (8, 22)),
    ("marigold", "fresh", 100, (9, 5)),
    ("ammi", "fresh", 100, (7, 20)),
    ("China aster", "fresh", 80, (9, 5)),
    ("bachelor's button", "dry", 100, (9, 5)),
)
CUT_FROM, CUT_UNTIL = date(2026, 7, 15), date(2026, 9, 25)


def _forms_of(sheet: Sheet | None) -> list[str]:
    assert sheet is not None
    is_dried = sheet.drying_days is not None and sheet.dry_stage is not None
    return ["fresh"] * (sheet.fresh_stage is not None) + ["dry"] * is_dried


def demo_season(on: date) -> Season:
    """That of the demo farm on a day: all that stands there or waits in trays, for what its sheet cuts it, and what
    hangs."""
    farm = demo_farm(on)
    wares = []
    for stand in stands_of(farm, on):
        wares += [(stand.crop, form) for form in _forms_of(stand.sheet)]
    wares += [(lot.crop, "dry") for lot in farm.lots.live() if any(place.is_line for place in lot.holdings)]
    return Season(farm, on, tuple(wares))


def taken_orders(of: Season, count: int, rng: Random, *, only_sure: bool = False) -> list[Taken]:
    """So many orders for one day and another, of amounts about what is free, some with another crop that would do;
    those answered "no" are not taken, nor those that are likely and would take from others in a poor season."""
    found: list[Taken] = []
    for _ in range(20 * count):
        if len(found) == count:
            break
        crop, form = rng.choice(of.wares)
        due = of.today + timedelta(days=rng.randint(*DAYS_AHEAD))
        liked = [crop, *of.instead(crop, form)] if rng.random() < SUBSTITUTES else [crop]
        asked = Claim(due, LAST, 1, form, tuple(map(Liked, liked)), f"O{len(found):03d}", "a buyer", item="1")  # type: ignore[arg-type]
        supply = supply_for(of.farm, of.today, by_day([one.claim for one in found]), [asked])
        (glance,) = outlooks(supply, asked, [due], every=LOOK)
        if glance.sureness(1)[0] == "no":
            continue
        if rng.random() < 0.5:
            wanted = max(glance.growing.at(rng.uniform(0.66, 1.0)), 1)
        else:
            (glance,) = outlooks(supply, asked, [due])
            wanted = max(glance.surely, 1)
        if rng.random() < 0.3:
            wanted = rng.randint(1, wanted)
        asked = replace(asked, wanted=wanted)
        roughly = glance.sureness(wanted)[0]
        if roughly == "no" or (roughly == "likely" and (only_sure or any(takes_from(supply, asked)))):
            continue
        said, chance = outlooks(supply, asked, [due])[0].sureness(wanted)
        if said == "no" or (only_sure and said != "surely"):
            continue
        if said == "likely" and roughly == "surely" and any(takes_from(supply, asked)):
            continue
        found.append(Taken(asked, said, chance))
    return found


def by_day(claims: Sequence[Claim]) -> list[Claim]:
    """As they are served: what is due first, of that what was promised first."""
    order = sorted(range(len(claims)), key=lambda i: (claims[i].due, i))
    ranks = {i: rank for rank, i in enumerate(order)}
    return [replace(claim, rank=ranks[i]) for i, claim in enumerate(claims)]


def as_promised(claims: Sequence[Claim]) -> list[Claim]:
    """What was promised first is served first."""
    return [replace(claim, rank=i) for i, claim in enumerate(claims)]


Served = Callable[[Sequence[Claim]], list[Claim]]


def shares_kept(
    of: Season,
    taken: Sequence[Taken],
    served: Served,
    *,
    seasons: int,
    yields: float = 1.0,
    worlds: Sequence[str] = tuple(WORLDS),
) -> np.ndarray[Any, Any]:
    """[season, order]: whether each was kept, in so many seasons of each world."""
    claims = served([one.claim for one in taken])
    runs = [
        kept(of.farm, of.today, claims, World(name, seasons, 3 + n, yields)) for n, name in enumerate(worlds)
    ]
    return np.concatenate(runs)


class ToldAndKept(NamedTuple):
    """Promises of which about the same was said: how many, the chance that was told in their mean, the share kept."""

    said: str
    promises: int
    chance: float
    kept: float


BINS = (0.66, 0.75, 0.85, 0.93, 1.01)
"""Between these chances lie those that are counted together."""


def told_and_kept(taken: Sequence[Taken], kept: Sequence[float]) -> list[ToldAndKept]:
    """What was said beside what became of it: what was promised surely, then what is likely by its chance."""
    both = list(zip(taken, kept, strict=True))
    groups = {"surely": [(one, share) for one, share in both if one.sureness == "surely"]}
    for low, high in pairwise(BINS):
        groups[f"{low:.2f}"] = [
            (one, share) for one, share in both if one.sureness != "surely" and low <= one.chance < high
        ]
    return [
        ToldAndKept(
            said,
            len(mine),
            sum(one.chance for one, _ in mine) / len(mine),
            sum(share for _, share in mine) / len(mine),
        )
        for said, mine in groups.items()
        if mine
    ]
