"""Hardening off as a state: a ladder of steps for each hardiness class, moved by what was done each day.

The ladder is a composite of two published descriptions [S81 S82]; its exact steps are common practice, as are
the guards and the causes to hold a step.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.crops.sheet import HardinessClass
from core.dialect import told_degrees, told_reading, told_wind

SOURCE = "composite of S81 S82; the exact steps are common practice"

DayRecord = tuple[date, str]
"""A day and what was written of it: "step" (done) or "held"."""


class Step(NamedTuple):
    """One day's step: hours outdoors, light, wind, water and where the night is spent."""

    number: int
    outdoors: str
    light: str
    wind: str
    water: str
    night: str

    @property
    def night_out(self) -> bool:
        """Whether the plants spend the night outside, where a low can reach them."""
        return self.night != "in"

    @property
    def in_frame(self) -> bool:
        """Whether the night is spent in a closed frame, which stays warmer than the air outside."""
        return self.night == "in a frame"

    @property
    def text(self) -> str:
        """The step on one line of at most 76 columns."""
        return f"{self.outdoors} out, {self.light}, {self.wind}; water {self.water}; night {self.night}"

    @property
    def hours(self) -> str:
        """ "8 h"; "" from a whole day on."""
        return self.outdoors if self.outdoors.endswith("h") else ""

    @property
    def short(self) -> str:
        """The step in few words: where the night is told only if it is spent out."""
        if self.night == "in":
            return f"{self.outdoors} out, {self.light}"
        if self.in_frame:
            return f"{self.outdoors}, {self.light}, frame at night"
        return f"{self.outdoors} if mild, {self.light}"


_STEPS = (
    Step(1, "1-2 h", "full shade", "sheltered", "as before", "in"),
    Step(2, "2-3 h", "shade", "sheltered", "as before", "in"),
    Step(3, "3-4 h", "1 h early sun", "sheltered", "once the top is dry", "in"),
    Step(4, "4-5 h", "2 h sun", "light breeze", "less often", "in"),
    Step(5, "6 h", "half-day sun", "breeze", "less often", "in"),
    Step(6, "8 h", "sun most of the day", "open", "less often", "in"),
    Step(7, "all day", "full sun", "open", "before it wilts", "in a frame"),
    Step(8, "day and night", "full sun", "open", "as in field", "out if mild"),
    Step(9, "day and night", "full sun", "open", "as in field", "out if mild"),
    Step(10, "day and night", "full sun", "open", "as in field", "out if mild"),
)

_LENGTHS: dict[HardinessClass, int] = {"hardy": 7, "half-hardy": 8, "tender": 10}
_GUARDS_F: dict[HardinessClass, int] = {"hardy": 32, "half-hardy": 40, "tender": 50}
_FIRST_NIGHTS_F: dict[HardinessClass, int] = {"hardy": 40, "half-hardy": 45, "tender": 50}
FRAME_GAIN_F = 5
"""How much warmer than the air outside a closed frame is taken to stay at night: 5 to 10 F (common practice)."""
TENDER_DAY_F = 45
"""The cold below which tender seedlings do not stand outside, by day either [S81]."""

WIND_MPH, WINDY_MPH = 15, 20
"""Wind above which a step is held: the practice puts it between the two."""

MISSES_TO_STEP_BACK = 2


def ladder(hardiness_class: HardinessClass) -> tuple[Step, ...]:
    """The steps of a class, first to last: 7 for hardy, 8 for half-hardy, 10 for tender crops."""
    return _STEPS[: _LENGTHS[hardiness_class]]


def guard_f(hardiness_class: HardinessClass, step: Step | None = None) -> int:
    """The night low outside, F, below which a tray of the class is not left out.

    Stock that has done its whole ladder has the guards of old (common practice). What still stands on a `step` of it
    is soft: its first nights are 40, 45 and 50 F (common practice; [S81] begins at 45 to 50 F), less what a closed
    frame keeps where the step's night is spent in one.
    """
    if step is None:
        return _GUARDS_F[hardiness_class]
    gain = FRAME_GAIN_F if step.in_frame else 0
    return _FIRST_NIGHTS_F[hardiness_class] - gain


