"""The pictures in screenshots/, made from the demo farm: python -m tests.screenshots"""

from __future__ import annotations

import asyncio
import re
import tempfile
from pathlib import Path

from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tui.app import ShedApp

FOLDER = Path(__file__).parents[1] / "screenshots"
SIZE = (80, 24)
PICTURES: dict[str, tuple[str, ...]] = {
    "today": ("1",),
    "trays": ("2", "down"),
    "beds": ("3", "down", "down"),
    "cut": ("4", "w", *"strawf b4 dry"),
    "buckets": ("5", "down"),
    "shelf": ("6", "down"),
    "lot": ("6", *("down",) * 7, "enter"),
    "bench": ("7",),
    "stock": ("8",),
    "plan": ("9", "down", "down", "down"),
    "weather": ("0",),
    "help": ("1", "question_mark"),
}
"""File name -> the keys that lead to it from the start."""


async def take(folder: Path = FOLDER) -> list[Path]:
    """Take every picture; the files written."""
    made = []
    for name, keys in PICTURES.items():
        with tempfile.TemporaryDirectory() as temporary:
            farm = Path(temporary) / "farm"
            copy_to(farm)
            app = ShedApp(Session.open(farm, by="mk", on=DEMO_DAY), None, farm)
            async with app.run_test(size=SIZE) as pilot:
                await pilot.pause()
                for key in keys:
                    await pilot.press("space" if key == " " else key)
                await pilot.pause()
                path = folder / f"{name}.svg"
                path.write_text(_plain(app.export_screenshot(title="shedbook"), name), encoding="utf-8")
                made.append(path)
    return made


def _plain(svg: str, name: str) -> str:
    """The picture without fonts from elsewhere, and the same each time it is made."""
    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    svg = re.sub(r"font-family: Fira Code", "font-family: monospace", svg)
    svg = re.sub(r"<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = svg.replace("<svg ", '<svg xml:space="preserve" ', 1)
    svg = re.sub(r"terminal-\d+", f"shedbook-{name}", svg)
    return "\n".join(line.rstrip() for line in svg.splitlines()) + "\n"


if __name__ == "__main__":
    for path in asyncio.run(take()):
        print(path.name)
