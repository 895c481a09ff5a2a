"""The shed as the book takes it in: readings of its air, what its max-min thermometer saw, its lines."""

from __future__ import annotations

from datetime import date, timedelta

from core.book.entry import Draft, Entry
from core.clocks import MORNING
from core.dialect import told_degrees, told_feet
from core.farm import Farm
from core.happened import AirRange, AirRead, ShedLine
from core.kinds import DEGREES_F, PERCENT, SIZE, Kind, may, needs
from core.marked import typed_degrees, typed_feet, typed_span
from core.places import COOLER, Place
from core.problems import Problem
from core.text import clean
from core.units import plainly

SHED = "shed"
AIR_ROOMS = (SHED, COOLER, "room")
"""Where the air is read."""
READINGS_KEPT = 400
RANGE_DAYS = 60
F_SPAN = (-40, 140)
"""No shed is colder or hotter; a solar drying shed reaches 140 F [S115]."""
LONGEST_LINE_FT = 1000


def _check_room(draft: Draft) -> Problem | None:
    room = draft.fields["room"]
    if room in AIR_ROOMS:
        return None
    return Problem(f"Air is read in {', '.join(AIR_ROOMS)}, not in '{clean(room)}'.", "unknown", AIR_ROOMS)


def _check_air(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := _check_room(draft):
        return problem
    if "f" not in f and "rh_pct" not in f:
        return Problem(f"A reading is degrees, humidity or both: shed {typed_degrees(72)} 55%.", "unreadable")
    return _check_degrees(f.get("f")) or _check_humidity(f.get("rh_pct"))


def _check_degrees(f: float | None) -> Problem | None:
    if f is not None and not F_SPAN[0] <= f <= F_SPAN[1]:
        return Problem(
            f"{told_degrees(f)} is no air temperature of a shed: write degrees F such as 72F, or C as 22C.",
            "impossible",
        )
    return None


def _check_humidity(rh: float | None) -> Problem | None:
    if rh is not None and not 0 < rh <= 100:
        return Problem(
            f"{plainly(rh)} % is no humidity: it lies above 0 and at most 100, such as 55%.", "impossible"
        )
    return None


def _check_range(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := _check_room(draft):
        return problem
    pairs = (
        (f.get("low_f"), f.get("high_f"), _check_degrees, told_degrees),
        (f.get("low_rh"), f.get("high_rh"), _check_humidity, _percent),
    )
    if all(value is None for low, high, *_ in pairs for value in (low, high)):
        return Problem(f"A range is its low and its high: shed {typed_span(58, 84)} 41 to 68%.", "unreadable")
    for low, high, check, told in pairs:
        if problem := check(low) or check(high):
            return problem
        if low is not None and high is not None and low > high:
            return Problem(
                f"A low of {told(low)} is above a high of {told(high)}: which is which?",
                "impossible",
            )
    return None


def _percent(value: float) -> str:
    return f"{plainly(value)} %"


def _check_line(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not ((line := Place(f["line"])).is_line and line.is_named):
        return Problem(f"Say which line, such as 'line 2 is {typed_feet(40)}'.", "unreadable")
    if not 0 < f["feet"] <= LONGEST_LINE_FT:
        return Problem(
            f"A line of {told_feet(f['feet'])}? It has more than 0 and at most {told_feet(LONGEST_LINE_FT)}: line 2 is "
            f"{typed_feet(40)}.",
            "impossible",
        )
    return None


def _air(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    rows = farm.air.setdefault(f["room"], [])
    rows.append(AirRead(entry.on, f.get("clock"), f.get("f"), f.get("rh_pct")))
    if len(rows) > 1 and _moment(rows[-2]) > _moment(rows[-1]):
        rows.sort(key=_moment)  # written late
    del rows[:-READINGS_KEPT]


def _moment(reading: AirRead) -> tuple[str, str]:
    return reading.on, reading.clock or MORNING


def _air_range(farm: Farm, entry: Entry) -> None:
    """Two of one day are one range: the thermometer was read, and perhaps reset, in between."""
    f = entry.fields
    days = farm.air_ranges.setdefault(f["room"], {})
    old = days.get(entry.on, (None, None, None, None))
    new = [f.get(name) for name in AirRange._fields]
    both = zip((min, max, min, max), zip(old, new, strict=True), strict=True)
    days[entry.on] = AirRange(
        *(pick((v for v in pair if v is not None), default=None) for pick, pair in both)
    )
    if len(days) > RANGE_DAYS:
        oldest = (date.fromisoformat(max(days)) - timedelta(days=RANGE_DAYS)).isoformat()
        farm.air_ranges[f["room"]] = {on: days[on] for on in days if on > oldest}


def _line(farm: Farm, entry: Entry) -> None:
    """What is not said again stays as it was."""
    f = entry.fields
    old = farm.lines.get(f["line"], ShedLine(0, None, None))
    farm.lines[Place(f["line"])] = ShedLine(f["feet"], f.get("dark", old.dark), f.get("fan", old.fan))


KINDS = (
    Kind(
        "line",
        "{line}: {feet}[, dark: {dark}][, fan: {fan}]",
        needs(line="code", feet=SIZE) | may(dark="flag", fan="flag"),
        _line,
        check=_check_line,
        describes=True,
    ),
    Kind(
        "air",
        "air in {room}[: {f}][, {rh_pct} % RH][, at {clock}]",
        needs(room="code") | may(f=DEGREES_F, rh_pct=PERCENT, clock="clock"),
        _air,
        check=_check_air,
    ),
    Kind(
        "air range",
        "air in {room} since it was last reset[: {low_f to high_f}][, {low_rh} to {high_rh} % RH]",
        needs(room="code") | may(low_f=DEGREES_F, high_f=DEGREES_F, low_rh=PERCENT, high_rh=PERCENT),
        _air_range,
        check=_check_range,
    ),
)
