"""A change of frost dates or risks before it is kept: the entries it would write, and how the season moves by it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from core.book.entry import Draft, Entry
from core.climate.frost import ANY_MONTH, METHODS, PERCENTS, RARE, THRESHOLDS_F, FrostOdds, Method
from core.farm import Farm
from core.growing.calendar import Calendar, Window, crop_dates
from core.problems import Problem
from core.settings import LOW_SPAN_F, RULES
from core.sheets import bounds, farm_sheet, frosts, season_year
from core.weather.page import OWN_GROUND

KEPT_RISKS = (10, 50, 90)
MOVING = ("sow", "direct_sow", "set_out", "first_cut", "last_cut")
"""Windows whose move is told."""

Days = tuple[date, date]


@dataclass(frozen=True, slots=True)
class Moved:
    """One window before and after, first and last day; None where there is none."""

    window: str
    old: Days | None
    new: Days | None

    @property
    def by_days(self) -> int | None:
        """How many days later it begins (negative: earlier)."""
        return (self.new[0] - self.old[0]).days if self.old and self.new else None


@dataclass(frozen=True, slots=True)
class CropMoved:
    """The windows of one crop that move; `tray` is set where they are those of a tray that is sown already."""

    crop: str
    way: str | None
    tray: str | None
    windows: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """What would be written, how each crop moves, the crops that stay, and what is left out and why."""

    drafts: tuple[Draft, ...]
    crops: tuple[CropMoved, ...]
    stay: tuple[str, ...]
    left_out: tuple[str, ...]
    because: tuple[str, ...]


def change_by(farm: Farm, drafts: Sequence[Draft], day: date) -> Change:
    """How the season moves if these entries are written."""
    after = _with(farm, drafts)
    rows, stay = [], []
    for crop, way, tray in _growing(farm):
        before, then = (_calendar(one, crop, way, tray, day) for one in (farm, after))
        windows = tuple(_moves(before, then))
        if windows:
            rows.append(CropMoved(crop, way, tray[0] if tray else None, windows))
        else:
            stay.append(tray[0] if tray else crop)
    return Change(tuple(drafts), tuple(rows), tuple(stay), (), ())


def change_to_odds(farm: Farm, odds: FrostOdds, said: str, day: date) -> Change | Problem:
    """The frost dates of these odds in place of the farm's: 10, 50 and 90 %, and the risks she has chosen.

    `said` is where they come from, for the entries. "rare" and "any month" are no dates: such are left out.
    """
    pairs = {(t, p) for t in THRESHOLDS_F for p in KEPT_RISKS}
    pairs |= {(t, round(p)) for t, p in farm.risks.values() if round(p) == p and p in PERCENTS}
    drafts: list[Draft] = []
    left_out: list[str] = []
    for row in odds.thresholds:
        for risk in sorted(p for t, p in pairs if t == row.threshold_f):
            for season, dates in (("spring", row.last_spring), ("autumn", row.first_autumn)):
                when = dates[risk]
                if when in (RARE, ANY_MONTH):
                    left_out.append(_left_out(farm, season, row.threshold_f, risk, when))
                else:
                    drafts += _frost_draft(farm, season, row.threshold_f, risk, when, said, day)
    if not drafts:
        return Problem("Nothing to keep: the farm's frost dates are these already.", "impossible")
    return replace(change_by(farm, drafts, day), left_out=tuple(left_out), because=odds.because)


def kept_way(farm: Farm) -> tuple[Method, bool]:
    """How the frost dates that are kept were reckoned, and whether on her own ground, by what they say."""
    said = " ".join(row[4] for row in farm.frost)
    return ("normal" if f", {METHODS[1]}" in said else "weibull"), OWN_GROUND in said


def change_of_risk(
    farm: Farm,
    hardiness: str,
    threshold_f: float,
    risk_pct: float,
    odds: FrostOdds | None,
    said: str,
    day: date,
) -> Change | Problem:
    """Another risk for one hardiness class, with the date it needs where the odds have it and the farm not."""
    draft = Draft(
        "risk", day.isoformat(), {"hardiness": hardiness, "threshold_f": threshold_f, "risk_pct": risk_pct}
    )
    if problem := RULES["risk"].check(farm, draft):
        return problem
    drafts = [draft]
    if not any(row[:3] == ["spring", threshold_f, risk_pct] for row in farm.frost):
        row = next((r for r in odds.thresholds if r.threshold_f == threshold_f), None) if odds else None
        when = row.last_spring.get(round(risk_pct), RARE) if row and risk_pct in PERCENTS else None
        if when is None:
            return Problem(
                f"There is no date of {threshold_f:g} F at {risk_pct:g} % in spring: type it "
                f"('last frost {threshold_f:g}F {risk_pct:g}% 05-20'), or choose 10, 20 ... 90 % and bring in a "
                "weather record.",
                "impossible",
            )
        if when in (RARE, ANY_MONTH):
            return Problem(
                f"{threshold_f:g} F at {risk_pct:g} % has no date in spring here ({when}): choose another.",
                "impossible",
            )
        drafts += _frost_draft(farm, "spring", threshold_f, risk_pct, when, said, day)
    return change_by(farm, drafts, day)


def _frost_draft(
    farm: Farm, season: str, threshold_f: float, risk: float, when: str, said: str, day: date
) -> Iterator[Draft]:
    """The entry of one date; none where the farm has just that."""
    if [season, threshold_f, risk, when, said] in farm.frost or not LOW_SPAN_F[
        0
    ] <= threshold_f <= LOW_SPAN_F[1]:
        return
    threshold = int(threshold_f) if threshold_f == int(threshold_f) else threshold_f
    yield Draft(
        "frost",
        day.isoformat(),
        {
            "season": season,
            "threshold_f": threshold,
            "risk_pct": risk,
            "month_day": when,
            "source": said,
        },
    )


def _left_out(farm: Farm, season: str, threshold_f: float, risk: float, when: str) -> str:
    old = next((row[3] for row in farm.frost if row[:3] == [season, threshold_f, risk]), None)
    stays = f"; your {old} stays" if old else ""
    return f"{threshold_f:g} F at {risk:g} % in {season}: {when}{stays}"


def _with(farm: Farm, drafts: Iterable[Draft]) -> Farm:
    """The farm as it would be; only frost dates and risks differ."""
    after = replace(farm, frost=list(farm.frost), risks=dict(farm.risks))
    for draft in drafts:
        RULES[draft.kind].apply(after, Entry("trial", draft.on, "", "", draft.kind, draft.fields))
    return after


Sown = tuple[str, date]
"""Code of a tray and the day it was sown."""


def _growing(farm: Farm) -> list[tuple[str, str | None, Sown | None]]:
    """Every crop that stands, is sown or is planned, as it would be grown anew; then the trays as they are."""
    trays = list(farm.trays.live())
    plans = [plan for plan in farm.plans.values() if plan.is_live]
    crops = {(p.crop, p.way) for p in farm.plantings.live()}
    crops |= {(t.crop, t.way) for t in trays} | {(p.crop, p.way) for p in plans}
    named = sorted(crops, key=lambda crop: (crop[0].lower(), crop[1] or ""))
    return [
        *((crop, way, None) for crop, way in named),
        *((t.crop, t.way, (t.code, date.fromisoformat(t.sown))) for t in trays),
    ]


def _calendar(farm: Farm, crop: str, way: str | None, tray: Sown | None, day: date) -> Calendar | None:
    sheet = farm_sheet(farm, crop, way)
    if sheet is None:
        return None
    sown = tray[1] if tray else None
    return crop_dates(sheet, frosts(farm, season_year(farm, sown or day)), sown=sown, bounds=bounds(farm))


def _moves(before: Calendar | None, after: Calendar | None) -> Iterator[Moved]:
    for name in MOVING:
        old, new = (_days(calendar.windows.get(name)) if calendar else None for calendar in (before, after))
        if old != new:
            yield Moved(name, old, new)


def _days(window: Window | None) -> Days | None:
    return (window.start, window.end) if window else None


def change_json(change: Change, *, written: bool) -> dict[str, Any]:
    """{"written", "entries": [...], "crops": [{"crop", "way", "tray", "windows": {name: {"old": [from, to],
    "new", "by_days"}}}], "stay", "left_out", "because"}."""
    return {
        "written": written,
        "entries": [{"kind": d.kind, "on": d.on, **d.fields} for d in change.drafts],
        "crops": [
            {
                "crop": row.crop,
                "way": row.way,
                "tray": row.tray,
                "windows": {
                    m.window: {"old": m.old, "new": m.new, "by_days": m.by_days} for m in row.windows
                },
            }
            for row in change.crops
        ],
        "stay": list(change.stay),
        "left_out": list(change.left_out),
        "because": list(change.because),
    }
