"""The trays as she reads them in the morning: how far each has come, what is next, when it can go out, and why."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.crops.calendar import crop_dates
from core.crops.hardening import (
    Hold,
    Ladder,
    Step,
    advice,
    guard_f,
    ladder,
    ladder_end,
    next_step,
    reached,
    set_out_day,
)
from core.crops.sheet import HardinessClass, Sheet
from core.crops.windows import Calendar
from core.dialect import told_degrees
from core.farm import Farm, Tray
from core.plan_rows import Kept
from core.settings.sheets import bounds, farm_sheet, frosts, season_year
from core.trays import MAY_STEP
from core.units import day_from_iso, plural, short_day
from core.weather.night import Low, NotYet, Stand, kept_from_ground, low_ahead, tray_tonight

TrayState: TypeAlias = Literal["sown", "up", "pricked out", "potted on", "hardening", "ready"]
"""How far a tray has come; "ready": its ladder is done."""

NO_FROST_DATE = "no last frost date yet: write 'last frost 14 may'"
LEFT_DAYS = 42
"""So long after its window to be set out a tray is no more to be planted (ours)."""
POOR_GERMINATION = 60
"""Per cent up below which a bed comes up short (common practice)."""


class TrayRow(NamedTuple):
    """One tray today.

    `state`: "sown", "up", "pricked out", "potted on", "hardening" or "ready" (its ladder is done). `step` of
    `steps` hardening steps are done; `next_step` says the next one in words, `next_short` in few; `today` is what
    was written of today ("step", "held" or None); `hold` why to hold the next step, by today's
    wind and tonight's forecast.
    `set_out_on` is the latest of the ladder's end, the crop's window and the day of the plan it was sown for.
    `ask` is what is to be done with it today, in few words, and `ask_because` how or why; `tonight` is where it is for
    the night, as `core.weather.night` decides.
    """

    tray: str
    crop: str
    variety: str | None
    way: str | None
    state: TrayState
    sown_on: str
    age_days: int
    cells: int
    plants: int
    up: int | None
    germination_pct: int | None
    step: int
    steps: int
    next_step: str
    next_short: str
    today: str | None
    hold: str | None
    held_days: int
    guard_f: int
    harden_on: str | None
    harden_in_days: int | None
    set_out_on: str | None
    set_out_in_days: int | None
    warning: str | None
    because: tuple[str, ...]
    tonight: Stand = ""
    ask: str = ""
    does: str = ""
    """What is to be done, as `ask` without the number of a step."""
    ask_because: str = ""
    window_from: str | None = None
    """The first day of the crop's window to be set out, whatever its ladder."""
    window_to: str | None = None
    """The last day of it."""
    spoils_on: str | None = None
    """Of a crop that cannot wait in its cells: the last day on which it can be moved, where that is near or gone."""


def tray_rows(farm: Farm, day: date) -> list[TrayRow]:
    """Every tray with living plants; those to be moved first come first."""
    plans = _plans_of_trays(farm)
    rows = [_row(farm, tray, day, plans.get(tray.code)) for tray in farm.trays.live()]
    far = 10_000
    return sorted(rows, key=lambda r: (far if r.set_out_in_days is None else r.set_out_in_days, r.tray))


def out_day(farm: Farm, tray: Tray, plan: Kept, day: date) -> date | None:
    """The day on which a tray that was sown for a plan can go out, as its own row tells it."""
    return day_from_iso(_row(farm, tray, day, plan).set_out_on or "")


def _plans_of_trays(farm: Farm) -> dict[str, Kept]:
    """Code of a tray -> the plan it was sown for."""
    return {sown.code: plan for plan in farm.plans.values() if plan.is_live for sown in plan.sown}


def hardiness_of(farm: Farm, tray: Tray) -> HardinessClass:
    """How hardy what grows in the tray is; tender where the library does not have it."""
    sheet = farm_sheet(farm, tray.crop, tray.way, tray.variety)
    return sheet.hardiness_class if sheet else "tender"


def ladder_days(tray: Tray) -> list[tuple[date, str]]:
    """What was written of each day of a tray's hardening."""
    return [(date.fromisoformat(step.on), step.did) for step in tray.ladder]


