"""How property tests look for cases: the same ones each time, or ever new ones where that is asked for."""

from __future__ import annotations

import os

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
