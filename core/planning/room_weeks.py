"""The farm's room week by week: what is taken by all that stands, grows, hangs and is planned."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.farm import Farm
from core.planning.capacity import ROUNDING, UNITS, WHATS, Use, What, amount, peak, room_of, span_of_weeks
from core.planning.keep import uses_taken
from core.units import number

USUAL_WEEKS = 26
MOST_WEEKS = 104
TAKERS_NAMED = 3


@dataclass(frozen=True, slots=True)
class RoomRow:
    """One kind of room: `unit` in words, `total` of it (None where it was never said), `taken` in each week."""

    what: What
    unit: str
    total: float | None
    taken: tuple[float, ...]

    def free(self, week: int) -> float | None:
        """What is left in a week, below 0 where it is short; None where the total is not known."""
        return None if self.total is None else round(self.total - self.taken[week], 2)


@dataclass(frozen=True, slots=True)
class Shortage:
    """Weeks on end in which more is taken than there is; `sentence` says how much, and who takes it."""

    what: What
    first_week: date
    last_week: date
    short: float
    sentence: str


@dataclass(frozen=True, slots=True)
class RoomWeeks:
    """Every kind of room over the weeks that begin on `mondays`; a week counts its fullest day."""

    mondays: tuple[date, ...]
    rows: tuple[RoomRow, ...]
    shortages: tuple[Shortage, ...]


def room_weeks(farm: Farm, day: date, weeks: int = USUAL_WEEKS) -> RoomWeeks:
    """The room of the week of `day` and of those that follow, at most `MOST_WEEKS`."""
    count = min(max(weeks, 1), MOST_WEEKS)
    monday = day - timedelta(days=day.weekday())
    mondays = tuple(monday + timedelta(days=7 * i) for i in range(count))
    room, uses = room_of(farm), uses_taken(farm, day)
    rows, shortages = [], []
    for what in WHATS:
        own = [use for use in uses if use.what == what]
        taken = tuple(round(peak(own, what, start), 2) for start in mondays)
        row = RoomRow(what, UNITS[what], room.of(what), taken)
        rows.append(row)
        shortages += _shortages(row, mondays, own)
    return RoomWeeks(mondays, tuple(rows), tuple(shortages))


def _shortages(row: RoomRow, mondays: tuple[date, ...], uses: list[Use]) -> list[Shortage]:
    """Runs of weeks in which the room is short."""
    found = []
    short = [i for i in range(len(mondays)) if (row.free(i) or 0) < -ROUNDING]
    while short:
        run = [short.pop(0)]
        while short and short[0] == run[-1] + 1:
            run.append(short.pop(0))
        worst = min(run, key=lambda i: row.free(i) or 0)
        lacking = -(row.free(worst) or 0)
        first, last = mondays[run[0]], mondays[run[-1]]
        takers = _takers(uses, mondays[worst])
        sentence = (
            f"{amount(row.what, lacking)} short {span_of_weeks(first, last)}; most is taken by {takers}."
        )
        found.append(Shortage(row.what, first, last, lacking, sentence))
    return found


def _takers(uses: list[Use], monday: date) -> str:
    """The few that take most in a week."""
    sunday = monday + timedelta(days=6)
    amounts: dict[str, float] = {}
    for use in uses:
        if use.start <= sunday and use.end >= monday:
            amounts[use.who] = max(amounts.get(use.who, 0.0), use.amount)
    most = sorted(amounts, key=lambda who: (-amounts[who], who))[:TAKERS_NAMED]
    return ", ".join(f"{who} {number(amounts[who])}" for who in most)
