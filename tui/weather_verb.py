"""`shedbook weather` and `shedbook tonight`: what they print. Nothing is reckoned here."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from core.problems import Problem
from core.units import MONTHS, plural, short_day
from tui import out
from tui.doorway import close_door, open_door, say_written
from tui.wrapping import wrapped

if TYPE_CHECKING:
    from core.book.entry import Draft
    from core.door import Door
    from core.weather.change import Change, CropMoved
    from core.weather.rows import FarmWeather, KeptDate
    from core.weather.tonight import AtRisk, Tonight

FEW = 3
"""So many entries are told one by one."""

_WINDOWS = {
    "sow": "sow",
    "direct_sow": "sow in bed",
    "set_out": "set out",
    "first_cut": "first cut",
    "last_cut": "last cut",
}


def weather(args: Namespace) -> int:
    """The odds, her own ground, and what the windows hang on."""
    from core.weather.rows import weather_json

    page = open_door(args).weather(args.__dict__.get("method", "weibull"))
    if args.json:
        out.as_json(weather_json(page))
    else:
        out.lines(wrapped(page_lines(page)))
    return out.DONE


def page_lines(page: FarmWeather) -> Iterator[str]:
    from tui.frost_page import frost_lines, own_lines

    if page.daylight is not None:
        sun = page.daylight
        hours = ", ".join(f"{start} to {end}" for start, end, _ in sun.cutting)
        yield f"Sun {sun.sunrise} to {sun.sunset}; cool hours to cut in {hours}"
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
        autumn = f"to {_kept(row.autumn)}" if row.autumn else "no end in autumn"
        if row.spring and row.autumn:
            yield f"  {row.hardiness}: {spring}{choice};"
            yield f"    {autumn}"
        else:
            yield f"  {row.hardiness}: {spring}{choice}; {autumn}"
        if row.wanted:
            yield f"    your choice, {row.wanted[0]} F at {row.wanted[1]} %, has no date yet"
    if page.odds is not None:
        yield ""
        yield from page.odds.because


def _kept(one: KeptDate) -> str:
    return (
        f"{one.threshold_f:g} F at {one.risk_pct:g} % in {one.season}, {_day(one.month_day)} ({one.source})"
    )


def weather_import(args: Namespace) -> int:
    """Bring in a weather file."""
    door = open_door(args)
    progress = out.progress("the weather")
    written = door.import_weather(args.file, unit=args.unit, progress=out.reading(progress))
    if progress is not None:
        progress(1)
    status = say_written(written, args)
    close_door(door)
    return status


def weather_keep(args: Namespace) -> int:
    """Show what the odds would move, or keep them."""
    door = open_door(args)
    change = door.odds_change(args.method, own=args.own)
    return _show_or_keep(args, door, change)


def weather_risk(args: Namespace) -> int:
    """Show what another risk would move, or keep it."""
    door = open_door(args)
    change = door.risk_change(args.hardiness, args.threshold, args.risk)
    return _show_or_keep(args, door, change)


def _show_or_keep(args: Namespace, door: Door, change: Change | Problem) -> int:
    if isinstance(change, Problem):
        return out.refuse(change)
    if not args.yes:
        _tell_change(args, change)
        return out.DONE
    written = door.keep_change(change)
    if isinstance(written, Problem):
        return out.refuse(written)
    close_door(door)
    return out.tell_done(f"Written: {'; '.join(written.says)}.", lambda: _tell_change(args, change))


def _tell_change(args: Namespace, change: Change) -> None:
    from core.weather.change import change_json

    if args.json:
        out.as_json(change_json(change, written=args.yes))
    else:
        out.lines(wrapped(_change(change, written=args.yes)))


def _change(change: Change, *, written: bool) -> Iterator[str]:
    from core.kinds import sentence

    verb = "written" if written else "would write"
    frost = [draft for draft in change.drafts if draft.kind == "frost"]
    for draft in change.drafts:
        if draft.kind not in ("frost", "strike") or (draft.kind == "frost" and len(frost) <= FEW):
            yield f"{verb}: {sentence(draft)}"
    if len(frost) > FEW:
        yield from _dates(frost, verb)
    yield from (f"{'struck' if written else 'would strike'}: {said}" for said in change.struck)
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
        yield f"  {threshold:g} F {season:7}" + "".join(f"{day:>8}" for day in days)


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


def tonight(args: Namespace) -> int:
    """The night to come."""
    found = open_door(args).tonight()
    if args.json:
        out.as_json(found)
    else:
        out.lines(wrapped(night_lines(found)))
    return out.DONE


def _expected(found: Tonight) -> str:
    parts = []
    if found.estimate_f is not None:
        parts.append(f"about {found.estimate_f:.0f} F if it stays clear and calm (+- {found.spread_f:.1f})")
    if found.forecast_f is not None:
        parts.append(f"forecast {found.forecast_f:g} F")
    return "Tonight: " + ("; ".join(parts) or "nothing to go by yet")


def night_short(found: Tonight) -> Iterator[str]:
    """The night in a few lines: what is expected, and what to bring in or to cover."""
    yield _expected(found)
    if found.sunset and found.sunrise:
        yield f"sunset {found.sunset}, sunrise {found.sunrise}"
    for what, do in (("tray", "bring in"), ("planting", "cover")):
        rows = [row for row in found.at_risk if row.what == what]
        if rows:
            yield f"{do} ({len(rows)}): " + ", ".join(f"{row.bed or row.code} {row.crop}" for row in rows)
    if found.low_f is not None and not found.at_risk:
        yield f"Nothing is at risk at {found.low_f:.0f} F."
    yield from found.says


def night_lines(found: Tonight) -> Iterator[str]:
    """All there is to say of the night."""
    yield _expected(found)
    if found.dusk_f is not None and found.dew_f is not None:
        yield f"  at dusk {found.dusk_f:g} F, dew point {found.dew_f:g} F"
    if found.sunset and found.sunrise:
        yield f"  sunset {found.sunset}, sunrise {found.sunrise}"
    if found.course:
        yield "  " + "  ".join(f"{clock} {degrees:.0f}" for clock, degrees in found.course)
    for what, head in (("tray", "Trays that are out tonight"), ("planting", "Beds without cover")):
        rows = [row for row in found.at_risk if row.what == what]
        if rows:
            yield f"{head} ({len(rows)})"
            yield from map(_risk, rows)
    if found.low_f is not None and not found.at_risk:
        yield f"Nothing is at risk at {found.low_f:.0f} F."
    yield from (f"  {said}" for said in found.says)
    yield "  Low ground is colder than the thermometer by the shed: look there first."


def _risk(row: AtRisk) -> str:
    where = row.bed or row.code
    at = f"from {row.at}" if row.at else "" if row.sure else "perhaps"
    return f"  {where:5} {row.crop:17} {row.do}: {row.guard_f:g} F {at}".rstrip() + f"; {row.because}"
