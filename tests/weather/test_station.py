"""A station's record comes into the book, stays readable and sound, and says so when it is not."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.field_words import CODE_LONGEST
from core.happened import Station
from core.problems import Problem
from core.reckon.climate.record import Record, record_of
from core.reckon.climate.stations import read_station
from core.session import Session, Written
from core.weather.station_file import draft_of, keep, load, safe_name
from tests.climate.made import DATA
from tests.weather.stations import TODAY, farm, station, station_file
from tui.subjects.weather import import_record, weather_of

CLEMSON = DATA / "USC00381770_1981-2010.csv"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return farm(tmp_path / "farm")


def imported(session: Session, file: Path) -> Written:
    written = import_record(session, file)
    assert isinstance(written, Written), written
    return written


def test_a_file_brought_in_is_copied_into_the_farm_and_told_to_the_book(session: Session) -> None:
    written = imported(session, CLEMSON)
    assert written.says == ("weather of USC00381770, 10913 days from 1 Jan 1981 to 31 Dec 2010",)
    copy = session.folder / "weather" / "USC00381770.csv"
    assert copy.stat().st_mode & 0o777 == 0o600
    assert copy.parent.stat().st_mode & 0o777 == 0o700
    assert session.farm.station.days == 10913
    assert session.check() == []


def test_the_copy_holds_every_reading_and_any_program_can_read_it(session: Session) -> None:
    imported(session, CLEMSON)
    theirs = read_station(CLEMSON, today=TODAY)
    kept = load(session.folder, session.farm.station)
    plain = read_station(session.folder / "weather" / "USC00381770.csv", today=TODAY)
    for record in (theirs, kept, plain):
        assert isinstance(record, Record), record
    assert kept.lows == theirs.lows == plain.lows  # type: ignore[union-attr]
    assert kept.highs == theirs.highs == plain.highs  # type: ignore[union-attr]
    assert kept.whole_f  # type: ignore[union-attr]


def test_bringing_it_in_again_replaces_the_copy(session: Session, tmp_path: Path) -> None:
    imported(session, station_file(tmp_path, station(date(2025, 12, 31))))
    before = weather_of(session)
    imported(session, station_file(tmp_path))
    after = weather_of(session)
    assert [path.name for path in (session.folder / "weather").iterdir()] == ["EASTON.csv"]
    assert (before.last_day, after.last_day) == (date(2025, 12, 31), TODAY)


def test_a_file_that_is_wrong_changes_nothing(session: Session, tmp_path: Path) -> None:
    imported(session, station_file(tmp_path))
    entries = len(session.entries())
    wrong = tmp_path / "wrong.csv"
    wrong.write_text("date,min_f,max_f\n2026-05-01,61,34\n")
    refused = import_record(session, wrong)
    assert isinstance(refused, Problem) and "line 2" in refused.sentence
    assert isinstance(import_record(session, tmp_path / "none.csv"), Problem)
    assert len(session.entries()) == entries
    assert weather_of(session).station == "EASTON"


def test_a_damaged_copy_is_found_by_its_checksum(session: Session, tmp_path: Path) -> None:
    imported(session, station_file(tmp_path))
    copy = session.folder / "weather" / "EASTON.csv"
    copy.write_bytes(copy.read_bytes().replace(b",20.", b",21.", 1))
    again = Session.open(session.folder, by="ml", on=TODAY)
    problem = weather_of(again).problem
    assert problem is not None and "damaged" in problem.sentence and "import" in problem.sentence
    assert [p.code for p in again.check()] == ["damaged"]


def test_on_the_other_machine_the_book_says_what_is_missing(session: Session, tmp_path: Path) -> None:
    imported(session, station_file(tmp_path))
    away = tmp_path / "away"
    shutil.copytree(session.folder, away)
    shutil.rmtree(away / "weather")
    netbook = Session.open(away, by="jt", on=TODAY)
    problem = weather_of(netbook).problem
    assert problem is not None and "not on this machine" in problem.sentence
    assert netbook.check() == []  # no damage
    imported(netbook, station_file(tmp_path))
    assert weather_of(netbook).odds is not None


def test_taking_the_import_back_leaves_the_farm_without_a_station(session: Session, tmp_path: Path) -> None:
    imported(session, station_file(tmp_path))
    assert isinstance(session.undo(), Written)
    problem = weather_of(session).problem
    assert problem is not None and "weather import" in problem.sentence


@given(st.text(max_size=80))
def test_any_name_of_a_station_makes_a_harmless_file_name(name: str) -> None:
    file = safe_name(name)
    assert file.endswith(".csv") and 4 < len(file) <= CODE_LONGEST
    assert file.isascii() and file.removesuffix(".csv").replace("-", "").isalnum()


@given(
    st.dictionaries(st.integers(700_000, 700_400), st.integers(-300, 300), min_size=1),
    st.dictionaries(st.integers(700_000, 700_400), st.integers(301, 500)),
)
def test_every_reading_survives_the_copy(
    tmp_path_factory: pytest.TempPathFactory, lows: dict[int, int], highs: dict[int, int]
) -> None:
    folder = tmp_path_factory.mktemp("copy")
    record = record_of(lows, highs, station="A", latitude=-34.5)
    told = Station(**draft_of(record, keep(folder, record), TODAY).fields)
    again = load(folder, told)
    assert isinstance(again, Record)
    assert (again.start, again.lows, again.highs, again.latitude) == (
        record.start,
        record.lows,
        record.highs,
        -34.5,
    )
