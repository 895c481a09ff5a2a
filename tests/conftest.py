"""How property tests look for cases: the same ones each time, or ever new ones where that is asked for. Where the
tests' folders lie: in memory where there is room, since a thousand small farms are synced to the disk line by line.
"""

from __future__ import annotations

import os
import shutil

from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("search", derandomize=False)
settings.load_profile("same")

MEMORY, ENOUGH_BYTES = "/dev/shm", 2**30
if os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ENOUGH_BYTES:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", MEMORY)
