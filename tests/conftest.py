"""How property tests look for cases (the same ones each time, or ever new ones where that is asked for), a folder
for what a user's own folder would get, and where the tests' folders lie: in memory where there is room, since a
thousand small farms are synced to the disk line by line. The program is started some hundred times, and compiled once.
"""

from __future__ import annotations

import gc
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from core.guard import FAULTS
from tests.once import reckoned_once

__all__ = ["reckoned_once"]

os.environ[FAULTS] = "raise"
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

settings.register_profile("same", derandomize=True, max_examples=10, deadline=None)
settings.register_profile("whole", derandomize=True, deadline=None)
settings.register_profile("search", derandomize=False, deadline=None)
settings.load_profile("same")

MEMORY, ENOUGH_BYTES = "/dev/shm", 2**30
if os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ENOUGH_BYTES:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", MEMORY)


COLLECT_EVERY = 50_000
"""Values made between two looks for what is not needed any more, as in the program itself: what the tests are made of
stays to their end, and looking through it again and again takes a twentieth of their time."""


def pytest_collection_finish() -> None:
    """All tests are known: what they are made of is left out of every look."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(COLLECT_EVERY)


@pytest.fixture
def guarded(monkeypatch: pytest.MonkeyPatch) -> None:
    """Faults are caught as they are on her machine; in all other tests they are raised, so that none hides."""
    monkeypatch.delenv(FAULTS)


@pytest.fixture
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A state folder of this test's own: it looks into the error log."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.fixture(scope="session", autouse=True)
def nothing_in_the_home_of_whoever_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Kept lines and troubles go into a folder of the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield
