"""The demo farm, on its day, with orders written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from core.session import Session
from demo_farm.open import copy_to
from demo_farm.plan import DEMO_DAY
from tests.farms import write


@contextmanager
def demo_with(*orders: str) -> Iterator[Session]:
    """A session on a copy of its own, closed and gone afterwards."""
    with TemporaryDirectory() as scratch:
        copy_to(folder := Path(scratch) / "farm")
        session = Session.open(folder, by="ml", on=DEMO_DAY)
        write(session, *orders)
        try:
            yield session
        finally:
            session.close()