def _row(farm: Farm, tray: Tray, day: date, plan: Kept | None) -> TrayRow:
    sheet = farm_sheet(farm, tray.crop, tray.way, tray.variety)
    sown = date.fromisoformat(tray.sown)
    kind = hardiness_of(farm, tray)
    climb = reached(ladder_days(tray), day, kind)
    coming = next_step(climb, kind)
    because: list[str] = []
    harden_on = out_on = None
    calendar = _calendar(farm, sheet, sown)
    if calendar is None:
        because.append(NO_FROST_DATE if sheet else f"the library has no {tray.crop}")
    else:
        harden_on, out_on = _days(_for_plan(calendar, plan, kind), tray, climb, kind, day, because)
    window = calendar.windows.get("set_out") if calendar else None
    low = low_ahead(farm, day)
    stand, guard = tray_tonight(climb, kind, low)
    if stand == "" and coming is not None and climb.today is None:
        guard = float(guard_f(kind, coming))
    held = _hold(farm, kind, coming, low, day)
    row = TrayRow(
        tray=tray.code,
        crop=tray.crop,
        variety=tray.variety,
        way=tray.way,
        state=_state(tray, coming is None),
        sown_on=tray.sown,
        age_days=(day - sown).days,
        cells=tray.cells,
        plants=tray.alive,
        up=tray.up,
        germination_pct=round(100 * tray.up / tray.seeds) if tray.up is not None and tray.seeds else None,
        step=climb.step,
        steps=len(ladder(kind)),
        next_step=coming.text if coming else "",
        next_short=coming.short if coming else "",
        today=climb.today,
        hold=held.says if held else None,
        held_days=climb.held,
        guard_f=round(guard),
        harden_on=harden_on.isoformat() if harden_on else None,
        harden_in_days=(harden_on - day).days if harden_on else None,
        set_out_on=out_on.isoformat() if out_on else None,
        set_out_in_days=(out_on - day).days if out_on else None,
        warning=_warning(tray, sheet, (day - sown).days, out_on),
        because=tuple(because),
        tonight=stand,
        window_from=window.start.isoformat() if window else None,
        window_to=window.end.isoformat() if window else None,
    )
    does, why = _ask(
        row,
        kept_from_ground(farm, sheet, kind, day),
        day,
        held,
        coming if _is_back(tray, day, kind) else None,
    )
    ask = f"{does} {row.step + 1} of {row.steps}" if does in STEPPING else does
    spoils = _spoils_on(tray, sheet, (day - sown).days, out_on)
    tonight: Stand = "" if does == LEFT_OVER else row.tonight
    late = spoils.isoformat() if spoils else None
    return row._replace(ask=ask, does=does, ask_because=why, spoils_on=late, tonight=tonight)


def _is_back(tray: Tray, day: date, kind: HardinessClass) -> bool:
    """Whether it lost a step in the last two days, by missing both."""
    before = reached(ladder_days(tray), day - timedelta(days=2), kind).step
    return reached(ladder_days(tray), day, kind).step < before


def _hold(farm: Farm, kind: HardinessClass, coming: Step | None, low: Low | None, day: date) -> Hold | None:
    """Why the step to come is better not done today, by the forecast; None where nothing speaks against it."""
    if coming is None:
        return None
    weather = farm.weather_on(day)
    least = None if low is None else low.least
    return advice(kind, least, weather.wind, step=coming, high_f=weather.high)


LEFT_OVER = "compost?"
"""What is asked of a tray that was never set out: nothing more is done for it."""
STEPPING = (*MAY_STEP, "hold step")
"""What is asked of a step of hardening, which is told with its number."""


def _ask(
    row: TrayRow, not_yet: NotYet | None, day: date, held: Hold | None, back: Step | None
) -> tuple[str, str]:
    """(what to do with a tray today, without the number of a step; how or why); ("", "") where it can stand."""
    if row.window_to and day > date.fromisoformat(row.window_to) + timedelta(days=LEFT_DAYS):
        ended = short_day(date.fromisoformat(row.window_to))
        return LEFT_OVER, f"to be set out until {ended}: 'lost {row.tray} other' ends it"
    if row.state == "ready":
        if row.today == "held":
            return "", ""
        if row.set_out_in_days is None or row.set_out_in_days > 0:
            return _in_short(row)
        if not_yet is not None:
            why = f"planted out it is left at {told_degrees(not_yet.guard_f)} or more"
            return f"wait: {not_yet.when}", why
        return "plant out", "it is hardened off"
    if row.state == "hardening":
        if row.today:
            return "", ""
        if held is not None:
            return "hold step", f"{held.cause}: {held.instead}"
        return "step", f"{back.outdoors}, back one: 2 days missed" if back else row.next_short
    if row.up is not None and row.harden_in_days is not None and row.harden_in_days <= 0:
        if held is not None:
            return "hold step", f"{held.cause}: {held.instead}"
        return "begin step", row.next_short
    return _in_short(row)


