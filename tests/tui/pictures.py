"""Every view of the demo farm as text, at the sizes that terminals have: python -m tests.tui.pictures makes them anew.

The text is what stands on the screen; a look other than plain is not told. A change that was meant is read as a
difference of these files, and kept by making them anew.
"""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Iterable
from pathlib import Path

from core.session import Session
from demo_farm.open import DEMO_DAY, copy_to
from tui.app import ShedApp
from tui.registry import views

FOLDER = Path(__file__).parent / "pictures"
SIZES = ((60, 20), (80, 24), (100, 30), (128, 37))
PAGES = {"help": ("1", "question_mark"), "lot": ("6", "enter"), "all views": ("1", "full_stop")}
"""Pages over a view, and the keys that lead to them."""


async def pictures(farm: Path, columns: int, rows: int) -> dict[str, str]:
    """View or page -> the screen as text."""
    found: dict[str, str] = {}
    app = ShedApp(Session.open(farm, by="mk", on=DEMO_DAY), None, farm)
    async with app.run_test(size=(columns, rows)) as pilot:
        await pilot.pause()
        for name in views():
            app.action_show(name)
            await pilot.pause()
            found[name] = shown(app)
        for name, keys in PAGES.items():
            await pilot.press(*keys)
            await pilot.pause()
            found[name] = shown(app)
            await pilot.press("escape")
    return found


def shown(app: ShedApp) -> str:
    """What stands on the screen, line by line."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


def file_of(columns: int, rows: int) -> Path:
    """Where the pictures of that size are kept."""
    return FOLDER / f"{columns}x{rows}.txt"


def as_file(found: dict[str, str]) -> str:
    """All pictures of one size, each under its name."""
    return "\n".join(f"~~~~ {name}\n{text}" for name, text in found.items())


def make(sizes: Iterable[tuple[int, int]] = SIZES) -> None:
    """Take them all."""
    with tempfile.TemporaryDirectory() as temporary:
        farm = Path(temporary) / "farm"
        copy_to(farm)
        for columns, rows in sizes:
            path = file_of(columns, rows)
            path.write_text(as_file(asyncio.run(pictures(farm, columns, rows))), encoding="utf-8")
            print(path.name)


if __name__ == "__main__":
    make()
