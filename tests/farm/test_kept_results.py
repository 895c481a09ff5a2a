"""Long reckonings are kept from one start to the next, and never used for anything else than what they are of."""

from __future__ import annotations

from pathlib import Path

import pytest

from core import results
from core.drying.rows import shelf_rows
from core.problems import Problem
from core.reckon.drying import fit as fitting
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit
from core.session import Session, Written
from tests.farms import TODAY

LINES = (
    "40 strawflower b3 dry 14 jun",
    "hang L001 line 1 14 jun",
    *(
        f"weigh L001 {grams}g at 7:00 {day} jun"
        for day, grams in zip(range(14, 22), (412, 290, 214, 166, 137, 118, 107, 101), strict=False)
    ),
)
ONE = (
    Weighing(0.0, 100.0),
    Weighing(24.0, 64.0),
    Weighing(48.0, 46.0),
    Weighing(72.0, 37.0),
    Weighing(96.0, 32.5),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    session = Session.create(tmp_path / "farm", by="jm", on=TODAY)
    for line in ("bed b3 50ft", *LINES):
        assert isinstance(session.write(line), Written)
    session.close()
    return session.folder


@pytest.fixture
def fitted(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The number of weighings of each curve that was fitted anew."""
    counted: list[int] = []
    fit_anew = fitting._fitted

    def count(weighings: tuple[Weighing, ...], *others: object) -> DryingFit | Problem:
        counted.append(len(weighings))
        return fit_anew(weighings, *others)  # type: ignore[arg-type]

    monkeypatch.setattr(fitting, "_fitted", count)
    return counted


def _shelf(folder: Path) -> list[object]:
    session = Session.open(folder, by="jm", on=TODAY)
    rows = shelf_rows(session.farm, TODAY)
    session.close()
    return [*rows]


def test_what_was_reckoned_is_read_at_the_next_start_and_the_same(folder: Path, fitted: list[int]) -> None:
    first = _shelf(folder)
    assert fitted
    fitted.clear()
    assert _shelf(folder) == first
    assert fitted == []


def test_one_more_weighing_is_reckoned_anew(folder: Path, fitted: list[int]) -> None:
    before = _shelf(folder)
    session = Session.open(folder, by="jm", on=TODAY)
    assert session.write("weigh L001 98g at 7:00 22 jun")
    session.close()
    fitted.clear()
    assert _shelf(folder) != before
    assert set(fitted) == {9}


@pytest.mark.parametrize(
    "harm",
    [b"", b"\0" * 90, b"[1,2", b'00000000 00000000\n{"a":3}'],
    ids=["empty", "zeros", "cut off", "of other code"],
)
def test_a_file_that_is_damaged_or_of_other_code_is_not_used(
    folder: Path, fitted: list[int], harm: bytes
) -> None:
    first = _shelf(folder)
    (folder / "fold" / "drying.kept").write_bytes(harm)
    fitted.clear()
    assert _shelf(folder) == first
    assert fitted


def test_what_other_code_reckoned_is_not_used(
    folder: Path, fitted: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    first = _shelf(folder)
    monkeypatch.setattr(results, "__version__", "another")
    fitted.clear()
    assert _shelf(folder) == first
    assert fitted


def test_another_farm_is_given_nothing_of_the_first(folder: Path, tmp_path: Path) -> None:
    _shelf(folder)
    other = Session.create(tmp_path / "other", by="jm", on=TODAY)
    other.close()
    assert not (other.folder / "fold" / "drying.kept").exists()


def test_where_nothing_can_be_written_it_is_reckoned_all_the_same(folder: Path, fitted: list[int]) -> None:
    (folder / "fold" / "drying.kept").unlink(missing_ok=True)
    (folder / "fold" / "drying.kept").mkdir()
    assert _shelf(folder) == _shelf(folder)
    assert fitted


def test_a_refusal_is_kept_as_a_fit_is() -> None:
    rises = tuple(Weighing(h, 100 + h) for h in (0.0, 24.0, 48.0, 72.0))
    for weighings in (ONE, rises):
        found = fitting.fit(weighings)
        turns = fitting._FITS._turns()
        assert turns.read(turns.write(fitting._either(found))) == fitting._either(found)
