"""The shed as one value: its air, its lines, what will come onto them, and what to take care of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from core.beds.rows import BedRow
from core.cautions import Caution, cautions_at
from core.drying.rows import ShelfRow, shelf_rows
from core.farm import Farm
from core.places import COOLER
from core.shed.air import DAY_HOURS, FRESH_HOURS, MOULD_RH, AirNow, room_air
from core.shed.kinds import AIR_ROOMS, SHED
from core.shed.line_room import CutRoom, LinesRoom, lines_room, making_room, probably_hung, room_for
from core.shed.night_air import ExpectedLow, ShedAir, shed_air

LONG_DAMP_HOURS = 6
"""Hours of damp in a day from which they are told of although the air is dry again (ours)."""
COOLER_WARM_F = 38
"""Each degree above it shortens life in the cooler [S102]."""


class Shed(NamedTuple):
    """The shed on a day. `others` is the air of cooler and room where it was read; `wrong` what is wrong, in a few
    words each."""

    day: str
    air: ShedAir
    others: tuple[AirNow, ...]
    lines: LinesRoom
    cut: CutRoom
    wrong: tuple[str, ...]
    cautions: tuple[Caution, ...]


def shed(
    farm: Farm,
    day: date,
    beds: Iterable[BedRow],
    *,
    now: str | None = None,
    low: ExpectedLow | None = None,
    bunches: int | None = None,
    hanging: Sequence[ShelfRow] | None = None,
) -> Shed:
    """All of the shed; `beds` are its rows of the day, `bunches` how many are to be hung where she says it.

    `now` and `low` as for `shed_air`; `hanging` are the shelf's rows of the day, where they are known already.
    """
    if hanging is None:
        hanging = shelf_rows(farm, day)
    air = shed_air(farm, day, now, low, hanging)
    others = tuple(room_air(farm, room, day, now) for room in AIR_ROOMS if room != SHED and room in farm.air)
    room = lines_room(farm, day, hanging)
    cut = room_for(room, probably_hung(farm, day, beds), bunches)
    wrong = (*_wrong_air(air), *_wrong_cooler(others), *_wrong_lines(room, cut))
    return Shed(day.isoformat(), air, others, room, cut, wrong, cautions_at("shed"))


def line_for_brief(found: Shed) -> str:
    """One line of the morning page; "" where nothing is wrong."""
    return f"shed: {'; '.join(found.wrong)}." if found.wrong else ""


def _wrong_air(air: ShedAir) -> Iterable[str]:
    now = air.now
    if now.is_damp and now.reading is not None:
        long = now.standing_hours
        since = f", {MOULD_RH:g} or over for {long:.0f} h" if long is not None and long >= 1 else ""
        yield f"{now.reading.rh:.0f} % RH at {now.reading.clock}{since}"
    elif now.damp_day.least >= LONG_DAMP_HOURS:
        yield f"{MOULD_RH:g} % RH or over for {now.damp_day.least:.0f} of the last {DAY_HOURS:.0f} h"
    night = air.night
    if night is not None and night.warns:
        wet = "dew" if night.rh >= 100 else f"{night.rh:.0f} % RH"
        yield f"tonight bunches take water back ({wet} at {night.shed_low_f:.0f} F): close up"


def _wrong_cooler(others: Iterable[AirNow]) -> Iterable[str]:
    for one in others:
        last = one.reading
        if (
            one.room == COOLER
            and last is not None
            and last.hours_ago <= FRESH_HOURS
            and (last.f or 0) > COOLER_WARM_F
        ):
            yield f"the cooler stood at {last.f:.0f} F, over {COOLER_WARM_F}"


def _wrong_lines(room: LinesRoom, cut: CutRoom) -> Iterable[str]:
    if cut.says:
        yield cut.says.removesuffix(".")
        return
    for row in room.lines:
        if row.is_full:
            yield f"{row.line} is full{making_room(row.could_go)}"
