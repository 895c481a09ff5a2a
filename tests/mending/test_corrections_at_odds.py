"""Corrections where things are at odds: clocks apart, matters open, a whole line of them, a cut with many followers."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest

from core import folded
from core.book import ids
from core.book.book import Book
from core.book.entry import Draft
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, stock_of, write

DAY = date(2026, 6, 23)
BED = ("farm zone UTC", "bed b3 50ft", "bed b4 50ft")


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", {DAY.isoformat(): (*BED, "40 strawflower b3 fresh")})


def _netbook(farm: Session, tmp_path: Path, ahead: timedelta) -> Session:
    """A copy of the farm on a machine whose clock is ahead."""
    away = Path(shutil.copytree(farm.folder, tmp_path / "netbook"))
    ms = int(ahead.total_seconds() * 1000)
    return Session(Book.open(away, device="netbook", clock=lambda: ids.now_ms() + ms), by="jo", on=DAY)


def _stems(farm: Session) -> int:
    return sum(row.stems for row in stock_of(farm))


@pytest.mark.parametrize("minutes", [10, 600])
def test_what_she_corrects_after_seeing_it_holds_however_fast_the_other_clock_goes(
    farm: Session, tmp_path: Path, minutes: int
) -> None:
    netbook = _netbook(farm, tmp_path, timedelta(minutes=minutes))
    write(netbook, "L001 was 30")
    farm.merge(netbook.folder)
    assert _stems(farm) == 30
    write(farm, "L001 was 20")
    assert _stems(farm) == 20
    write(farm, "L001 was 50")
    write(farm, "sold 45 L001")
    netbook.merge(farm.folder)
    assert _stems(farm) == _stems(netbook) == 5
    assert farm.check() == netbook.check() == []


def test_a_correction_by_a_fast_clock_is_followed_though_much_was_written_since(
    farm: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 9)
    monkeypatch.setattr(folded, "TAIL_KEPT", 4)
    netbook = _netbook(farm, tmp_path, timedelta(minutes=10))
    write(netbook, "L001 was 30")
    farm.merge(netbook.folder)
    for n in range(30):
        farm = Session.open(farm.folder, by="ml", on=DAY + timedelta(days=1))
        write(farm, f"note {n}")
        farm.close()
    farm = Session.open(farm.folder, by="ml", on=DAY + timedelta(days=1))
    write(farm, "L001 was 20")
    assert _stems(farm) == 20


def test_what_was_cut_on_a_machine_that_is_ahead_can_be_sold_here(farm: Session, tmp_path: Path) -> None:
    netbook = _netbook(farm, tmp_path, timedelta(hours=3))
    lot = write(netbook, "12 strawflower b3 fresh").lot
    farm.merge(netbook.folder)
    write(farm, f"sold 5 {lot}")
    assert farm.check() == [] and not farm.farm.matters
    assert _stems(farm) == 47


def test_a_correction_from_a_clock_days_ahead_is_not_overwritten_in_silence(
    farm: Session, tmp_path: Path
) -> None:
    netbook = _netbook(farm, tmp_path, timedelta(days=9))
    write(netbook, "L001 was 30")
    farm.merge(netbook.folder)
    refused = farm.write("L001 was 20")
    assert isinstance(refused, Problem) and "Take that one back first" in refused.sentence
    correction = next(e for e in farm.entries() if e.kind == "correct")
    write(farm, f"cancel {correction.id[-8:]}", "L001 was 20")
    assert _stems(farm) == 20


@pytest.fixture
def oversold(farm: Session, tmp_path: Path) -> Session:
    """Two machines each sold 30 of the 40."""
    netbook = _netbook(farm, tmp_path, timedelta())
    write(netbook, "sold 30 L001 to florist")
    write(farm, "sold 30 L001 to market")
    farm.merge(netbook.folder)
    assert farm.farm.matters
    return farm


def test_a_line_that_lessened_what_is_to_settle_is_taken_back_as_any_other(oversold: Session) -> None:
    before = [(m.key, m.amount) for m in oversold.farm.matters]
    for line in ("L001 was 50", "count 0 L001"):
        write(oversold, line)
        write(oversold, "undo")
        assert [(m.key, m.amount) for m in oversold.farm.matters] == before, line


def test_a_slip_upward_is_corrected_downward_again_while_the_matter_is_open(oversold: Session) -> None:
    write(oversold, "L001 was 50", "L001 was 45")
    assert [m.amount for m in oversold.farm.matters] == [15]


def test_what_one_line_corrected_is_taken_back_and_restored_together(tmp_path: Path) -> None:
    farm = farm_in(
        tmp_path / "farm",
        {
            DAY.isoformat(): (
                *BED,
                "sow 72 strawflower on 2026-03-01",
                "up 72 S01 on 2026-03-20",
                "set out S01 b3 20ft on 2026-05-20",
                "30 strawflower b3 dry",
                "S01 was zinnia",
            )
        },
    )

    def crops() -> set[str | None]:
        made = farm.farm
        return {made.trays.get("S01").crop, made.plantings.get("P01").crop, made.lots.get("L001").crop}  # type: ignore[union-attr]

    assert crops() == {"zinnia"}
    written = write(farm, f"cancel {next(e for e in farm.entries() if e.kind == 'correct').id[-12:]}")
    assert len(written.entries) == 3 and crops() == {"strawflower"}
    write(farm, f"cancel {written.entries[0].id[-12:]}")
    assert crops() == {"zinnia"}


def test_the_book_of_one_machine_is_sound_whatever_was_taken_back_before(tmp_path: Path) -> None:
    """What is struck uses its code up: in which order codes came into the farm is no damage."""
    farm = farm_in(tmp_path / "farm", {DAY.isoformat(): (*BED, "40 strawflower b3 dry", "undo")})
    away = Path(shutil.copytree(farm.folder, tmp_path / "netbook"))
    netbook = Session(Book.open(away, device="netbook"), by="jo", on=DAY)
    write(netbook, "sow 72 strawflower")
    assert netbook.check() == []


def test_a_correction_with_many_followers_reads_the_book_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A perennial of years: each cut of it is corrected with the bed. Counted in readings, not in seconds."""
    farm = farm_in(tmp_path / "farm", {"2020-04-01": (*BED, "plant peony b3 10ft")})
    planting = farm.farm.plantings.all()[0]
    cuts = [
        Draft(
            "cut",
            "2020-06-01",
            {"lot": f"L{n:03d}", "crop": "peony", "bed": "b3", "use": "fresh", "stems": 20, "planting": "P01"}
            | {"ref": planting.made_by},
        )
        for n in range(1, 201)
    ]
    farm.close()
    with_cuts = Book.open(farm.folder)
    with_cuts.append(cuts, by="ml")
    farm = Session.open(farm.folder, by="ml", on=date(2020, 12, 1))
    read: list[str] = []
    for name in ("entries", "entries_between", "find"):
        plain = getattr(Book, name)

        def counted(self: Book, *args: object, plain: object = plain, name: str = name) -> object:
            read.append(name)
            return plain(self, *args)  # type: ignore[operator]

        monkeypatch.setattr(Book, name, counted)
    write(farm, "P01 was b4")
    assert {lot.bed for lot in farm.farm.lots.all()} == {"b4"}
    assert len(read) < 20, read


