"""What was taken, by crop, bed, hour, buyer, outlet and week, against a second reckoning from the entries alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from math import floor
from typing import Any, NamedTuple

from hypothesis import given

from core.book.entry import Entry
from core.orders.takings import BY, By, TakingsRow, takings
from tests.cases import cases
from tests.farms import Pencil
from tests.orders.test_always import books

SOLD = {"sold": 1, "piece sold": 1, "handed over": 1, "came back": -1}


class Line(NamedTuple):
    """One sale as the entries have it: of which cut or making, how many, and what it comes to."""

    source: Entry
    on: str
    who: str
    order: str
    number: int
    cents: Fraction | None


@given(books())
@cases(60)
def test_takings_are_what_the_entries_say_whatever_they_are_told_by(pencil: Pencil) -> None:
    lines = [*sales(pencil)]
    for by in BY:
        for year in (None, 2026, 2025):
            mine = by_hand(pencil, lines, by, year)
            told = {row.of: row for row in takings(pencil.farm, by, year)}
            assert told.keys() == mine.keys()
            for of, row in told.items():
                assert agrees(row, mine[of]), (by, of, row, mine[of])


def agrees(row: TakingsRow, mine: dict[str, Any]) -> bool:
    """Money to a cent: what a market made is shared out in whole cents."""
    whole = (row.stems, row.pieces, row.unpriced) == (mine["stems"], mine["pieces"], mine["unpriced"])
    near = abs(row.cents - mine["cents"]) <= mine["sales"]
    hours = abs((row.hours or 0) - mine["hours"]) <= Fraction(1, 100)
    an_hour = row.cents_per_hour is None or abs(row.cents_per_hour * mine["hours"] - mine["timed"]) <= (
        mine["sales"] + mine["hours"]
    )
    a_foot = row.cents_per_foot is None or abs(row.cents_per_foot * mine["feet"] - row.cents) <= mine["feet"]
    return whole and near and hours and an_hour and a_foot


def sales(pencil: Pencil) -> Iterator[Line]:
    """Every sale that counts, what it comes to said by the prices of its order and what a market made."""
    struck = {e.fields["entry"] for e in pencil.entries if e.kind == "strike"}
    counting = [e for e in pencil.entries if e.id not in struck]
    source = {e.fields["lot"]: e for e in counting if e.kind == "cut"}
    source |= {e.fields["piece"]: e for e in counting if e.kind == "made"}
    priced = {(e.fields["order"], e.fields["item"]): e.fields for e in counting if e.kind == "order item"}
    buyers = {e.fields["order"]: e.fields["buyer"] for e in counting if e.kind == "ordered"}
    had: dict[tuple[str, int, int], int] = defaultdict(int)
    found = []
    for e in (e for e in counting if e.kind in SOLD):
        f = e.fields
        number = SOLD[e.kind] * f.get("stems", f.get("count"))
        cents, order = f.get("cents"), f.get("order", "")
        if order:
            item = priced[order, f["item"]]
            key = (order, f["item"], f.get("delivery", 1))
            cents = worth(item, had[key] + number) - worth(item, had[key]) if "cents" in item else None
            had[key] += number
        who = buyers[order] if order else f.get("who", "")
        found.append(Line(source[f.get("lot", f.get("piece"))], e.on, who, order, number, cents))
    for order, buyer in buyers.items():
        found = shared_out(found, order, buyer, priced, paid_for(counting, order))
    return iter(found)


def worth(item: dict[str, Any], number: int) -> Fraction:
    """Half a cent up, of the whole number at once."""
    return Fraction(floor(Fraction(item["cents"] * number, max(item.get("per", 0), 1)) + Fraction(1, 2)))


def paid_for(counting: list[Entry], order: str) -> int:
    signs = {"paid": 1, "given back": -1}
    return sum(
        signs[e.kind] * e.fields["cents"] for e in counting if e.kind in signs and e.fields["order"] == order
    )


def shared_out(
    found: list[Line], order: str, buyer: str, priced: dict[tuple[str, int], Any], paid: int
) -> list[Line]:
    """What was paid, over the sales of a market, or of an order without any price."""
    mine = [line for line in found if line.order == order]
    without = all("cents" not in item for (of, _), item in priced.items() if of == order)
    all_priced = all("cents" in item for (of, _), item in priced.items() if of == order)
    if not paid or not mine or not (buyer == "market" or without):
        return found
    by_price = all_priced and sum(line.cents or 0 for line in mine) > 0
    weight = {id(line): line.cents if by_price else Fraction(line.number) for line in mine}
    whole = sum(value or 0 for value in weight.values())
    return [
        line._replace(cents=paid * (weight[id(line)] or 0) / whole if whole else Fraction(0))
        if line.order == order
        else line
        for line in found
    ]


def by_hand(pencil: Pencil, lines: list[Line], by: By, year: int | None) -> dict[str, dict[str, Any]]:
    feet = {e.fields["bed"]: e.fields["feet"] for e in pencil.entries if e.kind == "bed"}
    rows: dict[str, dict[str, Any]] = {}
    for line in lines:
        if year is not None and line.on[:4] != str(year):
            continue
        made, is_lot = line.source.fields, line.source.kind == "cut"
        monday = date.fromordinal(
            date.fromisoformat(line.on).toordinal() - date.fromisoformat(line.on).weekday()
        )
        key = {
            "crop": made.get("crop", made.get("recipe")),
            "hour": made.get("crop", made.get("recipe")),
            "bed": made.get("bed", "pieces"),
            "buyer": line.who or "not said",
            "outlet": "market" if line.who == "market" else "orders" if line.order else "direct",
            "week": monday.isoformat(),
        }[by]
        row = rows.setdefault(key, dict.fromkeys(("stems", "pieces", "unpriced", "sales", "feet"), 0))
        for name in ("cents", "hours", "timed"):
            row.setdefault(name, Fraction(0))
        row["sales"] += 1
        row["feet"] = feet.get(key, 0)
        row["stems" if is_lot else "pieces"] += line.number
        if line.cents is None:
            row["unpriced"] += line.number
            continue
        row["cents"] += line.cents
        if minutes := made.get("minutes"):
            row["hours"] += Fraction(minutes, 60) * line.number / made.get("stems", made.get("count"))
            row["timed"] += line.cents
    return rows
