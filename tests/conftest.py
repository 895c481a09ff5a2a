"""How property tests look for cases (the same ones each time, or ever new ones where that is asked for), and a folder
for what a user's own folder would get.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from core.guard import FAULTS

os.environ[FAULTS] = "raise"

settings.register_profile("same", derandomize=True)
settings.register_profile("search", derandomize=False)
settings.load_profile("same")


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
