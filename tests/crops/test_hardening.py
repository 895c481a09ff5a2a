"""Hardening off is a state: steps done, held and missed, and what that does to the day of setting out."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops.hardening import (
    Hold,
    Ladder,
    advice,
    guard_f,
    ladder,
    ladder_end,
    next_step,
    reached,
    set_out_day,
)
from core.crops.sheet import HARDINESS_CLASSES, HardinessClass

APRIL_1 = date(2026, 4, 1)


def days(said: str, start: date = APRIL_1) -> list[tuple[date, str]]:
    """ "ss-h" = a step, a step, nothing written, held; one letter a day."""
    words = {"s": "step", "h": "held"}
    return [(start + timedelta(days=n), words[c]) for n, c in enumerate(said) if c in words]


def after(said: str, hardiness: HardinessClass = "tender") -> Ladder:
    """The ladder on the evening of the last day in `said`."""
    return reached(days(said), APRIL_1 + timedelta(days=len(said) - 1), hardiness)


def test_ladders_and_guards_of_each_class() -> None:
    # 7-10 days [S82]; the steps for each class and the guards 50, 40, 32 F are common practice.
    assert [len(ladder(kind)) for kind in ("hardy", "half-hardy", "tender")] == [7, 8, 10]
    assert [guard_f(kind) for kind in ("hardy", "half-hardy", "tender")] == [32, 40, 50]
    for kind in HARDINESS_CLASSES:
        steps = ladder(kind)
        assert [step.number for step in steps] == list(range(1, len(steps) + 1))
        assert not steps[0].night_out
        assert steps[-1].night_out
        assert all(len(f"{step.number} {step.text}") <= 76 for step in steps)
    # First day 2-3 h of sun in shelter, more each day [S82]; shade first [S81].
    assert ladder("tender")[0].light == "full shade"
    assert ladder("tender")[0].wind == "sheltered"


def test_steps_done_day_by_day() -> None:
    assert after("sss").step == 3
    assert after("sss").missed == 0
    assert reached([], APRIL_1).step == 0


def test_one_missed_day_costs_nothing_and_two_in_a_row_step_back_one() -> None:
    assert after("ssssh").step == 4
    assert after("ssssh").missed == 1
    assert after("sssshh").step == 3
    assert after("sssshhh").step == 3
    assert after("sssshhhh").step == 2
    assert after("sshshs").step == 4
    # A day with nothing written is missed like one that was held, but not today's, which is still to come.
    assert after("ssss-h").step == 3
    assert after("ssss-").step == 4
    assert after("ssss-").missed == 0
    assert after("ssss---").step == 3
    assert after("h-hh").step == 0


def test_two_lines_on_one_day_count_once_and_the_later_stands() -> None:
    twice = [*days("ss"), (APRIL_1 + timedelta(days=1), "held")]
    assert reached(twice, APRIL_1 + timedelta(days=1)).step == 1


def test_a_finished_ladder_waits_for_its_window_without_a_line_a_day() -> None:
    done = after("sssssss------", "hardy")
    assert done.step == 7
    assert done.finished_on == APRIL_1 + timedelta(days=6)
    assert next_step(done, "hardy") is None
    # Taken in again for two days it loses a step.
    assert after("sssssss--hh", "hardy").step == 6
    assert after("sssssss-h-h", "hardy").step == 7


def test_end_of_the_ladder_and_the_day_to_set_out() -> None:
    today = APRIL_1 + timedelta(days=3)
    evening = reached(days("ssss"), today, "hardy")
    assert ladder_end(evening, "hardy", today, done_today=True) == date(2026, 4, 7)
    morning = reached(days("sss"), today, "hardy")
    assert ladder_end(morning, "hardy", today, done_today=False) == date(2026, 4, 7)
    held = reached(days("sssh"), today, "hardy")
    assert ladder_end(held, "hardy", today, done_today=False) == date(2026, 4, 8)
    assert set_out_day(date(2026, 4, 7)) == date(2026, 4, 8)
    assert set_out_day(date(2026, 4, 7), date(2026, 4, 20)) == date(2026, 4, 20)
    assert set_out_day(date(2026, 4, 7), date(2026, 4, 1)) == date(2026, 4, 8)


def told(hold: Hold | None) -> str:
    return hold.says if hold is not None else ""


def test_when_to_hold() -> None:
    # Hold over 15-20 mph, in hard rain, or below the guard (common practice); not on windy days [S81].
    assert advice("tender", forecast_low_f=55, wind_mph=10) is None
    assert "wind 18 mph" in told(advice("hardy", forecast_low_f=40, wind_mph=18))
    assert "hard rain" in told(advice("hardy", hard_rain=True))
    assert "below 50 F" in told(advice("tender", forecast_low_f=47))
    assert "below 40 F" in told(advice("half-hardy", forecast_low_f=38))
    assert advice("hardy", forecast_low_f=33) is None
    assert advice("hardy") is None
    # A cold night is no reason to hold a step whose night is in.
    assert advice("tender", forecast_low_f=38, step=ladder("tender")[2]) is None
    assert advice("tender", forecast_low_f=38, step=ladder("tender")[8]) is not None


def test_a_step_held_for_the_night_says_at_what_the_tray_stays() -> None:
    night = advice("half-hardy", forecast_low_f=38, step=ladder("half-hardy")[6])
    wind = advice("half-hardy", forecast_low_f=48, wind_mph=22, step=ladder("half-hardy")[6])
    assert night is not None and (night.cause, night.instead) == ("38 F tonight", "stays at 8 h")
    assert wind is not None and (wind.cause, wind.instead) == ("wind 22 mph", "stays in")


histories = st.text(alphabet="sh-", max_size=40).map(lambda said: "s" + said)
classes = st.sampled_from(HARDINESS_CLASSES)


@given(histories, classes)
def test_the_ladder_never_leaves_its_rungs(said: str, kind: HardinessClass) -> None:
    state = after(said, kind)
    steps = len(ladder(kind))
    assert 0 <= state.step <= steps
    assert (state.finished_on is not None) == (state.step == steps)
    assert state.missed in (0, 1)
    today = APRIL_1 + timedelta(days=len(said) - 1)
    if state.finished_on is None:
        assert ladder_end(state, kind, today, done_today=False) >= today
        assert next_step(state, kind) == ladder(kind)[state.step]


@given(histories, classes)
def test_holding_never_brings_setting_out_nearer(said: str, kind: HardinessClass) -> None:
    today = APRIL_1 + timedelta(days=len(said))
    before = reached(days(said), today, kind)
    held = reached([*days(said), (today, "held")], today, kind)
    stepped = reached([*days(said), (today, "step")], today, kind)
    open_end = ladder_end(before, kind, today, done_today=False)
    held_end = ladder_end(held, kind, today, done_today=False)
    assert held_end >= open_end
    assert held.step <= before.step
    assert ladder_end(stepped, kind, today, done_today=True) <= open_end
    if before.finished_on is None:
        assert held_end > open_end


@pytest.mark.parametrize("kind", HARDINESS_CLASSES)
def test_a_step_every_day_ends_when_it_was_said_it_would(kind: HardinessClass) -> None:
    steps = len(ladder(kind))
    first = ladder_end(reached([], APRIL_1, kind), kind, APRIL_1, done_today=False)
    last_day = APRIL_1 + timedelta(days=steps - 1)
    assert first == last_day
    assert reached(days("s" * steps), last_day, kind).finished_on == last_day
