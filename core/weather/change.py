"""A change of frost dates or risks before it is kept: the entries it would write, and how the season moves by it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil
from typing import Any, Protocol

from core.amend import AMENDING, counting
from core.book.entry import Draft, Entry, Fields
from core.crops.calendar import crop_dates
from core.crops.windows import Calendar, Window
from core.dialect import told_frost
from core.farm import Farm
from core.marked import typed_frost
from core.problems import Problem
from core.reckon.climate.frost import (
    ANY_MONTH,
    METHODS,
    PERCENTS,
    RARE,
    THRESHOLDS_F,
    USUAL_METHOD,
    FrostOdds,
    Method,
    ThresholdOdds,
)
from core.settings.sheets import bounds, farm_sheet, frosts, season_year
from core.subject import kind_of
from core.weather.kinds import LOW_SPAN_F, SEASONS, apply_frost, check_risk
from core.weather.records import WeatherRecords
from core.weather.rows import Origin, odds_and_source

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
    """What would be written, how each crop moves, the crops that stay, and what is left out and why.

    `struck` tells in words which kept dates the strikes among the entries take out.
    """

    drafts: tuple[Draft, ...]
    crops: tuple[CropMoved, ...]
    stay: tuple[str, ...]
    struck: tuple[str, ...]
    left_out: tuple[str, ...]
    because: tuple[str, ...]


Key = tuple[str, float, float]
"""Which frost date: "spring" or "autumn", threshold in F, chance in a hundred."""


def frost_entries(entries: Iterable[Entry]) -> list[Entry]:
    """The entries of frost dates that are not struck, oldest first."""
    told = counting(entry for entry in entries if entry.kind == "frost" or entry.kind in AMENDING)
    return sorted(told, key=lambda entry: entry.key)


def asked(farm: Farm, *more: tuple[float, float]) -> tuple[list[float], list[float]]:
    """The thresholds and percents of which odds are needed: the usual ones, those of the farm, and `more`."""
    own = [*farm.risks.values(), *(row.key[1:] for row in farm.frost if row.source), *more]
    thresholds = {*THRESHOLDS_F, *(float(threshold) for threshold, _ in own)}
    return sorted(thresholds, reverse=True), sorted({*PERCENTS, *(percent for _, percent in own)})


def change_by(farm: Farm, drafts: Sequence[Draft], day: date, entries: Sequence[Entry] = ()) -> Change:
    """How the season moves if these are written; `entries` are the `frost_entries` that a strike may name."""
    after = _with(farm, drafts, entries)
    rows, stay = [], []
    for crop, way, tray in _growing(farm):
        before, then = (_calendar(one, crop, way, tray, day) for one in (farm, after))
        windows = tuple(_moves(before, then))
        if windows:
            rows.append(CropMoved(crop, way, tray[0] if tray else None, windows))
        else:
            stay.append(tray[0] if tray else crop)
    return Change(tuple(drafts), tuple(rows), tuple(stay), (), (), ())


def change_to_odds(
    farm: Farm, odds: FrostOdds, origin: Origin, day: date, entries: Sequence[Entry] = ()
) -> Change | Problem:
    """The frost dates of these odds in place of the farm's: 10, 50 and 90 %, the risks she has chosen, and what
    was kept from a record before.

    `origin` is where they come from, for the entries. "rare" and "any month" are no dates: such are left out, and
    a date kept from a record that has become so is struck (one typed by hand stays). `entries` are the farm's
    `frost_entries`; `odds` need the thresholds and percents that `asked` names.
    """
    drafts: list[Draft] = []
    gone: list[str] = []
    left_out: list[str] = []
    rows = {row.threshold_f: row for row in odds.thresholds}
    for key in _keys(farm):
        season, threshold_f, risk = key
        row = rows[threshold_f]
        when = (row.last_spring if season == "spring" else row.first_autumn)[risk]
        if when is not None and when not in (RARE, ANY_MONTH):
            drafts += _frost_draft(farm, key, when, origin, day)
        elif when is not None and (strikes := _strikes(farm, key, entries, day)):
            drafts += strikes
            gone.append(f"{_named(key)}, {_now(farm, key)}: {when} by this record")
        else:
            left_out.append(_left_out(farm, key, when or "too few seasons to tell"))
    if not drafts:
        none = len(left_out) == len(_keys(farm))
        why = "this record gives no date at all" if none else "the farm's frost dates are these already"
        return Problem(f"Nothing to keep: {why}.", "impossible")
    moved = change_by(farm, drafts, day, entries)
    return replace(moved, struck=tuple(gone), left_out=tuple(left_out), because=odds.because)


def _keys(farm: Farm) -> list[Key]:
    """The dates a farm keeps from a record: warmest cold first, then the rarer chance, spring before autumn."""
    usual = {(season, t, p) for season in SEASONS for t in THRESHOLDS_F for p in KEPT_RISKS}
    chosen = {("spring", *risk) for risk in farm.risks.values()}
    kept = {row.key for row in farm.frost if row.source}
    return sorted(usual | chosen | kept, key=lambda key: (-key[1], key[2], SEASONS.index(key[0])))


def _strikes(farm: Farm, key: Key, entries: Sequence[Entry], day: date) -> list[Draft]:
    """Strikes of every entry that kept this date from a record; none where the date that stands was typed."""
    if not any(row.key == key and row.source for row in farm.frost):
        return []
    return [
        Draft("strike", day.isoformat(), {"entry": entry.id})
        for entry in entries
        if _key_of(entry.fields) == key and entry.fields.get("source")
    ]


def _key_of(fields: Fields) -> Key:
    return fields["season"], fields["threshold_f"], fields["risk_pct"]


def kept_way(farm: Farm) -> tuple[Method, bool]:
    """How the frost dates that are kept were reckoned, and whether on her own ground."""
    is_normal = any(row.method == METHODS[1] for row in farm.frost)
    return METHODS[is_normal], any(row.own_ground for row in farm.frost)


def change_of_risk(
    farm: Farm,
    hardiness: str,
    threshold_f: float,
    risk_pct: float,
    odds: FrostOdds | None,
    origin: Origin | None,
    day: date,
) -> Change | Problem:
    """Another risk for one hardiness class, with the date it needs where the odds have it and the farm not.

    `odds` need the percents and thresholds that `asked` names, this one among them.
    """
    draft = Draft(
        "risk", day.isoformat(), {"hardiness": hardiness, "threshold_f": threshold_f, "risk_pct": risk_pct}
    )
    if problem := check_risk(farm, draft):
        return problem
    key = "spring", threshold_f, risk_pct
    row = next((r for r in odds.thresholds if r.threshold_f == threshold_f), None) if odds else None
    when = row.last_spring.get(risk_pct) if row and odds and _can_tell(odds, row, risk_pct) else None
    old = next((kept for kept in farm.frost if kept.key == key), None)
    if when in (RARE, ANY_MONTH) and (old is None or old.source):
        stale = " ('shedbook weather keep' takes back the date you kept)" if old else ""
        return Problem(
            f"{told_frost(threshold_f)} at {risk_pct:g} % has no date in spring here ({when}): choose another{stale}.",
            "impossible",
        )
    drafts = [draft]
    if old is None:
        if when is None or origin is None:
            return Problem(_no_date(threshold_f, risk_pct, odds, row), "impossible")
        drafts += _frost_draft(farm, key, when, origin, day)
    return change_by(farm, drafts, day)


def _can_tell(odds: FrostOdds, row: ThresholdOdds, risk_pct: float) -> bool:
    """Whether the springs are enough to tell that chance: ranks reach from 1 to n in n + 1."""
    if odds.method != METHODS[0]:
        return True
    finest = 100 / (row.springs + 1)
    return finest <= risk_pct <= 100 - finest


def _no_date(threshold_f: float, risk_pct: float, odds: FrostOdds | None, row: ThresholdOdds | None) -> str:
    typed = f"type it ('last frost {typed_frost(threshold_f)} {risk_pct:g}% 05-20')"
    what = f"There is no date of {told_frost(threshold_f)} at {risk_pct:g} % in spring"
    if odds is None or row is None:
        return f"{what}: {typed}, or bring in a weather record ('shedbook weather import FILE')."
    if row.not_yet:
        return f"{what}, {row.not_yet.rstrip('.')}: {typed}, or bring in a longer record."
    finest = ceil(100 / (row.springs + 1))
    return f"{what}: {row.springs} springs tell chances from {finest} to {100 - finest} %; {typed}."


def _frost_draft(farm: Farm, key: Key, when: str, origin: Origin, day: date) -> Iterator[Draft]:
    """The entry of one date; none where the farm has just that."""
    season, threshold_f, risk = key
    if (*key, when, *origin) in farm.frost or not LOW_SPAN_F[0] <= threshold_f <= LOW_SPAN_F[1]:
        return
    threshold = int(threshold_f) if threshold_f == int(threshold_f) else threshold_f
    fields = {
        "season": season,
        "threshold_f": threshold,
        "risk_pct": risk,
        "month_day": when,
        "source": origin.source,
        "method": origin.method,
        **({"own_ground": True} if origin.own_ground else {}),
    }
    yield Draft("frost", day.isoformat(), fields)


def _named(key: Key) -> str:
    return f"{told_frost(key[1])} at {key[2]:g} % in {key[0]}"


def _now(farm: Farm, key: Key) -> str:
    """The date that stands, "MM-DD"; "" where there is none."""
    return next((row.month_day for row in farm.frost if row.key == key), "")


def _left_out(farm: Farm, key: Key, why: str) -> str:
    old = _now(farm, key)
    stays = f"; your {old} stays" if old else ""
    return f"{_named(key)}: {why}{stays}"


def _with(farm: Farm, drafts: Iterable[Draft], entries: Iterable[Entry]) -> Farm:
    """A copy of the farm with the frost dates and risks that these drafts make; all else is shared with it."""
    after = replace(farm, frost=list(farm.frost), risks=dict(farm.risks))
    drafts = list(drafts)
    gone = {draft.fields["entry"] for draft in drafts if draft.kind == "strike"}
    if gone:
        entries = list(entries)
        keys = {_key_of(entry.fields) for entry in entries if entry.id in gone}
        after.frost = [row for row in after.frost if tuple(row[:3]) not in keys]
        for entry in entries:
            if entry.id not in gone and _key_of(entry.fields) in keys:
                apply_frost(after, entry)
    for draft in drafts:
        if (kind := kind_of(draft.kind, draft.fields)) is not None:
            kind.apply(after, Entry("trial", draft.on, "", "", draft.kind, draft.fields))
    return after


Sown = tuple[str, date]
"""Code of a tray and the day it was sown."""


def _growing(farm: Farm) -> list[tuple[str, str | None, Sown | None]]:
    """(crop, way, None) for a new sowing of each crop that stands, is sown or is planned, by its name; then (crop, way,
    its tray's code and day of sowing) for each tray."""
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
    "new", "by_days"}}}], "stay", "struck", "left_out", "because"}."""
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
        "struck": list(change.struck),
        "left_out": list(change.left_out),
        "because": list(change.because),
    }


class KnownBook(Protocol):
    """What is asked of the book that is open."""

    @property
    def farm(self) -> Farm: ...
    @property
    def today(self) -> date: ...
    @property
    def records(self) -> WeatherRecords: ...
    def entries(self) -> Sequence[Entry]: ...


def odds_change(book: KnownBook, method: Method = USUAL_METHOD, *, own: bool = False) -> Change | Problem:
    """What it would change to keep the station's odds as frost dates (`own`: those of her own ground)."""
    odds = _odds(book, method, *asked(book.farm), own=own)
    if isinstance(odds, Problem):
        return odds
    return change_to_odds(book.farm, *odds, book.today, frost_entries(book.entries()))


def risk_change(book: KnownBook, hardiness: str, threshold_f: float, risk_pct: float) -> Change | Problem:
    """What it would change if a hardiness class waited for another cold, or another chance of it."""
    method, own = kept_way(book.farm)
    odds = _odds(book, method, *asked(book.farm, (threshold_f, risk_pct)), own=own)
    known, origin = (None, None) if isinstance(odds, Problem) else odds
    return change_of_risk(book.farm, hardiness, threshold_f, risk_pct, known, origin, book.today)


def _odds(
    book: KnownBook, method: Method, thresholds: list[float], percents: list[float], *, own: bool
) -> tuple[FrostOdds, Origin] | Problem:
    """The odds, and where they come from."""
    records = book.records
    return odds_and_source(
        records.station(),
        records.own() if own else None,
        method,
        own_ground=own,
        thresholds=thresholds,
        percents=percents,
    )
