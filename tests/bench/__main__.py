"""Runs every bench, or the one named: python -m tests.bench [storage | start | late | house | mornings | odds]"""

from __future__ import annotations

import sys

from tests.bench import house, late, mornings, odds, start, storage

BENCHES = {
    "storage": storage.main,
    "start": start.main,
    "late": late.main,
    "house": house.main,
    "mornings": mornings.main,
    "odds": odds.main,
}

for name in sys.argv[1:2] or BENCHES:
    if name not in BENCHES:
        sys.exit(f"There is no bench {name}: {', '.join(BENCHES)}.")
    sys.argv[1:] = sys.argv[2:]
    BENCHES[name]()
