"""How property tests look for cases: the same ones each time, or ever new ones where that is asked for."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("search", derandomize=False)
settings.load_profile("same")
