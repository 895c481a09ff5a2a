"""The seasons that plans and promises are reckoned in: every figure as often early, late, little and much as it is."""

from __future__ import annotations

from itertools import combinations
from statistics import NormalDist, correlation

import pytest

from core.plans.seasons import FIGURES, SEASONS
from core.reckon.spreads import How, Span, column, draw, sample

COLUMNS = list(zip(*sample(SEASONS, len(FIGURES)), strict=True))


@pytest.mark.parametrize("column", COLUMNS, ids=FIGURES)
def test_a_figure_has_its_tails_and_no_bunches(column: tuple[float, ...]) -> None:
    """Of the normal distribution's chances (statistics.NormalDist, of the standard library) none is far off."""
    chances = sorted(map(NormalDist().cdf, column))
    assert max(abs(chance - (n + 0.5) / SEASONS) for n, chance in enumerate(chances)) < 1 / SEASONS
    assert min(column) < -2.5 and max(column) > 2.5


def test_no_two_figures_go_together() -> None:
    """By chance two columns of so many independent numbers differ from 0 by 1/sqrt(512) = 0.044 as a rule."""
    apart = {pair: correlation(*(COLUMNS[i] for i in pair)) for pair in combinations(range(len(COLUMNS)), 2)}
    assert max(map(abs, apart.values())) < 0.15


@pytest.mark.parametrize("how", ["even", "positive", "share", "left"])
@pytest.mark.parametrize("span", [(60.0, 90.0), (0.4, 1.3), (-3.0, 4.0), (0.0, 0.2), (5.0, 5.0), (0.0, 0.0)])
def test_a_column_is_what_is_drawn_for_each_point(how: How, span: Span) -> None:
    points = COLUMNS[0]
    assert column(how, span, points) == [draw(how, span, z) for z in points]
