"""What does not fit together as the beds stand."""

from __future__ import annotations

from core.beds.kinds import free_feet
from core.dialect import told_feet
from core.farm import Farm
from core.problems import Matter


def crowded(farm: Farm) -> list[Matter]:
    """What does not fit together as the beds stand: plantings in beds unknown, more feet planted than there are.

    Asked of the farm as it is and not while folding, since a bed is often written after what stands in it.
    """
    problems = [
        Matter(
            f"{p.crop} ({p.code}) stands in bed {p.bed}, which the book does not have.",
            "settle",
            entry=p.made_by,
            key=("no bed", p.bed, p.made_by),
        )
        for p in farm.plantings.live()
        if p.bed not in farm.beds
    ]
    for bed in farm.beds.values():
        if free_feet(farm, bed) < -0.05:
            here = farm.standing_in(bed.code)
            problems.append(
                Matter(
                    f"{told_feet(sum(p.feet for p in here))} are planted in bed {bed.code}, which has "
                    f"{told_feet(bed.feet)}: clear what is done, or give the bed its true length.",
                    "settle",
                    entry=here[-1].made_by,
                    key=("crowded", bed.code),
                    amount=-free_feet(farm, bed),
                )
            )
    return problems
