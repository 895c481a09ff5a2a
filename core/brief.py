"""The morning page, as data: what matters today and nothing else. The screen and the printed page both show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from core.crops.library import caution
from core.drying.hanging import ShelfRow, shelf_rows
from core.farm import FRESH_PLACES, Farm
from core.fold import matters
from core.growing.bed_rows import GROUND_COLDER_F, BedRow, ByWarmth, bed_rows
from core.guard import UNGUARDED, Guard
from core.problems import Problem
from core.settings import AVERAGE
from core.sheets import frosts, season_year
from core.stems.boxes import ASKS, BoxRow, box_rows
from core.units import day_text, long_day, plural, short_day

if TYPE_CHECKING:
    from collections.abc import Callable

    from core.growing.tray_rows import TrayRow
    from core.planning.plan_rows import PlanRow
    from core.stems.fresh import FreshRow

T = TypeVar("T")

HOT_F = 85
"""A high from which a heat caution stands on the page: the usual bands begin at 80 to 90 F (weather service)."""
MOULD = "mould"
MOULD_DAYS = 14
"""Days for which a mould loss is spoken of: the dust of mouldy bunches hurts lungs while they are still about."""


class TrayTask(NamedTuple):
    """One thing to do with a tray today, and why."""

    tray: str
    crop: str
    what: str
    because: str


class BedTask(NamedTuple):
    """One job due in a bed today."""

    bed: str
    crop: str
    job: str
    because: str


class PlanTask(NamedTuple):
    """One part of a plan that is due or behind; `line` is what to write when it is done, as in `PlanRow`."""

    plan: str
    crop: str
    variety: str | None
    what: str
    because: str
    line: str


class AtStage(NamedTuple):
    """A crop to look at for cutting, per use; `days_since` its last cut, None where it was not cut yet."""

    bed: str
    crop: str
    variety: str | None
    uses: tuple[str, ...]
    last_cut: str | None
    days_since: int | None
    because: str


@dataclass(frozen=True, slots=True)
class Brief:
    """What today asks. Every list may be empty.

    `sun_up` is the farm's clock at sunrise, "" where its place is not known.
    `cautions` are for today's weather and shed; `care` is (crop, caution) for what may be cut today;
    `to_buy` are (making, how many are left) at or under the number to buy it again. `first_things` is there while the
    book still lacks its basics.
    """

    day: str
    title: str
    sun_up: str
    season: str
    weather: str
    cautions: tuple[str, ...]
    care: tuple[tuple[str, str], ...]
    first_things: tuple[str, ...]
    plans: tuple[PlanTask, ...]
    trays: tuple[TrayTask, ...]
    beds: tuple[BedTask, ...]
    at_stage: tuple[AtStage, ...]
    shelf: tuple[ShelfRow, ...]
    fresh: tuple[FreshRow, ...]
    boxes: tuple[BoxRow, ...]
    """Those that ask for a look or for more, the most pressing first."""
    to_buy: tuple[tuple[str, float], ...]
    matters: tuple[str, ...]
    failed: tuple[tuple[str, str], ...] = ()
    """(part, sentence) of each part that a fault of ours kept from being reckoned; its list is empty then."""


def brief(
    farm: Farm,
    day: date,
    by_warmth: ByWarmth | None = None,
    clock: str | None = None,
    guard: Guard = UNGUARDED,
) -> Brief:
    """The morning page of `day`; `by_warmth` as for `bed_rows`, `clock` as for `fresh_rows`. Each part is guarded."""
    failed: list[tuple[str, str]] = []

    def part(name: str, reckon: Callable[[], T], none: T) -> T:
        def fail(why: Problem) -> T:
            failed.append((name, why.sentence))
            return none

        return guard(name, reckon, fail)

    today = farm.weather.get(day.isoformat(), {})
    beds: list[BedRow] = part("Beds", lambda: bed_rows(farm, day, by_warmth), [])
    at_stage: tuple[AtStage, ...] = part("To look at for cutting", lambda: _at_stage(beds, day), ())
    hanging: list[ShelfRow] = part("Shelf", lambda: shelf_rows(farm, day), [])
    cautions: list[str] = part("Cautions", lambda: _cautions(farm, day, today), [])
    shed: list[str] = part("The drying shed", lambda: _shed(farm, day, beds, hanging), [])
    return Brief(
        day=day.isoformat(),
        title=long_day(day),
        sun_up=part("Sunrise", lambda: _sun_up(farm, day), ""),
        season=part("The frost dates", lambda: _season(farm, day), ""),
        weather=part("Weather", lambda: _weather(farm, day), ""),
        cautions=(*cautions, *shed),
        care=part("What wants care", lambda: _care(at_stage), ()),
        first_things=part("What to begin with", lambda: tuple(_first_things(farm)), ()),
        plans=part("Plan", lambda: _plan_tasks(farm, day), ()),
        trays=part("Trays", lambda: _tray_tasks(farm, day), ()),
        beds=part("Beds", lambda: _bed_tasks(beds), ()),
        at_stage=at_stage,
        shelf=tuple(row for row in hanging if row.status != "hanging"),
        fresh=part("Bucket", lambda: _fresh(farm, day, clock), ()),
        boxes=part("Boxes", lambda: _boxes(farm, day), ()),
        to_buy=part("Buy", lambda: _to_buy(farm), ()),
        matters=part("To settle", lambda: _sentences(matters(farm)), _sentences(farm.matters)),
        failed=tuple(failed),
    )


def _sentences(problems: list[Problem]) -> tuple[str, ...]:
    return tuple(problem.sentence for problem in problems)


def _care(rows: tuple[AtStage, ...]) -> tuple[tuple[str, str], ...]:
    """What is to be said of handling the crops that may be cut today."""
    return tuple((crop, said) for crop in dict.fromkeys(r.crop for r in rows) if (said := caution(crop)))


def _bed_tasks(beds: list[BedRow]) -> tuple[BedTask, ...]:
    return tuple(
        BedTask(b.bed, p.crop, p.job, p.because)
        for b in beds
        for p in b.plantings
        if p.due and p.job not in ("", "cut")
    )


def _boxes(farm: Farm, day: date) -> tuple[BoxRow, ...]:
    return tuple(sorted((r for r in box_rows(farm, day) if r.ask), key=lambda r: list(ASKS).index(r.ask)))


def _sun_up(farm: Farm, day: date) -> str:
    """ "5:08", by the farm's clock; "" where its place is not known."""
    latitude, longitude = farm.settings.get("latitude"), farm.settings.get("longitude")
    if latitude is None or longitude is None:
        return ""
    from core.climate.sky import clock_of_sunrise
    from core.settings import zone

    return clock_of_sunrise(day, latitude, longitude, zone(farm))


