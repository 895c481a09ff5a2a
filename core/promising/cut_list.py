"""The morning cut list: bed by bed, for which promise how many at which stage; then what is worth cutting besides.

Promises are served from the shed first, then from what the days to come will give in a poor season, and only what is
left is cut today: nothing is left to tomorrow that tomorrow might not bring. Fresh stems are cut the day before they
are handed over at the latest, to drink overnight (common practice), unless they are due today. The list is that of the
morning all day long; what was cut since stands beside it. What was cut of a planting so far changes what is expected
of it, and so what is asked of it the next day.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import NamedTuple

from core.asks import Sight
from core.beds.asks import beds_of
from core.cutting.asks import at_stage
from core.farm import Farm
from core.farm import Lot as CutLot
from core.field.closed import shut_this_morning
from core.places import USE_OF_FORM
from core.promising.claims import LAST, Claim, Sort, as_need, less_made, made_pieces
from core.promising.cuts_to_come import CutsToCome
from core.promising.field import in_field
from core.promising.growth import Growth, Wanted
from core.promising.on_hand import on_hand
from core.promising.shortages import Lacking, ShortOrder, by_order, shortages
from core.promising.supply import WORSE, dues_of
from core.reckon.promise.allocation import Stock, in_turn
from core.reckon.promise.needs import AnyNeed, Lot, PieceNeed, Window
from core.text import natural

COOL, DRY = "cool", "dry"
"""When it is cut: while it is cool, or once the dew is gone."""
MANY = 100_000
OFF_BY = 0.1
"""Where its last cuts say what a planting gives, so much more is asked of it than they foretell (ours)."""
AHEAD_DAYS = 60
"""Promises that are due later are not cut for yet."""


class ForWhom(NamedTuple):
    """Of what is asked, so many for a promise; "" and "" are to spare."""

    order: str
    buyer: str
    item: str
    due: str
    stems: int


class CutRow(NamedTuple):
    """What to cut of one planting for one use: good stems asked, cut today, still left, and how many still stand there
    by the calendar and its last cuts; `stage` is what to look for, `when` "cool" or "dry" (of dew)."""

    bed: str
    planting: str
    crop: str
    variety: str | None
    use: str
    asked: int
    cut: int
    left: int
    standing: int
    stage: str
    when: str
    promised: tuple[ForWhom, ...]
    closed: str = ""
    """Until when a label closes the bed ("06:30 on Thu 11 Jun"), "" where it is open."""


class WorthCutting(NamedTuple):
    """What is at stage and promised to nobody: about so many, and why now."""

    bed: str
    planting: str
    crop: str
    variety: str | None
    uses: tuple[str, ...]
    about: int
    days_since: int | None
    because: str


@dataclass(frozen=True, slots=True)
class CutList:
    """The list of one morning."""

    day: str
    rows: tuple[CutRow, ...]
    worth: tuple[WorthCutting, ...]
    short: tuple[ShortOrder, ...]
    lacking: tuple[ForWhom, ...] = ()
    """Of what is due today or tomorrow, what stands nowhere by the last cuts."""

    @property
    def is_done(self) -> bool:
        """Whether all that is asked is cut."""
        return not any(row.left for row in self.rows)


def cut_list(sight: Sight, promised: Sequence[Claim], short: Sequence[Lacking] | None = None) -> CutList:
    """What to cut today, in the order in which the beds are walked; `short` are the promises that fall short, where
    somebody has reckoned them already."""
    farm, day = sight.farm, sight.day
    near = [claim for claim in promised if (claim.due - day).days <= AHEAD_DAYS]
    claims = list(less_made(near, made_pieces(farm)))
    wanted = Wanted(dues_of(claims, ("fresh",)), dues_of(claims, ("dry", "wired")))
    cut_today = _cut_today(farm, day)
    rows: list[CutRow] = []
    lacks: list[ForWhom] = []
    growths: list[Growth] = []
    if wanted.fresh or wanted.dry:
        growths = in_field(farm, day, wanted, _crops(sight, claims), as_of_morning=True)
        stage = {p.planting for bed in sight.once(beds_of) for p in bed.plantings if p.at_stage}
        shut = shut_this_morning(sight)
        found, lacks = _rows(farm, day, claims, growths, wanted, cut_today, stage)
        rows = [row._replace(closed=shut.get(row.bed, "")) for row in found]
    short = shortages(farm, day, near) if short is None else short
    order = {bed.bed: n for n, bed in enumerate(sight.once(beds_of))}
    rows.sort(key=lambda row: (row.when != COOL, order.get(row.bed, 0), natural(row.bed), row.crop, row.use))
    return CutList(
        day.isoformat(),
        tuple(rows),
        tuple(_worth(sight, rows, growths)),
        tuple(by_order(one for one in short if one.days <= AHEAD_DAYS)),
        tuple(lacks),
    )


def _crops(sight: Sight, claims: Sequence[Claim]) -> list[str] | None:
    """The crops that a claim may take of, or that are at stage; None where any may be taken."""
    each = [claim.crops for claim in claims]
    if None in each:
        return None
    at_hand = {stands.crop for stands in sight.once(at_stage)}
    return sorted(at_hand.union(*(crops for crops in each if crops)))


def _cut_today(farm: Farm, day: date) -> dict[tuple[str, str], int]:
    """(planting, use) -> stems cut of it today."""
    found: dict[tuple[str, str], int] = {}
    for lot in _lots_of(farm, day):
        key = lot.planting or lot.bed, lot.use
        found[key] = found.get(key, 0) + lot.cut
    return found


def _lots_of(farm: Farm, day: date) -> list[CutLot]:
    return [lot for _, lot in farm.lots.at_hand().values() if lot.cut_on == day.isoformat()]


def _rows(
    farm: Farm,
    day: date,
    claims: Sequence[Claim],
    growths: Sequence[Growth],
    wanted: Wanted,
    cut_today: dict[tuple[str, str], int],
    at_stage_now: Container[str],
) -> tuple[list[CutRow], list[ForWhom]]:
    """What to cut, and what cannot be."""
    fresh_today = {lot.code for lot in _lots_of(farm, day)}
    each = [claim.crops for claim in claims]
    crops = None if None in each else frozenset[str]().union(*(some for some in each if some))
    shed = [
        lot
        for source in on_hand(farm, day, crops)
        if source.code not in fresh_today
        for lot in source.lots(None)
    ]
    later = [lot for growth in growths for lot in _later(growth, wanted)]
    standing = [growth for growth in growths if growth.kind == "in the field" and growth.uses]
    now = [_now(growth, wanted, n) for n, growth in enumerate(standing)]
    # how many stand there is an estimate: for what must be cut today all of it is asked, whatever was reckoned
    ripe = [n for n, g in enumerate(standing) if g.code in at_stage_now and "fresh" in g.uses]
    more = [_more(standing[n]) for n in ripe]
    places = [*range(len(standing)), *ripe]
    lots = [*shed, *later, *now, *more]
    order = [
        *sorted(range(len(shed)), key=lambda i: lots[i].expires_first),
        *sorted(range(len(shed), len(shed) + len(later)), key=lambda i: lots[i].expires_first),
        *range(len(shed) + len(later), len(lots)),
    ]
    stock = Stock(lots, order)
    needs, whose = _needs(claims, stock, growths)
    asks, served = in_turn(stock, needs)
    stock.flow.first_heaps_first()
    by_ask = {ask: (place, part) for place, mine in enumerate(asks) for part, ask in enumerate(mine)}
    asked: dict[tuple[int, str], dict[int, int]] = {}
    for heap, lot in enumerate(order):
        if lot < len(shed) + len(later):
            continue
        n = places[lot - len(shed) - len(later)]
        for ask, amount in stock.flow.given[heap].items():
            place, part = by_ask[ask]
            use = _use(needs[place], part, whose[place])
            mine = asked.setdefault((n, use), {})
            mine[place] = mine.get(place, 0) + amount
    rows = [
        _row(growth, use, given, cut_today, whose)
        for n, growth in enumerate(standing)
        for use in growth.uses
        if (given := asked.get((n, use), {}))
    ]
    soon = day + timedelta(days=1)
    lacks = [
        ForWhom(claim.order, claim.buyer, claim.name, claim.due.isoformat(), claim.wanted - count)
        for (claim, is_spare), count in zip(whose, served, strict=True)
        if not is_spare and claim.due <= soon and count < claim.wanted
    ]
    return rows, lacks


def _row(
    growth: Growth,
    use: str,
    given: dict[int, int],
    cut_today: dict[tuple[str, str], int],
    whose: Sequence[tuple[Claim, bool]],
) -> CutRow:
    done = cut_today.get((growth.code, use), 0)
    gone = sum(stems for (code, _), stems in cut_today.items() if code == growth.code)
    kept = growth.usual.dried if use != "fresh" else 1.0
    total = ceil(sum(given.values()) / kept - 1e-9)
    sheet = growth.ask.sheet
    stage = {"fresh": sheet.fresh_stage, "dry": sheet.dry_stage, "wire": sheet.wire_stage}[use]
    promised = tuple(
        ForWhom(claim.order, claim.buyer, claim.name, claim.due.isoformat(), stems)
        if not is_spare
        else ForWhom("", "", claim.name, claim.due.isoformat(), stems)
        for place, stems in given.items()
        for claim, is_spare in (whose[place],)
    )
    return CutRow(
        growth.place.removeprefix("bed "),
        growth.code,
        sheet.crop,
        growth.variety or None,
        use,
        total,
        done,
        max(total - done, 0),
        max(growth.today() - gone, 0),
        stage.text if stage is not None else "",
        COOL if use == "fresh" else DRY,
        promised,
    )


def _needs(
    claims: Sequence[Claim], stock: Stock, growths: Sequence[Growth]
) -> tuple[list[AnyNeed], list[tuple[Claim, bool]]]:
    """The needs, and for each its claim and whether it is what is to be spare."""
    sorts = sorted({Sort(*key.split("|")) for key in stock.sorts} | {s for g in growths for s in g.sorts})
    needs = [as_need(claim, sorts) for claim in claims]
    whose = [(claim, False) for claim in claims]
    for claim in claims:
        if claim.spare:
            spare = replace(claim, wanted=claim.spare, rank=LAST + claim.rank)
            needs.append(as_need(spare, sorts))
            whose.append((spare, True))
    return needs, whose


def _use(need: AnyNeed, part: int, whose: tuple[Claim, bool]) -> str:
    if isinstance(need, PieceNeed):
        return USE_OF_FORM[need.parts[part].accepts[0].rsplit("|", 1)[1]]
    return USE_OF_FORM[whose[0].form]


def _later(growth: Growth, wanted: Wanted) -> Iterator[Lot]:
    """What it gives from tomorrow on, in a poor season; fresh stems a day later, when they have drunk."""
    rest = replace(growth, from_day=max(growth.from_day, growth.day.toordinal() + 1))
    for lot in CutsToCome(rest, wanted, bool(wanted.dry))(None):
        windows = [w._replace(ready=w.ready + timedelta(days=w.sort.endswith("|fresh"))) for w in lot.windows]
        yield _lot(windows, int(lot.amount * WORSE), lot.name, growth.code)


def _lot(windows: Sequence[Window], amount: int, name: str, of: str) -> Lot:
    first, *also = windows
    return Lot(first.ready, first.good_through, amount, first.sort, name, tuple(also), of)


def _now(growth: Growth, wanted: Wanted, n: int) -> Lot:
    """What stands to be cut of it today."""
    windows = growth.windows_on(growth.day)
    kept = growth.usual.dried if wanted.dry else 1.0
    return _lot(windows, int(growth.today() * kept), f"{growth.code} today {n}", growth.code)


def _more(growth: Growth) -> Lot:
    """As many more as are asked, fresh for today and tomorrow; where its last cuts tell what it gives, no more than
    they may be off by."""
    many = ceil(OFF_BY * growth.today()) if growth.learned[1] else MANY
    fresh = growth.windows_on(growth.day)[0]
    tomorrow = growth.day + timedelta(days=1)
    return Lot(
        growth.day,
        min(fresh.good_through, tomorrow),
        many,
        fresh.sort,
        f"{growth.code} more",
        (),
        growth.code,
    )


def _worth(sight: Sight, rows: Sequence[CutRow], growths: Sequence[Growth]) -> Iterator[WorthCutting]:
    """What is due to be cut and more than is promised of it; what tonight's frost may end comes first."""
    asked: dict[str, int] = {}
    for row in rows:
        asked[row.planting] = asked.get(row.planting, 0) + row.asked
    about = {growth.code: growth.today() for growth in growths}
    for stands in sight.once(at_stage):
        if not (stands.waits >= 1 or stands.is_last_chance):
            continue
        left = about.get(stands.planting, 0) - asked.get(stands.planting, 0)
        if left <= 0 and stands.planting in asked:
            continue
        because = "frost may end it tonight" if stands.is_last_chance else stands.because
        yield WorthCutting(
            stands.bed,
            stands.planting,
            stands.crop,
            stands.variety,
            stands.uses,
            max(left, 0),
            stands.days_since,
            because,
        )
