"""Where the work of the shed can hurt someone: short cautions, each shown where it belongs, with its source.

They are the usual ones. The label, local codes and a doctor's word stand above them.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from core.marked import with_figures

Place = Literal["cut", "bucket", "shed", "line", "box", "silica", "bench", "piece", "spray"]
"""The work at hand: cutting, the bucket, the shed as a building, hanging and taking down, boxed stock, drying in
silica, wiring, made pieces, spraying."""


class Caution(NamedTuple):
    """One caution: what it is about, where it is shown, what to do, and where that comes from."""

    about: str
    places: tuple[Place, ...]
    says: str
    source: str

    @property
    def told(self) -> str:
        """The sentence with its source."""
        return f"{self.says} [{self.source}]"


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "moldy dust",
        ("shed", "line", "box"),
        "Moldy dust scars lungs: carry moldy bunches outdoors wetted, in a two-strap N95 mask or better; fever or "
        "cough some hours later: see a doctor.",
        "S58 S59",
    ),
    Caution(
        "heat and fire",
        ("shed",),
        "Dry bunches burn like hay: no flame, smoking or bare heater near them; guarded heat with a thermostat, "
        "{feet:3} clear, never unwatched; extinguisher at the session. Local fire and electrical codes come first.",
        "from memory",
    ),
    Caution(
        "fuel heaters",
        ("shed",),
        "Gas and oil burners give off water and carbon monoxide: vent them, and hang an alarm.",
        "S115; the alarm from memory",
    ),
    Caution(
        "ladders",
        ("shed", "line"),
        "High lines: hang lower where you can; else a dry footing, three points of contact, a second person.",
        "from memory",
    ),
    Caution(
        "silica dust",
        ("silica",),
        "Silica gel dust hurts lungs and eyes: pour slowly, mask on, lid shut, away from children; hot from the oven.",
        "from memory",
    ),
    Caution(
        "cobalt",
        ("silica",),
        "Blue silica gel holds cobalt chloride, poisonous and suspected of cancer: take orange or clear; mind the "
        "label.",
        "from memory",
    ),
    Caution(
        "sap",
        ("cut", "bucket"),
        "Sap of ammi, dill and wild carrot burns skin in the sun: long sleeves, gloves, wash, then shade.",
        "S61",
    ),
    Caution(
        "sap in the eyes",
        ("cut", "bucket"),
        "Sap in the eyes (spurge above all) can blind for days: goggles, no rubbing; rinse a quarter of an hour with "
        "water, then a doctor.",
        "from memory",
    ),
    Caution(
        "bleach",
        ("bucket",),
        "Never bleach with acid flower food, vinegar or ammonia: the gas hurts lungs. Bleach alone, in the open, "
        "rinse, then fill anew; mind the label.",
        "common practice",
    ),
    Caution(
        "solutions",
        ("bucket", "bench"),
        "Glycerin, dyes and silver solutions: gloves and eye cover; silver waste never down the drain: by the "
        "label and local rules.",
        "from memory",
    ),
    Caution(
        "full buckets",
        ("bucket",),
        "A gallon of water weighs over 8 lb: fill buckets by half, lift with the legs, or wheel them.",
        "from memory",
    ),
    Caution(
        "sulfur",
        ("shed", "silica"),
        "No burning of sulfur for color: its smoke burns lungs, and it is a fire.",
        "S158",
    ),
    Caution(
        "sprayed beds",
        ("cut",),
        "After a spray nobody cuts before the label's re-entry time is over; hired and unpaid helpers have the whole "
        "worker protection standard, the family parts of it.",
        "S62 S63",
    ),
    Caution(
        "sprays",
        ("spray",),
        "The label decides: gear, wind, bees, what may be mixed, when anybody may go in again. Nobody near while it is "
        "put on; wash after. Restricted ones are for the licensed; state and local rules come first.",
        "S62 S63; common practice",
    ),
    Caution(
        "wire ends",
        ("bench", "piece"),
        "Wire ends: cover the eyes when cutting; turn the ends in and tape them, none bare in what is worn.",
        "from memory",
    ),
    Caution(
        "glue guns",
        ("bench",),
        "Glue guns burn skin and dry stems: stand them on something bare, and unplug them when you leave.",
        "from memory",
    ),
    Caution(
        "wrists",
        ("bench",),
        "Cutting and wiring strain the wrists: change the task before they ache.",
        "from memory",
    ),
    Caution(
        "buyers",
        ("bench", "piece"),
        "Say to the buyer: not for eating; keep dried pieces from candles, heaters and the mouths of children.",
        "common practice",
    ),
)


def cautions_at(place: Place) -> tuple[Caution, ...]:
    """The cautions that belong to one place of work, the gravest first."""
    return tuple(
        caution._replace(says=with_figures(caution.says)) for caution in CAUTIONS if place in caution.places
    )
