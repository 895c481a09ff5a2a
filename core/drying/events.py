"""The days of what hangs, for the calendar: when to try whether it is dry."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.drying.asks import hanging
from core.drying.dry_test import dry_test
from core.text import named


def _tests(sight: Sight) -> Iterator[Dated]:
    for row in sight.once(hanging):
        lot = sight.farm.lots.get(row.lot)
        if lot is not None and row.status != "dry":
            says = f"{dry_test(row.crop).name}: {row.lot} {named(row.crop, row.variety)}, {row.line}"
            last = max(row.dry_by, row.test_from)
            yield Dated((lot.made_by, row.line), row.test_from, last, says, row.because)


EVENTS = {"drying": _tests}
