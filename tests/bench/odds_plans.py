"""Whether plans keep what they say: the chance claimed beside seasons made up by another hand, and growers' counts."""

from __future__ import annotations

from datetime import date, timedelta
from time import process_time

from core.plans.plan import Plan
from core.plans.weekly import WeeklyPlan, plan_weekly
from core.problems import Problem
from tests.plans.other_hand import WORLDS, kept
from tests.plans.test_promise import NOT_SO_SURE, WISHES, planned

GROWERS = (
    ("lisianthus", 100, "fresh", (8, 20), "120 to 150 plugs"),
    ("dahlia", 100, "fresh", (9, 12), "40 to 60 tubers"),
    ("statice", 100, "dry", (10, 5), "25 to 30 plants"),
    ("sunflower", 100, "fresh", (8, 15), "130 to 150 seeds"),
    ("stock", 50, "fresh", (6, 20), "120 to 150 seeds"),
)
"""(crop, stems, use, day of 2026, what growers plant: common practice)."""


def main() -> None:
    """Print both tables."""
    print("The chance claimed, and how often the promise is kept in 2,000 seasons of each made-up world.")
    print(
        f"{'crop':22}{'stems':>6} {'plants':>7}{'claimed':>9}"
        + "".join(f"{world:>8}" for world in WORLDS)
        + "    mean"
    )
    for crop, stems, use, day in (*WISHES, *NOT_SO_SURE):
        began = process_time()
        made = planned(crop, stems, use, day)
        took = process_time() - began
        found = [kept(made, world) for world in WORLDS]
        told = "".join(f"{share:8.3f}" for share in found)
        claimed = f"{made.plants_out:>7}{made.promise.chance:9.3f}"
        print(
            f"{crop + ', ' + use:22}{stems:6} {claimed}{told}{sum(found) / len(found):8.3f}  {1000 * took:.0f} ms"
        )
    print(
        "\nWhat growers plant for it, by common practice, beside the plan's counts and what it says of them."
    )
    for crop, stems, use, day, growers in GROWERS:
        made = planned(crop, stems, use, day)
        why = [step.says for step in made.steps if step.name in ("why so many", "or in turns")]
        week = _a_week(made)
        by_week = f"; in a row of weeks {week[0]} plants a sowing, {week[1]} in a usual year" if week else ""
        print(
            f"{stems} {crop}, {use}: growers {growers}; for this day alone {made.plants_out} plants, "
            f"{made.seeds} seeds, kept {made.promise.chance:.2f}{by_week}"
        )
        for line in why:
            print(f"    {line}")


def _a_week(made: Plan) -> tuple[int, int] | None:
    """(plants, those of a usual year) of a middle sowing, where as many are wished for every week; dried stems keep,
    and are not asked so."""
    ask = made.ask
    if ask.wish.use != "fresh":
        return None
    start = date(2026, ask.wish.by.month, ask.wish.by.day)
    weekly = plan_weekly(ask, start, start + timedelta(weeks=4, days=-1))
    if isinstance(weekly, Problem):
        return None
    assert isinstance(weekly, WeeklyPlan)
    counts = sorted((plan.plants_out, plan.promise.even) for plan in weekly.plans)
    return counts[len(counts) // 2]