# a plan, of which all is reckoned from the wish

SEASON = ("last frost 14 may", "first frost 28 sept", "bed b1 90ft", "bed b2 90ft")


def _reckoned(farm: Session, code: str = "N01") -> tuple[int, str, int | None, int | None, str | None]:
    plan = farm.farm.plans[code]
    return plan.stems, plan.by, plan.seeds, plan.plants, plan.sow_on


def _two_machines(tmp_path: Path, *lines: str) -> tuple[Session, Session]:
    shed = farm_in(tmp_path / "shed", {"2026-03-01": ("farm zone UTC", *SEASON, *lines)})
    shed = Session.open(shed.folder, by="ml", on=date(2026, 3, 1))
    folder = shutil.copytree(shed.folder, tmp_path / "net")
    return shed, Session(Book.open(folder, device="net"), by="jo", on=date(2026, 3, 1))


@pytest.mark.parametrize(
    ("planned", "here", "there", "both"),
    [
        ("plan 120 strawflower dry by 09-19 b1", "N01 was 400", "N01 was by 9-1", "N01 was 400"),
        (
            "plan 60 zinnia fresh a week from 08-01 for 4 weeks",
            "N01 was 900",
            "N01 was by 8-12",
            "N01 was 900",
        ),
    ],
)
def test_a_plan_corrected_on_two_machines_is_told_until_it_is_reckoned_for_what_both_said(
    tmp_path: Path, planned: str, here: str, there: str, both: str
) -> None:
    shed, net = _two_machines(tmp_path, planned)
    write(shed, here)
    write(net, there)
    shed.merge(net.folder)
    net.merge(shed.folder)
    for machine in (shed, net):
        (told,) = [m.sentence for m in machine.check() if m.code == "settle"]
        assert told.startswith("N01 was corrected on two machines apart") and f"such as: {both}." in told
    write(shed, both)
    net.merge(shed.folder)
    assert shed.check() == net.check() == [] and _reckoned(shed) == _reckoned(net)
    again, _ = _two_machines(tmp_path / "alone", planned, here, there)
    assert _reckoned(shed) == _reckoned(again)


def test_corrections_of_a_plan_of_which_the_second_knows_the_first_are_nothing_to_settle(
    tmp_path: Path,
) -> None:
    shed, net = _two_machines(tmp_path, "plan 120 strawflower dry by 09-19 b1")
    write(shed, "N01 was 400")
    net.merge(shed.folder)
    write(net, "N01 was by 9-1", "N01 was b2")
    shed.merge(net.folder)
    assert shed.check() == [] and _reckoned(shed) == _reckoned(net)


def test_a_correction_is_of_the_stems_the_plan_says_whatever_stands_beside_it(tmp_path: Path) -> None:
    """Of a weekly wish and of any other: what stands is never taken off the number that she says."""
    shed, _ = _two_machines(tmp_path, "plan 30 zinnia fresh a week from 07-10 for 9 weeks")
    later = Session.open(shed.folder, by="ml", on=date(2026, 5, 16))
    write(later, *(f"plant zinnia b{n} 20ft 60 on 2026-05-14" for n in (1, 2)))
    code = next(code for code, plan in later.farm.plans.items() if not plan.out)
    write(later, f"{code} was 540")
    assert later.farm.plans[code].stems == 540
    write(later, "plant strawflower b1 20ft 60 on 2026-05-14", "plan 900 strawflower dry by 10-10")
    kept = next(reversed(later.farm.plans))
    stems = later.farm.plans[kept].stems
    write(later, f"{kept} was by 10-11")
    assert later.farm.plans[kept].stems == stems
