"""What the cuts so far say of a crop's season, and how evenly the seasons that are looked at lie."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.problems import Problem
from core.promising.claims import LAST, Claim, Liked
from core.promising.field import in_field
from core.promising.growth import Growth, Wanted
from core.promising.outlook import LOOK, outlooks
from core.promising.supply import supply_for
from core.promising.telephone import ask
from core.session import Session
from tests.farms import beds, farm_in

TODAY = date(2026, 8, 1)


def two_beds(stems: int, *, also: str = "statice") -> dict[str, Growth]:
    """Two beds of statice, of which the first was cut five times, so many stems each time; and another crop."""
    pencil = beds("b1", "b2", "b3", start="2026-05-01", last_frost="05-14", first_frost="09-28")
    pencil.today = TODAY
    for code, crop, bed, day in (
        ("P01", "statice", "b1", "2026-05-10"),
        ("P02", "statice", "b2", "2026-06-10"),
        ("P03", also, "b3", "2026-05-20"),
    ):
        pencil.write("set out", day, planting=code, crop=crop, bed=bed, feet=20, plants=60)
    for n in range(5 if stems else 0):
        day = (date(2026, 7, 10) + timedelta(days=5 * n)).isoformat()
        pencil.write(
            "cut", day, lot=f"L{n:03d}", crop="statice", bed="b1", planting="P01", use="dry", stems=stems
        )
    wanted = Wanted((), (date(2026, 10, 1).toordinal(),))
    return {growth.code: growth for growth in in_field(pencil.farm, TODAY, wanted, None)}


def test_a_poor_bed_says_that_the_other_beds_of_its_crop_are_poor_this_year_too() -> None:
    poor, as_usual, heavy = (two_beds(stems, also="zinnia") for stems in (8, 0, 90))
    for code in ("P01", "P02"):
        assert poor[code].measure < 0.9 < 1.1 < heavy[code].measure
    assert as_usual["P02"].measure == 1
    # the bed that was cut says more of itself than of the other
    assert poor["P01"].measure <= poor["P02"].measure
    # every season hears it, and as much doubt is left as there is
    for n in (0, 100, 300):
        assert poor["P02"].rates[n] < as_usual["P02"].rates[n] < heavy["P02"].rates[n]
    assert len({round(rate) for rate in poor["P02"].rates}) > 20
    # and it says nothing of another crop
    assert poor["P03"].rates == as_usual["P03"].rates == heavy["P03"].rates


def test_light_and_heavy_flushes_even_out_over_all_of_them() -> None:
    growth = two_beds(0)["P02"]
    usual = growth.opening(None)
    drawn = [growth.opening(n) for n in range(512)]
    assert all(one[0] == 0 and one[-1] == pytest.approx(1) and list(one) == sorted(one) for one in drawn)
    half = len(usual) // 2
    assert sum(one[half] for one in drawn) / len(drawn) == pytest.approx(usual[half], abs=0.01)
    assert max(one[half] for one in drawn) - min(one[half] for one in drawn) > 0.1


CROPS = (
    "statice",
    "zinnia",
    "celosia, plume",
    "globe amaranth",
    "cosmos",
    "snapdragon",
    "ammi",
    "strawflower",
)


def test_a_rough_chance_is_that_of_all_seasons_but_for_a_little() -> None:
    names = [f"b{n}" for n in range(1, len(CROPS) + 1)]
    pencil = beds(*names, start="2026-05-01", last_frost="05-14", first_frost="09-28")
    pencil.today = date(2026, 6, 15)
    for n, (bed, crop) in enumerate(zip(names, CROPS, strict=True), 1):
        pencil.write("set out", "2026-05-20", planting=f"P{n:02d}", crop=crop, bed=bed, feet=20, plants=60)
    off = []
    for crop in CROPS:
        asked = Claim(date(2026, 8, 20), LAST, 1, "dry", (Liked(crop),))
        supply = supply_for(pencil.farm, pencil.today, [], [asked])
        (whole,), (rough,) = (outlooks(supply, asked, [asked.due], every=every) for every in (1, LOOK))
        for chance in (0.5, 0.7, 0.9):
            if wanted := whole.growing.at(chance):
                off.append(rough.growing.chance(wanted) - whole.growing.chance(wanted))
    assert len(off) >= 12
    assert abs(sum(off) / len(off)) <= 0.015  # each fourth season of the sequence told 0.03 too much
    assert max(map(abs, off)) <= 0.08


def test_stems_in_the_cooler_are_not_promised_for_the_month_after_next(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    farm_in(
        folder,
        {
            "2026-06-01": ("farm zone UTC", "last frost 14 may", "bed b1 50ft", "plant yarrow b1 20ft"),
            "2026-06-10": ("60 yarrow b1 fresh", "move L001 cooler", "clear b1"),
        },
    ).close()
    assert free(folder, "2026-06-11", "60 yarrow fresh 6-14") == 60
    assert free(folder, "2026-06-11", "20 yarrow fresh 8-1") == 0


def free(folder: Path, day: str, text: str) -> int:
    session = Session.open(folder, by="ml", on=date.fromisoformat(day))
    replies = ask(session.farm, session.today, text)
    session.close()
    assert not isinstance(replies, Problem)
    return replies[0].answer.free_on_day
