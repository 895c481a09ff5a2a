"""What cost her is told where the numbers bear it, and small numbers do not shout."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from core.farm import Lot
from core.fold import fold
from core.happened import Hung, Loss
from core.learning.cost import LossSoFar, costly, loss_shares, losses_so_far
from core.learning.planned import planned_rows, short_rows, turn_rows
from core.places import Holding, Place
from core.reckon.learning.differences import difference_of_lots, sure_of_one, worth_of_lots
from tests.farms import Pencil, beds
from tests.learning.test_observed import a_tray, cuts, on_day

NOBODY_SOWN: dict[str, str] = {}


def a_lot(n: int, stems: int, blown: int, *, stage: str = "", bed: str = "b1", by: str = "ml") -> Lot:
    """A lot that was all sold but for what was blown in the bucket."""
    lot = Lot(
        f"L{n:04d}", f"id-{n}", "zinnia", None, bed, f"P{n % 3}", "fresh", "2026-07-01", stems, stage or None
    )
    lot.entered = {"cut": stems, "fresh": stems}
    if blown:
        lot.losses.append(Loss("2026-07-03", "fresh", "blown", blown))
    lot.by = by
    return lot


def lots_of(shares: list[tuple[int, int]], first: int = 0, **fields: str) -> list[Lot]:
    """Lots (blown, stems)."""
    return [a_lot(first + n, stems, blown, **fields) for n, (blown, stems) in enumerate(shares)]


def test_pollen_showing_at_the_cut_is_told_against_the_others() -> None:
    shown = lots_of([(8, 20), (7, 20), (9, 20), (7, 20)], stage="pollen showing")
    others = lots_of([(1, 31)] * 6 + [(0, 31)] * 4, first=10, stage="outer petals open")
    rows, comparisons = costly([*shown, *others], NOBODY_SOWN)
    (row,) = [row for row in rows if row.factor == "stage"]
    assert row.says == "zinnia, 'pollen showing' at the cut: 31 of 80 blown fresh, against 6 of 310"
    assert (row.lost, row.stems, row.other_lost, row.other_stems) == (31, 80, 6, 310)
    assert 0 < row.low_pct < row.more_pct == 36.8 < row.high_pct
    assert row.cost == 29 and comparisons >= 1


def test_one_bad_lot_of_many_stems_is_one_lot() -> None:
    bad = lots_of([(60, 80), (0, 80), (0, 80), (1, 80)], bed="b1")
    others = lots_of([(1, 80)] * 8, first=10, bed="b2")
    rows, _ = costly([*bad, *others], NOBODY_SOWN)
    assert not [row for row in rows if row.factor == "bed"]
    assert worth_of_lots([(60, 80), (0, 80), (0, 80), (1, 80)]) > 20


def test_few_lots_and_few_losses_are_not_told() -> None:
    shown = lots_of([(20, 20)] * 3, stage="pollen showing")
    others = lots_of([(0, 30)] * 10, first=10, stage="outer petals open")
    assert costly([*shown, *others], NOBODY_SOWN) == ([], 0)


def test_a_lot_that_is_still_in_the_bucket_is_not_through() -> None:
    lot = a_lot(1, 40, 10)
    lot.holdings[Place("bucket")] = Holding(30, 0, "2026-07-01", "fresh", "")
    assert [*loss_shares([lot])] == []
    assert [*losses_so_far([lot])] == [LossSoFar("zinnia", "fresh", "blown", 10, 1)]
    lot.holdings.clear()
    assert [*losses_so_far([lot])] == []
    (share,) = loss_shares([lot, a_lot(2, 40, 0)])
    assert (share.stems, share.of, share.lots, share.share_pct) == (10, 80, 1, 12.5)
    assert share.low_pct < 5 < 30 < share.high_pct  # two lots, and all of it in one


def test_a_line_is_told_of_what_hung_on_it_alone() -> None:
    lots = []
    for n in range(12):
        lot = a_lot(n, 50, 0)
        line = Place("line 2") if n < 6 else Place("line 1")
        lot.hung.append(Hung("2026-07-01", line, 50))
        lot.entered["hanging"] = 50
        lot.losses.append(Loss("2026-07-20", "hanging", "mold", 12 + n % 3 if n < 6 else 1))
        lots.append(lot)
    rows, _ = costly(lots, NOBODY_SOWN)
    (row,) = [row for row in rows if row.factor == "line"]
    assert (row.level, row.cause, row.form) == ("line 2", "mold", "hanging")


def _luck(rng: np.random.Generator, alike: float) -> list[Lot]:
    """A season without any cause: each lot has a share of its own, whatever its stage, bed and hand."""
    lots = []
    for n in range(60):
        stems = int(rng.integers(15, 70))
        share = rng.beta(0.06 * (1 / alike - 1), 0.94 * (1 / alike - 1))
        lots.append(
            a_lot(
                n,
                stems,
                int(rng.binomial(stems, share)),
                stage=("tight", "half", "open")[int(rng.integers(3))],
                bed=f"b{rng.integers(5)}",
                by=("ml", "jo")[int(rng.integers(2))],
            )
        )
    return lots


@pytest.mark.parametrize("alike", [0.02, 0.15])
def test_where_nothing_is_to_blame_a_season_seldom_blames_anything(alike: float) -> None:
    rng = np.random.default_rng(5)
    runs = 60
    blamed = sum(bool(costly(_luck(rng, alike), NOBODY_SOWN)[0]) for _ in range(runs))
    assert blamed / runs <= 0.2  # one in ten is meant; the standard error of 60 is 4 points


def test_what_is_to_blame_is_found() -> None:
    rng, found = np.random.default_rng(6), 0
    for _ in range(30):
        lots = _luck(rng, 0.05)
        for lot in lots:
            if lot.stage == "open":
                lot.losses = [Loss("2026-07-03", "fresh", "blown", int(rng.binomial(lot.cut, 0.3)))]
        rows, _ = costly(lots, NOBODY_SOWN)
        found += any(row.factor == "stage" and row.level == "open" for row in rows)
    assert found >= 27


def test_the_more_is_looked_at_the_surer_each_must_be() -> None:
    assert sure_of_one(1) == pytest.approx(0.9) and sure_of_one(60) > 0.998
    some, others = [(8.0, 20.0)] * 4, [(2.0, 20.0)] * 8
    once, often = (difference_of_lots(some, others, sure_of_one(n)) for n in (1, 60))
    assert often.low < once.low < once.difference < once.high < often.high


# planned against done


def test_a_plan_beside_what_became_of_it() -> None:
    pencil = beds("b1", start="2026-03-01", last_frost="05-10", first_frost="10-05")
    pencil.write(
        "planned",
        plan="N01",
        crop="zinnia",
        use="fresh",
        stems=300,
        due_on="2026-08-20",
        sow_on="2026-04-15",
        set_out_on="2026-05-18",
        cut_from="2026-07-20",
        seeds=80,
        cells=80,
        plants=60,
        feet=20,
        bed="b1",
    )
    cuts(a_tray(pencil=pencil), "P01", "2026-07-19", 9, 3)
    on_day(pencil, "2026-10-01")
    (row,) = planned_rows(fold(pencil.entries), pencil.today, 2026)
    assert (row.sown_late, row.set_out_late, row.cut_late) == (5, 2, -1)
    assert (row.stems, row.stems_cut, row.seeds, row.seeds_sown) == (
        300,
        240,
        80,
        72,
    )  # the first cut came before its time
    assert row.says == (
        "sown 5 days late, set out 2 days late, first cut 1 day early, 240 stems cut for 300 wanted"
    )
    assert not planned_rows(fold(pencil.entries), date(2026, 8, 1), 2026)


@pytest.mark.parametrize(
    ("second", "follows", "days"),
    [("2026-08-25", "gap", 13), ("2026-08-10", "in turn", -2), ("2026-07-22", "overlap", -21)],
)
def test_successions(second: str, follows: str, days: int) -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-19", 9, 3)  # the last on 12 August
    pencil.write("set out", planting="P02", crop="zinnia", bed="b2", feet=20, plants=50, on="2026-06-10")
    for n in range(4):
        on = date.fromisoformat(second) + timedelta(days=3 * n)
        pencil.entries.append(
            pencil.made(
                "cut",
                on.isoformat(),
                lot=f"LB{n}",
                crop="zinnia",
                planting="P02",
                bed="b2",
                use="fresh",
                stems=20,
            )
        )
    (row,) = turn_rows(fold(pencil.entries), 2026)
    assert (row.planting, row.following, row.follows, row.days) == ("P01", "P02", follows, days)


def test_what_was_told_short_to_buyers() -> None:
    pencil = Pencil("2026-07-01")
    pencil.write("bed", bed="b1", feet=50, width_in=36)
    pencil.write("ordered", order="O001", buyer="Lane", due_on="2026-07-20")
    item = pencil.write("order item", order="O001", item=1, crop="zinnia", form="fresh", count=60)
    pencil.write("told short", order="O001", item=1, count=25, delivery=1)
    (row,) = short_rows(fold(pencil.entries), 2026)
    assert (row.of, row.number, row.orders) == ("zinnia", 25, ("O001",)) and item
    assert short_rows(fold(pencil.entries), 2025) == []
