"""Runs every bench: `python -m tests.bench`."""

from __future__ import annotations

from tests.bench import storage

storage.main()
