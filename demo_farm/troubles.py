"""What the seasons have in store, row by row: hard nights, troubles, and what is said on the day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

NIGHTS = (
    ("2025-05-03", 29),
    ("2025-05-21", 30),  # the last frost of 2025, a week late
    (
        "2025-06-01",
        52,
        53,
        55,
        54,
        56,
        53,
    ),  # a mild first week of June: the tender trays get their nights out
    ("2025-09-27", 33),
    ("2025-10-01", 30),  # the first
    ("2025-10-11", 27),
    ("2025-10-25", 22),
    ("2026-03-22", 33, 35, 36, 34, 35, 33, 35, 36),  # a mild end of March: the early strawflowers get theirs
    ("2026-04-03", 22, 25),  # and the night that follows such an end of March
    ("2026-05-16", 31, 30),  # the last frost of 2026
    ("2026-06-11", 45, 46),  # cold nights hold the tender trays
    ("2026-06-21", 54, 52, 51, 47),
)
"""Lows that the story needs, F: the morning on which the first is read, and those that follow."""


class Trouble(NamedTuple):
    """One row: from `day` on, for `days`, `what` happens to `of` (a crop, a box, a line that is written), how much of
    it, and the cause that is written.
    """

    day: str
    what: str
    of: str = ""
    amount: float = 0
    cause: str = ""
    days: int = 1


TROUBLES = (
    # amount: miles an hour
    Trouble("2025-05-12", "wind", amount=24),
    Trouble("2025-05-13", "wind", amount=21),
    Trouble("2025-07-08", "wind", amount=31),
    Trouble("2026-03-11", "wind", amount=23),
    Trouble("2026-04-12", "wind", amount=22),
    Trouble("2026-04-13", "wind", amount=19),
    Trouble("2026-05-27", "wind", amount=26),
    Trouble("2026-06-17", "wind", amount=21),
    Trouble("2025-06-19", "rain"),
    Trouble("2025-07-22", "rain", days=3),
    Trouble("2025-09-09", "rain"),
    Trouble("2026-04-18", "rain"),
    Trouble("2026-06-06", "rain"),
    # close, wet air; the day after rain is muggy too
    Trouble("2025-07-25", "muggy", days=2),
    Trouble("2025-08-12", "muggy", days=2),
    Trouble("2025-09-10", "muggy", days=3),
    Trouble("2026-06-15", "muggy", days=4),
    # its coils were iced up; amount: F
    Trouble("2025-08-04", "warm cooler", amount=43),
    Trouble("2025-08-05", "warm cooler", amount=47),
    Trouble("2025-08-06", "warm cooler", amount=41),
    # trays that nobody carried out
    Trouble("2025-05-24", "no time", "zinnia", days=2),
    Trouble("2026-04-15", "no time", "snapdragon"),
    # amount: share of the living
    Trouble("2025-03-18", "lost in a tray", "feverfew", 0.2, "dried out"),
    Trouble("2025-05-01", "lost in a tray", "cosmos", 0.35, "leggy"),
    Trouble("2025-05-09", "lost in a tray", "craspedia", 0.15, "slugs"),
    Trouble("2026-03-09", "lost in a tray", "snapdragon", 0.12, "damping off"),
    Trouble("2026-05-02", "lost in a tray", "cosmos", 0.2, "leggy"),
    Trouble("2026-06-19", "lost in a tray", "cosmos", 0.1, "slugs"),
    # amount: plants
    Trouble("2025-06-12", "lost in a bed", "zinnia", 9, "slugs"),
    Trouble("2025-06-14", "lost in a bed", "China aster", 11, "rabbits"),
    Trouble("2025-07-09", "lost in a bed", "sunflower", 7, "wind"),
    Trouble("2026-05-17", "lost in a bed", "stock", 6, "frost"),
    Trouble("2026-06-08", "lost in a bed", "zinnia", 8, "slugs"),
    # cut after rain or a day missed: a quarter of the heads were open too far
    Trouble("2025-08-11", "blown", "zinnia"),
    Trouble("2025-08-25", "blown", "strawflower"),
    Trouble("2025-09-11", "blown", "strawflower"),
    # amount: share of what hangs of it
    Trouble("2025-07-26", "mold", "statice", 0.45),
    Trouble("2025-09-13", "mold", "globe amaranth", 0.25),
    Trouble("2026-06-17", "mold", "peony", 0.6),
    Trouble("2026-06-01", "forgotten on its line", "baby's breath", days=14),  # hung on those days
    Trouble("2026-06-20", "no box for", "yarrow"),
    Trouble("2026-06-22", "not hung", "larkspur"),
    # cut on those days and not brought into the cooler
    Trouble("2026-06-18", "left out", "sweet pea"),
    Trouble("2026-06-19", "left out", "baby's breath"),
    Trouble("2026-06-22", "left out", "bachelor's button"),
    # amount: share of the usual sales
    Trouble("2025-07-22", "poor market", amount=0.4),
    Trouble("2026-06-20", "poor market", amount=0.35),
    Trouble("2025-09-09", "not wired", days=3),
    Trouble("2025-09-12", "wired too late", cause="the crowns are for tomorrow"),
    Trouble("2026-01-10", "boxes counted", amount=-1),  # one of them so many bunches short
    Trouble("2025-12-06", "moth", amount=2),  # in the oldest box: so many bunches thrown out
    Trouble("2026-05-23", "not looked into", "box 3", days=32),
    Trouble("2025-10-18", "broken", "crown-b"),
    Trouble("2025-08-19", "sale struck by mistake, and restored"),
)

SAID = (
    ("2025-01-05", "note new book begun; last year's dates are in the green folder"),
    ("2025-03-30", "note germination test: larkspur seed of 2023 gives 4 in 10"),
    ("2025-05-12", "note wind took the lid off the cold frame; trays in for two days"),
    ("2025-05-22", "note frost a week late, covers saved the rudbeckia"),
    ("2025-07-16", "bought 2500 wire 24"),
    ("2025-07-16", "undo"),
    ("2025-07-16", "bought 250 wire 24"),
    ("2025-07-24", "note three days of rain, shed at 74 % all night, fan on"),
    ("2025-08-16", "count 610 bands"),
    ("2025-08-22", "note strawflower wants cutting every second day in this heat"),
    ("2025-10-02", "note first frost, zinnia and cosmos black"),
    ("2025-10-18", "check box 9 damp"),
    ("2025-11-29", "count 205 bands"),
    ("2025-12-20", "note last wreath circle; boxes counted in January"),
    ("2026-02-19", "note strawflower on the surface under the lights, watered from below"),
    ("2026-03-07", "plan 240 statice blue dry by 10-15"),
    ("2026-03-07", "plan 150 strawflower purple dry by 10-03"),
    ("2026-03-30", "note early strawflower stands out in 30 F mornings without harm"),
    ("2026-05-17", "note 30 F at dawn, covers on the tender beds, stock caught at the edge"),
    ("2026-05-30", "count 840 bands"),
    ("2026-06-14", "plan 60 sunflower lemon fresh by 08-21"),
    ("2026-06-14", "plan 60 sunflower gold fresh a week from 09-01 to 09-20"),
    ("2026-06-20", "note first strawflower, seven weeks before last year"),
    ("2026-06-20", "count 46 wire 26"),
    ("2026-06-20", "count 4 tape"),
    ("2026-06-22", "line 6 is 12ft dark no fan"),
    ("2026-06-22", "note hang nothing more on line 6 until the fan is mended"),
)
"""Lines written as they stand here, on their day at the table in the evening."""

_ON = {
    (str(date.fromisoformat(row.day) + timedelta(days=n)), row.what, row.of): row
    for row in TROUBLES
    for n in range(row.days)
}


def on(day: date | str, what: str, of: str = "") -> Trouble | None:
    """The trouble of that day, if it has it."""
    return _ON.get((str(day), what, of))
