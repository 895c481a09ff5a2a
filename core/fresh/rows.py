"""What is fresh: the stems in the bucket and the cooler, how much of their days in the vase is used, what is to be
done with them today."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

from core.clocks import instant
from core.crops.figure_words import cooler_told
from core.cutting.kinds import DRY_HOURS_MOST
from core.dialect import told_degrees
from core.drying.dry_test import Way, way_to_dry
from core.farm import Farm, Lot
from core.fresh.room_air import STANDARD_F, RoomAir, StayWarmth
from core.marked import with_figures
from core.places import BUCKET, COOLER, FRESH_PLACES, Holding, Place
from core.reckon.vase_life import (
    LOOK,
    Q10,
    WATER_SAYS,
    ageing_factor,
    left_of,
    out_of_water,
    used_days,
)
from core.reckon.vase_trials import OWN, unborne
from core.settings.sheets import farm_sheet
from core.stems.whereabouts import path_of
from core.units import number

if TYPE_CHECKING:
    from core.crops.sheet import Sheet

FreshStatus: TypeAlias = Literal[
    "fresh", "hang", "wire", "sell", "rescue", "take out", "look", "old", "compost"
]
"""What is to be done today with what is fresh; "fresh": nothing."""

TOO_OLD: tuple[FreshStatus, ...] = ("old", "compost")
"""Of what is so nothing is on hand for anybody: all else can still be sold or picked."""
YOUNG_DAYS = 1
"""Heads take the wire on the day of the cut and the next (common practice)."""
YOUNG_USED_DAYS = 1.75
"""Vase life used up to which a stem still dries well: the day of the cut and the next, at 68 F (common practice: old
flowers dry poorly)."""
YOUNG_COOLED_DAYS = 3
"""Days from the cut after which even a stem kept cool is no more hung (common practice)."""
COOLER_DAYS_MOST = 7.0
"""Days in the cooler where the sheet has no limit: most kinds a few days to a week at 35-39 F [S22]."""
BUYER_NEEDS_DAYS = 5.0
"""Days in the vase that a buyer expects (common practice)."""
SHORT_LIVED_SHARE = 2 / 3
"""Of a crop that lasts hardly longer than that, the share of its days with which it still can be sold (common
practice: dahlia and sweet pea are sold the day they are cut or the next)."""
LOOK_USED_DAYS = 7.0
"""Days at 68 F from which a lot is asked about whose sheet has no vase life (ours: many kinds last a week)."""
OLD_USED_DAYS = 42.0
"""Days at 68 F after which it is taken to be old: the six weeks that curly willow lasts at least, the longest of the
library [S217]."""
STAYS_OUT, SOURCES_CLASH = "never", "clash"
"""How the sheet's word on the cooler begins, where it is not simply its temperature."""
LONG_OVER = 2
"""After so many times the days that it bears in the cooler nobody buys it, whatever the cold left of it (ours)."""
TRIED_OUT_OF_WATER = ("zinnia",)
"""Crops of which it is known that 24 h out of water is the end of them [S20]."""


