"""Her own figures as they are told: each beside the published range, with its interval, its seasons and one sentence of
advice. Nothing is changed by itself: what she takes she writes in one line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import ceil, floor
from typing import Literal, NamedTuple, TypeAlias

from core.crops.figure_words import TYPED, WORDS
from core.crops.sheet import FIGURES, Figure, Sheet, Span
from core.farm import Farm
from core.language.crops import crops_called
from core.learning.figures import LEARNABLE, Learnable, is_hers, range_of
from core.learning.observed import (
    Seasons,
    Sort,
    observed,
    season_counts,
    season_days,
    season_means,
    season_shares,
)
from core.learning.varieties import estimate_of_variety
from core.plans.defaults import COMMON
from core.problems import Problem
from core.reckon.learning.alone import learn_alone
from core.reckon.learning.belief import Estimate
from core.reckon.learning.counts import learn_count
from core.reckon.learning.days import learn_days
from core.reckon.learning.shares import learn_share
from core.settings.sheets import farm_sheet
from core.text import clean, named
from core.units import money, number, plural

CENTS = "cents"
"""The unit of what is money."""
COMES_UP = "comes_up_pct"
"""The one share that is of what is kept, and not of what is lost."""
ENOUGH_SEASONS = 2
"""Seasons before a change is advised: one alone may have been the weather."""


Verdict: TypeAlias = Literal["take", "reckon", "wait", "leave", "alone"]
"""What to do with it: take it into the sheet; reckon with it, for no sheet has a place for it; wait for another season;
leave the sheet as it is; or it is hers alone, for no sheet says anything of it."""


class LearnedRow(NamedTuple):
    """One figure of a crop, a way of growing it or a variety, by the record.

    `sheet` is the published range (least, most), None where none is; `in_use` what the farm's sheet says now, where
    that is another. `own` is the estimate, from `low` to `high` nine times in ten; a single season lies from
    `season_low` to `season_high` eight times in ten. `n` counts the `of` (trays, plantings, lots) in `seasons` seasons.
    `weight` is the share that her record carries in it, 0 to 1. `advice` tells in a sentence what `verdict` says;
    `take` is the line that makes it the sheet's, "" where none is advised.
    """

    crop: str
    way: str | None
    variety: str | None
    figure: str
    label: str
    unit: str
    sheet: Span | None
    source: str
    in_use: Span | None
    own: float
    low: float
    high: float
    season_low: float
    season_high: float
    seasons: int
    n: int
    of: str
    weight: float
    verdict: Verdict
    advice: str
    take: str


def learned(farm: Farm, day: date, crop: str | None = None) -> list[LearnedRow]:
    """Every figure that the record can speak to by `day`, of all crops or of one; crops by name, each first as a whole,
    then by variety where several were grown."""
    seen = observed(farm, day, crop)
    varieties: dict[tuple[str, str], set[str]] = {}
    for sort in seen:
        if sort.variety:
            varieties.setdefault(sort[:2], set()).add(sort.variety)
    rows = []
    wholes: dict[str, Whole] = {}
    for sort in sorted(seen):
        if sort.variety and len(varieties[sort[:2]]) < 2:
            continue
        if not sort.variety:
            wholes = {}
        sheet = farm_sheet(farm, sort.crop, sort.way or None, sort.variety or None)
        for name, one in LEARNABLE.items():
            if seasons := seen[sort].figures.get(name):
                found = _row(one, sort, sheet, seasons, wholes.get(name))
                if found is not None:
                    row, estimate = found
                    rows.append(row)
                    if not sort.variety:
                        wholes[name] = Whole(estimate, seasons)
    return rows


def learned_of(farm: Farm, day: date, crop: str) -> list[LearnedRow] | Problem:
    """The same of the crop whose name begins so: of one that the farm has grown."""
    found = [crop] if crop in farm.own_crops else list(crops_called(crop, farm.own_crops))
    if len(found) == 1:
        return learned(farm, day, found[0])
    return Problem(
        f"'{clean(crop)}' is no one crop: write more of its name.",
        "ambiguous" if found else "unknown",
        tuple(found)[:6],
    )


def estimate_of(one: Learnable, known: Span | None, seasons: Seasons) -> Estimate | None:
    """A figure by its seasons, weighed against what is `known`; None where they tell nothing. Shares of 100."""
    if one.how == "alone":
        means = season_means(seasons)
        return learn_alone(means) if means else None
    if known is None:
        return None
    if one.how == "days":
        days = season_days(seasons)
        return learn_days(known, days) if any(s.days or s.waited for s in days) else None
    if one.how == "count":
        return learn_count(known, season_counts(seasons))
    shares = season_shares(seasons)
    if not shares:
        return None
    found = learn_share((known[0] / 100, known[1] / 100), shares)
    own, low, high, season_low, season_high, weight = found
    return Estimate(100 * own, 100 * low, 100 * high, 100 * season_low, 100 * season_high, weight)


class Whole(NamedTuple):
    """A crop's figure, all varieties together."""

    found: Estimate
    seasons: Seasons


def _estimate(one: Learnable, known: Span | None, seasons: Seasons, whole: Whole | None) -> Estimate | None:
    """A figure by its seasons; that of a variety leans on its crop's, where it stood beside others."""
    if whole is not None and known is not None and one.how != "alone":
        beside_it = estimate_of_variety(one, known, whole.found, whole.seasons, seasons)
        if beside_it is not None:
            return beside_it
    return estimate_of(one, known, seasons)


