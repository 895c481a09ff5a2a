"""Sheets to carry along: the cut list, a pick list, a packing slip."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from core.asks import Sight
from core.order_rows import Order
from core.orders.item_text import item_text
from core.orders.open_items import OpenItem, open_items
from core.orders.pickable import pickable
from core.orders.rows import order_page, slip_lines
from core.paper.flow import COUNT, TICK, Cell, Flow
from core.paper.marks import Page
from core.promising.asks import HANDED
from core.promising.cut_list import COOL, CutList, ForWhom, cut_list
from core.promising.open_claims import open_claims
from core.promising.told import closed_line, short_lines
from core.text import named
from core.units import long_day, short_day

WHEN = {COOL: "While it is cool, straight into water"}
DEW = "Once the dew is gone"
AHEAD_DAYS = 7
"""Orders due in so many days are on a pick list (ours)."""
SLIP_MODULE = 0.6


def cut_sheet(sight: Sight, size: tuple[float, float]) -> list[Page]:
    """What to cut today, bed by bed, with a box for what was really cut and the line to type for it."""
    found: CutList = cut_list(sight, open_claims(sight.farm, sight.day))
    flow = Flow(size, "Cut list", long_day(sight.day))
    if not found.rows:
        flow.line("Nothing is asked of the beds for any promise today.")
    for when, rows in groupby(found.rows, key=lambda row: row.when):
        flow.heading(WHEN.get(when, DEW))
        for row in rows:
            for_whom = ", ".join(map(_for_whom, row.promised))
            what = f"{row.left or row.asked} {named(row.crop, row.variety)} {HANDED[row.use]}"
            done = f"{row.cut} are cut already" if row.cut else ""
            told = (closed_line(row), f"for {for_whom}" if for_whom else "", done, row.stage)
            under = [text for text in told if text]
            box: list[Cell] = [] if row.closed else [(0, COUNT)]
            flow.row(*box, (22, f"{row.planting} {row.use}"), (50, row.bed), (64, what), under=under)
    for text in short_lines(found):
        flow.line(text)
    if found.worth:
        flow.heading("Worth cutting before it is too open")
        for one in found.worth:
            about = f"about {one.about} " if one.about else ""
            what = f"{about}{named(one.crop, one.variety)}: {'/'.join(one.uses)}"
            flow.row((0, COUNT), (22, one.planting), (50, one.bed), (64, what))
    flow.line("Type what was cut with the code beside its box: 40 P01 dry", size=8.5)
    return flow.pages()


def _for_whom(one: ForWhom) -> str:
    """ "20 O014 Fern Hollow 15 Oct"."""
    whose = f"{one.order} {one.buyer}".strip() or "to spare"
    return f"{one.stems} {whose} {short_day(date.fromisoformat(one.due))}"


def pick_sheet(sight: Sight, size: tuple[float, float]) -> list[Page]:
    """What is still to be picked for the orders of the next days, and from where, what expires first first."""
    farm, day = sight.farm, sight.day
    flow = Flow(size, "Pick list", long_day(day))
    wanted = [one for one in open_items(farm, day) if (one.due - day).days <= AHEAD_DAYS]
    if not wanted:
        flow.line(f"Nothing is to be picked for the next {AHEAD_DAYS} days.")
    taken = Counter[tuple[str, str]]()
    for (due, code), items in groupby(wanted, key=lambda one: (one.due, one.order.code)):
        of = list(items)
        flow.heading(f"{code} {of[0].order.buyer}, {long_day(due)}")
        for one in of:
            flow.row((0, TICK), (8, item_text(one.item, one.wanted)), under=[*_from(sight, one, taken)])
    return flow.pages()


def _from(sight: Sight, one: OpenItem, taken: Counter[tuple[str, str]]) -> Iterator[str]:
    """ "20 L035 in box 7"; what went to an order before it is not told again."""
    left = one.wanted
    for source in pickable(sight.farm, one.item, one.due, sight.day):
        key = (source.code, source.place)
        number = min(source.free - taken[key], left)
        if number > 0 and not source.why_not:
            taken[key] += number
            left -= number
            yield f"{number} {source.where}"
    if left:
        yield f"{left} more are not there yet"


def slip_sheet(sight: Sight, order: Order, size: tuple[float, float]) -> list[Page]:
    """The packing slip of an order's next delivery, with the order's code to scan."""
    farm = sight.farm
    page = order_page(sight.farm, order, sight.day)
    lines: Sequence[tuple[str, str] | None] = slip_lines(farm, page, order.next_delivery)
    flow = Flow(size, farm.settings.name or "Packing slip", order.code)
    flow.code(order.code, SLIP_MODULE)
    flow.place(20)
    for line in lines[1:]:
        if line is None:
            flow.rule()
        else:
            flow.line(line[0], right=line[1])
    return flow.pages()
