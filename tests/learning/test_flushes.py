"""Stems a plant by flush: what a planting's cuts say of each, and that a record of two seasons beats the guess."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.library import sheet
from core.crops.sheet import Figure, Sheet
from core.learning.flushes import PARTS, range_of_part, share_of, told_by_cuts
from core.learning.rows import learned
from tests.cases import cases
from tests.farms import beds
from tests.learning.five_seasons import FIRST_YEAR, FLUSH_FIGURES, write_farm
from tests.learning.test_observed import a_tray, cuts, on_day, rows_of, seen

FIRST, SECOND, LATER = PARTS


def test_each_part_of_the_cutting_counts_its_own_stems() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-01", 10, 7, stems=40)  # three culls more at each cut
    pencil.later(80)
    given_stems = {name: seen(pencil, name)[2026].given for name in PARTS}
    assert given_stems == {FIRST: [(86, 50, False)], SECOND: [(86, 50, False)], LATER: [(258, 50, False)]}
    (whole,) = seen(pencil, "stems_per_plant")[2026].given
    assert sum(stems for told in given_stems.values() for stems, _, _ in told) == whole[0]
    row = rows_of(pencil, FIRST)
    assert row.sheet is not None and (row.n, row.of) == (1, "planting") and not row.take


def test_of_a_part_that_is_not_over_the_stems_so_far_are_the_least() -> None:
    pencil = cuts(a_tray(), "P01", "2026-07-01", 3, 7, stems=40)
    assert seen(pencil, FIRST)[2026].given == [(86, 50, False)]
    assert seen(pencil, SECOND)[2026].given == [(43, 50, True)]
    assert not seen(pencil, LATER)


def test_of_a_planting_that_was_through_early_what_it_might_have_given_later_is_nothing() -> None:
    pencil = on_day(cuts(a_tray(), "P01", "2026-07-01", 3, 7, stems=40), "2026-12-01")
    assert seen(pencil, SECOND)[2026].given == [(43, 50, False)]
    assert seen(pencil, LATER)[2026].given == [(0, 50, False)]


def test_a_planting_that_stood_there_when_the_book_began_has_no_first_weeks() -> None:
    pencil = beds("b1", start="2026-07-10", last_frost="05-10", first_frost="10-05")
    pencil.write("set out", planting="P01", crop="zinnia", bed="b1", feet=20, plants=50)
    cuts(pencil, "P01", "2026-07-14", 8, 7, stems=40)
    assert seen(pencil, "stems_per_plant") and not any(seen(pencil, name) for name in PARTS)


def test_the_sheets_stems_are_shared_out_whole() -> None:
    strawflower = sheet("strawflower")
    assert isinstance(strawflower, Sheet) and strawflower.stems_per_plant and strawflower.cut_weeks
    known = strawflower.stems_per_plant, strawflower.cut_weeks
    assert sum(share_of(part, *known) for part in PARTS.values()) == pytest.approx(1)
    assert share_of(PARTS[FIRST], *known) < share_of(PARTS[SECOND], *known) < share_of(PARTS[LATER], *known)


def test_a_crop_of_one_stem_or_of_few_weeks_has_no_flushes() -> None:
    weeks, stems = Figure((2.0, 2.5), "made up"), Figure((6.0, 9.0), "made up")
    assert all(range_of_part(name, stems, weeks) is None for name in PARTS)
    assert all(range_of_part(name, Figure((1.0, 1.0), "made up"), stems) is None for name in PARTS)


@given(
    st.lists(st.tuples(st.integers(0, 90), st.integers(0, 60)), min_size=1, max_size=20),
    st.booleans(),
)
@cases(100)
def test_no_stem_is_lost_between_the_parts_and_none_is_of_two(
    told: list[tuple[int, int]], more: bool
) -> None:
    parts = [*told_by_cuts(told, more)]
    assert sum(stems for _, stems, _ in parts) == sum(stems for _, stems in told)
    assert sum(is_open for *_, is_open in parts) <= 1
    assert [name for name, *_ in parts] == [name for name in PARTS if name in {one for one, *_ in parts}]


def test_after_two_seasons_the_record_beats_what_is_guessed_of_flushes() -> None:
    off: dict[str, list[float]] = {name: [0.0, 0.0] for name in FLUSH_FIGURES}
    held = 0
    for seed in (3, 4, 5):
        farm = write_farm(seed, 2)
        rows = {
            (row.crop, row.figure): row
            for row in learned(farm.after[-1], date(FIRST_YEAR + 1, 12, 20))
            if row.variety is None
        }
        for key, truth in farm.by_flush.items():
            row = rows[key]
            assert row.sheet is not None
            off[key[1]][0] += abs(row.own - truth)
            off[key[1]][1] += abs(sum(row.sheet) / 2 - truth)
            held += row.low <= truth <= row.high
    assert all(mine < 0.8 * guessed for mine, guessed in off.values())
    assert held / 36 >= 0.8
