"""A fault of ours in one subject is one line in its place, and she goes on with all the others."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

import pytest

from core.asks import Sight
from core.book.book import Book
from core.book.entry import Draft
from core.error_log import NAME as LOG
from core.error_log import path as log_path
from core.problems import Problem
from core.session import Session
from core.subject import kind_of, subjects
from core.today import morning
from tests.farm.busy_farm import busy
from tests.farm.every_kind import DAY
from tests.farms import page_lines, write
from tests.shell import Shell
from tui.subjects.plans.command import preview_in

pytestmark = pytest.mark.usefixtures("own_state")


def _log() -> Path:
    found = log_path()
    assert found is not None
    return found


PARTS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "core.beds.asks.bed_rows": ("Beds", ("planting", "to cut")),
    "core.trays.asks.tray_rows": ("Trays", ("tray",)),
    "core.plans.asks.plan_rows": ("Plan", ("plan",)),
    "core.drying.asks.shelf_rows": ("Shelf", ("hanging",)),
    "core.fresh.asks.fresh_rows": ("Bucket", ("fresh",)),
    "core.boxes.asks.box_rows": ("Boxes", ("box",)),
    "core.matters.crowded": ("To settle", ()),
    "core.shed.asks.shed": ("Cautions (The shed)", ()),
    "core.weather.night_alerts.tonight": ("Cautions (Weather)", ()),
    "core.weather.asks.frosts": ("The frost dates", ()),
    "core.weather.asks.clock_of_sunrise": ("Sunrise", ()),
    "core.cutting.asks.caution": ("What wants care", ()),
    "core.fresh.asks.left_text": ("Bucket", ("fresh",)),
    "core.promising.asks.shortages": ("What will be short", ("promised",)),
    "core.orders.asks.order_rows": ("Orders", ("order",)),
    "core.tubers.asks.forcing_rows": ("Forcing", ("tuber",)),
}
"""What is broken -> the part of the page that tells it, and the sorts of things that are not spoken of then."""


def _broken(*_args: object, **_named: object) -> NoReturn:
    raise ZeroDivisionError("the roof\x1b[2J fell in")


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("guarded") / "farm"
    book = Book.create(folder, device="shed")
    book.append([Draft(e.kind, e.on, e.fields) for e in busy().entries], by="ml")
    return folder


@pytest.fixture
def session(season: Path, tmp_path: Path) -> Session:
    folder = Path(shutil.copytree(season, tmp_path / "farm"))
    return Session.open(folder, by="ml", on=DAY)


def _lines(session: Session) -> list[str]:
    return [line.text for line in page_lines(session)]


def _sorts(session: Session) -> set[str]:
    """The sorts of things that the page speaks of."""
    return {line.about[0] for line in page_lines(session) if line.about}


def _listed() -> set[str]:
    """The sorts of things that there are, by the manifests of the subjects."""
    return {sort for subject in subjects() for sort in subject.rows}


def _told(lines: list[str], part: str) -> int:
    return " ".join(line.strip() for line in lines).count(f"! {part} could not be reckoned: see {LOG}.")


@pytest.mark.usefixtures("guarded")
@pytest.mark.parametrize("at", PARTS)
def test_a_part_that_fails_is_one_line_in_its_place_and_the_page_goes_on(
    session: Session, at: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    part, missing = PARTS[at]
    asked = _sorts(session)
    assert set(missing) <= asked <= _listed(), _lines(session)
    monkeypatch.setattr(at, _broken)
    lines = _lines(session)
    assert _told(lines, part) == 1
    assert _sorts(session) == asked - set(missing)
    assert all(line.isprintable() and len(line) <= 78 for line in lines)
    log = _log().read_text()
    assert log.count("Traceback") == sum("could not be reckoned" in line for line in lines)
    assert "ZeroDivisionError: the roof[2J fell in" in log and "in _broken" in log
    _lines(session)
    assert _log().read_text() == log, "kept once, however often the page is looked at"
    assert _log().stat().st_mode & 0o777 == 0o600


@pytest.mark.usefixtures("guarded")
def test_with_every_part_broken_she_can_still_write_undo_strike_and_check(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    for at in (*PARTS, "core.beds.crowded.crowded", "core.audit.balance", "core.matters.crowded"):
        monkeypatch.setattr(at, _broken)
    lines = _lines(session)
    assert lines[0].startswith("Mon 20 Jul") and _sorts(session) == set()
    not_come_to = {"core.fresh.asks.left_text", "core.cutting.asks.caution"}
    """With no rows of the bucket and the beds there is nothing to word."""
    assert {at for at, (part, _) in PARTS.items() if not _told(lines, part)} <= not_come_to
    written = write(session, "30 P02 fresh")
    write(session, "undo")
    write(session, "note slugs again")
    restored = session.strike(session.recent(1)[0].id)
    assert not isinstance(restored, Problem) and restored.says == ("taken back: note: slugs again",)
    assert written.lot is not None
    found = [problem.sentence for problem in session.check()]
    assert f"Whether every stem adds up could not be reckoned: see {LOG}." in found
    session.close()
    assert Session.open(session.folder, by="ml", on=DAY).farm.count == session.farm.count


CHECKED: Mapping[str, str] = {
    "core.book.audit._entry_problems": "The files of the book",
    "core.book.audit._mode_problems": "The files of the book",
    "core.audit._misshapen": "The shape of the entries",
    "core.audit.balance": "Whether every stem adds up",
    "core.audit.matters": "What is to settle",
}
"""What is broken -> the part of the check that tells it."""


@pytest.mark.usefixtures("guarded")
@pytest.mark.parametrize("step", [20_000, 7], ids=["at once", "a few entries at a time"])
@pytest.mark.parametrize("at", CHECKED)
def test_a_part_of_the_check_that_fails_is_told_once_and_all_others_are_looked_at(
    session: Session, at: str, step: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(session, "30 P02 fresh")
    lot = session.recent(1)[0].fields["lot"]
    session._book.append(
        [Draft("sold", DAY.isoformat(), {"lot": lot, "source": "bucket", "stems": 99})], by="ml"
    )
    session.refresh()
    monkeypatch.setattr("core.audit.STEP", step)
    sound = session.check()
    assert any(lot in problem.sentence for problem in sound)
    monkeypatch.setattr(at, _broken)
    found = session.check()
    assert [p.sentence for p in found if p.code == "fault"] == [
        f"{CHECKED[at]} could not be reckoned: see {LOG}."
    ]
    if CHECKED[at] != "What is to settle":
        assert {p.sentence for p in found if p.code != "fault"} == {
            p.sentence for p in sound if p.code != "damaged" or CHECKED[at] != "The files of the book"
        }


@pytest.mark.usefixtures("guarded")
def test_a_line_a_preview_and_a_completion_that_fail_say_so_and_write_nothing(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    count = session.farm.count
    for at in (
        "core.language.read.read_line",
        "core.plans.typed_wish.preview",
        "core.language.complete.understand",
    ):
        monkeypatch.setattr(at, _broken)
    said = session.write("30 P02 fresh")
    assert isinstance(said, Problem)
    assert said.sentence == f"Nothing is written: the line could not be reckoned: see {LOG}."
    seen = preview_in(session, "plan 20 zinnia fresh by 2027-09-01")
    assert isinstance(seen, Problem) and LOG in seen.sentence
    assert LOG in session.complete("30 zin").says
    assert session.farm.count == count


@pytest.mark.usefixtures("guarded")
def test_an_entry_that_cannot_be_taken_in_is_a_matter_and_the_book_opens(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def out_of_reach(*_args: object) -> NoReturn:
        raise IndexError("list index out of range")

    asked = _sorts(session)
    entry = write(session, "low 41").entries[0]
    known = kind_of("low", {})
    assert known is not None
    monkeypatch.setattr(
        "core.fold.kind_of",
        lambda name, fields: known._replace(apply=out_of_reach) if name == "low" else kind_of(name, fields),
    )
    shutil.rmtree(session.folder / "fold", ignore_errors=True)
    again = Session.open(session.folder, by="ml", on=DAY)
    assert entry.id in [matter.entry for matter in again.farm.matters]
    assert again.farm.lots.get("L001") is not None
    assert _sorts(again) == asked


@pytest.mark.parametrize("ends", [KeyboardInterrupt, SystemExit])
@pytest.mark.usefixtures("guarded")
def test_what_she_stops_is_stopped(
    session: Session, ends: type[BaseException], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_args: object) -> NoReturn:
        raise ends

    monkeypatch.setattr("core.boxes.asks.box_rows", stopped)
    with pytest.raises(ends):
        page_lines(session)


def test_in_the_tests_a_fault_is_raised_and_cannot_hide(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.boxes.asks.box_rows", _broken)
    with pytest.raises(ZeroDivisionError):
        page_lines(session)
    with pytest.raises(ZeroDivisionError):
        morning(Sight(session.farm, DAY))


@pytest.mark.usefixtures("guarded")
def test_where_no_disk_takes_the_log_the_page_is_there_all_the_same(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    _log().mkdir(parents=True)
    monkeypatch.setattr("core.boxes.asks.box_rows", _broken)
    assert any("Boxes could not be reckoned: no disk took" in line for line in _lines(session))


@pytest.mark.usefixtures("guarded")
def test_the_printed_page_tells_it_too_and_as_a_value(
    session: Session, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.trays.asks.tray_rows", _broken)
    shell = Shell(session.folder, capsys, DAY.isoformat())
    assert f"! Trays could not be reckoned: see {LOG}." in shell.text("today")
    brief: Any = shell.json("today")
    assert brief["failed"] == [["Trays", f"Trays could not be reckoned: see {LOG}."]]
    assert brief["trays"] == [] and brief["shelf"]
