"""Frost odds reckoned a second way, with numpy and plain lists, on invented stations of every kind of climate.

The stations are written in the archives' layouts, as strangers write them, and go in by the command line; every
cell that comes out is compared. Nothing here uses the program's own reading, seasons or quantiles.
"""

from __future__ import annotations

import gzip
import json
import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.cases import first_of
from tui.cli import main

LIMITS = {36: 22, 32: 0, 28: -22, 24: -44}
"""Tenths of a degree C of each threshold in degrees F, as the archives keep them."""
PERCENTS = range(10, 100, 10)
NEVER = 1e7

Lows = dict[date, int | None]
"""Tenths of a degree C by day; None where the day has no good reading."""


# The second way


def common_day(day: date) -> int:
    """Days since 1 January on a calendar without 29 February, which counts as 1 March."""
    if (day.month, day.day) == (2, 29):
        return 59
    return (date(2001, day.month, day.day) - date(2001, 1, 1)).days


def season_of(day: date, south: bool) -> int:
    return day.year if day.month >= (2 if south else 8) else day.year - 1


def place(day: date, south: bool) -> int:
    return (common_day(day) - (31 if south else 212)) % 365


@dataclass
class Side:
    """Springs or autumns of one threshold: season -> day of the season, or plus or minus NEVER."""

    days: dict[int, float]
    dates: dict[int, date | None]


def sides(lows: Lows, limit: int, south: bool) -> tuple[Side, Side]:
    """Springs and autumns by the rules: a season is void once ten days are missing before its freeze."""
    month = 2 if south else 8
    first, last = min(lows), max(lows)
    frozen: dict[int, list[date]] = {}
    for day in sorted(lows):
        value = lows[day]
        if value is not None and value <= limit:
            frozen.setdefault(season_of(day, south), []).append(day)
    low_end = min([122] + [place(days[0], south) - 15 for days in frozen.values()])
    high_end = max([211] + [place(days[-1], south) + 15 for days in frozen.values()])
    window = range(max(low_end, 0), min(high_end, 364) + 1)
    found = []
    for back in (True, False):
        whole: dict[int, float] = {}
        part: dict[int, tuple[float, int]] = {}
        dates: dict[int, date | None] = {}
        for season in range(first.year - 1, last.year + 1):
            start = date(season, month, 1)
            days = [start + timedelta(days=i) for i in window]
            gaps = [day for day in (reversed(days) if back else days) if lows.get(day) is None]
            freezes = frozen.get(season, [])
            freeze = (freezes[-1] if back else freezes[0]) if freezes else None
            where = (-NEVER if back else NEVER) if freeze is None else float(place(freeze, south))
            if len(gaps) < 10:
                whole[season], dates[season] = where, freeze
            elif freeze is not None:
                tenth = place(gaps[9], south)
                if where > tenth if back else where < tenth:
                    part[season], dates[season] = (where, tenth), freeze
        if len(whole) >= 10:
            reach = min(whole.values()) if back else max(whole.values())
            part = {s: (w, t) for s, (w, t) in part.items() if (reach > t if back else reach < t)}
        kept = {**whole, **{s: w for s, (w, _) in part.items()}}
        found.append(Side(kept, {s: dates[s] for s in kept}))
    return found[0], found[1]


def quantile(values: list[float], share: float) -> float:
    return float(np.quantile(np.array(values), share, method="weibull"))


def word_or_date(value: float, south: bool, *, late: bool) -> str:
    """The day a quantile stands for, half days to the cautious side."""
    if abs(value) > 1000:
        return "rare"
    start = date(2001, 2 if south else 8, 1)
    exact = round(value, 6)
    day = math.floor(exact + 0.5) if late else math.ceil(exact - 0.5)
    return f"{start + timedelta(days=day):%m-%d}"


