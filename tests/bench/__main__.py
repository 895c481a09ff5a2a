"""Runs every bench: python -m tests.bench"""

from __future__ import annotations

from tests.bench import start, storage

storage.main()
start.main()
