"""`shedbook shed`: the air of the shed, its lines, what suffers first, and what to take care of."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from core.beds.rows import bed_rows
from core.dialect import told_degrees, told_feet, told_reading, told_time
from core.marked import length_word, typed_feet
from core.shed.line_room import lines_room
from core.shed.rows import Shed
from core.shed.rows import shed as shed_rows
from core.text import PAGE, named, wrapped
from core.units import hours_text, long_day, number, number_or_blank, plural
from core.units_told import meters_or_blank
from core.weather.night import low_to_expect
from tui.arguments import count_of
from tui.cli_session import open_session
from tui.command import Command, tell
from tui.table import Column, Meaning, Table, printed_table

if TYPE_CHECKING:
    from core.session import Session
    from core.shed.air import AirNow, Extremes
    from core.shed.damp import Damp
    from core.shed.line_room import CutRoom, LinesRoom
    from core.shed.night_air import ShedAir


def _yes(flag: bool | None) -> str:
    return "" if flag is None else "yes" if flag else "no"


LINES = (
    Column("line", "line"),
    Column("feet", "ft", show=number_or_blank, metric=meters_or_blank),
    Column("taken", "taken", show=number, metric=meters_or_blank),
    Column("free", "free", show=number_or_blank, metric=meters_or_blank),
    Column("bunches", "bunches"),
    Column("dark", "dark", show=_yes),
    Column("fan", "fan", show=_yes),
    Column("could_go", "could go", show=lambda lots: ", ".join(f"{one.lot}: {one.do}" for one in lots)),
)
TABLES = (
    Table(
        "lines",
        LINES,
        lambda session: lines_room(session.farm, session.today).lines,
        "lines to hang on",
        heads={
            "bunches": Meaning("bunches that hang there", "bunches"),
            "free": Meaning("length that is free; below 0 it is crowded", "ft"),
            "taken": Meaning("length that is taken", "ft"),
        },
    ),
)
ESTIMATES = "Estimates: look at the hygrometer and at the bunches."


def shed_of(session: Session, bunches: int | None = None) -> Shed:
    """The air of the shed, its lines, and whether what comes (or so many `bunches`) finds room on them."""
    farm, day = session.farm, session.today
    beds = bed_rows(farm, day, session.sight().by_warmth)
    return shed_rows(farm, day, beds, now=session.clock, low=low_to_expect(farm, day), bunches=bunches)


def shed(args: Namespace) -> int:
    """The shed as it stands."""
    found = shed_of(open_session(args), args.hang)
    return tell(args, found, shed_lines(found))


def _options(shed: ArgumentParser) -> None:
    shed.add_argument(
        "--hang",
        metavar="BUNCHES",
        type=count_of("bunches", 10_000),
        help="so many are to be hung; else what is likely today",
    )


COMMANDS = {"shed": Command(shed, _options)}


def shed_lines(found: Shed) -> Iterator[str]:
    """The page, no line wider than 78."""
    yield f"The shed, {long_day(date.fromisoformat(found.day))}"
    yield from wrapped(f"! {said}" for said in found.wrong)
    yield from wrapped(_air(found.air))
    for room in found.others:
        yield from wrapped(["", room.room.capitalize(), *_room(room, damp=False)])
    yield ""
    yield from _lines(found.lines)
    yield from wrapped(_cut(found.cut))
    if found.air.at_risk:
        yield ""
        yield "First hurt by damp"
        for one in found.air.at_risk:
            crop = named(one.crop, one.variety)
            yield from wrapped([f"  {one.lot} {crop}, {one.line}, {one.stems} stems: {'; '.join(one.why)}"])
    yield from wrapped(["", "Take care", *(f"  {one.told}" for one in found.cautions)])
    yield f"  {ESTIMATES}"


def _air(air: ShedAir) -> Iterator[str]:
    yield ""
    yield "Air"
    yield from _room(air.now, damp=True)
    if air.night is not None:
        yield f"  {air.night.says}"
        yield f"  because: {air.night.because}; a warning, not a forecast"
    elif air.now.reading is not None:
        yield f"  {air.night_says}"


def _room(room: AirNow, *, damp: bool) -> Iterator[str]:
    last = room.reading
    if last is not None:
        seen = _both(last.f, last.rh)
        yield f"  {seen}, read {last.on} {told_time(last.clock)}{_ago(last.hours_ago)}"
        if last.dew_point_f is not None and last.deficit_kpa is not None:
            yield (
                f"  dew point {told_degrees(round(last.dew_point_f))}, vapour deficit {last.deficit_kpa:.2f} kPa "
                "(FAO-56)"
            )
    yield from (f"  {said}" for said in room.says)
    if said := _extremes(room.day):
        yield f"  last 24 h: {said}"
    if (said := _extremes(room.week)) and said != _extremes(room.day):
        yield f"  last 7 days: {said}"
    if room.last_range is not None and not room.day.ranges:
        on, low_f, high_f, low_rh, high_rh = room.last_range
        yield f"  max-min read on {on}: {_span(low_f, high_f, low_rh, high_rh)}"
    if damp and last is not None:
        yield from _damp(room.damp_day, room.damp_week, "mold may begin")
        if room.serious_day.least or room.serious_week.least:
            yield from _damp(room.serious_day, room.serious_week, "mold grows fast (from memory)")


def _damp(day: Damp, week: Damp, what: str) -> Iterator[str]:
    yield f"  {day.limit:g} % RH or over, {what}: {day.says}; {week.says}"


def _ago(hours: float) -> str:
    return "" if hours < 1 else f", {hours_text(hours)} ago"


def _extremes(window: Extremes) -> str:
    said = _span(window.low_f, window.high_f, window.low_rh, window.high_rh)
    if window.readings + window.ranges < 2:
        return ""
    ranges = f", {plural(window.ranges, 'max-min range')}" if window.ranges else ""
    return f"{said} ({plural(window.readings, 'reading')}{ranges})"


def _span(low_f: float | None, high_f: float | None, low_rh: float | None, high_rh: float | None) -> str:
    spans = ((low_f, high_f, told_reading), (low_rh, high_rh, _humidity))
    return ", ".join(filter(None, (_of_two(low, high, told) for low, high, told in spans)))


def _of_two(low: float | None, high: float | None, told: Callable[..., str]) -> str:
    """ "58 to 84 F", "? to 84 F"; "" where neither is known."""
    if low is None:
        return "" if high is None else f"? to {told(high)}"
    return f"{told(low)} to ?" if high is None else told(low, high)


def _humidity(*rh: float) -> str:
    return f"{' to '.join(f'{one:.0f}' for one in rh)} % RH"


def _both(f: float | None, rh: float | None) -> str:
    parts = ("" if f is None else told_degrees(f), "" if rh is None else f"{number(rh)} % RH")
    return ", ".join(filter(None, parts))


def _lines(room: LinesRoom) -> Iterator[str]:
    yield from printed_table(LINES, room.lines, PAGE) or ["Nothing hangs, and no line is described."]
    unknown = [row.line for row in room.lines if row.feet is None]
    if unknown or not room.lines:
        yield (
            f"Say how long a line is, and what it is like: {unknown[0] if unknown else 'line 1'} is "
            f"{typed_feet(40)} dark fan"
        )


def _cut(cut: CutRoom) -> Iterator[str]:
    if not cut.bunches and not cut.coming:
        return
    free = f"free {length_word()} not known" if cut.free is None else f"{told_feet(cut.free)} free"
    yield f"To hang: {plural(cut.bunches, 'bunch', 'bunches')}, {told_feet(cut.feet)}; {free}"
    for one in cut.coming:
        if one.stems is not None:
            yield f"  {one.crop}, {one.where}: {plural(one.stems, 'stem')}, {one.because}"
    if unknown := [f"{one.crop}, {one.where}" for one in cut.coming if one.stems is None]:
        yield f"  not reckoned in, at their stage with no cut to go by: {'; '.join(unknown)}"
    if cut.says:
        yield f"  ! {cut.says}"
