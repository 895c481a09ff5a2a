"""What cost her: losses that go with a stage at the cut, a line, a bed, a week of sowing or a person, where the numbers
bear it.

Lots are compared within one crop, for one hand-over and cause; stems of a lot fare alike, so a lot counts for what it
is worth. Of all comparisons made only those are told that would be sure if each were the only one that mattered: one
year in ten has a false one. They say what goes together, not what is to blame.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from statistics import median
from typing import NamedTuple

from core.cutting.kinds import AT_THE_CUT
from core.farm import Farm, Lot
from core.orders.takings import sales_of
from core.reckon.learning.differences import (
    Difference,
    difference_of_lots,
    sure_of_one,
    wilson,
    worth_of_lots,
)
from core.stems.kinds import MISCOUNTED
from core.stems.losses import ENOUGH_LOTS, HAND_OVERS, lots_of
from core.units import dated_text, monday_of

WORST = 5
"""Losses told first (ours)."""
LEAST_LOST = 5
"""Stems lost to a cause before it is looked at by what went with it (ours)."""
STAGE, BED, LINE, SOWING, PERSON = "stage", "bed", "line", "sowing week", "person"
FACTORS = (STAGE, LINE, BED, SOWING, PERSON)
"""What may go with a loss."""

Counted = tuple[float, float]
"""Of a lot: stems lost, of how many that came so far."""


class LossShare(NamedTuple):
    """Stems of a crop lost in one form to one cause, and from where to where their share in 100 lies; `cents` what so
    many are sold for here, None where the crop never was sold with a price."""

    crop: str
    form: str
    cause: str
    stems: int
    of: int
    lots: int
    share_pct: float
    low_pct: float
    high_pct: float
    cents: int | None = None


class LossSoFar(NamedTuple):
    """Stems of a crop lost in one form to one cause out of lots of which some is there in that form still: what their
    share will be is not known yet. `cents` as of `LossShare`."""

    crop: str
    form: str
    cause: str
    stems: int
    lots: int
    cents: int | None = None


class CostRow(NamedTuple):
    """More was lost of the lots of one level of a factor than of all others of the crop.

    `lost` of `stems` against `other_lost` of `other_stems`; `more_pct` by how much that is more in 100, from `low_pct`
    to `high_pct` nine times in ten. `cost` are the stems that would not have been lost at the others' share.
    """

    crop: str
    factor: str
    level: str
    form: str
    cause: str
    lost: int
    stems: int
    lots: int
    other_lost: int
    other_stems: int
    other_lots: int
    more_pct: float
    low_pct: float
    high_pct: float
    cost: int
    says: str


class Cost(NamedTuple):
    """What went with losses, most stems first; how many comparisons were made; and all losses with their intervals."""

    rows: tuple[CostRow, ...]
    comparisons: int
    losses: tuple[LossShare, ...]
    worst: tuple[LossShare, ...] = ()
    """The losses that cost most: in money, a crop that was never sold taken at what a stem fetches here as a rule."""
    so_far: tuple[LossSoFar, ...] = ()
    """Losses beside all these, of lots that are not used up yet; what costs most stands first."""


def cost(farm: Farm, year: int | None = None, crop: str | None = None) -> Cost:
    """What was lost and what it was worth, of the cuts of a year and of a crop; None: of all years, of all crops."""
    lots = lots_of(farm, crop, year)
    sown = {p.code: p.sown for p in farm.plantings.all() if p.sown}
    rows, comparisons = costly(lots, sown)
    prices = _prices(farm)
    usual = median(prices.values()) if prices else 1.0

    def cents(loss: LossShare | LossSoFar) -> int | None:
        return round(loss.stems * prices[loss.crop]) if loss.crop in prices else None

    def dear(loss: LossShare | LossSoFar) -> float:
        return -loss.stems * prices.get(loss.crop, usual)

    losses = tuple(loss._replace(cents=cents(loss)) for loss in loss_shares(lots))
    so_far = (loss._replace(cents=cents(loss)) for loss in losses_so_far(lots))
    return Cost(
        tuple(rows),
        comparisons,
        losses,
        tuple(sorted(losses, key=dear)[:WORST]),
        tuple(sorted(so_far, key=dear)),
    )


def _prices(farm: Farm) -> dict[str, float]:
    """Crop -> cents of a stem, over all that was ever sold of it with a price."""
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for sold in sales_of(farm, None):
        if isinstance(sold.of, Lot) and sold.cents:
            of = sums[sold.of.crop]
            of[0], of[1] = of[0] + sold.cents, of[1] + sold.sale.number
    return {crop: cents / stems for crop, (cents, stems) in sums.items() if stems > 0}


class _Outcome(NamedTuple):
    """What may become of stems: lost in a form to a cause, of one crop."""

    crop: str
    form: str
    cause: str


def _outcomes(lots: Sequence[Lot]) -> dict[_Outcome, list[tuple[Lot, Counted]]]:
    """Each outcome that there was -> every lot that is through with that form, and how much of it went so."""
    lost: dict[_Outcome, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    through: dict[tuple[str, str], list[Lot]] = defaultdict(list)
    for lot in lots:
        held = _held(lot)
        for form, entered in lot.entered.items():
            if entered > 0 and form not in held:
                through[lot.crop, form].append(lot)
        for loss in lot.losses:
            if loss.stems > 0 and loss.cause != MISCOUNTED:
                lost[_Outcome(lot.crop, loss.form, loss.cause)][lot.made_by] += loss.stems
    found = {}
    for outcome in sorted(lost):
        these: list[tuple[Lot, Counted]] = []
        for lot in through.get((outcome.crop, outcome.form), ()):
            came = float(lot.entered[outcome.form])
            these.append((lot, (min(float(lost[outcome].get(lot.made_by, 0)), came), came)))
        if sum(part for _, (part, _) in these) > 0:
            found[outcome] = these
    return found


def _held(lot: Lot) -> set[str]:
    """The forms in which some of a lot is there."""
    return {h.form for h in lot.holdings.values() if h.stems > 0}


def losses_so_far(lots: Sequence[Lot]) -> Iterator[LossSoFar]:
    """Every loss of lots that are not through with that form."""
    lost: dict[_Outcome, list[int]] = defaultdict(list)
    for lot in lots:
        held = _held(lot)
        for loss in lot.losses:
            if loss.stems > 0 and loss.cause != MISCOUNTED and loss.form in held:
                lost[_Outcome(lot.crop, loss.form, loss.cause)].append(loss.stems)
    for outcome in sorted(lost):
        yield LossSoFar(*outcome, sum(lost[outcome]), len(lost[outcome]))


def loss_shares(lots: Sequence[Lot]) -> Iterator[LossShare]:
    """Every loss of lots that are through with that form, with the interval of its share."""
    order = [*HAND_OVERS]
    outcomes = _outcomes(lots)
    for outcome in sorted(
        outcomes, key=lambda o: (o.crop, order.index(o.form) if o.form in order else 9, o.cause)
    ):
        counts = [counted for _, counted in outcomes[outcome]]
        part, of = sum(p for p, _ in counts), sum(n for _, n in counts)
        less = worth_of_lots(counts)
        low, high = wilson(part / less, of / less)
        yield LossShare(
            *outcome,
            int(part),
            int(of),
            sum(p > 0 for p, _ in counts),
            round(100 * part / of, 1),
            round(100 * low, 1),
            round(100 * high, 1),
        )


def costly(lots: Sequence[Lot], sown: Mapping[str, str]) -> tuple[list[CostRow], int]:
    """(what went with losses so that the numbers bear it, how many comparisons were made); `sown` tells the day of
    sowing of a planting."""
    looks = [*_looks(lots, sown)]
    sure = sure_of_one(len(looks))
    rows = []
    for look in looks:
        if difference_of_lots(look.those, look.others, sure).low > 0:
            rows.append(_row(look, difference_of_lots(look.those, look.others)))
    return sorted(rows, key=lambda row: -row.cost), len(looks)


class _Look(NamedTuple):
    """One comparison: the lots of one level against all others of which the factor is known."""

    outcome: _Outcome
    factor: str
    level: str
    those: list[Counted]
    others: list[Counted]


def _looks(lots: Sequence[Lot], sown: Mapping[str, str]) -> Iterator[_Look]:
    levels: dict[str, Callable[[Lot], str]] = {
        STAGE: lambda lot: " ".join((lot.stage or "").lower().split()),
        LINE: _one_line,
        BED: lambda lot: lot.bed,
        SOWING: lambda lot: _week(sown.get(lot.planting or "")),
        PERSON: lambda lot: lot.by,
    }
    for outcome, counted in _outcomes(lots).items():
        if sum(part for _, (part, _) in counted) < LEAST_LOST:
            continue
        for factor in FACTORS:
            if factor == LINE and outcome.form in (AT_THE_CUT, "fresh"):
                continue
            by_level: dict[str, list[Counted]] = defaultdict(list)
            for lot, share in counted:
                if level := levels[factor](lot):
                    by_level[level].append(share)
            for level, those in by_level.items():
                others = [share for other, some in by_level.items() if other != level for share in some]
                if min(len(those), len(others)) >= ENOUGH_LOTS:
                    yield _Look(outcome, factor, level, those, others)


def _one_line(lot: Lot) -> str:
    """The line on which all of it hung; "" where it hung on several, or on none."""
    lines = {hung.line for hung in lot.hung}
    return lines.pop() if len(lines) == 1 else ""


def _week(sown: str | None) -> str:
    return monday_of(date.fromisoformat(sown)).isoformat() if sown else ""


def _row(look: _Look, found: Difference) -> CostRow:
    (lost, stems), (other_lost, other_stems) = found.of, found.against
    cost = round(lost - stems * found.against.share)
    return CostRow(
        look.outcome.crop,
        look.factor,
        look.level,
        look.outcome.form,
        look.outcome.cause,
        round(lost),
        round(stems),
        len(look.those),
        round(other_lost),
        round(other_stems),
        len(look.others),
        round(100 * found.difference, 1),
        round(100 * found.low, 1),
        round(100 * found.high, 1),
        cost,
        f"{look.outcome.crop}, {_what(look)}: {round(lost)} of {round(stems)} {look.outcome.cause} "
        f"{HAND_OVERS.get(look.outcome.form, look.outcome.form)}, against {round(other_lost)} of {round(other_stems)}",
    )


def _what(look: _Look) -> str:
    """ "pollen showing at the cut", "line 2", "bed b3", "sown in the week of 4 May", "cut by jo"."""
    if look.factor == STAGE:
        return f"'{look.level}' at the cut"
    if look.factor == SOWING:
        return f"sown in the week of {dated_text(look.level)}"
    return {LINE: look.level, BED: f"bed {look.level}", PERSON: f"cut by {look.level}"}[look.factor]
