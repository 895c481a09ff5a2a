"""Weather: the odds of frost, her own ground beside the station, what the dates hang on; and the night to come."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from core.dialect import (
    told_about,
    told_course,
    told_degrees,
    told_frost,
    told_reading,
    told_spread,
    told_time,
)
from core.kinds import sentence
from core.problems import Problem
from core.reckon.climate.frost import METHODS, USUAL_METHOD, Method
from core.settings.local_time import day_there
from core.text import wrap, wrapped
from core.units import MONTHS, plural, short_day
from core.weather.change import Change, CropMoved, change_json, odds_change, risk_change
from core.weather.rows import FarmWeather, KeptDate, farm_weather, weather_json
from core.weather.station_import import bring_in
from core.weather.tonight import AtRisk, Tonight, tonight_or_now
from tui import out
from tui.arguments import fahrenheit, number
from tui.cli_session import close_session, open_session, say_written
from tui.command import Command, Run, tell, tell_done
from tui.frost_page import frost_lines, own_lines
from tui.out import good
from tui.parsing import add_shared
from tui.phrases import plain
from tui.row_keys import Row
from tui.table import Line
from tui.views.view import View

if TYPE_CHECKING:
    from core.book.entry import Draft
    from core.reckon.climate.daily_csv import Unit
    from core.reckon.climate.stations import Progress
    from core.session import Session, Written

FEW = 3
"""So many entries are told one by one."""

_WINDOWS = {
    "sow": "sow",
    "direct_sow": "sow in bed",
    "set_out": "set out",
    "first_cut": "first cut",
    "last_cut": "last cut",
}


def weather_of(session: Session, method: Method = USUAL_METHOD) -> FarmWeather:
    """The odds of the farm's station, her own ground beside it, and what her windows hang on."""
    records = session.records
    return farm_weather(session.farm, session.today, records.station(), records.own(), method)


def weather(args: Namespace) -> int:
    """The odds, her own ground, and what the windows hang on."""
    page = weather_of(open_session(args), args.method)
    return tell(args, weather_json(page), wrapped(page_lines(page)))


def page_lines(page: FarmWeather) -> Iterator[str]:
    """The whole page."""
    if page.daylight is not None:
        sun = page.daylight
        hours = ", ".join(f"{told_time(start)} to {told_time(end)}" for start, end, _ in sun.cutting)
        yield f"Sun {told_time(sun.sunrise)} to {told_time(sun.sunset)}; cool hours to cut in {hours}"
        if sun.zone_wanted:
            yield f"  Hours of UTC, for no zone is written yet. Write it: farm zone {sun.zone_wanted}"
        yield ""
    if page.odds is not None:
        yield from frost_lines(page.odds)
    elif page.problem is not None:
        yield page.problem.sentence
    yield ""
    yield f"Your own thermometer ({plural(page.own_nights, 'night')} written)"
    yield f"  {page.own_says}"
    if page.own_odds is not None:
        yield from own_lines(page.own_odds)
    yield ""
    yield "What your windows hang on"
    if page.average is None:
        yield "  no average last frost yet: 'last frost 14 may', or 'shedbook weather keep'"
    else:
        yield f"  weeks are counted from {_kept(page.average)}"
    for row in page.hangs:
        spring = f"after {_kept(row.spring)}" if row.spring else "no date of its own in spring"
        choice = ", your choice" if row.chosen else ""
        autumn = f"to {_kept(row.autumn)}" if row.autumn else "no end in fall"
        if row.spring and row.autumn:
            yield f"  {row.hardiness}: {spring}{choice};"
            yield f"    {autumn}"
        else:
            yield f"  {row.hardiness}: {spring}{choice}; {autumn}"
        if row.wanted:
            yield f"    your choice, {told_frost(row.wanted[0])} at {row.wanted[1]} %, has no date yet"
    if page.odds is not None:
        yield ""
        yield from page.odds.because


def _kept(one: KeptDate) -> str:
    return f"{told_frost(one.threshold_f)} at {one.risk_pct:g} % in {one.season}, {_day(one.month_day)} ({one.source})"


def import_record(
    session: Session, file: Path, *, unit: Unit | None = None, progress: Progress | None = None
) -> Written | Problem:
    """Bring in a station's weather file and write which it is."""
    newest = max(session.today, day_there(session.farm))
    found = bring_in(session.folder, file, session.today, newest=newest, unit=unit, progress=progress)
    if isinstance(found, Problem):
        return found
    draft, remarks = found
    return session.record([draft], remarks=remarks)


def weather_import(args: Namespace) -> int:
    """Bring in a weather file."""
    session = open_session(args)
    progress = out.progress("reading the weather")
    written = import_record(session, args.file, unit=args.unit, progress=out.reading(progress))
    if progress is not None:
        progress(1)
    status = say_written(written, args)
    close_session(session)
    return status


def weather_keep(args: Namespace) -> int:
    """Show what the odds would move, or keep them."""
    session = open_session(args)
    return _show_or_keep(args, session, good(odds_change(session, args.method, own=args.own)))