def _row(
    one: Learnable, sort: Sort, sheet: Sheet | None, seasons: Seasons, whole: Whole | None
) -> tuple[LearnedRow, Estimate] | None:
    """The row, and its estimate; None where nothing is told."""
    known = range_of(one, sheet, sort.crop)
    told = {year: season for year, season in seasons.items() if _says_something(season.days, season)}
    found = _estimate(one, known.value if known else None, seasons, whole)
    if found is None or not told:
        return None
    n = sum(season.seen for season in seasons.values())
    in_use = getattr(sheet, one.name, None) if one.is_on_sheet else None
    use = in_use.value if in_use is not None and is_hers(in_use) else None
    take = line_for(one, sort, found)
    verdict, advice = _advice(one, found, known, use, len(told), n)
    row = LearnedRow(
        sort.crop,
        sort.way or None,
        sort.variety or None,
        one.name,
        one.label,
        one.unit,
        known.value if known else None,
        known.source if known else "",
        use,
        _rounded(found.own),
        _rounded(found.low),
        _rounded(found.high),
        _rounded(found.season_low),
        _rounded(found.season_high),
        len(told),
        n,
        plural(n, one.of).split(" ", 1)[1],
        round(found.weight, 2),
        verdict,
        advice,
        take if verdict == "take" else "",
    )
    return row, found


def _says_something(days: Sequence[float], season: object) -> bool:
    return bool(days) or any(getattr(season, name) for name in ("of", "given", "per"))


def line_for(one: Learnable, sort: Sort, found: Estimate) -> str:
    """The line that makes it the sheet's: the range in which a single season lies eight times in ten."""
    if not one.is_on_sheet:
        return ""
    about, low, high = FIGURES[one.name], found.season_low, found.season_high
    tenths = 1 if high >= 10 or one.how == "share" else 10
    low, high = floor(low * tenths) / tenths, ceil(high * tenths) / tenths
    low, high = max(low, about.least), min(high, about.most)
    name = TYPED[one.name][0] if one.name in TYPED else WORDS[one.name][0]
    # a variety's figures go before those of a way of growing: a line speaks of one of them
    called = f"{sort.crop} {_quoted(sort.variety)}" if sort.variety else f"{sort.crop} {sort.way}".strip()
    return f"sheet {called} {name} {number(low)} to {number(high)}"


def _quoted(variety: str) -> str:
    return f"'{variety}'" if " " in variety else variety


def _advice(
    one: Learnable, found: Estimate, known: Figure[Span] | None, in_use: Span | None, seasons: int, n: int
) -> tuple[Verdict, str]:
    """What to do, and that in one sentence."""
    behind = plural(seasons, "season") + (f" ({plural(n, one.of)})" if one.of != "season" else "")
    own = figure_text(one.unit, _rounded(found.own))
    own = own if one.unit == CENTS else f"{own} {one.unit}"
    if known is None:
        return "alone", f"{own} by {behind}: no sheet says what is usual, so it is yours alone."
    low, high = in_use or known.value
    middle = (low + high) / 2
    whose = "your sheet" if in_use else "common practice" if COMMON in known.source else "the sheet"
    sheet = f"{number(low)} to {number(high)}" if low < high else number(low)
    interval = span_text(one.unit, _rounded(found.low), _rounded(found.high))
    if found.low <= middle <= found.high:
        agree = "agrees" if seasons == 1 else "agree"
        few = "is" if seasons == 1 else "are"
        return (
            "leave",
            f"Leave it: {whose} says {sheet}, and {behind} {agree} with it or {few} too few to tell.",
        )
    if seasons < ENOUGH_SEASONS:
        return "wait", f"Wait for another season: one alone may have been the weather ({own}, {interval})."
    because = f"because {behind} put it at {own}, nine times in ten {interval}, and {whose} says {sheet}"
    if not one.is_on_sheet:
        return "reckon", f"Reckon with {own}, {because}."
    return "take", f"Take it, {because}."


def _rounded(value: float) -> float:
    """Three figures are as much as seasons bear."""
    return round(value, 1) if abs(value) >= 10 else round(value, 2)


def beside(row: LearnedRow) -> str:
    """How it stands beside the sheet's figure: "by your record 78.6, 75.2 to 82.1 (3 seasons)"."""
    span = span_text(row.unit, row.low, row.high)
    return f"by your record {figure_text(row.unit, row.own)}, {span} ({plural(row.seasons, 'season')})"


def figure_text(unit: str, value: float) -> str:
    """A figure as it is told: "79", and money as money: "2.00" of 200 cents."""
    return money(round(value)) if unit == CENTS else number(value)


def span_text(unit: str, low: float, high: float) -> str:
    """ "75 to 82", "1.29 to 3.10"."""
    texts = [figure_text(unit, low), figure_text(unit, high)]
    return " to ".join(dict.fromkeys(texts))


def called(row: LearnedRow) -> str:
    """ "strawflower apricot (early)"."""
    return named(row.crop, row.variety, row.way)


def worth_changing(rows: Sequence[LearnedRow]) -> Iterator[LearnedRow]:
    """Those of which a change is advised; first what changes most of a plan."""
    return iter(sorted((row for row in rows if row.take), key=lambda row: -_changes(row)))


def _changes(row: LearnedRow) -> float:
    """By what share of itself a plan is another with her figure: of a share that is lost, what is kept counts."""
    span = row.in_use or row.sheet
    if span is None:
        return 0.0
    known, own = sum(span) / 2, row.own
    if row.unit == "%" and row.figure != COMES_UP:
        known, own = 100 - known, 100 - own
    return abs(own / known - 1) if known else 1.0
