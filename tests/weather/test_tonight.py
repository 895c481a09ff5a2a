"""The night to come: her own clear nights beside the forecast, what is at risk, and from when."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from core.problems import Problem
from core.reckon.climate.air import c_from_f, f_from_c
from core.reckon.climate.night_low import Calibration, Night, calibrate
from core.session import Session
from core.weather.tonight import night_on
from tests.farms import morning_of, write
from tests.weather.stations import TODAY, clear_nights, farm
from tui.subjects.weather import night_lines, night_short, tonight_of


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return farm(tmp_path / "farm")


def test_under_ten_clear_nights_it_says_how_many_are_missing(session: Session) -> None:
    clear_nights(session, TODAY, 7)
    write(session, "dusk 52 dew 40 clear")
    found = tonight_of(session)
    assert (found.estimate_f, found.nights, found.missing) == (None, 7, 3)
    assert any("3 more" in said for said in found.says)


def test_from_ten_on_the_low_is_that_of_fao_on_her_nights(session: Session) -> None:
    """Snyder and de Melo-Abreu, Frost Protection (FAO 2005), volume 1, chapter 5; the fit itself is checked
    against the book's own nights in tests/climate."""
    clear_nights(session, TODAY, 12)
    write(session, "dusk 52 dew 40 clear", "tonight 43")
    found = tonight_of(session)
    fit = calibrate([Night(*map(c_from_f, night)) for night in session.farm.nights.values()])
    assert isinstance(fit, Calibration)
    assert found.nights == 12
    assert found.estimate_f == pytest.approx(f_from_c(fit.low_c(c_from_f(52), c_from_f(40))), abs=0.06)
    assert 38 <= found.estimate_f <= 42  # type: ignore[operator]
    assert found.low_f == min(found.estimate_f, 43)  # type: ignore[type-var]


def test_nights_that_were_not_clear_teach_nothing(session: Session) -> None:
    clear_nights(session, date(2026, 6, 20), 10)
    write(session, "dusk 60 dew 58 cloudy on 2026-06-20", "low 57 on 2026-06-21")
    write(session, "dusk 60 dew 50 clear on 2026-06-21", "low 47 on 2026-06-23")  # the low of another night
    assert tonight_of(session).nights == 10
    write(session, "dusk 60 dew 58 cloudy")
    found = tonight_of(session)
    assert found.estimate_f is None and any("not marked clear" in said for said in found.says)


def test_a_tray_out_at_night_and_a_tender_bed_are_named_with_their_hour(session: Session) -> None:
    clear_nights(session, TODAY, 12)
    for day in range(14, 24):  # cosmos is half-hardy: eight steps, then it stands out
        write(session, f"step S01 on 2026-06-{day}" if day < 22 else f"note S01 out on 2026-06-{day}")
    write(session, "dusk 52 dew 34 clear", "tonight 31")
    found = tonight_of(session)
    by = {row.code: row for row in found.at_risk}
    assert by["S01"].what == "tray" and by["S01"].guard_f == 40 and by["S01"].do == "bring in"
    assert by["P01"].what == "planting" and by["P01"].bed == "b1" and by["P01"].do == "cover"
    assert "P02" not in by  # peony stands the winter out
    assert by["S01"].at is not None and by["P01"].at is not None
    assert _night_hour(by["S01"].at) < _night_hour(by["P01"].at)  # 40 F comes before 36 F
    assert found.sunset == "20:38" and found.sunrise == "05:08"
    assert found.course[0] == ("22:38", 52.0) and found.course[-1] == ("05:08", 31.0)
    short = list(night_short(found))  # the strip of the screen has four lines
    assert short[0].startswith("Tonight: ") and "forecast 31 F" in short[0]
    assert short[2:4] == ["bring in (1): S01 cosmos", "cover (1): b1 zinnia"]
    assert any(line.split()[:2] == ["b1", "zinnia"] and "from" in line for line in night_lines(found))


