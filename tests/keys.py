"""The jobs of a day and the keys they take, Enter included: pressed by the tests, counted and printed by the bench."""

from __future__ import annotations

import asyncio
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from tests.farms import farm_in
from tui.app import ShedApp

DAY = date(2026, 6, 23)
FARM = {
    "2026-05-20": (
        "farm zone UTC",
        "last frost 14 may",
        *(f"bed b{n} 50ft" for n in (1, 2, 3)),
        "plant strawflower b3 25ft",
        "plant zinnia b2 25ft",
        *("sow 72 cosmos", "sow 72 zinnia", "sow 72 statice"),
    ),
    "2026-06-02": ("up 60 S01", "up 60 S02", "up 60 S03"),
    "2026-06-01": ("48 strawflower b3 dry", "hang 48 L001 line 1"),
    "2026-06-22": ("30 zinnia b2 fresh", "sold 5 L002 to corner florist", "step S01 S02 S03"),
    "2026-06-23": ("20 strawflower b3 dry", "low 62 tonight 60"),
}
NAMES = {" ": "space", "\n": "enter", "\t": "tab"}


class Job(NamedTuple):
    """One job: what is pressed before it, the keys it takes at the most, its keys, and what is said then."""

    name: str
    most: int
    keys: str
    says: str
    before: str = ""

    @property
    def pressed(self) -> list[str]:
        """Its keys as the toolkit names them."""
        return [NAMES.get(key, key) for key in self.keys]


JOBS = (
    Job("cut, a new one", 16, "w40 str b3 dry\n", "cut 40 strawflower from bed b3 for dry: L004"),
    Job("cut, the same again", 3, "45\n", "cut 45 strawflower from bed b3 for dry: L005", "w40 str b3 dry\n"),
    Job("step all ready trays", 3, "2r\n", "S01: hardening step 2 done; S02: hardening step 2 done; S03:"),
    Job("the same from Today", 2, "r\n", "S01: hardening step 2 done; S02: hardening step 2 done; S03:"),
    Job("hang what was cut", 5, "5h1\n", "hung"),
    Job("snap test", 2, "6t", "snap test of L001 on line 1: snaps"),
    Job("box what snapped", 3, "6x\n", "boxed 4 of L001, 10 in each", "6t"),
    Job("sell", 4, "5s5\n", "sold 5 stems of"),
    Job("sell to a known buyer", 8, "5s5 t\t\n", "to corner florist"),
)


async def said(job: Job, folder: Path) -> str:
    """What the screen says when the keys of a job were pressed on a farm made in `folder`."""
    session = farm_in(folder, FARM)
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for keys in (job._replace(keys=job.before).pressed, job.pressed):
            if keys:
                await pilot.press(*keys)
                await pilot.pause()
        return app.status.text


def main() -> None:
    """Print the keys of every job beside the most it may take."""
    for job in JOBS:
        with TemporaryDirectory() as place:
            told = asyncio.run(said(job, Path(place) / "farm"))
        done = "" if job.says in told and told.startswith("written") else f"   NOT DONE: {told}"
        print(f"{job.name:24} {len(job.pressed):3} keys, {job.most} at the most{done}")
