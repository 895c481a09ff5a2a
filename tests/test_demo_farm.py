"""The demo farm: what is shipped is what the engine makes, it is sound, and its morning asks for much."""

from __future__ import annotations

import re
import stat
from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Entry
from core.crops.library import crop_names
from core.door import Door
from core.farm import BOX
from core.line.words import COLOURS, SHADES
from core.stems.stock import balance
from demo_farm import plan, troubles
from demo_farm.make import READY_MADE, make
from demo_farm.open import DEMO_DAY, copy_to

REMAKE = "the engine or the story has changed: run `python -m demo_farm.make` and commit what it makes"


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ready-made farm as `shedbook demo` copies it."""
    folder = tmp_path_factory.mktemp("shipped") / "farm"
    copy_to(folder)
    return folder


@pytest.fixture(scope="module")
def door(shipped: Path) -> Iterator[Door]:
    """The demo as the reader opens it, at dawn of its own day."""
    opened = Door(Book.open(shipped, device=plan.SHED), by=plan.GROWER, on=DEMO_DAY)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def entries(door: Door) -> list[Entry]:
    return door.entries()


def test_what_is_shipped_is_what_the_engine_makes(tmp_path: Path) -> None:
    make(tmp_path / "farm")
    made, kept = (
        {p.name: p.read_bytes() for name in ("log", "weather") for p in (folder / name).iterdir()}
        for folder in (tmp_path / "farm", READY_MADE)
    )
    assert sorted(made) == sorted(kept) == ["Hither-Mill.csv", "netbook.log", "shed.log"], REMAKE
    assert all(made[name] == kept[name] for name in made), REMAKE
    assert (tmp_path / "farm" / "farm.json").read_bytes() == (READY_MADE / "farm.json").read_bytes(), REMAKE


def test_only_the_record_and_the_weather_are_shipped_and_only_its_owner_reads_the_copy(
    tmp_path: Path,
) -> None:
    copy_to(tmp_path / "farm")
    modes = {p.relative_to(tmp_path / "farm").as_posix(): _mode(p) for p in (tmp_path / "farm").rglob("*")}
    assert modes == {
        "farm.json": 0o600,
        "log": 0o700,
        "log/netbook.log": 0o600,
        "log/shed.log": 0o600,
        "weather": 0o700,
        "weather/Hither-Mill.csv": 0o600,
    }
    assert _mode(tmp_path / "farm") == 0o700


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_farm_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    copy_to(tmp_path)
    with pytest.raises(FileExistsError):
        copy_to(tmp_path)


def test_its_ground_is_colder_than_the_station_and_its_nights_are_known(door: Door) -> None:
    page, night = door.weather(), door.tonight()
    assert page.odds is not None and page.own_odds is not None
    assert page.ground is not None and page.ground.frost_bias_f is not None
    assert -3 <= page.ground.frost_bias_f <= -1
    assert night.nights >= 10 and night.missing == 0


def test_it_is_sound(door: Door) -> None:
    assert door.check() == []
    assert door.farm.matters == []


def test_it_is_as_large_as_two_seasons_are(door: Door, entries: list[Entry]) -> None:
    farm = door.farm
    crops = {t.crop for t in farm.trays.all()} | {p.crop for p in farm.plantings.all()}
    assert len(crops) >= 25
    assert len(farm.trays.all()) >= 60
    assert len(farm.beds) >= 20
    assert len(entries) >= 1500
    assert {e.on[:4] for e in entries} >= {"2025", "2026"}
    assert max(e.on for e in entries) == DEMO_DAY.isoformat()


def test_every_stem_and_every_seed_is_accounted_for(door: Door) -> None:
    for lot in door.farm.lots.all():
        assert balance(lot).adds_up, lot.code
        assert all(held.stems > 0 for held in lot.holdings.values()), lot.code
    for tray in door.farm.trays.all():
        if tray.up is not None:
            assert tray.up == tray.alive + tray.set_out + sum(tray.lost.values()), tray.code


def test_two_people_wrote_it_at_two_machines(entries: list[Entry], shipped: Path) -> None:
    assert {e.by for e in entries} == {plan.GROWER, plan.HELPER}
    lines = (shipped / "log/netbook.log").read_bytes().splitlines()
    field = Counter(line.split(b'"kind":"')[1].split(b'"')[0] for line in lines)
    assert field[b"cut"] > 50


def test_its_morning_asks_for_something_of_everything(door: Door) -> None:
    brief = door.brief()
    assert brief.trays and brief.beds and brief.at_stage and brief.shelf and brief.fresh and brief.cautions
    assert brief.weather.startswith("low last night") and "forecast tonight" in brief.weather
    assert {row.status for row in brief.shelf} >= {"test", "overdue", "dry"}
    assert {row.status for row in brief.fresh} >= {"hang", "wire", "rescue", "old"}
    assert any("mould" in line for line in brief.cautions)
    assert not brief.first_things and not brief.matters


def test_the_day_itself_is_still_open(entries: list[Entry]) -> None:
    assert [e.kind for e in entries if e.on == DEMO_DAY.isoformat()] == ["low", "tonight"]


def test_strawflower_is_grown_both_ways_and_the_early_one_is_at_stage(door: Door) -> None:
    """Common practice: sown in late February, out late March or first days of April, cut about 20 June."""
    trays = [t for t in door.farm.trays.all() if t.crop == "strawflower"]
    early = [t for t in trays if t.way == "early"]
    assert {t.way for t in trays if t.sown < "2026"} == {None}
    assert early and all("2026-02-15" <= t.sown <= "2026-02-28" for t in early)
    out = [p for p in door.farm.plantings.all() if p.way == "early"]
    assert all("2026-03-20" <= p.out_on <= "2026-04-05" for p in out)
    assert all(p.first_cut is not None and "2026-06-13" <= p.first_cut <= "2026-06-27" for p in out)
    uses = {use for row in door.brief().at_stage if row.crop == "strawflower" for use in row.uses}
    assert uses == {"fresh", "dry", "wire"}


def test_trays_are_on_their_way(door: Door) -> None:
    rows = {(row.crop, row.state): row for row in door.trays()}
    assert any(row.state == "hardening" and 0 < row.step < row.steps for row in rows.values())
    assert any(row.state == "ready" for row in rows.values())
    assert ("zinnia", "up") in rows and ("Sweet William", "up") in rows and ("sunflower", "sown") in rows
    for crop in ("celosia, plume", "stock"):
        waiting = rows[crop, "up"].warning
        assert waiting is not None and waiting.startswith("cannot wait"), crop
    assert any(row.hold for row in rows.values())


def test_the_troubles_that_happen_are_in_it(door: Door, entries: list[Entry]) -> None:
    held = Counter(e.fields["cause"] for e in entries if e.kind == "held")
    assert held["wind"] > 5 and held["cold"] > 5 and held["no time"] >= 1
    lost = Counter(e.fields["cause"] for e in entries if e.kind == "lost")
    assert {"mould", "damping off", "leggy", "slugs", "frost", "moth", "unsold"} <= set(lost)
    assert any(e.fields.get("cull_cause") == "blown" for e in entries if e.kind == "cut")
    assert any(t.up is not None and t.up < 0.5 * t.seeds for t in door.farm.trays.all())
    assert any("miscounted" in lot.lost for lot in door.farm.lots.all())
    assert any(e.fields.get("insisted") for e in entries if e.kind == "wired")
    assert any(e.kind == "covered" and "2026-05-15" <= e.on <= "2026-05-17" for e in entries)
    strikes = [e for e in entries if e.kind == "strike"]
    assert {e.fields["entry"] for e in strikes} & {e.id for e in strikes}, "a strike that was struck"


def test_every_trouble_of_the_tables_took_place(door: Door, entries: list[Entry]) -> None:
    farm = door.farm
    seen: set[tuple[str, str, str]] = set()
    for entry in entries:
        f = entry.fields
        tray, planting = farm.trays.get(f.get("tray", "")), farm.plantings.get(f.get("planting", ""))
        of = farm.lots.get(f.get("lot", "")) or tray or planting
        if of is not None:
            seen.add((entry.on, of.crop, f.get("cull_cause") or f.get("cause") or ""))
    assert {(day, crop, "no time") for day, crop in troubles.NO_TIME} <= seen
    assert {(day, crop, cause) for (day, crop), (_, cause) in troubles.LOST_IN_TRAYS.items()} <= seen
    assert {(day, crop, cause) for day, crop, _, cause in troubles.LOST_IN_BEDS} <= seen
    assert {(day, crop, "blown") for day, crop in troubles.BLOWN} <= seen
    assert {(day, crop, "mould") for day, crop in troubles.MOULDY} <= seen
    assert {(e.on, e.fields["text"]) for e in entries if e.kind == "note"} >= set(troubles.NOTES)


def test_boxes_of_last_year_are_ageing_and_the_makings_count_down(door: Door, entries: list[Entry]) -> None:
    rows = door.stock()
    assert sum(r.place.startswith(BOX) and r.cut_on < "2026" for r in rows) >= 20
    assert {r.form for r in rows} == {"fresh", "hanging", "dry", "wired"}
    makings = door.farm.makings
    assert set(makings) == {"wire 22", "wire 24", "tape", "bands"}
    bought = Counter[str]()
    for entry in entries:
        if entry.kind == "bought":
            bought[entry.fields["making"]] += entry.fields["count"]
    assert all(0 < makings[name] < bought[name] for name in makings)


def test_fresh_sells_on_market_days(entries: list[Entry]) -> None:
    sales = [e for e in entries if e.kind == "sold" and e.fields.get("who") == "Tuesday market"]
    days = {date.fromisoformat(e.on) for e in sales}
    assert len(days) > 20 and {day.weekday() for day in days} == {1}


def test_nothing_is_written_before_its_time(entries: list[Entry]) -> None:
    """No entry is dated after it was written: west of Greenwich the farm's day never runs ahead of UTC's."""
    assert [e.id for e in entries if e.on > e.at[:10]] == []


def test_every_name_in_it_is_from_its_own_invented_list(door: Door, entries: list[Entry]) -> None:
    buyers = {*plan.MARKETS.values(), plan.FLOWER_SHOP, *plan.DRY_BUYERS}
    assert door.farm.settings["name"] == plan.FARM
    assert {e.fields["who"] for e in entries if "who" in e.fields} <= buyers
    for name in (plan.FARM, *buyers):
        assert re.fullmatch(r"[A-Za-z' ]+", name) and not re.search(
            r"\b(inc|llc|ltd|co|corp|com)\b", name.lower()
        )
    crops = set(crop_names())
    for entry in entries:
        assert entry.fields.get("crop", "flax") in crops
        for word in str(entry.fields.get("variety", "mixed")).split():
            assert word in (*COLOURS, *SHADES), f"{word} may be somebody's variety"


def test_the_autumn_is_planned_partly_done_partly_behind_and_there_is_room(door: Door) -> None:
    rows = {(row.crop, row.variety, row.by): row for row in door.plans()}
    assert len(rows) == len(door.plans()) == 5
    statice = rows["statice", "blue", "2026-10-15"]
    assert statice.next == "cut" and statice.set_out is not None and statice.set_out.done_on is not None
    behind = rows["sunflower", "lemon", "2026-08-21"]
    assert behind.next == "drill" and behind.behind > 0
    (task,) = door.brief().plans
    assert task.plan == behind.plan
    room = door.room()
    assert all(row.total for row in room.rows) and room.shortages == ()