def expected(lows: Lows, south: bool, years: tuple[int, int] | None = None) -> dict[str, Any]:
    """Every cell, by threshold."""
    table: dict[str, Any] = {}
    warmer: dict[str, dict[int, float]] = {}
    for threshold, limit in LIMITS.items():
        spring, autumn = sides(lows, limit, south)
        to_year = 0 if south else 1
        springs = {s + to_year: v for s, v in spring.days.items()}
        autumns = dict(autumn.days)
        lengths = {}
        for s, last in spring.dates.items():
            if s + 1 in autumn.days:
                first = autumn.dates[s + 1]
                lengths[s + to_year] = (
                    NEVER if last is None or first is None else min(float((first - last).days), 365.0)
                )
        if years is not None:
            springs, autumns, lengths = (
                {y: v for y, v in part.items() if years[0] <= y <= years[1]}
                for part in (springs, autumns, lengths)
            )
        seasons = {**{y - to_year: v for y, v in springs.items()}, **autumns}
        raw: dict[str, dict[int, float]] = {
            "last_spring": {p: quantile([*springs.values()], 1 - p / 100) for p in PERCENTS}
            if len(springs) > 9
            else {},
            "first_autumn": {p: quantile([*autumns.values()], p / 100) for p in PERCENTS}
            if len(autumns) > 9
            else {},
            "frost_free_days": {p: quantile([*lengths.values()], 1 - p / 100) for p in PERCENTS}
            if len(lengths) > 9
            else {},
        }
        for name, worse in (("last_spring", min), ("first_autumn", max), ("frost_free_days", max)):
            raw[name] = {p: worse(v, warmer.get(name, {}).get(p, v)) for p, v in raw[name].items()}
        warmer = raw
        cells: dict[str, dict[int, Any]] = {name: dict.fromkeys(PERCENTS) for name in raw}
        for p in PERCENTS:
            if raw["last_spring"]:
                cells["last_spring"][p] = word_or_date(raw["last_spring"][p], south, late=True)
            if raw["first_autumn"]:
                cells["first_autumn"][p] = word_or_date(raw["first_autumn"][p], south, late=False)
            if raw["last_spring"] and raw["first_autumn"]:
                clear = 364 - raw["last_spring"][p] + raw["first_autumn"][p]
                if clear < 7:
                    cells["last_spring"][p] = cells["first_autumn"][p] = "any month"
            if raw["frost_free_days"]:
                days = round(raw["frost_free_days"][p], 6)
                word = "rare" if days > 1000 else "any month" if days < 8 else None
                cells["frost_free_days"][p] = word or math.ceil(days - 0.5)
        share = sum(abs(v) < 1000 for v in seasons.values()) / len(seasons) if seasons else None
        counts = len(springs), len(autumns)
        table[str(threshold)] = {**cells, "share": share, "counts": counts}
    return table


# Invented weather


def weather(
    seed: int,
    first: date,
    last: date,
    *,
    coldest_f: float,
    warmest_f: float,
    spread_f: float,
    south: bool = False,
    memory: float = 0.7,
    whole_f: bool = True,
) -> Lows:
    """Lows with a yearly wave and noise that lasts for days, in tenths of C, read in whole F or tenths of C."""
    rng = random.Random(seed)
    lows: Lows = {}
    noise = 0.0
    day = first
    while day <= last:
        wave = math.cos(2 * math.pi * (common_day(day) - (202 if south else 20)) / 365)
        noise = memory * noise + math.sqrt(1 - memory * memory) * rng.gauss(0, spread_f)
        fahrenheit = (coldest_f + warmest_f) / 2 - (warmest_f - coldest_f) / 2 * wave + noise
        tenths = (fahrenheit - 32) / 0.18
        lows[day] = round((round(fahrenheit) - 32) / 0.18) if whole_f else round(tenths)
        day += timedelta(days=1)
    return lows


def without(lows: Lows, *spans: tuple[date, date]) -> Lows:
    gone = {a + timedelta(days=i) for a, b in spans for i in range((b - a).days + 1)}
    return {day: None if day in gone else value for day, value in lows.items()}


def scattered(lows: Lows, share: float, seed: int) -> Lows:
    rng = random.Random(seed)
    inside = (min(lows), max(lows))
    return {d: None if rng.random() < share and d not in inside else v for d, v in lows.items()}


@dataclass(frozen=True)
class Place:
    latitude: float
    lows: Lows

    @property
    def south(self) -> bool:
        return self.latitude < 0


def _years(a: int, b: int) -> tuple[date, date]:
    return date(a, 1, 1), date(b, 12, 31)


def inland(seed: int, a: int, b: int) -> Lows:
    return weather(seed, *_years(a, b), coldest_f=18, warmest_f=64, spread_f=9)


