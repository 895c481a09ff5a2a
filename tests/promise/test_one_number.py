"""What is free today is one number: the stock shows it, the Promised table shows it, a promise for today is sure up to
it, and so many can be sold unasked and not one more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.book.entry import Draft
from core.farm import Farm
from core.fresh.rows import fresh_rows
from core.orders.pickable import pickable
from core.problems import Problem
from core.promising.claims import LAST, Claim, Liked
from core.promising.doubts import doubts
from core.promising.free_today import free_today
from core.promising.open_claims import open_claims
from core.promising.supply import supply_for
from core.promising.telephone import ask
from core.promising.weeks import crop_weeks, free_now
from core.session import Session
from tests.cases import cases
from tests.farms import beds, write
from tests.promise.demo_orders import demo_with

TODAY = date(2026, 8, 3)
ORDERS = (
    "order Ann 40 lavender dry by 8-1",
    "order Ann 60 zinnia fresh weekly from 7-10 for 8 weeks",
    "order Cal 20 ammi fresh, 100 statice dry by 6-24",
    "order Dee 300 strawflower dry, 12 yarrow or larkspur dry by 10-1",
    "order Dee 5 stock fresh, 9 peony fresh by 6-26",
)


@pytest.fixture(scope="module")
def demo() -> Iterator[Session]:
    with demo_with(*ORDERS) as session:
        yield session


def asks_for(farm: Farm, today: date, sales: Sequence[tuple[str, str, int]]) -> bool:
    """Whether selling so many of these lots from these places is asked about."""
    drafts = [
        Draft("sold", today.isoformat(), {"lot": lot, "source": place, "stems": stems, "buyer": "Bea"})
        for lot, place, stems in sales
        if stems
    ]
    return bool(list(doubts(farm, today, drafts)))


def most_sold(farm: Farm, today: date, holdings: Sequence[tuple[str, str, int]], about: int) -> int:
    """As many as can be sold unasked of these, one lot after the other: (lot, place, stems). Looked for first where
    it would be were it `about` so many, and one more."""
    sold: list[tuple[str, str, int]] = []
    for lot, place, stems in holdings:
        low, high = 0, stems + 1
        likely = max(0, min(stems, about - sum(before for _, _, before in sold)))
        tried = [likely + 1, likely]
        while high - low > 1:
            middle = tried.pop() if tried else (low + high) // 2
            if low < middle < high:
                asked = asks_for(farm, today, [*sold, (lot, place, middle)])
                low, high = (low, middle) if asked else (middle, high)
        sold.append((lot, place, low))
    return sum(stems for _, _, stems in sold)


def on_hand(farm: Farm, today: date, crop: str, form: str) -> list[tuple[str, str, int]]:
    """What lies there of a crop in a form and is good today, what expires first standing first."""
    asked = Claim(today, LAST, 1, form, (Liked(crop),))  # type: ignore[arg-type]
    sources = supply_for(farm, today, (), [asked]).sources
    lots = [
        (lot.good_through, source.code, source.place, lot.amount)
        for source in sources
        if source.kind == "on hand" and source.sorts[0][::2] == (crop, form)
        for lot in source.lots(None)
        if lot.good_through >= today
    ]
    return [(code, place, stems) for _, code, place, stems in sorted(lots)]


def promised_today(session: Session, crop: str, form: str) -> int:
    replies = ask(session.farm, session.today, f"1 {crop} {form} {session.today:%m-%d}")
    assert not isinstance(replies, Problem), replies.sentence
    return replies[0].answer.free_on_day


def test_on_the_demo_farm_all_say_the_same_and_so_many_can_be_sold(demo: Session) -> None:
    farm, today = demo.farm, demo.today
    claims = open_claims(farm, today)
    stock = {(row.crop, row.form): row.free for row in free_now(farm, today, claims)}
    table = {(row.crop, row.form): row for row in crop_weeks(farm, today, claims)}
    assert len(stock) >= 10
    assert {key: table[key].free for key in stock} == stock
    # some of each: all of it free, none of it, a part
    some = [(row.on_hand, row.free) for row in table.values() if row.on_hand]
    assert any(there == free for there, free in some)
    assert any(free == 0 for _, free in some)
    assert any(0 < free < there for there, free in some)
    for (crop, form), row in table.items():
        if row.on_hand and form != "piece" and ((crop, form) in stock or crop == "celosia, plume"):
            assert promised_today(demo, crop, form) == row.free, (crop, form)
            assert most_sold(farm, today, on_hand(farm, today, crop, form), row.free) == row.free, (
                crop,
                form,
            )


def test_at_the_door_the_last_is_sold_and_one_more_is_asked_about(demo: Session) -> None:
    farm, today = demo.farm, demo.today
    parts = [
        (row, on_hand(farm, today, row.crop, row.form))
        for row in crop_weeks(farm, today, open_claims(farm, today))
        if 0 < row.free < row.on_hand
    ]
    (row, lots) = next(part for part in parts if len(part[1]) == 1)
    refused = demo.write(f"sold {row.free + 1} stems {lots[0][0]} {lots[0][1]} to Bea")
    assert isinstance(refused, Problem)
    assert "be short for" in refused.sentence
    write(demo, f"sold {row.free} stems {lots[0][0]} {lots[0][1]} to Bea")
    assert promised_today(demo, row.crop, row.form) == 0


COLORS = st.sampled_from(("coral", "lime"))
LOTS = st.lists(
    st.tuples(COLORS, st.integers(1, 60), st.sampled_from(("dry", "fresh"))), min_size=1, max_size=4
)
PROMISED = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 60), st.sampled_from(("coral", "lime", "")), st.booleans()),
    min_size=1,
    max_size=4,
)


def farm_of(lots: Sequence[tuple[str, int, str]], promised: Sequence[tuple[int, int, str, bool]]) -> Farm:
    """Zinnia in cut, boxes and buckets of it, and orders for some of it."""
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="09-28")
    pencil.write("set out", planting="P01", crop="zinnia", variety="coral", bed="b1", feet=20, plants=40)
    for n, (color, stems, use) in enumerate(lots, start=1):
        pencil.today = TODAY - timedelta(days=1 if use == "fresh" else 30)
        pencil.write("cut", lot=f"L{n:03d}", crop="zinnia", variety=color, bed="b1", use=use, stems=stems)
        if use == "dry":
            pencil.write("hung", lot=f"L{n:03d}", source="bucket", line="line 1", stems=stems)
            pencil.write("boxed", lot=f"L{n:03d}", source="line 1", box="box 1", bunches=stems, per=1)
    pencil.today = TODAY
    for n, (days, wanted, color, is_dry) in enumerate(promised, start=1):
        due = (TODAY + timedelta(days=days)).isoformat()
        pencil.write("ordered", order=f"O{n:03d}", buyer=f"Ann {n}", due_on=due)
        of = {"colors": color} if color else {}
        form = "dry" if is_dry else "fresh"
        pencil.write("order item", order=f"O{n:03d}", item=1, crop="zinnia", form=form, count=wanted, **of)
    return pencil.farm


@cases(40, least=6)
@given(lots=LOTS, promised=PROMISED)
def test_whatever_is_there_and_promised_it_is_one_number(
    lots: list[tuple[str, int, str]], promised: list[tuple[int, int, str, bool]]
) -> None:
    farm = farm_of(lots, promised)
    claims = open_claims(farm, TODAY)
    stock = {row.form: row.free for row in free_now(farm, TODAY, claims)}
    for row in crop_weeks(farm, TODAY, claims):
        assert row.free == stock.get(row.form, row.free)
        assert row.free == free_today(farm, TODAY, claims, "zinnia", row.form)
        replies = ask(farm, TODAY, f"1 zinnia {row.form} {TODAY:%m-%d}")
        assert not isinstance(replies, Problem)
        assert replies[0].answer.free_on_day == row.free
        assert most_sold(farm, TODAY, on_hand(farm, TODAY, "zinnia", row.form), row.free) == row.free


@pytest.mark.parametrize("crop", ["zinnia", "snapdragon", "lisianthus", "dahlia"])
def test_what_the_buckets_say_can_be_sold_is_on_hand_and_free(crop: str) -> None:
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="09-28")
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=20, plants=40)
    for n in range(24):
        pencil.today = TODAY - timedelta(days=24 - n)
        pencil.write("cut", lot=f"L{n:03d}", crop=crop, bed="b1", use="fresh", stems=10 + n)
    pencil.today = TODAY
    rows = fresh_rows(pencil.farm, TODAY)
    sold = {row.lot: row.stems for row in rows if row.status not in ("old", "compost")}
    assert "sell" in {row.status for row in rows} and len(sold) < len(rows)
    pencil.write("ordered", order="O001", buyer="Ann", due_on=TODAY.isoformat())
    pencil.write("order item", order="O001", item=1, crop=crop, form="fresh", count=5)
    (stock,) = free_now(pencil.farm, TODAY, open_claims(pencil.farm, TODAY))
    assert (stock.on_hand, stock.free) == (sum(sold.values()), sum(sold.values()) - 5)
    # and all that is there to be promised can be picked
    order = pencil.farm.orders.get("O001")
    assert order is not None
    fit = {
        one.code: one.free for one in pickable(pencil.farm, order.items[0], TODAY, TODAY) if not one.why_not
    }
    assert fit == sold
