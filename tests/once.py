"""Two long reckonings, each made of what it is given alone, done once for all tests of a module that asks for the same
again and again: of everything on farms that differ in one entry, or of a wish seen, kept and seen again."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from core.crops.sheet import Span
from core.learning import rows
from core.learning.figures import Learnable
from core.learning.observed import Seasons
from core.plans import backward_plan
from core.plans.plan import Plan
from core.plans.wish import Ask
from core.problems import Problem
from core.reckon.learning.belief import Estimate

_plan, _estimate = backward_plan._plan_back, rows.estimate_of
_plans: dict[object, list[tuple[Ask, Plan | Problem]]] = {}
_estimates: dict[str, Estimate | None] = {}


def _planned(ask: Ask, briefly: bool) -> Plan | Problem:
    known = _plans.setdefault((ask.wish, ask.set_out_on, ask.only_days, briefly), [])
    for other, plan in known:
        if other == ask:
            return plan
    known.append((ask, _plan(ask, briefly)))
    return known[-1][1]


def _estimated(one: Learnable, known: Span | None, seasons: Seasons) -> Estimate | None:
    told = repr((one.how, known, seasons))
    if told not in _estimates:
        _estimates[told] = _estimate(one, known, seasons)
    return _estimates[told]


@pytest.fixture(scope="module")
def reckoned_once() -> Iterator[None]:
    """What a plan is, and what is learned of a figure, reckoned once for the same ask and the same seasons."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(backward_plan, "_plan_back", _planned)
        patch.setattr(rows, "estimate_of", _estimated)
        yield
