"""The demo farm: what is shipped is what the engine makes, it is sound, and its morning asks for much."""

from __future__ import annotations

import re
import stat
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from statistics import median

import pytest

from core.book.book import Book
from core.book.entry import Entry
from core.boxes.kinds import box_rows
from core.crops.library import crop_names
from core.drying.clock import days_for
from core.drying.rows import shelf_rows
from core.drying.weighed import fit_of
from core.farm import Farm
from core.fresh.rows import fresh_rows
from core.language.words import COLOURS, SHADES
from core.pieces.bench import bench_rows
from core.plans.room_weeks import room_weeks
from core.plans.rows import plan_rows
from core.problems import Problem
from core.reckon.drying.fit import DryingFit
from core.session import Session
from core.settings.sheets import farm_sheet
from core.shed.air import MOLD_BEGINS_RH
from core.shed.line_room import feet_taken
from core.stems.losses import losses
from core.stems.rows import balance, stock_rows
from core.subject import kind_of
from core.trays.rows import tray_rows
from demo_farm import plan
from demo_farm.air import Rooms, make_sky
from demo_farm.chance import Chance
from demo_farm.make import READY_MADE, SEED, make
from demo_farm.open import copy_to
from demo_farm.plan import DEMO_DAY
from demo_farm.tables import CROPS, SAID, TROUBLES
from tests.farms import morning_of
from tui.subjects.shed import shed_of
from tui.subjects.weather import tonight_of, weather_of