def _to_buy(farm: Farm) -> tuple[tuple[str, float], ...]:
    """Makings at or under the number at which they are bought again, and how many are left."""
    return tuple(
        (name, farm.makings.get(name, 0))
        for name, least in farm.reorder.items()
        if farm.makings.get(name, 0) <= least
    )


def _season(farm: Farm, day: date) -> str:
    frost = frosts(farm, season_year(farm, day))
    last, first = frost.last_frost, frost.autumn.get(AVERAGE)
    if last and day < last:
        return f"{plural((last - day).days, 'day')} to the average last frost, {short_day(last)}"
    if first and day <= first:
        return f"{plural((first - day).days, 'day')} to the average first frost, {short_day(first)}"
    if last and not first:
        return f"{plural((day - last).days, 'day')} since the average last frost, {short_day(last)}"
    return ""


def _weather(farm: Farm, day: date) -> str:
    today = farm.weather.get(day.isoformat(), {})
    before = farm.weather.get((day - timedelta(days=1)).isoformat(), {})
    parts = []
    if "low" in today:
        parts.append(f"low last night {today['low']:g} F")
    high = today.get("high", before.get("high"))
    if high is not None:
        parts.append(f"high {'so far' if 'high' in today else 'yesterday'} {high:g} F")
    if "tonight" in today:
        parts.append(f"forecast tonight {today['tonight']:g} F")
    if "wind" in today:
        parts.append(f"wind {today['wind']:g} mph")
    if not parts:
        return "no readings yet today: write 'low 41', 'tonight 38'"
    return ", ".join(parts)


def _first_things(farm: Farm) -> list[str]:
    """What a new book still needs, one line to write for each."""
    lines = []
    if not any(row[0] == "spring" and tuple(row[1:3]) == AVERAGE for row in farm.frost):
        lines.append("your average last frost, all dates hang on it:  last frost 14 may")
    if not farm.beds:
        lines.append("your beds, one line for each:  bed b1 50ft")
    elif not list(farm.plantings.live()) and not list(farm.trays.live()):
        lines.append("what grows: a tray you sowed:  sow 72 strawflower")
        lines.append("            or what stands in a bed already:  plant zinnia b1 25ft")
    return lines


def _plan_tasks(farm: Farm, day: date) -> tuple[PlanTask, ...]:
    """What plans ask for today; the planning is loaded only where there is a plan."""
    if not farm.plans:
        return ()
    from core.planning.plan_rows import plan_rows

    return tuple(task for row in plan_rows(farm, day) if (task := _plan_task(row, day)) is not None)


