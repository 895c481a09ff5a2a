"""A file she names may be anything: a pipe, a device and a giant are refused at once, each in one sentence."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.reckon.climate.night_low import read_nights
from core.reckon.climate.stations import read_station

READERS: tuple[Callable[[Path], object], ...] = (
    read_nights,
    lambda p: read_station(p, today=date(2026, 6, 1)),
)


@pytest.fixture(autouse=True)
def waits_for_nothing() -> Iterator[None]:
    """A reader that waits for a pipe's other end is stopped, which fails its test."""
    signal.alarm(10)
    yield
    signal.alarm(0)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("sort", ["pipe", "device", "link to a device", "folder", "giant"])
def test_what_is_no_file_of_weather_is_refused(
    tmp_path: Path, read: Callable[[Path], object], sort: str
) -> None:
    path = tmp_path / "file.csv"
    if sort == "pipe":
        os.mkfifo(path)
    elif sort == "device":
        path = Path("/dev/zero")
    elif sort == "link to a device":
        path.symlink_to("/dev/zero")
    elif sort == "folder":
        path.mkdir()
    else:
        path.touch()
        os.truncate(path, 8 << 30)
    found = read(path)
    assert isinstance(found, Problem) and (
        "no plain file" in found.sentence or "larger than" in found.sentence
    )


@pytest.mark.parametrize("read", READERS)
def test_a_link_to_a_file_of_hers_is_followed(tmp_path: Path, read: Callable[[Path], object]) -> None:
    (tmp_path / "kept").write_text("one,two\n1,2\n")
    (tmp_path / "link").symlink_to("kept")
    found = read(tmp_path / "link")
    assert isinstance(found, Problem) and "first line" in found.sentence