MAKINGS = {
    "wire 20",
    "wire 22",
    "wire 24",
    "wire 26",
    "tape",
    "bands",
    "ring 12in",
    "pin",
    "ribbon",
    "sleeve",
}
REMAKE = "the engine or the story has changed: run `python -m demo_farm.make` and commit what it makes"


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ready-made farm as `shedbook demo` copies it."""
    folder = tmp_path_factory.mktemp("shipped") / "farm"
    copy_to(folder)
    return folder


@pytest.fixture(scope="module")
def session(shipped: Path) -> Iterator[Session]:
    """The demo as the reader opens it, at dawn of its own day."""
    opened = Session(Book.open(shipped, device=plan.SHED), by=plan.GROWER, on=DEMO_DAY)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def entries(session: Session) -> list[Entry]:
    return session.entries()


def _before(folder: Path, instant: str) -> dict[str, list[bytes]]:
    """The lines of each log that were written before an instant."""
    found = {}
    for log in (folder / "log").iterdir():
        lines = [
            line for line in log.read_bytes().splitlines() if line.split(b'"at":"')[1] < instant.encode()
        ]
        if lines:
            found[log.name] = lines
    return found


def test_what_is_shipped_begins_as_the_engine_makes_it(tmp_path: Path) -> None:
    """The first months, line by line; all of it is made in the long test."""
    make(tmp_path / "farm", until=date(2025, 5, 1))
    made, kept = (_before(folder, "2025-05-01T06:00") for folder in (tmp_path / "farm", READY_MADE))
    assert made == kept and len(kept["shed.log"]) > 400, REMAKE
    assert (tmp_path / "farm" / "farm.json").read_bytes() == (READY_MADE / "farm.json").read_bytes(), REMAKE


@pytest.mark.long
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


def test_its_ground_is_colder_than_the_station_and_its_nights_are_known(session: Session) -> None:
    page, night = weather_of(session), tonight_of(session)
    assert page.odds is not None and page.own_odds is not None
    assert page.ground is not None and page.ground.frost_bias_f is not None
    assert -3 <= page.ground.frost_bias_f <= -1
    assert night.nights >= 10 and night.missing == 0


def test_it_is_sound(session: Session) -> None:
    assert session.check() == []
    assert session.farm.matters == []


def test_it_is_as_large_as_two_seasons_are(session: Session, entries: list[Entry]) -> None:
    farm = session.farm
    crops = {t.crop for t in farm.trays.all()} | {p.crop for p in farm.plantings.all()}
    assert len(crops) >= 25
    assert len(farm.trays.all()) >= 60
    assert len(farm.beds) >= 20
    assert len(entries) >= 1500
    assert {e.on[:4] for e in entries} >= {"2025", "2026"}
    assert max(e.on for e in entries) == DEMO_DAY.isoformat()


def test_every_stem_and_every_seed_is_accounted_for(session: Session) -> None:
    for lot in session.farm.lots.all():
        assert balance(lot).adds_up, lot.code
        assert all(held.stems > 0 for held in lot.holdings.values()), lot.code
    for tray in session.farm.trays.all():
        if tray.up is not None:
            assert tray.up == tray.alive + tray.set_out + sum(tray.lost.values()), tray.code


def test_two_people_wrote_it_at_two_machines(entries: list[Entry], shipped: Path) -> None:
    assert {e.by for e in entries} == {plan.GROWER, plan.HELPER}
    lines = (shipped / "log/netbook.log").read_bytes().splitlines()
    field = Counter(line.split(b'"kind":"')[1].split(b'"')[0] for line in lines)
    assert field[b"cut"] > 50


def test_its_morning_asks_for_something_of_everything(session: Session) -> None:
    brief = morning_of(session)
    asked = ("trays", "beds", "at_stage", "shelf", "fresh")
    assert all(brief.parts[name] for name in asked) and brief.cautions
    assert brief.weather.startswith("low last night") and "forecast tonight" in brief.weather
    assert {row.status for row in brief.parts["shelf"]} >= {"test", "overdue", "dry"}
    assert {row.status for row in brief.parts["fresh"]} >= {"hang", "wire", "rescue", "sell"}
    assert any("mold" in line for line in brief.cautions)
    assert 1 <= len(brief.parts["boxes"]) <= 4
    assert not brief.first_things and not brief.matters


def test_the_day_itself_is_still_open(entries: list[Entry]) -> None:
    assert [e.kind for e in entries if e.on == DEMO_DAY.isoformat()] == ["low", "tonight", "air"]


def test_strawflower_is_grown_both_ways_and_the_early_one_is_at_stage(session: Session) -> None:
    """Common practice: sown in late February, out late March or first days of April, cut about 20 June."""
    trays = [t for t in session.farm.trays.all() if t.crop == "strawflower"]
    early = [t for t in trays if t.way == "early"]
    assert {t.way for t in trays if t.sown < "2026"} == {None}
    assert early and all("2026-02-15" <= t.sown <= "2026-02-28" for t in early)
    out = [p for p in session.farm.plantings.all() if p.way == "early"]
    assert all("2026-03-20" <= p.out_on <= "2026-04-05" for p in out)
    assert all(p.first_cut is not None and "2026-06-13" <= p.first_cut <= "2026-06-27" for p in out)
    uses = {
        use for row in morning_of(session).parts["at_stage"] if row.crop == "strawflower" for use in row.uses
    }
    assert uses == {"fresh", "dry", "wire"}


def test_trays_are_on_their_way(session: Session) -> None:
    rows = {(row.crop, row.state): row for row in tray_rows(session.farm, session.today)}
    assert any(row.state == "hardening" and 0 < row.step < row.steps for row in rows.values())
    assert any(row.state == "ready" for row in rows.values())
    assert ("zinnia", "up") in rows and ("Sweet William", "up") in rows and ("sunflower", "sown") in rows
    for crop in ("celosia, plume", "stock"):
        waiting = rows[crop, "up"].warning
        assert waiting is not None and waiting.startswith("cannot wait"), crop
    assert any(row.hold for row in rows.values())


def test_the_troubles_that_happen_are_in_it(session: Session, entries: list[Entry]) -> None:
    held = Counter(e.fields["cause"] for e in entries if e.kind == "held")
    assert held["wind"] > 5 and held["cold"] > 5 and held["no time"] >= 1
    lost = Counter(e.fields["cause"] for e in entries if e.kind == "lost")
    assert {"mold", "damping off", "leggy", "slugs", "frost", "moth", "unsold"} <= set(lost)
    assert any(e.fields.get("cull_cause") == "blown" for e in entries if e.kind == "cut")
    assert any(t.up is not None and t.up < 0.5 * t.seeds for t in session.farm.trays.all())
    assert any("miscounted" in lot.lost for lot in session.farm.lots.all())
    assert any(e.fields.get("insisted") for e in entries if e.kind == "wired")
    assert any(e.kind == "covered" and "2026-05-15" <= e.on <= "2026-05-17" for e in entries)
    strikes = [e for e in entries if e.kind == "strike"]
    assert {e.fields["entry"] for e in strikes} & {e.id for e in strikes}, "a strike that was struck"


def test_every_trouble_of_the_tables_took_place(session: Session, entries: list[Entry]) -> None:
    farm = session.farm
    seen: set[tuple[str, str, str]] = set()
    for entry in entries:
        f = entry.fields
        tray, planting = farm.trays.get(f.get("tray", "")), farm.plantings.get(f.get("planting", ""))
        of = farm.lots.get(f.get("lot", "")) or tray or planting
        if of is not None:
            seen.add((entry.on, of.crop, f.get("cull_cause") or f.get("cause") or ""))
    written_as = {"no time": "no time", "blown": "blown", "mold": "mold"}
    for trouble in TROUBLES:
        cause = trouble.cause if trouble.what.startswith("lost in") else written_as.get(trouble.what)
        for day in map(str, trouble.dates) if cause else ():
            assert (day, trouble.of, cause) in seen, trouble
    said = {(row.day, row.line.removeprefix("note ")) for row in SAID if row.line.startswith("note ")}
    assert len(said) >= 13
    assert {(e.on, e.fields["text"]) for e in entries if e.kind == "note"} >= said


def test_boxes_of_last_year_are_ageing_and_the_makings_count_down(
    session: Session, entries: list[Entry]
) -> None:
    rows = stock_rows(session.farm, session.today)
    assert sum(r.place.is_box and r.cut_on < "2026" for r in rows) >= 20
    assert {r.form for r in rows} == {"fresh", "hanging", "dry", "wired"}
    makings = session.farm.makings
    assert set(makings) == MAKINGS
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


def test_every_name_in_it_is_from_its_own_invented_list(session: Session, entries: list[Entry]) -> None:
    buyers = {*plan.MARKETS.values(), *plan.ORDERERS, *plan.DRY_BUYERS}
    assert session.farm.settings.name == plan.FARM
    assert {e.fields[name] for e in entries for name in ("who", "buyer") if name in e.fields} <= buyers
    for name in (plan.FARM, *buyers):
        assert re.fullmatch(r"[A-Za-z' ]+", name) and not re.search(
            r"\b(inc|llc|ltd|co|corp|com)\b", name.lower()
        )
    crops = set(crop_names())
    for entry in entries:
        assert entry.fields.get("crop", "flax") in crops
        for word in str(entry.fields.get("variety", "mixed")).split():
            assert word in (*COLOURS, *SHADES), f"{word} may be somebody's variety"


def test_the_autumn_is_planned_partly_done_partly_behind_and_there_is_room(session: Session) -> None:
    rows = {(row.crop, row.variety, row.by): row for row in plan_rows(session.farm, session.today)}
    assert len(rows) == len(plan_rows(session.farm, session.today)) == 6
    statice = rows["statice", "blue", "2026-10-15"]
    assert statice.next == "cut" and statice.set_out is not None and statice.set_out.done_on is not None
    behind = rows["sunflower", "lemon", "2026-08-21"]
    assert behind.next == "drill" and behind.behind > 0
    (task,) = morning_of(session).parts["plans"]
    assert task.plan == behind.plan
    room = room_weeks(session.farm, session.today)
    assert all(row.total for row in room.rows) and room.shortages == ()


# the shed


def test_its_lines_are_nearly_full_at_the_peak_and_no_line_ever_hangs_over(
    session: Session, entries: list[Entry]
) -> None:
    feet = {name: line.feet for name, line in session.farm.lines.items()}
    assert len(feet) == 8
    farm, fullest = Farm(), 0.0
    for entry in entries:
        kind = kind_of(entry.kind, entry.fields)
        assert kind is not None
        kind.apply(farm, entry)
        if entry.kind == "hung":
            taken = _feet_taken(farm)
            assert [name for name in taken if taken[name] > feet[name]] == [], entry.on
            fullest = max(fullest, sum(taken.values()))
    assert 0.85 * sum(feet.values()) < fullest


def _feet_taken(farm: Farm) -> dict[str, float]:
    taken: dict[str, float] = defaultdict(float)
    for lot in farm.lots.live():
        for place, held in lot.holdings.items():
            if place.is_line:
                taken[place] += feet_taken(held.stems, held.per)
    return taken


def test_the_shed_warns_of_tonight_and_was_damp_when_the_air_was_close(session: Session) -> None:
    shed = shed_of(session)
    assert shed.air.now.reading is not None and not shed.air.now.is_damp
    assert shed.air.night is not None and shed.air.night.warns
    assert len(shed.wrong) == 1 and shed.wrong[0].startswith("tonight"), shed.wrong
    assert shed.air.now.week.high_rh is not None and shed.air.now.week.high_rh >= MOLD_BEGINS_RH
    assert [line.line for line in shed.lines.lines if line.fan is False] == ["line 6"]


def test_its_air_is_read_on_most_days_of_the_drying_season_and_agrees_with_the_weather(
    session: Session, entries: list[Entry]
) -> None:
    readings = [e for e in entries if e.kind == "air" and e.fields["room"] == "shed"]
    days = {e.on for e in readings}
    assert len([day for day in days if "2025-06" <= day[:7] <= "2025-09"]) >= 0.75 * 122
    assert all("clock" in e.fields for e in readings)
    lows = {e.on: e.fields["f"] for e in entries if e.kind == "low"}
    morning = {e.on: e.fields for e in readings if e.fields["clock"] < "07:20"}
    assert all(0 < f["f"] - lows[on] < 22 for on, f in morning.items())
    close = {str(day) for row in TROUBLES if row.what in ("rain", "muggy") for day in row.dates}
    rain = [f["rh_pct"] for day, f in morning.items() if day in close]
    fair = [f["rh_pct"] for day, f in morning.items() if day not in close]
    assert median(rain) >= MOLD_BEGINS_RH > median(fair)


def test_the_max_min_thermometer_saw_every_reading_since_it_was_reset(entries: list[Entry]) -> None:
    reset: date | None = None
    seen: list[Entry] = []
    compared = 0
    for entry in entries:
        if entry.kind == "air" and entry.fields["room"] == "shed":
            seen.append(entry)
        if entry.kind == "air range":
            low, high = entry.fields["low_f"], entry.fields["high_f"]
            is_since = reset is not None and date.fromisoformat(entry.on) - reset < timedelta(days=10)
            inside = [e.fields["f"] for e in seen if is_since]
            assert all(low <= f <= high for f in inside), entry.on
            compared += len(inside)
            # the reading of that hour stands before it in the same line
            reset, seen = date.fromisoformat(entry.on), []
    assert compared > 60


def test_the_cooler_is_read_about_weekly_and_was_warm_once(entries: list[Entry]) -> None:
    read = {e.on: e.fields["f"] for e in entries if e.kind == "air" and e.fields["room"] == "cooler"}
    assert len(read) >= 25
    assert {day for day, f in read.items() if f > 40} == {t.day for t in TROUBLES if t.what == "warm cooler"}


def test_bunches_are_weighed_and_the_shelf_shows_lots_with_one_two_and_more(session: Session) -> None:
    shelf = shelf_rows(session.farm, session.today)
    weighed_times = {row.weighings for row in shelf}
    assert weighed_times >= {1, 2} and max(weighed_times) > 3
    assert {row.speaks for row in shelf} >= {"handbook and shed air", "snap test"}
    weighed = [lot for lot in session.farm.lots.all() if lot.weighings]
    hung = [lot for lot in session.farm.lots.all() if lot.entered.get("hanging")]
    assert 0.15 < len(weighed) / len(hung) < 0.4
    assert sum(len(rows) for rows in session.farm.dry_ratios.values()) >= 20
    assert all(
        0.1 < dry / fresh < 0.55 for rows in session.farm.dry_ratios.values() for _, fresh, dry in rows
    )


def test_what_its_weighings_allow_holds_the_truth(session: Session) -> None:
    """The truth is the curve that the weights were made from: nearly all of them within what is allowed, to a day."""
    held = []
    rooms = Rooms(make_sky(Chance(SEED)), Chance(SEED))
    for row in shelf_rows(session.farm, session.today):
        lot = session.farm.lots.get(row.lot)
        if lot is None or row.weighings < 3:
            continue
        sheet = farm_sheet(session.farm, lot.crop, lot.way)
        assert sheet is not None
        line, hung_on, days = days_for(session.farm, lot, sheet, session.today)
        found = fit_of(session.farm, lot, line, hung_on, days, session.today)
        if not isinstance(found, DryingFit):
            continue
        hung = date.fromisoformat(row.hung_on)
        true = rooms.curve(lot.crop, lot.code, row.per, hung, sheet)
        low, high = (hours + found.hung_before for hours in (found.low_hours, found.high_hours))
        held.append(low - 24 <= true.hours <= high + 24)
        if found.enough:
            assert abs(true.hours - found.hung_before - found.reckoned_hours) <= 48, row
    assert held and sum(held) >= 0.8 * len(held), held


# fresh, and lost


def test_the_buckets_show_a_mix(session: Session) -> None:
    rows = fresh_rows(session.farm, session.today, session.clock)
    assert {row.status for row in rows} >= {"fresh", "sell", "rescue", "hang", "wire"}
    assert {row.place for row in rows} == {"bucket", "cooler"}
    assert 1 <= sum(row.status == "rescue" for row in rows) <= 3


def test_what_was_not_sold_by_noon_stands_in_the_cooler_and_is_sold_from_there_but_no_zinnia(
    session: Session, entries: list[Entry]
) -> None:
    moved = [e for e in entries if e.kind == "moved" and e.fields["place"] == "cooler"]
    assert len(moved) > 100 and all("clock" in e.fields for e in moved)
    assert sum(e.kind == "sold" and e.fields["source"] == "cooler" for e in entries) > 100
    crops = {lot.crop for e in moved if (lot := session.farm.lots.get(e.fields["lot"]))}
    assert not crops & {"zinnia", "dahlia", "marigold"}


def test_what_was_cut_too_late_is_lost_more_often(session: Session) -> None:
    found = losses(session.farm, session.today)
    assert not isinstance(found, Problem)
    rows = {(row.crop, row.stage, row.cause): row for row in found.stages}
    for crop, cause in (("strawflower", "blown"), ("larkspur", "shatter")):
        row = rows[crop, CROPS[crop].late, cause]
        assert row.share_pct is not None and row.other_share_pct is not None
        assert row.share_pct > 3 * row.other_share_pct
    assert {row.form for row in found.hand_overs} >= {"cut", "fresh", "hanging", "dry"}


def test_boxes_are_looked_into_one_had_moth_one_was_damp_and_some_stand_in_the_light(
    session: Session, entries: list[Entry]
) -> None:
    farm = session.farm
    found = Counter(e.fields["result"] for e in entries if e.kind == "box checked")
    assert found["moth"] == found["damp"] == 1 and found["sound"] > 80
    (treated,) = [box for box in farm.boxes.values() if box.treated]
    (moth,) = (row for row in TROUBLES if row.what == "moth")
    assert treated.treated == [(moth.day, "frozen", 7)]
    assert [r for _, r in treated.checks if r == "moth"] and treated.checks[-1].result == "sound"
    rows = box_rows(session.farm, session.today)
    assert all(row.where for row in rows)
    assert 1 <= sum(row.light is True and row.stems > 0 for row in rows) <= 2
    assert 1 <= sum(row.ask == "look" for row in rows) <= 4
    assert {row.grade for row in stock_rows(session.farm, session.today)} == {None, "first", "second"}


# the bench


def test_pieces_are_made_sold_and_once_broken_and_some_are_on_hand(
    session: Session, entries: list[Entry]
) -> None:
    farm = session.farm
    pieces = list(farm.pieces.all())
    assert {"wreath-12", "crown-b", "buttonholes", "dry-posy"} < {p.recipe for p in pieces}
    assert {p.recipe for p in pieces} & set(plan.BOUQUETS)
    assert all(p.count == p.on_hand + p.sold + sum(p.lost.values()) for p in pieces)
    assert sum(p.lost.get("broken", 0) for p in pieces) == 1
    assert {row.sort for row in bench_rows(session.farm, session.today).pieces} >= {"crown", "bouquet"}
    assert not any(e.kind == "used" and e.fields.get("purpose") == "wreaths" for e in entries)
    for piece in pieces:
        assert piece.stems and piece.minutes, piece.code


def test_one_making_is_to_be_bought_again(session: Session) -> None:
    assert [
        (row.making, row.status) for row in bench_rows(session.farm, session.today).makings if row.status
    ] == [("wire 26", "buy")]
    assert session.farm.settings.wire == "SWG"
    assert set(session.farm.reorder) == MAKINGS