class Ladder(NamedTuple):
    """How far a tray has come.

    `step` is the last step reached (0 = none yet), `missed` the days missed in a row since then (0 or 1),
    `today` what was written of today ("step", "held" or None), `finished_on` the day the last step was done
    where all are done. `held` counts the days held so far.
    """

    step: int
    missed: int = 0
    today: str | None = None
    finished_on: date | None = None
    held: int = 0


def reached(days: Sequence[DayRecord], today: date, hardiness_class: HardinessClass = "tender") -> Ladder:
    """How far a tray has come by `today`, from the days written of it, in order.

    A step done adds one. A day held, or gone by with nothing written, is missed; every two missed days in a
    row step back one, never below 0. Today with nothing written yet is not missed. Of two lines on one
    day the later counts. With all steps done the plants stand out day and night, and silent days are no
    longer missed.
    """
    last = _LENGTHS[hardiness_class]
    said = {day: what for day, what in days if day <= today}
    if not said:
        return Ladder(0)
    step = missed = held = 0
    finished_on: date | None = None
    day = min(said)
    while day <= today:
        what = said.get(day)
        if what == "step":
            step, missed = min(step + 1, last), 0
            if step == last and finished_on is None:
                finished_on = day
        elif what is not None or (day < today and finished_on is None):
            missed += 1
            held += what is not None
            if missed == MISSES_TO_STEP_BACK:
                step, missed, finished_on = max(step - 1, 0), 0, None
        elif day < today:
            missed = 0
        day += timedelta(days=1)
    return Ladder(step, missed, said.get(today), finished_on, held)


def next_step(state: Ladder, hardiness_class: HardinessClass) -> Step | None:
    """The step to do next, None where all are done."""
    steps = ladder(hardiness_class)
    return steps[state.step] if state.step < len(steps) else None


def ladder_end(state: Ladder, hardiness_class: HardinessClass, today: date, done_today: bool) -> date:
    """The day of the last step if one is done every day from now on.

    A step already done, or held, today (`done_today`, or as `state` says) leaves tomorrow as the next day.
    """
    if state.finished_on is not None:
        return state.finished_on
    left = max(_LENGTHS[hardiness_class] - state.step, 1)
    first = today + timedelta(days=1 if done_today or state.today is not None else 0)
    return first + timedelta(days=left - 1)


def set_out_day(end: date, window_start: date | None = None) -> date:
    """The first day to set out: the day after the ladder ends, or when the window opens if that is later."""
    after = end + timedelta(days=1)
    return max(after, window_start) if window_start is not None else after


class Hold(NamedTuple):
    """Why a step is not done today, in few words and then the rest; and what becomes of the tray instead."""

    cause: str
    beside: str
    instead: str

    @property
    def says(self) -> str:
        """ "30 F tonight, below 40 F for half-hardy in a frame"."""
        return ", ".join(filter(None, (self.cause, self.beside)))


STAYS_IN = "stays in"


def advice(
    hardiness_class: HardinessClass,
    forecast_low_f: float | None = None,
    wind_mph: float | None = None,
    *,
    hard_rain: bool = False,
    step: Step | None = None,
    high_f: float | None = None,
) -> Hold | None:
    """Why to hold today's step, or None. None for a forecast that is not known.

    A low below the guard holds a step whose night is out; with no `step` given the night counts as out, and the stock
    as hardened. A day that does not come up to `TENDER_DAY_F` holds every step of a tender crop.
    """
    if hard_rain:
        return Hold("hard rain", "", STAYS_IN)
    if wind_mph is not None and wind_mph > WIND_MPH:
        return Hold(f"wind {told_wind(wind_mph)}", f"over {told_wind(WIND_MPH, WINDY_MPH)}", STAYS_IN)
    if hardiness_class == "tender" and high_f is not None and high_f < TENDER_DAY_F:
        return Hold(
            f"a day of {told_reading(high_f)}", f"below {told_degrees(TENDER_DAY_F)} for tender", STAYS_IN
        )
    guard = guard_f(hardiness_class, step)
    night_out = step is None or step.night_out
    if forecast_low_f is not None and forecast_low_f < guard and night_out:
        where = " in a frame" if step is not None and step.in_frame else ""
        before = _STEPS[step.number - 2] if step is not None and step.number > 1 else None
        instead = STAYS_IN if before is None else f"stays at {before.hours or f'step {before.number}'}"
        return Hold(
            f"{told_reading(forecast_low_f)} tonight",
            f"below {told_degrees(guard)} for {hardiness_class}{where}",
            instead,
        )
    return None