PLACES: dict[str, Callable[[], Place]] = {
    "inland": lambda: Place(40.5, inland(1, 1981, 2010)),
    "a century": lambda: Place(40.5, inland(2, 1901, 2012)),
    "southern": lambda: Place(
        -36.1, weather(3, *_years(1975, 2010), coldest_f=32, warmest_f=58, spread_f=7, south=True)
    ),
    "southern, ends in autumn": lambda: Place(
        -41.0,
        weather(
            4,
            date(1980, 3, 9),
            date(2012, 4, 20),
            coldest_f=34,
            warmest_f=54,
            spread_f=6,
            south=True,
            whole_f=False,
        ),
    ),
    "maritime": lambda: Place(
        51.9, weather(5, *_years(1961, 2005), coldest_f=41, warmest_f=56, spread_f=6, whole_f=False)
    ),
    "hot coast": lambda: Place(29.3, weather(6, *_years(1971, 2010), coldest_f=52, warmest_f=78, spread_f=9)),
    "hot coast with gaps": lambda: Place(
        29.3, scattered(weather(7, *_years(1951, 2010), coldest_f=50, warmest_f=78, spread_f=9), 0.03, 8)
    ),
    "high desert": lambda: Place(
        43.6, weather(9, *_years(1981, 2015), coldest_f=12, warmest_f=45, spread_f=7)
    ),
    "icy": lambda: Place(
        -75.0, weather(10, *_years(1981, 2000), coldest_f=-40, warmest_f=10, spread_f=9, south=True)
    ),
    "whole years missing": lambda: Place(
        44.0, without(inland(11, 1971, 2010), _years(1979, 1980), (date(1990, 5, 3), date(1991, 11, 9)))
    ),
    "months missing": lambda: Place(
        44.0,
        without(
            inland(12, 1971, 2010),
            *((date(y, 1 + y % 12, 1), date(y, 1 + y % 12, 28)) for y in range(1972, 2008, 2)),
        ),
    ),
    "begins and ends in spring": lambda: Place(
        44.0, weather(13, date(1983, 4, 2), date(2014, 4, 25), coldest_f=18, warmest_f=64, spread_f=9)
    ),
    "begins and ends in winter": lambda: Place(
        31.0, weather(14, date(1983, 1, 9), date(2014, 12, 28), coldest_f=40, warmest_f=72, spread_f=9)
    ),
    "scattered gaps": lambda: Place(44.0, scattered(inland(15, 1971, 2010), 0.04, 16)),
}


# As strangers write them


def dly(place: Place, path: Path) -> None:
    """Fixed width, CRLF, blanks cut off at the end, other elements between; missing days as flagged readings."""
    lines = []
    for year, month in sorted({(d.year, d.month) for d in place.lows}):
        for element in ("PRCP", "TMIN", "TOBS"):
            text = f"XX000000001{year}{month:02d}{element}"
            for i in range(31):
                day = date(year, month, 1) + timedelta(days=i)
                value = place.lows.get(day) if day.month == month else None
                if element == "PRCP":
                    text += "    0T 7"
                elif element == "TOBS":
                    text += "   55  7" if day.month == month else "-9999   "
                elif value is not None:
                    text += f"{value:5d}  7"
                else:
                    flagged = day.month == month and day in place.lows and i % 2 == 0
                    text += " -333 I7" if flagged else "-9999   "

            lines.append(text.rstrip())
    path.write_bytes("\r\n".join(lines).encode() + b"\r\n")


def by_station(place: Place, path: Path, *, header: bool) -> None:
    """One element a line, elements in no order, flagged readings where a day is missing; perhaps a header."""
    rng = random.Random(1)
    lines = []
    for day, value in place.lows.items():
        text = day.strftime("%Y%m%d")
        rows = [f"XX000000001,{text},PRCP,13,,,7,", f"XX000000001,{text},TAVG,99,H,,S,"]
        if value is not None:
            rows.append(f"XX000000001,{text},TMIN,{value},,,7,0700")
        elif day.day % 2:
            rows.append(f"XX000000001,{text},TMIN,-250,,S,7,0700")
        else:
            rows.append(f"XX000000001,{text},TMIN,-9999,,,,")
        rng.shuffle(rows)
        lines += rows
    rng.shuffle(lines)
    if header:
        lines.insert(0, "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME")
    path.write_text("\n".join(lines) + "\n")


def access(place: Place, path: Path, *, unit: str) -> None:
    """All quoted, with attributes and a byte order mark; in tenths of C, or as orders are sent, in C or F."""
    high = {"tenths": "480", "c": "48.0", "f": "118"}[unit]
    lines = [
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"'
    ]
    for day, value in place.lows.items():
        if value is None and day.day % 3 == 0:
            continue
        text, flags = "", ",,W"
        if value is not None:
            text = {"tenths": f"{value:5d}", "c": f"{value / 10:.1f}", "f": f"{round(value * 0.18 + 32)}"}[
                unit
            ]
        elif day.day % 2:
            text, flags = {"tenths": "-250", "c": "-25.0", "f": "-13"}[unit], ",G,W"
        lines.append(
            f'"XX000000001","{day}","{place.latitude}","-9.1","12.0","HILL, THE","{high}",",,W","{text}","{flags}"'
        )
    path.write_bytes(b"\xef\xbb\xbf" + "\r\n".join(lines).encode() + b"\r\n")


