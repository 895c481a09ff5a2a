"""Which lot serves which promise: cases proved by hand, and random ones against maximum and minimum-cost flows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.reckon.promise.allocation import Allocation, Stock, allocate, by_rank, in_turn, served
from core.reckon.promise.needs import AnyNeed, Lot, Need, Part, PieceNeed
from tests.cases import some_of

START = date(2026, 7, 1)


def day(n: int) -> date:
    return START + timedelta(days=n)


def need(due: int, rank: int, wanted: int, accepts: str, life_left: int = 0, name: str = "") -> Need:
    return Need(day(due), rank, wanted, tuple(accepts.split()), life_left, name)


def lot(ready: int, good: int, amount: int, sort: str, name: str = "") -> Lot:
    return Lot(day(ready), day(good), amount, sort, name)


def free_by_day(
    needs: Sequence[AnyNeed], lots: Sequence[Lot], accepts: tuple[str, ...], days: Iterable[date]
) -> tuple[int, ...]:
    """What can still be promised for each of the days, taking nothing from any need: each day on its own."""
    stock = Stock.of(lots)
    in_turn(stock, needs)
    return tuple(stock.free(accepts, on) for on in days)


# our own cases, each optimum proved by hand and by two solvers; greedy by earliest expiry gives what stands last
CASES: dict[str, tuple[list[AnyNeed], list[Lot], tuple[int, ...], tuple[int, ...]]] = {
    "a substitute is taken by whom it serves": (
        [need(10, 1, 30, "coral peach"), need(10, 2, 25, "coral")],
        [lot(1, 12, 30, "coral"), lot(1, 14, 30, "peach")],
        (30, 25),
        (30, 0),
    ),
    "the last in rank bears what is short": (
        [need(5, 1, 40, "dry"), need(9, 2, 40, "dry"), need(12, 3, 30, "dry")],
        [lot(1, 6, 40, "dry"), lot(1, 10, 30, "dry"), lot(8, 20, 35, "dry")],
        (40, 40, 25),
        (40, 40, 25),
    ),
    "nothing is left idle": (
        [need(7, 2, 20, "z"), need(7, 1, 15, "z"), need(8, 3, 10, "z y"), need(8, 4, 12, "y")],
        [lot(1, 7, 18, "z"), lot(3, 9, 20, "z"), lot(2, 8, 15, "y")],
        (20, 15, 10, 8),
        (20, 15, 10, 5),
    ),
    "what dies is eaten first": (
        [need(3, 1, 10, "x"), need(4, 2, 10, "x"), need(6, 3, 10, "x")],
        [lot(3, 4, 10, "x"), lot(1, 3, 8, "x"), lot(5, 9, 9, "x")],
        (10, 8, 9),
        (10, 8, 9),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_cases_proved_by_hand(name: str) -> None:
    needs, lots, best, greedy = CASES[name]
    assert allocate(needs, lots).served == best == served(needs, lots)
    assert _greedy([n for n in needs if isinstance(n, Need)], lots) == greedy


def test_pieces_are_made_whole_in_their_turn() -> None:
    # statice allows 22 // 2 corsages, which leaves 9 roses; scipy.optimize.milp agrees
    corsage = PieceNeed(day(5), 1, 12, (Part(1, ("rose",)), Part(2, ("statice",)), Part(1, ("leaf",))))
    boutonniere = PieceNeed(day(5), 2, 10, (Part(1, ("rose",)), Part(1, ("leaf",))))
    lots = [lot(1, 9, 20, "rose"), lot(1, 9, 22, "statice"), lot(1, 9, 30, "leaf")]
    found = allocate([corsage, boutonniere], lots)
    assert found.served == (11, 9)
    assert found.left == (0, 0, 10)
    _holds([corsage, boutonniere], lots, found)


LIFE = (
    [need(3, 1, 20, "x"), need(8, 2, 30, "x")],
    [lot(0, 4, 30, "x"), lot(0, 9, 25, "x"), lot(6, 14, 40, "x")],
)


def test_what_is_free_where_stock_dies() -> None:
    # each day proved by hand and by a maximum flow; the running sum less all orders gives 5, -25, 15, -10, -50
    found = free_by_day(*LIFE, ("x",), map(day, range(1, 16)))
    assert found == (35, 35, 35, 35, 25, 35, 35, 35, 35, 35, 35, 35, 35, 35, 0)


# the wording of the World Health Organization: the earliest expiry before the later; of those alike the older


def test_the_earliest_to_expire_is_taken_first_and_of_those_alike_the_oldest() -> None:
    lots = [lot(1, 9, 1, "x"), lot(3, 5, 1, "x"), lot(1, 5, 1, "x"), lot(2, 3, 1, "x")]
    order = [allocate([need(3, 1, n, "x")], lots) for n in range(1, 5)]
    taken = [{t.lot for t in found.taken[0]} for found in order]
    assert taken == [{3}, {3, 2}, {3, 2, 1}, {3, 2, 1, 0}]


def test_what_came_first_is_not_taken_first_where_it_lasts_longer() -> None:
    found = allocate([need(4, 1, 5, "x")], [lot(0, 20, 5, "x"), lot(3, 6, 5, "x")])
    assert [t.lot for t in found.taken[0]] == [1]


def test_what_is_past_its_life_is_never_taken_and_the_last_day_counts() -> None:
    only = [lot(0, 5, 10, "x")]
    assert served([need(6, 1, 4, "x")], only) == (0,)
    assert served([need(5, 1, 4, "x")], only) == (4,)
    assert served([need(3, 1, 4, "x", life_left=3)], only) == (0,)
    assert served([need(3, 1, 4, "x", life_left=2)], only) == (4,)


# random cases, half of the needs with substitutes


def _random(rng: Random, most_needs: int = 8, most_lots: int = 10) -> tuple[list[AnyNeed], list[Lot]]:
    sorts = "abcd"[: rng.randint(2, 4)]
    needs: list[AnyNeed] = []
    for i in range(rng.randint(1, most_needs)):
        accepts = tuple(rng.sample(sorts, rng.choice((1, 1, 2, 2))))
        needs.append(Need(day(rng.randint(0, 14)), i, rng.randint(1, 20), accepts, rng.choice((0, 0, 0, 2))))
    rng.shuffle(needs)
    lots = []
    for _ in range(rng.randint(1, most_lots)):
        ready = rng.randint(-5, 12)
        lots.append(lot(ready, ready + rng.randint(0, 12), rng.randint(1, 20), rng.choice(sorts)))
    return needs, lots


def _graph(nx: Any, needs: list[Any], lots: list[Lot], amounts: list[int]) -> Any:
    graph = nx.DiGraph()
    graph.add_nodes_from(["from", "to"])
    for i, one in enumerate(lots):
        graph.add_edge("from", ("lot", i), capacity=one.amount, weight=one.good_through.toordinal())
    for j, wanted in enumerate(needs):
        graph.add_edge(("need", j), "to", capacity=amounts[j], weight=0)
        for i, one in enumerate(lots):
            if wanted.fits(one):
                graph.add_edge(("lot", i), ("need", j), capacity=one.amount, weight=0)
    return graph


def _by_flows(nx: Any, needs: list[Any], lots: list[Lot], held: Sequence[int] = ()) -> tuple[int, ...]:
    """The most of each need in the order of ranks, each by a maximum flow with those before it held, and with what
    each has been promised before all others."""
    amounts = list(held) or [0] * len(needs)
    for j in sorted(range(len(needs)), key=lambda j: needs[j].rank):
        others = sum(amounts) - amounts[j]
        amounts[j] = needs[j].wanted
        now, _ = nx.maximum_flow(_graph(nx, needs, lots, amounts), "from", "to")
        amounts[j] = now - others
    return tuple(amounts)


@pytest.mark.part
def test_500_random_cases_are_served_as_maximum_flows_have_it_and_take_what_expires_first() -> None:
    nx = pytest.importorskip("networkx")
    rng, unlike_greedy, fewer = Random(4), 0, 0
    for _ in some_of(range(500), 0):
        needs, lots = _random(rng)
        found = allocate(needs, lots)
        best = _by_flows(nx, needs, lots)
        assert found.served == best
        _holds(needs, lots, found)
        whole = [wanted.wanted for wanted in needs]
        assert sum(best) == nx.maximum_flow_value(_graph(nx, needs, lots, whole), "from", "to")
        graph = _graph(nx, needs, lots, list(best))
        graph.add_node("from", demand=-sum(best))
        graph.add_node("to", demand=sum(best))
        took = sum(t.amount * lots[t.lot].good_through.toordinal() for ts in found.taken for t in ts)
        assert took == nx.min_cost_flow_cost(graph)
        greedy = _greedy([n for n in needs if isinstance(n, Need)], lots)
        unlike_greedy += greedy != best
        fewer += sum(greedy) < sum(best)
    # were these none, the cases would not need an exact method
    assert unlike_greedy > 2
    assert fewer > 2


def _grown_for_some(rng: Random) -> tuple[list[AnyNeed], list[Lot]]:
    """Random needs, of which half have lots that were grown for them."""
    needs, lots = _random(rng)
    lots = [one._replace(of=f"N{rng.randint(1, 4)}") for one in lots]
    own: list[AnyNeed] = [
        n._replace(own=tuple(rng.sample(("N1", "N2", "N3", "N4"), rng.choice((0, 1, 2))))) for n in needs
    ]
    return own, lots


def test_what_was_grown_for_a_need_serves_it_first_and_what_is_left_goes_on() -> None:
    # by hand: the earlier need takes the 10 of nobody's plan and 5 that the later one leaves of its 30
    needs = [need(5, 1, 40, "x"), need(9, 2, 25, "x")._replace(own=("N1",))]
    lots = [lot(0, 20, 10, "x"), lot(0, 12, 30, "x")._replace(of="N1")]
    assert served(needs, lots) == (15, 25)
    # the later one moves to what lasts longer, where that is as much: both are served
    lots[0] = lot(0, 20, 35, "x")
    found = allocate(needs, lots)
    assert found.served == (40, 25)
    # nobody is held to its own plan, and none of it is kept for a day on which it is past its life
    assert served([needs[0], needs[1]._replace(due=day(15))], lots) == (40, 25)
    assert served([needs[0], needs[1]._replace(due=day(15))], lots[1:]) == (30, 0)


@pytest.mark.part
def test_200_random_cases_with_plans_for_some_are_served_as_maximum_flows_have_it() -> None:
    nx = pytest.importorskip("networkx")
    rng, unlike = Random(11), 0
    for _ in some_of(range(200), 0):
        needs, lots = _grown_for_some(rng)
        mine = [[n.fits(one) and one.of in n.own for one in lots] for n in needs if isinstance(n, Need)]
        held = [0] * len(needs)
        for j in by_rank(needs):
            amounts = [*held]
            amounts[j] = needs[j].wanted
            graph = _graph(nx, needs, lots, amounts)
            graph.remove_edges_from(
                [e for e in graph.edges if e[0][0] == "lot" and not mine[e[1][1]][e[0][1]]]
            )
            held[j] = nx.maximum_flow_value(graph, "from", "to") - sum(held)
        found = allocate(needs, lots)
        assert found.served == _by_flows(nx, needs, lots, held)
        assert all(count >= least for count, least in zip(found.served, held, strict=True))
        _holds(needs, lots, found)
        unlike += found.served != _by_flows(nx, needs, lots)
    assert unlike > 3


def _with_own_pieces(rng: Random) -> tuple[list[AnyNeed], list[Lot]]:
    """Random needs and lots, and pieces, last in rank, for which the lots of N1 were grown."""
    needs, lots = _random(rng)
    lots = [one._replace(of=rng.choice(("", "N1"))) for one in lots]
    parts = tuple(Part(rng.randint(1, 3), (sort,)) for sort in rng.sample("abc", rng.randint(1, 2)))
    due = day(rng.randint(3, 9))
    return [*needs, PieceNeed(due, 1000, rng.randint(1, 12), parts, 0, "pieces", ("N1",))], lots


def test_what_was_grown_for_pieces_makes_as_many_as_if_nobody_else_wanted_any() -> None:
    rng, more = Random(12), 0
    for _ in range(300):
        needs, lots = _with_own_pieces(rng)
        found = allocate(needs, lots)
        _holds(needs, lots, found)
        own = [one for one in lots if one.of]
        alone, by_rank_alone = (
            served(needs[-1:], own),
            served([*needs[:-1], needs[-1]._replace(own=())], lots),
        )
        assert found.served[-1] >= max(*alone, by_rank_alone[-1])
        more += found.served[-1] > by_rank_alone[-1]
        # whatever of it makes no whole piece is no longer kept from the others
        made = needs[-1]._replace(wanted=found.served[-1])
        assert served([*needs[:-1], made], lots)[:-1] == found.served[:-1]
    assert more > 20


def test_pieces_that_compete_are_served_as_integer_programs_have_it() -> None:
    optimize = pytest.importorskip("scipy.optimize")
    rng = Random(7)
    for _ in range(60):
        sorts = ["rose", "statice", "leaf"]
        lots = [
            lot(rng.randint(-3, 3), rng.randint(4, 9), rng.randint(1, 25), rng.choice(sorts))
            for _ in range(5)
        ]
        pieces: list[AnyNeed] = []
        for rank in range(3):
            of = rng.sample(sorts, rng.randint(1, 3))
            parts = tuple(Part(rng.randint(1, 3), (sort,)) for sort in of)
            pieces.append(PieceNeed(day(rng.randint(3, 7)), rank, rng.randint(1, 10), parts))
        found = allocate(pieces, lots)
        _holds(pieces, lots, found)
        assert found.served == _by_integer_programs(optimize, pieces, lots)


def _by_integer_programs(optimize: Any, pieces: list[Any], lots: list[Lot]) -> tuple[int, ...]:
    """The most whole pieces of each in the order of ranks, each by an integer program with those before it held."""
    pairs = [
        (p, q, i)
        for p, piece in enumerate(pieces)
        for q, part in enumerate(piece.parts)
        for i, one in enumerate(lots)
        if Need(piece.due, 0, 1, part.accepts).fits(one)
    ]
    size = len(pieces) + len(pairs)
    rows, low, high = [], [], []
    for i, one in enumerate(lots):
        rows.append([0.0] * len(pieces) + [float(pair[2] == i) for pair in pairs])
        low.append(0), high.append(one.amount)
    for p, piece in enumerate(pieces):
        for q, part in enumerate(piece.parts):
            row = [0.0] * len(pieces) + [float(pair[:2] == (p, q)) for pair in pairs]
            row[p] = -part.each
            rows.append(row)
            low.append(0), high.append(0)
    counts: list[int] = []
    for p in range(len(pieces)):
        most = [*counts, *(piece.wanted for piece in pieces[len(counts) :])]
        least = [*counts, *[0] * (len(pieces) - len(counts))]
        aim = [0.0] * size
        aim[p] = -1
        solved = optimize.milp(
            aim,
            constraints=optimize.LinearConstraint(rows, low, high),
            integrality=[1] * size,
            bounds=optimize.Bounds(least + [0] * len(pairs), most + [200] * len(pairs)),
        )
        counts.append(round(-solved.fun))
    return tuple(counts)


def _greedy(needs: list[Need], lots: list[Lot]) -> tuple[int, ...]:
    """In the order of ranks, of what fits, the earliest to expire first; nothing is moved afterwards."""
    left, got = [one.amount for one in lots], [0] * len(needs)
    for j in by_rank(needs):
        for i in sorted(range(len(lots)), key=lambda i: lots[i].expires_first):
            if needs[j].fits(lots[i]):
                part = min(left[i], needs[j].wanted - got[j])
                left[i] -= part
                got[j] += part
    return tuple(got)


# what must always hold


def _holds(needs: list[AnyNeed], lots: list[Lot], found: Allocation) -> None:
    """Nothing given twice, past its life, or to what forbids it; all that is served is taken from somewhere."""
    gone = [0] * len(lots)
    for wanted, count, taken in zip(needs, found.served, found.taken, strict=True):
        assert 0 <= count <= wanted.wanted
        parts = wanted.parts if isinstance(wanted, PieceNeed) else (Part(1, wanted.accepts),)
        for n, part in enumerate(parts):
            mine = [t for t in taken if t.part == n]
            assert sum(t.amount for t in mine) == count * part.each
            for t in mine:
                assert t.amount > 0
                gone[t.lot] += t.amount
                assert Need(wanted.due, 0, 1, part.accepts, wanted.life_left).fits(lots[t.lot])
    for one, out, left in zip(lots, gone, found.left, strict=True):
        assert out + left == one.amount
        assert left >= 0


SEEDS = st.integers(0, 10_000)


@given(seed=SEEDS, extra=st.integers(1, 30), of=st.sampled_from(("", "N1", "N2")))
def test_more_of_a_plan_takes_from_nobody_it_is_made_for(seed: int, extra: int, of: str) -> None:
    needs, lots = _grown_for_some(Random(seed))
    more = [*lots, lot(0, 9, extra, "a")._replace(of=of)]
    few, many = served(needs, lots), served(needs, more)
    order = by_rank(needs)
    assert [many[j] for j in order] >= [few[j] for j in order]
    assert sum(many) >= sum(few)


@given(seed=SEEDS, extra=st.integers(1, 30))
def test_more_stock_makes_no_promise_worse_by_rank_and_no_day_less_free(seed: int, extra: int) -> None:
    needs, lots = _random(Random(seed))
    more = [*lots, lot(0, 9, extra, "a")]
    few, many = served(needs, lots), served(needs, more)
    order = by_rank(needs)
    assert [many[j] for j in order] >= [few[j] for j in order]
    assert sum(many) >= sum(few)
    days = [day(n) for n in range(15)]
    before, after = free_by_day(needs, lots, ("a", "b"), days), free_by_day(needs, more, ("a", "b"), days)
    assert all(b >= a for a, b in zip(before, after, strict=True))


@given(seed=SEEDS)
def test_the_order_of_writing_changes_nothing(seed: int) -> None:
    rng = Random(seed)
    needs, lots = _random(rng)
    found = allocate(needs, lots)
    again, moved = list(range(len(needs))), list(range(len(lots)))
    rng.shuffle(again)
    rng.shuffle(moved)
    other = allocate([needs[j] for j in again], [lots[i] for i in moved])
    assert [other.served[again.index(j)] for j in range(len(needs))] == list(found.served)
    left = sorted(zip((lots[i] for i in moved), other.left, strict=True))
    assert left == sorted(zip(lots, found.left, strict=True))


@given(seed=SEEDS)
def test_what_is_free_can_be_promised_and_one_more_cannot(seed: int) -> None:
    needs, lots = _random(Random(seed))
    on, accepts = day(seed % 15), ("a", "b")
    before = served(needs, lots)
    (free,) = free_by_day(needs, lots, accepts, [on])
    last = Need(on, 1000, free + 1, accepts)
    after = served([*needs, last], lots)
    assert after == (*before, free)
