"""What the trays ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import Asked, Part, Sight, late_text
from core.dialect import told_degrees
from core.long_past import long_past
from core.trays.rows import TrayRow, tray_rows


class TrayTask(NamedTuple):
    """One thing to do with a tray today, and why."""

    tray: str
    crop: str
    what: str
    because: str
    do: str = ""
    """The same in few words, as the page tells it."""
    kin: str = ""
    """As `Asked.kin`."""
    how: str = ""
    plants: int = 0
    days: int | None = None
    """Of what cannot wait: days until it is too late, below 0 since then."""


PAST_RANK = 2.0
"""Where a tray that is past its time stands among what spoils, in days: what can still be saved comes first."""


SOON_DAYS = 7
"""So many days before a crop that cannot wait in its cells is spoiled, it is told among what spoils first (ours)."""


def _is_too_soft(row: TrayRow, days: int) -> bool:
    """Whether its hardening takes longer than it can wait in its cells."""
    return days >= 0 and row.steps - row.step > days + 1


def trays_of(sight: Sight) -> list[TrayRow]:
    """The trays of this morning: for `Sight.once`."""
    return tray_rows(sight.farm, sight.day)


def _tasks(sight: Sight) -> tuple[TrayTask, ...]:
    return tuple(task for row in sight.once(trays_of) for task in _of(row, sight.day))


def _of(row: TrayRow, day: date) -> Iterator[TrayTask]:
    because = "; ".join(reason.rstrip(".") for reason in row.because)
    if row.tonight == "bring in":
        what = f"bring in tonight: not left out below {told_degrees(row.guard_f)}"
        yield TrayTask(
            row.tray,
            row.crop,
            what,
            because,
            "bring in",
            how=f"below {told_degrees(row.guard_f)}",
            plants=row.plants,
        )
    days = None if row.spoils_on is None else (date.fromisoformat(row.spoils_on) - day).days
    if days is not None and (days <= SOON_DAYS or _is_too_soft(row, days)):
        do = "pot on" if _is_too_soft(row, days) else "plant or pot on"
        yield TrayTask(row.tray, row.crop, row.warning or "", because, do, plants=row.plants, days=days)
        if row.ask == "plant out" or do == "pot on":
            return  # planted or potted on it asks for nothing else
    if row.ask:
        what = f"{row.ask}: {row.ask_because}" if row.ask_because else row.ask
        yield TrayTask(row.tray, row.crop, what, because, row.ask, row.does, row.ask_because, row.plants)


def _asked(tasks: Sequence[TrayTask]) -> Iterator[Asked]:
    for task in tasks:
        told = Asked(("tray", task.tray), task, task.tray, task.do, task.crop, when=task.how, kin=task.kin)
        if task.do == "bring in":
            yield told._replace(zone="tonight")
        elif task.days is not None:
            late = told._replace(
                amount=f"{task.plants}",
                place="tray",
                when=late_text(task.days),
                days=task.days if task.days >= 0 else PAST_RANK,
                zone="spoils",
            )
            yield long_past(late, -task.days)
        else:
            yield told


PARTS = (Part("trays", "Trays", 20, _tasks, _asked),)
