"""Runs every bench, or the one named: python -m tests.bench [NAME]"""

from __future__ import annotations

import sys

from tests import keys
from tests.bench import (
    finding,
    house,
    late,
    learning,
    library,
    meaning,
    meeting,
    mornings,
    odds,
    odds_plans,
    promises,
    screen,
    start,
    storage,
)

BENCHES = {
    "storage": storage.main,
    "start": start.main,
    "late": late.main,
    "learning": learning.main,
    "find": finding.main,
    "house": house.main,
    "library": library.main,
    "mornings": mornings.main,
    "meaning": meaning.main,
    "meet": meeting.main,
    "odds": odds.main,
    "keys": keys.main,
    "plans": odds_plans.main,
    "promises": promises.main,
    "screen": screen.main,
}

for name in sys.argv[1:2] or BENCHES:
    if name not in BENCHES:
        sys.exit(f"There is no bench {name}: {', '.join(BENCHES)}.")
    sys.argv[1:] = sys.argv[2:]
    BENCHES[name]()
