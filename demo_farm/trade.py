"""What goes out: fresh at the stall and to the flower shop, dried by the season; and the pieces made on the bench."""

from __future__ import annotations

from core.farm import Piece
from core.fresh.rows import FreshRow, fresh_rows
from core.pieces.bench import bench_rows, making_rows
from core.stems.rows import stock_rows
from demo_farm import plan
from demo_farm.hand import Lines, Work, clock
from demo_farm.plan import BOUQUETS, FRIDAY, MARKET_MONTHS, MARKETS, MONDAY, SATURDAY
from demo_farm.tables import CROPS, on

SALES_DAYS = (*MARKETS, plan.FLOWER_SHOP_DAY)
NOT_INTO_THE_COOLER = ("zinnia", "dahlia", "marigold")
KEPT_DAYS = {"old": 5, "sell": 6, "fresh": 7, "compost": 0}
"""By what is to be done with it, the days after which what was not sold is thrown out."""


def cool(work: Work, hour: float = plan.NOON) -> Lines:
    """What is fresh and not sold by now goes into the cooler; some crops never."""
    is_now = (work.day.weekday() in SALES_DAYS) == (hour > plan.NOON) and work.day.month in MARKET_MONTHS
    for row in _fresh(work) if is_now else ():
        is_right = row.place == "bucket" and row.crop not in NOT_INTO_THE_COOLER and row.stems >= 8
        if (
            is_right
            and row.status in ("fresh", "sell", "rescue")
            and not on(row.cut_on, "left out", row.crop)
        ):
            yield f"move {row.lot} cooler at {clock(hour)}"


def _fresh(work: Work) -> list[FreshRow]:
    return [row for row in work.see(fresh_rows) if row.use == "fresh"]


def sell_fresh(work: Work) -> Lines:
    """A market day, the flower shop's day, and what is too old thrown out; of what was cut too late some is."""
    day, weekday = work.day, work.day.weekday()
    for row in _fresh(work):
        if row.age_days >= 1 and (share := work.late.pop(row.lot, 0.0)):
            yield f"lost {max(round(row.stems * share), 1)} {CROPS[row.crop].late_cause} {row.lot} {row.place}"
    rows = _fresh(work)
    if weekday in SALES_DAYS and day.month in MARKET_MONTHS:
        who, poor = MARKETS.get(weekday, plan.FLOWER_SHOP), on(day, "poor market")
        for row in rows if weekday in MARKETS else rows[: 1 + len(rows) // 2]:
            share = work.chance.between(0.35, 0.95, "sold", row.lot, day) * (poor.amount if poor else 1)
            stems = row.stems if share > 0.88 or row.stems < 12 else max(round(row.stems * share / 5) * 5, 5)
            yield f"sold {stems} stems {row.lot} {row.place} to '{who}'"
        return
    for row in rows:
        if row.age_days > KEPT_DAYS.get(row.status, row.age_days):
            cause = work.chance.pick(("unsold", "unsold", "wilted"), "unsold", row.lot)
            yield f"lost {row.stems} {row.lot} {row.place} {cause}"


def sell_dried(work: Work) -> Lines:
    """Saturdays, the oldest boxes first, more of them in fall."""
    day, chance = work.day, work.chance
    if day.weekday() == SATURDAY:
        boxes = [row for row in work.see(stock_rows) if row.unit == "bunches" and row.on_hand > 0]
        for row in boxes[: plan.DRY_SALES[day.month - 1] * 2 : 2]:
            bunches = min(row.on_hand, chance.whole(1, 6, "bunches", row.lot, day))
            who = chance.pick(plan.DRY_BUYERS, "who", row.lot, day)
            yield f"sold {bunches} bunches {row.lot} {row.place} to '{who}'"


def buy(work: Work) -> Lines:
    """On Saturdays what is at its number to buy again."""
    for row in making_rows(work.farm) if work.day.weekday() == SATURDAY else ():
        if row.status:
            yield f"bought {3 * (row.reorder_at or 0):g} {row.making}"


def make_pieces(work: Work) -> Lines:
    """Dried and wired work on Fridays, bouquets on the eve of a market, of half the stems that would do."""
    day, happens = work.day, work.chance.happens
    if str(day) == plan.ORDERED[0]:
        yield from _make(work, plan.ORDERED[1])
    if day.weekday() in (MONDAY, FRIDAY) and day.month in MARKET_MONTHS and happens(0.6, "bouquets", day):
        yield from _make(work, *BOUQUETS, share=0.5, least=3)
    if day.weekday() == FRIDAY and day.month in plan.MADE_IN and happens(0.7, "making", day):
        yield from _make(work, plan.MADE_IN[day.month])


def _make(work: Work, *recipes: str, share: float = 1, least: int = 1) -> Lines:
    """The first of the recipes for which there is enough."""
    can_make = {row.recipe: row for row in work.see(bench_rows).recipes}
    for recipe in recipes:
        able, most = int((can_make[recipe].can_make or 0) * share), plan.MOST_AT_ONCE[recipe]
        if able >= least:
            count = min(able, work.chance.whole((most + 1) // 2, most, "pieces", recipe, work.day))
            pace = work.chance.between(0.8, 1.2, "pace of hands", recipe, work.day)
            yield f"make {count} {recipe} {round(count * (can_make[recipe].minutes or 10) * pace)}min"
            return


def sell_pieces(work: Work) -> Lines:
    """Bouquets on market days, what is left of them wilts; the rest on Saturdays; and once one fell down."""
    fell: set[str] = set()
    for piece in list(work.farm.pieces.live()):
        if piece.recipe not in fell and (broken := on(work.day, "broken", piece.recipe)):
            fell.add(piece.recipe)
            yield f"lost 1 {piece.code} {broken.what}"
        wanted, who = _wanted(work, piece)
        if sold := min(wanted, piece.on_hand):
            yield f"sold {sold} {piece.code} to '{who}'"
        if wanted and piece.recipe in BOUQUETS and piece.on_hand:
            yield f"lost {piece.on_hand} {piece.code} unsold"


def _wanted(work: Work, piece: Piece) -> tuple[int, str]:
    """How many of these are asked for today, and by whom."""
    day, chance = work.day, work.chance
    if piece.recipe in BOUQUETS:
        is_for_sale = day.weekday() in MARKETS and piece.made_on != str(day)
        return chance.whole(4, 9, "bouquets", day) * is_for_sale, MARKETS.get(day.weekday(), "")
    if (piece.made_on, piece.recipe) == plan.ORDERED:
        return piece.on_hand, plan.FLOWER_SHOP
    wanted = chance.whole(0, 2, "pieces sold", piece.code, day) * (day.weekday() == SATURDAY)
    return wanted, chance.pick(plan.DRY_BUYERS, "who", piece.code, day)
