"""The days of the trays, for the calendar: when hardening off begins, and when they go out."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.text import named
from core.trays.rows import tray_rows


def _trays(sight: Sight) -> Iterator[Dated]:
    for row in tray_rows(sight.farm, sight.day):
        tray = sight.farm.trays.get(row.tray)
        if tray is None:
            continue
        what = f"{row.tray} {named(row.crop, row.variety)}"
        if row.harden_on and not row.step:
            says = f"begin hardening off {what}"
            yield Dated((tray.made_by, "harden"), row.harden_on, row.harden_on, says)
        if row.set_out_on:
            why = " ".join(row.because)
            yield Dated((tray.made_by, "set out"), row.set_out_on, row.set_out_on, f"set out {what}", why)


EVENTS = {"trays": _trays}
