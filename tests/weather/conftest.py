"""The farm of `stations` with the record of its station, brought in once and copied for each test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from core.session import Session, Written
from tests.weather.stations import TODAY, farm, station_file
from tui.subjects.weather import import_record


@pytest.fixture(scope="session")
def brought_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    here = tmp_path_factory.mktemp("station")
    session = farm(here / "farm")
    assert isinstance(import_record(session, station_file(here)), Written)
    return session.folder


@pytest.fixture
def session(brought_in: Path, tmp_path: Path) -> Session:
    return Session.open(shutil.copytree(brought_in, tmp_path / "farm"), by="ml", on=TODAY)
