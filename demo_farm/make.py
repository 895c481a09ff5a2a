"""Makes the demo farm from the real engine: every entry goes through the door and its checks.

`python -m demo_farm.make` makes the ready-made copy in `demo_farm/farm` anew.
"""

from __future__ import annotations

import re
import shutil
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from core.drying.rows import shelf_rows
from core.problems import Problem
from core.weather.station_import import bring_in
from demo_farm import field, shed, trade
from demo_farm.air import STATION, days_from, station_lines
from demo_farm.hand import Lines, Work
from demo_farm.plan import BREEZY_MPH, DEMO_DAY, EVENING, FIRST_DAY, GROWER, MORNING, NOON
from demo_farm.tables import SAID, on

SEED = 4414
READY_MADE = Path(__file__).parent / "farm"
MEMORY = Path("/dev/shm")
"""Where Linux keeps files in memory: of five thousand writings none need last here."""
STATION_FETCHED = {date(2025, 1, 11): date(2024, 12, 31), date(2026, 6, 19): date(2026, 6, 18)}
"""The day a file of the station was brought in, and the last day in it."""


def open_shed(work: Work) -> Lines:
    """Low and tonight's forecast, as the shed is opened."""
    if 3 <= work.day.month <= 10:
        wind = f" wind {work.weather.wind}" if work.weather.wind > BREEZY_MPH else ""
        yield f"low {work.weather.low} tonight {work.weather.tonight}{wind}"


def sit_down(work: Work) -> Lines:
    """At the table: the high, what is to be said of the day; a station's file; a sale struck by mistake, restored."""
    if 3 <= work.day.month <= 10:
        yield f"high {work.weather.high}"
    work.do((_by_its_code(work, line) for day, line in SAID if day == str(work.day)), by=GROWER)
    if work.day in STATION_FETCHED:
        with TemporaryDirectory() as scratch:
            file = Path(scratch) / f"{STATION}.csv"
            lines = station_lines(STATION_FETCHED[work.day], work.sky, work.chance)
            file.write_text("\n".join(lines) + "\n", encoding="utf-8")
            found = bring_in(work.folder, file, work.day, newest=work.day)
            work.take(STATION, found if isinstance(found, Problem) else work.shed.record([found[0]]))
    if on(work.day, "sale struck by mistake, and restored"):
        sale = next(entry for entry in work.shed.recent(40) if entry.kind == "sold")
        (strike,) = work.take("strike", work.shed.strike(sale.id))
        work.take("restore", work.shed.strike(strike.id))


def _by_its_code(work: Work, line: str) -> str:
    """The code of the lot that hangs longest undried, for `{its crop}` in a line."""

    def code(told: re.Match[str]) -> str:
        hanging = [row for row in work.see(shelf_rows) if row.crop == told[1] and row.status != "dry"]
        return min(hanging, key=lambda row: row.hung_on).lot

    return re.sub(r"\{(.+?)\}", code, line)


def look_at_the_sky(work: Work) -> Lines:
    """On clear spring nights, two hours after sunset: how cold may it become?"""
    day, chance, tomorrow = work.day, work.chance, work.sky[work.day + timedelta(1)]
    is_clear = not work.weather.rain and work.weather.wind < 8
    if day >= date(2026, 4, 6) and is_clear and chance.happens(0.3, "dusk", day):
        dusk = tomorrow.low + 11 + round(2 * chance.spread("cooling", day))
        dew = min(tomorrow.dew + chance.whole(0, 2, "dew", day), dusk - 3)
        yield f"dusk {dusk} dew {dew} clear"


DAY = (
    (5.4, open_shed),
    (6.1, field.uncover),
    (MORNING, shed.read_air),
    (MORNING, shed.weigh),
    (8.0, field.harden),
    (8.0, field.cut),
    (NOON, trade.cool),
    (NOON, shed.fill),
    (14.0, field.sow),
    (14.0, field.tend),
    (14.0, field.jobs),
    (15.0, trade.buy),
    (15.0, shed.look),
    (15.0, shed.test_and_box),
    (15.0, shed.clear_bench),
    (17.2, trade.sell_fresh),
    (17.2, shed.rescue),
    (17.2, trade.sell_dried),
    (17.2, trade.sell_pieces),
    (17.2, trade.make_pieces),
    (17.6, partial(trade.cool, hour=17.6)),
    (EVENING, partial(shed.weigh, hour=EVENING)),
    (EVENING, field.lose_in_beds),
    (20.0, field.cover),
    (20.0, shed.read_again),
    (20.0, sit_down),
    (22.3, look_at_the_sky),
)
"""What is done on a day, each from its hour on."""


def make(folder: Path, until: date = DEMO_DAY) -> None:
    """The demo farm up to a morning, in `folder`, in place of what was there; the same code gives the same bytes."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as scratch:
        work = Work(Path(scratch) / "farm", SEED)
        for day in days_from(FIRST_DAY, until - timedelta(1)):
            work.begin(day)
            for hour, lines in DAY:
                work.at(hour)
                work.do(lines(work))
        work.begin(until)
        work.at(5.4)
        work.do(open_shed(work))
        work.do(shed.read_air(work, 5.6))
        shutil.rmtree(folder, ignore_errors=True)
        # the record and the station's: the rest of a farm folder is made from them
        for part in ("log", "weather"):
            shutil.copytree(work.folder / part, folder / part, copy_function=shutil.copyfile)
        shutil.copyfile(work.folder / "farm.json", folder / "farm.json")


if __name__ == "__main__":
    make(READY_MADE)