def weather_risk(args: Namespace) -> int:
    """Show what another risk would move, or keep it."""
    session = open_session(args)
    change = good(risk_change(session, args.hardiness, args.threshold, args.risk))
    return _show_or_keep(args, session, change)


def _show_or_keep(args: Namespace, session: Session, change: Change) -> int:
    value, lines = change_json(change, written=args.yes), wrapped(_change(change, written=args.yes))
    if not args.yes:
        return tell(args, value, lines)
    written = good(session.record(change.drafts))
    close_session(session)
    return tell_done(args, f"Written: {'; '.join(written.says)}.", value, lines)


def _change(change: Change, *, written: bool) -> Iterator[str]:
    verb = "written" if written else "would write"
    frost = [draft for draft in change.drafts if draft.kind == "frost"]
    for draft in change.drafts:
        if draft.kind not in ("frost", "strike") or (draft.kind == "frost" and len(frost) <= FEW):
            yield f"{verb}: {sentence(draft)}"
    if len(frost) > FEW:
        yield from _dates(frost, verb)
    yield from (f"{'taken back' if written else 'would take back'}: {said}" for said in change.struck)
    yield from (f"left out: {said}" for said in change.left_out)
    yield ""
    if not change.crops:
        yield "No window of what stands, is sown or planned moves."
    for row in change.crops:
        yield from _moved(row)
    if change.crops:
        yield "Crops as they would be grown anew from here, trays as they were sown."
    if change.crops and change.stay:
        yield f"unmoved: {', '.join(change.stay)}"
    if not written:
        yield ""
        yield "Nothing is written yet: add --yes to keep it."


def _dates(drafts: list[Draft], verb: str) -> Iterator[str]:
    """Many frost dates as a table: a line for each cold and season, a column for each risk."""
    frost = [draft.fields for draft in drafts]
    yield f"{verb}, by {frost[0]['source']}:"
    risks = sorted({f["risk_pct"] for f in frost})
    yield f"{'':14}" + "".join(f"{risk:>6g} %" for risk in risks)
    by = {(f["threshold_f"], f["season"], f["risk_pct"]): f["month_day"] for f in frost}
    for threshold, season in dict.fromkeys((f["threshold_f"], f["season"]) for f in frost):
        days = [_day(by[threshold, season, r]) if (threshold, season, r) in by else "" for r in risks]
        yield f"  {told_frost(threshold)} {season:7}" + "".join(f"{day:>8}" for day in days)


def _day(month_day: str) -> str:
    month, day = month_day.split("-")
    return f"{int(day)} {MONTHS[int(month) - 1]}"


def _moved(row: CropMoved) -> Iterator[str]:
    where = f"tray {row.tray} " if row.tray else ""
    yield f"{where}{row.crop}{f' ({row.way})' if row.way else ''}"
    for move in row.windows:
        by = move.by_days
        how = ""
        if by:
            how = f"  {plural(abs(by), 'day')} {'later' if by > 0 else 'earlier'}"
        yield f"  {_WINDOWS[move.window]:10} {_span(move.old):17} -> {_span(move.new):17}{how}".rstrip()


def _span(days: tuple[date, date] | None) -> str:
    return f"{short_day(days[0])} to {short_day(days[1])}" if days else "none"


def tonight_of(session: Session) -> Tonight:
    """The night to come, or before dawn the one that is on: its low, what it puts at risk, and when."""
    return tonight_or_now(session.farm, session.today, session.clock)


def tonight(args: Namespace) -> int:
    """The night to come."""
    found = tonight_of(open_session(args))
    return tell(args, found, wrapped(night_lines(found)))


def _expected(found: Tonight) -> str:
    parts = []
    if found.estimate_f is not None:
        parts.append(
            f"about {told_about(found.estimate_f)} if it stays clear and calm (+- {told_spread(found.spread_f or 0.0)})"
        )
    if found.forecast_f is not None:
        parts.append(f"forecast {told_degrees(found.forecast_f)}")
    return "Tonight: " + ("; ".join(parts) or "nothing to go by yet")


def night_short(found: Tonight) -> Iterator[str]:
    """The night in a few lines: what is expected, and what to bring in or to cover."""
    yield _expected(found)
    if found.sunset and found.sunrise:
        yield f"sunset {told_time(found.sunset)}, sunrise {told_time(found.sunrise)}"
    for what, do in (("tray", "bring in"), ("planting", "cover")):
        rows = [row for row in found.at_risk if row.what == what]
        if rows:
            yield f"{do} ({len(rows)}): " + ", ".join(f"{row.bed or row.code} {row.crop}" for row in rows)
    if found.low_f is not None and not found.at_risk:
        yield f"Nothing is at risk at {told_reading(found.low_f)}."
    if found.ahead:
        yield "; ".join(night.says for night in found.ahead)
    yield from found.says


