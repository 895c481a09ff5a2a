"""What the trays ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from core.asks import PageLine, Part, Sight, item
from core.trays.rows import TrayRow, tray_rows


class TrayTask(NamedTuple):
    """One thing to do with a tray today, and why."""

    tray: str
    crop: str
    what: str
    because: str


def _tasks(sight: Sight) -> tuple[TrayTask, ...]:
    return tuple(
        TrayTask(row.tray, row.crop, what, row.because[-1] if row.because else "")
        for row in tray_rows(sight.farm, sight.day)
        if (what := _tray_what(row))
    )


def _tray_what(row: TrayRow) -> str:
    """What to do with a tray today; empty where it can stand."""
    number = f"step {row.step + 1} of {row.steps}"
    step = f"hold {number}: {row.hold}" if row.hold else f"{number}: {row.next_short}"
    if row.state == "ready":
        due = row.set_out_in_days is not None and row.set_out_in_days <= 0
        return "set out: its ladder is done" if due else row.warning or ""
    if row.state == "hardening":
        return "" if row.today else step
    if row.up is not None and row.harden_in_days is not None and row.harden_in_days <= 0:
        return f"{row.warning}; begin {number}" if row.warning else f"begin {step}"
    return row.warning or ""


def _lines(tasks: Sequence[TrayTask]) -> Iterator[PageLine]:
    for task in tasks:
        yield item(task.tray, task.crop, task.what, ("tray", task.tray), task, wide=17)


PARTS = (Part("trays", "Trays", 20, _tasks, _lines),)
