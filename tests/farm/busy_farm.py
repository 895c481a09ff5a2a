"""The season of every kind with seed, trays, plans, own figures and weather in it as well: whatever names another."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from core.farm import Farm
from tests.farm.every_kind import CLOCK, DAY, season, views
from tests.farms import Pencil

WISHES = (
    "plan 120 strawflower dry by 2027-09-19",
    "plan 20 zinnia fresh by 2027-09-01 b2",
    "plan 10 bunches zinnia fresh a week from 2027-08-01 to 2027-09-20",
    "plan 30 lisianthus fresh by 2027-08-01",
    "plan 40 larkspur dry by 2027-10-01",
)
"""Wishes of every way there is: in trays and sown in the bed, fresh and dry, for a day and week by week."""

LINES = (
    "today", "undo", "30 P02 fresh", "10 strawflower b1 dry", "10 strawflower b1 wire", "sow 72 zinnia",
    "sow 50 lisianthus", "up 40 S01", "step S02", "hold S02 wind", "prick 40 S01", "pot 40 S01", "set out S02 b2 5ft",
    "plant zinnia b2 10ft", "drill larkspur b2 5ft", "pinch P02", "net P02", "cover b1", "uncover b1", "clear P02",
    "lost 1 slugs P02", "lost 1 damping S01", "hang L005 line 2", "weigh L001 line 1 30g", "snap L001 line 1",
    "box 1 bunch L001 line 1 box 1", "move L002 from cooler to bucket", "sold 1 L002 cooler",
    "used 1 L001 box 1", "count 3 L002 cooler", "make 1 posy", "part posy 1 zinnia dry", "recipe ring as wreath 12in",
    "drop posy", "drop N01", "drop N02", "check box 1 sound", "freeze box 1 7 days", "box 1 dark", "line 1 30ft",
    "shed 70F 50%", "room line 90ft", "reorder 10 wire 22", "bought 10 wire 22", "count 3 wire 22",
    "sold 1 M002", "lost 1 moth M002", "wire 5 L005 22g", "low 41 high 60", "dusk 52 dew 44 clear",
    "risk tender 36F 10%", "last frost 14 may", "note b1 slugs", "sheet zinnia drying_days 14", *WISHES,
)  # fmt: skip
"""A line of every sort about the things of this farm."""


def busy() -> Pencil:
    """Trays at every step, drilled and set out, plans begun and to come, own figures, frosts and a wish for room."""
    pencil = season()
    write = pencil.write
    pencil.today = DAY - timedelta(days=30)
    write("bed", bed="b3", feet=40, width_in=30)
    write("frost", season="autumn", threshold_f=32, risk_pct=50, month_day="10-01")
    write("risk", hardiness="tender", threshold_f=36, risk_pct=10)
    write("sown", tray="S01", crop="zinnia", cells=50, seeds=60)
    write("sown", tray="S02", crop="lisianthus", variety="rose", cells=72, seeds=80, cell_size=128)
    write("drilled", planting="P03", crop="larkspur", bed="b3", feet=10)
    write("capacity", what="lights", count=1)
    write("capacity", what="hardening", count=1)
    pencil.later(10)
    write("up", tray="S01", count=44)
    write("up", tray="S02", count=60)
    write("pricked out", tray="S01", count=40, cell_size=50)
    plan = {"plan": "N01", "crop": "zinnia", "use": "fresh", "stems": 60, "due_on": "2026-09-20"}
    write("planned", **plan, sow_on="2026-06-20", set_out_on="2026-07-12", cut_from="2026-09-01", cells=50, seeds=60,
          plants=30, feet=8, bed="b2")  # fmt: skip
    plan = {"plan": "N02", "crop": "strawflower", "use": "dry", "stems": 40, "due_on": "2026-10-10"}
    write("planned", **plan, sow_on="2026-07-22", set_out_on="2026-08-20", cut_from="2026-09-15", cells=60, seeds=66,
          plants=40, feet=9, bed="b3")  # fmt: skip
    plan = {"plan": "N03", "crop": "larkspur", "use": "dry", "stems": 40, "due_on": "2027-07-20"}
    write("planned", **plan, sow_on="2026-09-22", cut_from="2027-06-15", seeds=500, feet=20)
    for step in (1, 2, 3):
        pencil.later(1)
        write("step", tray="S02", step=step)
    pencil.later(1)
    write("held", tray="S02", cause="wind")
    write("potted on", tray="S01", count=38, cell_size=50)
    write("set out", planting="P04", crop="zinnia", bed="b2", feet=5, tray="S01", plants=20)
    write("pinched", planting="P02")
    write("netted", planting="P01")
    write("declined", job="pinched", planting="P01")
    write("covered", bed="b3")
    write("lost", tray="S02", count=2, cause="damping off")
    write("lost", planting="P02", count=2, cause="slugs")
    write("drilled", planting="P05", crop="larkspur", bed="b1", feet=2)
    write("cleared", planting="P05")
    write("covered", bed="b1")
    write("uncovered", bed="b1")
    write("planned", plan="N04", crop="zinnia", use="wire", stems=10, due_on="2026-09-20")
    write("dropped", plan="N04")
    plan = {"plan": "N05", "crop": "stock", "use": "fresh", "stems": 30, "due_on": "2026-10-15"}
    write("planned", **plan, sow_on="2026-07-17", set_out_on="2026-08-15", cut_from="2026-10-01", cells=40, seeds=44,
          plants=35, feet=6)  # fmt: skip
    write(
        "planned pieces",
        plan="N06",
        recipe="posy",
        sort="wreath",
        count=3,
        due_on="2026-11-20",
        size_in=12,
        there=5,
    )
    plan = {
        "plan": "N07",
        "crop": "strawflower",
        "use": "dry",
        "stems": 15,
        "due_on": "2026-11-20",
        "part_of": "N06",
    }
    write(
        "planned",
        **plan,
        sow_on="2026-07-18",
        set_out_on="2026-08-15",
        cut_from="2026-10-01",
        cells=20,
        seeds=20,
    )
    write("boxed", lot="L001", source="line 1", box="box 2", bunches=1, per=10)
    write("box checked", box="box 2", result="mice")
    write(
        "station", station="MEADOW HILL", file="meadow.csv", first="1990-01-01", last="2020-12-31", days=11000
    )
    write("sheet", crop="strawflower", figure="drying_days", value="12 to 18")
    write("variety sheet", crop="zinnia", variety="lime", figure="days_to_first_cut", value="70")
    write("crop", crop="didiscus", like="ammi")
    write("tubers bought", crop="dahlia", variety="red", count=20)
    write("set out", planting="P09", crop="dahlia", variety="white", bed="b3", feet=2, plants=3)
    write("lifted", planting="P09", crop="dahlia", variety="white", bed="b3", count=1)
    write("divided", crop="dahlia", variety="red", count=2, pieces=9)
    write("tubers lost", crop="dahlia", variety="red", count=3, cause="mold")
    write("tubers sold", crop="dahlia", variety="red", count=1, who="Fern Hollow")
    write("tubers checked", crop="dahlia", variety="red")
    write("tubers washed", crop="dahlia", variety="red")
    write("tubers stored", crop="dahlia", variety="red", where="peat, cellar", cold_f=41)
    write("tubers counted", crop="dahlia", variety="red", count=23)
    write("tubers bought", crop="tulip", count=40, cents=1200)
    write("bulbs chilled", crop="tulip", count=30, weeks=14, cold_f=40)
    write("bulbs forced", crop="tulip", count=10)
    write("forced cleared", crop="tulip", count=2)
    write("put off", planting="P09")
    write("note", about="b1", text="slugs along the edge")
    twin = pencil.made("cut", lot="L003", crop="zinnia", bed="b2", use="fresh", stems=5)  # of another machine
    pencil.entries.append(twin)
    write("settled", about="L003-2", ref=twin.id)
    pencil.today = DAY
    for kind, f in (("low", 44), ("high", 90), ("tonight", 34), ("wind", None)):
        write(kind, **({"mph": 20} if f is None else {"f": f}))
    write("forecast", f=40, night=(DAY + timedelta(days=3)).isoformat())
    write("dusk", f=52, dew_f=44, sky="clear")
    return pencil


def everything(farm: Farm, day: date = DAY, clock: str = CLOCK) -> Iterator[tuple[str, Callable[[], object]]]:
    """What `views` has, the sheets and stage cards, the wishes, and what every sort of line comes to."""
    from core.crops.stages import stage_card
    from core.language.complete import complete
    from core.places import USES
    from core.plans.lines import read_wish
    from core.plans.preview import moved, preview
    from core.plans.wish import Wanted
    from core.settings.sheets import farm_sheet
    from core.weather.change import change_of_risk
    from core.weather.rows import farm_weather
    from core.weather.station_file import NONE_YET
    from tui.subjects.settings import sheet_lines

    yield from views(farm, day, clock)
    for name in dict.fromkeys(["zinnia", "strawflower", *farm.sheets]):
        crop, _, way = name.rstrip(")").partition(" (")
        sheet = farm_sheet(farm, crop, way or None)
        if sheet is not None:
            cards = [stage_card(sheet, use) for use in USES]
            yield f"sheet of {name}", lambda sheet=sheet, cards=cards: list(sheet_lines(sheet, cards))  # type: ignore[misc]
    for wish in WISHES:
        wanted = read_wish(wish, farm, day)
        if isinstance(wanted, Wanted):
            yield wish, lambda wanted=wanted: preview(farm, wanted, day)  # type: ignore[misc]
            yield f"what if: {wish}", lambda wanted=wanted: moved(farm, wanted, day, "germination", 0.6)  # type: ignore[misc]
    yield from lines_read(farm, day)
    yield "risk", lambda: change_of_risk(farm, "tender", 32, 50, None, None, day)
    yield "weather", lambda: farm_weather(farm, day, NONE_YET, None)
    yield "complete", lambda: [complete(line, farm, day) for line in LINES[::7]]


def lines_read(farm: Farm, day: date = DAY) -> Iterator[tuple[str, Callable[[], object]]]:
    """What every sort of line comes to."""
    from core.language.read import read_line

    for line in LINES:
        yield f"read: {line}", lambda line=line: read_line(line, farm, day)  # type: ignore[misc]


def lines_and_views(farm: Farm) -> Iterator[tuple[str, Callable[[], object]]]:
    """What `views` has, and every sort of line but the wishes."""
    yield from views(farm)
    yield from ((what, read) for what, read in lines_read(farm) if not what.startswith("read: plan"))
