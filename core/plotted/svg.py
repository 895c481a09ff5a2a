"""A plot as SVG: bars or lines over a scale, in black and gray, so that any printer has it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import floor, log10
from xml.sax.saxutils import escape

from core.dialect import in_words
from core.plotted.shapes import Plotted, Series
from core.text import clean
from core.units import number

WIDTH, HEIGHT = 800, 400
LEFT, RIGHT, TOP, BOTTOM = 60, 20, 40, 50
LOOKS = (("#222222", ""), ("#999999", ""), ("#222222", "2 4"), ("#999999", "8 4"))
"""Gray and dashes of a line."""
MARKED = (("#bbbbbb", ""), ("#222222", ""), ("#222222", "2 4"))
"""The same where marks stand over bars."""
SCALES = (1, 1.2, 1.6, 2, 3, 4, 6, 8, 10)
"""Where a scale may end, times a power of ten, so that a fourth of it is told in few figures."""
ROW, NAME_ROOM, SUM_ROOM = 26, 130, 70
"""In a strip: the height of a row, and the room for its name and for its sum."""
LABELS_MOST = 13
STEPS = 4


def svg(plot: Plotted) -> str:
    """The plot as one SVG file (SVG 1.1)."""
    return "".join(f"{line}\n" for line in (_strip(plot) if plot.shape == "strip" else _lines(plot)))


def _lines(plot: Plotted) -> Iterator[str]:
    top = _scale(max((value or 0 for series in plot.series for value in series.values), default=0))
    wide = (WIDTH - LEFT - RIGHT) / max(len(plot.labels), 1)
    ground = HEIGHT - BOTTOM

    def y(value: float) -> float:
        return round(ground - (ground - TOP) * value / top, 2)

    yield from _head(plot, LEFT, HEIGHT)
    for step in range(STEPS + 1):
        value = top * step / STEPS
        yield f'<line x1="{LEFT}" y1="{y(value)}" x2="{WIDTH - RIGHT}" y2="{y(value)}" stroke="#dddddd"/>'
        yield f'<text x="{LEFT - 6}" y="{y(value) + 4}" text-anchor="end">{number(value)}</text>'
    for n in _shown(len(plot.labels)):
        x = round(LEFT + (n + 0.5) * wide, 2)
        yield f'<text x="{x}" y="{ground + 18}" text-anchor="middle">{_text(plot.labels[n])}</text>'
    looks = MARKED if plot.shape == "marks" else LOOKS
    told = [*zip(looks, plot.series, strict=False)]
    if plot.shape == "marks":
        yield from _bars(plot.series[0], looks[0][0], wide, y)
        for look, series in told[1:]:
            yield from _marks(series, look, wide, y)
    else:
        for look, series in reversed(told):
            if plot.shape == "bars" and series is plot.series[0]:
                yield from _bars(series, look[0], wide, y)
            else:
                yield from _runs(series, look, wide, y)
    for n, ((gray, dashes), series) in enumerate(told):
        x = LEFT + 170 * n
        line = f' stroke-dasharray="{dashes}"' if dashes else ""
        place = f'x1="{x}" y1="{HEIGHT - 12}" x2="{x + 24}" y2="{HEIGHT - 12}"'
        yield f'<line {place} stroke="{gray}" stroke-width="3"{line}/>'
        yield f'<text x="{x + 30}" y="{HEIGHT - 8}">{_text(series.name)}</text>'
    yield "</svg>"


def _scale(most: float) -> float:
    """Where the scale ends that holds the most there is; 1 where there is nothing."""
    if most <= 0:
        return 1.0
    ten: float = 10.0 ** floor(log10(most))
    return next((round(times * ten, 6) for times in SCALES if times * ten >= most * (1 - 1e-9)), 10 * ten)


def _head(plot: Plotted, left: int, height: int) -> Iterator[str]:
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" '
        'font-family="sans-serif" font-size="12">'
    )
    yield f'<text x="{left}" y="20" font-size="15">{_text(f"{plot.title} ({plot.unit})")}</text>'


def _strip(plot: Plotted) -> Iterator[str]:
    """A row for each series: bars against the row's own most, its sum at the end; the labels under the last."""
    ground = TOP + ROW * len(plot.series)
    yield from _head(plot, 10, ground + 40)
    wide = (WIDTH - NAME_ROOM - SUM_ROOM) / max(len(plot.labels), 1)
    for n, series in enumerate(plot.series):
        bottom = TOP + ROW * (n + 1)
        most = max((value or 0 for value in series.values), default=0) or 1
        yield f'<text x="{NAME_ROOM - 8}" y="{bottom - 6}" text-anchor="end">{_text(series.name)}</text>'
        yield f'<line x1="{NAME_ROOM}" y1="{bottom}" x2="{WIDTH - SUM_ROOM}" y2="{bottom}" stroke="#dddddd"/>'
        for place, value in enumerate(series.values):
            if value:
                high = round((ROW - 4) * value / most, 2)
                x, y = round(NAME_ROOM + (place + 0.1) * wide, 2), round(bottom - high, 2)
                yield f'<rect x="{x}" y="{y}" width="{round(0.8 * wide, 2)}" height="{high}" fill="{LOOKS[0][0]}"/>'
        total = number(sum(value or 0 for value in series.values))
        yield f'<text x="{WIDTH - 8}" y="{bottom - 6}" text-anchor="end">{total}</text>'
    for place in _shown(len(plot.labels)):
        x = round(NAME_ROOM + (place + 0.5) * wide, 2)
        yield f'<text x="{x}" y="{ground + 18}" text-anchor="middle">{_text(plot.labels[place])}</text>'
    yield "</svg>"


def _shown(count: int) -> range:
    """The places of the labels that have room."""
    return range(0, count, max(-(-count // LABELS_MOST), 1))


def _runs(series: Series, look: tuple[str, str], wide: float, y: Callable[[float], float]) -> Iterator[str]:
    """A line through the values, broken where there is none; one value alone is a dot."""
    gray, dashes = look
    run: list[str] = []
    for n, value in enumerate((*series.values, None)):
        if value is not None:
            run.append(f"{round(LEFT + (n + 0.5) * wide, 2)},{y(value)}")
            continue
        if len(run) == 1:
            x, high = run[0].split(",")
            yield f'<circle cx="{x}" cy="{high}" r="2.5" fill="{gray}"/>'
        elif run:
            line = f' stroke-dasharray="{dashes}"' if dashes else ""
            yield f'<polyline points="{" ".join(run)}" fill="none" stroke="{gray}" stroke-width="2"{line}/>'
        run = []


def _marks(series: Series, look: tuple[str, str], wide: float, y: Callable[[float], float]) -> Iterator[str]:
    """A short line across at each value."""
    gray, dashes = look
    line = f' stroke-dasharray="{dashes}"' if dashes else ""
    for n, value in enumerate(series.values):
        if value is not None:
            x, end = round(LEFT + n * wide, 2), round(LEFT + (n + 1) * wide, 2)
            yield f'<line x1="{x}" y1="{y(value)}" x2="{end}" y2="{y(value)}" stroke="{gray}" stroke-width="3"{line}/>'


def _bars(series: Series, look: str, wide: float, y: Callable[[float], float]) -> Iterator[str]:
    for n, value in enumerate(series.values):
        if value:
            x = round(LEFT + (n + 0.1) * wide, 2)
            high = round(y(0) - y(value), 2)
            yield f'<rect x="{x}" y="{y(value)}" width="{round(0.8 * wide, 2)}" height="{high}" fill="{look}"/>'


def _text(text: str) -> str:
    return escape(in_words(clean(text)))