def night_lines(found: Tonight) -> Iterator[str]:
    """All there is to say of the night."""
    yield _expected(found)
    if found.dusk_f is not None and found.dew_f is not None:
        yield f"  at dusk {told_degrees(found.dusk_f)}, dew point {told_degrees(found.dew_f)}"
    if found.sunset and found.sunrise:
        yield f"  sunset {told_time(found.sunset)}, sunrise {told_time(found.sunrise)}"
    if found.course:
        yield "  " + "  ".join(
            f"{told_time(clock)} {told_course(degrees)}" for clock, degrees in found.course
        )
    for what, head in (("tray", "Trays that are out tonight"), ("planting", "Beds without cover")):
        rows = [row for row in found.at_risk if row.what == what]
        if rows:
            yield f"{head} ({len(rows)})"
            yield from map(_risk, rows)
    if found.low_f is not None and not found.at_risk:
        yield f"Nothing is at risk at {told_reading(found.low_f)}."
    yield from (f"{night.says}" for night in found.ahead)
    yield from (f"  {said}" for said in found.says)
    yield "  Low ground is colder than the thermometer by the shed: look there first."


def _risk(row: AtRisk) -> str:
    where = row.bed or row.code
    at = f"from {told_time(row.at)}" if row.at else "" if row.sure else "perhaps"
    return (
        f"  {where:5} {row.crop:17} {row.do}: {told_degrees(row.guard_f)} {at}".rstrip() + f"; {row.because}"
    )


# options


def _options(weather: argparse.ArgumentParser) -> None:
    """What can be done with the weather; without a word it is shown."""
    weather.add_argument(
        "--method", choices=METHODS, default=USUAL_METHOD, help=f"{USUAL_METHOD} unless said"
    )
    what = weather.add_subparsers(title="to do", metavar="WHAT")

    def sub(name: str, says: str, does: Run, *, asks: bool) -> argparse.ArgumentParser:
        made = what.add_parser(name, help=says, description=says[0].upper() + says[1:] + ".")
        add_shared(made)
        made.set_defaults(run=does)
        made.add_argument("--json", action="store_true", help="print JSON")
        if asks:
            made.add_argument("--yes", action="store_true", help="keep it; without, it is only shown")
        return made

    brought = sub("import", "bring in a station's daily lows and highs", weather_import, asks=False)
    brought.add_argument(
        "file", metavar="FILE", type=Path, help="GHCN-Daily .dly or CSV, NCEI access CSV, or date,min_f,max_f"
    )
    brought.add_argument(
        "--unit", type=_unit, help="F or C (or tenths of C), where the file does not say", metavar="F|C"
    )
    keep = sub(
        "keep", "the odds as your frost dates: what moves, and with --yes kept", weather_keep, asks=True
    )
    keep.add_argument("--method", choices=METHODS, default=USUAL_METHOD, help=f"{USUAL_METHOD} unless said")
    keep.add_argument("--own", action="store_true", help="moved to your own ground by your own readings")
    risk = sub(
        "risk",
        "the cold a class of crops waits for: what moves, and with --yes kept",
        weather_risk,
        asks=True,
    )
    risk.add_argument("hardiness", metavar="CLASS", choices=("hardy", "half-hardy", "tender"))
    risk.add_argument("threshold", metavar="F", type=_threshold, help="such as 36F or 2.2C")
    risk.add_argument("risk", metavar="PERCENT", type=_with_unit("%"), help="such as 10%%")


def _unit(text: str) -> str:
    if text.lower() not in ("f", "c", "tenths"):
        raise argparse.ArgumentTypeError("the unit is F, C or tenths (of a degree C)")
    return text.lower()


def _threshold(text: str) -> float:
    """The cold of a frost in degrees F: 36F, 36, or the whole one that 2.2C is told for."""
    value = fahrenheit(text)
    return round(value) if text[-1:] in ("c", "C") or value == int(value) else value


def _with_unit(unit: str) -> Callable[[str], float]:
    """Reads a number that may carry its unit: 36F, 10%."""

    def read(text: str) -> float:
        value = number(text.rstrip(unit))
        return int(value) if value == int(value) else value

    return read


COMMANDS = {"weather": Command(weather, _options), "tonight": Command(tonight)}


# the view


class Weather(View):
    """A page to scroll through, and tonight under it."""

    JOBS = ("Weather and frost",)
    night: tuple[str, ...] = ()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        night = tonight_of(session)
        self.night = tuple(night_short(night))
        # What is at risk stands first and whole; the strip below has room for its beginning only.
        first = [*night_lines(night), ""] if night.at_risk else []
        rows = []
        for text in [*first, *page_lines(weather_of(session))]:
            look = "" if text.startswith(" ") or text[:1].isdigit() else "bold"
            rows += [Row((), ((part, look),)) for part in wrap(text, self.width, hang=2)]
        return "", rows

    def told(self) -> list[Line]:
        lines: list[Line] = []
        for i, text in enumerate(self.night):
            lines += plain(wrap(text.strip(), self.columns, hang=2), "" if i else "bold")
        return lines


VIEW = Weather