def _in_short(row: TrayRow) -> tuple[str, str]:
    """The warning as something to do; what cannot wait in its cells is told by `spoils_on`."""
    if row.warning is None or row.spoils_on is not None:
        return "", ""
    return ("sow again?" if row.up is not None else "count up"), row.warning


def _calendar(farm: Farm, sheet: Sheet | None, sown: date) -> Calendar | None:
    if sheet is None:
        return None
    frost = frosts(farm, season_year(farm, sown))
    return crop_dates(sheet, frost, sown=sown, bounds=bounds(farm)) if frost.spring else None


def _for_plan(calendar: Calendar, plan: Kept | None, kind: HardinessClass) -> Calendar:
    """The calendar of a tray that goes by the day of its plan: not before it, nor before the crop's own window."""
    out, planned = calendar.windows.get("set_out"), day_from_iso((plan.set_out_on if plan else None) or "")
    if out is None or plan is None or planned is None or planned <= out.start:
        return calendar
    because = f"{plan.code} plants it on {short_day(planned)}. {out.because}"
    windows = {
        **calendar.windows,
        "set_out": out._replace(start=planned, end=max(out.end, planned), because=because),
    }
    if (harden := windows.get("harden")) is not None:
        start = max(harden.start, planned - timedelta(days=len(ladder(kind))))
        windows["harden"] = harden._replace(start=start, end=max(harden.end, start))
    return calendar._replace(windows=windows)


def _days(
    calendar: Calendar, tray: Tray, climb: Ladder, kind: HardinessClass, day: date, because: list[str]
) -> tuple[date | None, date | None]:
    """(day hardening begins or began, day it can go out), and why."""
    harden, out = calendar.windows.get("harden"), calendar.windows.get("set_out")
    steps = len(ladder(kind))
    if tray.ladder:
        begun = date.fromisoformat(tray.ladder[0].on)
        end = ladder_end(climb, kind, day, climb.today == "step")
        because.append(
            f"{climb.step} of {steps} hardening steps done"
            + (f", {plural(climb.held, 'day')} held" if climb.held else "")
        )
    else:
        begun = max(harden.start, day) if harden else day
        end = begun + timedelta(days=steps - 1)
        if harden:
            because.append(f"hardening from {short_day(harden.start)}: {harden.because}")
    if out is None:
        return begun, end + timedelta(days=1)
    day_out = set_out_day(end, out.start)
    later = "its first day" if day_out == out.start else "the end of the ladder"
    because.append(f"set out {short_day(day_out)}, {later}; {out.because}")
    return begun, day_out


def _state(tray: Tray, ladder_done: bool) -> TrayState:
    if tray.ladder:
        return "ready" if ladder_done else "hardening"
    if tray.moves:
        return tray.moves[-1].did
    return "sown" if tray.up is None else "up"


def _spoils_on(tray: Tray, sheet: Sheet | None, age: int, out_on: date | None) -> date | None:
    """The last day on which a crop that cannot wait can be moved, once that is near or gone; None for all others."""
    wait = sheet.cannot_wait if sheet is not None else None
    if wait is None or any(move.did == "potted on" for move in tray.moves):
        return None
    last = date.fromisoformat(tray.sown) + timedelta(days=wait.spoiled_after_day)
    is_late = out_on is not None and out_on > last and age >= wait.move_from_day - 7
    return last if age >= wait.move_from_day or is_late else None


def _warning(tray: Tray, sheet: Sheet | None, age: int, out_on: date | None) -> str | None:
    """What would spoil this tray if nothing were done."""
    if sheet is None:
        return None
    wait, last = sheet.cannot_wait, _spoils_on(tray, sheet, age, out_on)
    if wait is not None and last is not None:
        if age > wait.spoiled_after_day:
            return f"past {wait.spoiled_after_day} days in its cells: {tray.crop} flowers short after a check"
        return f"cannot wait: out by {short_day(last)} or pot on"
    if tray.up is None and sheet.germination_days is not None and age > sheet.germination_days.value[1]:
        return f"nothing counted up after {age} days; {sheet.germination_days.text} is usual"
    if tray.up is not None and tray.up_on and 100 * tray.up < POOR_GERMINATION * tray.seeds and age < 40:
        return f"only {round(100 * tray.up / tray.seeds)} % up: sow again?"
    return None