class FreshRow(NamedTuple):
    """One lot in the bucket or in the cooler. What is to be done with it today is its `status`:

    "hang" (cut to dry, not yet hung), "wire" (cut to wire, still soft), "rescue" (unsold, and the last day on which it
    can be hung), "sell" (it has less left than a buyer needs, or will have tomorrow, or its days in the cooler are
    over), "take out" (it stands in the cooler and must not), "look" (its vase life is unknown, and it has stood long),
    "old" (past the shortest vase life, longer than anything lasts, or long over its days in the cooler), "compost"
    (past the longest), "fresh" (nothing).
    """

    lot: str
    crop: str
    variety: str | None
    use: str
    stems: int
    cut_on: str
    age_days: int
    status: FreshStatus
    because: str
    """`reason`, what is left of its days in the vase, and `warmth`."""
    place: Place
    since: str
    """The day on which it came to `place`."""
    left_days: tuple[float, float] | None
    """Days in the vase at 68 F, about: least and most of what is left; None where the sheet has no vase life."""
    used_days: float
    """Days at 68 F that the hours since the cut come to."""
    expires: str | None
    """The day its least vase life ends, if it stood in a warm room from now on; None where it has ended."""
    warmth: str
    """Where it stood, for how long and how warm, and which warmth was read and which taken."""
    keep: tuple[str, ...]
    """How this crop is kept, in a few words each."""
    flags: tuple[str, ...]
    """What is amiss with how it is kept now."""
    reason: str
    """Why it has that `status`, alone."""
    note: str
    """How far the reckoning can be trusted."""
    dries: Way = "hang"
    """How what is cut to dry is dried: not every crop is hung."""
    cooler_days: int | None = None
    """Days it stood in the cooler, where those are as many as it bears there, or more."""

    @property
    def is_spent(self) -> bool:
        """Whether nothing of it is left to sell: its longest vase life is used, or, where its sheet has none, longer
        than anything lasts."""
        return self.status == "compost" or (self.left_days is None and self.used_days >= OLD_USED_DAYS)


def fresh_rows(
    farm: Farm, day: date, clock: str | None = None, lots: Iterable[Lot] | None = None
) -> list[FreshRow]:
    """Everything in the bucket and the cooler, or of these lots, at a time ("HH:MM", seven in the morning where None):
    what has least left stands first, it leaves first."""
    air = RoomAir(farm)
    now = instant(day.isoformat(), clock, air.zone)
    rows = [
        _row(lot, place, lot.holdings[place], farm_sheet(farm, lot.crop, lot.way, lot.variety), now, day, air)
        for lot in (farm.lots.live() if lots is None else lots)
        for place in FRESH_PLACES
        if place in lot.holdings
    ]
    return sorted(rows, key=_first_to_leave)


def _first_to_leave(row: FreshRow) -> tuple[float, str, str, str]:
    left = row.left_days[0] if row.left_days is not None else float("inf")
    return left, row.cut_on, row.lot, row.place


def _row(
    lot: Lot,
    place: Place,
    held: Holding,
    sheet: Sheet | None,
    now: datetime,
    day: date,
    air: RoomAir,
) -> FreshRow:
    stood = list(_warm_stays(lot, place, now, air))
    case = _case(lot, place, sheet, stood, now, day, air)
    left, used = case.left, case.used
    status, reason = case.status()
    warmth = ", ".join(stay.said for stay in stood)
    if lot.dry_hours:
        warmth = f"{warmth}; {number(lot.dry_hours)} h of it out of water"
    vase = sheet.vase_life_days if sheet is not None else None
    about = ""
    if vase is not None and left is not None and left[1]:
        about = f"; about {whole_days(left)} days left of {vase.text} in the vase"
    return FreshRow(
        lot=lot.code,
        crop=lot.crop,
        variety=lot.variety,
        use=lot.use,
        stems=held.stems,
        cut_on=lot.cut_on,
        age_days=case.age_days,
        status=status,
        because=f"{reason}{about}: {warmth}",
        place=place,
        since=path_of(lot, place)[-1].on,
        left_days=None if left is None else (round(left[0], 2), round(left[1], 2)),
        used_days=round(used, 2),
        expires=(now + timedelta(days=left[0])).date().isoformat() if left and left[0] else None,
        warmth=warmth,
        keep=tuple(_keep(sheet)),
        flags=tuple(case.flags()),
        reason=reason,
        note=f"{LOOK}; {lot.crop}: {with_figures(OWN[lot.crop].source)}" if lot.crop in OWN else LOOK,
        dries=way_to_dry(sheet) or "hang",
        cooler_days=case.over_limit(),
    )