def plain(place: Place, path: Path) -> None:
    """Date, high and low in degrees F, with blanks."""
    lines = ["Date , Max_F , Min_F"]
    for day, value in place.lows.items():
        text = "" if value is None else f"{round(value * 0.18 + 32)}"
        lines.append(f"{day} , 118 , {text} ")
    path.write_text("\n".join(lines))


def packed(place: Place, path: Path) -> None:
    dly(place, path)
    path.write_bytes(gzip.compress(path.read_bytes(), mtime=0))


LAYOUTS: dict[str, Callable[[Place, Path], None]] = {
    "station.dly": dly,
    "station.dly.gz": packed,
    "by_station.csv": lambda place, path: by_station(place, path, header=False),
    "by_station_head.csv": lambda place, path: by_station(place, path, header=True),
    "access.csv": lambda place, path: access(place, path, unit="tenths"),
    "order_c.csv": lambda place, path: access(place, path, unit="c"),
    "order_f.csv": lambda place, path: access(place, path, unit="f"),
    "plain.csv": plain,
}


def check(found: dict[str, Any], wanted: dict[str, Any]) -> int:
    """Every cell; how many there were."""
    cells = 0
    assert list(found["thresholds"]) == list(wanted)
    for threshold, row in found["thresholds"].items():
        for name in ("last_spring", "first_autumn", "frost_free_days"):
            assert [*row[name]] == [str(p) for p in PERCENTS]
            for p in PERCENTS:
                assert row[name][str(p)] == wanted[threshold][name][p], (threshold, name, p)
                cells += 1
        if row["share_of_seasons"] is not None:
            assert row["share_of_seasons"] == pytest.approx(wanted[threshold]["share"], abs=0.0006)
        missing = any(row[name]["50"] is None for name in ("last_spring", "first_autumn", "frost_free_days"))
        assert ("not_yet" in row) is missing
    assert found["seasons"] == max(max(row["counts"]) for row in wanted.values())
    return cells


def reckoned(capsys: pytest.CaptureFixture[str], path: Path, *more: str) -> dict[str, Any]:
    capsys.readouterr()
    status = main(["reckon", "frost", "--station", str(path), "--method", "weibull", "--json", *more])
    shown = capsys.readouterr()
    assert status == 0, shown.err
    value: dict[str, Any] = json.loads(shown.out)
    return value


@pytest.mark.parametrize("name", first_of(PLACES, 4))
def test_every_cell_of_every_kind_of_station(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    place = PLACES[name]()
    at = [] if place.latitude > 0 else [f"--latitude={place.latitude}"]
    path = tmp_path / "station.dly"
    dly(place, path)
    assert check(reckoned(capsys, path, *at), expected(place.lows, place.south)) == 108


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_gives_the_same_odds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], layout: str
) -> None:
    gaps = [(date(1983, 3, 1), date(1983, 10, 30)), (date(1995, 2, 3), date(1995, 2, 27))]
    # One doubtful reading each, far below freezing, in the summers of six years that are whole otherwise.
    gaps += [(day, day) for year in range(1986, 1998, 2) for day in (date(year, 7, 5), date(year, 8, 9))]
    place = Place(44.0, without(inland(20, 1980, 2003), *gaps))
    path = tmp_path / layout
    LAYOUTS[layout](place, path)
    check(reckoned(capsys, path), expected(place.lows, south=False))


@pytest.mark.parametrize("years", first_of([(1981, 2010), (1975, 1990), (1971, 2000)], 1))
@pytest.mark.parametrize("name", ["inland", "southern", "hot coast", "months missing"])
def test_the_springs_and_autumns_of_the_years_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, years: tuple[int, int]
) -> None:
    place = PLACES[name]()
    if max(years[0], min(place.lows).year) + 9 > min(years[1], max(place.lows).year):
        pytest.skip("fewer than ten years in common")
    path = tmp_path / "access.csv"
    access(place, path, unit="tenths")
    span = f"{years[0]}-{years[1]}"
    check(reckoned(capsys, path, "--years", span), expected(place.lows, place.south, years))


def test_the_climates_are_as_different_as_they_are_called() -> None:
    """Else the comparison would be of one kind of station only."""

    def cells(name: str, threshold: int, part: str) -> list[Any]:
        place = PLACES[name]()
        return [*expected(place.lows, place.south)[str(threshold)][part].values()]

    assert "rare" in cells("maritime", 28, "last_spring")
    assert set(cells("hot coast", 24, "first_autumn")) == {"rare"}
    first = cells("hot coast", 32, "first_autumn")
    assert any(str(day).startswith(("01", "02")) for day in first) and "rare" in first
    assert "any month" in cells("high desert", 36, "last_spring")
    assert set(cells("icy", 36, "last_spring")) == {"any month"}
    assert all("08" < str(day)[:2] < "12" for day in cells("southern", 32, "last_spring"))
