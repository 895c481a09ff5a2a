"""What really loads, in fresh interpreters: the promises about imports that a list of imports cannot prove."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import core

SCREEN = ("textual", "rich")
HEAVY = (*SCREEN, "pendulum", "tinydb", "hypothesis", "asyncio")


def _loaded(code: str, *args: str) -> set[str]:
    """Top-level modules loaded after running `code` in a new interpreter."""
    tail = "\nimport sys; print('LOADED', *sorted({m.partition('.')[0] for m in sys.modules}))"
    done = subprocess.run(
        [sys.executable, "-c", code + tail, *args], capture_output=True, text=True, check=True
    )
    return set(done.stdout.rsplit("LOADED", 1)[1].split())


def test_no_module_of_core_loads_a_screen() -> None:
    names = [m.name for m in pkgutil.walk_packages(core.__path__, "core.")]
    assert len(names) > 30
    loaded = _loaded("\n".join(f"import {name}" for name in names))
    assert not loaded & {*SCREEN, "tui"}


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from tui.cli import main

    folder = tmp_path_factory.mktemp("imports") / "farm"
    assert main(["new", str(folder)]) == 0
    assert main(["--farm", str(folder), "write", "farm", "zone", "UTC"]) == 0
    assert main(["--farm", str(folder), "write", "bed", "b1", "50ft"]) == 0
    return folder


@pytest.mark.parametrize("verb", ["today", "beds", "stock", "entries"])
def test_printing_loads_no_screen_and_nothing_heavy(farm: Path, verb: str) -> None:
    code = f"from tui.cli import main; assert main(['--farm', {str(farm)!r}, {verb!r}]) == 0"
    assert not _loaded(code) & set(HEAVY)


def test_writing_a_line_loads_no_screen(farm: Path) -> None:
    code = f"from tui.cli import main; assert main(['--farm', {str(farm)!r}, 'write', 'low', '41']) == 0"
    assert not _loaded(code) & set(HEAVY)
