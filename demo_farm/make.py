"""Makes the demo farm from the real engine: every entry goes through the door and its checks.

`python -m demo_farm.make` makes the ready-made copy in `demo_farm/farm` anew.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from core.book.book import Book
from core.door import Door
from demo_farm.chance import Chance
from demo_farm.hand import Clock, Hand
from demo_farm.plan import DEMO_DAY, GROWER, HELPER, NETBOOK, SHED, ZONE
from demo_farm.season import FIRST_DAY, Season
from demo_farm.weather import weather
from demo_farm.work import Work

__all__ = ["DEMO_DAY", "SEED", "make", "remake"]

SEED = 4414

READY_MADE = Path(__file__).parent / "farm"


def make(folder: Path, *, progress: Callable[[date], None] | None = None) -> None:
    """The demo farm in `folder`, new or empty; the same bytes for the same code and seed."""
    chance, clock = Chance(SEED), Clock(ZONE)
    clock.set(FIRST_DAY, 8.5)
    shed = Door(Book.create(folder, device=SHED, clock=clock, chance=chance.next_bits), by=GROWER)
    field = Door(Book.open(folder, device=NETBOOK, clock=clock, chance=chance.next_bits), by=HELPER)
    sky = weather(FIRST_DAY - timedelta(days=14), DEMO_DAY, chance)
    Season(Work(Hand(shed), Hand(field), clock, chance, sky, FIRST_DAY)).run(progress)
    field.close()
    shed.close()


def remake() -> None:
    """Put a newly made farm in place of the ready-made one."""
    with TemporaryDirectory() as scratch:
        made = Path(scratch) / "farm"
        make(made)
        shutil.rmtree(READY_MADE, ignore_errors=True)
        READY_MADE.mkdir()
        # the record and the station's: the rest of a farm folder is made from them
        shutil.copyfile(made / "farm.json", READY_MADE / "farm.json")
        for name in ("log", "weather"):
            shutil.copytree(made / name, READY_MADE / name, copy_function=shutil.copyfile)


if __name__ == "__main__":
    remake()