def _case(
    lot: Lot,
    place: Place,
    sheet: Sheet | None,
    stood: Sequence[StayWarmth],
    now: datetime,
    day: date,
    air: RoomAir,
) -> _Case:
    """What the stays of a lot come to, of which the last is the one in `place`."""
    q10 = sheet.vase_q10.value if sheet is not None and sheet.vase_q10 is not None else Q10
    spells = [spell for stay in stood for spell in stay.spells]
    vase = sheet.vase_life_days if sheet is not None else None
    left = None
    ended = unborne(lot.crop, spells, lot.dry_hours or 0)
    if vase is not None and not ended:
        least, most = (0.0, 0.0) if _is_lost(lot) else left_of(vase.value, spells, q10, crop=lot.crop)
        left = (max(least, 0.0), max(most, 0.0))
    return _Case(
        lot,
        sheet,
        used_days(spells, q10),
        left,
        ended,
        ageing_factor(air.now_c(place, now), q10),
        cooled=stood[-1].hours / 24 if place == COOLER else 0.0,
        age_days=(day - date.fromisoformat(lot.cut_on)).days,
    )


def whole_days(left: tuple[float, float], between: str = " to ") -> str:
    """ "1 to 3", "4", "no": the days left, no finer than they are known."""
    least, most = (f"{days:.0f}" for days in left)
    if most == "0":
        return "no"
    return least if least == most else f"{least}{between}{most}"


def _warm_stays(lot: Lot, place: Place, now: datetime, air: RoomAir) -> Iterator[StayWarmth]:
    """Every stay since the cut, and before it the hours out of water."""
    path = path_of(lot, place)
    # as instants, and not by the clock on the wall: a day may have 23 or 25 hours
    marks = [instant(on, clock, air.zone).timestamp() for _, on, clock in path] + [now.timestamp()]
    # what was written with an earlier time than what came before it takes no time back
    times = [datetime.fromtimestamp(max(marks[: n + 1]), tz=UTC) for n in range(len(marks))]
    times[0] -= timedelta(hours=min(max(lot.dry_hours or 0, 0), DRY_HOURS_MOST))
    for (where, _, _), (start, end) in zip(path, pairwise(times), strict=True):
        yield air.warmth_of(where if where in FRESH_PLACES else BUCKET, start, end)


def _is_lost(lot: Lot) -> bool:
    return lot.crop in TRIED_OUT_OF_WATER and out_of_water(lot.dry_hours or 0) == "lost"


