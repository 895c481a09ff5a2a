"""A season on a small invented farm in which every kind of the shed and the bench is written, all of it sound."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from core.farm import Farm
from tests.farms import Pencil, small_farm

DAY = date(2026, 7, 20)
CLOCK = "09:00"
"""When the season is looked at."""


def season() -> Pencil:
    """Cut, hung, weighed, snapped, boxed, looked into; cooled, wired, made into pieces, sold, lost and counted."""
    pencil = small_farm().later(40)
    write = pencil.write
    write("farm", name="Long Field", latitude=42.0, longitude=-80.0, zone="America/New_York", wire="SWG")
    write("line", line="line 1", feet=40, dark=True, fan=True)
    write("line", line="line 2", feet=40)
    write("capacity", what="line", count=100)
    write("box", box="box 1", where="loft", light=False)
    write("bought", making="wire 22", count=200)
    write("bought", making="ring 12in", count=5)
    write("stocktake", making="tape", count=3, expected=0)
    write("reorder", making="wire 22", count=50)
    straw = {"crop": "strawflower", "bed": "b1", "planting": "P01"}
    zinnia = {"crop": "zinnia", "bed": "b2", "planting": "P02"}
    write(
        "cut",
        lot="L001",
        **straw,
        use="dry",
        stems=60,
        culls=2,
        cull_cause="blown",
        clock="06:40",
        dry_hours=1,
    )
    write("hung", lot="L001", source="bucket", line="line 1", stems=60, per=10, clock="09:00")
    write(
        "cut",
        lot="L002",
        **zinnia,
        use="fresh",
        stems=50,
        clock="07:00",
        minutes=10,
        stage="outer petals open",
    )
    write("moved", lot="L002", source="bucket", place="cooler", stems=25, clock="08:00")
    write("cut", lot="L003", **straw, use="wire", stems=20)
    write("wired", lot="L003", heads=10, source="bucket", gauge=22, wires=10, tape=0.1)
    for room in ("shed", "cooler", "room"):
        write("air", room=room, f=60, rh_pct=50, clock="07:00")
    write("air range", room="shed", low_f=50, high_f=80, low_rh=40, high_rh=70)
    write("weighed", lot="L001", source="line 1", grams=120, clock="10:00")
    for grams in (90, 60, 45, 36, 30):
        pencil.later(1)
        write("weighed", lot="L001", source="line 1", grams=grams, clock="10:00")
        write("air", room="shed", f=70, rh_pct=55, clock="07:00")
    pencil.later(5)
    write("tested", lot="L001", result="snaps", place="line 1")
    write("boxed", lot="L001", source="line 1", box="box 1", bunches=3, per=10, grade="first")
    write("box checked", box="box 1", result="moth")
    write("box treated", box="box 1", how="frozen", days=7)
    write("recipe", recipe="posy", sort="wreath", size_in=12, minutes=15)
    write("part", recipe="posy", what="strawflower", count=5, form="dry")
    write("part", recipe="posy", what="any filler", count=2, form="dry")
    write("part", recipe="posy", what="wire 22", count=3, form="making")
    write("part", recipe="posy", what="ring 12in", count=1, form="making")
    write("made", piece="M001", recipe="posy", count=2, minutes=30)
    write("used", lot="L001", source="box 1", stems=10, piece="M001", purpose="posy")
    write("spent", making="wire 22", count=6, piece="M001")
    write("piece sold", piece="M001", count=1, who="corner stand")
    write("piece lost", piece="M001", count=1, cause="moth")
    write("made", piece="M002", recipe="posy", count=1, minutes=10)
    write("sold", lot="L002", source="cooler", stems=3, who="corner stand")
    write("lost", lot="L002", source="cooler", count=2, cause="mold")
    write("sale returned", lot="L002", place="cooler", stems=1, who="corner stand")
    write("counted", lot="L002", source="cooler", stems=20, expected=21)
    write("cut", lot="L004", **zinnia, use="fresh", stems=50, clock="07:00")
    write("cut", lot="L005", **straw, use="dry", stems=50, clock="07:00")
    _orders(pencil)
    _seeds(pencil)
    _field(pencil)
    return pencil


def _field(pencil: Pencil) -> None:
    """A spray and a feed with all of a label, water, rain, a soil test, minutes."""
    write = pencil.write
    label = {
        "beds": "b1 b2",
        "reg_no": "9999-1",
        "active": "soap salts",
        "amount": "12 oz",
        "mix": "3 gal",
        "area": "300 sq ft",
        "target": "aphids",
        "crops": "zinnia",
        "reentry_hours": 4,
        "harvest_hours": 24,
        "began": "17:30",
        "ended": "18:30",
        "mph": 4,
        "wind_from": "SW",
        "f": 68,
        "applicator": "Ada Quill",
        "license": "4411",
        "method": "backpack",
    }
    write("sprayed", product="Quencher", **label)
    write("fed", product="Sea Brew", **label)
    write("watered", beds="b1", inches=1, gallons=60, minutes=40)
    write("rain", inches=0.4)
    write("soil tested", beds="b1", ph=6.4, organic_pct=4, n_ppm=12, p_ppm=30, k_ppm=120, lab="County lab")
    write("worked", job="weeding", beds="b1 b2", minutes=40)


def _seeds(pencil: Pencil) -> None:
    """A packet sown from, tested, lost in part and counted."""
    write = pencil.write
    write(
        "packet",
        packet="K001",
        crop="cosmos",
        variety="white",
        count=500,
        year=2026,
        grams=3,
        per_gram=166,
        seed_lot="7Q",
        germination_pct=85,
        supplier="own seed",
    )
    write("sown", tray="S50", crop="cosmos", cells=72, seeds=100, packet="K001", packet_seeds=72)
    write("seed tested", packet="K001", count=8, tested=10)
    write("seed lost", packet="K001", count=5, cause="mice")
    write("seed counted", packet="K001", count=400, expected=413)


def _orders(pencil: Pencil) -> None:
    """A standing order and two for a day, one of them cancelled."""
    write = pencil.write
    write(
        "ordered",
        order="O001",
        buyer="Fern Hollow",
        due_on="2026-07-21",
        every_days=7,
        until_on="2026-08-25",
        spare_pct=10,
        deposit_cents=2500,
        priority=1,
        note="back door",
    )
    write("order item", order="O001", item=1, crop="zinnia", form="fresh", count=20, per=10, cents=600)
    write(
        "order item",
        order="O001",
        item=2,
        crop="strawflower",
        form="dry",
        count=20,
        colors="apricot or white",
    )
    write("order item", order="O001", item=3, recipe="posy", form="piece", count=1, cents=1800)
    write("item dropped", order="O001", item=3, what="posy")
    write("picked", order="O001", item=1, lot="L002", source="bucket", stems=20)
    write("put back", order="O001", item=1, lot="L002", place="cooler", stems=5)
    write("told short", order="O001", item=1, count=5, cause="blown", what="zinnia")
    write("in vase", lot="L002", days=6)
    write("left out", crop="zinnia", use="fresh", season=2027)
    write("packed", order="O001", delivery=1)
    write("handed over", order="O001", item=1, lot="L002", source="for O001", stems=15, who="Fern Hollow")
    write("picked", order="O001", item=2, delivery=2, lot="L001", source="box 1", stems=10)
    write("order item", order="O001", item=4, recipe="posy", form="piece", count=1, cents=1800)
    write("picked", order="O001", item=4, piece="M002", count=1)
    write("put back", order="O001", item=4, piece="M002", count=1)
    write("handed over", order="O001", item=4, piece="M002", count=1, who="Fern Hollow")
    write("priced", form="fresh", crop="zinnia", cents=600, unit="bunch", buyer="Fern Hollow")
    write("paid", order="O001", cents=2500, who="Fern Hollow")
    write("came back", order="O001", item=1, lot="L002", place="bucket", stems=2, who="Fern Hollow")
    write("came back", order="O001", item=4, piece="M002", count=1, who="Fern Hollow")
    write("given back", order="O001", cents=500, who="Fern Hollow")
    write("let off", order="O001", cents=100, who="Fern Hollow")
    write("ordered", order="O002", buyer="wedding", due_on="2026-09-19")
    write("order item", order="O002", item=1, crop="statice", instead="strawflower", form="dry", count=20)
    write("paid", order="O002", cents=300, who="wedding")
    write("skipped", order="O002", buyer="wedding", due_on="2026-09-19")
    write("order cancelled", order="O002", buyer="wedding")
    write("money kept", order="O002", cents=200, who="wedding")
    write("ordered", order="O003", buyer="market", due_on="2026-09-20")
    write("order item", order="O003", item=1, crop="strawflower", form="dry", count=2)
    write("picked", order="O003", item=1, lot="L001", source="box 1", stems=2)
    write("put back", order="O003", item=1, lot="L001", place="box 1", stems=2)
    write("home unsold", order="O003", item=1, count=2, what="strawflower")
    table = {"crop": "zinnia", "table": "t1"}
    write(
        "past cut", "2024-07-01", **table, stems=90, variety="lime", bed="b9", use="dry", minutes=9, row="r1"
    )
    write("past sale", "2024-07-02", **table, stems=40, cents=2000, who="market", row="r2")
    write("past sowing", "2024-04-01", **table, seeds=80, up=60, row="r3")


def views(farm: Farm, day: date = DAY, clock: str = CLOCK) -> Iterator[tuple[str, Callable[[], object]]]:
    """Everything that is shown of a farm, each as (name, what reckons it)."""
    from core.asks import Sight
    from core.beds.rows import bed_rows
    from core.boxes.kinds import box_rows
    from core.calendar.collected import dated
    from core.drying.rows import shelf_rows
    from core.field.closed import closures
    from core.fresh.rows import fresh_rows
    from core.learning.cost import cost
    from core.learning.next_year import first_plan
    from core.learning.planned import planned_rows, short_rows, turn_rows
    from core.learning.rows import learned
    from core.learning.season_page import season_page
    from core.lot_page import lot_page
    from core.matters import matters
    from core.orders.takings import BY, takings
    from core.page import page
    from core.paper.bed_map import bed_map
    from core.paper.day_sheet import to_write
    from core.paper.flow import PAGES
    from core.paper.labels import labels_of
    from core.past_seasons.rows import past_rows
    from core.pieces.bench import bench_rows
    from core.pieces.orders import short_for
    from core.pieces.tracing import trace
    from core.plans.room_weeks import room_weeks
    from core.plans.rows import plan_rows
    from core.plans.season_strip import season_strip
    from core.seeds.rows import order_rows, packet_rows
    from core.shed.air import room_air
    from core.shed.rows import shed
    from core.stems.losses import losses
    from core.stems.rows import stock_rows
    from core.today import morning
    from core.trays.rows import tray_rows
    from core.weather.night import low_to_expect
    from core.weather.tonight import tonight

    sight = Sight(farm, day, None, clock)
    yield "calendar", lambda: [*dated(sight)]
    yield "day's sheet", lambda: [line for one in to_write(sight) for line in one.lines]
    yield "map of the beds", lambda: bed_map(sight, PAGES["letter"])
    yield "labels", lambda: labels_of(farm, [lot.code for lot in farm.lots.all()])
    yield "past seasons", lambda: past_rows(farm)
    yield "takings", lambda: [takings(farm, by) for by in BY]
    yield "today", lambda: page(morning(Sight(farm, day, None, clock)))
    yield "trays", lambda: tray_rows(farm, day)
    yield "beds", lambda: bed_rows(farm, day)
    yield "shelf", lambda: shelf_rows(farm, day)
    yield "buckets", lambda: fresh_rows(farm, day, clock)
    yield (
        "shed",
        lambda: shed(farm, day, bed_rows(farm, day), now=clock, low=low_to_expect(farm, day), bunches=5),
    )
    yield "air", lambda: [room_air(farm, room, day, clock) for room in farm.air]
    yield "bench", lambda: bench_rows(farm, day)
    yield (
        "orders",
        lambda: [short_for(farm, r, 2, day, size_in=14, spare_pct=10) for r in farm.recipes.values()],
    )
    yield "stock", lambda: stock_rows(farm, day)
    yield "boxes", lambda: box_rows(farm, day)
    yield "losses", lambda: losses(farm, day)
    yield "own figures", lambda: learned(farm, day)
    yield (
        "what it cost",
        lambda: (cost(farm), planned_rows(farm, day), turn_rows(farm, day.year), short_rows(farm)),
    )
    yield "page of the season", lambda: season_page(farm, day.year, day)
    yield "next season", lambda: first_plan(farm, day.year)
    yield (
        "lots",
        lambda: [lot_page(farm, lot, day, story=[], clock=clock) for lot in farm.lots.all()],
    )
    yield "pieces", lambda: [trace(farm, piece) for piece in farm.pieces.all()]
    yield "seeds", lambda: packet_rows(farm, day, every=True)
    yield "seed orders", lambda: order_rows(farm, day)
    yield "closed beds", lambda: closures(farm, day, clock)
    yield "plans", lambda: plan_rows(farm, day)
    yield "season", lambda: season_strip(farm, day, 20)
    yield "room", lambda: room_weeks(farm, day, 20)
    yield "tonight", lambda: tonight(farm, day)
    yield "matters", lambda: matters(farm)
