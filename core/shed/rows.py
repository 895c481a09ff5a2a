"""The shed as one value: its air, its lines, what will come onto them, and what to take care of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import Alert
from core.beds.rows import BedRow
from core.cautions import Caution, cautions_at
from core.dialect import told_degrees, told_reading, told_time
from core.drying.rows import ShelfRow, shelf_rows
from core.farm import Farm
from core.places import COOLER
from core.shed.air import DAY_HOURS, FRESH_HOURS, MOLD_BEGINS_RH, MOLD_GROWS_RH, AirNow, room_air
from core.shed.kinds import AIR_ROOMS, SHED
from core.shed.line_room import CutRoom, LinesRoom, lines_room, making_room, probably_hung, room_for
from core.shed.night_air import ExpectedLow, ShedAir, shed_air

LONG_DAMP_HOURS = 6
"""Hours of damp in a day from which they are told of although the air is dry again (ours)."""
MOLD_HOURS = 18
"""Hours of a day at 75 % and over from which mold is spoken of: spores do not take hold below 65 % [S176], and growth
is slow below 75 (ours: readings rarely tell of all 24 hours)."""
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
    alerts: tuple[Alert, ...] = ()
    """What is wrong as the morning page tells it: the cooler first."""


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
    alerts = (*_wrong_cooler(others), *_wrong_air(air), *_wrong_lines(room, cut))
    wrong = tuple(alert.says for alert in alerts)
    return Shed(day.isoformat(), air, others, room, cut, wrong, cautions_at("shed"), alerts)


def _wrong_air(air: ShedAir) -> Iterable[Alert]:
    now = air.now
    if now.serious_day.least >= MOLD_HOURS:
        yield Alert(
            "shed: mold",
            f"{MOLD_GROWS_RH:g} % RH or over for {now.serious_day.least:.0f} of the last {DAY_HOURS:.0f} h: "
            "mold may begin, move the air and look into the bunches",
            "act",
        )
    elif now.is_damp and now.reading is not None:
        long = now.standing_hours
        since = f", {MOLD_BEGINS_RH:g} or over for {long:.0f} h" if long is not None and long >= 1 else ""
        yield Alert(
            "damp shed",
            f"{now.reading.rh:.0f} % RH at {told_time(now.reading.clock)}{since}: drying is slow",
            "care",
        )
    elif now.damp_day.least >= LONG_DAMP_HOURS:
        yield Alert(
            "damp shed",
            f"{MOLD_BEGINS_RH:g} % RH or over for {now.damp_day.least:.0f} of the last {DAY_HOURS:.0f} h: "
            "drying is slow",
            "care",
        )
    night = air.night
    if night is not None and night.warns:
        wet = "dew" if night.rh >= 100 else f"{night.rh:.0f} % RH"
        yield Alert(
            "close the shed",
            f"tonight bunches pick up damp ({wet} at {told_degrees(round(night.shed_low_f))}): close up",
            "act",
        )


def _wrong_cooler(others: Iterable[AirNow]) -> Iterable[Alert]:
    for one in others:
        last = one.reading
        if (
            one.room == COOLER
            and last is not None
            and last.hours_ago <= FRESH_HOURS
            and last.f is not None
            and last.f > COOLER_WARM_F
        ):
            yield Alert(
                f"cooler at {told_reading(last.f)}",
                f"the cooler stood at {told_reading(last.f)}, over {told_degrees(COOLER_WARM_F)}: see to it "
                "before all else",
                "first",
            )


def _wrong_lines(room: LinesRoom, cut: CutRoom) -> Iterable[Alert]:
    if cut.says:
        yield Alert("lines full", cut.says.removesuffix("."), "act")
        return
    for row in room.lines:
        if row.is_full:
            yield Alert(f"{row.line} full", f"{row.line} is full{making_room(row.could_go)}", "act")
