"""A plot as SVG: bars or lines over a scale, in black and gray, so that any printer has it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from xml.sax.saxutils import escape

from core.dialect import in_words
from core.plotted.plots import Plotted, Series
from core.text import clean
from core.units import number

WIDTH, HEIGHT = 800, 400
LEFT, RIGHT, TOP, BOTTOM = 60, 20, 40, 50
LOOKS = ("#222222", "#999999")
LABELS_MOST = 13
STEPS = 4


def svg(plot: Plotted) -> str:
    """The plot as one SVG file (SVG 1.1)."""
    return "".join(f"{line}\n" for line in _lines(plot))


def _lines(plot: Plotted) -> Iterator[str]:
    top = max((value or 0 for series in plot.series for value in series.values), default=0) or 1
    wide = (WIDTH - LEFT - RIGHT) / max(len(plot.labels), 1)
    floor = HEIGHT - BOTTOM

    def y(value: float) -> float:
        return round(floor - (floor - TOP) * value / top, 2)

    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}" '
        'font-family="sans-serif" font-size="12">'
    )
    yield f'<text x="{LEFT}" y="20" font-size="15">{_text(f"{plot.title} ({plot.unit})")}</text>'
    for step in range(STEPS + 1):
        value = top * step / STEPS
        yield f'<line x1="{LEFT}" y1="{y(value)}" x2="{WIDTH - RIGHT}" y2="{y(value)}" stroke="#dddddd"/>'
        yield f'<text x="{LEFT - 6}" y="{y(value) + 4}" text-anchor="end">{number(value)}</text>'
    every = -(-len(plot.labels) // LABELS_MOST)
    for n in range(0, len(plot.labels), max(every, 1)):
        x = round(LEFT + (n + 0.5) * wide, 2)
        yield f'<text x="{x}" y="{floor + 18}" text-anchor="middle">{_text(plot.labels[n])}</text>'
    for look, series in reversed([*zip(LOOKS, plot.series, strict=False)]):
        if plot.is_bars and series is plot.series[0]:
            yield from _bars(series, look, wide, y)
        else:
            points = " ".join(
                f"{round(LEFT + (n + 0.5) * wide, 2)},{y(value)}"
                for n, value in enumerate(series.values)
                if value is not None
            )
            yield f'<polyline points="{points}" fill="none" stroke="{look}" stroke-width="2"/>'
    for n, (look, series) in enumerate(zip(LOOKS, plot.series, strict=False)):
        yield f'<text x="{LEFT + 100 * n}" y="{HEIGHT - 8}" fill="{look}">{_text(series.name)}</text>'
    yield "</svg>"


def _bars(series: Series, look: str, wide: float, y: Callable[[float], float]) -> Iterator[str]:
    for n, value in enumerate(series.values):
        if value:
            x = round(LEFT + (n + 0.1) * wide, 2)
            high = round(y(0) - y(value), 2)
            yield f'<rect x="{x}" y="{y(value)}" width="{round(0.8 * wide, 2)}" height="{high}" fill="{look}"/>'


def _text(text: str) -> str:
    return escape(in_words(clean(text)))