def _plan_task(row: PlanRow, day: date) -> PlanTask | None:
    """The next part of a plan where it is due; a tray of its own says itself when it goes out."""
    is_due = row.next_on is not None and row.next_on <= day.isoformat()
    is_told_elsewhere = row.next in ("set out", "cut") and row.sow is not None and not row.behind
    if not row.next or not is_due or is_told_elsewhere:
        return None
    doing = {
        "sow": f"sow {plural(row.seeds or 0, 'seed')}",
        "drill": f"drill {plural(row.seeds or 0, 'seed')}",
        "set out": f"set out {plural(row.plants or 0, 'plant')}",
    }.get(row.next, row.next)
    when = f"behind by {plural(row.behind, 'day')}" if row.behind else "today"
    promised = day_text(row.by)
    because = f"planned for {plural(row.stems, 'stem')}, {row.use}, by {promised}"
    return PlanTask(row.plan, row.crop, row.variety, f"{doing}: {when}", because, row.line)


def _tray_tasks(farm: Farm, day: date) -> tuple[TrayTask, ...]:
    """What to do with the trays today; what knows of hardening is loaded only where there is a tray."""
    if not any(farm.trays.live()):
        return ()
    from core.growing.tray_rows import tray_rows

    return tuple(
        TrayTask(row.tray, row.crop, what, row.because[-1] if row.because else "")
        for row in tray_rows(farm, day)
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


def _at_stage(beds: list[BedRow], day: date) -> tuple[AtStage, ...]:
    rows = []
    for bed in beds:
        for p in bed.plantings:
            if p.at_stage:
                since = (day - date.fromisoformat(p.last_cut)).days if p.last_cut else None
                if since != 0:
                    rows.append(AtStage(bed.bed, p.crop, p.variety, p.at_stage, p.last_cut, since, p.because))
    # longest uncut first; what was never cut leads, its first stems are the ones that are missed
    return tuple(sorted(rows, key=lambda r: (-(r.days_since if r.days_since is not None else 999), r.bed)))


def _fresh(farm: Farm, day: date, clock: str | None) -> tuple[FreshRow, ...]:
    """What of the bucket and the cooler asks for something; what knows of ageing is loaded only where they hold any."""
    if not any(place in lot.holdings for lot in farm.lots.live() for place in FRESH_PLACES):
        return ()
    from core.stems.fresh import fresh_rows

    return tuple(row for row in fresh_rows(farm, day, clock) if row.status != "fresh")


def _cautions(farm: Farm, day: date, today: dict[str, float]) -> list[str]:
    lines = []
    if "dusk" in today:
        from core.weather.tonight import line_for_brief
        from core.weather.tonight import tonight as night_of

        if line := line_for_brief(night_of(farm, day)):
            lines.append(line)
    tonight = today.get("tonight")
    if tonight is not None and tonight <= 32 + GROUND_COLDER_F:
        lines.append(
            f"frost may come tonight ({tonight:g} F), low ground first: bring trays in, cover the tender."
        )
    before = farm.weather.get((day - timedelta(days=1)).isoformat(), {})
    high = today.get("high", before.get("high", 0))
    if high >= HOT_F:
        when = _cool_until(farm, day)
        lines.append(f"heat ({high:g} F): cut {when}, water every 15-20 min, shade; confusion: get help.")
    mould = farm.last_loss.get(MOULD)
    if mould and (day - date.fromisoformat(mould)).days <= MOULD_DAYS:
        lines.append("mould: carry mouldy bunches out wetted, in a two-strap N95 mask or better.")
    return lines


def _shed(farm: Farm, day: date, beds: list[BedRow], hanging: list[ShelfRow]) -> list[str]:
    """One line on the drying shed where something is wrong with its air or its lines."""
    if not (farm.air or farm.air_ranges or farm.lines or "line" in farm.capacity):
        return []
    from core.shed.shed import line_for_brief, shed

    low = None
    if "dusk" in farm.weather.get(day.isoformat(), {}):
        from core.weather.tonight import low_to_expect

        low = low_to_expect(farm, day)
    line = line_for_brief(shed(farm, day, beds, low=low, hanging=hanging))
    return [line] if line else []


def _cool_until(farm: Farm, day: date) -> str:
    """By when to have cut on a hot day, where the farm's place is known: "by 8:08"; else "at dawn"."""
    latitude, longitude = farm.settings.get("latitude"), farm.settings.get("longitude")
    if latitude is None or longitude is None:
        return "at dawn"
    from core.climate.sun import Sun, clock, cutting_windows, sun
    from core.settings import zone

    today = sun(day, latitude, longitude, zone(farm))
    windows = cutting_windows(today) if isinstance(today, Sun) else ()
    return f"by {clock(windows[0].end).lstrip('0')}" if windows else "at dawn"
