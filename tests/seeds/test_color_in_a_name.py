"""A variety with a color in its name is of that color everywhere: in the drawer, the plans, the trays, the beds, the
stock. And what comes out of no packet is said."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.problems import Problem
from core.seeds.rows import order_rows
from core.session import Session
from tests.farms import farm_in, write


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(
        tmp_path / "farm",
        {
            "2026-03-01": (
                "farm zone UTC",
                "last frost 14 may",
                "first frost 28 sept",
                "bed b1 50ft",
                "bed b2 50ft",
                "packet snapdragon 'Harbor Peach' 250 seeds 2026",
                "packet zinnia 'Harbor Salmon' 1000 seeds 2026",
                "packet zinnia 'Keel White' 300 seeds 2026",
            )
        },
    )


def there(farm: Session) -> dict[str, int]:
    return {packet.code: packet.there for packet in farm.farm.packets.all()}


def variety(farm: Session, tray: str) -> str | None:
    found = farm.farm.trays.get(tray)
    assert found is not None
    return found.variety


def test_a_color_is_the_packet_whose_name_has_it(farm: Session) -> None:
    write(farm, "sow 128 snapdragon peach 128s")
    assert there(farm)["K001"] == 122
    assert variety(farm, "S01") == "Harbor Peach"


def test_of_two_such_packets_it_is_asked_which(farm: Session) -> None:
    write(farm, "packet snapdragon 'Mole Peach' 100 seeds 2026")
    written = write(farm, "sow 60 snapdragon peach")
    assert any(
        "from which packet?" in r and "K001 Harbor Peach or K004 Mole Peach" in r for r in written.remarks
    )
    assert variety(farm, "S01") == "peach"


def test_what_comes_out_of_no_packet_is_said(farm: Session) -> None:
    write(farm, "packet nigella 20 seeds 2026")
    write(farm, "sow 20 nigella")
    assert "taken from no packet: none of nigella is left in the drawer by the book" in (
        write(farm, "sow 60 nigella").remarks
    )
    assert "taken from no packet: of zinnia there is K002 Harbor Salmon and K003 Keel White" in (
        write(farm, "sow 72 zinnia lime").remarks
    )
    assert not write(farm, "sow 72 cosmos").remarks, "no packet of it was ever there"


def test_the_drawer_follows_a_sowing_that_is_corrected(farm: Session) -> None:
    write(farm, "sow 72 zinnia lime", "sow 50 zinnia 'Keel White'")
    assert there(farm) == {"K001": 250, "K002": 1000, "K003": 250}
    write(farm, "S01 was 'Harbor Salmon'")
    assert there(farm) == {"K001": 250, "K002": 928, "K003": 250}
    write(farm, "S02 was 'Harbor Salmon'")
    assert there(farm) == {"K001": 250, "K002": 878, "K003": 300}
    write(farm, "S02 was snapdragon peach")
    assert there(farm) == {"K001": 200, "K002": 928, "K003": 300}
    assert variety(farm, "S02") == "Harbor Peach"
    write(farm, "S02 was zinnia lime")
    assert there(farm) == {"K001": 250, "K002": 928, "K003": 300}
    assert not farm.check()


def test_plans_and_the_order_for_seed_count_it(farm: Session) -> None:
    write(farm, "plan 60 zinnia salmon fresh by 8-15", "plan 30 zinnia white fresh by 8-15")
    rows = {row.variety: row for row in order_rows(farm.farm, date(2026, 3, 1))}
    assert [(rows[c].there, rows[c].order) for c in ("salmon", "white")] == [(1000, 0), (300, 0)]
    session = Session.open(farm.folder, by="ml", on=date(2026, 4, 25))
    write(session, "sow 325 zinnia salmon", "sow 72 zinnia 'Keel White'")
    assert [[code for code, _, _ in plan.sown] for plan in session.farm.plans.values()] == [["S01"], ["S02"]]


def test_so_do_trays_beds_and_the_stock(farm: Session) -> None:
    write(farm, "sow 72 zinnia salmon", "sow 72 zinnia white")
    assert write(farm, "up 60 zinnia salmon").entries[0].fields["tray"] == "S01"
    session = Session.open(farm.folder, by="ml", on=date(2026, 7, 20))
    write(session, "plant S01 b1 20ft", "plant S02 b1 20ft")
    assert write(session, "40 zinnia salmon b1 fresh").entries[0].fields["variety"] == "Harbor Salmon"
    assert write(session, "12 salmon b1 fresh", "lost 12 wilted L002").entries
    assert session.farm.lots.get("L002").variety == "Harbor Salmon"  # type: ignore[union-attr]
    write(session, "30 zinnia white b1 fresh")
    sold = write(session, "sold 10 zinnia salmon to Ann").entries[0].fields
    assert (sold["lot"], sold["stems"]) == ("L001", 10)
    write(session, "move all zinnia white cooler")
    lots = session.farm.lots
    assert [[*map(str, lot.holdings)] for lot in lots.live()] == [["bucket"], ["cooler"]]
    answer = session.write("sold 10 zinnia lime to Ann")
    assert isinstance(answer, Problem) and "There is no lime zinnia on hand" in answer.sentence


def test_of_a_mixture_what_is_said_is_a_part(farm: Session) -> None:
    write(farm, "plant zinnia mixed b2 20ft")
    session = Session.open(farm.folder, by="ml", on=date(2026, 7, 20))
    for line, variety in (("30 zinnia b2 fresh", "mixed"), ("30 zinnia pink b2 fresh", "pink")):
        assert write(session, line).entries[0].fields["variety"] == variety
