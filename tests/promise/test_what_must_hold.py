"""What must hold of every answer, whatever is on the farm: hypothesis makes up what is there and what is promised."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.farm import Farm
from core.promising.answer import Answer, answer_for
from core.promising.claims import LAST, Claim, Liked
from core.promising.weeks import crop_weeks
from tests.cases import cases
from tests.farms import beds

TODAY = date(2026, 8, 3)
Boxed = tuple[str, int]
LOTS = st.lists(st.tuples(st.sampled_from(("coral", "lime", "")), st.integers(1, 60)), min_size=1, max_size=4)
CLAIMS = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 40), st.sampled_from(("coral", "lime", ""))), max_size=4
)


def farm_of(lots: Sequence[Boxed], plants: int = 40) -> Farm:
    """A planting of zinnia in cut, and lots of it hung to dry."""
    pencil = beds("b1", start="2026-05-20", last_frost="05-14", first_frost="09-28")
    pencil.write("set out", planting="P01", crop="zinnia", variety="coral", bed="b1", feet=20, plants=plants)
    pencil.today = TODAY - timedelta(days=1)
    for n, (color, stems) in enumerate(lots, start=1):
        code, of = f"L{n:03d}", {"variety": color} if color else {}
        pencil.write("cut", lot=code, crop="zinnia", bed="b1", use="dry", stems=stems, **of)
        pencil.write("hung", lot=code, source="bucket", line="line 1", stems=stems, per=10)
    return pencil.farm


def claims_of(promised: Sequence[tuple[int, int, str]]) -> list[Claim]:
    made = [
        Claim(
            TODAY + timedelta(days=days), 0, wanted, "dry", (Liked("zinnia", color),), f"O{n:03d}", "a buyer"
        )
        for n, (days, wanted, color) in enumerate(promised)
    ]
    order = sorted(range(len(made)), key=lambda n: (made[n].due, made[n].order))
    return [
        Claim(c.due, order.index(n), c.wanted, c.form, c.liked, c.order, c.buyer) for n, c in enumerate(made)
    ]


def answer(farm: Farm, claims: Sequence[Claim], wanted: int = 20, color: str = "") -> Answer:
    asked = Claim(TODAY + timedelta(days=30), LAST, wanted, "dry", (Liked("zinnia", color),))
    return answer_for(farm, TODAY, asked, claims, briefly=True)


@cases(12, least=4)
@given(lots=LOTS, more=st.integers(1, 60), promised=CLAIMS, wanted=st.integers(1, 200))
def test_more_stock_makes_no_promise_worse(
    lots: list[Boxed], more: int, promised: list[tuple[int, int, str]], wanted: int
) -> None:
    claims = claims_of(promised)
    before, after = (
        answer(farm_of(lots), claims, wanted),
        answer(farm_of([*lots, ("coral", more)]), claims, wanted),
    )
    assert after.free_on_day >= before.free_on_day
    assert after.chance >= before.chance


@cases(12, least=4)
@given(lots=LOTS, promised=CLAIMS, data=st.data())
def test_the_order_of_writing_changes_no_answer(
    lots: list[Boxed], promised: list[tuple[int, int, str]], data: st.DataObject
) -> None:
    claims = claims_of(promised)
    again = data.draw(st.permutations(lots))
    one, other = answer(farm_of(lots), claims), answer(farm_of(again), claims[::-1])
    assert (one.answer, one.chance, one.free_on_day, one.short) == (
        other.answer,
        other.chance,
        other.free_on_day,
        other.short,
    )


@cases(12, least=4)
@given(lots=LOTS, promised=CLAIMS, wanted=st.integers(1, 300))
def test_what_is_surely_free_can_be_promised_and_then_is_not_free(
    lots: list[Boxed], promised: list[tuple[int, int, str]], wanted: int
) -> None:
    farm, claims = farm_of(lots), claims_of(promised)
    found = answer(farm, claims, wanted)
    assert (found.answer == "surely") == (wanted <= found.free_on_day)
    if found.answer == "surely":
        due = TODAY + timedelta(days=30)
        taken = Claim(due, LAST - 1, wanted, "dry", (Liked("zinnia"),), "O999", "a buyer")
        assert answer(farm, [*claims, taken], 1).free_on_day == found.free_on_day - wanted


@cases(12, least=4)
@given(lots=LOTS, promised=CLAIMS)
def test_nothing_is_free_that_is_not_there(lots: list[Boxed], promised: list[tuple[int, int, str]]) -> None:
    for row in crop_weeks(farm_of(lots), TODAY, claims_of(promised)):
        assert 0 <= row.free <= row.on_hand
        assert all(0 <= week.short <= week.due and week.poor <= week.free for week in row.weeks)
