"""What must hold whatever is ordered, picked, put back, handed over, paid, struck and merged: no stem and no cent is
lost or made, and the order of writing and of arrival changes nothing."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from fractions import Fraction
from math import floor
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.book.entry import Entry
from core.cache import freeze, thaw
from core.farm import Farm
from core.fold import fold
from core.language.read import read_line
from core.order_rows import HandedOver, Order, Picked
from core.orders.open_items import open_items
from core.orders.prices import share
from core.orders.takings import BY, open_sums, takings
from core.problems import Problem
from core.session import Session
from core.stems.rows import unbalanced
from core.text import is_clean
from tests.cases import cases
from tests.farms import TODAY, Pencil, farm_in, frozen, guide_farm, small_farm, write
from tests.language.slipped import slipped

FRESH, DRY = "fresh", "dry"
DONE = ("picked", "handed over", "put back", "paid", "told short", "came back", "given back")


def _stocked(draw: st.DrawFn) -> Pencil:
    pencil = small_farm().later(40)
    pencil.write("recipe", recipe="posy", sort="bouquet")
    pencil.write("part", recipe="posy", what="strawflower", count=2, form="dry")
    for n in range(1, draw(st.integers(3, 6))):
        stems, form = draw(st.integers(10, 40)), draw(st.sampled_from((FRESH, DRY)))
        crop = draw(st.sampled_from(("zinnia", "strawflower")))
        timed = {"minutes": draw(st.integers(1, 90))} if draw(st.booleans()) else {}
        bed = draw(st.sampled_from(("b1", "b2")))
        pencil.write("cut", lot=f"L{n:03d}", crop=crop, bed=bed, use=form, stems=stems, **timed)
        if form == DRY:
            pencil.write("hung", lot=f"L{n:03d}", source="bucket", line="line 1", stems=stems)
            pencil.write("boxed", lot=f"L{n:03d}", source="line 1", box="box 1", bunches=stems // 10, per=10)
    pencil.write("made", piece="M001", recipe="posy", count=draw(st.integers(1, 4)), minutes=40)
    return pencil


@st.composite
def books(draw: st.DrawFn) -> Pencil:
    """A stocked shed, some orders, and whatever hands may do for them; only what the book takes is in it."""
    pencil = _stocked(draw)
    for n in range(1, draw(st.integers(2, 4))):
        _order(pencil, f"O{n:03d}", draw)
    for _ in range(draw(st.integers(6, 24))):
        _do(pencil, draw)
        if draw(st.booleans()):
            pencil.later(1)
    return pencil


def _order(pencil: Pencil, code: str, draw: st.DrawFn) -> None:
    due = pencil.today.replace(month=9)
    standing: dict[str, Any] = {}
    if draw(st.booleans()):
        standing = {
            "every_days": 7,
            "until_on": due.replace(day=due.day + 7 if due.day < 21 else due.day).isoformat(),
        }
    pencil.write(
        "ordered",
        order=code,
        buyer=draw(st.sampled_from(("Ann", "Lane", "market"))),
        due_on=due.isoformat(),
        **standing,
    )
    for item in (1, 2, 3):
        what = draw(st.sampled_from(("zinnia", "strawflower", "posy")))
        price = {"cents": draw(st.integers(0, 999))} if draw(st.booleans()) else {}
        number = draw(st.integers(1, 30))
        if what == "posy":
            pencil.write(
                "order item", order=code, item=item, recipe=what, form="piece", count=number, **price
            )
        else:
            per = {"per": draw(st.integers(1, 9))} if draw(st.booleans()) else {}
            form = draw(st.sampled_from((FRESH, DRY)))
            pencil.write(
                "order item", order=code, item=item, crop=what, form=form, count=number, **per, **price
            )


def _do(pencil: Pencil, draw: st.DrawFn) -> None:
    number = draw(st.integers(1, 12))
    of = {
        "order": draw(st.sampled_from(("O001", "O002"))),
        "item": draw(st.integers(1, 3)),
        "delivery": draw(st.integers(1, 2)),
    }
    lot = f"L{draw(st.integers(1, 4)):03d}"
    source = draw(st.sampled_from(("bucket", "box 1", "line 1")))
    piece = {"piece": "M001", "count": number}
    tried: dict[str, dict[str, Any]] = {
        "picked": of | {"lot": lot, "stems": number, "source": source},
        "picked piece": of | piece,
        "put back": of | {"lot": lot, "stems": number, "place": source},
        "put back piece": of | piece,
        "handed over": of | {"lot": lot, "stems": number, "source": f"for {of['order']}", "who": "Ann"},
        "handed over from stock": of | {"lot": lot, "stems": number, "source": source, "who": "Ann"},
        "handed over piece": of | piece | {"who": "Ann", "picked": draw(st.booleans())},
        "told short": of | {"count": number},
        "paid": {"order": of["order"], "cents": draw(st.integers(1, 5000)), "who": "Ann"},
        "sold": {
            "lot": lot,
            "stems": number,
            "source": source,
            "cents": draw(st.integers(0, 999)),
            "who": "market",
        },
        "lost": {"lot": lot, "count": number, "source": source, "cause": "mold"},
        "given back": {"order": of["order"], "cents": draw(st.integers(1, 900)), "who": "Ann"},
        "item dropped": {"order": of["order"], "item": of["item"]},
        "order cancelled": {"order": of["order"]},
        "skipped": {"order": of["order"], "buyer": "Ann", "due_on": "2026-09-01"},
        "packed": {"order": of["order"]},
    }
    name = draw(st.sampled_from([*tried, *["picked"] * 3, *["again"] * 6, *["home"] * 3, "strike"]))
    picks = [(order, pick) for order in pencil.farm.orders.all() for pick in order.picks if pick.number > 0]
    if name == "again":
        if picks:
            _with_what_is_picked(pencil, *draw(st.sampled_from(picks)), draw)
        return
    if name == "home":
        had = [
            (order, over) for order in pencil.farm.orders.all() for over in order.handed if over.number > 0
        ]
        if had:
            _comes_back(pencil, *draw(st.sampled_from(had)), draw)
        return
    if name == "strike":
        done = [e for e in pencil.entries if e.kind in DONE]
        if done:
            pencil.entries.append(pencil.made("strike", entry=draw(st.sampled_from(done)).id))
        return
    kind = name.removesuffix(" piece").removesuffix(" from stock")
    if pencil.refusal(kind, **tried[name]) is None:
        pencil.write(kind, **tried[name])


def _with_what_is_picked(pencil: Pencil, order: Order, pick: Picked, draw: st.DrawFn) -> None:
    """Some of what is picked is handed over, or goes back to where it came from or elsewhere."""
    number = draw(st.integers(1, pick.number))
    item = order.item(pick.item)
    assert item is not None
    of: dict[str, Any] = {"order": order.code, "item": item.place, "delivery": pick.delivery}
    hands = draw(st.booleans())
    if item.form == "piece":
        of |= {"piece": pick.code, "count": number} | ({"picked": True, "who": "Ann"} if hands else {})
    elif hands:
        of |= {"lot": pick.code, "stems": number, "source": order.place, "who": "Ann"}
    else:
        of |= {
            "lot": pick.code,
            "stems": number,
            "place": draw(st.sampled_from((pick.source, "cooler", "box 2"))),
        }
    kind = "handed over" if hands else "put back"
    if pencil.refusal(kind, **of) is None:
        pencil.write(kind, **of)


def _comes_back(pencil: Pencil, order: Order, over: HandedOver, draw: st.DrawFn) -> None:
    """Some of what the buyer has comes home."""
    number = draw(st.integers(1, over.number))
    item = order.item(over.item)
    assert item is not None
    of: dict[str, Any] = {"order": order.code, "item": item.place, "delivery": over.delivery, "who": "Ann"}
    if item.form == "piece":
        of |= {"piece": over.code, "count": number}
    else:
        of |= {
            "lot": over.code,
            "stems": number,
            "place": draw(st.sampled_from(("bucket", "cooler", "box 1"))),
        }
    if pencil.refusal("came back", **of) is None:
        pencil.write("came back", **of)


def _set_aside(farm: Farm) -> Counter[tuple[str, str]]:
    """(order, lot or pieces) -> what lies there for it, by the places of the stems."""
    found = Counter[tuple[str, str]]()
    for lot in farm.lots.all():
        for place, held in lot.holdings.items():
            if place.is_set_aside:
                found[place.removeprefix("for "), lot.code] += held.stems
    for piece in farm.pieces.all():
        for order, number in piece.set_aside.items():
            found[order, piece.code] += number
    return Counter({key: number for key, number in found.items() if number})


def _picked(farm: Farm) -> Counter[tuple[str, str]]:
    """The same by what the orders say was picked, and handed over of it."""
    found = Counter[tuple[str, str]]()
    for order in farm.orders.all():
        for pick in order.picks:
            found[order.code, pick.code] += pick.number
        for over in order.handed:
            found[order.code, over.code] -= over.number
    return Counter({key: number for key, number in found.items() if number})


@given(books())
@cases(150)
def test_every_stem_is_on_hand_sold_used_or_lost_and_what_is_picked_lies_there(pencil: Pencil) -> None:
    farm = pencil.farm
    assert unbalanced(farm) == []
    assert _set_aside(farm) == _picked(farm)
    for lot in farm.lots.all():
        assert lot.sold == sum(sale.number for sale in lot.sales)
    for piece in farm.pieces.all():
        assert piece.sold == sum(sale.number for sale in piece.sales)


@given(books())
@cases(150)
def test_money_is_the_same_by_whatever_it_is_told_and_rounded_once_an_item(pencil: Pencil) -> None:
    farm = pencil.farm
    sums = {by: sum(row.cents for row in takings(farm, by)) for by in BY}
    assert len(set(sums.values())) == 1
    for order in farm.orders.all():
        assert order.taken == sum(_worth(order).values())
        assert order.owed == (0 if order.is_market and order.payments else order.taken - order.paid)
    assert sums["crop"] == _taken_by_hand(pencil)


@given(books())
@cases(150)
def test_who_owes_what_is_what_went_over_less_what_came_back_and_was_paid(pencil: Pencil) -> None:
    """By the entries alone: what each buyer had, what it costs, what came in; nothing is owed back that is ahead."""
    farm = pencil.farm
    owed: dict[str, int] = {}
    for order in farm.orders.all():
        came_in = _came_in(pencil, order.made_by)
        worth = sum(_worth_by_hand(pencil, order).values())
        if order.buyer == "market" and came_in is not None:
            continue
        left = worth - (came_in or 0)
        waits = any(tally.open or tally.picked > tally.handed for tally in order.tallies().values())
        if left > 0 or (left < 0 and not waits):
            owed[order.buyer] = owed.get(order.buyer, 0) + left
    assert {row.buyer: row.cents for row in open_sums(farm) if row.cents} == {
        who: cents for who, cents in owed.items() if cents
    }


def _counting(pencil: Pencil) -> list[Entry]:
    struck = {e.fields["entry"] for e in pencil.entries if e.kind == "strike"}
    return [e for e in pencil.entries if e.id not in struck]


def _came_in(pencil: Pencil, made_by: str) -> int | None:
    """What was paid less what was given back; None where no money moved."""
    code = next(e.fields["order"] for e in pencil.entries if e.id == made_by)
    signs = {"paid": 1, "given back": -1}
    moved = [
        signs[e.kind] * e.fields["cents"]
        for e in _counting(pencil)
        if e.kind in signs and e.fields["order"] == code
    ]
    return sum(moved) if moved else None


def _worth_by_hand(pencil: Pencil, order: Order) -> dict[tuple[int, int], int]:
    """(item, delivery) -> what the buyer has of it comes to, half a cent up."""
    number = Counter[tuple[int, int]]()
    for e in _counting(pencil):
        sign = {"handed over": 1, "came back": -1}.get(e.kind, 0)
        if sign and e.fields["order"] == order.code:
            n = e.fields.get("stems", e.fields.get("count"))
            number[e.fields["item"], e.fields.get("delivery", 1)] += sign * n
    items = {item.place: item for item in order.items}
    half = Fraction(1, 2)
    return {
        (place, delivery): floor(Fraction((items[place].cents or 0) * n, max(items[place].per, 1)) + half)
        for (place, delivery), n in number.items()
    }


def _taken_by_hand(pencil: Pencil) -> int:
    """All that was taken: single sales at what they came to, orders at what went over and stayed, a market and an order
    without prices at what was paid."""
    taken = sum(e.fields.get("cents", 0) for e in _counting(pencil) if e.kind in ("sold", "piece sold"))
    for order in pencil.farm.orders.all():
        came_in = _came_in(pencil, order.made_by) or 0
        without_price = all(item.cents is None for item in order.items)
        has_any = any(over.number for over in order.handed)
        if came_in and has_any and (order.buyer == "market" or without_price):
            whole = sum(over.number for over in order.handed)
            priced = order.taken > 0 and all(item.cents is not None for item in order.items)
            taken += came_in if priced or whole else 0
        else:
            taken += sum(_worth_by_hand(pencil, order).values())
    return taken


def _worth(order: Order) -> dict[tuple[str, int], int]:
    """(item, delivery) -> what was handed over of it comes to, of the whole number at once."""
    number = Counter[tuple[str, int]]()
    for over in order.handed:
        number[over.item, over.delivery] += over.number
    items = {item.id: item for item in order.items}
    return {
        key: int((items[key[0]].cents or 0) * n / max(items[key[0]].per, 1) + 0.5)
        for key, n in number.items()
    }


@given(books(), st.randoms(use_true_random=False))
@cases(60)
def test_the_order_in_which_entries_arrive_changes_nothing_and_the_cache_keeps_all(
    pencil: Pencil, chance: random.Random
) -> None:
    shuffled = [*pencil.entries]
    chance.shuffle(shuffled)
    assert frozen(fold(shuffled)) == frozen(pencil.farm)
    assert frozen(thaw(*freeze(pencil.farm))) == frozen(pencil.farm)
    wanted = [(o.order.code, o.item.id, o.delivery, o.wanted) for o in open_items(pencil.farm, pencil.today)]
    assert wanted == [
        (o.order.code, o.item.id, o.delivery, o.wanted) for o in open_items(fold(shuffled), pencil.today)
    ]


@given(st.integers(0, 100_000), st.lists(st.integers(1, 400), min_size=1, max_size=8))
@cases(200)
def test_a_sum_shared_out_is_the_sum(cents: int, numbers: list[int]) -> None:
    total, done, given_out = sum(numbers), 0, 0
    for number in numbers:
        before = share(cents, done, total)
        done += number
        part = share(cents, done, total) - before
        assert part >= 0
        given_out += part
    assert given_out == cents


GUIDE = guide_farm()
LINES = (
    "order Fern Hollow 20 bu lavender dry by 10-15 at 9",
    "order wedding 9 corsage, 40 zinnia pink or coral by 9-19 spare 10% deposit 50",
    "order Lane 5 bu zinnia at 7 weekly from 7-1 to 8-26",
    "order O014 12 corsages at 18",
    "O014 was strawflower 30 bu at 9",
    "drop O014 corsage",
    "pick 12 O014 L035",
    "short 5 corsage O014",
    "back 5 L035 O014 box 7",
    "handed over O014",
    "paid O014 12.50",
    "paid Fern Hollow 18",
    "refund O014 2",
    "price lavender dry 8 a bunch for Fern Hollow",
    "sold 2 bu L035 to corner florist at 9",
)
WORDS = sorted(
    {w for line in LINES for w in line.split()}
    | {":", ",", "0", "-3", "1.5", "'x", "$", "$-1", "1e9", "@", "or"}
)


@given(slipped(LINES, WORDS))
@cases(400)
def test_no_slip_in_a_line_of_orders_raises_or_is_told_in_unclean_words(text: str) -> None:
    result = read_line(text, GUIDE, TODAY)
    if isinstance(result, Problem):
        assert result.sentence and is_clean(result.sentence)
    else:
        assert result.undo or result.drafts
        assert all(draft.fields.get("cents", 0) >= 0 for draft in result.drafts)


# two machines


def test_what_two_machines_promised_apart_is_told_with_both_buyers(tmp_path: Path) -> None:
    days = {
        "2026-06-01": ("bed b1 50ft", "plant statice b1 20ft"),
        "2026-06-10": ("40 statice b1 dry", "hang L001 line 1"),
        "2026-06-20": ("snap L001", "box L001 4x10 box 7", "clear b1"),
    }
    shed = farm_in(tmp_path / "shed", days)
    shed.close()
    field = Path(shutil.copytree(tmp_path / "shed", tmp_path / "netbook"))
    (field / "device").unlink(missing_ok=True)
    here = Session.open(tmp_path / "shed", by="ml", on=shed.today)
    there = Session.open(field, by="jo", on=shed.today)
    write(here, "order Fern Hollow 4x10 statice dry by 6-28")
    write(there, "order Hill Table 4x10 statice dry by 6-30")
    assert here.complete("pick O001").says == "pick for O001 Fern Hollow: 4 bu L001 in box 7"
    there.close()
    told = [problem.sentence for problem in here.upkeep.merge(field).to_settle]
    assert any(
        "Fern Hollow" in said and "Hill Table" in said and said.startswith("40 of 40 statice dry")
        for said in told
    )
    assert {order.buyer for order in here.farm.orders.live()} == {"Fern Hollow", "Hill Table"}
    again = here.upkeep.merge(field)
    assert again.added == 0 and not again.to_settle
    assert here.check() == [] or all(problem.code == "settle" for problem in here.check())