def _night_hour(clock: str) -> float:
    hours = int(clock[:2]) + int(clock[3:]) / 60
    return hours + 24 if hours < 12 else hours


def test_a_covered_bed_is_not_at_risk(session: Session) -> None:
    write(session, "tonight 33")
    assert [(row.code, row.do) for row in tonight_of(session).at_risk] == [("P01", "cover")]
    write(session, "cover b1")
    assert tonight_of(session).at_risk == ()
    write(session, "tonight 28")
    assert [(row.code, row.do) for row in tonight_of(session).at_risk] == [("P01", "cover again")]


def test_after_midnight_the_night_that_is_on_is_meant(session: Session) -> None:
    write(session, "dusk 52 dew 44 clear")
    tomorrow = TODAY + timedelta(days=1)
    assert night_on(session.farm, tomorrow, "01:30") == TODAY
    assert night_on(session.farm, tomorrow, "09:00") == tomorrow
    at_dawn = Session.open(session.folder, by="ml", on=tomorrow)
    write(at_dawn, "low 41 tonight 46")
    assert night_on(at_dawn.farm, tomorrow, "05:30") == tomorrow


def test_without_place_or_dusk_it_says_what_it_cannot_tell(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=TODAY)
    write(session, "farm zone UTC", "tonight 30")
    found = tonight_of(session)
    assert (found.sunset, found.course) == (None, ())
    assert any("farm latitude" in said for said in found.says)
    assert any("dusk 52 dew 44 clear" in said for said in found.says)


def test_the_morning_page_has_one_line_of_it_once_the_dusk_is_written(session: Session) -> None:
    clear_nights(session, TODAY, 12)
    write(session, "tonight 35")
    assert not any(said.startswith("tonight ") for said in morning_of(session).cautions)
    write(session, "dusk 50 dew 34 clear")
    (line,) = (said for said in morning_of(session).cautions if said.startswith("tonight "))
    assert "if it stays clear (forecast 35)" in line and "1 planting at risk from 0" in line


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("dusk 44 dew 52 clear", "never above"),
        ("dusk 52", "dew point"),
        ("dusk 52 dew 44 rh 70", "dew point"),
        ("dusk 52 dew", "number after 'dew'"),
        ("dusk 52 dew 44 clear cloudy", "Clear and calm"),
        ("dusk 200 dew 44", "no air temperature"),
        ("risk tender", "risk tender 36F 10%"),
        ("risk 36F 10%", "hardy, half-hardy or tender"),
        ("risk tender 36F 100%", "from 1 to 99"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_write(session: Session, line: str, says: str) -> None:
    refused = session.write(line)
    assert isinstance(refused, Problem) and says in refused.sentence, refused


def test_humidity_gives_the_dew_point(session: Session) -> None:
    """FAO-56, eq. 11: 52 F at 74 % has its dew point at 44 F."""
    write(session, "dusk 52 rh 74% clear")
    assert tonight_of(session).dew_f == pytest.approx(44, abs=0.2)


def test_the_morning_page_loads_no_weather_where_there_is_nothing_to_say(session: Session) -> None:
    code = (
        "import sys; from tui.cli import main; "
        f"assert main(['--farm', {str(session.folder)!r}, '--on', '2026-06-23', 'today']) == 0; "
        "light = {'core.weather', 'core.weather.kinds', 'core.weather.asks', 'core.reckon.climate', "
        "'core.weather.night', 'core.reckon.climate.sky', 'core.reckon.climate.air', 'core.reckon.climate.sun'}; "
        "print(sorted({m for m in sys.modules if m.startswith(('core.weather', 'core.reckon.climate'))} - light))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_on_a_hot_day_the_cool_hours_end_by_the_clock(session: Session) -> None:
    """Sunrise at 44.1 N, 72.6 W on 23 June is 05:08 by the method of the NOAA solar calculator; cutting for
    fresh sale ends three hours on (common practice)."""
    write(session, "high 91")
    assert any("heat (91 F): cut by 08:08," in said for said in morning_of(session).cautions)
