"""The other machine has a newer shedbook: what it wrote is kept and told, and no stem is lost by the way it came."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.book.merge import merge
from core.matters import matters
from core.session import Session
from tests.farms import frozen, morning_of, stock_of

DAY = date(2026, 6, 23)
CUT = {"crop": "zinnia", "bed": "b1", "use": "fresh", "stems": 25}


def written(number: int, kind: str, fields: dict[str, Any]) -> bytes:
    """The line of an entry as the newer shedbook on the netbook wrote it."""
    head = {
        "id": f"019ef000-0000-7000-8000-{number:012x}",
        "on": "2026-06-22",
        "at": "2026-06-22T07:00:00.000Z",
    }
    body = json.dumps({**head, "by": "kk", "kind": kind, **fields}, separators=(",", ":")).encode()
    return b"%08x %b\n" % (crc32(body), body)


NETBOOK = b"".join(
    [
        written(1, "cut", {"lot": "L001", **CUT}),
        written(2, "cut", {"lot": "L002", **CUT, "scent": "faint"}),
        written(3, "cut", {"lot": "L003", **CUT, "scent": "none", "picker": {"name": "kk"}}),
        written(4, "grafted", {"onto": "L001", "count": 3}),
        *(written(10 + n, "grafted", {"onto": "L001", "count": n}) for n in range(20)),
        written(5, "cut", {"lot": "L004", "bunches": 3, "scent": "strong"}),
        written(6, "sold", {"lot": "L002", "source": "bucket", "stems": 5, "invoice": [7, 8]}),
    ]
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    farm = tmp_path / "farm"
    book = Book.create(farm, device="shed")
    book.append([Draft("bed", "2026-05-01", {"bed": "b1", "feet": 50, "width_in": 30})], by="ml")
    net = tmp_path / "net"
    shutil.copytree(farm, net)
    (net / "log" / "net.log").write_bytes(NETBOOK)
    (tmp_path / "carried").write_bytes(NETBOOK)
    return farm


def opened(farm: Path) -> Session:
    return Session(Book.open(farm, device="shed"), by="ml", on=DAY)


@pytest.mark.parametrize("way", ["log copied", "folder merged", "file merged", "file merged beside junk"])
def test_it_counts_the_same_whichever_way_it_came(home: Path, way: str) -> None:
    copied = home.parent / "copied"
    shutil.copytree(home, copied)
    (copied / "log" / "net.log").write_bytes(NETBOOK)
    if way == "log copied":
        (home / "log" / "house.log").write_bytes(NETBOOK)
    elif way == "folder merged":
        assert opened(home).merge(home.parent / "net").added == 26
    else:
        carried = home.parent / "carried"
        carried.write_bytes(NETBOOK + b"junk\n" * way.endswith("junk"))
        assert opened(home).merge(carried).added == 26
        assert NETBOOK in (home / "log" / "shed.merged.log").read_bytes()  # byte for byte
    assert frozen(opened(home).farm) == frozen(opened(copied).farm)
    assert opened(home).entries() == opened(copied).entries()


def test_what_is_known_of_it_counts_and_no_cut_is_lost(home: Path) -> None:
    session = opened(home)
    session.merge(home.parent / "net")
    assert {row.lot: row.stems for row in stock_of(session)} == {"L001": 25, "L002": 20, "L003": 25}


def test_one_matter_for_each_kind_whatever_the_number_of_entries(home: Path) -> None:
    session = opened(home)
    told = session.merge(home.parent / "net").to_settle
    assert [m.code for m in told] == ["newer"] * 3
    assert sorted(m.sentence.split("'")[1] for m in told) == ["cut", "grafted", "sold"]
    assert all("newer shedbook" in m.sentence and "update" in m.sentence for m in told)
    assert [m for m in matters(opened(home).farm) if m.code == "newer"] == [*told]
    assert len([p for p in session.check() if "newer shedbook" in p.sentence]) == 3
    session.close()
    assert len([m for m in morning_of(opened(home)).matters if "newer shedbook" in m]) == 3


@pytest.mark.parametrize("way", ["log copied", "file merged"])
def test_a_strike_with_a_field_more_strikes_and_is_told_once(home: Path, way: str) -> None:
    named = json.loads(NETBOOK.splitlines()[0][9:])["id"]
    more = b"".join(written(50 + n, "strike", {"entry": named, "why": "rain"}) for n in (0, 1))
    if way == "log copied":
        (home / "log" / "house.log").write_bytes(NETBOOK + more)
    else:
        (home.parent / "carried").write_bytes(NETBOOK + more)
        opened(home).merge(home.parent / "carried")
    for _ in ("folded", "from the cached fold"):
        session = opened(home)
        assert "L001" not in {row.lot for row in stock_of(session)}
        told = [m for m in matters(session.farm) if m.code == "newer"]
        assert sorted(m.sentence.split("'")[1] for m in told) == ["cut", "grafted", "sold", "strike"]
        session.close()


def test_a_line_at_the_door_still_has_only_fields_that_are_known(home: Path) -> None:
    from core.fold import check

    draft = Draft("cut", DAY.isoformat(), {"lot": "L009", **CUT, "scent": "x"})
    refused = check(opened(home).farm, draft, DAY.isoformat())
    assert refused is not None and "no field" in refused.sentence


def test_a_stranger_cannot_fill_the_page_with_kinds(home: Path) -> None:
    carried = home.parent / "carried"
    carried.write_bytes(b"".join(written(n, f"kind {n}", {}) for n in range(3000)))
    session = opened(home)
    assert session.merge(carried).added == 3000
    assert (
        len(matters(session.farm)) <= 101 and merge(Book.open(home, device="shed"), carried).already == 3000
    )
