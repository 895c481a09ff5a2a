"""What was lost, where and why: losses at every hand-over as a share of what came to it, the stage at the cut held
against them, and what a year in the box costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from core.crops.own_crop import own_names
from core.cutting.kinds import AT_THE_CUT
from core.farm import Farm, Lot
from core.language.crops import crops_called
from core.problems import Problem
from core.settings.sheets import farm_year
from core.stems.kinds import DRY
from core.text import clean
from core.units import number, plural

HAND_OVERS = {
    AT_THE_CUT: "at the cut",
    "fresh": "fresh",
    "hanging": "hanging",
    "wired": "wired",
    DRY: "in the box",
}
"""Form in which stems are lost -> what that hand-over is called, in the order of the work."""
BY = ("crop", "form", "cause")
"""What losses may be told apart by."""
STAGE_CAUSES = ("blown", "shatter", "brown", "wilted")
"""Losses that hang on how far a flower was open when it was cut: too open blows, drops and browns, too tight wilts."""
ENOUGH_LOTS = 4
"""Lots on either side before stages are held against each other: fewer is chance."""
ENOUGH_STEM_YEARS = 100.0
"""Stems times years in store before a yearly share is told."""
USUAL_SHRINK_PCT = (5.0, 10.0)
"""Lost of what lies in store in a year (common practice; no published rate was found)."""
DAYS_A_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class LossRow:
    """Stems lost of one crop, in one form, by one cause; what is not told apart is "".

    `of` is how many stems came into that form (where forms are not told apart, how many were cut), `share_pct` the
    share lost, None where none came. A count that found more than the book had makes a negative "miscounted", without a
    share.
    """

    crop: str
    form: str
    cause: str
    stems: int
    of: int
    share_pct: float | None
    lots: int


@dataclass(frozen=True, slots=True)
class StageRow:
    """Lots of a crop cut at one stage against its lots cut at others, by one cause of loss after the cut.

    Only lots that are through (nothing in the bucket, the cooler or on a line) and whose stage was written. The
    shares are None where either side has too few lots; `says` tells either way.
    """

    crop: str
    stage: str
    cause: str
    lots: int
    stems: int
    lost: int
    share_pct: float | None
    other_lots: int
    other_stems: int
    other_lost: int
    other_share_pct: float | None
    says: str


@dataclass(frozen=True, slots=True)
class Shrink:
    """What the boxes lose: stems boxed dry, lost of them, and the share lost in a year of lying there.

    `stem_years` is every stem times the years it lay in store. `per_year_pct` is None where that is too little, and
    where nothing was ever counted short or written as lost: that is silence, not a share of 0.
    """

    crop: str
    boxed: int
    lost: int
    stem_years: float
    per_year_pct: float | None
    says: str


@dataclass(frozen=True, slots=True)
class Losses:
    """All about losses: by hand-over, by crop, hand-over and cause, by stage at the cut, and in store."""

    hand_overs: tuple[LossRow, ...]
    rows: tuple[LossRow, ...]
    stages: tuple[StageRow, ...]
    shrink: tuple[Shrink, ...]


def losses(farm: Farm, day: date, *, crop: str | None = None, year: int | None = None) -> Losses:
    """The losses of all lots ever cut, or of those of one crop, or cut in one year."""
    lots = lots_of(farm, crop, year)
    return Losses(
        tuple(loss_rows(lots, ("form",))),
        tuple(loss_rows(lots)),
        tuple(stage_rows(lots)),
        tuple(_shrinks(lots, day)),
    )


def losses_of(farm: Farm, day: date, crop: str | None, year: int | None) -> Losses | Problem:
    """The same, of the crop whose name begins with `crop`: of one that was cut here."""
    if crop is None:
        return losses(farm, day, year=year)
    found = crop_that_was_cut(farm, crop)
    return found if isinstance(found, Problem) else losses(farm, day, crop=found, year=year)


def crop_that_was_cut(farm: Farm, crop: str) -> str | Problem:
    """The crop whose name begins so, of those that were cut here."""
    cut = {lot.crop for lot in farm.lots.all()}
    found = [crop] if crop in cut else [name for name in crops_called(crop, own_names(farm)) if name in cut]
    if len(found) == 1:
        return found[0]
    return Problem(
        f"'{clean(crop)}' is no one crop that was cut here: write more of its name.",
        "ambiguous" if found else "unknown",
        tuple(found) or tuple(sorted(cut))[:6],
    )


def lots_of(farm: Farm, crop: str | None, year: int | None) -> list[Lot]:
    """All lots, or those of one crop, or cut in one year."""
    span = None if year is None else farm_year(farm, year)
    every = farm.lots.all() if span is None else farm.lots.mentioning(*span.begins)
    return [lot for lot in every if crop in (None, lot.crop) and (span is None or span.has(lot.cut_on))]


# by hand-over


def loss_rows(lots: Iterable[Lot], by: Sequence[str] = BY) -> list[LossRow]:
    """Losses told apart by the names of `BY` in `by`: by crop, then in the order of the work, the most lost first."""
    lost: dict[tuple[str, str, str], int] = defaultdict(int)
    seen: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    came: dict[tuple[str, str], int] = defaultdict(int)
    for lot in lots:
        crop = lot.crop if "crop" in by else ""
        for form, stems in lot.entered.items():
            if "form" in by or form == AT_THE_CUT:
                came[crop, form if "form" in by else ""] += stems
        for _, form, cause, stems in lot.losses:
            key = crop, form if "form" in by else "", cause if "cause" in by else ""
            lost[key] += stems
            seen[key].add(lot.made_by)
    rows = [
        LossRow(*key, stems, came[key[:2]], _share(stems, came[key[:2]]), len(seen[key]))
        for key, stems in lost.items()
        if stems
    ]
    order = list(HAND_OVERS)
    return sorted(
        rows,
        key=lambda r: (r.crop, order.index(r.form) if r.form in order else len(order), -r.stems, r.cause),
    )


def _share(part: int, whole: int) -> float | None:
    return round(100 * part / whole, 1) if whole > 0 and part >= 0 else None


# by stage


def stage_rows(lots: Iterable[Lot]) -> list[StageRow]:
    """For each crop, stage and cause that was lost of it: is more lost of what is cut at that stage?"""
    by_crop: dict[str, list[Lot]] = defaultdict(list)
    for lot in lots:
        if lot.stage and _is_through(lot):
            by_crop[lot.crop].append(lot)
    rows = []
    for crop in sorted(by_crop):
        staged = by_crop[crop]
        for stage in dict.fromkeys(_stage(lot) for lot in staged):
            cut_so = [lot for lot in staged if _stage(lot) == stage]
            others = [lot for lot in staged if _stage(lot) != stage]
            rows += [
                _stage_row(crop, stage, cause, cut_so, others)
                for cause in STAGE_CAUSES
                if any(_lost_after(lot, cause) for lot in staged)
            ]
    return rows


def _is_through(lot: Lot) -> bool:
    """Whether nothing of it is fresh or hanging any more: only then has all been lost that will be."""
    return not any(held.form in ("fresh", "hanging") for held in lot.holdings.values())


def _stage(lot: Lot) -> str:
    return " ".join((lot.stage or "").lower().split())


def _lost_after(lot: Lot, cause: str) -> int:
    """Stems lost by that cause after the cut: culls were seen at the cut and are no result of it."""
    return sum(loss.stems for loss in lot.losses if loss.cause == cause and loss.form != AT_THE_CUT)


def _stage_row(crop: str, stage: str, cause: str, cut_so: list[Lot], others: list[Lot]) -> StageRow:
    stems, other_stems = (sum(lot.entered.get("fresh", 0) for lot in some) for some in (cut_so, others))
    lost, other_lost = (sum(_lost_after(lot, cause) for lot in some) for some in (cut_so, others))
    enough = min(len(cut_so), len(others)) >= ENOUGH_LOTS
    share, other_share = (_share(lost, stems), _share(other_lost, other_stems)) if enough else (None, None)
    if share is None or other_share is None:
        says = (
            f"not yet: {plural(len(cut_so), 'lot')} of {crop} cut at '{stage}' and {len(others)} at other stages "
            f"are through, {ENOUGH_LOTS} of each are needed"
        )
    else:
        says = (
            f"of {plural(len(cut_so), 'lot')} cut at '{stage}' ({stems} stems) {number(share)} % {cause}, against "
            f"{number(other_share)} % of {len(others)} lots ({other_stems} stems) cut at other stages"
        )
    return StageRow(
        crop,
        stage,
        cause,
        len(cut_so),
        stems,
        lost,
        share,
        len(others),
        other_stems,
        other_lost,
        other_share,
        says,
    )


# in store


def _shrinks(lots: list[Lot], day: date) -> list[Shrink]:
    """All crops together, then each."""
    boxed = [lot for lot in lots if lot.entered.get(DRY)]
    crops = sorted({lot.crop for lot in boxed})
    rows = [shrink(crop, [lot for lot in boxed if lot.crop == crop], day) for crop in crops]
    return [shrink("", boxed, day), *rows] if len(crops) > 1 else rows


def stem_days(lot: Lot, day: date) -> int:
    """Every dry stem of the lot times the days it has lain in store until `day`."""
    there = sum(held.stems for held in lot.holdings.values() if held.form == DRY)
    return there * day.toordinal() - lot.stored


def shrink(crop: str, lots: Sequence[Lot], day: date) -> Shrink:
    """What a year in store costs, as of `day`; `crop` is "" for all together."""
    boxed = sum(lot.entered.get(DRY, 0) for lot in lots)
    lost = sum(loss.stems for lot in lots for loss in lot.losses if loss.form == DRY)
    years = sum(stem_days(lot, day) for lot in lots) / DAYS_A_YEAR
    low, high = USUAL_SHRINK_PCT
    usual = f"{low:g} to {high:g} % a year is usual (common practice)"
    pct = None
    if years < ENOUGH_STEM_YEARS:
        says = f"not yet: {number(round(years))} stems for one year is too little to tell; {usual}"
    elif lost <= 0:
        says = f"not yet: nothing is written as lost; a count of a box would tell; {usual}"
    else:
        pct = round(100 * lost / years, 1)
        says = f"{number(pct)} % lost a year in the box; {usual}"
    return Shrink(crop, boxed, lost, round(years, 1), pct, says)
