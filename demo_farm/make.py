"""Makes the demo farm from the real engine: every entry goes through the door and its checks.

`python -m demo_farm.make` makes the ready-made copy in `demo_farm/farm` anew.
"""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from demo_farm.chance import Chance
from demo_farm.hand import Work
from demo_farm.plan import DEMO_DAY, FIRST_DAY
from demo_farm.season import Season
from demo_farm.weather import Weather, weather

SEED = 4414
READY_MADE = Path(__file__).parent / "farm"
MEMORY = Path("/dev/shm")
"""Where Linux keeps files in memory: of five thousand writings none need last here."""


def sky() -> dict[date, Weather]:
    """The weather of the demo's days, and of some before."""
    return weather(FIRST_DAY - timedelta(days=14), DEMO_DAY, Chance(SEED))


def make(folder: Path) -> None:
    """The demo farm in `folder`, new or empty; the same bytes for the same code and seed."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as scratch:
        made = Path(scratch) / "farm"
        Season(Work(made, sky(), Chance(SEED))).run()
        # the record and the station's: the rest of a farm folder is made from them
        shutil.copytree(made / "log", folder / "log", copy_function=shutil.copyfile)
        shutil.copytree(made / "weather", folder / "weather", copy_function=shutil.copyfile)
        shutil.copyfile(made / "farm.json", folder / "farm.json")


if __name__ == "__main__":
    shutil.rmtree(READY_MADE, ignore_errors=True)
    make(READY_MADE)