class _Case(NamedTuple):
    """What is known of one lot in one place; `ended` why nothing is left of it, `factor` how fast it ages there now,
    `cooled` its days there."""

    lot: Lot
    sheet: Sheet | None
    used: float
    left: tuple[float, float] | None
    ended: str
    factor: float
    cooled: float
    age_days: int

    def status(self) -> tuple[FreshStatus, str]:
        """What is to be done with it today, and why."""
        sheet, lot = self.sheet, self.lot
        vase = sheet.vase_life_days if sheet is not None else None
        young = self.used <= YOUNG_USED_DAYS and self.age_days <= YOUNG_COOLED_DAYS
        if self.ended:
            return "compost", self.ended
        if self.left is not None and self.left[1] <= 0 and not _is_lost(lot):
            return "compost", "its longest vase life is used"
        if _is_lost(lot) and lot.use != "dry":
            return "compost", WATER_SAYS["lost"]
        if lot.use == "wire" and self.age_days <= YOUNG_DAYS:
            return "wire", "heads take the wire only while fresh"
        if lot.use == "dry" and (young or self.left is None or self.left[0] > 0):
            return "hang", "cut to dry and not hung yet" + ("" if young else ": old flowers dry poorly")
        if self.left is not None and self.left[0] <= 0:
            return "old", "its shortest vase life is used"
        if self.cooled > LONG_OVER * self._most_cooled():
            return "old", self._over_limit()
        if self._stays_out():
            return "take out", "it must not stand in the cooler"
        if young and self._is_last_young_day() and sheet is not None and sheet.drying_days:
            return "rescue", "unsold, and the last day on which it is young enough to hang"
        if self._is_over_limit():
            return "sell", self._over_limit()
        if self.left is not None and self._needs() > sum(self.left) / 2:
            return "sell", "it has less left than a buyer needs"
        if self.left is not None and self._needs() > sum(self.left) / 2 - self.factor:
            return "sell", "from tomorrow on it has less left than a buyer needs"
        if vase is None:
            return self._unknown()
        return "fresh", "nothing asks for it today"

    def _unknown(self) -> tuple[FreshStatus, str]:
        """The same where nobody knows its vase life: it goes by the days it has stood, as in a warm room."""
        says = "no vase life on its sheet"
        if self.used >= OLD_USED_DAYS:
            return (
                "old",
                f"{says}, and {self.used:.0f} days at {told_degrees(STANDARD_F[BUCKET])} used: longer than "
                "cut stems last",
            )
        if self.used >= LOOK_USED_DAYS:
            return (
                "look",
                f"{says}: {self.used:.0f} days at {told_degrees(STANDARD_F[BUCKET])} used, look at it; 'sheet "
                f"{self.lot.crop} vase life 9' tells it",
            )
        return "fresh", says

    def _needs(self) -> float:
        assert self.sheet is not None
        return buyer_needs(self.sheet)

    def _word(self) -> str:
        return self.sheet.cooler.value if self.sheet is not None and self.sheet.cooler is not None else ""

    def _stays_out(self) -> bool:
        return self.cooled > 0 and self._word().startswith(STAYS_OUT)

    def _is_last_young_day(self) -> bool:
        return self.used + self.factor > YOUNG_USED_DAYS or self.age_days == YOUNG_COOLED_DAYS

    def _most_cooled(self) -> float:
        most = self.sheet.storage_days_max if self.sheet is not None else None
        return COOLER_DAYS_MOST if most is None else most.value

    def _is_over_limit(self) -> bool:
        return self.cooled >= self._most_cooled()

    def over_limit(self) -> int | None:
        """Its days in the cooler, where those are as many as it bears, or more."""
        return round(self.cooled) if self._is_over_limit() else None

    def _over_limit(self) -> str:
        most = self.sheet.storage_days_max if self.sheet is not None else None
        if most is None:
            return f"{self.cooled:.0f} days in the cooler: most kinds keep a few days to a week [S22]"
        return f"{self.cooled:.0f} days in the cooler, at most {most.text} [{most.source}]"

    def flags(self) -> Iterator[str]:
        """What is amiss with how it is kept."""
        if self._stays_out():
            yield f"take it out of the cooler: {self._word()}"
        elif self.cooled > 0 and self._word().startswith(SOURCES_CLASH):
            yield f"in the cooler, where sources {self._word()}"
        if self._is_over_limit():
            yield self._over_limit()
        water = out_of_water(self.lot.dry_hours or 0)
        if water == "lost" or (water and self.age_days <= 1):
            yield WATER_SAYS[water]


def buyer_needs(sheet: Sheet) -> float:
    """Days it must have left to be sold, measured at the middle of its vase life."""
    vase = sheet.vase_life_days
    return (
        BUYER_NEEDS_DAYS if vase is None else min(BUYER_NEEDS_DAYS, SHORT_LIVED_SHARE * sum(vase.value) / 2)
    )


def cooler_word(value: str) -> str:
    """What the sheet says of the cooler, in a sentence: "sources clash: never, or 2 days at 34 F"."""
    return f"sources {value}" if value.startswith(SOURCES_CLASH) else value


def _keep(sheet: Sheet | None) -> Iterator[str]:
    """How the crop is kept fresh, by its sheet."""
    if sheet is None:
        return
    if sheet.stand is not None:
        yield sheet.stand.value
    if sheet.store is not None:
        yield sheet.store.value
    if sheet.ethylene is not None and sheet.ethylene.value == "yes":
        yield "away from fruit (ethylene)"
    if sheet.cooler is not None:
        yield f"cooler: {cooler_word(sheet.cooler.value)}"
    elif sheet.storage_temp_f is not None:
        most = f", {sheet.storage_days_max.text} days at most" if sheet.storage_days_max else ""
        yield f"{cooler_told(sheet.storage_temp_f)}{most}"
